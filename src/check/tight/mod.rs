//! *tight*: the standing pressure test with dry nitrogen.
//!
//! Pressure is compared with what the same gas would show at the logged temperatures (real nitrogen at constant
//! volume), and the loss comes as an interval. See [`method`] for the equation.

mod assess;
mod code_rule;
mod code_sentences;
mod criteria;
mod detail;
mod input;
pub mod mass;
pub mod method;
mod order;
pub mod plan;
mod rating;
pub mod reasons;
pub mod rehearse;
mod rig;
mod sentences;
mod unseen;
mod witness;

pub use assess::{TightError, assess};
pub use code_rule::{Allowed, CodeRule, Target};
pub use criteria::{Criteria, Limit};
pub use detail::{CodeRuleResult, Detail, HoldLonger, Outlier, Planned, Point, Step};
pub use input::{Input, RigBlank, TestGas, Unlogged};
pub use order::SameTime;

use super::Caution;
use crate::source::SourceId;

/// Cautions for the step.
pub const CAUTIONS: &[Caution] = &[
    Caution {
        text: "Dry nitrogen, argon or helium only, through a regulator with a relief valve set below the lowest rating on the nameplates: a full bottle holds more than 2,000 psig (140 bar gauge). Oxygen explodes with oil; compressed air brings water and, with oil or refrigerant, can explode.",
        source: SourceId::Ashrae15Gas,
    },
    Caution {
        text: "Raise the pressure in stages: 10 psig (0.7 bar gauge) with soap on every joint first, then higher. Stand clear of the joints while it rises, wear goggles, and never work on a joint under pressure.",
        source: SourceId::Ufgs23Pressure,
    },
    Caution {
        text: "Never exceed the test pressure on the unit's nameplate, also when the day warms the line: about 1 psi for each °F at 500 psig (0.12 bar for each K at 34 bar gauge). The unit's own instructions and the local code win over anything said here.",
        source: SourceId::AshraeJournal2021,
    },
    Caution {
        text: "Vent slowly and outdoors: the gas displaces the air you breathe, and a closed room gives no warning.",
        source: SourceId::CommonPractice,
    },
];
