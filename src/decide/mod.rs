//! From findings and events to one answer: go on, repeat, call a technician, or stop.

use crate::check::{Outcome, Stage};
use crate::source::SourceId;

/// The answer, kindest first; the order is the order of severity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// The next stage.
    GoOn,
    /// The owner's own to redo.
    Repeat,
    /// A certified technician is needed.
    Call,
    /// Leave it alone, now.
    Stop,
}

impl Verdict {
    /// The words on the screen and in JSON.
    pub fn words(self) -> &'static str {
        match self {
            Verdict::GoOn => "go on",
            Verdict::Repeat => "repeat",
            Verdict::Call => "call a technician",
            Verdict::Stop => "stop",
        }
    }
}

/// What the system may do until the next step, kindest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Meanwhile {
    /// It may run.
    Run,
    /// It may run while nothing on the list of stop signs shows.
    RunWithStopSigns,
    /// It stays off.
    LeaveOff,
    /// It stays off, with the power disconnected.
    PowerOff,
}

impl Meanwhile {
    /// The words on the screen and in JSON.
    pub fn words(self) -> &'static str {
        match self {
            Meanwhile::Run => "it may run",
            Meanwhile::RunWithStopSigns => "run, with stop signs",
            Meanwhile::LeaveOff => "leave it off",
            Meanwhile::PowerOff => "leave it off, power disconnected",
        }
    }
}

/// How soon the next step is due, least pressing first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum HowSoon {
    /// No date presses.
    WhenConvenient,
    /// Within the season.
    WithinWeeks,
    /// Within days.
    WithinDays,
    /// Before the system runs again.
    BeforeRunning,
    /// At once.
    Now,
}

impl HowSoon {
    /// The words on the screen and in JSON.
    pub fn words(self) -> &'static str {
        match self {
            HowSoon::WhenConvenient => "when convenient",
            HowSoon::WithinWeeks => "within weeks",
            HowSoon::WithinDays => "within days",
            HowSoon::BeforeRunning => "before it runs again",
            HowSoon::Now => "now",
        }
    }
}

/// One rule that spoke.
#[derive(Debug, Clone, PartialEq)]
pub struct Ground {
    /// Stable kebab-case code.
    pub code: &'static str,
    /// The sentence.
    pub text: String,
    /// Where the rule comes from.
    pub source: SourceId,
    /// The answer it asks for.
    pub verdict: Verdict,
    /// What the system may do until then.
    pub meanwhile: Meanwhile,
    /// How soon.
    pub how_soon: HowSoon,
    /// What a technician should bring, when one is called.
    pub bring: Vec<&'static str>,
    /// What to measure or do before that.
    pub first: Vec<&'static str>,
}

/// The next thing to do.
#[derive(Debug, Clone, PartialEq)]
pub struct NextStep {
    /// In words.
    pub text: String,
    /// The command that records it, when there is one.
    pub command: Option<String>,
}

/// The one answer with its grounds.
#[derive(Debug, Clone, PartialEq)]
pub struct Decision {
    /// The answer.
    pub verdict: Verdict,
    /// What the system may do until the next step.
    pub meanwhile: Meanwhile,
    /// How soon the next step is due.
    pub how_soon: HowSoon,
    /// The sentence that leads every screen.
    pub headline: String,
    /// Every rule that spoke, the most severe first.
    pub grounds: Vec<Ground>,
    /// Every stage with its outcome.
    pub stages: Vec<(Stage, Outcome)>,
    /// What to do next.
    pub next: Vec<NextStep>,
    /// Signs at which a running system is switched off; empty unless it may run with stop signs.
    pub stop_signs: Vec<&'static str>,
}
