//! Evidence in conflict: both sides with their dates, never averaged, and what would settle it.
//!
//! Each asks for no more than the worse of its two sides asks for by itself. So a conflict adds to what is said and
//! to what is to be done, and never makes the better side's getting worse look like an improvement.

use super::Rule;
use crate::check::{Outcome, Segment, Stage, dry};
use crate::decide::case::{Case, Shown};
use crate::decide::{HowSoon, Meanwhile, Verdict};
use crate::record::Person;
use crate::source::SourceId;

const CONFLICT: Rule = Rule {
    code: "",
    meaning: "",
    source: SourceId::Owner,
    verdict: Verdict::Repeat,
    meanwhile: Meanwhile::LeaveOff,
    how_soon: HowSoon::BeforeRunning,
    bring: &[],
    first: &[],
    first_of: |_| None,
    undo: "the worse side taken again after a repair that is written down",
    applies: |_| None,
};

pub(super) const RULES: &[Rule] = &[
    Rule {
        code: "conflict-leak-beside-tight",
        meaning: "A joint was seen to leak, and the standing pressure test passed its limit or the watch is steady.",
        source: SourceId::BubbleSight,
        first: &[
            "take the joint for leaking: bubbles and detector see less than a test or the watch can",
            "make it anew with the pressure off, and look at it again",
        ],
        applies: leak_beside_tight,
        ..CONFLICT
    },
    Rule {
        code: "conflict-rise-beside-pressure",
        meaning: "The vacuum rise shows a leak, and the standing pressure test held.",
        source: SourceId::DryMethod,
        first: &[
            "blank the hoses and the gauge and log their own rise",
            "pump down again and log a longer rise: water levels off, a leak does not",
        ],
        applies: rise_beside_pressure,
        ..CONFLICT
    },
    Rule {
        code: "conflict-two-tests",
        meaning: "Two tests of the same segments disagree, and no repair was written down between them.",
        first: &[
            "write down what was touched between the two, if anything was",
            "hold once more over a day, hoses blanked, with the other gauge",
        ],
        applies: two_tests,
        ..CONFLICT
    },
    Rule {
        code: "conflict-two-looks",
        meaning: "Two looks at the same joint disagree, and it was not made anew between them.",
        first: &[
            "look again with bubbles under pressure for 5 min, out of the wind",
            "a detector near solvent, soap or insulation foam can be wrong; bubbles that grow are not",
        ],
        applies: two_looks,
        ..CONFLICT
    },
];

fn side(shown: &Shown) -> String {
    let whose = match shown.by {
        Person::Owner => "",
        Person::Technician => "a technician's ",
    };
    format!(
        "{whose}{} of {}: {}",
        match shown.stage {
            Stage::Joints => "look",
            Stage::Dry => "vacuum rise",
            _ => "pressure test",
        },
        shown.at.civil().date(),
        shown.outcome.words()
    )
}

/// The latest evidence of a stage that came out so, else the stage's finding.
fn told(case: &Case, stage: Stage, outcome: Outcome) -> String {
    case.shown
        .iter()
        .rev()
        .find(|s| s.stage == stage && s.outcome == outcome)
        .map_or_else(|| format!("{}: {}", stage.word(), outcome.words()), side)
}

fn leak_beside_tight(case: &Case) -> Option<String> {
    if case.outcome(Stage::Joints) != Outcome::Fail {
        return None;
    }
    let steady = [Stage::Tight, Stage::Watch]
        .into_iter()
        .find(|s| case.outcome(*s) == Outcome::Pass)?;
    let leak = case
        .shown
        .iter()
        .rev()
        .find(|s| s.stage == Stage::Joints && s.outcome == Outcome::Fail)?;
    Some(format!(
        "joint {} leaks by a look of {}, and {}: both can be true, as a look sees far less than a test or the watch can, so the leak counts",
        leak.joint.as_deref().unwrap_or("not named"),
        leak.at.civil().date(),
        told(case, steady, Outcome::Pass)
    ))
}

fn rise_beside_pressure(case: &Case) -> Option<String> {
    let rise = case.finding(Stage::Dry)?;
    let leaks = rise.outcome == Outcome::Fail && rise.says(dry::reasons::LEAK);
    let binds = rise
        .reasons
        .iter()
        .find(|r| r.code == dry::reasons::STANDING_BINDS);
    let binds = binds.map_or(String::new(), |r| format!("; {}", r.text));
    (leaks && case.outcome(Stage::Tight) == Outcome::Pass).then(|| {
        format!(
            "{}, and {}: pressure drives the same hole far harder than a vacuum does, so look for the hoses, the gauge's fitting, a seal that opens only under vacuum, or water{binds}",
            told(case, Stage::Dry, Outcome::Fail),
            told(case, Stage::Tight, Outcome::Pass)
        )
    })
}

/// A test that failed and was not touched since, beside one that passed on the same segments.
///
/// A failing test does not say where: whatever was touched of it since may have been the place.
fn two_tests(case: &Case) -> Option<String> {
    let of = |stage, outcome| {
        case.shown
            .iter()
            .filter(move |s| s.stage == stage && s.outcome == outcome)
    };
    [Stage::Tight, Stage::Dry].into_iter().find_map(|stage| {
        of(stage, Outcome::Fail)
            .filter(|failed| failed.whole)
            .find_map(|failed| {
                let passed = of(stage, Outcome::Pass).find(|p| overlap(p, failed))?;
                let (first, second) = if failed.at <= passed.at {
                    (failed, passed)
                } else {
                    (passed, failed)
                };
                Some(format!(
                    "{}, and {}, and no repair is written down between them",
                    side(first),
                    side(second)
                ))
            })
    })
}

fn overlap(one: &Shown, other: &Shown) -> bool {
    one.covers
        .iter()
        .any(|s: &Segment| other.covers.contains(s))
}

fn two_looks(case: &Case) -> Option<String> {
    let looks = || {
        case.shown
            .iter()
            .filter(|s| s.stage == Stage::Joints && s.joint.is_some())
    };
    looks()
        .filter(|s| s.outcome == Outcome::Fail)
        .find_map(|leak| {
            let none = looks().find(|s| s.outcome == Outcome::Pass && s.joint == leak.joint)?;
            Some(format!(
                "joint {}: a look of {} saw a leak, one of {} saw none; the leak counts until the joint is made anew",
                leak.joint.as_deref()?,
                leak.at.civil().date(),
                none.at.civil().date()
            ))
        })
}
