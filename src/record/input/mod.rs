//! The inputs of the checks, from the facts and the events of a record.

mod beside;
mod charge;
mod holds;
mod incident;
mod joints;
mod machine;
mod planned;
mod rig;
mod rise;
mod running;
mod under_test;

pub use incident::valves_at;
pub use planned::PlannedHold;

use super::logger::LoggerError;
use super::{Event, InstrumentError, InstrumentFacts, Record};
use crate::check::charge::WeighingError;
use crate::check::dry::pumping::PumpingError;
use crate::check::run::target::TableError;
use crate::check::tight::TightError;
use crate::fluid::refrigerant::UnknownRefrigerant;
use crate::physics::torque::AdapterError;
use crate::physics::tube::TubeError;
use crate::quantity::{Accuracy, BarometerError, Instrument, Measured, Quantity};

/// Why a check cannot be given its input.
#[derive(Debug, thiserror::Error)]
pub enum InputError {
    /// The logger file.
    #[error(transparent)]
    Logger(#[from] LoggerError),
    /// An instrument's facts.
    #[error("lineset.toml, instrument \"{id}\": {error}")]
    Instrument {
        /// Its id.
        id: String,
        /// What is wrong.
        error: InstrumentError,
    },
    /// An instrument that the facts do not have.
    #[error(
        "event {number}: instrument \"{id}\" is not in lineset.toml; add an [[instrument]] with that id"
    )]
    NoInstrument {
        /// The event.
        number: u64,
        /// The id.
        id: String,
    },
    /// A pressure below a perfect vacuum, or an atmosphere that does not exist.
    #[error("event {number}: {error}")]
    Barometer {
        /// The event.
        number: u64,
        /// What is wrong.
        error: BarometerError,
    },
    /// Too few readings.
    #[error(
        "event {number}: {found} readings, and no log: at least {needed} are needed; add them with the event"
    )]
    TooFew {
        /// The event.
        number: u64,
        /// How many.
        found: usize,
        /// How many are needed.
        needed: usize,
    },
    /// Readings that are not in the order of their times.
    #[error(
        "event {number}, reading {reading}: its time, {hours} h, is not after the {before} h of the reading before it; readings are never sorted silently: give them in the order they were taken, each with a time of its own"
    )]
    NotInOrder {
        /// The event.
        number: u64,
        /// Which reading, from 1.
        reading: usize,
        /// Its time, h.
        hours: f64,
        /// The time before, h.
        before: f64,
    },
    /// A reading without a time.
    #[error(
        "event {number}, reading {reading}: has neither \"at\" nor \"after\"; say when it was read"
    )]
    NoTime {
        /// The event.
        number: u64,
        /// Which reading, from 1.
        reading: usize,
    },
    /// A time at which the pump was shut off that no reading belongs to.
    #[error(
        "event {number}: isolated_after {told:.2} min lies outside its readings, 0 to {last:.2} min; count it from the first reading"
    )]
    IsolatedOutside {
        /// The event.
        number: u64,
        /// As typed, min.
        told: f64,
        /// The last reading, min.
        last: f64,
    },
    /// A phase column in which nothing is isolated.
    #[error(
        "event {number}: by their phase all its readings were taken while the pump pulled; add what was read after the valve to it was shut, or say when that was with isolated_after"
    )]
    NeverIsolated {
        /// The event.
        number: u64,
    },
    /// A log of a pump-down that holds none.
    #[error("event {number}, its pump-down: {error}")]
    PumpDown {
        /// The event.
        number: u64,
        /// What is wrong.
        error: PumpingError,
    },
    /// No resolution.
    #[error(
        "event {number}: the gauge's smallest step is not known; add an [[instrument]] with its resolution and name it in the event"
    )]
    NoResolution {
        /// The event.
        number: u64,
    },
    /// A rule that is not known.
    #[error("event {number}: \"{rule}\" is no rule known here; the rules are {known}")]
    NoRule {
        /// The event.
        number: u64,
        /// As typed.
        rule: String,
        /// The names.
        known: String,
    },
    /// The rig's own test cannot be judged.
    #[error("event {number}, the rig alone: {error}")]
    Rig {
        /// The event.
        number: u64,
        /// What is wrong.
        error: TightError,
    },
    /// A charging table that is gone.
    #[error(
        "event {number}: {file} cannot be read ({error}); restore it from a copy, it is part of the record"
    )]
    TableFile {
        /// The event.
        number: u64,
        /// In the record.
        file: String,
        /// What is wrong.
        error: std::io::Error,
    },
    /// A charging table that is none.
    #[error("event {number}, {file}: {error}")]
    Table {
        /// The event.
        number: u64,
        /// In the record.
        file: String,
        /// What is wrong.
        error: TableError,
    },
    /// A refrigerant that is not known here.
    #[error("lineset.toml, equipment.refrigerant: {0}")]
    Refrigerant(#[from] UnknownRefrigerant),
    /// A tube that cannot be.
    #[error("lineset.toml: {0}")]
    Tube(#[from] TubeError),
    /// A weighing that cannot be.
    #[error("event {number}: {error}")]
    Weighing {
        /// The event.
        number: u64,
        /// What is wrong.
        error: WeighingError,
    },
    /// A weighing that states neither a mass nor both readings of the cylinder.
    #[error(
        "event {number}: there is neither a mass nor the cylinder before and afterwards; give one of them"
    )]
    NotWeighed {
        /// The event.
        number: u64,
    },
    /// An adapter that cannot be.
    #[error("event {number}: {error}")]
    Adapter {
        /// The event.
        number: u64,
        /// What is wrong.
        error: AdapterError,
    },
}

impl Record {
    fn named_instrument(
        &self,
        event: &Event,
        id: Option<&str>,
    ) -> Result<Option<&InstrumentFacts>, InputError> {
        let Some(id) = id else { return Ok(None) };
        self.instrument(id)
            .map(Some)
            .ok_or_else(|| InputError::NoInstrument {
                number: event.number,
                id: id.into(),
            })
    }

    /// A reading with what its instrument states; without an instrument, with an assumed limit of error.
    fn measured<Q: Quantity>(
        &self,
        event: &Event,
        id: Option<&str>,
        value: Q,
        assumed_limit: Q::Diff,
    ) -> Result<Measured<Q>, InputError> {
        let instrument = match self.named_instrument(event, id)? {
            Some(facts) => facts.near(value).map_err(|error| InputError::Instrument {
                id: facts.id.clone(),
                error,
            })?,
            None => Instrument {
                name: "assumed".into(),
                accuracy: Vec::new(),
                zero_drift_per_kelvin: 0.0,
            },
        };
        let mut stated = instrument;
        if stated.accuracy.is_empty() {
            stated.accuracy.push(Accuracy::Limit(assumed_limit));
        }
        Ok(stated.reading(value))
    }
}
