//! `dry`: judge a logged vacuum rise.

use std::path::{Path, PathBuf};

use super::args::{Atmosphere, Output, typed};
use super::follow::{Follow, Judged, WithNotes};
use super::logfile::{Preview, RiseFile};
use super::tight::resolution;
use super::{Ran, outcome_code, print};
use crate::check::dry::{self, Criteria, Input, Rule};
use crate::check::{Detail, Finding, Outcome};
use crate::out::figure::{self, RiseFigure, Width};
use crate::out::json;
use crate::out::text::{self, Style};
use crate::quantity::{PressureAbs, PressureReading};
use crate::quantity::{
    PressureDiff, Quantity, RiseRate, Temperature, Typed, Volume, parse_vacuum, unit,
};
use crate::record::logger::{self, Asked, Kind};
use crate::source::SourceId;

/// Judges a vacuum rise from a logger file of the isolated phase.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// The log as CSV or XLSX, with columns like t_min, p_micron
    log: PathBuf,
    /// The level rule [default: iec-60335-2-40-vacuum]
    #[arg(long, value_parser = rule)]
    rule: Option<Rule>,
    /// The steady rise that counts as a leak, e.g. 1micron/min
    #[arg(long, value_parser = typed::<RiseRate>, allow_hyphen_values = true)]
    leak_limit: Option<Typed<RiseRate>>,
    /// The gauge's smallest step, e.g. 1micron; taken from the log when not given
    #[arg(long, value_parser = typed::<PressureDiff>, allow_hyphen_values = true)]
    gauge_resolution: Option<Typed<PressureDiff>>,
    /// The highest pressure the gauge can show: readings there are left out
    #[arg(long, value_parser = parse_vacuum)]
    gauge_ceiling: Option<Typed<PressureReading>>,
    /// Temperature of the coldest part of the lines
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true)]
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
  lineproof dry rise.csv --volume 2.1L --coldest 41F";

/// The rule of a name.
pub(super) fn rule(name: &str) -> Result<Rule, String> {
    Rule::named(name).ok_or_else(|| {
        let names: Vec<_> = Rule::ALL.iter().map(|r| r.name).collect();
        format!(
            "\"{name}\" is no rule known here; the rules are {}",
            names.join(", ")
        )
    })
}

pub(super) fn run(args: Args) -> Ran {
    let barometer = args.atmosphere.barometer()?;
    let (file, asked) = (&args.preview, args.file.asked());
    if let Some(code) = file.shown(&args.log, &asked, Kind::Rise, barometer, &args.output)? {
        return Ok(code);
    }
    let (judged, notes) = if args.follow.asked() {
        let (units, silent) = (args.output.units(), args.output.json);
        let judge = |upto| judged(&args, Some(upto));
        args.follow.to_the_end(&args.log, units, silent, judge)?
    } else {
        judged(&args, None)?
    };
    answer(&args, &judged.finding, &notes)
}

/// The rise judged, only the first so many bytes of the log where that is asked, with what to say beside it.
fn judged(args: &Args, upto: Option<u64>) -> WithNotes {
    let barometer = args.atmosphere.barometer()?;
    let asked = Asked {
        upto,
        ..args.file.asked()
    };
    let log = logger::read_rise(&args.log, &asked, barometer)?;
    let ceiling: Option<PressureAbs> = args
        .gauge_ceiling
        .as_ref()
        .map(|c| c.value.to_abs(barometer))
        .transpose()?;
    let left_out = log.left_out.iter().map(|l| format!("left out: {l}"));
    let notes: Vec<_> = left_out.chain(log.notes).collect();
    let input = Input {
        minutes: log.minutes,
        pressure: log.pressure,
        gauge_resolution: resolution(
            args.gauge_resolution.as_ref().map(|r| r.value),
            log.smallest_step,
        )?,
        gauge_ceiling: ceiling,
        coldest: args.coldest.as_ref().map(|t| t.value),
        volume: args.volume.as_ref().map(|v| v.value),
        covers: Vec::new(),
        units: args.output.units(),
    };
    let mut criteria = Criteria {
        rule: args.rule.unwrap_or(Criteria::default().rule),
        ..Criteria::default()
    };
    if let Some(limit) = &args.leak_limit {
        criteria.leak_limit = limit.value;
        criteria.leak_source = SourceId::UnitInstructions;
    }
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
        draw(&finding.detail, args.rule, folder)?;
    }
    if args.output.json {
        let Detail::Dry(detail) = &finding.detail else {
            unreachable!("dry gives its own detail")
        };
        let [estimate, low95, high95] = detail
            .leak
            .map(|rate| rate.in_unit(unit::MICRON_PER_MINUTE));
        print(&json::document(&json::Dry {
            outcome: finding.outcome,
            cause: detail.cause,
            leak_micron_per_min: Some(json::Estimate {
                estimate,
                low95,
                high95,
            }),
            p_leak_above_limit: Some(detail.above_limit),
            p_moisture: Some(detail.moisture),
            levels_off_micron: detail.levels_off.map(|p| p.in_unit(unit::MICRON)),
            hold_longer_min: match finding.outcome {
                Outcome::Undecided => detail.hold_longer_min,
                _ => Some(0.0),
            },
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
