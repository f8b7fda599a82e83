//! The indoor air: its flow from a known heat, and the heat that it gives to the coil.

use crate::fluid::air::{AirError, MoistAir};
use crate::quantity::{
    Barometer, BarometerError, Fraction, Measured, Power, PressureAbs, Quantity, Temperature,
    TemperatureDiff, VolumeFlow, both, propagate,
};

/// Heat capacity of dry air and of water vapour in it, J/(kg K), as in the enthalpy of [`MoistAir`].
const DRY_AIR_HEAT: f64 = 1006.0;
const VAPOUR_HEAT: f64 = 1860.0;

/// A result about the air with what matters most in its uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirResult<Q: Quantity> {
    /// The value.
    pub value: Q,
    /// Its standard uncertainty.
    pub standard_uncertainty: Q::Diff,
    /// The input that matters most, with its share of the variance.
    pub dominant: Option<(&'static str, f64)>,
}

/// Why the air's readings give nothing.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum AirsideError {
    /// Readings that no moist air has.
    #[error(transparent)]
    Air(#[from] AirError),
    /// An atmosphere that is on no land.
    #[error(transparent)]
    Barometer(#[from] BarometerError),
    /// Not a heater's power.
    #[error("power {}: heater and blower together take more than nothing; check the reading and its sign", both(*power))]
    Power {
        /// What was given.
        power: Power,
    },
    /// Not an airflow.
    #[error("airflow {}: it is more than nothing; check the reading and its sign", both(*airflow))]
    Airflow {
        /// What was given.
        airflow: VolumeFlow,
    },
    /// The heater makes the air warmer, or its effect is lost in the error.
    #[error(
        "supply air {} against return air {}: the rise {} is not three times its own standard uncertainty of {}; are the two swapped? else wait until the heater has warmed the air, or take finer thermometers",
        both(*supply_air), both(*return_air), both(*rise), both(*standard_uncertainty)
    )]
    Rise {
        /// Return air.
        return_air: Temperature,
        /// Supply air.
        supply_air: Temperature,
        /// The difference.
        rise: TemperatureDiff,
        /// Of the difference.
        standard_uncertainty: TemperatureDiff,
    },
}

/// The air entering or leaving the indoor coil, from two thermometers.
#[derive(Debug, Clone, PartialEq)]
pub struct WetAndDry {
    /// Dry bulb.
    pub dry: Measured<Temperature>,
    /// Wet bulb.
    pub wet: Measured<Temperature>,
}

/// Airflow from the power of an electric heater and the temperature rise that it makes.
///
/// `power`: heater and blower together; `return_air`, `supply_air`: dry bulb, out of sight of the heater; `return_wet_bulb`:
/// without it the relative humidity counts as 50 % with 50 % as limit, which moves the result by less than 0.3 %;
/// `barometer`: the local atmosphere.
///
/// `V = P / (rho_da (c_a + W c_v) (T_supply - T_return))`, c_a = 1.006 and c_v = 1.86 kJ/(kg K), with the density of dry air
/// and the humidity ratio of the return air: the flow is that of return air. Uncertainty by [`propagate`]. Valid while no
/// other heat goes in or out (the compressor off), and while the rise is three times its standard uncertainty or more.
/// Source: [`crate::source::SourceId::AirflowByRise`], properties of [`MoistAir`].
///
/// ```
/// use lineproof::physics::airside::airflow_by_rise;
/// use lineproof::quantity::{Barometer, Measured, Origin, Power, Quantity, Temperature, TemperatureDiff, unit};
/// let air = |t| Measured {
///     value: Temperature::of(t, unit::FAHRENHEIT),
///     standard_uncertainty: TemperatureDiff::of(1.0, unit::FAHRENHEIT_DIFF),
///     origin: Origin::Reading("thermometer".into()),
/// };
/// let power = Measured {
///     value: Power::of(9.6, unit::KILOWATT),
///     standard_uncertainty: Power::of(0.2, unit::KILOWATT),
///     origin: Origin::Reading("meter".into()),
/// };
/// let flow = airflow_by_rise(&power, &air(68.0), &air(97.0), None, Barometer::standard()).unwrap();
/// assert!((flow.value.in_unit(unit::CUBIC_FOOT_PER_MINUTE) - 1040.0).abs() < 10.0);
/// ```
pub fn airflow_by_rise(
    power: &Measured<Power>,
    return_air: &Measured<Temperature>,
    supply_air: &Measured<Temperature>,
    return_wet_bulb: Option<&Measured<Temperature>>,
    barometer: Barometer,
) -> Result<AirResult<VolumeFlow>, AirsideError> {
    if power.value.si().is_nan() || power.value.si() <= 0.0 {
        return Err(AirsideError::Power { power: power.value });
    }
    let rise = supply_air.value - return_air.value;
    let u = (supply_air.standard_uncertainty.si()).hypot(return_air.standard_uncertainty.si());
    if rise.si() <= 3.0 * u {
        return Err(AirsideError::Rise {
            return_air: return_air.value,
            supply_air: supply_air.value,
            rise,
            standard_uncertainty: TemperatureDiff::from_si(u),
        });
    }
    let humidity = match return_wet_bulb {
        Some(wet) => {
            MoistAir::of_wet_bulb(return_air.value, wet.value, barometer)?;
            temperature("return wet bulb", wet)
        }
        None => ("humidity, which was not read", 0.5, 0.5 / 3f64.sqrt()),
    };
    let inputs = [
        ("power", power.value.si(), power.standard_uncertainty.si()),
        temperature("return air", return_air),
        temperature("supply air", supply_air),
        humidity,
        atmosphere(barometer),
    ];
    let propagated = propagate(&inputs, |x| {
        let (dry, at) = (Temperature::from_si(x[1]), weather(barometer, x[4])?);
        let air = match return_wet_bulb {
            Some(_) => beside(dry, x[3], at)?,
            None => MoistAir::of_relative_humidity(dry, Fraction::from_si(x[3]), at)?,
        };
        let heat = DRY_AIR_HEAT + air.humidity_ratio().si() * VAPOUR_HEAT;
        Ok::<_, AirsideError>(x[0] / (air.dry_air_density().si() * heat * (x[2] - x[1])))
    })?;
    Ok(AirResult {
        value: VolumeFlow::from_si(propagated.value),
        standard_uncertainty: VolumeFlow::from_si(propagated.standard_uncertainty),
        dominant: propagated.dominant(),
    })
}

/// Heat that the air gives to the coil: its capacity in cooling, below zero in heating.
///
/// `airflow`: of return air; `returned`, `supplied`: dry and wet bulb of the air entering and leaving; `barometer`: the local
/// atmosphere.
///
/// `q = V rho_da,return (h_return - h_supply)`, densities and enthalpies over dry air. Uncertainty by [`propagate`].
/// Departures: the heat that leaves with the condensate, about 1 % of the result, is left out; the blower's heat stays in, as
/// the supply air carries it. Source: [`crate::source::SourceId::AirEnthalpy`], properties of [`MoistAir`].
///
/// ```
/// use lineproof::physics::airside::{WetAndDry, capacity};
/// use lineproof::quantity::{Barometer, Measured, Origin, Quantity, Temperature, TemperatureDiff, VolumeFlow, unit};
/// let read = |t| Measured {
///     value: Temperature::of(t, unit::FAHRENHEIT),
///     standard_uncertainty: TemperatureDiff::of(0.5, unit::FAHRENHEIT_DIFF),
///     origin: Origin::Reading("thermometer".into()),
/// };
/// let flow = Measured {
///     value: VolumeFlow::of(1200.0, unit::CUBIC_FOOT_PER_MINUTE),
///     standard_uncertainty: VolumeFlow::of(60.0, unit::CUBIC_FOOT_PER_MINUTE),
///     origin: Origin::Reading("hood".into()),
/// };
/// let returned = WetAndDry { dry: read(80.0), wet: read(67.0) };
/// let supplied = WetAndDry { dry: read(59.0), wet: read(57.0) };
/// let q = capacity(&flow, &returned, &supplied, Barometer::standard()).unwrap();
/// assert!((q.value.in_unit(unit::TON) - 3.0).abs() < 0.2);
/// ```
pub fn capacity(
    airflow: &Measured<VolumeFlow>,
    returned: &WetAndDry,
    supplied: &WetAndDry,
    barometer: Barometer,
) -> Result<AirResult<Power>, AirsideError> {
    if airflow.value.si().is_nan() || airflow.value.si() <= 0.0 {
        return Err(AirsideError::Airflow {
            airflow: airflow.value,
        });
    }
    for air in [returned, supplied] {
        MoistAir::of_wet_bulb(air.dry.value, air.wet.value, barometer)?;
    }
    let inputs = [
        (
            "airflow",
            airflow.value.si(),
            airflow.standard_uncertainty.si(),
        ),
        temperature("return air", &returned.dry),
        temperature("return wet bulb", &returned.wet),
        temperature("supply air", &supplied.dry),
        temperature("supply wet bulb", &supplied.wet),
        atmosphere(barometer),
    ];
    let propagated = propagate(&inputs, |x| {
        let at = weather(barometer, x[5])?;
        let entering = beside(Temperature::from_si(x[1]), x[2], at)?;
        let leaving = beside(Temperature::from_si(x[3]), x[4], at)?;
        let given = entering.enthalpy() - leaving.enthalpy();
        Ok::<_, AirsideError>(x[0] * entering.dry_air_density().si() * given.si())
    })?;
    Ok(AirResult {
        value: Power::from_si(propagated.value),
        standard_uncertainty: Power::from_si(propagated.standard_uncertainty),
        dominant: propagated.dominant(),
    })
}

type Part = (&'static str, f64, f64);

fn temperature(name: &'static str, read: &Measured<Temperature>) -> Part {
    (name, read.value.si(), read.standard_uncertainty.si())
}

fn atmosphere(barometer: Barometer) -> Part {
    let at = barometer.pressure().si();
    ("barometer", at, barometer.standard_uncertainty().si())
}

/// The atmosphere itself at its own pressure, else half a standard uncertainty off, never beyond what a station shows.
fn weather(barometer: Barometer, pressure: f64) -> Result<Barometer, AirsideError> {
    if pressure == barometer.pressure().si() {
        return Ok(barometer);
    }
    Ok(Barometer::station(PressureAbs::from_si(
        pressure.clamp(50e3, 110e3),
    ))?)
}

/// Air from its thermometers, half a standard uncertainty off: never wetter than saturated, never drier than dry.
fn beside(dry: Temperature, wet: f64, barometer: Barometer) -> Result<MoistAir, AirError> {
    let wet = Temperature::from_si(wet.min(dry.si()));
    match MoistAir::of_wet_bulb(dry, wet, barometer) {
        Err(AirError::WetBulbTooLow { .. }) => {
            MoistAir::of_humidity_ratio(dry, Fraction::from_si(0.0), barometer)
        }
        air => air,
    }
}
