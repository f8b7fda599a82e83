//! *stop*: leave it alone, now.

use super::Rule;
use crate::check::{Segment, run, tight};
use crate::decide::case::Case;
use crate::decide::{HowSoon, Meanwhile, Verdict};
use crate::record::EventBody;
use crate::record::{Answer, Position, ReleaseEnd, RepairMethod, Whereabouts};
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
        applies: |case| case.says(tight::reasons::WRONG_GAS).map(str::to_string),
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
        applies: |case| case.says(tight::reasons::OVER_RATING).map(str::to_string),
        ..STOP
    },
    Rule {
        code: "stop-valves-shut-running",
        meaning: "It was started with a service valve shut.",
        source: SourceId::CommonPractice,
        first: &[
            "switch off at the disconnect",
            "open both service valves fully before any new start",
        ],
        applies: valves_shut_running,
        ..STOP
    },
    Rule {
        code: "stop-vacuum-running",
        meaning: "It was started while the lines were under vacuum.",
        source: SourceId::CommonPractice,
        bring: &["megohmmeter", "recovery machine and cylinder"],
        first: &["switch off at the disconnect"],
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
            "open one of the two valves if that can be done without leaning over it",
        ],
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
        applies: |case| {
            case.says(run::reasons::NO_HEAT_REJECTED)
                .map(str::to_string)
        },
        ..STOP
    },
];

fn flammable_indoors(case: &Case) -> Option<String> {
    let released = case
        .since(|v| v.charged.is_some() || v.leak_found != Answer::NotKnown)
        .iter()
        .find(
            |e| matches!(&e.body, EventBody::Released(r) if r.whereabouts == Whereabouts::Indoors),
        )?;
    let name = case.lineset.equipment.refrigerant.as_deref();
    case.may_burn().then(|| match name {
        Some(name) => format!("{name} can burn, and it came out indoors on {}", released.at.civil().date()),
        None => format!("refrigerant came out indoors on {}, and as its name is not known it counts as one that can burn", released.at.civil().date()),
    })
}

fn air_under_compression(case: &Case) -> Option<String> {
    let opened = case.opened_after_refrigerant()?;
    let started = case
        .events
        .iter()
        .find(|e| e.at > opened.at && matches!(e.body, EventBody::Started(_)))?;
    Some(format!(
        "the circuit was opened on {} and started on {} without an evacuation in between: air may be inside, and compressors have burst that way",
        opened.at.civil().date(),
        started.at.civil().date()
    ))
}

fn brazed_with_refrigerant(case: &Case) -> Option<String> {
    case.since_recharge().iter().find_map(|e| match &e.body {
        EventBody::Repaired(r) if r.method == RepairMethod::Brazed && r.refrigerant_present == Answer::Yes => Some(
            format!("the circuit was brazed on {} with refrigerant present: it breaks down to acids in the flame", e.at.civil().date()),
        ),
        _ => None,
    })
}

fn valves_shut_running(case: &Case) -> Option<String> {
    let started = case.running_since()?;
    let (liquid, vapour) = case.valves_at(started);
    let shut = [(liquid, "liquid"), (vapour, "vapour")]
        .into_iter()
        .find(|(p, _)| *p == Some(Position::Shut))?;
    Some(format!(
        "it was started with the {} service valve shut",
        shut.1
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
