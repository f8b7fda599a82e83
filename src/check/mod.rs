//! The checks: one module per stage, each a pure function from readings to a [`Finding`].
//!
//! A check never prints and never reads a file; checks do not know each other. Each has the same doors:
//! `input` (what it is given), `criteria` (named limits, with a source each), `reasons` (everything it can say, a
//! stable code each) and `assess(&Input, &Criteria) -> Finding`.

pub mod charge;
pub mod dry;
pub mod joints;
pub mod run;
pub mod start;
pub mod tight;
pub mod watch;

use crate::quantity::Interval;
use crate::source::SourceId;

/// A stage on the way from made-up joints to a proven charge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stage {
    /// Is every joint made up right?
    Joints,
    /// Does the line set hold?
    Tight,
    /// Are air and water out?
    Dry,
    /// Is the right mass in?
    Charge,
    /// Ready to switch on?
    Start,
    /// Does it run as charged?
    Run,
    /// Is it still tight?
    Watch,
}

impl Stage {
    /// All stages in their order.
    pub const ALL: [Stage; 7] = [
        Stage::Joints,
        Stage::Tight,
        Stage::Dry,
        Stage::Charge,
        Stage::Start,
        Stage::Run,
        Stage::Watch,
    ];

    /// The stage's word, the same from record to screen.
    pub fn word(self) -> &'static str {
        match self {
            Stage::Joints => "joints",
            Stage::Tight => "tight",
            Stage::Dry => "dry",
            Stage::Charge => "charge",
            Stage::Start => "start",
            Stage::Run => "run",
            Stage::Watch => "watch",
        }
    }

    /// The question the stage answers.
    pub fn question(self) -> &'static str {
        match self {
            Stage::Joints => "is every joint made up right?",
            Stage::Tight => "does the line set hold?",
            Stage::Dry => "are air and water out?",
            Stage::Charge => "is the right mass in?",
            Stage::Start => "ready to switch on?",
            Stage::Run => "does it run as charged?",
            Stage::Watch => "is it still tight?",
        }
    }
}

/// How a stage came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Outcome {
    /// Shown to be within the named limit.
    Pass,
    /// Shown to be outside the named limit.
    Fail,
    /// Not proven either way yet.
    Undecided,
    /// No evidence yet.
    NotDone,
    /// There was evidence, and a later event touched what it covered.
    OutOfDate,
    /// Such a reading means nothing under these conditions.
    NotValidNow,
    /// Another step replaces this stage on this route.
    DoesNotApply,
}

impl Outcome {
    /// The outcome's words.
    pub fn words(self) -> &'static str {
        match self {
            Outcome::Pass => "pass",
            Outcome::Fail => "fail",
            Outcome::Undecided => "undecided",
            Outcome::NotDone => "not done",
            Outcome::OutOfDate => "out of date",
            Outcome::NotValidNow => "not valid now",
            Outcome::DoesNotApply => "does not apply",
        }
    }
}

/// A part of the circuit that evidence covers and events touch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Segment {
    /// The outdoor unit, up to its service valves.
    OutdoorUnit,
    /// The liquid line.
    LiquidLine,
    /// The vapour (suction) line.
    VapourLine,
    /// The indoor coil with its distributor and metering device.
    IndoorCoil,
    /// Hoses, gauge and valve of the test rig.
    Hoses,
}

impl Segment {
    /// All segments of a line set record.
    pub const ALL: [Segment; 5] = [
        Segment::OutdoorUnit,
        Segment::LiquidLine,
        Segment::VapourLine,
        Segment::IndoorCoil,
        Segment::Hoses,
    ];

    /// The segment in words: "indoor coil".
    pub fn words(self) -> &'static str {
        match self {
            Segment::OutdoorUnit => "outdoor unit",
            Segment::LiquidLine => "liquid line",
            Segment::VapourLine => "vapour line",
            Segment::IndoorCoil => "indoor coil",
            Segment::Hoses => "hoses",
        }
    }

    /// The segment's name, as typed.
    pub fn word(self) -> &'static str {
        match self {
            Segment::OutdoorUnit => "outdoor-unit",
            Segment::LiquidLine => "liquid-line",
            Segment::VapourLine => "vapour-line",
            Segment::IndoorCoil => "indoor-coil",
            Segment::Hoses => "hoses",
        }
    }
}

/// One thing a check has to say, with a stable code and the source of the limit or equation behind it.
#[derive(Debug, Clone, PartialEq)]
pub struct Reason {
    /// Stable kebab-case code.
    pub code: &'static str,
    /// The sentence.
    pub text: String,
    /// Where its limit, equation or practice comes from.
    pub source: SourceId,
}

impl Reason {
    /// A reason from its three parts.
    pub fn new(code: &'static str, source: SourceId, text: impl Into<String>) -> Self {
        Reason {
            code,
            text: text.into(),
            source,
        }
    }
}

/// A result as an interval with a name, a unit and a way to its source.
#[derive(Debug, Clone, PartialEq)]
pub struct NamedInterval {
    /// What it is: "superheat", "pressure loss".
    pub name: &'static str,
    /// The numbers with their dimension.
    pub interval: Interval,
    /// Where the equation comes from.
    pub source: SourceId,
}

/// What a check found.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Which stage.
    pub stage: Stage,
    /// What the evidence covers.
    pub covers: Vec<Segment>,
    /// How it came out.
    pub outcome: Outcome,
    /// Why, the most important first.
    pub reasons: Vec<Reason>,
    /// The numbers.
    pub figures: Vec<NamedInterval>,
    /// What this evidence could not have seen; never empty for a pass.
    pub unseen: Vec<String>,
    /// The check's own result, for figures and tables.
    pub detail: Detail,
}

impl Finding {
    /// A finding without numbers or detail.
    pub fn plain(stage: Stage, outcome: Outcome, reasons: Vec<Reason>) -> Self {
        Finding {
            stage,
            covers: Vec::new(),
            outcome,
            reasons,
            figures: Vec::new(),
            unseen: Vec::new(),
            detail: Detail::None,
        }
    }

    /// What ends the work at once and comes before any outcome.
    pub fn stop(&self) -> Option<&Reason> {
        let stops = |reason: &&Reason| tight::reasons::STOPS.contains(&reason.code);
        self.reasons.iter().find(stops)
    }

    /// Whether it says a code.
    pub fn says(&self, code: &str) -> bool {
        self.reasons.iter().any(|r| r.code == code)
    }
}

/// The detailed result of one check.
#[derive(Debug, Clone, PartialEq)]
pub enum Detail {
    /// Nothing beyond the finding.
    None,
    /// Of *joints*.
    Joints(joints::Detail),
    /// Of *tight*.
    Tight(Box<tight::Detail>),
    /// Of *dry*.
    Dry(Box<dry::Detail>),
    /// Of *charge*.
    Charge(charge::Detail),
    /// Of *start*.
    Start(start::Detail),
    /// Of *run*.
    Run(Box<run::Detail>),
}

/// A caution shown where the step is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Caution {
    /// What to mind.
    pub text: &'static str,
    /// Where it comes from.
    pub source: SourceId,
}
