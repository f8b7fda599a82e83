//! *call a technician*: work that takes a certified person, or more than an owner can measure.

use jiff::civil::Date;

use super::Rule;
use crate::check::charge::Inside;
use crate::check::{Outcome, Stage, joints};
use crate::decide::case::Case;
use crate::decide::evidence;
use crate::decide::place::{Activity, Place, Who, rule};
use crate::decide::{HowSoon, Meanwhile, Verdict};
use crate::quantity::{Quantity, UnitSystem};
use crate::record::{
    Answer, Direction, Event, EventBody, JointResult, Person, RepairMethod, TestGas, coverage,
};
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
    first_of: |_| None,
    undo: "newer evidence that says otherwise, or a technician's visit",
    applies: |_| None,
};

/// The conflict that is not for the owner to settle.
pub(super) const CONFLICT: &str = "call-evidence-in-conflict";

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
        undo: "a technician's visit that evacuated and charged by weight",
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
            "photograph the joint and the serial plate, and touch nothing",
            "call the warranty desk before anybody touches the joint, above all with heat",
            "keep the record as it is: its order of events is what the desk asks for",
        ],
        undo: "the joint repaired by the warranty's technician and looked at again",
        applies: |case| {
            case.says(joints::reasons::FACTORY_LEAKING)
                .map(str::to_string)
        },
        ..CALL
    },
    Rule {
        code: "call-factory-joint-repaired",
        meaning: "A joint that the factory made was repaired by the owner: the warranty desk has to hear of it before anything else is done.",
        meanwhile: Meanwhile::LeaveOff,
        bring: &["detector for this refrigerant"],
        first: &[
            "do nothing more to the joint",
            "send the warranty desk the record as it is, with photographs from before and after",
        ],
        undo: "a technician's visit that says whether a leak was found: lineproof add DIR technician-visit --leak-found no",
        applies: factory_joint_repaired,
        ..CALL
    },
    Rule {
        code: "call-leak-with-refrigerant",
        meaning: "A joint leaks while refrigerant is inside.",
        source: SourceId::CommonPractice,
        meanwhile: Meanwhile::LeaveOff,
        how_soon: HowSoon::BeforeRunning,
        bring: &[
            "detector for this refrigerant",
            "recovery machine and cylinder",
            "scale",
        ],
        first: &[
            "air the place, keep flames away",
            "a nut or cap made to be tightened: once, to the torque of the instructions, then look again",
            "open nothing: what is inside has to be recovered first",
        ],
        undo: "the joint mended and looked at again without a leak, or a technician's visit",
        applies: leak_with_refrigerant,
        ..CALL
    },
    Rule {
        code: "call-test-gas-in-charge",
        meaning: "Test gas was put into a circuit that held refrigerant.",
        source: SourceId::HeldCircuitRoute,
        meanwhile: Meanwhile::LeaveOff,
        how_soon: HowSoon::BeforeRunning,
        bring: &[
            "recovery machine and cylinder",
            "vacuum pump and micron gauge",
            "scale",
            "the refrigerant on the label",
        ],
        first: &[
            "do not run it: a gas that does not condense raises the pressure",
            "do not let the mixture out",
        ],
        undo: "a technician's visit that evacuated and charged by weight",
        applies: test_gas_in_charge,
        ..CALL
    },
    Rule {
        code: "call-watch-losing",
        meaning: "The readings over the seasons say that the charge goes down.",
        how_soon: HowSoon::WithinWeeks,
        bring: &["detector for this refrigerant", "scale", "gauges"],
        first: &["look at every joint for oil, then with a detector in still air"],
        applies: |case| first_reason(case, Stage::Watch, Outcome::Fail),
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
        undo: "a technician's visit that charged by weight",
        applies: charge_lost,
        ..CALL
    },
    Rule {
        code: "call-charge-lost-little",
        meaning: "Refrigerant came out, and at most a tenth of what belongs in can be gone: it may run until it is weighed.",
        how_soon: HowSoon::WhenConvenient,
        bring: &[
            "scale",
            "recovery machine and cylinder",
            "detector for this refrigerant",
            "the refrigerant on the label",
        ],
        first: &[
            "look for oil at the joints, now and after a week of running",
            "write down when it was switched on",
        ],
        undo: "a technician's visit that charged by weight",
        applies: charge_lost_little,
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
        undo: "a technician's visit that fitted a drier",
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
        undo: "a technician's visit that says what was tested, evacuated and charged",
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
        undo: "a technician's visit that charged by weight, or label, lengths and factor put right in lineset.toml",
        applies: charge_off,
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
        undo: "a newer reading inside its target: lineproof add DIR reading",
        applies: |case| first_reason(case, Stage::Run, Outcome::Fail),
        ..CALL
    },
    Rule {
        code: CONFLICT,
        meaning: "Two pieces of evidence say the opposite.",
        how_soon: HowSoon::WithinWeeks,
        bring: &["detector for this refrigerant", "gauges", "scale"],
        first: &["look at both readings again: one of them is about something else"],
        undo: "newer evidence for one of the two stages",
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
        undo: "a technician's visit that charged by weight",
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
        undo: "a technician's visit that charged by weight",
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
    let day = released_on(case)?;
    let Some(inside) = case.inside() else {
        return Some(format!(
            "refrigerant came out on {day}: how much is left is not known until it is recovered and weighed; a pressure says nothing while liquid is left"
        ));
    };
    // all of the interval is right, or so near that the next rule speaks
    if case.outcome(Stage::Charge) == Outcome::Pass || case.hardly_any_gone() {
        return None;
    }
    Some(format!(
        "refrigerant came out on {day}: {}; only recovering and weighing it tells more, a pressure says nothing while liquid is left",
        amount(inside)
    ))
}

fn charge_lost_little(case: &Case) -> Option<String> {
    let inside = case.inside().filter(|_| case.hardly_any_gone())?;
    Some(format!(
        "refrigerant came out on {}: {}; {:.0} % or more of what belongs in is there, so it may run until somebody weighs it",
        released_on(case)?,
        amount(inside),
        (100.0 * inside.joined.low95.si()).floor()
    ))
}

fn released_on(case: &Case) -> Option<Date> {
    let released = |e: &&&Event| matches!(e.body, EventBody::Released(_));
    let event = case.since_charge().iter().find(released)?;
    Some(event.at.civil().date())
}

/// "the charge is 0.4 lb low, could be 0 to 0.9 lb", in both systems.
fn amount(inside: &Inside) -> String {
    let words = |system| inside.joined.words(system);
    format!(
        "the charge is {} ({})",
        words(UnitSystem::Us),
        words(UnitSystem::Si)
    )
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

/// The weighed charge and the running readings say the opposite, either way round.
fn conflict(case: &Case) -> Option<String> {
    let weighed = latest(case, |b| match b {
        EventBody::Weighed(_) => true,
        EventBody::TechnicianVisit(v) => v.charged.is_some(),
        _ => false,
    });
    let read = latest(case, |b| matches!(b, EventBody::Reading(_)));
    match (case.outcome(Stage::Charge), case.outcome(Stage::Run)) {
        (Outcome::Pass, Outcome::Fail) => Some(format!(
            "the charge{weighed} is right by weight, and the reading{read} says that it does not run as charged: airflow and the metering device come before the charge"
        )),
        (Outcome::Fail, Outcome::Pass) => Some(format!(
            "the charge{weighed} is off by weight, and the reading{read} says that it runs as charged: the notes of the scale come before the charge"
        )),
        _ => None,
    }
}

/// " of 2026-05-04", when there is such an event.
fn latest(case: &Case, which: impl Fn(&EventBody) -> bool) -> String {
    case.events
        .iter()
        .rev()
        .find(|e| which(&e.body))
        .map_or_else(String::new, |e| format!(" of {}", e.at.civil().date()))
}

fn charge_off(case: &Case) -> Option<String> {
    let said = first_reason(case, Stage::Charge, Outcome::Fail)?;
    Some(format!(
        "{said}; {}",
        rule(case.place(), Activity::Charge).cite()
    ))
}

fn leak_with_refrigerant(case: &Case) -> Option<String> {
    let (event, joint) = case.leaks_of_refrigerant().next()?;
    Some(format!(
        "joint {joint} was seen to leak on {} with refrigerant inside: whatever opens it begins with a recovery",
        event.at.civil().date()
    ))
}

fn test_gas_in_charge(case: &Case) -> Option<String> {
    (case.from_recharge()..case.events.len()).find_map(|at| {
        let event = case.events[at];
        let EventBody::PressureTest(test) = &event.body else {
            return None;
        };
        let filled = !matches!(test.gas, TestGas::Refrigerant | TestGas::NotKnown)
            && test.covers.iter().any(|s| coverage::CIRCUIT.contains(s));
        (filled && case.holds_refrigerant(at)).then(|| {
            format!(
                "{} was put on {} into a circuit that held refrigerant: it does not condense, and only a recovery and an evacuation take it out",
                test.gas.word(),
                event.at.civil().date()
            )
        })
    })
}

/// What the record shows of the order of events, as the warranty desk will read it.
fn factory_joint_repaired(case: &Case) -> Option<String> {
    let from = case.events.len() - case.since(|v| v.leak_found != Answer::NotKnown).len();
    let (at, id, method) = (from..case.events.len()).find_map(|at| {
        let EventBody::Repaired(repaired) = &case.events[at].body else {
            return None;
        };
        let id = repaired.joint.as_deref()?;
        let factory = case.lineset.joint(id).is_some_and(|j| j.factory);
        (factory && repaired.method != RepairMethod::Tightened).then_some((at, id, repaired.method))
    })?;
    let before = &case.events[..at];
    let leak = before.iter().rfind(|e| about(e, id));
    let seen = leak.map_or_else(
        || "no leak there is on record before that".to_string(),
        |e| format!("a leak there is on record from {}", e.at.civil().date()),
    );
    let photographed = before.iter().any(|e| about(e, id) && !e.photos.is_empty());
    let how = if method == RepairMethod::Brazed {
        "with heat"
    } else {
        "by hand"
    };
    Some(format!(
        "factory joint {id} was repaired {how} on {}; {seen}, {} of it: a warranty may be refused for a joint that was touched first, so call the desk and show the order of events as it is",
        case.events[at].at.civil().date(),
        if photographed {
            "with a photograph"
        } else {
            "and no photograph"
        }
    ))
}

/// Whether an event says that a joint leaks.
fn about(event: &Event, id: &str) -> bool {
    match &event.body {
        EventBody::JointChecked(c) => c.joint == id && c.result == JointResult::Leak,
        EventBody::Released(r) => r.joint.as_deref() == Some(id),
        _ => false,
    }
}

/// Work done by the owner that the place reserves, or of which this program does not know who may do it.
pub(super) fn reserved(case: &Case, place: Place) -> Option<String> {
    if case.place() != place {
        return None;
    }
    case.since_charge().iter().find_map(|event| {
        let activity = of_the_owner(case, event)?;
        let rule = rule(place, activity);
        let then = match rule.who {
            Who::Ask => "ask before the next step, and write the answer down",
            Who::Certified | Who::Nobody => "have it looked at and written down",
        };
        Some(format!(
            "{} on {} by the owner: {}; {then}",
            activity.done(),
            event.at.civil().date(),
            rule.cite()
        ))
    })
}

/// What an owner did on purpose that a place may reserve; what a technician did stands in the visit.
fn of_the_owner(case: &Case, event: &Event) -> Option<Activity> {
    let at = case.events.iter().position(|e| e.number == event.number)?;
    match &event.body {
        EventBody::Weighed(w) if w.by == Person::Owner => Some(match w.direction {
            Direction::In => Activity::Charge,
            Direction::Out => Activity::Recover,
        }),
        EventBody::Reading(r)
            if r.read_by == Some(Person::Owner)
                && (r.suction_pressure.is_some() || r.liquid_pressure.is_some()) =>
        {
            Some(Activity::AttachGauges)
        }
        EventBody::Opened(o) if o.held_refrigerant == Answer::Yes => Some(Activity::OpenCircuit),
        EventBody::Repaired(r)
            if r.method == RepairMethod::Brazed && case.holds_refrigerant(at) =>
        {
            Some(Activity::BrazeCharged)
        }
        _ => None,
    }
}
