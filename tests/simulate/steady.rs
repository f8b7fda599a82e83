//! Simulated running logs: is the steady window found, is a swing found and only where there is one, does the window's
//! mean hold the truth?
//!
//! Limits of 0.56 K over 10 min and 0.56 K of scatter, as the program uses for lines; times in minutes.

use std::f64::consts::TAU;

use lineproof::stats::steady::{Limits, Search, Series, Window, mean_error, steadiest, swing};

use super::count;
use super::random::Random;

const SEARCH: Search = Search {
    shortest: 5.0,
    over: 10.0,
};
const LIMITS: Limits = Limits {
    change: 0.56,
    scatter: 0.56,
};

fn minutes(length: f64, step_seconds: f64) -> Vec<f64> {
    let rows = (length * 60.0 / step_seconds) as usize;
    (0..=rows).map(|i| i as f64 * step_seconds / 60.0).collect()
}

/// White noise and noise that remembers.
fn noise(random: &mut Random, time: &[f64], sd: f64) -> Vec<f64> {
    let (share, memory) = (random.between(0.0, 0.7), random.log_between(0.1, 1.0));
    let wander = random.wander(time.len(), time[1] - time[0], sd * share, memory);
    let white = sd * (1.0 - share * share).sqrt();
    wander
        .into_iter()
        .map(|w| w + random.normal(white))
        .collect()
}

fn find(time: &[f64], channels: &[Vec<f64>]) -> Window {
    let series: Vec<Series> = channels
        .iter()
        .map(|values| Series {
            values,
            limits: LIMITS,
        })
        .collect();
    steadiest(time, &series, SEARCH).unwrap()
}

#[test]
fn the_plateau_after_a_pull_down_is_found_and_its_mean_holds_the_truth() {
    let mut random = Random::seeded(31);
    let tests = count(200);
    let (mut steady, mut covered, mut means) = (0, 0, 0);
    let (mut off, mut most_left) = (0.0_f64, 0.0_f64);
    for _ in 0..tests {
        let step = random.pick(&[1.0, 2.0, 5.0, 10.0]);
        let time = minutes(random.between(35.0, 60.0), step);
        let channels: Vec<(f64, (f64, f64), Vec<f64>)> = (0..4)
            .map(|_| {
                let (truth, start) = (random.between(280.0, 310.0), random.between(-15.0, 15.0));
                let fades = random.between(1.5, 3.0);
                let sd = random.between(0.05, 0.25);
                let noise = noise(&mut random, &time, sd);
                let values = time
                    .iter()
                    .zip(noise)
                    .map(|(t, e)| truth + start * (-t / fades).exp() + e)
                    .collect();
                (truth, (start, fades), values)
            })
            .collect();
        let values: Vec<Vec<f64>> = channels.iter().map(|(.., v)| v.clone()).collect();
        let window = find(&time, &values);
        steady += usize::from(window.ratio <= 1.0);
        // what is left of the pull-down where the window begins, against what a thermometer is good for
        let begins = time[window.rows.start];
        let left = |(start, fades): (f64, f64)| start.abs() * (-begins / fades).exp();
        let left = channels.iter().map(|c| left(c.1)).fold(0.0, f64::max);
        most_left = most_left.max(left);
        assert!(left < 1.0, "{left} K left after {begins} min");
        for ((truth, ..), fit) in channels.iter().zip(&window.fits) {
            means += 1;
            off = off.max((fit.mean - truth).abs());
            covered += usize::from((fit.mean - truth).abs() <= 1.96 * fit.mean_error);
        }
    }
    let (steady, covered) = (steady as f64 / tests as f64, covered as f64 / means as f64);
    println!(
        "steady {steady:.3}, means covered {covered:.3}, most off {off:.3} K, most left {most_left:.2} K"
    );
    assert!(steady >= 0.97, "{steady}");
    assert!((0.92..=0.99).contains(&covered), "{covered}");
}

#[test]
fn a_drift_above_the_limit_is_never_called_steady() {
    let mut random = Random::seeded(32);
    let mut called = 0;
    let tests = count(300);
    for _ in 0..tests {
        let step = random.pick(&[1.0, 5.0, 10.0, 30.0, 60.0]);
        let time = minutes(random.between(15.0, 90.0), step);
        let slope = 0.1 * LIMITS.change * random.between(1.5, 4.0);
        let sd = random.between(0.02, 0.4);
        let noise = noise(&mut random, &time, sd);
        let values: Vec<f64> = time
            .iter()
            .zip(noise)
            .map(|(t, e)| 285.0 + slope * t + e)
            .collect();
        let window = find(&time, &[values]);
        if window.ratio <= 1.0 {
            called += 1;
            println!(
                "{slope:.3} K/min, sd {sd:.2}, {step} s: {:.2}",
                window.ratio
            );
        }
    }
    assert_eq!(called, 0, "of {tests} drifts");
}

#[test]
fn the_standard_error_of_a_mean_covers_it() {
    let mut random = Random::seeded(33);
    let tests = count(2000);
    let mut covered = 0;
    for _ in 0..tests {
        let time = minutes(
            random.between(5.0, 30.0),
            random.pick(&[1.0, 5.0, 15.0, 60.0]),
        );
        let values = noise(&mut random, &time, 0.3);
        let mean = values.iter().sum::<f64>() / values.len() as f64;
        covered += usize::from(mean.abs() <= 1.96 * mean_error(&values));
    }
    let covered = covered as f64 / tests as f64;
    println!("means covered {covered:.3}");
    assert!((0.93..=0.98).contains(&covered), "{covered}");
}

#[test]
fn a_swing_is_found_with_its_period_and_size() {
    let mut random = Random::seeded(34);
    let tests = count(300);
    let mut found = 0;
    for _ in 0..tests {
        let time = minutes(random.between(25.0, 45.0), random.pick(&[1.0, 5.0, 10.0]));
        let period = random.between(1.5, 7.0);
        let half = random.between(0.8, 4.0);
        // no valve keeps time like a clock
        let (mut phase, mut rate) = (random.between(0.0, TAU), 1.0);
        let mut next = 0.0;
        let lean = random.between(-0.4, 0.4);
        let noise = noise(&mut random, &time, 0.25);
        let step = time[1] - time[0];
        let values: Vec<f64> = time
            .iter()
            .zip(noise)
            .map(|(t, e)| {
                if *t >= next {
                    rate = 1.0 + random.normal(0.04);
                    next = t + period;
                }
                phase += TAU * step / period * rate;
                280.0 + half * (phase.sin() + lean * (2.0 * phase).sin()) + e
            })
            .collect();
        if let Some(swing) = swing(&time, &values) {
            found += 1;
            assert!(
                (swing.period / period - 1.0).abs() < 0.1,
                "{} for {period}",
                swing.period
            );
            assert!(
                (0.5..1.3).contains(&(swing.half / half)),
                "{} for {half}",
                swing.half
            );
        }
    }
    let found = found as f64 / tests as f64;
    println!("swings found {found:.3}");
    assert!(found >= 0.95, "{found}");
}

#[test]
fn noise_and_a_pull_down_are_not_called_a_swing() {
    let mut random = Random::seeded(35);
    let tests = count(600);
    let mut called = 0;
    for _ in 0..tests {
        let step = random.pick(&[1.0, 5.0, 10.0, 30.0]);
        let time = minutes(random.between(15.0, 60.0), step);
        let (start, fades) = (random.between(-10.0, 10.0), random.between(1.0, 10.0));
        let noise = noise(&mut random, &time, 0.3);
        let values: Vec<f64> = time
            .iter()
            .zip(noise)
            .map(|(t, e)| 280.0 + start * (-t / fades).exp() + e)
            .collect();
        called += usize::from(swing(&time, &values).is_some());
    }
    let called = called as f64 / tests as f64;
    println!("called a swing {called:.4}");
    assert!(called <= 0.02, "{called}");
}

#[test]
fn a_day_at_one_second_is_searched_in_well_under_a_second() {
    let mut random = Random::seeded(36);
    let time = minutes(24.0 * 60.0, 1.0);
    let channels: Vec<Vec<f64>> = (0..8).map(|_| noise(&mut random, &time, 0.2)).collect();
    let began = std::time::Instant::now();
    let window = find(&time, &channels);
    let swings: Vec<_> = channels.iter().map(|v| swing(&time, v)).collect();
    let took = began.elapsed();
    println!("{} rows, 8 channels: {took:?}", time.len());
    assert!(window.ratio < 1.0 && swings.iter().all(Option::is_none));
    // a loose bound: the machine may be busy with other work
    assert!(took.as_secs_f64() < 5.0, "{took:?}");
}
