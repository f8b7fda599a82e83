//! `tight`: judge a logged standing pressure test.

use std::io::Write;
use std::path::{Path, PathBuf};

use super::add::test_reading;
use super::args::{Atmosphere, Output, gauge, refrigerant, typed};
use super::logfile::LogFile;
use super::{Ran, outcome_code, print, write};
use crate::check::tight::{
    self, CodeRule, Criteria, HoldLonger, Input, Limit, RigBlank, TestGas, Unlogged,
};
use crate::check::{Detail, Finding, Segment};
use crate::fluid::Refrigerant;
use crate::out::figure::{self, Width, hold, hold_residuals, loss_limit};
use crate::out::text::{self, Style};
use crate::out::{held, json};
use crate::physics::volume;
use crate::quantity::{
    Barometer, Fraction, Mass, PressureAbs, PressureDiff, PressureGauge, PressureRate, Quantity,
    Temperature, TemperatureDiff, Typed, UnitSystem, Volume, unit,
};
use crate::record::logger;
use crate::record::{AsTyped, TestReading};

/// Judges a standing pressure test from a logger file, or from a few readings.
///
/// The fewest that are judged are two readings; what each further thing would bring is said with the answer.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// The log as CSV, with columns like t_h, p_psig, T_outdoor_F, T_indoor_F
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
    atmosphere: Atmosphere,
    #[command(flatten)]
    output: Output,
}

const EXAMPLES: &str = "\
Examples:
  lineproof tight night.csv --outdoor-share 0.8 --gauge-resolution 0.5psi
  lineproof tight night.csv --altitude 5200ft --limit 0.02psi/h --json
  lineproof tight night.csv --outdoor-share 0.8 --figures night-figures
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
    stated.or(step).ok_or_else(|| {
        "the pressure never changes in this log, so the gauge's smallest step cannot be taken from it: state it with --gauge-resolution, for example 0.5psi".into()
    })
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

/// `SHARE=SWING`, the swing from the coolest to the warmest hour of a day.
fn unlogged(text: &str) -> Result<Unlogged, String> {
    let (share, swing) = text.split_once('=').ok_or_else(|| {
        format!("\"{text}\" has no swing: type the share and the swing of a day from coolest to warmest, for example \"20 %=45F\"")
    })?;
    let share = typed::<Fraction>(share).map_err(|e| e.to_string())?;
    let swing = typed::<TemperatureDiff>(swing).map_err(|e| e.to_string())?;
    if !(0.0..=80.0).contains(&swing.value.si()) {
        return Err(format!(
            "\"{}\": a day's swing lies between 0 and 144 F (80 K); type it from the coolest to the warmest hour",
            swing.text
        ));
    }
    Ok(Unlogged {
        share: share.value,
        half_swing: TemperatureDiff::from_si(0.5 * swing.value.si()),
    })
}

/// Readings with what goes with them, from a file or as typed.
fn readings(
    args: &Args,
    barometer: Barometer,
) -> Result<(Input, Vec<String>), Box<dyn std::error::Error>> {
    let stated = args.gauge_resolution.as_ref().map(|r| r.value);
    let Some(path) = &args.log else {
        return Ok((by_hand(&args.reading, stated, barometer)?, Vec::new()));
    };
    read(path, &args.file, stated, barometer)
}

fn read(
    path: &Path,
    file: &LogFile,
    stated: Option<PressureDiff>,
    barometer: Barometer,
) -> Result<(Input, Vec<String>), Box<dyn std::error::Error>> {
    let log = logger::read_hold(path, &file.asked(), barometer)?;
    let step = resolution(stated, log.smallest_step)?;
    let left_out = log.left_out.iter().map(|l| format!("left out: {l}"));
    let notes = left_out.collect();
    let input = Input {
        outdoor: log.outdoor,
        indoor: log.indoor,
        witness: log.witness,
        ..Input::of(log.hours, log.pressure, step)
    };
    Ok((input, notes))
}

/// Readings as typed; a temperature counts when every reading has it.
fn by_hand(
    readings: &[TestReading],
    stated: Option<PressureDiff>,
    barometer: Barometer,
) -> Result<Input, Box<dyn std::error::Error>> {
    if readings.len() < 2 {
        return Err("1 reading: a standing pressure test needs two or more, a time apart; give --reading again".into());
    }
    let hours = readings.iter().filter_map(|r| r.after.as_ref());
    let hours: Vec<f64> = hours
        .map(|after| after.value().in_unit(unit::HOUR_DURATION))
        .collect();
    let pressure: Result<Vec<PressureAbs>, _> = readings
        .iter()
        .map(|r| r.pressure.value().to_abs(barometer))
        .collect();
    let step = stated.ok_or("readings by hand do not show the gauge's smallest step: state it with --gauge-resolution, for example 1psi")?;
    let column = |what: &str, of: fn(&TestReading) -> &Option<AsTyped<Temperature>>| {
        let read: Vec<Temperature> = readings
            .iter()
            .filter_map(|r| of(r).as_ref())
            .map(AsTyped::value)
            .collect();
        match read.len() {
            0 => Ok(None),
            all if all == readings.len() => Ok(Some(read)),
            some => Err(format!(
                "{some} of {} readings have {what} temperature: give it with every reading, or with none",
                readings.len()
            )),
        }
    };
    Ok(Input {
        outdoor: column("an outdoor", |r| &r.outdoor)?,
        indoor: column("an indoor", |r| &r.indoor)?,
        ..Input::of(hours, pressure?, step)
    })
}

/// What the rig lost alone, judged by the same method.
fn rig(args: &Args, input: &Input) -> Result<Option<RigBlank>, Box<dyn std::error::Error>> {
    let Some(path) = &args.rig_blank else {
        return Ok(None);
    };
    let (alone, _) = read(path, &args.file, None, input.barometer).or_else(|_| {
        read(
            path,
            &args.file,
            Some(input.gauge_resolution),
            input.barometer,
        )
    })?;
    let alone = Input {
        gauge_drift_per_kelvin: input.gauge_drift_per_kelvin,
        outdoor_share: input.outdoor_share,
        gas: input.gas,
        barometer: input.barometer,
        covers: vec![Segment::Hoses],
        ..alone
    };
    let found = tight::assess(&alone, &Criteria::default())
        .map_err(|error| format!("{}: {error}", path.display()))?;
    let detail = detail(&found);
    let share = args.rig_share.as_ref().map(|s| s.value);
    Ok(Some(RigBlank::scaled(
        detail.loss,
        alone.pressure[0],
        input.pressure[0],
        share,
    )))
}

fn detail(finding: &Finding) -> &tight::Detail {
    match &finding.detail {
        Detail::Tight(detail) => detail,
        _ => unreachable!("tight gives its own detail"),
    }
}

pub(super) fn run(args: Args) -> Ran {
    let units = args.output.units();
    let barometer = args.atmosphere.barometer()?;
    if let Some(path) = &args.log
        && logger::is_rehearsal(path)
    {
        // beside the result, so that JSON stays whole
        let file = path.display();
        let _ = writeln!(
            std::io::stderr(),
            "note: {file} is a rehearsal, not a measurement: it says nothing about your line set"
        );
    }
    let (read, mut notes) = readings(&args, barometer)?;
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
        units,
        ..read
    };
    input.rig = rig(&args, &input)?;
    let criteria = Criteria {
        limit: args.limit.map_or(Limit::Usual, |l| Limit::Stated(l.value)),
        code_rule: args.code_rule,
        ..Criteria::default()
    };
    positive("--volume", args.volume.as_ref())?;
    positive("--charge", args.charge.as_ref())?;
    let finding = tight::assess(&input, &criteria)?;
    let code = outcome_code(finding.outcome);
    // the files first: a command that could not do all prints nothing
    if let Some(folder) = &args.figures {
        draw(&finding, folder, units)?;
    }
    if args.output.json {
        let detail = detail(&finding);
        let psi = |rate: PressureRate| rate.in_unit(unit::PSI_PER_HOUR);
        let [estimate, low95, high95] = detail.loss.map(psi);
        print(&json::document(&json::Tight {
            outcome: finding.outcome,
            leak_seen: detail.leak_seen,
            loss_psi_per_h: Some(json::Estimate {
                estimate,
                low95,
                high95,
            }),
            refrigerant: detail.mass.as_ref().map(json::RefrigerantLoss::from),
            limit_psi_per_h: Some(psi(detail.limit)),
            hold_longer_h: match detail.hold_longer {
                HoldLonger::Decided => Some(0.0),
                HoldLonger::Hours(hours) => Some(hours),
                HoldLonger::Never(_) => None,
            },
            loss_percent_per_day: {
                let [estimate, low95, high95] = detail.per_day.map(|share| 100.0 * share);
                Some(json::Estimate {
                    estimate,
                    low95,
                    high95,
                })
            },
        }));
    } else {
        if input.volume.is_none() || input.refrigerant.is_none() {
            notes.push("With --volume and --refrigerant this would be ounces and grams a year; with --charge too, the limit would be 5 % of it a year".into());
        }
        notes.extend(
            (args.figures.iter()).map(|folder| format!("the figures are in {}", folder.display())),
        );
        notes.push(super::args::gauge_zero(barometer));
        print(&text::finding(
            &finding,
            tight::CAUTIONS,
            units,
            Style::Plain,
        ));
        print(&text::notes(&notes));
    }
    Ok(code)
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
