//! The test pressure against the lowest rating of what is under it: as read, and as it could get.

use super::input::Input;
use crate::fluid::DryGasError;
use crate::quantity::{PressureGauge, Quantity, Temperature, TemperatureDiff, unit};

/// How much warmer than it was seen a line may get that was watched for less than a day.
fn warmer_later() -> TemperatureDiff {
    TemperatureDiff::of(25.0, unit::FAHRENHEIT_DIFF)
}

/// A temperature that the day may still bring, and what the gauge would read then.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Later {
    pub(super) warmed_to: Temperature,
    pub(super) reads: PressureGauge,
}

/// What the gauge could read later in the day, where that is above the lowest rating.
///
/// All of the gas is taken to warm from the last reading to 25 °F above the hottest one. None without a rating or a
/// thermometer, and after a whole day.
pub(super) fn above_later(input: &Input) -> Result<Option<Later>, DryGasError> {
    let column = input.outdoor.as_ref().or(input.indoor.as_ref());
    let (Some(rated), Some(column)) = (input.rated, column) else {
        return Ok(None);
    };
    let last = input.hours.len() - 1;
    if input.hours[last] - input.hours[0] >= 24.0 {
        return Ok(None);
    }
    let hottest = column
        .iter()
        .copied()
        .fold(column[0], |a, b| if b > a { b } else { a });
    let warmed_to = hottest + warmer_later();
    let gas = input.gas.computed_as();
    let reads = gas
        .sealed_pressure(input.pressure[last], column[last], warmed_to)?
        .to_gauge(input.barometer);
    Ok((reads > rated).then_some(Later { warmed_to, reads }))
}
