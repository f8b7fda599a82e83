//! *joints*: is every joint made up right?
//!
//! A ledger of every joint between the two coils, the factory's included: how it was tightened, who looked at it with
//! what, and which joints nothing has proven.

mod assess;
mod criteria;
mod input;
pub mod reasons;
#[cfg(test)]
mod tests;

pub use assess::assess;
pub use criteria::{Criteria, FlareTable};
pub use input::{Input, Joint, JointCheck, JointKind, MadeUp, Method, Seen, UnitTorque};

use crate::check::{Caution, Segment};
use crate::physics::tube::TorqueRange;
use crate::quantity::Torque;
use crate::source::SourceId;

/// What the stage's tables and figures are drawn from.
#[derive(Debug, Clone, PartialEq)]
pub struct Detail {
    /// The ledger, in the order given.
    pub ledger: Vec<Entry>,
}

impl Detail {
    /// Joints that nothing has proven.
    pub fn unproven(&self) -> impl Iterator<Item = &Entry> {
        self.ledger
            .iter()
            .filter(|e| e.tightness == Tightness::NotChecked)
    }
}

/// One joint in the ledger.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// What the record calls it.
    pub id: String,
    /// Where it is.
    pub segment: Segment,
    /// How it was made.
    pub kind: JointKind,
    /// What the checks showed.
    pub tightness: Tightness,
    /// The torque, for a joint that has one.
    pub tightened: Tightened,
}

/// What the checks of a joint showed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Tightness {
    /// No leak seen, by the finest method used.
    NoLeakSeen(Method),
    /// A leak was seen.
    Leaking(Method),
    /// Nobody looked, or nothing could be told.
    NotChecked,
}

/// The torque of a joint against its range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tightened {
    /// No torque belongs to such a joint.
    DoesNotApply,
    /// The torque was not recorded.
    NotRecorded,
    /// No range is known for it: the unit's instructions have it.
    NoRange(Torque),
    /// Inside the range.
    Right(Torque, TorqueRange),
    /// Below the range.
    Under(Torque, TorqueRange),
    /// Above the range.
    Over(Torque, TorqueRange),
    /// At an end of the range, closer than the wrench can tell.
    AtTheEdge(Torque, TorqueRange),
}

/// Shown where the step is.
pub const CAUTIONS: &[Caution] = &[
    Caution {
        text: "the torque in the unit's instructions wins over any table",
        source: SourceId::UnitInstructions,
    },
    Caution {
        text: "hold the fitting with a second wrench; pull square to the handle, at its middle",
        source: SourceId::CommonPractice,
    },
    Caution {
        text: "never tighten, loosen or braze a joint beyond its torque while it holds refrigerant",
        source: SourceId::CommonPractice,
    },
    Caution {
        text: "leave a factory joint alone: photograph it and call the warranty desk first",
        source: SourceId::CommonPractice,
    },
];
