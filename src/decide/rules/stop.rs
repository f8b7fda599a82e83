//! *stop*: leave it alone, now.

use super::Rule;
use crate::check::{Outcome, Segment, Stage, dry, run, tight};
use crate::decide::case::{Air, Case};
use crate::decide::{HowSoon, Meanwhile, Verdict};
use crate::record::EventBody;
use crate::record::{Answer, Position, ReleaseEnd, RepairMethod, TestGas, Whereabouts};
use crate::source::SourceId;

const STOP: Rule = Rule {
    code: "",
    meaning: "",
    source: SourceId::Owner,
    verdict: Verdict::Stop,
    meanwhile: Meanwhile::LeaveOff,
    how_soon: HowSoon::Now,
    bring: &[],
    first: &[],
    first_of: |_| None,
    undo: "a technician's visit",
    applies: |_| None,
};

const EVACUATE: &[&str] = &[
    "recovery machine and cylinder",
    "dry nitrogen with regulator",
    "vacuum pump and micron gauge",
    "filter drier",
    "scale",
];

pub(super) const RULES: &[Rule] = &[
    Rule {
        code: "stop-flammable-indoors",
        meaning: "A refrigerant that can burn came out indoors.",
        source: SourceId::CommonPractice,
        meanwhile: Meanwhile::PowerOff,
        bring: &[
            "detector for this refrigerant",
            "recovery machine and cylinder",
            "fan that cannot spark",
        ],
        first: &[
            "follow the card: lineproof hissing",
            "air the rooms until a detector shows nothing",
        ],
        undo: "a technician's visit that charged or looked for the leak, or the joint mended and looked at again",
        applies: flammable_indoors,
        ..STOP
    },
    Rule {
        code: "stop-air-under-compression",
        meaning: "The compressor ran, or may run, with air possibly inside.",
        source: SourceId::IeaO324,
        meanwhile: Meanwhile::PowerOff,
        bring: EVACUATE,
        first: &[
            "switch off and disconnect; do not pump down",
            "write down how long it ran",
        ],
        undo: "a technician's visit that evacuated and charged by weight",
        applies: air_under_compression,
        ..STOP
    },
    Rule {
        code: "stop-brazed-with-refrigerant",
        meaning: "Something was brazed while refrigerant was present.",
        source: SourceId::CommonPractice,
        meanwhile: Meanwhile::PowerOff,
        bring: &[
            "acid test",
            "recovery machine and cylinder",
            "filter drier",
            "dry nitrogen with regulator",
            "vacuum pump and micron gauge",
        ],
        first: &[
            "air the room: refrigerant in a flame makes acid vapour",
            "do not start it",
        ],
        undo: "a technician's visit that evacuated and charged by weight",
        applies: brazed_with_refrigerant,
        ..STOP
    },
    Rule {
        code: "stop-wrong-test-gas",
        meaning: "Oxygen or air was used as the test gas.",
        source: SourceId::Ashrae15Gas,
        first: &[
            "let the pressure out slowly, outdoors, away from flames",
            "get dry nitrogen and a regulator",
        ],
        undo: "a new test with dry nitrogen: lineproof add DIR pressure-test --gas nitrogen",
        applies: wrong_test_gas,
        ..STOP
    },
    Rule {
        code: "stop-over-rating",
        meaning: "The test pressure is above the nameplate or tube rating.",
        source: SourceId::UnitInstructions,
        first: &[
            "let the pressure down slowly",
            "read the test pressure on the nameplates",
        ],
        undo: "a new test below the lowest rating, with the rated pressures in lineset.toml",
        applies: |case| case.says(tight::reasons::OVER_RATING).map(str::to_string),
        ..STOP
    },
    Rule {
        code: "stop-valves-shut-running",
        meaning: "It was started with a service valve shut, or one was shut while it ran.",
        source: SourceId::CommonPractice,
        first: &[
            "switch off at the disconnect",
            "open both service valves fully before any new start",
        ],
        undo: "the stop, and where the valves stand: lineproof add DIR stopped; lineproof add DIR valve-moved",
        applies: valves_shut_running,
        ..STOP
    },
    Rule {
        code: "stop-vacuum-running",
        meaning: "It was started while the lines were under vacuum.",
        source: SourceId::CommonPractice,
        bring: &["megohmmeter", "recovery machine and cylinder"],
        first: &["switch off at the disconnect"],
        undo: "the stop written down, or the opening of the valves if it came before the start",
        applies: vacuum_running,
        ..STOP
    },
    Rule {
        code: "stop-liquid-trapped",
        meaning: "Liquid may be trapped between two shut valves.",
        source: SourceId::CommonPractice,
        bring: &["recovery machine and cylinder", "gauges"],
        first: &[
            "keep away from the liquid line, keep the sun off it",
            "where nothing leaks, open one of the two valves if that can be done without leaning over it",
        ],
        undo: "one of the two service valves open: lineproof add DIR valve-moved",
        applies: liquid_trapped,
        ..STOP
    },
    Rule {
        code: "stop-liquid-returning",
        meaning: "Liquid refrigerant comes back to the compressor.",
        source: SourceId::CommonPractice,
        bring: &["gauges", "clamp thermometers"],
        first: &[
            "switch off",
            "look at the filter and that air moves through the indoor coil",
        ],
        undo: "a newer reading that says otherwise: lineproof add DIR reading",
        applies: |case| {
            case.says(run::reasons::LIQUID_RETURNING)
                .map(str::to_string)
        },
        ..STOP
    },
    Rule {
        code: "stop-no-heat-rejected",
        meaning: "The condenser gives off no heat: not a matter of charge.",
        source: SourceId::CommonPractice,
        bring: &["gauges", "clamp ammeter"],
        first: &["switch off", "look whether both fans turn"],
        undo: "a newer reading that says otherwise: lineproof add DIR reading",
        applies: |case| {
            case.says(run::reasons::NO_HEAT_REJECTED)
                .map(str::to_string)
        },
        ..STOP
    },
];

fn flammable_indoors(case: &Case) -> Option<String> {
    if !case.may_burn() {
        return None;
    }
    let what = released_indoors(case).or_else(|| leaking_indoors(case))?;
    Some(match case.lineset.equipment.refrigerant.as_deref() {
        Some(name) => format!("{name} can burn, and {what}"),
        None => format!("the refrigerant is not named and counts as one that can burn, and {what}"),
    })
}

fn released_indoors(case: &Case) -> Option<String> {
    let released = case
        .since(|v| v.charged.is_some() || v.leak_found != Answer::NotKnown)
        .iter()
        .find(
            |e| matches!(&e.body, EventBody::Released(r) if r.whereabouts == Whereabouts::Indoors),
        )?;
    Some(format!(
        "it came out indoors on {}",
        released.at.civil().date()
    ))
}

fn leaking_indoors(case: &Case) -> Option<String> {
    case.leaks_of_refrigerant().find_map(|(event, id)| {
        let joint = case.lineset.joint(id)?;
        (joint.segment == Segment::IndoorCoil).then(|| {
            format!(
                "joint {id} at the indoor coil was seen to leak on {}",
                event.at.civil().date()
            )
        })
    })
}

fn air_under_compression(case: &Case) -> Option<String> {
    opened_then_started(case)
        .or_else(|| ran_with_air(case))
        .or_else(|| ran_after_a_leaking_vacuum(case))
}

fn opened_then_started(case: &Case) -> Option<String> {
    let opened = case.opened_after_refrigerant()?;
    let started = case
        .events
        .iter()
        .find(|e| e.at > opened.at && matches!(e.body, EventBody::Started(_)))?;
    Some(format!(
        "the circuit was opened on {} and started on {} before a technician evacuated and charged it: air may be inside, and compressors have burst that way",
        opened.at.civil().date(),
        started.at.civil().date()
    ))
}

/// It ran, or went on running, after air had come in and before an evacuation.
fn ran_with_air(case: &Case) -> Option<String> {
    (case.from_recharge()..case.events.len()).find_map(|at| {
        let event = case.events[at];
        let ran = matches!(event.body, EventBody::Started(_) | EventBody::Reading(_));
        let air = if ran {
            case.air_inside(at)?
        } else {
            case.running_at(at)?;
            match case.air_inside(at + 1)? {
                came @ Air::In(_) => came,
                Air::NeverOut => return None,
            }
        };
        let since = match air {
            Air::NeverOut => "lines that were never evacuated".to_string(),
            Air::In(opening) => format!(
                "air could come in on {} and no evacuation is written down since",
                opening.at.civil().date()
            ),
        };
        Some(format!(
            "it ran on {} ({since}): air may be inside, and compressors have burst that way; do not pump down either",
            event.at.civil().date()
        ))
    })
}

fn ran_after_a_leaking_vacuum(case: &Case) -> Option<String> {
    let rise = case.finding(Stage::Dry)?;
    if rise.outcome != Outcome::Fail || !rise.says(dry::reasons::LEAK) {
        return None;
    }
    let evacuated = case
        .events
        .iter()
        .rposition(|e| matches!(e.body, EventBody::Evacuation(_)))?;
    let started = case.events[evacuated..]
        .iter()
        .find(|e| matches!(e.body, EventBody::Started(_)))?;
    Some(format!(
        "the vacuum rise showed a leak, and it was started on {}: air may be inside, and compressors have burst that way",
        started.at.civil().date()
    ))
}

fn brazed_with_refrigerant(case: &Case) -> Option<String> {
    (case.from_recharge()..case.events.len()).find_map(|at| {
        let event = case.events[at];
        let EventBody::Repaired(repaired) = &event.body else {
            return None;
        };
        if repaired.method != RepairMethod::Brazed {
            return None;
        }
        let date = event.at.civil().date();
        match repaired.refrigerant_present {
            Answer::Yes => Some(format!(
                "the circuit was brazed on {date} with refrigerant present: it breaks down to acids in the flame"
            )),
            Answer::NotKnown if case.holds_refrigerant(at) => Some(format!(
                "the circuit was brazed on {date}, it held refrigerant, and nothing says that it was recovered before: it breaks down to acids in the flame"
            )),
            _ => None,
        }
    })
}

/// What the finding says; or the latest test, where a stage that does not apply is not judged.
fn wrong_test_gas(case: &Case) -> Option<String> {
    if let Some(said) = case.says(tight::reasons::WRONG_GAS) {
        return Some(said.into());
    }
    let latest = case
        .since(|v| v.pressure_held == Answer::Yes || v.evacuated_to.is_some())
        .iter()
        .rev()
        .find_map(|e| match &e.body {
            EventBody::PressureTest(test) => Some((e, test.gas)),
            _ => None,
        })?;
    let (event, gas) = latest;
    matches!(gas, TestGas::Air | TestGas::Oxygen).then(|| {
        format!(
            "the test of {} used {}: with oil inside it can explode",
            event.at.civil().date(),
            gas.word()
        )
    })
}

/// Shut when it was started, or shut now while it runs.
fn valves_shut_running(case: &Case) -> Option<String> {
    let started = case.running_since()?;
    let shut_at = |upto| {
        let (liquid, vapour) = case.valves_at(upto);
        [(liquid, "liquid"), (vapour, "vapour")]
            .into_iter()
            .find(|(p, _)| *p == Some(Position::Shut))
            .map(|(_, name)| name)
    };
    if let Some(name) = shut_at(started) {
        return Some(format!("it was started with the {name} service valve shut"));
    }
    let name = shut_at(case.events.len())?;
    Some(format!(
        "the {name} service valve is shut, and nothing says that it was switched off"
    ))
}

fn vacuum_running(case: &Case) -> Option<String> {
    let started = case.running_since()?;
    let evacuated = case.events[..started]
        .iter()
        .rposition(|e| matches!(e.body, EventBody::Evacuation(_)))?;
    let filled = case.events[evacuated..started]
        .iter()
        .any(|e| match &e.body {
            EventBody::ValveMoved(moved) => moved.to == Position::Open,
            EventBody::Weighed(_) | EventBody::TechnicianVisit(_) => true,
            EventBody::StartChecked(checked) => checked.valves_open == Answer::Yes,
            _ => false,
        });
    (!filled).then(|| "it was started while the lines were under vacuum: no refrigerant was let in after the evacuation".into())
}

/// Both valves shut on lines that had refrigerant, and the lines did not stand open since.
fn liquid_trapped(case: &Case) -> Option<String> {
    let (liquid, vapour) = case.valves_at(case.events.len());
    if liquid != Some(Position::Shut) || vapour != Some(Position::Shut) {
        return None;
    }
    let was_open = case
        .events
        .iter()
        .rposition(|e| matches!(&e.body, EventBody::ValveMoved(m) if m.to == Position::Open))?;
    let emptied = case.events[was_open..]
        .iter()
        .any(|e| empties_the_lines(&e.body));
    (!emptied).then(|| "both service valves are shut on lines that hold refrigerant: liquid trapped between them bursts the line when it warms".into())
}

/// Whether the lines stood open until nothing came out any more; a release that was stopped leaves liquid behind.
fn empties_the_lines(body: &EventBody) -> bool {
    let lines = [
        Segment::LiquidLine,
        Segment::VapourLine,
        Segment::IndoorCoil,
    ];
    match body {
        EventBody::Opened(opened) => opened.segments.iter().any(|s| lines.contains(s)),
        EventBody::Released(released) => {
            released.ended == ReleaseEnd::Silent
                && released.segments.iter().any(|s| lines.contains(s))
        }
        _ => false,
    }
}
