//! Four logged rises of a small test volume (public measurement files, copied unchanged): what a careful reader would say is
//! known from their course, the numbers beside each test were fitted by hand elsewhere.
use lineproof::check::dry::method::{Rise, RiseFit, fit};
use lineproof::stats::decision::{Verdict, judge};

use crate::readings::Table;

/// Isolated phase of a log. The volume is far smaller than a line set, so a limit of 20 micron/min is used.
const LIMIT: f64 = 20.0;

fn isolated(file: &str) -> RiseFit {
    let log = Table::read(file);
    let rows: Vec<&Vec<String>> = log
        .rows
        .iter()
        .filter(|row| log.text(row, "phase") == "isolated")
        .collect();
    let minutes: Vec<f64> = rows
        .iter()
        .map(|row| log.number(row, "phase_time_s") / 60.0)
        .collect();
    let micron: Vec<f64> = rows
        .iter()
        .map(|row| log.number(row, "pressure_micron"))
        .collect();
    let fit = fit(&Rise {
        minutes: &minutes,
        micron: &micron,
        resolution_micron: 0.1,
    })
    .unwrap();
    println!(
        "{file}: {:?} micron/min, moisture {:.3}, levels {:?}, tau {:?}, needs {:?} min",
        fit.leak.interval(0.95),
        fit.p_moisture,
        fit.levels_off,
        fit.tau,
        fit.minutes_needed(LIMIT)
    );
    fit
}

/// 23 -> 57 / 133 / 181 micron at 60 / 300 / 600 s: no steady leak; a fit without a leak levels off near 218 micron.
#[test]
fn a_tight_volume_levels_off() {
    let fit = isolated("vac_tight_cap_a.csv");
    assert_ne!(judge(&fit.leak, LIMIT).verdict, Verdict::Fail);
    assert!(fit.p_moisture > 0.95);
}

/// 40 -> 797 micron in 10 min, still rising: hold longer.
#[test]
fn a_rise_that_has_not_levelled_is_undecided() {
    let fit = isolated("vac_tight_cap_b_not_levelling.csv");
    assert_eq!(judge(&fit.leak, LIMIT).verdict, Verdict::Undecided);
    assert!(
        fit.minutes_needed(LIMIT)
            .is_none_or(|minutes| minutes > 2.0 * fit.minutes)
    );
}

/// 89 -> 27,770 micron, 36 to 57 micron/s: a leak.
#[test]
fn a_steady_rise_is_a_leak() {
    let fit = isolated("vac_leak_medium.csv");
    assert_eq!(judge(&fit.leak, LIMIT).verdict, Verdict::Fail);
    assert!((2000.0..3500.0).contains(&fit.leak.mean()));
}

/// 39, 93, 95, 85 micron: rises and falls again: drift or sorption, no leak.
#[test]
fn a_rise_that_falls_again_is_no_leak() {
    let fit = isolated("vac_rise_then_fall.csv");
    assert_eq!(judge(&fit.leak, LIMIT).verdict, Verdict::Pass);
}
