//! Eight vacuum rises with known truth and a reference answer (`index_vacuum.csv`, which knows one vapour term only).
//!
//! The reference does not list the points of its wander grid, its blocks, nor what it assumes of the vapour term beforehand.
//! Searched by hand over: one block per reading, at most 80, 60, 40 or 20 blocks, blocks of a minute; wander in three, four,
//! five or eight levels from 0.1 to 0.8 %; a vapour term of 1,000 to 100,000 micron beforehand, cut at zero or not; rounding
//! once, twice and 3.5 times as large. At most 80 blocks, five levels and 3,000 micron bring all eight middles within 0.21 of the
//! reference's half-width and all probabilities within 0.03; no setting of these brings all ends together. Hence: middle within
//! 0.25 half-widths, half-width between half and 1.5 times the reference's, and all the same within 25 % where there is vapour;
//! probabilities on the same side of 0.95 and within 0.05; always the truth inside.
//!
//! Why 01 and 02, which have no vapour at all, differ in width (0.54 and 1.41), worked out apart from this program by plain
//! generalised least squares of a straight line. 01: the width is that of the few levels of wander nearest the readings. The
//! five levels here have converged (0.52, as eight levels do: 0.53; of 07 0.87 and 0.87); three levels, 0.1, 0.3 and 0.8 %,
//! with rounding as a normal of 0.7 micron instead of 0.29 give the reference's ends of the straight part: 0.99, 1.04 and
//! 1.10 of its width for 01, 02 and 07. 02: P(moisture) is 0.033 here and 0.016 there, on either side of the tail of 0.025
//! that the interval leaves out, so here the low end, 19.07, already lies among curves with vapour and there not; the high
//! end, 20.23, is that of the straight line. Neither is a slip: the coarser wander is the reference's, the tail is chance.
//! Not tried: whether those three levels bring the five with vapour along.
use lineproof::check::dry::method::{Rise, fit, fit_one_term};

use lineproof::stats::decision::{Verdict, judge};

use crate::readings::Table;

#[test]
fn the_leak_agrees_with_the_reference() {
    let index = Table::read("index_vacuum.csv");
    assert_eq!(index.rows.len(), 8);
    for row in &index.rows {
        let file = index.text(row, "file");
        let log = Table::read(file);
        let (minutes, micron) = (log.column("t_min"), log.column("p_micron"));
        let rise = Rise {
            minutes: &minutes,
            micron: &micron,
            resolution_micron: 1.0,
        };
        let fit = fit_one_term(&rise).unwrap();
        let found = fit.leak.interval(0.95);
        let (low, high) = (index.number(row, "q_lo"), index.number(row, "q_hi"));
        let half = 0.5 * (high - low);
        let off = (fit.leak.mean() - index.number(row, "q_hat")) / half;
        let ratio = (found.high - found.low) / (high - low);
        println!(
            "{file}: {:.3} to {:.3} micron/min, {off:+.2} half-widths off, width ratio {ratio:.2}, moisture {:.4}",
            found.low, found.high, fit.p_moisture
        );
        assert!(
            off.abs() < 0.25,
            "{file}: middle {off} half-widths from the reference"
        );
        assert!((0.5..1.5).contains(&ratio), "{file}: width ratio {ratio}");
        let vapour = index.number(row, "A_um") > 0.0;
        assert!(
            !vapour || (0.75..1.25).contains(&ratio),
            "{file}: width ratio {ratio}"
        );
        let truth = index.number(row, "q_true_um_min");
        assert!(found.contains(truth), "{file}: {found:?} without {truth}");
        for (what, found, reference) in [
            (
                "P(q > 1)",
                fit.leak.above(1.0),
                index.number(row, "P_q_gt_1"),
            ),
            (
                "P(moisture)",
                fit.p_moisture,
                index.number(row, "P_moisture"),
            ),
        ] {
            assert_eq!(
                found > 0.95,
                reference > 0.95,
                "{file}: {what} {found}, reference {reference}"
            );
            assert!(
                (found - reference).abs() < 0.05,
                "{file}: {what} {found}, reference {reference}"
            );
        }
        if let (Some(tau), Some(level)) = (fit.tau, fit.levels_off) {
            assert!(
                tau.contains(index.number(row, "tau_min")),
                "{file}: {tau:?}"
            );
            let end = index.number(row, "p0") + index.number(row, "A_um");
            assert!(level.contains(end), "{file}: {level:?} without {end}");
        }
    }
}

/// With a second vapour term allowed the answer may only become more careful: the truth stays inside, no leak of 2 micron/min
/// passes a limit of 1, and no volume below the limit fails.
#[test]
fn a_second_vapour_term_never_fools() {
    let index = Table::read("index_vacuum.csv");
    for row in &index.rows {
        let file = index.text(row, "file");
        let log = Table::read(file);
        let rise = Rise {
            minutes: &log.column("t_min"),
            micron: &log.column("p_micron"),
            resolution_micron: 1.0,
        };
        let leak = fit(&rise).unwrap().leak;
        let truth = index.number(row, "q_true_um_min");
        assert!(
            leak.interval(0.95).contains(truth),
            "{file}: {:?} without {truth}",
            leak.interval(0.95)
        );
        let wrong = if truth > 2.0 {
            Verdict::Pass
        } else {
            Verdict::Fail
        };
        assert_ne!(judge(&leak, 1.0).verdict, wrong, "{file}");
    }
}
