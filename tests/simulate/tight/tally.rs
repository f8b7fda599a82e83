//! Counting, and how far a count may fall short of a long-run share by chance.
use lineproof::stats::decision::{Verdict, judge};

use super::LIMIT;
use super::reader::{Judged, half_width_psi};
use super::truth::Truth;

/// So many of so many.
#[derive(Debug, Clone, Copy, Default)]
pub struct Count {
    pub hits: usize,
    pub of: usize,
}

impl Count {
    pub fn add(&mut self, hit: bool) {
        self.hits += usize::from(hit);
        self.of += 1;
    }

    pub fn share(self) -> f64 {
        self.hits as f64 / self.of as f64
    }

    /// The share is at least `wanted`: as it stands from `plain_from` tests on, below that unless chance would bring so few
    /// once in a hundred.
    pub fn at_least(self, wanted: f64, plain_from: usize, what: &str) {
        let fine = self.of == 0
            || self.share() >= wanted - 1e-9
            || self.of < plain_from && at_most(self.hits, self.of, wanted) > 0.01;
        assert!(
            fine,
            "{what}: {} of {}, wanted {wanted}",
            self.hits, self.of
        );
    }

    /// The share is at most `allowed`, by the same rule.
    pub fn at_most(self, allowed: f64, plain_from: usize, what: &str) {
        let missed = Count {
            hits: self.of - self.hits,
            of: self.of,
        };
        missed.at_least(1.0 - allowed, plain_from, what);
    }
}

/// Probability of `hits` or fewer in `of` trials, each a hit with probability `share`.
fn at_most(hits: usize, of: usize, share: f64) -> f64 {
    let mut term = of as f64 * (1.0 - share).ln();
    let mut sum = term.exp();
    for k in 1..=hits {
        term += ((of - k + 1) as f64 / k as f64 * share / (1.0 - share)).ln();
        sum += term.exp();
    }
    sum
}

#[test]
fn chance_is_the_binomial() {
    // 0.95^20 and 1 - 0.5^10
    assert!((at_most(19, 20, 0.95) - (1.0 - 0.95_f64.powi(20))).abs() < 1e-12);
    assert!((at_most(9, 10, 0.5) - (1.0 - 0.5_f64.powi(10))).abs() < 1e-12);
}

/// All that is counted over one kind of test.
#[derive(Debug, Clone, Default)]
pub struct Tally {
    pub covered: Count,
    /// Tight sets that fail.
    pub false_fail: Count,
    /// Tight sets in which a leak is seen.
    pub false_seen: Count,
    /// Loss above the limit over the hold, or in its second half, and still a pass.
    pub wrong_pass: Count,
    /// 5 psi or more lost in 12 h or more, at three times the limit or more, and *fail*.
    pub power: Count,
    /// The same and *leak seen*.
    pub power_seen: Count,
    /// Verdicts of holds of a day or more.
    pub decided: Count,
    pub two_point_covered: Count,
    pub two_point_false_fail: Count,
    /// Hours and half the interval over the hold, psi.
    pub widths: Vec<(f64, f64)>,
    pub stepped: Count,
    pub ignoring: Count,
}

impl Tally {
    pub fn add(&mut self, truth: &Truth, judged: &Judged) {
        let verdict = judged.decision.verdict;
        let (fails, passes) = (verdict == Verdict::Fail, verdict == Verdict::Pass);
        self.covered.add(judged.interval.contains(truth.loss()));
        self.two_point_covered
            .add(judged.two_point.interval(0.95).contains(truth.loss()));
        if truth.lost_psi == 0.0 {
            self.false_fail.add(fails);
            self.false_seen.add(judged.decision.leak_seen());
            let naive = judge(&judged.two_point, LIMIT).verdict == Verdict::Fail;
            self.two_point_false_fail.add(naive);
        }
        if truth.loss().max(truth.late_loss()) > LIMIT {
            self.wrong_pass.add(passes);
        }
        if truth.lost_psi >= 5.0 && truth.hours >= 12.0 && truth.loss() >= 3.0 * LIMIT {
            self.power.add(fails);
            self.power_seen.add(judged.decision.leak_seen());
        }
        if truth.hours >= 24.0 {
            self.decided.add(fails || passes);
        }
        self.widths
            .push((truth.hours, half_width_psi(truth, &judged.interval)));
        self.stepped.add(!judged.fit.steps.is_empty());
        self.ignoring.add(judged.fit.ignores_temperature());
    }

    /// Median of half the interval over the hold, psi, of holds this long and longer.
    pub fn median_width(&self, from_hours: f64) -> f64 {
        let mut widths: Vec<f64> = self
            .widths
            .iter()
            .filter(|(hours, _)| *hours >= from_hours)
            .map(|(_, width)| *width)
            .collect();
        widths.sort_by(f64::total_cmp);
        widths.get(widths.len() / 2).copied().unwrap_or(f64::NAN)
    }

    pub fn heading() {
        println!(
            "{:<28} {:>5} {:>8} {:>11} {:>10} {:>11} {:>9} {:>9} {:>8} {:>8} {:>7} | two-point: {:>7} {:>11}",
            "",
            "tests",
            "covered",
            "tight fails",
            "tight seen",
            "wrong pass",
            "power",
            "seen",
            "24 h psi",
            "all psi",
            "decided",
            "covered",
            "tight fails"
        );
    }

    pub fn print(&self, name: &str) {
        let part = |count: Count| format!("{}/{}", count.hits, count.of);
        println!(
            "{name:<28} {:>5} {:>8.3} {:>11} {:>10} {:>11} {:>9} {:>9} {:>8.2} {:>8.2} {:>7.2} | {:>18.3} {:>11.3}  steps {}, ignoring {}",
            self.covered.of,
            self.covered.share(),
            part(self.false_fail),
            part(self.false_seen),
            part(self.wrong_pass),
            part(self.power),
            part(self.power_seen),
            self.median_width(24.0),
            self.median_width(0.0),
            self.decided.share(),
            self.two_point_covered.share(),
            self.two_point_false_fail.share(),
            self.stepped.hits,
            self.ignoring.hits,
        );
    }
}
