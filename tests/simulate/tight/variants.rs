//! The base case with one thing that is worse.
use super::reader::one;
use super::tally::Tally;
use super::truth::Variant;
use crate::count;
use crate::random::Random;

const PLAIN_FROM: usize = 200;

fn variant(variant: Variant, seed: u64, coverage: f64) {
    let mut random = Random::seeded(20_260_710 + seed);
    let mut tally = Tally::default();
    for _ in 0..count(20) {
        let (truth, judged) = one(&mut random, variant);
        tally.add(&truth, &judged);
    }
    let name = format!("{variant:?}");
    Tally::heading();
    tally.print(&name);
    tally.covered.at_least(coverage, PLAIN_FROM, &name);
    tally.false_fail.at_most(0.07, PLAIN_FROM / 2, &name);
    tally.wrong_pass.at_most(0.01, PLAIN_FROM / 2, &name);
}

#[test]
fn tight_attic() {
    variant(Variant::Attic, 1, 0.91);
}

#[test]
fn tight_gauge_drift() {
    variant(Variant::Drift, 2, 0.91);
}

#[test]
fn tight_sun() {
    variant(Variant::Sun, 3, 0.85);
}

#[test]
fn tight_settling() {
    variant(Variant::Settling, 4, 0.91);
}

#[test]
fn tight_late_leak() {
    variant(Variant::LateLeak, 5, 0.91);
}

#[test]
fn tight_few_readings() {
    variant(Variant::FewReadings, 6, 0.91);
}
