//! *repeat* and *go on*: what the owner does.

use super::call::{first_reason, reserved};
use super::{Rule, dry};
use crate::check::{Outcome, Stage, charge, tight};
use crate::decide::case::Case;
use crate::decide::place::{Activity, Place, rule};
use crate::decide::{HowSoon, Meanwhile, Verdict};
use crate::record::{Answer, EventBody, RepairMethod};
use crate::source::SourceId;

const REPEAT: Rule = Rule {
    code: "",
    meaning: "",
    source: SourceId::Owner,
    verdict: Verdict::Repeat,
    meanwhile: Meanwhile::LeaveOff,
    how_soon: HowSoon::BeforeRunning,
    bring: &[],
    first: &[],
    first_of: |_| None,
    undo: "newer evidence for the stage",
    applies: |_| None,
};

const GO_ON: Rule = Rule {
    verdict: Verdict::GoOn,
    how_soon: HowSoon::WhenConvenient,
    ..REPEAT
};

/// There is evidence, and it decides nothing.
const OPEN: &[Outcome] = &[Outcome::Undecided, Outcome::NotValidNow, Outcome::OutOfDate];

pub(super) const RULES: &[Rule] = &[
    Rule {
        code: "repeat-joints",
        meaning: "A joint leaks or is not made up right.",
        first: &[
            "let the pressure out before a joint is touched",
            "make the joint anew, to the torque in the instructions",
        ],
        applies: |case| due(case, Stage::Joints, &[Outcome::Fail]),
        ..REPEAT
    },
    Rule {
        code: "repeat-joints-unproven",
        meaning: "A joint has not been looked at, or not since it was last touched.",
        first: &["soap every joint under test pressure and wait: small bubbles take minutes"],
        applies: |case| due(case, Stage::Joints, OPEN),
        ..REPEAT
    },
    Rule {
        code: "repeat-tight",
        meaning: "The line set loses gas.",
        first: &[
            "soap every joint under pressure, hoses and gauge too",
            "let the pressure out before a joint is touched",
        ],
        applies: |case| due(case, Stage::Tight, &[Outcome::Fail]),
        ..REPEAT
    },
    Rule {
        code: "repeat-tight-leak-seen",
        meaning: "The test passes its limit, and still a leak is seen.",
        first: &["soap every joint again, hoses and gauge too"],
        applies: |case| {
            (case.outcome(Stage::Tight) == Outcome::Pass)
                .then(|| case.says(tight::reasons::LEAK_SEEN))?
                .map(str::to_string)
        },
        ..REPEAT
    },
    Rule {
        code: "repeat-tight-code-rule",
        meaning: "The test passes its limit, but not the code rule with temperature taken out, or not as the rule asks for it.",
        source: SourceId::Iec60335FieldTest,
        first: &[
            "hold at the pressure and at least as long as the rule asks, with a gauge fine enough for it",
        ],
        applies: |case| {
            let pass = case.outcome(Stage::Tight) == Outcome::Pass;
            let said = case
                .says(tight::reasons::CODE_RULE_NOT_MET)
                .or_else(|| case.says(tight::reasons::CODE_RULE_LOW))
                .or_else(|| case.says(tight::reasons::CODE_RULE_COARSE))
                .or_else(|| case.says(tight::reasons::CODE_RULE_SHORT));
            pass.then_some(said)?.map(str::to_string)
        },
        ..REPEAT
    },
    Rule {
        code: "repeat-tight-undecided",
        meaning: "The standing pressure test has not decided, or something was touched since.",
        first: &[
            "leave it standing, untouched",
            "hang a second thermometer where the lines run",
        ],
        applies: |case| due(case, Stage::Tight, OPEN),
        ..REPEAT
    },
    Rule {
        code: "repeat-dry",
        meaning: "The vacuum rise failed: a leak or moisture.",
        first: &[
            "blank the hoses and see whether they leak by themselves",
            "a leak: back to the standing pressure test; moisture: pump longer and warmer, break the vacuum with dry nitrogen",
        ],
        first_of: dry::first,
        applies: |case| due(case, Stage::Dry, &[Outcome::Fail]),
        ..REPEAT
    },
    Rule {
        code: "repeat-dry-undecided",
        meaning: "The vacuum rise has not decided, or something was touched since.",
        first: &["pump down again and leave it shut off for longer"],
        first_of: dry::first,
        applies: |case| due(case, Stage::Dry, OPEN),
        ..REPEAT
    },
    Rule {
        code: "repeat-charge-open",
        meaning: "What was weighed does not decide, or something was touched since.",
        first: &[
            "read the scale with the cylinder on it before and after",
            "write down label, lengths and factor",
        ],
        applies: |case| {
            // hardly any gone has a rule of its own
            let open = due(case, Stage::Charge, OPEN)?;
            (!case.hardly_any_gone()).then_some(open)
        },
        ..REPEAT
    },
    Rule {
        code: "repeat-start",
        meaning: "Something in the gate before switching on is not right or not looked at.",
        first: &["go through the gate again: lineproof add DIR start-checked"],
        applies: |case| {
            due(case, Stage::Start, &[Outcome::Fail]).or_else(|| due(case, Stage::Start, OPEN))
        },
        ..REPEAT
    },
    Rule {
        code: "repeat-run",
        meaning: "The running readings do not decide, mean nothing under these conditions, or are out of date.",
        meanwhile: Meanwhile::RunWithStopSigns,
        how_soon: HowSoon::WithinWeeks,
        first: &["read again after 15 min of steady running, on a day within the conditions"],
        applies: |case| due(case, Stage::Run, OPEN),
        ..REPEAT
    },
    Rule {
        code: "repeat-nitrogen-asked",
        meaning: "Something was brazed, and it is not known whether nitrogen flowed.",
        source: SourceId::CommonPractice,
        first: &[
            "ask whoever brazed it, and write down the answer: without nitrogen there is scale inside",
        ],
        undo: "a technician's visit that fitted a drier, or the event written down with the answer",
        applies: nitrogen_asked,
        ..REPEAT
    },
    Rule {
        code: "repeat-ask-the-place",
        meaning: "Work was done that many places leave to certified people, and no rule of this place is known here.",
        source: SourceId::PlaceNotKnown,
        meanwhile: Meanwhile::Run,
        how_soon: HowSoon::WithinWeeks,
        first: &[
            "ask the authority for refrigerants, or a certified technician, who may do this where you live",
        ],
        undo: "a technician's visit that charged by weight, or country set to US or EU where that is the place",
        applies: |case| reserved(case, Place::Elsewhere),
        ..REPEAT
    },
    Rule {
        code: "go-on-charge-to-add",
        meaning: "The lines are ready, and refrigerant is to be added for their length.",
        source: SourceId::UnitInstructions,
        bring: &["scale", "the refrigerant on the label"],
        first: &["check label, line lengths and factor"],
        undo: "the mass weighed in: lineproof add DIR weighed --mass MASS --direction in --by technician",
        applies: charge_to_add,
        ..GO_ON
    },
    Rule {
        code: "go-on-not-ready",
        meaning: "The next stage before it may run is due.",
        undo: "the next stage's evidence",
        applies: |case| {
            let next = next_before_start(case).filter(|_| charge_to_add(case).is_none())?;
            Some(format!("next is {}: {}", next.word(), next.question()))
        },
        ..GO_ON
    },
    Rule {
        code: "go-on-run",
        meaning: "It is ready and may run; the readings of the running system are due.",
        meanwhile: Meanwhile::RunWithStopSigns,
        undo: "the first reading: lineproof add DIR reading",
        applies: |case| {
            let ready =
                next_before_start(case).is_none() && case.outcome(Stage::Run) == Outcome::NotDone;
            ready.then(|| {
                "it is ready: switch it on, and read it after 15 min of steady running".into()
            })
        },
        ..GO_ON
    },
    Rule {
        code: "go-on-watch",
        meaning: "Every stage of the route that applies has passed; the same readings over the seasons keep watch.",
        meanwhile: Meanwhile::Run,
        undo: "any event that touches the circuit",
        applies: |case| {
            let runs = matches!(
                case.outcome(Stage::Run),
                Outcome::Pass | Outcome::DoesNotApply
            );
            (next_before_start(case).is_none() && runs)
                .then(|| "every stage that applies has passed: keep watch with the same readings after a day, a week, a season".into())
        },
        ..GO_ON
    },
];

fn nitrogen_asked(case: &Case) -> Option<String> {
    case.since(|v| v.drier == Answer::Yes)
        .iter()
        .find_map(|e| match &e.body {
            EventBody::Repaired(r)
                if r.method == RepairMethod::Brazed && r.nitrogen_flowing == Answer::NotKnown =>
            {
                Some(format!(
                    "a joint was brazed on {}, and it is not known whether nitrogen flowed",
                    e.at.civil().date()
                ))
            }
            _ => None,
        })
}

fn due(case: &Case, stage: Stage, outcomes: &[Outcome]) -> Option<String> {
    outcomes.iter().find_map(|o| first_reason(case, stage, *o))
}

/// What the lines still need, and whose work that is at the place; once everything before it is done.
fn charge_to_add(case: &Case) -> Option<String> {
    (next_before_start(case)? == Stage::Charge).then_some(())?;
    let finding = case.finding(Stage::Charge)?;
    let code = charge::reasons::TO_WEIGH_IN;
    let said = finding.reasons.iter().find(|r| r.code == code)?;
    let place = rule(case.place(), Activity::Charge);
    Some(format!("next is charge: {}; {}", said.text, place.cite()))
}

/// The first stage up to the start that has no evidence yet.
fn next_before_start(case: &Case) -> Option<Stage> {
    [
        Stage::Joints,
        Stage::Tight,
        Stage::Dry,
        Stage::Charge,
        Stage::Start,
    ]
    .into_iter()
    .find(|s| case.outcome(*s) == Outcome::NotDone)
}
