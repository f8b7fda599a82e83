//! What a wrong charge costs in capacity, power and COP.

use crate::physics::cycle::Mode;
use crate::quantity::{Fraction, Quantity, Temperature, both, unit};
use crate::source::SourceId;

/// Where the form and the coefficients come from.
pub const SOURCE: SourceId = SourceId::ChargePerformance;

/// How far from the right charge the equations hold.
const REACH: f64 = 0.30;
/// A rounding error's width at the ends of a range.
const SLACK: f64 = 1e-9;

/// Capacity, power and COP as shares of those with the right charge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Performance {
    /// Cooling or heating capacity.
    pub capacity: Fraction,
    /// Power of the outdoor unit.
    pub power: Fraction,
    /// Capacity over power.
    pub cop: Fraction,
}

/// The air at both coils.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Cooling or heating.
    pub mode: Mode,
    /// Dry bulb of the air to the indoor coil.
    pub indoor: Temperature,
    /// Dry bulb of the air to the outdoor coil.
    pub outdoor: Temperature,
}

impl Air {
    /// The air of a rating: cooling 26.7 and 35 °C (80 and 95 °F), heating 21.1 and 8.3 °C (70 and 47 °F).
    pub fn rated(mode: Mode) -> Air {
        let fahrenheit = |t| Temperature::of(t, unit::FAHRENHEIT);
        let (indoor, outdoor) = match mode {
            Mode::Cooling => (80.0, 95.0),
            Mode::Heating => (70.0, 47.0),
        };
        Air {
            mode,
            indoor: fahrenheit(indoor),
            outdoor: fahrenheit(outdoor),
        }
    }
}

/// Outside what the equations were printed for.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum PerformanceError {
    /// Too far from the right charge.
    #[error(
        "charge {:.0} % of what belongs in: capacity and power are known from 70 to 130 % only; further out they are not computed",
        share.in_unit(unit::PERCENT)
    )]
    Charge {
        /// What was given.
        share: Fraction,
    },
    /// Air warmer or colder than the printed values.
    #[error(
        "{what} air {}: the printed values run from {} to {} in this mode; take a temperature inside, such as that of the rating",
        both(*temperature), both(*low), both(*high)
    )]
    Air {
        /// Indoor or outdoor.
        what: &'static str,
        /// What was given.
        temperature: Temperature,
        /// The lowest of the printed values.
        low: Temperature,
        /// The highest.
        high: Temperature,
    },
}

/// Coefficients of `1 + (a + b T_in + c T_out + d F) F`, T in °C.
type Form = [f64; 4];

/// Capacity and power: cooling with too little, cooling with too much, heating likewise.
const COOLING_LOW: [Form; 2] = [
    [-0.946, 0.0493, -0.00118, -1.15],
    [-0.313, 0.0115, 0.00266, -0.116],
];
const COOLING_HIGH: [Form; 2] = [
    [-0.163, 0.0114, -0.00021, -0.14],
    [0.219, -0.00501, 0.000989, 0.284],
];
// fitted to the printed values: the remembered ones missed the capacity by 0.01 at 70 %
const HEATING_LOW: [Form; 2] = [
    [-0.034172, 0.0, 0.020288, -2.62388],
    [0.061473, 0.0, 0.0044523, -0.26018],
];
const HEATING_HIGH: [Form; 2] = [
    [-0.0029514, 0.0, 0.0007379, -0.0064112],
    [-0.0594134, 0.0, 0.0159205, 1.8872],
];

/// Capacity, power and COP at a charge, as shares of those at the right charge.
///
/// `share`: mass inside over what belongs in, 0.7 to 1.3; `air`: at both coils.
///
/// `Y = 1 + (a + b T_in + c T_out + d F) F`, `F = share - 1`, T in °C; one set below and one above the right charge.
///
/// Range: charge within 30 %; indoor air 21.1 to 26.7 °C, outdoor air 27.8 to 39.4 °C cooling, 21.1 °C and -8.3 to
/// 8.3 °C heating (half a kelvin beyond is let through): where values were printed. Departures: a machine with a thermostatic valve; a fixed orifice
/// loses more. Source: [`SOURCE`].
///
/// ```
/// use lineproof::check::charge::performance::{Air, performance};
/// use lineproof::physics::cycle::Mode;
/// use lineproof::quantity::{Fraction, Quantity, unit};
/// let low = performance(Fraction::of(80.0, unit::PERCENT), Air::rated(Mode::Cooling))?;
/// assert!((low.capacity.si() - 0.8885).abs() < 0.001 && (low.cop.si() - 0.9085).abs() < 0.001);
/// # Ok::<(), lineproof::check::charge::performance::PerformanceError>(())
/// ```
pub fn performance(share: Fraction, air: Air) -> Result<Performance, PerformanceError> {
    let f = share.si() - 1.0;
    if f.is_nan() || f.abs() > REACH + SLACK {
        return Err(PerformanceError::Charge { share });
    }
    let outdoors = match air.mode {
        Mode::Cooling => (27.8, 39.4),
        Mode::Heating => (-8.33, 8.33),
    };
    let indoors = match air.mode {
        Mode::Cooling => (21.1, 26.67),
        Mode::Heating => (21.1, 21.1),
    };
    let indoor = within("indoor", air.indoor, indoors)?;
    let outdoor = within("outdoor", air.outdoor, outdoors)?;
    let forms = match (air.mode, f < 0.0) {
        (Mode::Cooling, true) => COOLING_LOW,
        (Mode::Cooling, false) => COOLING_HIGH,
        (Mode::Heating, true) => HEATING_LOW,
        (Mode::Heating, false) => HEATING_HIGH,
    };
    let [capacity, power] =
        forms.map(|[a, b, c, d]| 1.0 + (a + b * indoor + c * outdoor + d * f) * f);
    Ok(Performance {
        capacity: Fraction::from_si(capacity),
        power: Fraction::from_si(power),
        cop: Fraction::from_si(capacity / power),
    })
}

/// The temperature in °C, if it lies where values were printed.
fn within(
    what: &'static str,
    temperature: Temperature,
    (low, high): (f64, f64),
) -> Result<f64, PerformanceError> {
    let celsius = temperature.in_unit(unit::CELSIUS);
    if (low - 0.5..=high + 0.5).contains(&celsius) {
        return Ok(celsius);
    }
    Err(PerformanceError::Air {
        what,
        temperature,
        low: Temperature::of(low, unit::CELSIUS),
        high: Temperature::of(high, unit::CELSIUS),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn outside_its_reach_it_refuses() {
        let rated = Air::rated(Mode::Cooling);
        for share in [0.69, 1.31, f64::NAN] {
            let error = performance(Fraction::from_si(share), rated).unwrap_err();
            assert!(error.to_string().contains("70 to 130 %"));
        }
        let cold = Air {
            outdoor: Temperature::of(10.0, unit::CELSIUS),
            ..rated
        };
        let error = performance(Fraction::from_si(0.9), cold).unwrap_err();
        assert!(error.to_string().starts_with("outdoor air"), "{error}");
    }

    #[test]
    fn the_right_charge_costs_nothing() {
        for mode in [Mode::Cooling, Mode::Heating] {
            let whole = performance(Fraction::from_si(1.0), Air::rated(mode)).unwrap();
            assert_eq!(whole.capacity.si(), 1.0);
            assert_eq!(whole.cop.si(), 1.0);
        }
    }
}
