//! *run*: does it run as charged?
//!
//! Superheat and subcooling with their uncertainty, and first of all whether such a reading means anything now.

mod air;
#[cfg(test)]
mod air_tests;
mod ask;
mod assess;
mod criteria;
mod cycle;
mod heating;
pub mod hint;
mod input;
pub mod instruments;
mod judge;
#[cfg(test)]
mod properties;
mod reading;
pub mod reasons;
mod sanity;
pub mod slip;
pub mod steady;
pub mod target;
#[cfg(test)]
mod target_tests;
#[cfg(test)]
mod tests;
mod valid;

pub use air::{Against, Air, Airflow, Split};
pub use ask::{Buys, Route, Worth, worth};
pub use assess::assess;
pub use criteria::{Criteria, Tolerance, WINTER_SETUP, WinterSetup};
pub use cycle::{Basis, Corner, Cycle, Place};
pub use hint::{Expected, Feature, FeatureRow, Hint, Sign};
pub use input::{
    Compressor, Conditions, HighSide, Input, LowSide, Machine, Rated, Reader, Tap, Targets, Yes,
};
pub use reading::{Reading, RunError, Surroundings, subcooling, superheat};
pub use slip::{Slip, refrigerants_by_saturation};
pub use valid::Question;

use crate::check::Caution;
use crate::quantity::{Interval, TemperatureDiff};
use crate::source::SourceId;
use crate::stats::within::Within;

/// What the stage's tables and figures are drawn from.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Detail {
    /// Suction line less dew, when the low side was read.
    pub superheat: Option<Reading>,
    /// Bubble less liquid line, when the high side was read and the line carries liquid.
    pub subcooling: Option<Reading>,
    /// The corners of the cycle that the readings give, in cooling.
    pub cycle: Option<Cycle>,
    /// Each reading that was held against a target.
    pub judged: Vec<Judged>,
    /// The target superheat, when it was looked up.
    pub target_superheat: Option<target::Target>,
    /// What the indoor air shows.
    pub air: Air,
    /// What is still to be answered, in the order in which it matters.
    pub questions: Vec<Question>,
    /// What each further answer or reading would buy, in order.
    pub worth: Vec<Worth>,
    /// Slips that would explain readings which contradict themselves; asked about, never corrected.
    pub slips: Vec<Slip>,
    /// The signs of seven features; empty where the reading is not valid.
    pub features: Vec<FeatureRow>,
    /// What each fault has of those signs.
    pub hints: Vec<Hint>,
    /// The atmosphere used, in words; `None` when no gauge was read.
    pub atmosphere: Option<String>,
    /// What the running log shows, when there is one.
    pub steady: Option<steady::Steady>,
}

impl Detail {
    /// The features that were read.
    pub fn told(&self) -> impl Iterator<Item = &FeatureRow> {
        self.features.iter().filter(|row| row.sign != Sign::NotRead)
    }
}

/// A reading held against its target.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judged {
    /// "superheat", "subcooling" or "discharge above outdoor".
    pub name: &'static str,
    /// The reading.
    pub value: TemperatureDiff,
    /// The low end of what passes.
    pub low: TemperatureDiff,
    /// The high end of what passes.
    pub high: TemperatureDiff,
    /// The target in the middle, with its own range; `None` where a range is given from zero.
    pub target: Option<Interval>,
    /// The input that matters most to reading and target together, with its share of the variance.
    pub dominant: Option<(&'static str, f64)>,
    /// Probability that it lies between the two.
    pub probability: f64,
    /// How it came out.
    pub within: Within,
    /// Where the limits come from.
    pub source: SourceId,
}

/// Shown where the step is.
pub const CAUTIONS: &[Caution] = &[
    Caution {
        text: "attaching gauges to a charged circuit is certified work in many places; pipe probes need no gauges",
        source: SourceId::Cfr82F,
    },
    Caution {
        text: "the charging chart in the unit's instructions wins over any target here",
        source: SourceId::UnitInstructions,
    },
    Caution {
        text: "airflow first, charge last: a filter, a coil or a blower moves these readings as far as charge does",
        source: SourceId::CommonPractice,
    },
    Caution {
        text: "probes sit on clean pipe, strapped and wrapped, away from the valve body",
        source: SourceId::CommonPractice,
    },
];
