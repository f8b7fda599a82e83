//! The method alone.
use lineproof::check::dry::method::{Rise, fit};
use lineproof::stats::decision::{SURE, Verdict, judge};

use super::truth::{Kind, Truth};
use super::{Count, LIMIT};
use crate::count;
use crate::random::Random;

#[derive(Default)]
struct Tally {
    covered: [Count; 4],
    false_leak: Count,
    passed: Count,
    found: Count,
    false_moisture: Count,
    moisture: Count,
    wait: [Count; 4],
    late: Count,
    steps: Count,
    level: Count,
}

impl Tally {
    fn add(&mut self, truth: &Truth, random: &mut Random) {
        let (minutes, micron) = truth.log(random);
        let rise = Rise {
            minutes: &minutes,
            micron: &micron,
            resolution_micron: truth.resolution,
        };
        let fit = fit(&rise).unwrap();
        let verdict = judge(&fit.leak, LIMIT).verdict;
        let kind = truth.kind as usize;
        let inside = fit.leak.interval(0.95).contains(truth.leak);
        self.covered[kind].add(inside);
        self.wait[kind].add(verdict == Verdict::Undecided);
        if truth.leak > LIMIT {
            self.passed.add(verdict == Verdict::Pass);
            self.found.add(verdict == Verdict::Fail);
        } else {
            self.false_leak.add(verdict == Verdict::Fail);
        }
        let moist = fit.p_moisture > SURE;
        if truth.vapour == 0.0 {
            self.false_moisture.add(moist);
        } else if truth.waited() {
            self.moisture.add(moist);
        }
        // the level is told as if nothing leaked, while no leak is seen
        let seen = fit.leak.interval(0.95).low > 0.0;
        if let (Kind::Moisture, true, false, Some(range)) =
            (truth.kind, moist, seen, fit.levels_between)
        {
            self.level.add(range.contains(truth.start + truth.vapour));
        }
        self.late.add(fit.starts_late.is_some());
        self.steps.add(!fit.steps.is_empty());
        if std::env::var_os("LINEPROOF_SIMULATIONS").is_some()
            && (!inside || truth.leak > LIMIT && verdict == Verdict::Pass)
        {
            println!("  {:?} leaves out: {truth:?}", fit.leak.interval(0.95));
        }
    }
}

#[test]
fn dry_interval_holds_and_neither_side_is_fooled() {
    let mut random = Random::seeded(20_260_801);
    let mut tally = Tally::default();
    for test in 0..count(60) {
        let truth = Truth::drawn(&mut random, Kind::ALL[test % 4]);
        tally.add(&truth, &mut random);
    }
    let part = |count: Count| format!("{}/{}", count.hits, count.of);
    for kind in Kind::ALL {
        println!(
            "{kind:?}: covered {}, wait {}",
            part(tally.covered[kind as usize]),
            part(tally.wait[kind as usize])
        );
    }
    let all = |counts: [Count; 4]| Count {
        hits: counts.iter().map(|count| count.hits).sum(),
        of: counts.iter().map(|count| count.of).sum(),
    };
    let (covered, wait) = (all(tally.covered), all(tally.wait));
    println!(
        "coverage {:.3}, false leak {}, leaks passed {} and found {}, moisture claimed dry {} and found {}, wait {:.3}, late {}, steps {}",
        covered.share(),
        part(tally.false_leak),
        part(tally.passed),
        part(tally.found),
        part(tally.false_moisture),
        part(tally.moisture),
        wait.share(),
        part(tally.late),
        part(tally.steps)
    );
    println!("level of water inside its range {}", part(tally.level));
    covered.at_least(0.93, "coverage of q");
    tally
        .false_leak
        .at_most(0.02, "leak seen where there is none");
    tally
        .passed
        .at_most(0.01, "leaks above 2 micron/min passed");
    tally
        .false_moisture
        .at_most(0.02, "moisture claimed in dry tests");
    tally
        .moisture
        .at_least(0.85, "moisture found after three time constants");
    tally.found.at_least(0.5, "leaks found");
    tally.level.at_least(0.9, "level inside its range");
    tally.steps.at_most(0.01, "steps seen where there are none");
    tally
        .late
        .at_most(0.01, "late starts seen where there are none");
}
