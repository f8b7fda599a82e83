//! Water left in the line: at what temperature it boils, or ice turns to vapour, under a vacuum.
//!
//! Liquid by region 4 of IAPWS-IF97, 273.16 to 647.096 K; ice by IAPWS R14-08(2011), here 150 to 273.16 K. They meet
//! at the triple point, 611.657 Pa (4,588 micron): below it there is no liquid, only ice.
//!
//! Coefficients and check values were typed from memory, then compared with an independent implementation of both
//! formulations (agreement 1e-9) and with the tables in `tests/published`.

use crate::quantity::{PressureAbs, Quantity, Temperature, both};
use crate::source::SourceId;

/// What gives the vapour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Phase {
    /// Ice: below 0.01 °C.
    Ice,
    /// Liquid water.
    Liquid,
}

impl Phase {
    /// "ice" or "liquid".
    pub fn word(self) -> &'static str {
        match self {
            Phase::Ice => "ice",
            Phase::Liquid => "liquid",
        }
    }

    /// The formulation used.
    pub fn source(self) -> SourceId {
        match self {
            Phase::Ice => SourceId::IapwsR14,
            Phase::Liquid => SourceId::IapwsIf97,
        }
    }
}

/// Triple point temperature, K.
pub const TRIPLE_TEMPERATURE: f64 = 273.16;
/// Triple point pressure, Pa.
pub const TRIPLE_PRESSURE: f64 = 611.657;
/// Below this, K, no vacuum here has a use for it.
const COLDEST: f64 = 150.0;
const CRITICAL_TEMPERATURE: f64 = 647.096;
const CRITICAL_PRESSURE: f64 = 22.064e6;

/// A state outside the formulations' use here.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum WaterError {
    /// Temperature outside the range.
    #[error(
        "water at {}: its vapour pressure is computed from -190 to 705 °F (-123 to 373.9 °C); check the thermometer and its unit",
        both(*temperature)
    )]
    Temperature {
        /// What was given.
        temperature: Temperature,
    },
    /// Pressure outside the range.
    #[error(
        "water at {}: its boiling temperature is computed from 0.00005 micron to 3200 psia (220.6 bar abs); a gauge that shows nothing is below its range or off: check it and its unit",
        both(*pressure)
    )]
    Pressure {
        /// What was given.
        pressure: PressureAbs,
    },
}

/// Vapour pressure of ice or liquid water at a temperature, and which of the two it is.
///
/// ```
/// use lineproof::fluid::water::{self, Phase};
/// use lineproof::quantity::{Quantity, Temperature, unit};
/// let (pressure, phase) = water::vapour_pressure(Temperature::of(20.0, unit::CELSIUS))?;
/// assert_eq!(phase, Phase::Liquid);
/// assert!((pressure.in_unit(unit::MICRON) - 17546.0).abs() < 2.0);
/// # Ok::<(), water::WaterError>(())
/// ```
pub fn vapour_pressure(temperature: Temperature) -> Result<(PressureAbs, Phase), WaterError> {
    let t = temperature.si();
    if !(COLDEST..=CRITICAL_TEMPERATURE).contains(&t) {
        return Err(WaterError::Temperature { temperature });
    }
    // at the triple point itself, typed as 0.01 °C, it counts as liquid
    let (p, phase) = if t < TRIPLE_TEMPERATURE - 1e-9 {
        (sublimation(t), Phase::Ice)
    } else {
        (saturation(t), Phase::Liquid)
    };
    Ok((PressureAbs::from_si(p), phase))
}

/// Temperature at which water boils, or ice turns to vapour, at a pressure; and which of the two it is.
///
/// ```
/// use lineproof::fluid::water::{self, Phase};
/// use lineproof::quantity::{PressureAbs, Quantity, unit};
/// let (temperature, phase) = water::boiling_temperature(PressureAbs::of(500.0, unit::MICRON))?;
/// assert_eq!(phase, Phase::Ice);
/// assert!((temperature.in_unit(unit::CELSIUS) + 24.5).abs() < 0.05);
/// # Ok::<(), water::WaterError>(())
/// ```
pub fn boiling_temperature(pressure: PressureAbs) -> Result<(Temperature, Phase), WaterError> {
    let p = pressure.si();
    if !(sublimation(COLDEST)..=CRITICAL_PRESSURE).contains(&p) {
        return Err(WaterError::Pressure { pressure });
    }
    let (t, phase) = if p < TRIPLE_PRESSURE {
        (frost(p), Phase::Ice)
    } else {
        (boiling(p), Phase::Liquid)
    };
    Ok((Temperature::from_si(t), phase))
}

/// IF97 region 4, table 34.
const N: [f64; 10] = [
    0.116_705_214_527_67e4,
    -0.724_213_167_032_06e6,
    -0.170_738_469_400_92e2,
    0.120_208_247_024_70e5,
    -0.323_255_503_223_33e7,
    0.149_151_086_135_30e2,
    -0.482_326_573_615_91e4,
    0.405_113_405_420_57e6,
    -0.238_555_575_678_49,
    0.650_175_348_447_98e3,
];

/// Pa at K: IF97 equation (30).
fn saturation(t: f64) -> f64 {
    let theta = t + N[8] / (t - N[9]);
    let a = theta * theta + N[0] * theta + N[1];
    let b = N[2] * theta * theta + N[3] * theta + N[4];
    let c = N[5] * theta * theta + N[6] * theta + N[7];
    1e6 * (2.0 * c / (-b + (b * b - 4.0 * a * c).sqrt())).powi(4)
}

/// K at Pa: IF97 equation (31), the exact inverse.
fn boiling(p: f64) -> f64 {
    let beta = (p / 1e6).powf(0.25);
    let e = beta * beta + N[2] * beta + N[5];
    let f = N[0] * beta * beta + N[3] * beta + N[6];
    let g = N[1] * beta * beta + N[4] * beta + N[7];
    let d = 2.0 * g / (-f - (f * f - 4.0 * e * g).sqrt());
    let sum = N[9] + d;
    0.5 * (sum - (sum * sum - 4.0 * (N[8] + N[9] * d)).sqrt())
}

/// R14-08 equation (6): coefficients and exponents.
const ICE: [(f64, f64); 3] = [
    (-0.212_144_006e2, 0.333_333_333e-2),
    (0.273_203_819e2, 0.120_666_667e1),
    (-0.610_598_130e1, 0.170_333_333e1),
];

/// Pa over ice at K.
fn sublimation(t: f64) -> f64 {
    TRIPLE_PRESSURE * log_sublimation(TRIPLE_TEMPERATURE / t).0.exp()
}

/// ln(p / p_triple) at `u = T_triple / T`, and its slope in `u`.
fn log_sublimation(u: f64) -> (f64, f64) {
    let value = ICE.iter().map(|(a, b)| a * u.powf(1.0 - b)).sum();
    let slope = ICE.iter().map(|(a, b)| a * (1.0 - b) * u.powf(-b)).sum();
    (value, slope)
}

/// K over ice at Pa: Newton on ln p against 1/T, which is nearly a straight line.
fn frost(p: f64) -> f64 {
    let wanted = (p / TRIPLE_PRESSURE).ln();
    let mut u = 1.0;
    for _ in 0..20 {
        let (value, slope) = log_sublimation(u);
        let step = (wanted - value) / slope;
        u += step;
        if step.abs() < 1e-14 {
            break;
        }
    }
    TRIPLE_TEMPERATURE / u
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::unit;

    #[test]
    fn pressure_and_temperature_are_inverse_and_the_phases_meet() {
        for t in (150..=640).map(f64::from) {
            let (p, phase) = vapour_pressure(Temperature::from_si(t)).unwrap();
            let (back, same) = boiling_temperature(p).unwrap();
            assert!((back.si() - t).abs() < 1e-6, "{t}");
            assert_eq!(phase, same);
        }
        assert!((saturation(TRIPLE_TEMPERATURE) - TRIPLE_PRESSURE).abs() < 0.01);
        assert!((sublimation(TRIPLE_TEMPERATURE) - TRIPLE_PRESSURE).abs() < 1e-5);
    }

    #[test]
    fn below_the_triple_point_it_is_ice() {
        let phase = |micron| {
            boiling_temperature(PressureAbs::of(micron, unit::MICRON))
                .unwrap()
                .1
        };
        assert_eq!(phase(4580.0), Phase::Ice);
        assert_eq!(phase(4600.0), Phase::Liquid);
    }

    #[test]
    fn outside_the_range_is_an_error_that_says_the_range() {
        let error = vapour_pressure(Temperature::from_si(700.0)).unwrap_err();
        assert_eq!(
            error.to_string(),
            "water at 800.3 °F (426.9 °C): its vapour pressure is computed from -190 to 705 °F (-123 to 373.9 °C); check the thermometer and its unit"
        );
        let error = boiling_temperature(PressureAbs::from_si(0.0)).unwrap_err();
        assert_eq!(
            error.to_string(),
            "water at 0 micron: its boiling temperature is computed from 0.00005 micron to 3200 psia (220.6 bar abs); a gauge that shows nothing is below its range or off: check it and its unit"
        );
        assert!((sublimation(COLDEST) / 0.133 - 5e-5).abs() < 1e-5);
        assert!(boiling_temperature(PressureAbs::from_si(f64::NAN)).is_err());
    }
}
