//! The line set record on disk: facts, events, logger files, photographs.
//!
//! `lineset.toml` holds the facts, `events.jsonl` what happened, one line each and never rewritten; raw logger files
//! lie in `logs/`, photographs in `photos/`, named in their event with size and SHA-256. Quantities are kept as typed; results are not kept,
//! they are computed again each time.

mod change;
mod correct;
pub mod coverage;
mod disk;
mod error;
mod event;
mod faults;
mod input;
mod instrument;
mod ledger;
mod line;
mod lineset;
pub mod logger;
mod moment;
mod near;
mod photo;
mod route;
mod seal;
mod sound;
mod store;
mod text;
mod typed;
mod verify;
mod words;

use std::path::PathBuf;

pub use coverage::{Evidence, Touch, Void};
pub use error::{RecordError, Spot, Warning};
pub use event::*;
pub use input::{InputError, PlannedHold, valves_at};
pub use instrument::InstrumentError;
pub use ledger::{JointEvidence, factory_joints};
pub use line::LINE_VERSION;
pub use lineset::{
    Accessory, Equipment, FACTS_VERSION, Instructions, InstrumentFacts, Joint, LineRun, LineSet,
    Lines, Place, Shares, Tube, Warranty,
};
pub use moment::{Moment, MomentError, Zone};
pub(crate) use near::nearest;
pub use photo::{Photo, TakenIn};
pub use route::{Applies, Route};
pub use typed::{Altitude, AsTyped, Field, SignedMass, Vacuum};
pub use verify::{
    FactsEdit, FileFate, LineFate, SealFate, Verification, VerifiedFile, VerifiedLine, Whole,
    verify,
};
pub use words::*;

use crate::quantity::{Barometer, BarometerError};

/// A line set record, as it is in its folder.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    /// The folder.
    pub folder: PathBuf,
    /// The facts.
    pub lineset: LineSet,
    /// What happened, in the order it was written down.
    pub events: Vec<Event>,
    /// What was noticed on opening.
    pub warnings: Vec<Warning>,
}

impl Record {
    /// The instrument of an id.
    pub fn instrument(&self, id: &str) -> Option<&InstrumentFacts> {
        self.lineset.instrument(id)
    }

    /// The joint of an id.
    pub fn joint(&self, id: &str) -> Option<&Joint> {
        self.lineset.joint(id)
    }

    /// The events by the hour they happened.
    pub fn in_order(&self) -> Vec<&Event> {
        coverage::in_order(&self.events)
            .into_iter()
            .map(|index| &self.events[index])
            .collect()
    }

    /// The time zone of the place.
    pub fn zone(&self) -> &Zone {
        &self.lineset.place.zone
    }

    /// The local atmosphere: from the barometer, else the altitude, else sea level.
    pub fn barometer(&self) -> Result<Barometer, BarometerError> {
        self.lineset.barometer()
    }
}
