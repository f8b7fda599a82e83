//! `tight`: judge a logged standing pressure test.

use std::path::PathBuf;

use super::args::{Atmosphere, Output, typed};
use super::logfile::LogFile;
use super::{Ran, outcome_code, print};
use crate::check::Detail;
use crate::check::tight::{self, Criteria, HoldLonger, Input, Limit, TestGas};
use crate::out::json;
use crate::out::text::{self, Style};
use crate::quantity::{Fraction, PressureDiff, PressureRate, Quantity, Typed, unit};
use crate::record::logger::{self, HoldLog, Kind};

/// Judges a standing pressure test of dry nitrogen from a logger file.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// The log as CSV or XLSX, with columns like t_h, p_psig, T_outdoor_F, T_indoor_F
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
    /// The test gas: nitrogen, argon, helium, air or oxygen
    #[arg(long, default_value = "nitrogen", value_parser = gas)]
    gas: TestGas,
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
  lineproof tight logger.xlsx --preview
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

pub(super) fn run(args: Args) -> Ran {
    let units = args.output.units();
    let barometer = args.atmosphere.barometer()?;
    let (file, asked) = (&args.file.reading, args.file.asked());
    if let Some(code) = file.preview(&args.log, &asked, Kind::Hold, barometer, &args.output)? {
        return Ok(code);
    }
    let log = logger::read_hold(&args.log, &asked, barometer)?;
    let HoldLog {
        hours,
        pressure,
        smallest_step,
        outdoor,
        indoor,
        witness,
        left_out,
        notes: odd,
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
        gas: args.gas,
        barometer,
        units,
        ..Input::of(hours, pressure, step)
    };
    let criteria = Criteria {
        limit: args.limit.map_or(Limit::Scaled, |l| Limit::Stated(l.value)),
        ..Criteria::default()
    };
    let finding = tight::assess(&input, &criteria)?;
    let code = outcome_code(finding.outcome);
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
        notes.extend(odd);
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
