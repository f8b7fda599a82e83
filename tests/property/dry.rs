//! The vacuum rise on any curve: the parts add up, the clock's zero does not matter, a faster leak is not judged kinder.

use lineproof::check::dry::method::{Rise, RiseFit, fit};
use lineproof::stats::decision::{Verdict, judge};
use proptest::prelude::*;

/// How long, how often; start, vapour and its time constant; how the gauge trembles, as a part of its reading.
#[derive(Debug, Clone)]
struct Hold {
    count: usize,
    every_min: f64,
    start: f64,
    vapour: f64,
    tau_min: f64,
    tremble: Vec<f64>,
}

fn hold() -> impl Strategy<Value = Hold> {
    let tremble = prop::collection::vec(-0.004..0.004f64, 80);
    (
        (10usize..80, 0.25..1.0f64),
        (80.0..600.0f64, prop_oneof![Just(0.0), 100.0..4000.0f64]),
        1.0..30.0f64,
        tremble,
    )
        .prop_map(
            |((count, every_min), (start, vapour), tau_min, tremble)| Hold {
                count,
                every_min,
                start,
                vapour,
                tau_min,
                tremble,
            },
        )
}

impl Hold {
    fn fit(&self, leak: f64, clock: f64) -> RiseFit {
        let since = |i: usize| self.every_min * i as f64;
        let minutes: Vec<f64> = (0..self.count).map(|i| clock + since(i)).collect();
        let micron: Vec<f64> = (0..self.count)
            .map(|i| {
                let t = since(i);
                let vapour = -self.vapour * (-t / self.tau_min).exp_m1();
                ((self.start + leak * t + vapour) * (1.0 + self.tremble[i])).round()
            })
            .collect();
        let rise = Rise {
            minutes: &minutes,
            micron: &micron,
            resolution_micron: 1.0,
        };
        fit(&rise).unwrap()
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn the_parts_of_a_rise_add_up(hold in hold(), leak in 0.0..100.0f64) {
        let fit = hold.fit(leak, 0.0);
        prop_assert!((0.0..=1.0).contains(&fit.p_moisture));
        prop_assert!((0.0..=1.0).contains(&fit.p_starts_late));
        for point in &fit.line {
            prop_assert!((point.start + point.leak + point.vapour - point.fitted).abs() < 1e-6);
            // vapour is given off, not taken up
            prop_assert!(point.vapour >= -1e-6, "{:?}", point);
        }
    }

    #[test]
    fn the_zero_of_the_clock_does_not_matter(hold in hold(), clock in 0.0..600.0f64) {
        let (plain, shifted) = (hold.fit(5.0, 0.0), hold.fit(5.0, clock));
        let width = plain.leak.sd();
        prop_assert!((plain.leak.mean() - shifted.leak.mean()).abs() < 1e-3 * width);
        prop_assert!((plain.p_moisture - shifted.p_moisture).abs() < 1e-3);
    }

    #[test]
    fn a_faster_leak_is_not_judged_kinder(hold in hold(), leak in 0.0..40.0f64, times in 2.0..5.0f64) {
        let slow = judge(&hold.fit(leak, 0.0).leak, 2.0).verdict;
        let fast = judge(&hold.fit(times * leak + 1.0, 0.0).leak, 2.0).verdict;
        prop_assert!(slow != Verdict::Fail || fast != Verdict::Pass);
    }
}
