//! `tight`: judge a logged standing pressure test.

use std::path::{Path, PathBuf};

use super::args::{Atmosphere, Output, refrigerant, typed};
use super::logfile::LogFile;
use super::{Ran, outcome_code, print, write};
use crate::check::tight::{self, Criteria, HoldLonger, Input, Limit, TestGas};
use crate::check::{Detail, Finding};
use crate::fluid::Refrigerant;
use crate::out::figure::{self, Width, hold, hold_residuals, loss_limit};
use crate::out::text::{self, Style};
use crate::out::{held, json};
use crate::quantity::{
    Fraction, Mass, PressureDiff, PressureRate, Quantity, Typed, UnitSystem, Volume, unit,
};
use crate::record::logger::{self, HoldLog};

/// Judges a standing pressure test of dry nitrogen from a logger file.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// The log as CSV, with columns like t_h, p_psig, T_outdoor_F, T_indoor_F
    log: PathBuf,
    /// Share of the volume that is outdoors, e.g. 0.8 or "80 %"
    #[arg(long, value_parser = typed::<Fraction>, allow_hyphen_values = true)]
    outdoor_share: Option<Typed<Fraction>>,
    /// The gauge's smallest step, e.g. 0.5psi; taken from the log when not given
    #[arg(long, value_parser = typed::<PressureDiff>, allow_hyphen_values = true)]
    gauge_resolution: Option<Typed<PressureDiff>>,
    /// The gauge's full scale, e.g. 800psi: its zero moves 0.04 % of it per kelvin
    #[arg(long, value_parser = typed::<PressureDiff>, allow_hyphen_values = true)]
    gauge_full_scale: Option<Typed<PressureDiff>>,
    /// The loss that decides, e.g. 0.05psi/h
    #[arg(long, value_parser = typed::<PressureRate>, allow_hyphen_values = true)]
    limit: Option<Typed<PressureRate>>,
    /// The volume under test, e.g. 2L: with the refrigerant it turns psi/h into ounces a year
    #[arg(long, value_parser = typed::<Volume>, allow_hyphen_values = true)]
    volume: Option<Typed<Volume>>,
    /// The refrigerant to come, e.g. R-410A
    #[arg(long, value_parser = refrigerant)]
    refrigerant: Option<Refrigerant>,
    /// The charge, e.g. 3kg: with volume and refrigerant the limit is 5 % of it a year
    #[arg(long, value_parser = typed::<Mass>, allow_hyphen_values = true)]
    charge: Option<Typed<Mass>>,
    /// The test gas: nitrogen, argon, helium, air or oxygen
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
  lineproof tight logger.csv --pressure-column Sensor1 --pressure-unit \"bar gauge\"";

fn gas(name: &str) -> Result<TestGas, String> {
    TestGas::parse(name).ok_or_else(|| {
        format!("\"{name}\" is no test gas known here: nitrogen, argon, helium, air or oxygen")
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

pub(super) fn run(args: Args) -> Ran {
    let units = args.output.units();
    let barometer = args.atmosphere.barometer()?;
    let log = logger::read_hold(&args.log, &args.file.asked(), barometer)?;
    let HoldLog {
        hours,
        pressure,
        smallest_step,
        outdoor,
        indoor,
        witness,
        left_out,
        ..
    } = log;
    let step = resolution(args.gauge_resolution.map(|r| r.value), smallest_step)?;
    let input = Input {
        outdoor,
        indoor,
        witness,
        outdoor_share: args.outdoor_share.map(|s| s.value),
        gauge_drift_per_kelvin: args.gauge_full_scale.map(|f| {
            PressureDiff::from_si(f.value.si() * crate::quantity::BOURDON_DRIFT_PER_KELVIN)
        }),
        volume: args
            .volume
            .as_ref()
            .map(|v| tight::mass::stated_volume(v.value)),
        refrigerant: args.refrigerant,
        charge: args.charge.as_ref().map(|c| c.value),
        gas: args.gas,
        barometer,
        units,
        ..Input::of(hours, pressure, step)
    };
    let criteria = Criteria {
        limit: args.limit.map_or(Limit::Usual, |l| Limit::Stated(l.value)),
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
        let Detail::Tight(detail) = &finding.detail else {
            unreachable!("tight gives its own detail")
        };
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
        }));
    } else {
        let mut notes = left_out
            .iter()
            .map(|l| format!("left out: {l}"))
            .collect::<Vec<_>>();
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
