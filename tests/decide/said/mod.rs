//! Inputs made by hand that together say every code there is.

pub mod evidence;
pub mod holds;
pub mod machine;
pub mod world;

mod amounts;
mod charge;
mod dry;
mod joints;
mod run;
mod start;
mod tight;

use lineproof::check::{self, Finding};
use lineproof::decide;

/// A name, what was found, and the codes that it is there for.
pub type Table = Vec<(&'static str, Finding, &'static [&'static str])>;

/// Codes with their meaning.
pub type Codes = &'static [(&'static str, &'static str)];

/// A list of codes: its name, the codes, and inputs that say them.
pub type List = (&'static str, Codes, fn() -> Table);

/// Every list there is.
pub fn all() -> [List; 7] {
    [
        ("joints", check::joints::reasons::CODES, joints::table),
        ("tight", check::tight::reasons::CODES, tight::table),
        ("dry", check::dry::reasons::CODES, dry::table),
        ("charge", check::charge::reasons::CODES, charge::table),
        ("start", check::start::reasons::CODES, start::table),
        ("run", check::run::reasons::CODES, run::table),
        ("evidence", decide::evidence::CODES, evidence::table),
    ]
}
