//! *call a technician*: work that takes a certified person, or more than an owner can measure.

use super::Rule;
use crate::check::{Outcome, Stage, joints};
use crate::decide::case::{Case, Place};
use crate::decide::evidence;
use crate::decide::{HowSoon, Meanwhile, Verdict};
use crate::record::EventBody;
use crate::record::{Answer, Person, RepairMethod};
use crate::source::SourceId;

const CALL: Rule = Rule {
    code: "",
    meaning: "",
    source: SourceId::Owner,
    verdict: Verdict::Call,
    meanwhile: Meanwhile::RunWithStopSigns,
    how_soon: HowSoon::WithinDays,
    bring: &[],
    first: &[],
    applies: |_| None,
};

pub(super) const RULES: &[Rule] = &[
    Rule {
        code: "call-opened-after-refrigerant",
        meaning: "The circuit was opened after it held refrigerant: air and water must be assumed inside.",
        source: SourceId::CommonPractice,
        meanwhile: Meanwhile::LeaveOff,
        how_soon: HowSoon::BeforeRunning,
        bring: &[
            "recovery machine and cylinder",
            "dry nitrogen with regulator",
            "vacuum pump and micron gauge",
            "filter drier",
            "scale",
            "the refrigerant on the label",
        ],
        first: &[
            "do not run it, do not pump down",
            "note how long it stood open",
            "photograph the place and the label",
        ],
        applies: opened_after_refrigerant,
        ..CALL
    },
    Rule {
        code: "call-factory-joint",
        meaning: "A joint that the factory made leaks: photograph it and call the warranty desk before anything touches it.",
        meanwhile: Meanwhile::LeaveOff,
        bring: &[
            "detector for this refrigerant",
            "recovery machine and cylinder",
        ],
        first: &[
            "photograph the joint and the serial plate",
            "call the warranty desk before anything touches the joint",
        ],
        applies: |case| {
            case.says(joints::reasons::FACTORY_LEAKING)
                .map(str::to_string)
        },
        ..CALL
    },
    Rule {
        code: "call-charge-lost",
        meaning: "Refrigerant came out: how much is left is not known until it is weighed.",
        bring: &[
            "scale",
            "recovery machine and cylinder",
            "detector for this refrigerant",
            "the refrigerant on the label",
        ],
        first: &[
            "note when it began and when it fell silent",
            "look for oil at the joints",
        ],
        applies: charge_lost,
        ..CALL
    },
    Rule {
        code: "call-brazed-without-nitrogen",
        meaning: "Something was brazed without nitrogen flowing: scale inside blocks the metering device.",
        source: SourceId::CommonPractice,
        meanwhile: Meanwhile::LeaveOff,
        how_soon: HowSoon::BeforeRunning,
        bring: &[
            "filter drier",
            "dry nitrogen with regulator",
            "vacuum pump and micron gauge",
        ],
        first: &["say so to whoever comes: the lines want flushing and a drier"],
        applies: brazed_without_nitrogen,
        ..CALL
    },
    Rule {
        code: "call-technicians-stage",
        meaning: "A stage that is a technician's on this route has no evidence that stands.",
        meanwhile: Meanwhile::LeaveOff,
        how_soon: HowSoon::BeforeRunning,
        bring: &[
            "recovery machine and cylinder",
            "dry nitrogen with regulator",
            "vacuum pump and micron gauge",
            "filter drier",
            "scale",
        ],
        first: &["look for what the record lacks: lineproof check DIR"],
        applies: technicians_stage,
        ..CALL
    },
    Rule {
        code: "call-charge-off",
        meaning: "Refrigerant has to be added, removed or recovered.",
        meanwhile: Meanwhile::LeaveOff,
        how_soon: HowSoon::BeforeRunning,
        bring: &[
            "scale",
            "recovery machine and cylinder",
            "the refrigerant on the label",
        ],
        first: &["read the label and the line lengths once more"],
        applies: |case| first_reason(case, Stage::Charge, Outcome::Fail),
        ..CALL
    },
    Rule {
        code: "call-runs-off",
        meaning: "Superheat or subcooling lies outside its target.",
        how_soon: HowSoon::WithinWeeks,
        bring: &["gauges", "clamp thermometers", "scale"],
        first: &[
            "clean the filter, open every register, wash the outdoor coil",
            "read again in the same way on another day",
        ],
        applies: |case| first_reason(case, Stage::Run, Outcome::Fail),
        ..CALL
    },
    Rule {
        code: "call-evidence-in-conflict",
        meaning: "Two pieces of evidence say the opposite.",
        how_soon: HowSoon::WithinWeeks,
        bring: &["detector for this refrigerant", "gauges", "scale"],
        first: &["look at both readings again: one of them is about something else"],
        applies: conflict,
        ..CALL
    },
    Rule {
        code: "call-reserved-us",
        meaning: "In the United States opening, charging and reading gauges on a charged circuit is work for certified people.",
        source: SourceId::Cfr82F,
        meanwhile: Meanwhile::Run,
        how_soon: HowSoon::WithinWeeks,
        bring: &["certification card"],
        first: &["keep the scale's readings and the cylinder's label"],
        applies: |case| reserved(case, Place::Us),
        ..CALL
    },
    Rule {
        code: "call-reserved-eu",
        meaning: "In the European Union work on a circuit with fluorinated gas is for certified people.",
        source: SourceId::Eu2024573,
        meanwhile: Meanwhile::Run,
        how_soon: HowSoon::WithinWeeks,
        bring: &["certificate"],
        first: &["keep the scale's readings and the cylinder's label"],
        applies: |case| reserved(case, Place::Eu),
        ..CALL
    },
];

/// The first reason of a stage, when it came out so.
pub(super) fn first_reason(case: &Case, stage: Stage, outcome: Outcome) -> Option<String> {
    let finding = case.finding(stage).filter(|f| f.outcome == outcome)?;
    Some(finding.reasons.first().map_or_else(
        || format!("{}: {}", stage.word(), outcome.words()),
        |r| r.text.clone(),
    ))
}

fn opened_after_refrigerant(case: &Case) -> Option<String> {
    let opened = case.opened_after_refrigerant()?;
    Some(format!(
        "the circuit was opened on {} after it held refrigerant: air and water must be assumed inside, and taking them out begins with a recovery",
        opened.at.civil().date()
    ))
}

fn charge_lost(case: &Case) -> Option<String> {
    let released = case
        .since_charge()
        .iter()
        .find(|e| matches!(e.body, EventBody::Released(_)))?;
    Some(format!(
        "refrigerant came out on {}: how much is left is not known until it is recovered and weighed; a pressure says nothing while liquid is left",
        released.at.civil().date()
    ))
}

fn brazed_without_nitrogen(case: &Case) -> Option<String> {
    case.since(|v| v.drier == Answer::Yes).iter().find_map(|e| match &e.body {
        EventBody::Repaired(r) if r.method == RepairMethod::Brazed && r.nitrogen_flowing == Answer::No => Some(format!(
            "a joint was brazed on {} without nitrogen flowing: the scale inside comes loose and blocks the metering device",
            e.at.civil().date()
        )),
        _ => None,
    })
}

/// A stage that is a technician's on this route has no standing evidence, and nothing else says so already.
fn technicians_stage(case: &Case) -> Option<String> {
    if case.opened_after_refrigerant().is_some() {
        return None;
    }
    let due = case
        .findings
        .iter()
        .find(|f| f.says(evidence::TECHNICIANS_WORK))?;
    let why = case.says(evidence::TECHNICIANS_WORK)?;
    Some(format!(
        "{} is {}: {why}",
        due.stage.word(),
        due.outcome.words()
    ))
}

/// A joint that leaks beside a passed pressure test is none: bubbles and detector see less than the test's limit.
fn conflict(case: &Case) -> Option<String> {
    let charged = case.outcome(Stage::Charge) == Outcome::Pass;
    let runs_off = case.outcome(Stage::Run) == Outcome::Fail;
    (charged && runs_off)
        .then(|| "the weighed charge is right, and yet it does not run as charged".into())
}

/// Work done by the owner that the place reserves.
fn reserved(case: &Case, place: Place) -> Option<String> {
    if case.place() != place {
        return None;
    }
    case.since_charge().iter().find_map(|e| match &e.body {
        EventBody::Weighed(w) if w.by == Person::Owner => Some(format!(
            "refrigerant was weighed on {} by the owner: this is work the law leaves to certified people; have it looked at and written down",
            e.at.civil().date()
        )),
        EventBody::Reading(r)
            if r.read_by == Some(Person::Owner) && (r.suction_pressure.is_some() || r.liquid_pressure.is_some()) =>
        {
            Some(format!(
                "gauges were read on {} by the owner: attaching them to a charged circuit is work the law leaves to certified people; pipe probes tell nearly as much",
                e.at.civil().date()
            ))
        }
        _ => None,
    })
}
