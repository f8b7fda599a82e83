//! What *charge* is given.

use crate::fluid::Refrigerant;
use crate::physics::cycle::MeteringPlace;
use crate::physics::tube::Tube;
use crate::quantity::{Length, Mass, MassPerLength, Measured};

/// What *charge* is given.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// The refrigerant on the nameplate.
    pub refrigerant: Refrigerant,
    /// The nameplate charge, before any adjustment.
    pub nameplate: Mass,
    /// How the unit came.
    pub shipped: Shipped,
    /// Where the metering device sits; `None`: not known.
    pub metering: Option<MeteringPlace>,
    /// The line's runs: one for a single head, one per head or branch otherwise.
    pub runs: Vec<Run>,
    /// Parts that take their own charge (a drier, a larger coil); may be negative.
    pub accessories: Vec<Accessory>,
    /// The sum of what was weighed in, removals counted negative; `None`: nothing was recorded.
    pub weighed_in: Option<Measured<Mass>>,
    /// What may have let refrigerant out after it was in.
    pub incidents: Vec<Incident>,
}

/// How the unit came.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Shipped {
    /// With its nameplate charge inside.
    Charged,
    /// Without refrigerant: the nameplate charge is weighed in too.
    Empty,
}

/// A run of line with the maker's charge factor.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// What the record calls it.
    pub name: String,
    /// Length as installed, one way.
    pub installed: Length,
    /// Length that the nameplate charge already covers.
    pub included: Length,
    /// The maker's charge per length.
    pub factor: MassPerLength,
    /// The tubes, for the physics beside the factor.
    pub tubes: Option<Tubes>,
}

/// The two tubes of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tubes {
    /// The liquid line.
    pub liquid: Tube,
    /// The vapour line.
    pub vapour: Tube,
}

/// A part that takes its own charge.
#[derive(Debug, Clone, PartialEq)]
pub struct Accessory {
    /// What it is.
    pub name: String,
    /// The charge it takes; negative when it takes some away.
    pub mass: Mass,
}

/// An event after which the mass inside is not known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Incident {
    /// Refrigerant got out.
    Released {
        /// What happened, in the record's words.
        what: String,
    },
    /// The circuit was opened after it held refrigerant.
    Opened {
        /// What happened, in the record's words.
        what: String,
    },
}
