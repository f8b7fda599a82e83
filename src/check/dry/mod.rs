//! *dry*: evacuation and vacuum rise.
//!
//! After the pump is shut off a steady rise is a leak and one that levels off is water, oil or refrigerant giving off
//! vapour. The level is held against a named rule, the slope against a limit. See [`method`] for the equation.

mod assess;
mod before;
mod criteria;
mod detail;
mod error;
pub mod gauges;
mod input;
pub mod isolate;
mod judged;
pub mod method;
pub mod pumping;
pub mod reasons;
mod rules;
mod sentences;
pub mod standing;

pub use assess::assess;
pub use before::{Pumped, ShutOff, ShutOffBy};
pub use criteria::{Criteria, Limit, LimitError};
pub use detail::{Cause, Detail, Point};
pub use error::DryError;
pub use input::Input;
pub use rules::{Level, Rule};

use super::Caution;
use crate::source::SourceId;

/// Cautions for the step.
pub const CAUTIONS: &[Caution] = &[
    Caution {
        text: "Never start the compressor while the system is under vacuum: it can arc inside and burn out.",
        source: SourceId::CommonPractice,
    },
    Caution {
        text: "Never pull a vacuum on a circuit that holds refrigerant: it would be let out, which the law forbids in most places.",
        source: SourceId::CommonPractice,
    },
    Caution {
        text: "Let the nitrogen out before the pump and the vacuum gauge are opened to the lines: pressure ruins both.",
        source: SourceId::CommonPractice,
    },
    Caution {
        text: "If it will not come down: change the pump's oil and open its gas ballast at first; warm cold parts, where water stands as ice and hardly gives off; break the vacuum with dry nitrogen and pump again, up to three times.",
        source: SourceId::CommonPractice,
    },
];
