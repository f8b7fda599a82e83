//! `steady`: where a running log stands still, and whether it hunts.

use std::path::PathBuf;
use std::process::ExitCode;

use super::args::{Atmosphere, Output, gauge_zero, refrigerant, typed};
use super::logfile::{Reading, RunningFile};
use super::{Ran, print, write};
use crate::check::run::steady::{self, Criteria, Still};
use crate::fluid::Refrigerant;
use crate::out::figure::{self, RunningLogFigure, Width, running_log};
use crate::out::json;
use crate::out::text::{self, Style};
use crate::quantity::{Duration, Quantity, Typed, unit};
use crate::record::logger::{self, Kind};

/// Finds the steadiest window of a running log: its means are the readings.
///
/// Superheat and subcooling are judged too when the refrigerant is named. Whether a reading means anything also depends
/// on the metering device, the weather and the airflow: a record asks for those.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// The log as CSV or XLSX, with columns like t_min, suction_line_F, suction_psig, return_air_F
    log: PathBuf,
    /// The refrigerant, e.g. R-410A: superheat and subcooling of each row count too
    #[arg(long, value_parser = refrigerant)]
    refrigerant: Option<Refrigerant>,
    /// The shortest window, e.g. 10min; 5 min when not given
    #[arg(long, value_parser = shortest)]
    shortest: Option<Typed<Duration>>,
    #[command(flatten)]
    file: RunningFile,
    #[command(flatten)]
    reading: Reading,
    /// Draw the log with the window as an SVG file
    #[arg(long, value_name = "FILE.svg")]
    figure: Option<PathBuf>,
    #[command(flatten)]
    atmosphere: Atmosphere,
    #[command(flatten)]
    output: Output,
}

const EXAMPLES: &str = "\
Examples:
  lineproof steady examples/running-log.csv --refrigerant R-32
  lineproof steady log.csv --column suction-line=Probe1 --column-unit suction-line=F
  lineproof steady log.csv --figure log.svg

Exit codes: 0 it stands still, 3 it does not, 2 could not run.";

fn shortest(text: &str) -> Result<Typed<Duration>, String> {
    let time = typed::<Duration>(text).map_err(|e| e.to_string())?;
    let minutes = time.value.in_unit(unit::MINUTE);
    if (1.0..=1440.0).contains(&minutes) {
        Ok(time)
    } else {
        Err(format!(
            "the shortest window {} is outside 1 min to 24 h; type one like 5min",
            time.text
        ))
    }
}

pub(super) fn run(args: Args) -> Ran {
    let units = args.output.units();
    let barometer = args.atmosphere.barometer()?;
    let (reading, asked) = (&args.reading, args.reading.asked(args.file.asked()));
    if let Some(code) =
        reading.preview(&args.log, &asked, Kind::Running, barometer, &args.output)?
    {
        return Ok(code);
    }
    let read = logger::read_running(&args.log, &asked, barometer)?;
    let log = match args.refrigerant {
        Some(refrigerant) => read.log.with_spans(refrigerant),
        None => read.log,
    };
    let mut criteria = Criteria::default();
    if let Some(time) = &args.shortest {
        criteria.shortest = time.value;
    }
    let found = steady::find(log, &criteria);
    let mut notes = Vec::new();
    // the file first: a command that could not do all prints nothing
    if let Some(path) = &args.figure {
        let drawn = running_log::draw(
            &RunningLogFigure::of(&found, units),
            Width::Wide,
            "running-log",
        )?;
        write(path, &figure::standing_alone(&drawn))?;
        notes.push(format!("the figure is in {}", path.display()));
    }
    if args.output.json {
        print(&json::document(&json::Steady::from(&found)));
    } else {
        notes.extend(read.left_out.iter().map(|l| format!("left out: {l}")));
        notes.extend(read.notes);
        let is_pressure = |still: &Still| still.channel.kind() == steady::Kind::Pressure;
        let window = found.window.as_ref();
        if window.is_some_and(|w| w.channels.iter().any(is_pressure)) {
            notes.push(gauge_zero(barometer));
        }
        print(&text::steady(&found, units, Style::Plain));
        print(&text::notes(&notes));
    }
    Ok(match found.is_steady() {
        Some(true) => ExitCode::SUCCESS,
        Some(false) | None => ExitCode::from(3),
    })
}
