//! The whole door: readings in, finding out.
use lineproof::check::dry::{Cause, Criteria, Input, assess};
use lineproof::check::{Detail, Outcome};
use lineproof::quantity::{PressureAbs, PressureDiff, Quantity, unit};

use super::Count;
use super::truth::{Kind, Truth};
use crate::count;
use crate::random::Random;

fn input(truth: &Truth, random: &mut Random) -> Input {
    let (minutes, micron) = truth.log(random);
    let pressure = micron.iter().map(|p| PressureAbs::of(*p, unit::MICRON));
    Input::of(
        minutes,
        pressure.collect(),
        PressureDiff::of(truth.resolution, unit::MICRON_DIFF),
    )
}

#[test]
fn dry_through_the_door() {
    let mut random = Random::seeded(20_260_802);
    let (mut covered, mut false_leak, mut passed, mut false_moisture, mut wait) =
        <(Count, Count, Count, Count, Count)>::default();
    for test in 0..count(20) {
        let truth = Truth::drawn(&mut random, Kind::ALL[test % 4]);
        let finding = assess(&input(&truth, &mut random), &Criteria::default()).unwrap();
        let Detail::Dry(detail) = &finding.detail else {
            panic!("another stage");
        };
        let [_, low, high] = detail.leak.map(|q| q.in_unit(unit::MICRON_PER_MINUTE));
        covered.add((low..=high).contains(&truth.leak));
        let leak_claimed = matches!(detail.cause, Cause::Leak | Cause::Both);
        if truth.leak == 0.0 {
            false_leak.add(leak_claimed);
        } else {
            passed.add(finding.outcome == Outcome::Pass);
        }
        if truth.vapour == 0.0 {
            false_moisture.add(matches!(detail.cause, Cause::Moisture | Cause::Both));
        }
        let waits = finding.outcome == Outcome::Undecided;
        wait.add(waits);
        // to wait is said with how long, or with why waiting does not help
        assert!(!waits || !finding.reasons.is_empty());
        assert!(waits || detail.hold_longer_min.is_none());
    }
    println!(
        "door: covered {:.3}, false leak {false_leak:?}, passed {passed:?}, false moisture {false_moisture:?}, wait {:.3}",
        covered.share(),
        wait.share()
    );
    covered.at_least(0.93, "coverage of q");
    false_leak.at_most(0.02, "leak seen where there is none");
    passed.at_most(0.01, "leaks above 2 micron/min passed");
    false_moisture.at_most(0.02, "moisture claimed in dry tests");
}
