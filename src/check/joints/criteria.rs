//! The limits of *joints*.

use crate::quantity::{Fraction, LeakRate, MassRate, Quantity, unit};
use crate::source::SourceId;

/// Which column of the flare table counts where the unit's instructions are silent.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FlareTable {
    /// JIS B 8607.
    Jis,
    /// The range usual in installation instructions.
    Common,
}

impl FlareTable {
    /// Where the column comes from.
    pub fn source(self) -> SourceId {
        match self {
            FlareTable::Jis => SourceId::JisB8607,
            FlareTable::Common => SourceId::CommonPractice,
        }
    }
}

/// The limits of *joints*.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Criteria {
    /// Flare torque where the unit's instructions are silent.
    pub flare_table: FlareTable,
    /// Tolerance around a single torque figure of the unit.
    pub figure_tolerance: Fraction,
    /// Where that tolerance comes from.
    pub figure_tolerance_source: SourceId,
    /// The smallest leak that bubbles show, where wetted.
    pub bubbles_show: LeakRate,
    /// Where that figure comes from.
    pub bubbles_source: SourceId,
    /// The smallest leak that a detector shows.
    pub detector_shows: MassRate,
    /// Where that figure comes from.
    pub detector_source: SourceId,
}

impl Default for Criteria {
    fn default() -> Self {
        Criteria {
            flare_table: FlareTable::Jis,
            figure_tolerance: Fraction::of(10.0, unit::PERCENT),
            figure_tolerance_source: SourceId::CommonPractice,
            bubbles_show: LeakRate::of(1e-5, unit::PA_M3_PER_S),
            bubbles_source: SourceId::BubbleSight,
            detector_shows: MassRate::of(5.0, unit::GRAM_PER_YEAR),
            detector_source: SourceId::DetectorSight,
        }
    }
}
