//! *start*: ready to switch on?
//!
//! A gate: every question must be answered well. One that is not answered leaves the gate shut.

mod assess;
mod criteria;
mod input;
pub mod reasons;
#[cfg(test)]
mod tests;

pub use assess::assess;
pub use criteria::Criteria;
pub use input::{Answer, CrankcaseHeater, Input, Supply, SupplyLimits, Wiring};

use crate::check::Caution;
use crate::source::SourceId;

/// What the stage's tables and figures are drawn from.
#[derive(Debug, Clone, PartialEq)]
pub struct Detail {
    /// Every question of the gate, in its order.
    pub items: Vec<Item>,
}

/// One question of the gate.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// The question.
    pub question: &'static str,
    /// How it came out.
    pub state: State,
    /// The numbers behind it, when there are any.
    pub note: Option<String>,
}

/// How one question of the gate came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum State {
    /// Answered well.
    Good,
    /// Answered badly.
    Bad,
    /// Not answered, or a reading too coarse to say.
    NotKnown,
    /// The unit has no such part.
    DoesNotApply,
}

/// Shown where the step is.
pub const CAUTIONS: &[Caution] = &[
    Caution {
        text: "the unit's own start-up list wins over this one",
        source: SourceId::UnitInstructions,
    },
    Caution {
        text: "work on the supply side of the disconnect is a licensed electrician's in most places; the local electrical code decides",
        source: SourceId::CommonPractice,
    },
    Caution {
        text: "open service valves fully and put both caps back: the cap is part of the seal",
        source: SourceId::CommonPractice,
    },
];
