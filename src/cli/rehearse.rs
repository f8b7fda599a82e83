//! `rehearse`: a practice log with a hidden truth.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use super::args::{Output, typed};
use super::hold::{HoldArgs, units};
use super::{Ran, outcome_code, print, write};
use crate::check::tight::Criteria;
use crate::check::tight::rehearse::{Leak, Rehearsal, Setup, Tally, Touch, rehearse, tally};
use crate::out::text::{self, Style};
use crate::out::{json, planned};
use crate::quantity::{self, PressureDiff, PressureRate, Quantity, Typed, UnitSystem, unit};

/// A practice log of a standing pressure test on your own line set, with a hidden truth.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    #[command(flatten)]
    hold: HoldArgs,
    /// Write the practice log here, as CSV
    #[arg(long, value_name = "FILE.csv")]
    out: Option<PathBuf>,
    /// none, small (3 times the usual limit), large (30 times), hidden (drawn), or a loss like 0.2psi/h
    #[arg(long, value_parser = leak)]
    leak: Option<Leak>,
    /// The same number gives the same log
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// A hose is touched after so long: 2 % of the pressure is lost at once
    #[arg(long, value_parser = typed::<quantity::Duration>, allow_hyphen_values = true, conflicts_with = "times")]
    touch: Option<Typed<quantity::Duration>>,
    /// Show what was hidden, and what the judgement says to it
    #[arg(long, conflicts_with = "times")]
    reveal: bool,
    /// Rehearse it so many times, and count the answers
    #[arg(long, value_parser = clap::value_parser!(u16).range(1..=1000), conflicts_with = "out")]
    times: Option<u16>,
    #[command(flatten)]
    output: Output,
}

const EXAMPLES: &str = "\
Examples:
  lineproof rehearse --at 450psig --gauge-resolution 1psi --outdoor-share 0.7 --out practice.csv
  lineproof rehearse --at 450psig --gauge-resolution 1psi --outdoor-share 0.7 --reveal
  lineproof rehearse cabin --at 450psig --times 100";

fn leak(text: &str) -> Result<Leak, String> {
    match text.trim() {
        "none" => Ok(Leak::Tight),
        "small" => Ok(Leak::Small),
        "large" => Ok(Leak::Large),
        "hidden" => Ok(Leak::Hidden),
        other => quantity::parse::<PressureRate>(other)
            .map(|typed| Leak::Stated(typed.value))
            .map_err(|error| format!("none, small, large, hidden, or a loss: {error}")),
    }
}

pub(super) fn run(args: Args) -> Ran {
    let record = args.hold.record()?;
    let units = units(&args.output, record.as_ref());
    let setup = args.hold.setup(record.as_ref(), units)?;
    let criteria = args.hold.criteria();
    if let Some(times) = args.times {
        return counted(&args, &setup, usize::from(times), &criteria);
    }
    let touched = args.touch.as_ref().map(|after| Touch {
        hours: after.value.in_unit(unit::HOUR_DURATION),
        drop: PressureDiff::from_si(TOUCH * setup.start.si()),
    });
    let leak = args.leak.unwrap_or(Leak::Hidden);
    let rehearsal = rehearse(&setup, leak, touched, args.seed)?;
    if args.out.is_none() && !args.reveal {
        return Err("nothing to do: write the practice log with --out practice.csv, show what is hidden with --reveal, or count many with --times 100".into());
    }
    if let Some(path) = &args.out {
        write(path, &planned::csv(&rehearsal))?;
    }
    let judged = args
        .reveal
        .then(|| rehearsal.judge(&criteria))
        .transpose()?;
    if args.output.json {
        let document = json::RehearsalDocument::of(&rehearsal, args.seed, judged.as_ref());
        print(&json::document(&document));
    } else {
        if let Some(path) = &args.out {
            print(&task(&rehearsal, &setup, args.seed, path, &criteria));
        }
        if let Some(finding) = &judged {
            print(&text::revealed(&rehearsal, finding, units, Style::Plain));
        }
    }
    Ok(judged.map_or(ExitCode::SUCCESS, |finding| outcome_code(finding.outcome)))
}

/// The share of the pressure that a touched hose loses.
const TOUCH: f64 = 0.02;

fn counted(args: &Args, setup: &Setup, times: usize, criteria: &Criteria) -> Ran {
    let named = |leak: Leak| -> String {
        match leak {
            Leak::Tight => "no leak".into(),
            Leak::Small => "a small leak (3 times the usual limit)".into(),
            Leak::Large => "a large leak (30 times the usual limit)".into(),
            Leak::Hidden => "a leak or none, as drawn".into(),
            Leak::Stated(rate) => format!("a leak of {}", rate.show(setup.units)),
        }
    };
    let leaks = match args.leak {
        Some(leak) => vec![leak],
        None => vec![Leak::Tight, Leak::Small, Leak::Large],
    };
    let tallies = leaks
        .into_iter()
        .map(|leak| Ok((named(leak), tally(setup, leak, args.seed, times, criteria)?)))
        .collect::<Result<Vec<(String, Tally)>, Box<dyn std::error::Error>>>()?;
    print(&if args.output.json {
        json::document(&json::TallyDocument::of(&tallies, args.seed))
    } else {
        text::tallies(&tallies, Style::Plain)
    });
    Ok(ExitCode::SUCCESS)
}

/// What to do with the practice log.
fn task(
    rehearsal: &Rehearsal,
    setup: &Setup,
    seed: u64,
    path: &Path,
    criteria: &Criteria,
) -> String {
    format!(
        "{} holds {} readings of {} h, seed {seed}: a rehearsal, not a measurement.\n\nJudge it:\n  {}\nThen rehearse again with --reveal added, to see what was hidden.\n",
        path.display(),
        rehearsal.input.hours.len(),
        setup.hours(),
        judge_command(setup, path, criteria)
    )
}

/// The command that judges the log as the rehearsal was set up.
fn judge_command(setup: &Setup, path: &Path, criteria: &Criteria) -> String {
    let mut words = vec![format!("lineproof tight {}", path.display())];
    if let Some(share) = setup.outdoor_share {
        words.push(format!("--outdoor-share {}", plain(share.si())));
    }
    if let Some(part) = setup.unlogged {
        // the gas in it swings as far below its mean as above
        let swing = 2.0 * part.half_swing.si();
        let swing = match setup.units {
            UnitSystem::Us => format!("{}F", plain(swing * 1.8)),
            UnitSystem::Si => format!("{}K", plain(swing)),
        };
        let share = plain(100.0 * part.share.si());
        words.push(format!("--unlogged \"{share} %={swing}\""));
    }
    if let Some(volume) = &setup.volume {
        let litres = volume.value.in_unit(unit::LITRE);
        words.push(format!("--volume {}L", plain(litres)));
    }
    if let Some(refrigerant) = setup.refrigerant {
        words.push(format!("--refrigerant {refrigerant}"));
    }
    if let Some(charge) = setup.charge {
        words.push(match setup.units {
            UnitSystem::Us => format!("--charge {}lb", plain(charge.in_unit(unit::POUND_MASS))),
            UnitSystem::Si => format!("--charge {}kg", plain(charge.in_unit(unit::KILOGRAM))),
        });
    }
    let (step, symbol) = match setup.units {
        UnitSystem::Us => (unit::PSI_DIFF, "psi"),
        UnitSystem::Si => (unit::BAR_DIFF, "bar"),
    };
    let diff = |d: PressureDiff| format!("{}{symbol}", plain(d.in_unit(step)));
    words.push(format!(
        "--gauge-resolution {}",
        diff(setup.gauge_resolution)
    ));
    if let Some(drift) = setup.gauge_drift_per_kelvin {
        let full = PressureDiff::from_si(drift.si() / quantity::BOURDON_DRIFT_PER_KELVIN);
        words.push(format!("--gauge-full-scale {}", diff(full)));
    }
    if setup.gas != crate::check::tight::TestGas::Nitrogen {
        words.push(format!("--gas {}", setup.gas.word()));
    }
    if setup.barometer != quantity::Barometer::standard() {
        let hpa = setup.barometer.pressure().si() / 100.0;
        words.push(format!("--barometer {hpa:.2}hPa"));
    }
    if let crate::check::tight::Limit::Stated(limit) = criteria.limit {
        let psi = plain(limit.in_unit(unit::PSI_PER_HOUR));
        words.push(format!("--limit {psi}psi/h"));
    }
    if setup.units == UnitSystem::Si {
        words.push("--units si".into());
    }
    words.join(" ")
}

/// A number without the crumbs of a conversion.
fn plain(value: f64) -> String {
    let text = format!("{value:.6}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}
