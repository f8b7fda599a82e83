//! What *joints* is given.

use crate::check::Segment;
use crate::physics::torque::Adapter;
use crate::physics::tube::{TorqueRange, Tube};
use crate::quantity::{Measured, Torque};

/// What *joints* is given.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// Every joint of the circuit that can be reached, the factory's included.
    pub joints: Vec<Joint>,
}

/// A joint with all that is known of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    /// What the record calls it.
    pub id: String,
    /// Where it is.
    pub segment: Segment,
    /// How it was made.
    pub kind: JointKind,
    /// The tube, for a flare's torque.
    pub tube: Option<Tube>,
    /// How it was tightened, when it was and that was recorded.
    pub made_up: Option<MadeUp>,
    /// The torque in the unit's instructions, which wins over the table.
    pub unit_torque: Option<UnitTorque>,
    /// Who looked at it with what.
    pub checks: Vec<JointCheck>,
}

/// How a joint was made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum JointKind {
    /// A flared tube and nut.
    Flare,
    /// A pressed fitting.
    Pressed,
    /// Brazed at the place.
    Brazed,
    /// A coupling of a pre-charged line.
    Coupling,
    /// A threaded cap, valve core or fitting.
    Threaded,
    /// Made by the maker of the unit.
    Factory,
}

impl JointKind {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            JointKind::Flare => "flare",
            JointKind::Pressed => "pressed",
            JointKind::Brazed => "brazed",
            JointKind::Coupling => "coupling",
            JointKind::Threaded => "threaded",
            JointKind::Factory => "factory",
        }
    }

    /// Whether it is tightened to a torque that is always recorded; a threaded cap is only judged when one was.
    pub fn is_tightened(self) -> bool {
        matches!(self, JointKind::Flare | JointKind::Coupling)
    }
}

/// How a joint was tightened.
#[derive(Debug, Clone, PartialEq)]
pub struct MadeUp {
    /// What the wrench was set to, with what is stated of the wrench.
    pub setting: Measured<Torque>,
    /// The adapter on the wrench, when there was one.
    pub adapter: Option<Adapter>,
}

/// The torque in the unit's instructions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum UnitTorque {
    /// A range.
    Range(TorqueRange),
    /// One figure: the default tolerance goes around it.
    Figure(Torque),
}

/// One look at a joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct JointCheck {
    /// With what.
    pub method: Method,
    /// What was seen.
    pub seen: Seen,
}

/// With what a joint is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Method {
    /// Bubble solution on the pressurised joint.
    Bubbles,
    /// An electronic refrigerant detector.
    Detector,
}

impl Method {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Method::Bubbles => "bubbles",
            Method::Detector => "detector",
        }
    }
}

/// What a look at a joint showed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Seen {
    /// No leak.
    NoLeak,
    /// A leak.
    Leak,
    /// It could not be told.
    Unclear,
}
