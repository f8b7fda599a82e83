//! Simulated standing pressure tests: real nitrogen in a volume that is partly outdoors, partly indoors and partly where no
//! thermometer hangs; gas that lags behind; a start that is not at rest; walls that settle; a gauge that rounds and drifts.
use std::f64::consts::TAU;

use lineproof::check::tight::method::{Assumptions, Gauge, Kappa, Series, Share, Unseen, fit};
use lineproof::stats::decision::{Verdict, judge};

use crate::count;
use crate::random::Random;

const PSI: f64 = 6894.757293168;
const GAS_CONSTANT: f64 = 8.314462618;
/// 0.05 psi/h at 500 psig as a relative loss, 1/h.
const LIMIT: f64 = 0.05 / 514.696;

/// Nitrogen by two virial coefficients, fitted here to three rows of `nitrogen_isochoric.csv` (500 psig; 263, 293, 313 K).
fn compressibility(p: f64, kelvin: f64) -> f64 {
    let rt = GAS_CONSTANT * kelvin;
    let second = 52.65e-6 - 0.01719 / kelvin;
    let third = 1.45e-9;
    1.0 + second * p / rt + (third - second * second) * (p / rt).powi(2)
}

/// Pressure of `moles` in parts of unit total volume at their own temperatures.
fn pressure(moles: f64, parts: &[(f64, f64)], guess: f64) -> f64 {
    let held = |p: f64| -> f64 {
        parts
            .iter()
            .map(|(volume, kelvin)| {
                volume * p / (compressibility(p, *kelvin) * GAS_CONSTANT * kelvin)
            })
            .sum()
    };
    (0..20).fold(guess, |p, _| p * moles / held(p))
}

fn kappa(p: f64) -> Kappa {
    let start = 293.15;
    let moles = p / (compressibility(p, start) * GAS_CONSTANT * start);
    let at = |kelvin: f64| {
        let low = pressure(moles, &[(1.0, kelvin - 0.5)], p);
        let high = pressure(moles, &[(1.0, kelvin + 0.5)], p);
        (high / low).ln() / ((kelvin + 0.5) / (kelvin - 0.5)).ln()
    };
    Kappa::through((278.15, at(278.15)), (308.15, at(308.15)))
}

#[test]
fn the_simulated_gas_is_nitrogen() {
    // kappa at 500 psig and 293.15 K: 1.08573 (nitrogen_isochoric.csv); two virial coefficients give it to 0.002, and the fit
    // below uses the kappa of the simulated gas
    let found = kappa(514.696 * PSI).at(293.15);
    assert!((found - 1.08573).abs() < 2e-3, "{found}");
}

/// Everything about one test that its readers do not know.
struct Truth {
    hours: f64,
    step_min: f64,
    psia: f64,
    loss: f64,
    lag_h: f64,
    outdoors: f64,
    unlogged: f64,
    resolution_psi: f64,
    drift_psi_per_k: f64,
}

impl Truth {
    fn drawn(random: &mut Random, hours: f64) -> Self {
        let leaks = random.between(0.0, 1.0) < 0.5;
        Self {
            hours,
            step_min: random.pick(&[1.0, 2.0, 5.0, 10.0]),
            psia: random.pick(&[150.0, 300.0, 500.0]) + 14.696,
            loss: if leaks {
                LIMIT * random.log_between(0.3, 30.0)
            } else {
                0.0
            },
            lag_h: random.log_between(2.0, 45.0) / 60.0,
            outdoors: random.between(0.35, 1.0),
            unlogged: random.pick(&[0.0, 0.0, 0.1, 0.2]),
            resolution_psi: random.pick(&[0.1, 0.5, 1.0]),
            drift_psi_per_k: random.pick(&[0.0, 0.1]),
        }
    }
}

struct Log {
    hours: Vec<f64>,
    ln_p: Vec<f64>,
    outdoor: Vec<f64>,
    indoor: Vec<f64>,
}

/// A day outdoors with weather on top.
fn weather(random: &mut Random, n: usize, step_h: f64) -> Vec<f64> {
    let mean = random.between(280.0, 300.0);
    let half_swing = random.between(2.0, 7.0);
    let phase = random.between(0.0, TAU);
    let wander = random.wander(n, step_h, 1.0, 5.0);
    (0..n)
        .map(|i| mean + half_swing * (TAU * i as f64 * step_h / 24.0 + phase).cos() + wander[i])
        .collect()
}

fn followed(input: &[f64], step_h: f64, lag_h: f64, first: f64) -> Vec<f64> {
    // many small steps, not the closed form of the library
    let mut value = input[0] + first;
    let small = 20;
    let mut output = vec![value];
    for pair in input.windows(2) {
        for k in 0..small {
            let now = pair[0] + (pair[1] - pair[0]) * (f64::from(k) + 0.5) / f64::from(small);
            value += (now - value) * (1.0 - (-step_h / f64::from(small) / lag_h).exp());
        }
        output.push(value);
    }
    output
}

fn log(random: &mut Random, truth: &Truth) -> Log {
    let step_h = truth.step_min / 60.0;
    let n = (truth.hours / step_h) as usize + 1;
    let hours: Vec<f64> = (0..n).map(|i| i as f64 * step_h).collect();
    let air = weather(random, n, step_h);
    let room: Vec<f64> = {
        let wander = random.wander(n, step_h, 0.4, 1.0);
        let phase = random.between(0.0, TAU);
        (0..n)
            .map(|i| 294.0 + 0.6 * (TAU * hours[i] / 24.0 + phase).sin() + wander[i])
            .collect()
    };
    let pipe = followed(&air, step_h, truth.lag_h, random.normal(1.5));
    // an attic or a wall: slower and not where the thermometer hangs
    let hidden = followed(&air, step_h, 2.0, 0.0);
    let (unseen, unseen_time) = (random.log_between(0.05, 0.3), random.log_between(0.3, 3.0));
    let wander = random.wander(n, step_h, unseen, unseen_time);
    let (settling, settling_h) = (random.normal(0.3), random.between(2.0, 8.0));
    let (noise, drift) = (random.between(0.02, 0.1), random.normal(1.0));
    let indoors = 1.0 - truth.outdoors - truth.unlogged * (1.0 - truth.outdoors);
    let in_hiding = 1.0 - truth.outdoors - indoors;
    let kelvin = |i: usize| {
        let extra = wander[i] + settling * (-hours[i] / settling_h).exp();
        [
            (truth.outdoors, pipe[i] + extra),
            (indoors, room[i] + extra),
            (in_hiding, hidden[i] + extra),
        ]
    };
    let p_start = truth.psia * PSI;
    let moles: f64 = kelvin(0)
        .iter()
        .map(|(volume, t)| volume * p_start / (compressibility(p_start, *t) * GAS_CONSTANT * t))
        .sum();
    let mut p = p_start;
    let ln_p = (0..n)
        .map(|i| {
            p = pressure(moles * (-truth.loss * hours[i]).exp(), &kelvin(i), p);
            let shown =
                p / PSI + truth.drift_psi_per_k * drift * (air[i] - air[0]) + random.normal(noise);
            let gauge = ((shown - 14.696) / truth.resolution_psi).round() * truth.resolution_psi;
            ((gauge + 14.696) * PSI).ln()
        })
        .collect();
    let read = |random: &mut Random, kelvin: &[f64]| -> Vec<f64> {
        kelvin
            .iter()
            .map(|t| (10.0 * (t + random.normal(0.1))).round() / 10.0)
            .collect()
    };
    Log {
        hours,
        ln_p,
        outdoor: read(random, &air),
        indoor: read(random, &room),
    }
}

fn assumptions(random: &mut Random, truth: &Truth, log: &Log) -> Assumptions {
    let (low, high) = log
        .outdoor
        .iter()
        .fold((f64::INFINITY, 0.0_f64), |(l, h), t| (l.min(*t), h.max(*t)));
    Assumptions {
        share: Share::stated((truth.outdoors + random.normal(0.1)).clamp(0.0, 1.0)),
        gauge: Gauge {
            resolution_pa: truth.resolution_psi * PSI,
            drift_pa_per_k: truth.drift_psi_per_k * PSI,
        },
        unseen: Unseen::of_field_test(truth.unlogged * (1.0 - truth.outdoors), 0.5 * (high - low)),
    }
}

#[derive(Debug, Default)]
struct Tally {
    tests: usize,
    covered: usize,
    tight: usize,
    tight_failed: usize,
    tight_leak_seen: usize,
    tight_passed: usize,
    big: usize,
    big_failed: usize,
    big_passed: usize,
    stepped: usize,
    ignoring: usize,
    left_out: usize,
}

impl Tally {
    fn merge(&mut self, other: &Self) {
        for (sum, part) in [
            (&mut self.tests, other.tests),
            (&mut self.covered, other.covered),
            (&mut self.tight, other.tight),
            (&mut self.tight_failed, other.tight_failed),
            (&mut self.tight_leak_seen, other.tight_leak_seen),
            (&mut self.tight_passed, other.tight_passed),
            (&mut self.big, other.big),
            (&mut self.big_failed, other.big_failed),
            (&mut self.big_passed, other.big_passed),
            (&mut self.stepped, other.stepped),
            (&mut self.ignoring, other.ignoring),
            (&mut self.left_out, other.left_out),
        ] {
            *sum += part;
        }
    }

    fn add(&mut self, random: &mut Random, hours: f64) {
        let truth = Truth::drawn(random, hours);
        let log = log(random, &truth);
        let series = Series {
            hours: &log.hours,
            ln_p: &log.ln_p,
            outdoor_k: Some(&log.outdoor),
            indoor_k: Some(&log.indoor),
            witness_ln_p: None,
            kappa: kappa(truth.psia * PSI),
        };
        let fit = fit(&series, &assumptions(random, &truth, &log)).unwrap();
        let decision = judge(&fit.loss, LIMIT);
        let (fails, passes) = (
            decision.verdict == Verdict::Fail,
            decision.verdict == Verdict::Pass,
        );
        let (tight, big) = (truth.loss == 0.0, truth.loss > 3.0 * LIMIT);
        let hit = |is: bool| usize::from(is);
        self.tests += 1;
        self.covered += hit(fit.loss.interval(0.95).contains(truth.loss));
        self.tight += hit(tight);
        self.tight_failed += hit(tight && fails);
        self.tight_leak_seen += hit(tight && decision.leak_seen());
        self.tight_passed += hit(tight && passes);
        self.big += hit(big);
        self.big_failed += hit(big && fails);
        self.big_passed += hit(big && passes);
        self.stepped += hit(!fit.steps.is_empty());
        self.ignoring += hit(fit.ignores_temperature());
        self.left_out += fit.outliers.len();
    }
}

#[test]
fn the_interval_holds_and_tight_sets_do_not_fail() {
    let mut random = Random::seeded(20_260_102);
    let mut all = Tally::default();
    for hours in [3.0, 8.0, 14.0, 24.0, 48.0] {
        let mut tally = Tally::default();
        for _ in 0..count(40) {
            tally.add(&mut random, hours);
        }
        println!("{hours} h: {tally:?}");
        all.merge(&tally);
    }
    println!("all: {all:?}");
    let share = |part: usize, of: usize| part as f64 / of as f64;
    assert!(share(all.covered, all.tests) >= 0.92, "{all:?}");
    assert!(share(all.tight_failed, all.tight) <= 0.03, "{all:?}");
}
