//! The limits of *start*.

use crate::quantity::{Duration, Fraction, Quantity, unit};
use crate::source::SourceId;

/// The limits of *start*; the unit's own figures, given in the input, win.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Criteria {
    /// Time with the crankcase heater on when the unit's instructions are silent.
    pub heater_time: Duration,
    /// Where that time comes from.
    pub heater_time_source: SourceId,
    /// Tolerance of the supply around the rated voltage.
    pub voltage_tolerance: Fraction,
    /// Where that tolerance comes from.
    pub voltage_tolerance_source: SourceId,
}

impl Default for Criteria {
    fn default() -> Self {
        Criteria {
            heater_time: Duration::of(12.0, unit::HOUR_DURATION),
            heater_time_source: SourceId::CommonPractice,
            voltage_tolerance: Fraction::of(10.0, unit::PERCENT),
            voltage_tolerance_source: SourceId::NemaMg1,
        }
    }
}
