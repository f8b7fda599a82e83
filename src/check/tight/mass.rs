//! What the loss of pressure would be in refrigerant: grams a year, as the range over three laws of flow.

mod sentences;

pub(super) use sentences::{reasons_of, unseen};

use super::input::Input;
use crate::fluid::{DryGas, DryGasError, Refrigerant};
use crate::physics::flow::FlowError;
use crate::physics::leak::{self, Drive, FlowLaw, Gas};
use crate::quantity::{
    Dimension, Fraction, Interval, LeakRate, Mass, MassRate, Measured, PressureAbs, PressureRate,
    Quantity, Temperature, Volume, unit,
};
use crate::source::SourceId;
use crate::stats::mixture::Mixture;

/// Where the conditions come from.
pub const CONDITIONS_SOURCE: SourceId = SourceId::LeakConditions;

/// When refrigerant would be lost.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Condition {
    /// At rest, in a room's temperature.
    Idle,
    /// Running: the high side on a warm day.
    Running,
}

impl Condition {
    /// Both.
    pub const ALL: [Condition; 2] = [Condition::Idle, Condition::Running];

    /// The saturation that stands for it: 20 and 45 °C. Source: [`CONDITIONS_SOURCE`].
    pub fn saturation(self) -> Temperature {
        let celsius = match self {
            Condition::Idle => 20.0,
            Condition::Running => 45.0,
        };
        Temperature::of(celsius, unit::CELSIUS)
    }

    /// "at rest", "running".
    pub fn words(self) -> &'static str {
        match self {
            Condition::Idle => "at rest",
            Condition::Running => "running",
        }
    }
}

/// The share of the charge that may be lost in a year; this program's own choice. Source: [`SourceId::TightMassLimit`].
pub fn share_a_year() -> Fraction {
    Fraction::of(5.0, unit::PERCENT)
}

/// The smallest leak that bubbles show where the solution wets it. Source: [`SourceId::BubbleSight`].
pub fn bubble_sight() -> LeakRate {
    LeakRate::from_si(1e-5)
}

/// The smallest leak that a detector shows. Source: [`SourceId::DetectorSight`].
pub fn detector_sight() -> MassRate {
    MassRate::of(5.0, unit::GRAM_PER_YEAR)
}

/// A hole as a test drives it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hole {
    /// The test gas.
    pub gas: DryGas,
    /// Its pressure.
    pub pressure: PressureAbs,
    /// Its temperature.
    pub temperature: Temperature,
    /// The atmosphere outside.
    pub outside: PressureAbs,
}

/// Why a loss of pressure says nothing in grams.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum MassError {
    /// The refrigerant does not condense there.
    #[error(
        "{refrigerant} {} at {}: above its critical point of {} nothing condenses, so there is no such pressure; not valid for it",
        condition.words(), crate::quantity::both(condition.saturation()), crate::quantity::both(refrigerant.facts().critical_temperature)
    )]
    NotCondensing {
        /// The refrigerant.
        refrigerant: Refrigerant,
        /// When.
        condition: Condition,
    },
    /// Nothing drives it, or the tables do not reach.
    #[error(transparent)]
    Flow(#[from] FlowError),
    /// Outside the test gas's equation.
    #[error(transparent)]
    Gas(#[from] DryGasError),
}

impl Hole {
    /// Refrigerant lost per throughput of test gas, in kg/s per Pa m3/s, by each of [`FlowLaw::ALL`].
    ///
    /// Vapour at the condition's saturation pressure, before the same hole. Source: [`leak::SOURCE`].
    pub fn mass_per_throughput(
        &self,
        refrigerant: Refrigerant,
        condition: Condition,
    ) -> Result<[f64; 3], MassError> {
        let saturation = condition.saturation();
        if saturation >= refrigerant.facts().critical_temperature {
            return Err(MassError::NotCondensing {
                refrigerant,
                condition,
            });
        }
        let gas = Gas::dry(self.gas, self.pressure, self.temperature)?;
        let test = Drive::new(gas, self.pressure, self.outside)?;
        let vapour = Drive::vapour(refrigerant, saturation, self.outside)?;
        let unit_mass = leak::mass_rate(
            LeakRate::from_si(1.0),
            vapour.molar_mass(),
            leak::reference(),
        );
        Ok(FlowLaw::ALL.map(|law| law.ratio(&test, &vapour) * unit_mass.si()))
    }

    /// What a throughput of test gas would be in refrigerant: estimate, low and high end of each.
    ///
    /// A throughput below zero, a gain, counts as nothing lost.
    pub fn mass_loss(
        &self,
        refrigerant: Refrigerant,
        condition: Condition,
        throughput: [LeakRate; 3],
    ) -> Result<MassLoss, MassError> {
        let factors = self.mass_per_throughput(refrigerant, condition)?;
        let by_law = factors
            .map(|factor| throughput.map(|leak| MassRate::from_si((factor * leak.si()).max(0.0))));
        Ok(MassLoss { condition, by_law })
    }

    /// The throughput of test gas that stands for a mass loss, by each of [`FlowLaw::ALL`].
    pub fn throughput(
        &self,
        refrigerant: Refrigerant,
        condition: Condition,
        loss: MassRate,
    ) -> Result<[LeakRate; 3], MassError> {
        let factors = self.mass_per_throughput(refrigerant, condition)?;
        Ok(factors.map(|factor| LeakRate::from_si(loss.si() / factor)))
    }
}

/// Refrigerant that a hole would lose at a condition.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MassLoss {
    /// When.
    pub condition: Condition,
    /// Estimate, low and high end by each of [`FlowLaw::ALL`].
    pub by_law: [[MassRate; 3]; 3],
}

impl MassLoss {
    /// The middle law's estimate, the lowest low and the highest high end.
    pub fn interval(&self) -> Interval {
        let end = |i: usize| self.by_law.map(|law| law[i].si());
        let mut estimates = end(0);
        estimates.sort_by(f64::total_cmp);
        Interval {
            estimate: estimates[1],
            low: end(1).into_iter().fold(f64::INFINITY, f64::min),
            high: end(2).into_iter().fold(0.0, f64::max),
            dimension: Dimension::MassRate,
        }
    }

    /// The same as a share of a charge, per year.
    pub fn share_a_year(&self, charge: Mass) -> Interval {
        let share = |rate: f64| {
            let year = MassRate::from_si(rate).in_unit(unit::GRAM_PER_YEAR);
            1e-3 * year / charge.si()
        };
        let rate = self.interval();
        Interval {
            estimate: share(rate.estimate),
            low: share(rate.low),
            high: share(rate.high),
            dimension: Dimension::Fraction,
        }
    }
}

/// The loss of a test in refrigerant.
#[derive(Debug, Clone, PartialEq)]
pub struct MassDetail {
    /// The refrigerant.
    pub refrigerant: Refrigerant,
    /// Throughput of test gas, counted at 20 °C: estimate, low and high end with the volume's uncertainty.
    pub throughput: [LeakRate; 3],
    /// What it would be at rest and running; without running for a refrigerant that does not condense there.
    pub losses: Vec<MassLoss>,
    /// What bubbles would show where they wet the hole during the test, at the last of the conditions.
    pub bubbles: MassLoss,
}

/// The loss of a test in refrigerant, when volume and refrigerant are known and the test drives a hole.
///
/// `loss`: estimate, low and high end; `level`: the pressure in the middle of the test.
pub(super) fn detail(
    input: &Input,
    loss: &[PressureRate; 3],
    level: PressureAbs,
) -> Option<MassDetail> {
    let (volume, refrigerant) = (input.volume.as_ref()?, input.refrigerant?);
    let hole = hole(input, level);
    let throughput = throughput(loss, volume, hole.temperature);
    let losses: Vec<MassLoss> = Condition::ALL
        .into_iter()
        .filter_map(|at| hole.mass_loss(refrigerant, at, throughput).ok())
        .collect();
    let last = losses.last()?.condition;
    let bubbles = hole
        .mass_loss(refrigerant, last, [bubble_sight(); 3])
        .ok()?;
    Some(MassDetail {
        refrigerant,
        throughput,
        losses,
        bubbles,
    })
}

/// The pressure loss that would cost [`share_a_year`] of the charge while running, by the least favourable law.
///
/// None without volume, refrigerant and charge, or where the refrigerant does not condense.
pub(super) fn limit(input: &Input, level: PressureAbs) -> Option<PressureRate> {
    let (volume, refrigerant) = (input.volume.as_ref()?, input.refrigerant?);
    let a_year = 1e3 * share_a_year().si() * input.charge?.si();
    let loss = MassRate::of(a_year, unit::GRAM_PER_YEAR);
    limit_of(&hole(input, level), refrigerant, volume.value, loss).ok()
}

/// The smallest pressure loss that could cost a mass while running.
pub fn limit_of(
    hole: &Hole,
    refrigerant: Refrigerant,
    volume: Volume,
    loss: MassRate,
) -> Result<PressureRate, MassError> {
    let by_law = hole.throughput(refrigerant, Condition::Running, loss)?;
    let least = by_law
        .map(Quantity::si)
        .into_iter()
        .fold(f64::INFINITY, f64::min);
    Ok(leak::loss_of_pressure(
        LeakRate::from_si(least),
        volume,
        hole.temperature,
    ))
}

/// The relative loss with what the volume may be off: against a limit that the stated volume gave, a larger volume is a
/// larger loss. Log-normal, by five nodes of Gauss and Hermite.
pub(super) fn with_volume(loss: &Mixture, volume: &Measured<Volume>) -> Mixture {
    const NODES: [(f64, f64); 5] = [
        (-2.856_970, 0.011_257),
        (-1.355_626, 0.222_076),
        (0.0, 0.533_333),
        (1.355_626, 0.222_076),
        (2.856_970, 0.011_257),
    ];
    let spread = (1.0 + volume.standard_uncertainty.si() / volume.value.si()).ln();
    let parts = NODES.iter().flat_map(|(node, weight)| {
        let size = (spread * node).exp();
        let part = move |p: &crate::stats::mixture::Part| {
            ((p.weight * weight).ln(), p.mean * size, p.sd * size)
        };
        loss.parts().iter().map(part)
    });
    Mixture::from_log_weights(parts).expect("a fit has a part with weight")
}

fn hole(input: &Input, level: PressureAbs) -> Hole {
    Hole {
        gas: input.gas.computed_as(),
        pressure: level,
        temperature: gas_temperature(input),
        outside: input.barometer.pressure(),
    }
}

/// The mean of what was read; a room's where nothing was. 10 K are 3 % of the throughput.
fn gas_temperature(input: &Input) -> Temperature {
    let mean = |column: &Option<Vec<Temperature>>| {
        let column = column.as_ref()?;
        Some(column.iter().map(|t| t.si()).sum::<f64>() / column.len() as f64)
    };
    let share = input.outdoor_share.map_or(0.5, Quantity::si);
    match (mean(&input.outdoor), mean(&input.indoor)) {
        (Some(outdoor), Some(indoor)) => {
            Temperature::from_si(share * outdoor + (1.0 - share) * indoor)
        }
        (Some(one), None) | (None, Some(one)) => Temperature::from_si(one),
        (None, None) => leak::reference(),
    }
}

/// Throughput with the volume's uncertainty in quadrature at both ends.
pub fn throughput(
    loss: &[PressureRate; 3],
    volume: &Measured<Volume>,
    temperature: Temperature,
) -> [LeakRate; 3] {
    let of = |rate: PressureRate| leak::throughput(rate, volume.value, temperature).si();
    let estimate = of(loss[0]);
    let by_volume = 1.96 * estimate * volume.standard_uncertainty.si() / volume.value.si();
    let low = estimate - (estimate - of(loss[1])).hypot(by_volume);
    let high = estimate + (of(loss[2]) - estimate).hypot(by_volume);
    [estimate, low, high].map(LeakRate::from_si)
}
