//! The base case.
use super::reader::one;
use super::tally::Tally;
use super::truth::Variant;
use crate::count;
use crate::random::Random;

const PLAIN_FROM: usize = 500;

#[test]
fn tight_base() {
    let mut random = Random::seeded(20_260_701);
    let mut tally = Tally::default();
    for _ in 0..count(50) {
        let (truth, judged) = one(&mut random, Variant::Base);
        tally.add(&truth, &judged);
    }
    Tally::heading();
    tally.print("base");
    tally.covered.at_least(0.93, PLAIN_FROM, "coverage");
    tally.covered.at_most(0.99, PLAIN_FROM, "coverage");
    tally
        .false_fail
        .at_most(0.05, PLAIN_FROM / 2, "tight sets that fail");
    tally.wrong_pass.at_most(0.01, PLAIN_FROM / 2, "wrong pass");
    tally.power.at_least(0.98, PLAIN_FROM / 2, "power");
    assert!(
        tally.median_width(24.0) <= 0.6,
        "{}",
        tally.median_width(24.0)
    );
    assert!(
        tally.median_width(0.0) <= 2.8,
        "{}",
        tally.median_width(0.0)
    );
    // what the two-point rule does to the same tests
    assert!(tally.two_point_covered.share() < tally.covered.share());
}
