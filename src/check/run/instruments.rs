//! What is assumed of instruments of which nothing is stated.

use crate::quantity::{PressureDiff, Quantity, Temperature, TemperatureDiff, unit};
use crate::source::SourceId;

/// Where the limit of the thermometer comes from.
pub const THERMOMETER_SOURCE: SourceId = SourceId::ThermometerAssumed;

/// Where the limits of the gauges come from.
pub const GAUGE_SOURCE: SourceId = SourceId::CecRa32Gauges;

/// Limit of error of a thermometer: 1.8 °F.
pub fn thermometer_limit() -> TemperatureDiff {
    TemperatureDiff::of(1.8, unit::FAHRENHEIT_DIFF)
}

/// Limit of error of a suction gauge: 3.5 psi.
pub fn suction_gauge_limit() -> PressureDiff {
    PressureDiff::of(3.5, unit::PSI_DIFF)
}

/// Limit of error of a liquid-line gauge: 7 psi.
pub fn liquid_gauge_limit() -> PressureDiff {
    PressureDiff::of(7.0, unit::PSI_DIFF)
}

/// Limit of error that the appendix asks of a thermometer at a reading: 1.3 °F and 0.1 % of the reading in °F.
///
/// Source: [`SourceId::CecRa32`], RA3.2.2.2.1.
pub fn thermometer_limit_asked(reading: Temperature) -> TemperatureDiff {
    let share = 0.001 * reading.in_unit(unit::FAHRENHEIT).abs();
    TemperatureDiff::of(1.3 + share, unit::FAHRENHEIT_DIFF)
}
