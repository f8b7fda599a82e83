//! The idle check: how much air could be inside, from the pressure at rest.

use crate::fluid::refrigerant::{RangeError, Side};
use crate::fluid::{Refrigerant, Saturation};
use crate::quantity::{
    Interval, Mass, Measured, PressureAbs, PressureDiff, Quantity, Temperature, Volume, unit,
};
use crate::source::SourceId;

/// Where the check comes from.
pub const SOURCE: SourceId = SourceId::IdleAir;
/// Where the least telling excess comes from.
pub const NOISE_SOURCE: SourceId = SourceId::IdleNoise;

/// An excess below this proves nothing.
pub fn least_telling() -> PressureDiff {
    PressureDiff::of(5.0, unit::PSI_DIFF)
}

/// Gas constant of dry air, J/(kg K).
const AIR_GAS_CONSTANT: f64 = 287.05;

/// What is known at rest.
#[derive(Debug, Clone, PartialEq)]
pub struct Rest {
    /// The refrigerant.
    pub refrigerant: Refrigerant,
    /// The compressor is off, and only the outdoor fan runs.
    pub outdoor_fan_only: bool,
    /// Both service valves are open.
    pub valves_open: bool,
    /// Pressure and coil temperature have stopped moving.
    pub settled: bool,
    /// The refrigerant was pumped down into the outdoor unit.
    pub after_pump_down: bool,
    /// The circuit was open to air and not evacuated afterwards.
    pub opened_without_evacuation: bool,
    /// The pressure; `None` without a gauge.
    pub pressure: Option<Measured<PressureAbs>>,
    /// Temperature of the outdoor coil, or of the air its fan draws.
    pub coil: Measured<Temperature>,
    /// Volume that vapour fills; `None`: not known.
    pub vapour_volume: Option<Measured<Volume>>,
}

/// Why the check means nothing now.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotNow {
    /// Air would have been packed in with the liquid.
    AfterPumpDown,
    /// The compressor runs, or the fan does not.
    NotIdle,
    /// The gauge does not see the coil.
    ValvesShut,
    /// Temperatures are still moving.
    NotSettled,
    /// There is no pressure to compare.
    NoGauge,
}

impl NotNow {
    /// Why, in words.
    pub fn words(self) -> &'static str {
        match self {
            NotNow::AfterPumpDown => "never after a pump-down: do not run it, call a technician",
            NotNow::NotIdle => "switch the compressor off and let the outdoor fan alone run",
            NotNow::ValvesShut => "the gauge must see the coil: both service valves open",
            NotNow::NotSettled => "wait until pressure and coil temperature have stopped moving",
            NotNow::NoGauge => {
                "without a gauge a coil at rest says nothing about air; a technician reads it"
            }
        }
    }
}

/// What the check at rest says; it never clears.
#[derive(Debug, Clone, PartialEq)]
pub enum Idle {
    /// Opened and not evacuated: air must be assumed, whatever a gauge reads.
    AirAssumed,
    /// The check means nothing now.
    NotValidNow(Vec<NotNow>),
    /// The pressure is above saturation by more than its uncertainty and 5 psi: air, or a warmer liquid somewhere.
    Excess(AtMost),
    /// The excess is too small to tell anything.
    ProvesNothing(AtMost),
    /// The pressure is below saturation: a wrong thermometer or gauge, or hardly any liquid is left.
    BelowSaturation(AtMost),
}

/// How much air it could be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtMost {
    /// Pressure above saturation at the coil's temperature.
    pub excess: Interval,
    /// At most so much air; `None` when the volume is not known.
    pub air: Option<Mass>,
}

/// How much air could be inside, from the pressure at rest.
///
/// Dalton's law: what is above saturation at the coil's temperature is air, `m = (p - p_sat) V/(R_air T)`; the bound
/// takes the high 95 % ends of the excess (gauge, coil, table) and of the volume. For a blend the bound is against dew, the excess
/// against bubble.
///
/// Range: the saturation table. Departures: one temperature everywhere, no air in the liquid. Source: [`SOURCE`],
/// [`NOISE_SOURCE`].
///
/// ```
/// use lineproof::check::charge::idle::{Idle, Rest, idle};
/// use lineproof::fluid::Refrigerant;
/// use lineproof::quantity::*;
/// # fn near<Q: Quantity>(value: Q, u: Q::Diff) -> Measured<Q> {
/// #     Measured { value, standard_uncertainty: u, origin: Origin::Assumed("example".into()) }
/// # }
/// let rest = Rest {
///     refrigerant: Refrigerant::R410A,
///     outdoor_fan_only: true,
///     valves_open: true,
///     settled: true,
///     after_pump_down: false,
///     opened_without_evacuation: false,
///     pressure: Some(near(PressureGauge::of(258.0, unit::PSIG).to_abs(Barometer::standard())?, PressureDiff::of(1.0, unit::PSI_DIFF))),
///     coil: near(Temperature::of(85.0, unit::FAHRENHEIT), TemperatureDiff::of(0.5, unit::FAHRENHEIT_DIFF)),
///     vapour_volume: Some(near(Volume::of(4.0, unit::LITRE), Volume::of(0.5, unit::LITRE))),
/// };
/// assert!(matches!(idle(&rest)?, Idle::ProvesNothing(_)));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn idle(rest: &Rest) -> Result<Idle, RangeError> {
    if rest.opened_without_evacuation {
        return Ok(Idle::AirAssumed);
    }
    let why = not_now(rest);
    let Some(pressure) = rest.pressure.as_ref().filter(|_| why.is_empty()) else {
        return Ok(Idle::NotValidNow(why));
    };
    let saturation = Saturation::of(rest.refrigerant);
    let coil = rest.coil.value;
    let [bubble, dew] = [Side::Bubble, Side::Dew].map(|side| saturation.pressure(side, coil));
    let (bubble, dew) = (bubble?, dew?);
    let per_kelvin = 1.0 / saturation.slope(Side::Bubble, bubble)?;
    let parts = [
        pressure.standard_uncertainty.si(),
        rest.coil.standard_uncertainty.si() * per_kelvin,
        saturation.model_uncertainty().si() / 3f64.sqrt() * bubble.si(),
    ];
    let u = parts.iter().map(|part| part * part).sum::<f64>().sqrt();
    let excess = Interval::normal(pressure.value - bubble, PressureDiff::from_si(u));
    let most = ((pressure.value - dew).si() + 1.96 * u).max(0.0);
    let air = rest.vapour_volume.as_ref().map(|volume| {
        let volume = volume.value.si() + 1.96 * volume.standard_uncertainty.si();
        Mass::from_si(most * volume / (AIR_GAS_CONSTANT * coil.si()))
    });
    let bound = AtMost { excess, air };
    Ok(
        if excess.low > 0.0 && excess.estimate > least_telling().si() {
            Idle::Excess(bound)
        } else if (pressure.value - dew).si() + 1.96 * u < 0.0 {
            Idle::BelowSaturation(bound)
        } else {
            Idle::ProvesNothing(bound)
        },
    )
}

fn not_now(rest: &Rest) -> Vec<NotNow> {
    let asked = [
        (NotNow::AfterPumpDown, rest.after_pump_down),
        (NotNow::NotIdle, !rest.outdoor_fan_only),
        (NotNow::ValvesShut, !rest.valves_open),
        (NotNow::NotSettled, !rest.settled),
        (NotNow::NoGauge, rest.pressure.is_none()),
    ];
    asked.into_iter().filter(|a| a.1).map(|a| a.0).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Barometer, Origin, PressureGauge, TemperatureDiff};

    fn rest(fahrenheit: f64, psig: f64) -> Rest {
        let origin = Origin::Reading("example".into());
        let pressure = PressureGauge::of(psig, unit::PSIG).to_abs(Barometer::standard());
        Rest {
            refrigerant: Refrigerant::R410A,
            outdoor_fan_only: true,
            valves_open: true,
            settled: true,
            after_pump_down: false,
            opened_without_evacuation: false,
            pressure: Some(Measured {
                value: pressure.unwrap(),
                standard_uncertainty: PressureDiff::of(0.5, unit::PSI_DIFF),
                origin: origin.clone(),
            }),
            coil: Measured {
                value: Temperature::of(fahrenheit, unit::FAHRENHEIT),
                standard_uncertainty: TemperatureDiff::of(0.3, unit::FAHRENHEIT_DIFF),
                origin: origin.clone(),
            },
            vapour_volume: Some(Measured {
                value: Volume::of(4.0, unit::LITRE),
                standard_uncertainty: Volume::of(0.4, unit::LITRE),
                origin,
            }),
        }
    }

    /// C32: R-410A at 80, 85, 90 °F: 236.5, 255.4, 275.3 psig; an excess under 5 psi proves nothing.
    #[test]
    fn c32_saturation_is_no_excess_and_five_psi_prove_nothing() {
        for (fahrenheit, psig) in [(80.0, 236.5), (85.0, 255.4), (90.0, 275.3)] {
            let Idle::ProvesNothing(bound) = idle(&rest(fahrenheit, psig)).unwrap() else {
                panic!("saturation")
            };
            // printed to 0.1 psi; ours lies within half a psi
            let psi = PressureDiff::from_si(bound.excess.estimate).in_unit(unit::PSI_DIFF);
            assert!(psi.abs() < 0.5, "{fahrenheit} degF: {psi} psi");
            assert!(bound.air.unwrap().si() > 0.0, "it never clears");
            let just_under = idle(&rest(fahrenheit, psig + 4.4)).unwrap();
            assert!(matches!(just_under, Idle::ProvesNothing(_)));
            let above = idle(&rest(fahrenheit, psig + 15.0)).unwrap();
            assert!(matches!(above, Idle::Excess(_)));
            let below = idle(&rest(fahrenheit, psig - 15.0)).unwrap();
            assert!(matches!(below, Idle::BelowSaturation(_)));
        }
    }

    #[test]
    fn dalton_gives_the_grams() {
        let Idle::Excess(bound) = idle(&rest(80.0, 266.5)).unwrap() else {
            panic!("30 psi above")
        };
        // 30 psi of air in 4 L at 80 °F: 9.7 g; the bound stands above it
        let air = bound.air.unwrap().in_unit(unit::GRAM);
        assert!((9.6..14.0).contains(&air), "{air}");
    }

    #[test]
    fn an_opening_decides_and_a_pump_down_forbids() {
        let mut opened = rest(80.0, 236.5);
        opened.opened_without_evacuation = true;
        opened.after_pump_down = true;
        assert_eq!(idle(&opened).unwrap(), Idle::AirAssumed);
        let mut pumped = rest(80.0, 236.5);
        pumped.after_pump_down = true;
        assert_eq!(
            idle(&pumped).unwrap(),
            Idle::NotValidNow(vec![NotNow::AfterPumpDown])
        );
        let mut bare = rest(80.0, 236.5);
        bare.pressure = None;
        bare.settled = false;
        assert_eq!(
            idle(&bare).unwrap(),
            Idle::NotValidNow(vec![NotNow::NotSettled, NotNow::NoGauge])
        );
    }
}
