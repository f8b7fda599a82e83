//! *tight*: the standing pressure test with dry nitrogen.
//!
//! Pressure is compared with what the same gas would show at the logged temperatures (real nitrogen at constant
//! volume), and the loss comes as an interval. See [`method`] for the equation.

mod assess;
mod criteria;
mod detail;
mod input;
pub mod mass;
pub mod method;
pub mod plan;
pub mod reasons;
pub mod rehearse;
mod sentences;

pub use assess::{TightError, assess};
pub use criteria::{CodeRule, Criteria, Limit};
pub use detail::{CodeRuleResult, Detail, HoldLonger, Outlier, Point, Step};
pub use input::{Input, RigBlank, TestGas, Unlogged};

use super::Caution;
use crate::source::SourceId;

/// Cautions for the step.
pub const CAUTIONS: &[Caution] = &[
    Caution {
        text: "Dry nitrogen only, through a regulator with a relief valve set below the lowest rating on the nameplates. Oxygen explodes with oil; compressed air brings water and, with oil or refrigerant, can explode.",
        source: SourceId::Ashrae15Gas,
    },
    Caution {
        text: "Raise the pressure in stages: low first with soap on every joint, then higher. Stand clear of the joints while it rises, wear goggles, and never work on a joint under pressure.",
        source: SourceId::CommonPractice,
    },
    Caution {
        text: "Never exceed the test pressure on the unit's nameplate; the unit's own instructions and the local code win over anything said here.",
        source: SourceId::CommonPractice,
    },
    Caution {
        text: "Vent slowly and outdoors: nitrogen in a closed room displaces the air you breathe.",
        source: SourceId::CommonPractice,
    },
];
