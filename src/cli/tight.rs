//! `tight`: judge a logged standing pressure test.

use std::path::PathBuf;

use super::args::{Atmosphere, Output, typed};
use super::follow::{Follow, Judged, NeverMoves};
use super::logfile::LogFile;
use super::{Ran, outcome_code, print};
use crate::check::tight::{self, Criteria, HoldLonger, Input, Limit, TestGas};
use crate::check::{Detail, Finding};
use crate::out::json;
use crate::out::text::{self, Style};
use crate::quantity::{Fraction, PressureDiff, PressureRate, Quantity, Typed, unit};
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
    /// The test gas: nitrogen, argon, helium, air or oxygen
    #[arg(long, default_value = "nitrogen", value_parser = gas)]
    gas: TestGas,
    #[command(flatten)]
    file: LogFile,
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
  lineproof tight night.csv --outdoor-share 0.8 --follow
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
    stated.or(step).ok_or_else(|| NeverMoves.into())
}

pub(super) fn run(args: Args) -> Ran {
    if !args.follow.asked() {
        let (judged, notes) = judged(&args, None)?;
        return answer(&args, &judged.finding, notes);
    }
    let mut last = None;
    let judge = |upto| {
        let (judged, notes) = judged(&args, Some(upto))?;
        last = Some((judged.clone(), notes));
        Ok(judged)
    };
    let (units, silent) = (args.output.units(), args.output.json);
    let whole = args.follow.run(&args.log, units, silent, judge)?;
    let (judged, mut notes) = match whole {
        Some(whole) => judged(&args, Some(whole))?,
        None => last.ok_or("the log is gone, and nothing of it was judged")?,
    };
    match (whole, std::fs::metadata(&args.log)) {
        (Some(whole), Ok(file)) if file.len() > whole => {
            notes.push("the last line of the log has no end yet and is left out".into());
        }
        (None, _) => notes.push("the log is gone: this is what was last read of it".into()),
        _ => {}
    }
    answer(&args, &judged.finding, notes)
}

/// The log judged, or only its first so many bytes, with what to say beside it.
fn judged(
    args: &Args,
    upto: Option<u64>,
) -> Result<(Judged, Vec<String>), Box<dyn std::error::Error>> {
    let units = args.output.units();
    let barometer = args.atmosphere.barometer()?;
    let asked = logger::Asked {
        upto,
        ..args.file.asked()
    };
    let log = logger::read_hold(&args.log, &asked, barometer)?;
    let HoldLog {
        hours,
        pressure,
        smallest_step,
        outdoor,
        indoor,
        witness,
        left_out,
        notes,
        ..
    } = log;
    let read = (hours[hours.len() - 1], pressure[pressure.len() - 1]);
    let step = resolution(
        args.gauge_resolution.as_ref().map(|r| r.value),
        smallest_step,
    )?;
    let input = Input {
        outdoor,
        indoor,
        witness,
        outdoor_share: args.outdoor_share.as_ref().map(|s| s.value),
        gauge_drift_per_kelvin: args.gauge_full_scale.as_ref().map(|f| {
            PressureDiff::from_si(f.value.si() * crate::quantity::BOURDON_DRIFT_PER_KELVIN)
        }),
        gas: args.gas,
        barometer,
        units,
        ..Input::of(hours, pressure, step)
    };
    let criteria = Criteria {
        limit: args
            .limit
            .as_ref()
            .map_or(Limit::Scaled, |l| Limit::Stated(l.value)),
        ..Criteria::default()
    };
    let finding = tight::assess(&input, &criteria)?;
    let left_out = left_out.iter().map(|l| format!("left out: {l}"));
    let mut notes: Vec<String> = left_out.chain(notes).collect();
    notes.push(super::args::gauge_zero(barometer));
    Ok((Judged { finding, read }, notes))
}

fn answer(args: &Args, finding: &Finding, notes: Vec<String>) -> Ran {
    let units = args.output.units();
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
