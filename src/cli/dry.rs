//! `dry`: judge a vacuum rise from a log or from a few readings.

mod readings;

use std::path::{Path, PathBuf};

use super::add::vacuum_reading;
use super::args::{Atmosphere, Output, refrigerant, typed};
use super::follow::{Follow, Judged, WithNotes};
use super::logfile::{Preview, RiseFile};
use super::{Ran, outcome_code, print};
use crate::check::dry::{self, Input, Rule};
use crate::check::{Detail, Finding, Outcome};
use crate::fluid::Refrigerant;
use crate::out::figure::{self, RiseFigure, Width};
use crate::out::json;
use crate::out::text::{self, Style};
use crate::quantity::{
    Duration, PressureAbs, PressureDiff, PressureReading, Quantity, Temperature, Typed, Volume,
    parse_vacuum, unit,
};
use crate::record::VacuumReading;
use crate::record::logger::Kind;

/// Judges a vacuum rise from a logger file, or from four readings or more of the isolated vacuum.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// The log as CSV or XLSX, with columns like t_min, p_micron
    log: Option<PathBuf>,
    /// A reading of the isolated vacuum instead of a log: time and pressure, e.g. 5min=455micron; give it four times or
    /// more
    #[arg(long, value_name = "READING", conflicts_with = "log", value_parser = vacuum_reading, allow_hyphen_values = true)]
    reading: Vec<VacuumReading>,
    /// When the pump was shut off, counted from the first reading: what came before is left out
    #[arg(long, value_name = "TIME", value_parser = typed::<Duration>, allow_hyphen_values = true)]
    isolated_after: Option<Typed<Duration>>,
    /// The level rule; given several times, the first decides and the others are told beside it
    ///
    /// [default: iec-60335-2-40-vacuum]
    #[arg(long, value_parser = rule)]
    rule: Vec<Rule>,
    /// The leak that counts: a rise like 1micron/min, or with --volume a leak like "1e-5 Pa m3/s" or a mass like 5g/yr (of
    /// air, or of --refrigerant)
    #[arg(long, value_parser = readings::limit, allow_hyphen_values = true)]
    leak_limit: Option<readings::StatedLimit>,
    /// The refrigerant to come, e.g. R-410A: a leak limit in g/yr is then of it
    #[arg(long, value_parser = refrigerant, requires = "leak_limit")]
    refrigerant: Option<Refrigerant>,
    /// A standing pressure test of the same volume: the most it lost and its pressure, e.g. 0.02psi/h@500psig
    #[arg(long, value_name = "LOSS@PRESSURE", value_parser = readings::standing, allow_hyphen_values = true)]
    standing_test: Option<readings::StandingTest>,
    /// The gauge's smallest step, e.g. 1micron; taken from the log when not given
    #[arg(long, value_parser = typed::<PressureDiff>, allow_hyphen_values = true)]
    gauge_resolution: Option<Typed<PressureDiff>>,
    /// The highest pressure the gauge can show: readings there are left out
    #[arg(long, value_parser = parse_vacuum, allow_hyphen_values = true)]
    gauge_ceiling: Option<Typed<PressureReading>>,
    /// Temperature of the coldest part of the lines
    #[arg(long, value_parser = coldest, allow_hyphen_values = true)]
    coldest: Option<Typed<Temperature>>,
    /// The evacuated volume
    #[arg(long, value_parser = typed::<Volume>, allow_hyphen_values = true)]
    volume: Option<Typed<Volume>>,
    /// Draw the rise into this folder: rise.svg, also as rise-phone.svg
    #[arg(long, value_name = "DIR")]
    figures: Option<PathBuf>,
    #[command(flatten)]
    file: RiseFile,
    #[command(flatten)]
    preview: Preview,
    #[command(flatten)]
    follow: Follow,
    #[command(flatten)]
    atmosphere: Atmosphere,
    #[command(flatten)]
    output: Output,
}

const EXAMPLES: &str = "\
Examples:
  lineproof dry rise.csv
  lineproof dry rise.csv --preview
  lineproof dry rise.csv --follow
  lineproof dry rise.csv --rule makers-500-700-15 --leak-limit 1micron/min --json
  lineproof dry rise.csv --volume 2.1L --coldest 41F
  lineproof dry rise.csv --isolated-after 14.2min
  lineproof dry rise.csv --volume 2.1L --leak-limit 5g/yr --refrigerant R-410A
  lineproof dry rise.csv --standing-test 0.02psi/h@500psig
  lineproof dry --reading 0min=400micron --reading 5min=430micron \\
    --reading 10min=450micron --reading 15min=465micron --gauge-resolution 1micron";

/// The rule of a name.
pub(super) fn rule(name: &str) -> Result<Rule, String> {
    Rule::named(name).ok_or_else(|| {
        let names: Vec<_> = Rule::all().iter().map(|r| r.name).collect();
        let typed = name.trim().to_lowercase();
        let alike = |known: &&str| strsim::jaro_winkler(&typed, known);
        let nearest = names
            .iter()
            .copied()
            .max_by(|a, b| alike(a).total_cmp(&alike(b)));
        let meant = nearest.filter(|known| alike(known) > ALIKE);
        format!(
            "\"{name}\" is no rule known here{}; the rules are {}",
            meant.map_or(String::new(), |known| format!(" (is it {known}?)")),
            names.join(", ")
        )
    })
}

/// Names closer than this are taken for a slip of the finger (own choice).
const ALIKE: f64 = 0.85;

/// The coldest part of lines that stand outdoors and indoors; beyond -60 to 80 °C the unit is wrong.
fn coldest(text: &str) -> Result<Typed<Temperature>, String> {
    let coldest = typed::<Temperature>(text).map_err(|e| e.to_string())?;
    if (-60.0..=80.0).contains(&coldest.value.in_unit(unit::CELSIUS)) {
        return Ok(coldest);
    }
    Err(format!(
        "{text}: the coldest part of the lines lies between -76 and 176 °F (-60 and 80 °C); check the unit"
    ))
}

pub(super) fn run(args: Args) -> Ran {
    let barometer = args.atmosphere.barometer()?;
    if args.log.is_none() && args.reading.is_empty() {
        return Err("nothing to judge: give the log of the isolated vacuum, or four readings or more of it like --reading 5min=455micron".into());
    }
    if let Some(path) = &args.log {
        let (file, asked) = (&args.preview, args.file.asked());
        if let Some(code) = file.shown(path, &asked, Kind::Rise, barometer, &args.output)? {
            return Ok(code);
        }
    }
    let (judged, notes) = match &args.log {
        None if args.follow.asked() => {
            return Err("readings by hand do not grow: --follow needs a log".into());
        }
        Some(path) if args.follow.asked() => {
            let (units, silent) = (args.output.units(), args.output.json);
            let judge = |upto| judged(&args, Some(upto));
            args.follow.to_the_end(path, units, silent, judge)?
        }
        _ => judged(&args, None)?,
    };
    answer(&args, &judged.finding, &notes)
}

/// The rise judged, only the first so many bytes of the log where that is asked, with what to say beside it.
fn judged(args: &Args, upto: Option<u64>) -> WithNotes {
    let barometer = args.atmosphere.barometer()?;
    let ceiling: Option<PressureAbs> = args
        .gauge_ceiling
        .as_ref()
        .map(|c| c.value.to_abs(barometer))
        .transpose()?;
    let readings::Readings { input, mut notes } = readings::readings(args, barometer, upto)?;
    let input = Input {
        gauge_ceiling: ceiling,
        coldest: args.coldest.as_ref().map(|t| t.value),
        volume: args
            .volume
            .as_ref()
            .map(|v| super::leak_rate::positive("--volume", v))
            .transpose()?,
        standing: args
            .standing_test
            .map(|test| test.of(barometer))
            .transpose()?,
        units: args.output.units(),
        ..input
    };
    let criteria = readings::criteria(args, &input, barometer, &mut notes)?;
    let finding = dry::assess(&input, &criteria)?;
    let last = input.minutes.len() - 1;
    let hours = (input.minutes[last] - input.minutes[0]) / 60.0;
    let read = (hours, input.pressure[last]);
    Ok((Judged { finding, read }, notes))
}

fn answer(
    args: &Args,
    finding: &Finding,
    notes: &[String],
) -> Result<std::process::ExitCode, Box<dyn std::error::Error>> {
    let code = outcome_code(finding.outcome);
    // the files first: a command that could not do all prints nothing
    if let Some(folder) = &args.figures {
        draw(&finding.detail, args.rule.first().cloned(), folder)?;
    }
    if args.output.json {
        let Detail::Dry(detail) = &finding.detail else {
            unreachable!("dry gives its own detail")
        };
        let [estimate, low95, high95] = detail
            .leak
            .map(|rate| rate.in_unit(unit::MICRON_PER_MINUTE));
        // nothing of a log in which the pump still pulled is a rise
        let rose = !finding.figures.is_empty();
        print(&json::document(&json::Dry {
            outcome: finding.outcome,
            cause: detail.cause,
            leak_micron_per_min: rose.then_some(json::Estimate {
                estimate,
                low95,
                high95,
            }),
            p_leak_above_limit: rose.then_some(detail.above_limit),
            p_moisture: rose.then_some(detail.moisture),
            levels_off_micron: detail
                .levels_off
                .filter(|_| rose)
                .map(|p| p.near.in_unit(unit::MICRON)),
            hold_longer_min: match finding.outcome {
                Outcome::Undecided => detail.hold_longer_min,
                _ => Some(0.0),
            },
            starts_late_min: detail.starts_late.filter(|_| rose).map(|began| {
                let minutes = |at: Duration| at.in_unit(unit::MINUTE);
                json::Estimate {
                    estimate: minutes(began.near),
                    low95: minutes(began.low),
                    high95: minutes(began.high),
                }
            }),
            steps: detail.steps.iter().map(Into::into).collect(),
            fitted_min: (!detail.steps.is_empty())
                .then_some([detail.fitted_min.0, detail.fitted_min.1]),
        }));
    } else {
        let drawn = args.figures.iter();
        let drawn = drawn.map(|f| format!("the figures are in {}", f.display()));
        let notes: Vec<_> = notes.iter().cloned().chain(drawn).collect();
        let units = args.output.units();
        print(&text::finding(finding, dry::CAUTIONS, units, Style::Plain));
        print(&text::notes(&notes));
    }
    Ok(code)
}

/// The rise as files, for a desk and for a phone; with a rule's line only where one was chosen.
fn draw(
    detail: &Detail,
    rule: Option<Rule>,
    folder: &Path,
) -> Result<(), Box<dyn std::error::Error>> {
    let Detail::Dry(detail) = detail else {
        unreachable!("dry gives its own detail")
    };
    let rise = RiseFigure::of(detail, rule.map(Into::into));
    let rise = rise.ok_or("there is no reading to draw")?;
    std::fs::create_dir_all(folder).map_err(super::cannot_be_written(folder))?;
    for (width, end) in [(Width::Wide, ""), (Width::Narrow, "-phone")] {
        let svg = figure::rise::draw(&rise, width, "rise")?;
        let path = folder.join(format!("rise{end}.svg"));
        super::write(&path, &figure::standing_alone(&svg))?;
    }
    Ok(())
}
