//! `tight`: judge a logged standing pressure test.

mod readings;

use std::io::Write;
use std::path::{Path, PathBuf};

use readings::{Readings, readings, rig, unlogged};

use super::add::test_reading;
use super::args::{Atmosphere, Output, gauge, refrigerant, typed};
use super::follow::{Follow, Judged, NeverMoves, WithNotes};
use super::logfile::{LogFile, Preview};
use super::{Ran, finding_code, print, write};
use crate::check::tight::{self, CodeRule, Criteria, HoldLonger, Input, Limit, TestGas, Unlogged};
use crate::check::{Detail, Finding};
use crate::fluid::Refrigerant;
use crate::out::figure::{self, Width, hold, hold_residuals, loss_limit};
use crate::out::text::{self, Style};
use crate::out::{held, json};
use crate::physics::volume;
use crate::quantity::{
    Fraction, Mass, PressureDiff, PressureGauge, PressureRate, Quantity, Typed, UnitSystem, Volume,
    unit,
};
use crate::record::TestReading;
use crate::record::logger::{self, Kind};

/// Judges a standing pressure test from a logger file, or from a few readings.
///
/// The fewest that are judged are two readings; what each further thing would bring is said with the answer.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// The log as CSV or XLSX, with columns like t_h, p_psig, T_outdoor_F, T_indoor_F
    #[arg(required_unless_present = "reading")]
    log: Option<PathBuf>,
    /// A reading instead of a log: time since the start, pressure, and optionally outdoor and indoor temperature, e.g.
    /// 0h=500psig,68F,70F; give it twice or more
    #[arg(long, value_name = "READING", conflicts_with = "log", value_parser = test_reading, allow_hyphen_values = true)]
    reading: Vec<TestReading>,
    /// Share of the volume that is outdoors, e.g. 0.8 or "80 %"
    #[arg(long, value_parser = typed::<Fraction>, allow_hyphen_values = true)]
    outdoor_share: Option<Typed<Fraction>>,
    /// A part of the volume where no thermometer hangs and how far it swings from the coolest to the warmest hour of a
    /// day, e.g. "20 %=45F"
    #[arg(long, value_name = "SHARE=SWING", value_parser = unlogged, allow_hyphen_values = true)]
    unlogged: Option<Unlogged>,
    /// The outdoor unit's compressor is under pressure too: its oil takes up gas for hours
    #[arg(long)]
    compressor: bool,
    /// Volume of all that is under pressure, e.g. 2.4L; `lineproof volume` finds it
    #[arg(long, value_parser = typed::<Volume>, allow_hyphen_values = true)]
    volume: Option<Typed<Volume>>,
    /// The refrigerant to come, e.g. R-32
    #[arg(long, value_parser = refrigerant)]
    refrigerant: Option<Refrigerant>,
    /// Nameplate charge with its line-length adjustment, e.g. "5 lb 4 oz"
    #[arg(long, value_parser = typed::<Mass>, allow_hyphen_values = true)]
    charge: Option<Typed<Mass>>,
    /// The lowest rating of what is under pressure, nameplate or tube, e.g. 550psig
    #[arg(long, value_parser = gauge, allow_hyphen_values = true)]
    rated: Option<Typed<PressureGauge>>,
    /// The design pressure that a code rule asks for: of the low side, where the sides are one volume
    #[arg(long, value_parser = gauge, allow_hyphen_values = true)]
    design: Option<Typed<PressureGauge>>,
    /// A log of gauge, hose and valve alone, shut off from the line: tells the rig's leak from the line's
    #[arg(long, value_name = "FILE")]
    rig_blank: Option<PathBuf>,
    /// The rig's share of the volume, e.g. "4 %"; all of its loss counts when not given
    #[arg(long, value_parser = typed::<Fraction>, requires = "rig_blank", allow_hyphen_values = true)]
    rig_share: Option<Typed<Fraction>>,
    /// The gauge's smallest step, e.g. 0.5psi; taken from the log when not given
    #[arg(long, value_parser = typed::<PressureDiff>, allow_hyphen_values = true)]
    gauge_resolution: Option<Typed<PressureDiff>>,
    /// The gauge's full scale, e.g. 800psi: its zero moves 0.04 % of it per kelvin
    #[arg(long, value_parser = typed::<PressureDiff>, allow_hyphen_values = true)]
    gauge_full_scale: Option<Typed<PressureDiff>>,
    /// The loss that decides, e.g. 0.05psi/h
    #[arg(long, value_parser = typed::<PressureRate>, allow_hyphen_values = true)]
    limit: Option<Typed<PressureRate>>,
    /// The rule of a code or a maker that is judged beside it, e.g. ufgs-23-pressure
    #[arg(long, default_value = "iec-60335-2-40-pressure", value_parser = code_rule)]
    code_rule: CodeRule,
    /// The test gas: nitrogen, argon, helium, forming-gas, air or oxygen
    #[arg(long, default_value = "nitrogen", value_parser = gas)]
    gas: TestGas,
    /// Draw the test into this folder: hold.svg, residuals.svg, loss-limit.svg, each also as -phone.svg
    #[arg(long, value_name = "DIR")]
    figures: Option<PathBuf>,
    #[command(flatten)]
    file: LogFile,
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
  lineproof tight night.csv --outdoor-share 0.8 --gauge-resolution 0.5psi
  lineproof tight night.csv --altitude 5200ft --limit 0.02psi/h --json
  lineproof tight night.csv --outdoor-share 0.8 --figures night-figures
  lineproof tight night.csv --outdoor-share 0.8 --follow
  lineproof tight logger.xlsx --preview
  lineproof tight logger.csv --pressure-column Sensor1 --pressure-unit \"bar gauge\"
  lineproof tight --reading 0h=500psig,68F,70F --reading 12h=487psig,55F,69F \\
    --reading 24h=499psig,67F,70F --gauge-resolution 1psi --outdoor-share 0.8
  lineproof tight night.csv --rig-blank rig.csv --rig-share \"4 %\"

Exit codes: 0 pass; 1 fail; 3 undecided; 2 could not run.";

pub(super) fn gas(name: &str) -> Result<TestGas, String> {
    TestGas::parse(name).ok_or_else(|| {
        format!("\"{name}\" is no test gas known here: nitrogen, argon, helium, forming-gas, air or oxygen")
    })
}

/// The resolution to use: as stated, else the smallest step that the log shows.
pub(super) fn resolution(
    stated: Option<PressureDiff>,
    step: Option<PressureDiff>,
) -> Result<PressureDiff, Box<dyn std::error::Error>> {
    stated.or(step).ok_or_else(|| NeverMoves.into())
}

/// Nothing or above zero.
fn positive<Q: Quantity>(name: &str, typed: Option<&Typed<Q>>) -> Result<(), String> {
    match typed {
        Some(typed) => super::leak_rate::positive(name, typed).map(drop),
        None => Ok(()),
    }
}

/// The pressure rule of a name.
pub(super) fn code_rule(name: &str) -> Result<CodeRule, String> {
    CodeRule::named(name).ok_or_else(|| {
        let known = CodeRule::names().join(", ");
        format!(
            "\"{name}\" is no rule for a standing pressure test known here; the rules are {known}"
        )
    })
}

fn detail(finding: &Finding) -> &tight::Detail {
    match &finding.detail {
        Detail::Tight(detail) => detail,
        _ => unreachable!("tight gives its own detail"),
    }
}

pub(super) fn run(args: Args) -> Ran {
    positive("--volume", args.volume.as_ref())?;
    positive("--charge", args.charge.as_ref())?;
    let Some(path) = &args.log else {
        if args.follow.asked() {
            return Err("readings by hand do not grow: --follow needs a log".into());
        }
        let (judged, notes) = judged(&args, None)?;
        return answer(&args, &judged.finding, notes);
    };
    if logger::is_rehearsal(path) {
        // beside the result, so that JSON stays whole
        let file = path.display();
        let _ = writeln!(
            std::io::stderr(),
            "note: {file} is a rehearsal, not a measurement: it says nothing about your line set"
        );
    }
    let (file, asked) = (&args.preview, args.file.asked());
    let barometer = args.atmosphere.barometer()?;
    if let Some(code) = file.shown(path, &asked, Kind::Hold, barometer, &args.output)? {
        return Ok(code);
    }
    if !args.follow.asked() {
        let (judged, notes) = judged(&args, None)?;
        return answer(&args, &judged.finding, notes);
    }
    let (units, silent) = (args.output.units(), args.output.json);
    let judge = |upto| judged(&args, Some(upto));
    let (judged, notes) = args.follow.to_the_end(path, units, silent, judge)?;
    answer(&args, &judged.finding, notes)
}

/// The readings judged, of a log only the first so many bytes where that is asked, with what to say beside it.
fn judged(args: &Args, upto: Option<u64>) -> WithNotes {
    let barometer = args.atmosphere.barometer()?;
    let Readings {
        input: read,
        mut notes,
    } = readings(args, barometer, upto)?;
    let mut input = Input {
        outdoor_share: args.outdoor_share.as_ref().map(|s| s.value),
        unlogged: args.unlogged,
        compressor: args.compressor,
        gauge_drift_per_kelvin: args.gauge_full_scale.as_ref().map(|f| {
            PressureDiff::from_si(f.value.si() * crate::quantity::BOURDON_DRIFT_PER_KELVIN)
        }),
        volume: args.volume.as_ref().map(|v| volume::stated(v.value)),
        refrigerant: args.refrigerant,
        charge: args.charge.as_ref().map(|c| c.value),
        gas: args.gas,
        barometer,
        rated: args.rated.as_ref().map(|r| r.value),
        design: args.design.as_ref().map(|r| r.value),
        units: args.output.units(),
        ..read
    };
    input.rig = rig(args, &input)?;
    let stated = args.limit.as_ref();
    let criteria = Criteria {
        limit: stated.map_or(Limit::Usual, |l| Limit::Stated(l.value)),
        code_rule: args.code_rule,
        ..Criteria::default()
    };
    let finding = tight::assess(&input, &criteria)?;
    if input.volume.is_none() || input.refrigerant.is_none() {
        notes.push("With --volume and --refrigerant this would be ounces and grams a year; with --charge too, the limit would be 5 % of it a year".into());
    }
    notes.push(super::args::gauge_zero(barometer));
    let last = input.hours.len() - 1;
    let read = (input.hours[last] - input.hours[0], input.pressure[last]);
    Ok((Judged { finding, read }, notes))
}

fn answer(args: &Args, finding: &Finding, mut notes: Vec<String>) -> Ran {
    let units = args.output.units();
    let code = finding_code(finding);
    // the files first: a command that could not do all prints nothing
    if let Some(folder) = &args.figures {
        draw(finding, folder, units)?;
        notes.push(format!("the figures are in {}", folder.display()));
    }
    if args.output.json {
        print(&json::document(&shown(finding)));
    } else {
        print(&text::finding(
            finding,
            tight::CAUTIONS,
            units,
            Style::Plain,
        ));
        print(&text::notes(&notes));
    }
    Ok(code)
}

fn shown(finding: &Finding) -> json::Tight {
    let detail = detail(finding);
    let psi = |rate: PressureRate| rate.in_unit(unit::PSI_PER_HOUR);
    let three = |[estimate, low95, high95]: [f64; 3]| {
        Some(json::Estimate {
            estimate,
            low95,
            high95,
        })
    };
    json::Tight {
        outcome: finding.outcome,
        stop: finding.stop().map(|reason| reason.code),
        leak_seen: detail.leak_seen,
        loss_psi_per_h: three(detail.loss.map(psi)),
        refrigerant: detail.mass.as_ref().map(json::RefrigerantLoss::from),
        limit_psi_per_h: Some(psi(detail.limit)),
        hold_longer_h: match detail.hold_longer {
            HoldLonger::Decided => Some(0.0),
            HoldLonger::Hours(hours) => Some(hours),
            HoldLonger::Never(_) => None,
        },
        loss_percent_per_day: three(detail.per_day.map(|share| 100.0 * share)),
    }
}

/// All figures of the test as files, for a desk and for a phone.
fn draw(
    finding: &Finding,
    folder: &Path,
    units: UnitSystem,
) -> Result<(), Box<dyn std::error::Error>> {
    let Some((hold, residuals, limit)) = held::figures(finding, "the log's first row", units)
    else {
        unreachable!("tight gives its own detail, and readings")
    };
    std::fs::create_dir_all(folder).map_err(super::cannot_be_written(folder))?;
    for (width, end) in [(Width::Wide, ""), (Width::Narrow, "-phone")] {
        let drawn = [
            ("hold", hold::draw(&hold, width, "hold")?),
            (
                "residuals",
                hold_residuals::draw(&residuals, width, "residuals")?,
            ),
            ("loss-limit", loss_limit::draw(&limit, width, "loss-limit")?),
        ];
        for (name, svg) in drawn {
            let path = folder.join(format!("{name}{end}.svg"));
            write(&path, &figure::standing_alone(&svg))?;
        }
    }
    Ok(())
}
