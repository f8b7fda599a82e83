//! Simulated vacuum rises: steady leak, something that gives off vapour, a gauge that wanders and rounds.
use lineproof::check::dry::method::{Rise, fit};
use lineproof::stats::decision::{Verdict, judge};

use crate::count;
use crate::random::Random;

/// Limit used here, micron/min.
const LIMIT: f64 = 1.0;

#[derive(Default)]
struct Tally {
    tests: usize,
    covered: usize,
    leak_free: usize,
    false_leaks: usize,
    leaking: usize,
    leaks_passed: usize,
    leaks_found: usize,
    dry: usize,
    false_moisture: usize,
    wet: usize,
    moisture_found: usize,
}

fn simulate(random: &mut Random, tally: &mut Tally) {
    let hold = random.pick(&[15.0, 20.0, 30.0, 60.0]);
    let step = random.pick(&[0.25, 0.5, 1.0]);
    let leak = random.pick(&[0.0, 0.0, 0.5, 3.0, 8.0, 20.0, 60.0]);
    let vapour = random.pick(&[0.0, 0.0, 300.0, 1000.0, 3000.0]) * random.between(0.7, 1.3);
    let tau = random.log_between(1.0, 30.0);
    let start = random.between(130.0, 450.0);
    let wander = random.log_between(0.001, 0.008);
    let wander_time = random.log_between(1.0, 10.0);
    let n = (hold / step) as usize + 1;
    let gauge = random.wander(n, step, wander, wander_time);
    let minutes: Vec<f64> = (0..n).map(|i| step * i as f64).collect();
    let micron: Vec<f64> = minutes
        .iter()
        .zip(&gauge)
        .map(|(t, wander)| {
            let p = start + leak * t + vapour * (1.0 - (-t / tau).exp());
            (p * (1.0 + wander)).round()
        })
        .collect();
    let rise = Rise {
        minutes: &minutes,
        micron: &micron,
        resolution_micron: 1.0,
    };
    let fit = fit(&rise).unwrap();
    let verdict = judge(&fit.leak, LIMIT).verdict;
    let hit = |is: bool| usize::from(is);
    tally.tests += 1;
    tally.covered += hit(fit.leak.interval(0.95).contains(leak));
    tally.leak_free += hit(leak == 0.0);
    tally.false_leaks += hit(leak == 0.0 && verdict == Verdict::Fail);
    tally.leaking += hit(leak > 2.0);
    tally.leaks_passed += hit(leak > 2.0 && verdict == Verdict::Pass);
    tally.leaks_found += hit(leak > 2.0 && verdict == Verdict::Fail);
    tally.dry += hit(vapour == 0.0);
    tally.false_moisture += hit(vapour == 0.0 && fit.p_moisture > 0.95);
    tally.wet += hit(vapour > 0.0 && hold > 3.0 * tau);
    tally.moisture_found += hit(vapour > 0.0 && hold > 3.0 * tau && fit.p_moisture > 0.95);
}

#[test]
fn the_interval_holds_and_neither_side_is_fooled() {
    let mut random = Random::seeded(20_260_101);
    let mut tally = Tally::default();
    for _ in 0..count(300) {
        simulate(&mut random, &mut tally);
    }
    let share = |part: usize, of: usize| part as f64 / of as f64;
    let coverage = share(tally.covered, tally.tests);
    let false_leaks = share(tally.false_leaks, tally.leak_free);
    let passed = share(tally.leaks_passed, tally.leaking);
    let found = share(tally.leaks_found, tally.leaking);
    let moisture = share(tally.moisture_found, tally.wet);
    let false_moisture = share(tally.false_moisture, tally.dry);
    println!(
        "{} rises: coverage {coverage:.3}, false leaks {false_leaks:.3} of {}, leaks passed {passed:.3} and found {found:.3} of {}, moisture found {moisture:.3} of {}, false {false_moisture:.3} of {}",
        tally.tests, tally.leak_free, tally.leaking, tally.wet, tally.dry
    );
    assert!(coverage >= 0.93, "coverage {coverage}");
    assert!(false_leaks <= 0.02, "false leaks {false_leaks}");
    assert!(passed <= 0.01, "leaks above 2 micron/min passed {passed}");
    assert!(false_moisture <= 0.02, "false moisture {false_moisture}");
    assert!(found >= 0.6, "leaks found {found}");
    assert!(moisture >= 0.9, "moisture found {moisture}");
}
