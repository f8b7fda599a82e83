//! *charge*: is the right mass in?
//!
//! The line-length adjustment with its arithmetic, physics beside the maker's factor, and what was weighed in; what an
//! incident could have cost ([`lost`]), the check at rest for air ([`idle`]), the charge from running readings
//! ([`running`]), all of it together ([`joined`]) with what it costs ([`performance`]), the finding after an incident ([`inside`]), and the
//! room for it ([`room`]).

mod arithmetic;
mod assess;
mod criteria;
pub mod idle;
mod input;
pub mod inside;
pub mod joined;
pub mod lost;
pub mod performance;
mod plan;
mod printed;
pub mod reasons;
pub mod room;
pub mod running;
#[cfg(test)]
mod tests;
mod weighing;

pub use arithmetic::{
    Adjustment, BesideFactor, Line, Term, adjustment, came_in_lines, physics_beside,
};
pub use assess::assess;
pub use criteria::Criteria;
pub use input::{Accessory, Incident, Input, LineLabel, Run, Shipped, Tubes};
pub use inside::{Before, Inside, InsideError, Known, assess_known};
pub use plan::{Cylinder, Plan, PlanError, Start, plan};
pub use printed::{Printed, printed_for};
pub use weighing::{
    Hose, HoseContent, ScaleShown, Way, Weighed, WeighedIn, Weighing, WeighingError, weighed,
};

use crate::check::Caution;
use crate::quantity::{Interval, Mass};
use crate::source::SourceId;

/// What the stage's tables and figures are drawn from.
#[derive(Debug, Clone, PartialEq)]
pub struct Detail {
    /// The arithmetic, line by line; its masses add up to `adjustment`.
    pub lines: Vec<Line>,
    /// Line-length adjustment with accessories; signed.
    pub adjustment: Mass,
    /// What came in pre-charged lines by their own labels: counts as already in.
    pub came_in_lines: Mass,
    /// What has to be weighed in: the adjustment less what came in the lines, with the nameplate charge when the unit
    /// came empty; signed.
    pub to_weigh_in: Mass,
    /// What was weighed in less what has to be: negative is short of charge.
    pub remainder: Interval,
    /// A remainder up to this is left as it is.
    pub left_as_it_is: Mass,
    /// Physics beside each run's factor, where the tubes are known.
    pub beside: Vec<BesideFactor>,
    /// The mass inside after an incident; none without one.
    pub inside: Option<Box<inside::Inside>>,
}

/// Shown where the step is.
pub const CAUTIONS: &[Caution] = &[
    Caution {
        text: "adding, removing or recovering refrigerant is certified work in many places: read the rule of your place before a valve is opened",
        source: SourceId::Cfr82F,
    },
    Caution {
        text: "the unit's own factor, included length and label win over anything computed here",
        source: SourceId::UnitInstructions,
    },
    Caution {
        text: "blends are weighed in as liquid from the cylinder, throttled; write the added mass on the unit's label",
        source: SourceId::CommonPractice,
    },
];
