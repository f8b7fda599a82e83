//! What the gauge itself does: a ceiling told from a rise that levels off, and how far apart two good gauges lie.
use lineproof::check::dry::gauges::{Apart, ceiling};

use super::Count;
use crate::count;
use crate::random::Random;

/// A rise far above what a vacuum rise should reach, and the gauge that shows it.
struct High {
    start: f64,
    levels_off: f64,
    tau: f64,
    leak: f64,
    step_min: f64,
    hold_min: f64,
    resolution: f64,
    wander: f64,
    wander_min: f64,
}

impl High {
    fn drawn(random: &mut Random, leak: f64) -> Self {
        High {
            start: random.log_between(100.0, 2_000.0),
            // water at 4 to 35 degC, and half as much for film and oil
            levels_off: random.log_between(3_000.0, 42_000.0),
            tau: random.log_between(0.3, 20.0),
            leak,
            step_min: random.pick(&[1.0 / 6.0, 0.25, 0.5, 1.0]),
            hold_min: random.between(10.0, 60.0),
            resolution: random.pick(&[1.0, 10.0, 50.0, 100.0, 500.0]),
            wander: random.pick(&[0.0, 0.001, 0.004]),
            wander_min: random.log_between(1.0, 10.0),
        }
    }

    fn read(&self, ceiling: f64, random: &mut Random) -> Vec<f64> {
        let count = (self.hold_min / self.step_min) as usize + 1;
        let wander = random.wander(count, self.step_min, self.wander, self.wander_min);
        let at = |(i, wander): (usize, f64)| {
            let t = i as f64 * self.step_min;
            let p = self.start + self.leak * t - self.levels_off * (-t / self.tau).exp_m1();
            let p = p * (1.0 + wander);
            ((p / self.resolution).round() * self.resolution).min(ceiling)
        };
        wander.into_iter().enumerate().map(at).collect()
    }
}

#[test]
fn a_rise_that_levels_off_is_no_ceiling_and_a_ceiling_is_found() {
    let mut random = Random::seeded(20_260_805);
    let (mut mistaken, mut found) = <(Count, Count)>::default();
    for _ in 0..count(500) {
        let rise = High::drawn(&mut random, 0.0);
        let micron = rise.read(f64::INFINITY, &mut random);
        mistaken.add(ceiling(&micron, rise.resolution).is_some());
        let leak = random.log_between(300.0, 30_000.0);
        let rise = High {
            levels_off: random.pick(&[0.0, 2_000.0, 8_000.0]),
            ..High::drawn(&mut random, leak)
        };
        let top = random.pick(&[9_999.0, 12_000.0, 20_000.0, 25_000.0, 171_470.0, 750_062.0]);
        let micron = rise.read(top, &mut random);
        // four readings there and five on the way: less tells nothing
        let there = micron.iter().filter(|p| **p >= top).count();
        if there >= 4 && micron.len() - there >= 5 {
            found.add(ceiling(&micron, rise.resolution) == Some(top));
        }
    }
    println!(
        "ceiling: seen in rises that level off {}/{}, found {}/{}",
        mistaken.hits, mistaken.of, found.hits, found.of
    );
    mistaken.at_most(0.01, "a rise that levels off taken for a ceiling");
    found.at_least(0.95, "ceilings found");
}

#[test]
fn two_good_gauges_are_seldom_apart() {
    let mut random = Random::seeded(20_260_806);
    let mut apart = |limit: f64| {
        let mut told = Count::default();
        for _ in 0..count(4000) {
            let truth = random.log_between(50.0, 5_000.0);
            let mut read = || truth * (1.0 + random.between(-limit, limit));
            let (first, second) = (read(), read());
            told.add(Apart { first, second }.matters(1.0));
        }
        println!(
            "two gauges good to {:.0} %: apart {:.3}",
            100.0 * limit,
            told.share()
        );
        told
    };
    let of = [0.05, 0.10, 0.15, 0.30].map(&mut apart);
    of[0].at_most(0.001, "two gauges good to 5 % called apart");
    of[1].at_most(0.05, "two gauges good to 10 % called apart");
}
