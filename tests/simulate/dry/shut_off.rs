//! Where the pump was shut off: seen in logs that hold a pump-down, not seen in a rise, with a gauge that falls too.
use lineproof::check::dry::isolate::{propose, pumps};

use super::Count;
use super::truth::{Kind, Truth};
use crate::count;
use crate::random::Random;

/// Readings lie within so many standard deviations of their course.
const WANDER: f64 = 3.0;

#[test]
fn an_isolated_line_set_is_not_taken_for_one_that_is_pumped() {
    let mut random = Random::seeded(20_260_803);
    let (mut pumping, mut proposed) = <([Count; 5], [Count; 5])>::default();
    for test in 0..count(1000) {
        // the fifth: it cools, or takes vapour up again, and falls to 0.6 of its start
        let kind = Kind::ALL[(test % 5) % 4];
        let truth = Truth::drawn(&mut random, kind);
        let (minutes, mut micron) = truth.log(&mut random);
        if test % 5 == 4 {
            let (share, tau) = (random.between(0.0, 0.4), random.log_between(1.0, 60.0));
            for (t, p) in minutes.iter().zip(&mut micron) {
                *p *= 1.0 + share * (-t / tau).exp_m1();
            }
        }
        pumping[test % 5].add(pumps(&micron));
        proposed[test % 5].add(!propose(&minutes, &micron, None).is_empty());
    }
    for (i, what) in ["flat", "leak", "moisture", "both", "falling"]
        .iter()
        .enumerate()
    {
        println!(
            "{what}: \"still pumped\" {}/{}, a time proposed {}/{}",
            pumping[i].hits, pumping[i].of, proposed[i].hits, proposed[i].of
        );
        pumping[i].at_most(0.01, what);
        proposed[i].at_most(0.01, what);
    }
}

/// A pump-down to where the rise begins, then the rise: minutes, micron, and when the valve was shut.
fn pumped_and_shut(truth: &Truth, random: &mut Random) -> (Vec<f64>, Vec<f64>, f64) {
    // the first fall of the air, then what walls, oil and water give off ever more slowly
    let (fast, given_off) = (random.log_between(0.2, 2.0), random.log_between(0.3, 10.0));
    let (top, shut) = (
        random.pick(&[9_999.0, 25_000.0, 760_000.0]),
        random.between(15.0, 60.0),
    );
    let tail = |t: f64| 1.0 + given_off * (1.0 + t / fast).recip();
    let course = |t: f64| truth.start * tail(t) / tail(shut) + 760e3 * (-t / fast).exp();
    let (after, rise) = truth.log(random);
    let rows = (shut / truth.step_min) as usize;
    let wander = random.wander(rows, truth.step_min, truth.wander, truth.wander_min);
    // the last row before the rise is one step before it
    let begun = rows as f64 * truth.step_min - shut;
    let mut minutes: Vec<f64> = (0..rows).map(|i| i as f64 * truth.step_min).collect();
    let mut micron: Vec<f64> = (0..rows)
        .map(|i| {
            let p = course(minutes[i] - begun).min(top) * (1.0 + wander[i]);
            (p / truth.resolution).round() * truth.resolution
        })
        .collect();
    let shut = rows as f64 * truth.step_min;
    minutes.extend(after.iter().map(|t| shut + t));
    micron.extend(rise);
    (minutes, micron, shut)
}

#[test]
fn a_valve_that_was_shut_is_found() {
    let mut random = Random::seeded(20_260_804);
    let mut proposed = [Count::default(); 4];
    let (mut soon, mut near) = <(Count, Count)>::default();
    let mut off_by = Vec::new();
    for test in 0..count(800) {
        let kind = Kind::ALL[test % 4];
        let truth = Truth::drawn(&mut random, kind);
        let (minutes, micron, shut) = pumped_and_shut(&truth, &mut random);
        let found = propose(&minutes, &micron, None).pop();
        proposed[test % 4].add(found.is_some());
        // one that is not found is told as "still pumped", and a time is asked for
        let Some(found) = found else { continue };
        let off = found.from_minute - shut;
        let at_once = off.abs() <= 0.5 + truth.step_min;
        near.add(at_once || hidden(&truth, &minutes, &micron, shut, off));
        if kind != Kind::Flat {
            soon.add(at_once);
            off_by.push(off.abs());
        }
    }
    for (count, what) in proposed.iter().zip(["flat", "leak", "moisture", "both"]) {
        println!(
            "pump-down and {what}: a time proposed {}/{}",
            count.hits, count.of
        );
    }
    off_by.sort_by(f64::total_cmp);
    let part = |share: f64| off_by[(share * (off_by.len() - 1) as f64) as usize];
    println!(
        "where it rises, within half a minute and a reading {:.3}; off by {:.2} min in the middle, {:.1} min in one of twenty; \
         as near as the gauge's wander lets see {:.3}",
        soon.share(),
        part(0.5),
        part(0.95),
        near.share()
    );
    for count in &proposed[1..] {
        count.at_least(0.95, "a shut valve is found where it rises");
    }
    proposed[0].at_least(0.5, "a shut valve is found where nothing rises");
    soon.at_least(0.75, "within half a minute and a reading");
    near.at_least(0.95, "as near as the wander lets see");
}

/// Whether from the time proposed to the valve the gauge moved no more than its wander.
fn hidden(truth: &Truth, minutes: &[f64], micron: &[f64], shut: f64, off: f64) -> bool {
    let (from, to) = (shut.min(shut + off), shut.max(shut + off));
    let inside = minutes
        .iter()
        .zip(micron)
        .filter(|(t, _)| (from..=to).contains(*t));
    let (low, high) = inside.fold((f64::MAX, f64::MIN), |(low, high), (_, p)| {
        (low.min(*p), high.max(*p))
    });
    off.is_finite() && high - low <= 2.0 * WANDER * truth.wander * low + truth.resolution
}
