//! What *charge* is given.

use super::WeighedIn;
use crate::fluid::Refrigerant;
use crate::physics::cycle::MeteringPlace;
use crate::physics::tube::Tube;
use crate::quantity::{Length, Mass, MassPerLength, Quantity};

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
    pub weighed_in: Option<WeighedIn>,
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
    /// Length as installed, one way; 0 at a port without a head, whose included length then counts as not installed.
    pub installed: Length,
    /// Length that the nameplate charge already covers.
    pub included: Length,
    /// The maker's charge per length.
    pub factor: MassPerLength,
    /// The tubes, for the physics beside the factor.
    pub tubes: Option<Tubes>,
    /// What a pre-charged line states of itself; `None`: nothing came in the line.
    pub label: Option<LineLabel>,
}

impl Run {
    /// Whether it is a port without a head.
    pub fn without_head(&self) -> bool {
        self.installed.si() == 0.0 && self.included.si() > 0.0
    }
}

/// The charge that came in a pre-charged line, as the line's own label states it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LineLabel {
    /// So much refrigerant.
    Mass(Mass),
    /// So much for each length of the line.
    PerLength(MassPerLength),
    /// Filled for so much line, counted with the maker's factor.
    ForLength(Length),
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
