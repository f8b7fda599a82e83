//! From findings and events to one answer: go on, repeat, call a technician, or stop.

mod case;
pub mod evidence;
pub mod hissing;
mod judge;
pub mod place;
pub mod rules;
mod why;
mod would_change;

pub use case::{Case, Shown};
pub use judge::{JudgeError, Judgement, judge, readable};
pub use place::Place;
pub use why::{Belongs, Why, codes, nearest, why};
pub use would_change::{Effort, WouldChange};

use crate::check::{Outcome, Stage, dry};
use crate::record::EventBody;
use crate::source::SourceId;
use would_change::{Joined, would_change};

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
    /// The measurements that could change the answer, the cheapest first; empty when it is final.
    pub would_change: Vec<WouldChange>,
}

/// Signs at which a system that may run in the meantime is switched off at once.
const STOP_SIGNS: &[&str] = &[
    "a hiss, an oil stain, frost on the indoor coil or on the suction line back to the outdoor unit",
    "the outdoor unit trips the breaker, hums without starting, or starts and stops every few minutes",
    "the supply air is no longer cooler (cooling) or warmer (heating) than the return air",
    "a smell of solvent, or headache and dizziness: leave the rooms first",
];

/// Joins every rule that speaks to one answer.
///
/// The most severe verdict, the most careful *meanwhile* and the most pressing *how soon* of all of them win, so a
/// worse finding never gives a kinder answer. Grounds are listed in the order of severity; what is
/// to be repeated waits while a technician is needed, and what comes next while something is to be repeated.
pub fn decide(case: &Case) -> Decision {
    let mut grounds: Vec<Ground> = rules::all().filter_map(|rule| rule.judge(case)).collect();
    grounds.sort_by_key(|g| std::cmp::Reverse(g.verdict));
    let Joined {
        verdict,
        meanwhile,
        how_soon,
    } = Joined::of(case);
    // what to repeat waits while a technician is needed, and what comes next while something is to be repeated
    // but evidence in conflict is always shown
    grounds.retain(|g| g.verdict >= verdict.min(Verdict::Call) || rules::is_conflict(g.code));
    let stages = case.findings.iter().map(|f| (f.stage, f.outcome)).collect();
    Decision {
        verdict,
        meanwhile,
        how_soon,
        headline: headline(verdict, &grounds),
        next: next(case, verdict, &grounds),
        grounds,
        stages,
        stop_signs: if meanwhile == Meanwhile::RunWithStopSigns {
            STOP_SIGNS.to_vec()
        } else {
            Vec::new()
        },
        would_change: would_change(case),
    }
}

fn headline(verdict: Verdict, grounds: &[Ground]) -> String {
    let words = verdict.words();
    let (first, rest) = words.split_at(1);
    let why = grounds
        .first()
        .map_or("the record says nothing yet", |g| g.text.as_str());
    let stop = if why.ends_with(['.', '?', '!']) {
        ""
    } else {
        "."
    };
    format!("{}{rest}: {why}{stop}", first.to_uppercase())
}

/// What to do next: what the leading ground asks for first, then the command that records it.
fn next(case: &Case, verdict: Verdict, grounds: &[Ground]) -> Vec<NextStep> {
    let plain = |text: &&str| NextStep {
        text: (*text).to_string(),
        command: None,
    };
    let mut steps: Vec<NextStep> = grounds
        .first()
        .map_or(Vec::new(), |g| g.first.iter().map(plain).collect());
    steps.extend(when_shut_off(case, grounds.first()));
    let due = case
        .findings
        .iter()
        .find(|f| !matches!(f.outcome, Outcome::Pass | Outcome::DoesNotApply));
    match verdict {
        Verdict::Call | Verdict::Stop => steps.push(NextStep {
            text: "after the visit, write down what was recovered, charged and measured".into(),
            command: Some("lineproof add DIR technician-visit --recovered MASS --charged MASS --evacuated-to VACUUM".into()),
        }),
        Verdict::Repeat | Verdict::GoOn => {
            if let Some(finding) = due {
                steps.push(NextStep { text: format!("record what {} asks for", finding.stage.word()), command: command(finding.stage) });
            }
        }
    }
    steps
}

/// What confirms where the pump was shut off, when only the course of the pressure says so.
fn when_shut_off(case: &Case, ground: Option<&Ground>) -> Option<NextStep> {
    let (command, text) = shut_off_asked(case)?;
    let asked = case.finding(Stage::Dry)?.reasons.first()?;
    ground
        .is_some_and(|g| g.text == asked.text)
        .then(|| NextStep {
            text: text.into(),
            command: Some(command),
        })
}

/// The command that says when the pump was shut off, and what it does, where a rise waits for nothing but that.
fn shut_off_asked(case: &Case) -> Option<(String, &'static str)> {
    let finding = case.finding(Stage::Dry)?;
    let asked = finding.outcome == Outcome::Undecided && finding.says(dry::reasons::SEEMS_SHUT_OFF);
    let mut events = case.events.iter().rev();
    let event = events.find(|e| matches!(e.body, EventBody::Evacuation(_)))?;
    let command = format!(
        "lineproof add DIR corrected --number {} --field isolated_after --to TIME",
        event.number
    );
    asked.then_some((
        command,
        "say when the pump was shut off, counted from the first reading: nothing has to be pumped again for that",
    ))
}

/// The command that records a stage's evidence.
pub fn command(stage: Stage) -> Option<String> {
    let event = match stage {
        Stage::Joints => "joint-checked --joint ID --method bubbles --result no-leak",
        Stage::Tight => "pressure-test --log FILE.csv --covers liquid-line,vapour-line,indoor-coil",
        Stage::Dry => "evacuation --log FILE.csv --covers liquid-line,vapour-line,indoor-coil",
        Stage::Charge => "weighed --mass MASS --direction in --by technician",
        Stage::Start => "start-checked",
        Stage::Run | Stage::Watch => "reading --mode cooling",
    };
    Some(format!("lineproof add DIR {event}"))
}
