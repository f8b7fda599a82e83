//! One standing pressure test: everything its readers do not know, and what they read.
use std::f64::consts::TAU;

use super::gas::{ATMOSPHERE_PSI, PSI, followed, moles, pressure};
use crate::random::Random;

/// What is unusual about a test.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Variant {
    /// Nothing.
    Base,
    /// A fifth of the volume lies in an attic without a thermometer: 25 K from low to high, 18 min behind.
    Attic,
    /// The gauge's zero moves by 0.32 psi per kelvin of the air around it, either way.
    Drift,
    /// The sun warms the outdoor lines by up to 6 K; the thermometer hangs in the shade.
    Sun,
    /// Walls and insulation settle over 4 to 8 h.
    Settling,
    /// The leak opens in the middle of the test.
    LateLeak,
    /// Three to nine readings, typed by hand.
    FewReadings,
}

/// What is true of one test.
#[derive(Debug, Clone)]
pub struct Truth {
    pub variant: Variant,
    pub hours: f64,
    pub step_min: usize,
    pub psia: f64,
    /// Lost over the whole hold, psi at the temperatures of the start.
    pub lost_psi: f64,
    /// When the leak opens, as a part of the hold.
    pub opens: f64,
    pub lag_h: f64,
    pub probe_lag_h: f64,
    pub outdoors: f64,
    pub attic: f64,
    pub half_swing_k: f64,
    pub resolution_psi: f64,
    pub drift_psi_per_k: f64,
}

/// What was read.
#[derive(Debug, Clone)]
pub struct Log {
    pub hours: Vec<f64>,
    pub ln_p: Vec<f64>,
    pub outdoor: Vec<f64>,
    pub indoor: Vec<f64>,
    /// A second, tight volume in the same surroundings.
    pub witness: Vec<f64>,
}

impl Truth {
    pub fn drawn(random: &mut Random, variant: Variant) -> Self {
        let hours = random.log_between(2.0, 48.0);
        let leaks = variant == Variant::LateLeak || random.between(0.0, 1.0) < 0.5;
        let lost = random.log_between(0.5, 30.0);
        let drift = 0.32 * random.pick(&[-1.0, 1.0]);
        let opens = random.between(0.3, 0.7);
        Self {
            variant,
            hours,
            step_min: random.pick(&[1, 2, 5, 10, 15]),
            psia: random.between(150.0, 600.0) + ATMOSPHERE_PSI,
            lost_psi: if leaks { lost } else { 0.0 },
            opens: if variant == Variant::LateLeak {
                opens
            } else {
                0.0
            },
            lag_h: random.between(0.0, 40.0) / 60.0,
            probe_lag_h: random.between(0.0, 5.0) / 60.0,
            outdoors: random.between(0.3, 1.0),
            attic: if variant == Variant::Attic { 0.2 } else { 0.0 },
            half_swing_k: 0.5 * random.between(5.0, 15.0),
            resolution_psi: random.pick(&[0.1, 0.5, 1.0]),
            drift_psi_per_k: if variant == Variant::Drift {
                drift
            } else {
                0.0
            },
        }
    }

    /// Share of the whole volume that is outdoors.
    pub fn outdoor_share(&self) -> f64 {
        self.outdoors * (1.0 - self.attic)
    }

    /// Mean relative loss over the hold, 1/h.
    pub fn loss(&self) -> f64 {
        self.lost_ln() / self.hours
    }

    /// Relative loss in the last half of the hold, 1/h.
    pub fn late_loss(&self) -> f64 {
        let open = (1.0 - self.opens).min(0.5);
        self.lost_ln() * open / (1.0 - self.opens) / (0.5 * self.hours)
    }

    fn lost_ln(&self) -> f64 {
        (self.psia / (self.psia - self.lost_psi)).ln()
    }
}

impl Log {
    /// The readings of the first hours.
    pub fn until(&self, hours: f64) -> Self {
        let count = self.hours.partition_point(|t| *t <= hours + 1e-6);
        let first = |column: &[f64]| column[..count].to_vec();
        Self {
            hours: first(&self.hours),
            ln_p: first(&self.ln_p),
            outdoor: first(&self.outdoor),
            indoor: first(&self.indoor),
            witness: first(&self.witness),
        }
    }
}

/// Everything is simulated every minute, whatever the logger's step.
const MINUTE_H: f64 = 1.0 / 60.0;

/// The gas and the air of one test, every minute.
struct World {
    air: Vec<f64>,
    room: Vec<f64>,
    /// Parts of the volume and their temperatures.
    line: Vec<Vec<(f64, f64)>>,
    /// The same for a witness that hangs beside it.
    witness: Vec<Vec<(f64, f64)>>,
}

impl World {
    fn drawn(random: &mut Random, truth: &Truth) -> Self {
        let n = (truth.hours / MINUTE_H).round() as usize + 1;
        let hour = |i: usize| i as f64 * MINUTE_H;
        // the clock at the start decides what the weather does next
        let clock = random.between(0.0, 24.0);
        let mean = random.between(278.0, 298.0);
        let (cloud, cloud_h) = (random.between(0.3, 1.0), random.log_between(0.3, 3.0));
        let clouds = random.wander(n, MINUTE_H, cloud, cloud_h);
        let wave = |i: usize| (TAU * (hour(i) + clock - 15.0) / 24.0).cos();
        let air: Vec<f64> = (0..n)
            .map(|i| mean + truth.half_swing_k * wave(i) + clouds[i])
            .collect();
        let indoors = random.wander(n, MINUTE_H, 0.4, 1.0);
        let room: Vec<f64> = (0..n).map(|i| 294.0 + 0.5 * wave(i) + indoors[i]).collect();
        let sunny = random.between(0.6, 1.0);
        let shading = random.wander(n, MINUTE_H, 0.15, 0.5);
        let sun = |i: usize| {
            let up = (TAU * (hour(i) + clock - 7.0) / 24.0).sin().max(0.0);
            6.0 * up * (sunny + shading[i]).clamp(0.0, 1.0)
        };
        let around: Vec<f64> = (0..n)
            .map(|i| {
                if truth.variant == Variant::Sun {
                    air[i] + sun(i)
                } else {
                    air[i]
                }
            })
            .collect();
        let under_roof: Vec<f64> = (0..n)
            .map(|i| mean + 5.0 + 12.5 * wave(i) + clouds[i])
            .collect();
        let first = random.normal(1.0);
        let pipe = followed(&around, MINUTE_H, truth.lag_h, first);
        let attic = followed(&under_roof, MINUTE_H, 0.3, first);
        let unseen_k = random.between(0.05, 0.3);
        let unseen = random.wander(n, MINUTE_H, unseen_k, 1.0);
        let settles = if truth.variant == Variant::Settling {
            random.normal(0.5)
        } else {
            0.0
        };
        let settling_h = random.between(4.0, 8.0);
        let kelvin = |i: usize, extra: f64, outdoors: f64| {
            let extra = extra + settles * (-hour(i) / settling_h).exp();
            vec![
                (outdoors, pipe[i] + extra),
                (1.0 - outdoors - truth.attic, room[i] + extra),
                (truth.attic, attic[i] + extra),
            ]
        };
        // the witness shares the surroundings, not the last tenth of a kelvin nor every inch of the way
        let own = random.wander(n, MINUTE_H, 0.3 * unseen_k, 1.0);
        let outdoors = truth.outdoor_share();
        let beside = (outdoors + random.normal(0.03)).clamp(0.0, 1.0 - truth.attic);
        Self {
            line: (0..n).map(|i| kelvin(i, unseen[i], outdoors)).collect(),
            witness: (0..n)
                .map(|i| kelvin(i, unseen[i] + own[i], beside))
                .collect(),
            air,
            room,
        }
    }
}

/// Draws the weather, the gas and the readings of one test.
pub fn log(random: &mut Random, truth: &Truth) -> Log {
    let world = World::drawn(random, truth);
    let n = world.air.len();
    let barometer = random.wander(n, MINUTE_H, 0.05, 30.0);
    let noise = random.between(0.02, 0.06);
    let rows = rows(random, truth, n);
    let probe = |random: &mut Random, air: &[f64]| -> Vec<f64> {
        let late = followed(air, MINUTE_H, truth.probe_lag_h, 0.0);
        rows.iter()
            .map(|&i| (10.0 * (late[i] + random.normal(0.1))).round() / 10.0)
            .collect()
    };
    let (outdoor, indoor) = (probe(random, &world.air), probe(random, &world.room));
    let mut gauge = |parts: &[Vec<(f64, f64)>], lost: f64| -> Vec<f64> {
        let start = truth.psia * PSI;
        let full = moles(start, &parts[0]);
        let left = moles(start - lost * PSI, &parts[0]);
        let mut p = start;
        rows.iter()
            .map(|&i| {
                let part = i as f64 / (n - 1) as f64;
                let leaking = ((part - truth.opens) / (1.0 - truth.opens)).max(0.0);
                p = pressure(full * (left / full).powf(leaking), &parts[i], p);
                let drift = truth.drift_psi_per_k * (world.air[i] - world.air[0]);
                let shown = p / PSI - ATMOSPHERE_PSI - barometer[i] + drift + random.normal(noise);
                let read = (shown / truth.resolution_psi).round() * truth.resolution_psi;
                ((read + ATMOSPHERE_PSI) * PSI).ln()
            })
            .collect()
    };
    Log {
        hours: rows.iter().map(|&i| i as f64 * MINUTE_H).collect(),
        ln_p: gauge(&world.line, truth.lost_psi),
        witness: gauge(&world.witness, 0.0),
        outdoor,
        indoor,
    }
}

/// The minutes at which somebody read.
fn rows(random: &mut Random, truth: &Truth, n: usize) -> Vec<usize> {
    if truth.variant != Variant::FewReadings {
        return (0..n).step_by(truth.step_min).collect();
    }
    let count = random.pick(&[3, 4, 5, 6, 7, 8, 9]);
    let mut rows = vec![0, n - 1];
    while rows.len() < count {
        let row = (random.between(0.0, 1.0) * (n - 1) as f64) as usize;
        // nobody reads twice within five minutes
        if rows.iter().all(|other| other.abs_diff(row) >= 5) {
            rows.push(row);
        }
    }
    rows.sort_unstable();
    rows
}
