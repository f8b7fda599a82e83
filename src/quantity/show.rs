//! Printing: US or SI, with as many digits as the number deserves.

use std::fmt;

use super::{Dimension, Quantity, unit};

/// Which units a reader sees.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum UnitSystem {
    /// psig, °F, lb and oz, ft.
    #[default]
    Us,
    /// bar gauge, °C, kg, m.
    Si,
}

/// A number in a unit, ready to print.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shown {
    /// The number in the unit.
    pub value: f64,
    /// The unit's symbol.
    pub unit: &'static str,
    /// Digits behind the point.
    pub decimals: usize,
}

impl Shown {
    /// With so many digits behind the point.
    pub fn decimals(self, decimals: usize) -> Self {
        Shown { decimals, ..self }
    }

    /// The number alone; a rounded zero has no sign.
    pub fn number(self) -> String {
        let text = format!("{:.*}", self.decimals, self.value);
        if text
            .trim_start_matches('-')
            .chars()
            .all(|c| matches!(c, '0' | '.'))
        {
            text.trim_start_matches('-').to_string()
        } else {
            text
        }
    }
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.number(), self.unit)
    }
}

/// A value in both unit systems, for a sentence that does not know its reader: "12.6 °F (7.0 K)".
///
/// ```
/// use lineproof::quantity::{Quantity, TemperatureDiff, both};
/// assert_eq!(both(TemperatureDiff::from_si(7.0)), "12.6 °F (7.0 K)");
/// ```
pub fn both<Q: Quantity>(value: Q) -> String {
    let (us, si) = (value.show(UnitSystem::Us), value.show(UnitSystem::Si));
    if us == si {
        us.to_string()
    } else {
        format!("{us} ({si})")
    }
}

/// A value with the range it could be in, in SI, and its dimension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// The best estimate.
    pub estimate: f64,
    /// The low end of the 95 % interval.
    pub low: f64,
    /// The high end of the 95 % interval.
    pub high: f64,
    /// What the numbers are.
    pub dimension: Dimension,
}

impl Interval {
    /// From a value and its standard uncertainty, both of one quantity: +- 1.96 of it.
    pub fn normal<Q: Quantity>(value: Q, standard_uncertainty: Q::Diff) -> Self {
        let (estimate, half) = (value.si(), 1.96 * standard_uncertainty.si());
        Interval {
            estimate,
            low: estimate - half,
            high: estimate + half,
            dimension: Q::DIMENSION,
        }
    }

    /// "12.7 °F, could be 10.1 to 15.3 °F".
    pub fn show(self, system: UnitSystem) -> String {
        if self.low == self.high {
            return self.dimension.show(self.estimate, system).to_string();
        }
        let decimals = self.decimals(system);
        let part = |si| self.part(si, system).decimals(decimals);
        let (low, high) = (part(self.low), part(self.high));
        let (low, high) = if low.value <= high.value {
            (low, high)
        } else {
            (high, low)
        };
        format!(
            "{}, could be {} to {}",
            part(self.estimate),
            low.number(),
            high
        )
    }

    /// In both unit systems, for a sentence that does not know its reader.
    pub fn show_both(self) -> String {
        let (us, si) = (self.show(UnitSystem::Us), self.show(UnitSystem::Si));
        if us == si { us } else { format!("{us} ({si})") }
    }

    /// The same counted the other way: 5 over is -5 short.
    pub fn negated(self) -> Self {
        Interval {
            estimate: -self.estimate,
            low: -self.high,
            high: -self.low,
            dimension: self.dimension,
        }
    }

    /// One of its numbers, in the unit of the largest: grams beside kilograms would be read as kilograms.
    fn part(self, si: f64, system: UnitSystem) -> Shown {
        let largest = [self.estimate, self.low, self.high]
            .into_iter()
            .fold(0.0, |a: f64, b| if b.abs() > a.abs() { b } else { a });
        let (shown, most) = (
            self.dimension.show(si, system),
            self.dimension.show(largest, system),
        );
        if shown.unit == most.unit {
            return shown;
        }
        // only units that share their zero take turns
        Shown {
            value: si * most.value / largest,
            ..most
        }
    }

    /// Digits so that the interval's width has about two.
    fn decimals(self, system: UnitSystem) -> usize {
        let width = (self.part(self.high, system).value - self.part(self.low, system).value).abs();
        if width > 0.0 && width.is_finite() {
            (1.0 - width.log10().floor()).clamp(0.0, 6.0) as usize
        } else {
            self.dimension.show(self.estimate, system).decimals
        }
    }
}

/// About `digits` significant digits, at most six behind the point.
fn significant(value: f64, digits: i32) -> usize {
    if value == 0.0 || !value.is_finite() {
        return 0;
    }
    (digits - 1 - value.abs().log10().floor() as i32).clamp(0, 6) as usize
}

impl Dimension {
    /// An SI value of this dimension as a reader of the unit system sees it.
    pub fn show(self, si: f64, system: UnitSystem) -> Shown {
        use Dimension as D;
        use UnitSystem::{Si, Us};
        macro_rules! shown {
            ($unit:expr, $decimals:expr) => {{
                let value = $unit.from_si(si);
                Shown {
                    value,
                    unit: $unit.symbol,
                    decimals: $decimals,
                }
            }};
            ($unit:expr; $digits:expr) => {{
                let value = $unit.from_si(si);
                Shown {
                    value,
                    unit: $unit.symbol,
                    decimals: significant(value, $digits),
                }
            }};
        }
        match (self, system) {
            // vacuum gauges read micron in every country
            (D::PressureAbs, _) if si < 5e3 => shown!(unit::MICRON, 0),
            (D::PressureAbs, Us) => shown!(unit::PSIA, 1),
            (D::PressureAbs, Si) => shown!(unit::BAR_ABS, 2),
            (D::PressureGauge, Us) => shown!(unit::PSIG, 1),
            (D::PressureGauge, Si) => shown!(unit::BAR_GAUGE, 2),
            (D::PressureDiff, Us) => shown!(unit::PSI_DIFF; 3),
            (D::PressureDiff, Si) => shown!(unit::BAR_DIFF; 3),
            (D::Temperature, Us) => shown!(unit::FAHRENHEIT, 1),
            (D::Temperature, Si) => shown!(unit::CELSIUS, 1),
            (D::TemperatureDiff, Us) => shown!(unit::FAHRENHEIT_DIFF, 1),
            (D::TemperatureDiff, Si) => shown!(unit::KELVIN_DIFF, 1),
            (D::Mass, Us) if si.abs() < unit::POUND_MASS.scale => shown!(unit::OUNCE_MASS, 1),
            (D::Mass, Us) => shown!(unit::POUND_MASS, 2),
            (D::Mass, Si) if si.abs() < 1.0 => shown!(unit::GRAM, 0),
            (D::Mass, Si) => shown!(unit::KILOGRAM, 2),
            (D::Length, Us) => shown!(unit::FOOT_LENGTH, 1),
            (D::Length, Si) => shown!(unit::METRE, 1),
            (D::Area, Us) => shown!(unit::SQUARE_FOOT, 0),
            (D::Area, Si) => shown!(unit::SQUARE_METRE, 1),
            (D::Volume, Us) => shown!(unit::CUBIC_INCH, 0),
            (D::Volume, Si) => shown!(unit::LITRE, 2),
            (D::Duration, _) if si.abs() < 3600.0 => shown!(unit::MINUTE, 0),
            (D::Duration, _) => shown!(unit::HOUR_DURATION, 1),
            (D::MassPerLength, Us) => shown!(unit::OUNCE_PER_FOOT, 3),
            (D::MassPerLength, Si) => shown!(unit::GRAM_PER_METRE, 1),
            (D::Density, Us) => shown!(unit::POUND_PER_CUBIC_FOOT; 4),
            (D::Density, Si) => shown!(unit::KILOGRAM_PER_CUBIC_METRE; 4),
            (D::SpecificEnthalpy, Us) => shown!(unit::BTU_PER_POUND, 2),
            (D::SpecificEnthalpy, Si) => shown!(unit::KILOJOULE_PER_KILOGRAM, 2),
            (D::SpecificEntropy, Us) => shown!(unit::BTU_PER_POUND_FAHRENHEIT, 4),
            (D::SpecificEntropy, Si) => shown!(unit::KILOJOULE_PER_KILOGRAM_KELVIN, 4),
            (D::HeatCapacity, Us) => shown!(unit::BTU_PER_POUND_FAHRENHEIT_HEAT, 4),
            (D::HeatCapacity, Si) => shown!(unit::KILOJOULE_PER_KILOGRAM_KELVIN_HEAT, 3),
            (D::Viscosity, Us) => shown!(unit::POUND_PER_FOOT_HOUR, 4),
            (D::Viscosity, Si) => shown!(unit::MICROPASCAL_SECOND; 4),
            (D::Torque, Us) => shown!(unit::FOOT_POUND, 1),
            (D::Torque, Si) => shown!(unit::NEWTON_METRE, 1),
            // vacuum gauges read micron in every country
            (D::RiseRate, _) => shown!(unit::MICRON_PER_MINUTE; 2),
            (D::PressureRate, Us) => shown!(unit::PSI_PER_HOUR; 2),
            (D::PressureRate, Si) => shown!(unit::KPA_PER_HOUR; 2),
            (D::LeakRate, _) => shown!(unit::PA_M3_PER_S; 2),
            (D::MassRate, Us) => shown!(unit::OUNCE_PER_YEAR; 2),
            (D::MassRate, Si) => shown!(unit::GRAM_PER_YEAR; 2),
            (D::Voltage, _) => shown!(unit::VOLT, 0),
            (D::Current, _) => shown!(unit::AMPERE, 1),
            (D::Power, Us) => shown!(unit::BTU_PER_HOUR; 3),
            (D::Power, Si) => shown!(unit::KILOWATT; 3),
            (D::VolumeFlow, Us) => shown!(unit::CUBIC_FOOT_PER_MINUTE, 0),
            (D::VolumeFlow, Si) => shown!(unit::CUBIC_METRE_PER_HOUR, 0),
            (D::Fraction, _) => shown!(unit::PERCENT, 1),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Mass, PressureGauge, Temperature, TemperatureDiff};

    #[test]
    fn an_interval_has_one_unit() {
        let missing = Interval {
            estimate: 0.611,
            low: -0.023,
            high: 1.245,
            dimension: Dimension::Mass,
        };
        assert_eq!(
            missing.show(UnitSystem::Si),
            "0.6 kg, could be 0.0 to 1.2 kg"
        );
        assert_eq!(
            missing.show(UnitSystem::Us),
            "1.3 lb, could be -0.1 to 2.7 lb"
        );
    }

    #[test]
    fn digits_are_sensible() {
        let gauge = PressureGauge::of(118.0, unit::PSIG);
        assert_eq!(gauge.show(UnitSystem::Us).to_string(), "118.0 psig");
        assert_eq!(gauge.show(UnitSystem::Si).to_string(), "8.14 bar gauge");
        assert_eq!(
            Mass::of(84.0, unit::OUNCE_MASS)
                .show(UnitSystem::Us)
                .to_string(),
            "5.25 lb"
        );
        assert_eq!(
            Mass::of(-2.0, unit::OUNCE_MASS)
                .show(UnitSystem::Us)
                .to_string(),
            "-2.0 oz"
        );
        assert_eq!(
            Temperature::of(-0.01, unit::CELSIUS)
                .show(UnitSystem::Si)
                .to_string(),
            "0.0 °C"
        );
        let sc = Interval::normal(
            TemperatureDiff::from_si(7.0),
            TemperatureDiff::from_si(0.73),
        );
        assert_eq!(sc.show(UnitSystem::Us), "12.6 °F, could be 10.0 to 15.2 °F");
    }
}
