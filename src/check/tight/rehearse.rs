//! A standing pressure test rehearsed: the same set, gauge and weather with a known truth, before anything is rented.
//!
//! Real gas in parts at their own temperatures: outdoors, late behind the air; in the rooms; and where no thermometer
//! hangs. Walls settle, clouds pass, the barometer wanders, the gauge rounds. The same seed gives the same readings.

mod chance;
mod error;
mod setup;
mod truth;
mod volume;

pub use error::RehearseError;
pub use setup::{Beside, Readings, Setup};
pub use truth::{Leak, Touch, Truth};

use rayon::prelude::*;

use self::chance::Chance;
use self::setup::Read;
use self::volume::{Parts, held, pressure_of};
use super::assess::assess;
use super::criteria::Criteria;
use super::input::Input;
use crate::check::{Detail, Finding, Outcome};
use crate::quantity::{PressureAbs, PressureRate, Quantity, Temperature, UnitSystem, both, unit};

/// A hold that was never made, with its truth.
#[derive(Debug, Clone, PartialEq)]
pub struct Rehearsal {
    /// What its reader sees.
    pub input: Input,
    /// What its reader does not know.
    pub truth: Truth,
}

impl Rehearsal {
    /// The true loss as the judgement counts it: at the pressure half-way between the first reading and the last, as a
    /// hole passes less when the pressure has fallen.
    pub fn loss_to_find(&self) -> PressureRate {
        let pressure = &self.input.pressure;
        let fallen = pressure[pressure.len() - 1].si() / pressure[0].si();
        PressureRate::from_si(self.truth.leak.si() * fallen.sqrt())
    }

    /// What the standing pressure test says to it.
    pub fn judge(&self, criteria: &Criteria) -> Result<Finding, RehearseError> {
        assess(&self.input, criteria).map_err(|error| RehearseError::Judged(error.to_string()))
    }

    /// The loss that it finds: estimate, low and high end of the 95 % interval.
    pub(super) fn loss_found(
        &self,
        criteria: &Criteria,
    ) -> Result<[PressureRate; 3], RehearseError> {
        match self.judge(criteria)?.detail {
            Detail::Tight(detail) => Ok(detail.loss),
            _ => unreachable!("tight gives its own detail"),
        }
    }
}

/// Rehearses a hold.
///
/// `leak`: what is hidden in it; `touched`: a hose or valve touched on the way; `seed`: the same one gives the same readings.
///
/// Departures: the sun, and an oil that takes up gas, are not rehearsed. Sizes of what nobody sees are this program's own choice: lag 2 to 45 min, share off by 0.1, clouds 1 K over 5 h, gas
/// 0.05 to 0.3 K from where its thermometers say over 0.3 to 3 h, settling 0.06 K over 2 to 8 h and ten times that in one hold of fifty, barometer 0.05 psi over
/// 30 h, thermometers 0.1 K.
///
/// Source: own choice; the gas by its reference equation ([`crate::fluid::DryGas`]).
///
/// ```
/// use lineproof::check::tight::rehearse::{Leak, Setup, rehearse};
/// use lineproof::quantity::{PressureDiff, PressureGauge, Quantity, unit};
/// let setup = Setup::of(
///     PressureGauge::of(450.0, unit::PSIG),
///     PressureDiff::of(1.0, unit::PSI_DIFF),
/// );
/// let first = rehearse(&setup, Leak::Tight, None, 7)?;
/// assert_eq!(first.input.hours.len(), 145);
/// assert_eq!(first, rehearse(&setup, Leak::Tight, None, 7)?);
/// # Ok::<(), lineproof::check::tight::rehearse::RehearseError>(())
/// ```
pub fn rehearse(
    setup: &Setup,
    leak: Leak,
    touched: Option<Touch>,
    seed: u64,
) -> Result<Rehearsal, RehearseError> {
    setup.check()?;
    if !setup.gas.is_allowed() {
        return Err(RehearseError::Forbidden {
            gas: setup.gas.word(),
        });
    }
    let mut chance = Chance::seeded(seed);
    let truth = Truth::drawn(&mut chance, setup, leak, touched);
    check_truth(setup, &truth)?;
    let air = Air::drawn(&mut chance, setup, &truth);
    let read = readings(&mut chance, setup, &truth, &air)?;
    Ok(Rehearsal {
        input: setup.input(read),
        truth,
    })
}

/// A hole may let out half of the gas at most.
const MOST_LOST: f64 = 0.5;

fn check_truth(setup: &Setup, truth: &Truth) -> Result<(), RehearseError> {
    let most = MOST_LOST * setup.start_abs().si() / setup.hold.si();
    if !(0.0..=most).contains(&truth.leak.si()) {
        return Err(RehearseError::Leak {
            leak: both(truth.leak),
            most: both(PressureRate::from_si(most)),
        });
    }
    match truth.touched {
        Some(touch)
            if !(0.0..setup.hours()).contains(&touch.hours)
                || touch.drop.si().abs() > 0.5 * setup.start_abs().si() =>
        {
            Err(RehearseError::Touch {
                hours: touch.hours,
                drop: both(touch.drop),
            })
        }
        _ => Ok(()),
    }
}

/// Temperatures between the readings too, at even steps.
struct Air {
    /// Positions between two readings.
    finer: usize,
    outdoor: Vec<f64>,
    indoor: Vec<f64>,
    /// Of the gas, each part at its own.
    parts: Vec<Parts>,
    witness: Vec<Parts>,
    barometer: Vec<f64>,
}

/// Steps are no longer than this, h.
const STEP_H: f64 = 1.0 / 12.0;
/// How late a place without a thermometer follows the air, h.
const UNLOGGED_LAG_H: f64 = 2.0;
/// How often walls settle by ten times as much as usual.
const MUCH_SETTLING: f64 = 0.02;
/// Of the unseen warmth of the set, how much a second volume beside it shares.
const SHARED: f64 = 0.9;

impl Air {
    fn drawn(chance: &mut Chance, setup: &Setup, truth: &Truth) -> Self {
        let times = setup.times();
        let finer = ((times[1] - times[0]) / STEP_H).ceil().max(1.0) as usize;
        let step = (times[1] - times[0]) / finer as f64;
        let count = (times.len() - 1) * finer + 1;
        let hours = |i: usize| i as f64 * step;
        let clouds = chance.wander(count, step, 1.0, 5.0);
        let outdoor: Vec<f64> = (0..count)
            .map(|i| setup.fair_outdoor(hours(i)).si() + clouds[i])
            .collect();
        let (room, phase) = (
            chance.wander(count, step, 0.4, 1.0),
            chance.between(0.0, std::f64::consts::TAU),
        );
        let indoor: Vec<f64> = (0..count)
            .map(|i| {
                let day = hours(i) * std::f64::consts::TAU / 24.0 + phase;
                setup.indoor.si() + 0.5 * day.sin() + room[i]
            })
            .collect();
        let pipe = followed(&outdoor, step, truth.lag_h, truth.start_offset.si());
        // a place without a thermometer swings as far as was said, late
        let half_swing = setup.unlogged.map_or(0.0, |u| u.half_swing.si());
        let stretch = half_swing / (0.5 * setup.swing.si()).max(0.5);
        let hiding: Vec<f64> = followed(&outdoor, step, UNLOGGED_LAG_H, 0.0)
            .iter()
            .map(|k| setup.outdoor.si() + stretch * (k - setup.outdoor.si()))
            .collect();
        let (size, memory) = (chance.log_between(0.05, 0.3), chance.log_between(0.3, 3.0));
        let unseen = chance.wander(count, step, size, memory);
        let alone = chance.wander(count, step, size * (1.0 - SHARED), memory);
        let settles = if chance.between(0.0, 1.0) < MUCH_SETTLING {
            0.6
        } else {
            0.06
        };
        let (settling, settling_h) = (chance.normal(settles), chance.between(2.0, 8.0));
        let own = |i: usize| unseen[i] + settling * (-hours(i) / settling_h).exp();
        let (outdoors, unlogged) = (truth.outdoors.si(), truth.unlogged.si());
        let parts = |outdoors: f64, i: usize, extra: f64| {
            [
                (outdoors, pipe[i] + extra),
                (1.0 - outdoors - unlogged, indoor[i] + extra),
                (unlogged, hiding[i] + extra),
            ]
        };
        let beside = (outdoors + chance.normal(0.05)).clamp(0.0, 1.0 - unlogged);
        Air {
            finer,
            parts: (0..count).map(|i| parts(outdoors, i, own(i))).collect(),
            witness: (0..count)
                .map(|i| parts(beside, i, SHARED * own(i) + alone[i]))
                .collect(),
            // 0.05 psi
            barometer: chance.wander(count, step, 345.0, 30.0),
            outdoor,
            indoor,
        }
    }
}

/// A temperature that follows another late, along its straight pieces.
fn followed(input: &[f64], step_h: f64, lag_h: f64, offset: f64) -> Vec<f64> {
    let kept = (-step_h / lag_h).exp();
    let mut value = input[0] + offset;
    let mut output = vec![value];
    for pair in input.windows(2) {
        // on a ramp the follower ends up one lag behind it
        let behind = (pair[1] - pair[0]) / step_h * lag_h;
        value = pair[1] - behind + (value - pair[0] + behind) * kept;
        output.push(value);
    }
    output
}

fn readings(
    chance: &mut Chance,
    setup: &Setup,
    truth: &Truth,
    air: &Air,
) -> Result<Read, RehearseError> {
    let gas = setup.gas.computed_as();
    let hours = setup.times();
    let start = setup.start_abs().si();
    let atmosphere = setup.barometer.pressure().si();
    let per_hour = truth.leak.si() * 3600.0 / start;
    let drift = setup.gauge_drift_per_kelvin.map_or(0.0, Quantity::si) * chance.normal(1.0);
    let (mass, witness_mass) = (
        held(gas, start, &air.parts[0])?,
        held(gas, start, &air.witness[0])?,
    );
    let mut gauge = Gauge {
        step: setup.gauge_resolution.si(),
        // a needle is not read better than this
        noise: (0.1 * setup.gauge_resolution.si()).max(138.0),
        atmosphere,
    };
    let (mut p, mut beside) = (start, start);
    let mut read = Read {
        hours: hours.clone(),
        pressure: Vec::with_capacity(hours.len()),
        outdoor: Vec::with_capacity(hours.len()),
        indoor: Vec::with_capacity(hours.len()),
        witness: Vec::with_capacity(hours.len()),
    };
    for (i, at) in hours.iter().enumerate() {
        let now = i * air.finer;
        let touched = truth.touched.filter(|touch| *at >= touch.hours);
        let left = (-per_hour * at).exp() * (1.0 - touched.map_or(0.0, |t| t.drop.si() / start));
        p = pressure_of(gas, mass * left, &air.parts[now], p)?;
        let moved =
            drift * (air.outdoor[now] - air.outdoor[0]) - (air.barometer[now] - air.barometer[0]);
        read.pressure.push(gauge.reads(chance, p + moved));
        if setup.beside == Beside::Witness {
            beside = pressure_of(gas, witness_mass, &air.witness[now], beside)?;
            read.witness.push(gauge.reads(chance, beside + moved));
        }
        read.outdoor
            .push(thermometer(chance, air.outdoor[now], setup.units));
        read.indoor
            .push(thermometer(chance, air.indoor[now], setup.units));
    }
    Ok(read)
}

struct Gauge {
    step: f64,
    noise: f64,
    atmosphere: f64,
}

impl Gauge {
    /// The nearest step of the scale, against the atmosphere at the start.
    fn reads(&mut self, chance: &mut Chance, absolute: f64) -> PressureAbs {
        let shown = absolute - self.atmosphere + chance.normal(self.noise);
        PressureAbs::from_si((shown / self.step).round() * self.step + self.atmosphere)
    }
}

/// A thermometer in tenths of a degree.
fn thermometer(chance: &mut Chance, kelvin: f64, units: UnitSystem) -> Temperature {
    let noisy = Temperature::from_si(kelvin + chance.normal(0.1));
    let scale = match units {
        UnitSystem::Us => unit::FAHRENHEIT,
        UnitSystem::Si => unit::CELSIUS,
    };
    Temperature::of((10.0 * noisy.in_unit(scale)).round() / 10.0, scale)
}

/// What many rehearsals of one hold came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Tally {
    /// How many.
    pub times: usize,
    /// Of which pass.
    pub pass: usize,
    /// Of which fail.
    pub fail: usize,
    /// Of which stay undecided.
    pub undecided: usize,
    /// In which a leak is seen, whatever the limit says.
    pub leak_seen: usize,
    /// Whose interval holds the truth.
    pub covered: usize,
}

/// Rehearses a hold so many times, each with the next seed, and counts the answers.
pub fn tally(
    setup: &Setup,
    leak: Leak,
    seed: u64,
    times: usize,
    criteria: &Criteria,
) -> Result<Tally, RehearseError> {
    (0..times)
        .into_par_iter()
        .map(|nth| one(setup, leak, seed.wrapping_add(nth as u64), criteria))
        .try_reduce(Tally::default, |a, b| Ok(a.and(b)))
}

fn one(setup: &Setup, leak: Leak, seed: u64, criteria: &Criteria) -> Result<Tally, RehearseError> {
    let rehearsal = rehearse(setup, leak, None, seed)?;
    let finding = rehearsal.judge(criteria)?;
    let came_out = |outcome: Outcome| usize::from(finding.outcome == outcome);
    let (pass, fail) = (came_out(Outcome::Pass), came_out(Outcome::Fail));
    let Detail::Tight(detail) = &finding.detail else {
        unreachable!("tight gives its own detail")
    };
    let truth = rehearsal.loss_to_find().si();
    let inside = (detail.loss[1].si()..=detail.loss[2].si()).contains(&truth);
    Ok(Tally {
        times: 1,
        pass,
        fail,
        undecided: 1 - pass - fail,
        leak_seen: usize::from(detail.leak_seen),
        covered: usize::from(inside),
    })
}

impl Tally {
    fn and(self, other: Self) -> Self {
        Tally {
            times: self.times + other.times,
            pass: self.pass + other.pass,
            fail: self.fail + other.fail,
            undecided: self.undecided + other.undecided,
            leak_seen: self.leak_seen + other.leak_seen,
            covered: self.covered + other.covered,
        }
    }
}

#[cfg(test)]
mod tests;
