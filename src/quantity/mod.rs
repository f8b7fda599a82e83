//! Quantities with units: what people type, what the program computes with, what it prints.
//!
//! Every quantity is its own type around a private `f64` in SI, so that a gauge pressure cannot be used as an
//! absolute one, nor a temperature as a difference. Values go in by `Q::of(number, UNIT)` or [`parse`] and come out
//! by [`Quantity::in_unit`] or [`Quantity::show`].
//!
//! Gauge pressure crosses to absolute only through a [`Barometer`]:
//!
//! ```
//! use lineproof::quantity::{Barometer, PressureGauge, Quantity, unit};
//! let gauge = PressureGauge::of(118.0, unit::PSIG);
//! let absolute = gauge.to_abs(Barometer::standard()).unwrap();
//! assert!((absolute.in_unit(unit::PSIA) - 132.696).abs() < 1e-3);
//! ```
//!
//! ```compile_fail
//! use lineproof::quantity::{PressureAbs, PressureGauge, Quantity, unit};
//! let gauge = PressureGauge::of(118.0, unit::PSIG);
//! let absolute: PressureAbs = gauge; // gauge is not absolute
//! ```
//!
//! The barometer moves between two readings, so gauge minus gauge does not exist:
//!
//! ```compile_fail
//! use lineproof::quantity::{PressureGauge, Quantity, unit};
//! let lost = PressureGauge::of(350.0, unit::PSIG) - PressureGauge::of(349.0, unit::PSIG);
//! ```
//!
//! Temperatures subtract to a difference, and do not add:
//!
//! ```
//! use lineproof::quantity::{Quantity, Temperature, TemperatureDiff, unit};
//! let superheat = Temperature::of(52.0, unit::FAHRENHEIT) - Temperature::of(40.0, unit::FAHRENHEIT);
//! assert!((superheat.in_unit(unit::FAHRENHEIT_DIFF) - 12.0).abs() < 1e-9);
//! ```
//!
//! ```compile_fail
//! use lineproof::quantity::{Quantity, Temperature, unit};
//! let sum = Temperature::of(20.0, unit::CELSIUS) + Temperature::of(20.0, unit::CELSIUS);
//! ```
//!
//! ```compile_fail
//! use lineproof::quantity::{Quantity, Temperature, TemperatureDiff, unit};
//! let difference: TemperatureDiff = Temperature::of(20.0, unit::CELSIUS);
//! ```

mod barometer;
mod instrument;
mod measured;
mod parse;
mod show;
pub mod unit;

pub use barometer::{Barometer, BarometerError};
pub use instrument::{Accuracy, BOURDON_DRIFT_PER_KELVIN, Instrument};
pub use measured::{Measured, Origin, Propagated, propagate};
pub use parse::{
    ParseError, PressureReading, PressureUnit, Typed, is_no_reading, parse, parse_gauge,
    parse_pressure, parse_vacuum, pressure_unit,
};
pub use show::{Interval, Shown, UnitSystem, both};
pub use unit::Unit;

/// A physical quantity held in SI.
pub trait Quantity: Copy + PartialEq + PartialOrd + std::fmt::Debug + 'static {
    /// The type of a difference of two values.
    type Diff: Quantity;
    /// What the quantity is, for error messages: "a temperature".
    const WHAT: &'static str;
    /// The dimension, for values whose type is known only when running.
    const DIMENSION: Dimension;
    /// Every unit this quantity can be typed in.
    fn units() -> &'static [Unit<Self>];
    /// The value in SI.
    fn si(self) -> f64;
    /// A value from SI.
    fn from_si(value: f64) -> Self;

    /// A value from a number and its unit.
    fn of(value: f64, unit: Unit<Self>) -> Self {
        Self::from_si(unit.to_si(value))
    }
    /// The number in a unit.
    fn in_unit(self, unit: Unit<Self>) -> f64 {
        unit.from_si(self.si())
    }
    /// The value as a reader of the unit system sees it, with a sensible number of digits.
    fn show(self, system: UnitSystem) -> Shown {
        Self::DIMENSION.show(self.si(), system)
    }
}

macro_rules! quantities {
    ($($(#[$doc:meta])* $name:ident, $diff:ident, $what:literal, $units:ident;)*) => {
        /// The dimension of a value whose type is known only when running.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum Dimension { $($(#[$doc])* $name,)* }

        $(
            $(#[$doc])*
            #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
            pub struct $name(f64);

            impl Quantity for $name {
                type Diff = $diff;
                const WHAT: &'static str = $what;
                const DIMENSION: Dimension = Dimension::$name;
                fn units() -> &'static [Unit<Self>] { unit::$units }
                fn si(self) -> f64 { self.0 }
                fn from_si(value: f64) -> Self { Self(value) }
            }
        )*
    };
}

quantities! {
    /// Absolute pressure; SI unit Pa.
    PressureAbs, PressureDiff, "an absolute pressure", PRESSURE_ABS_UNITS;
    /// Pressure above the local atmosphere, as a gauge shows it (below it: negative); SI unit Pa.
    PressureGauge, PressureDiff, "a gauge pressure", PRESSURE_GAUGE_UNITS;
    /// Difference of two pressures; SI unit Pa.
    PressureDiff, PressureDiff, "a pressure difference", PRESSURE_DIFF_UNITS;
    /// Temperature; SI unit K.
    Temperature, TemperatureDiff, "a temperature", TEMPERATURE_UNITS;
    /// Difference of two temperatures; SI unit K.
    TemperatureDiff, TemperatureDiff, "a temperature difference", TEMPERATURE_DIFF_UNITS;
    /// Mass; SI unit kg.
    Mass, Mass, "a mass", MASS_UNITS;
    /// Length; SI unit m.
    Length, Length, "a length", LENGTH_UNITS;
    /// Area; SI unit m2.
    Area, Area, "an area", AREA_UNITS;
    /// Volume; SI unit m3.
    Volume, Volume, "a volume", VOLUME_UNITS;
    /// Length of time; SI unit s.
    Duration, Duration, "a length of time", DURATION_UNITS;
    /// Mass per length of line; SI unit kg/m.
    MassPerLength, MassPerLength, "a charge per length", MASS_PER_LENGTH_UNITS;
    /// Density; SI unit kg/m3.
    Density, Density, "a density", DENSITY_UNITS;
    /// Enthalpy per mass; SI unit J/kg.
    SpecificEnthalpy, SpecificEnthalpy, "an enthalpy per mass", SPECIFIC_ENTHALPY_UNITS;
    /// Entropy per mass; SI unit J/(kg K).
    SpecificEntropy, SpecificEntropy, "an entropy per mass", SPECIFIC_ENTROPY_UNITS;
    /// Heat capacity per mass; SI unit J/(kg K).
    HeatCapacity, HeatCapacity, "a heat capacity per mass", HEAT_CAPACITY_UNITS;
    /// Dynamic viscosity; SI unit Pa s.
    Viscosity, Viscosity, "a viscosity", VISCOSITY_UNITS;
    /// Torque; SI unit N m.
    Torque, Torque, "a torque", TORQUE_UNITS;
    /// Change of pressure with time; SI unit Pa/s.
    PressureRate, PressureRate, "a pressure change per time", PRESSURE_RATE_UNITS;
    /// Rise of an isolated vacuum with time; SI unit Pa/s.
    RiseRate, RiseRate, "a rise of vacuum per time", RISE_RATE_UNITS;
    /// Flow of gas through a leak as pressure times volume per time; SI unit Pa m3/s.
    LeakRate, LeakRate, "a leak rate", LEAK_RATE_UNITS;
    /// Mass lost with time; SI unit kg/s.
    MassRate, MassRate, "a mass loss per time", MASS_RATE_UNITS;
    /// Electric tension; SI unit V.
    Voltage, Voltage, "a voltage", VOLTAGE_UNITS;
    /// Electric current; SI unit A.
    Current, Current, "a current", CURRENT_UNITS;
    /// Heat or work with time; SI unit W.
    Power, Power, "a power", POWER_UNITS;
    /// Volume of air moved with time; SI unit m3/s.
    VolumeFlow, VolumeFlow, "an airflow", VOLUME_FLOW_UNITS;
    /// A share of one.
    Fraction, Fraction, "a share", FRACTION_UNITS;
}

macro_rules! differences {
    ($($name:ident - $name2:ident = $diff:ident;)*) => { $(
        impl std::ops::Sub for $name {
            type Output = $diff;
            fn sub(self, other: Self) -> $diff { $diff(self.0 - other.0) }
        }
        impl std::ops::Add<$diff> for $name {
            type Output = $name;
            fn add(self, by: $diff) -> $name { $name(self.0 + by.0) }
        }
    )* };
}
differences! {
    PressureAbs - PressureAbs = PressureDiff;
    Temperature - Temperature = TemperatureDiff;
    PressureDiff - PressureDiff = PressureDiff;
    TemperatureDiff - TemperatureDiff = TemperatureDiff;
    Mass - Mass = Mass;
    Length - Length = Length;
    Volume - Volume = Volume;
    Duration - Duration = Duration;
    SpecificEnthalpy - SpecificEnthalpy = SpecificEnthalpy;
    SpecificEntropy - SpecificEntropy = SpecificEntropy;
}

impl PressureGauge {
    /// The absolute pressure, given the local atmosphere; an error below a perfect vacuum.
    pub fn to_abs(self, barometer: Barometer) -> Result<PressureAbs, BarometerError> {
        let absolute = self.0 + barometer.pressure().0;
        if absolute < 0.0 {
            return Err(BarometerError::BelowVacuum {
                gauge: self,
                barometer,
            });
        }
        Ok(PressureAbs(absolute))
    }
}

impl PressureAbs {
    /// What a gauge would show, given the local atmosphere.
    pub fn to_gauge(self, barometer: Barometer) -> PressureGauge {
        PressureGauge(self.0 - barometer.pressure().0)
    }
}

impl std::ops::Mul<Length> for MassPerLength {
    type Output = Mass;
    fn mul(self, length: Length) -> Mass {
        Mass(self.0 * length.0)
    }
}
