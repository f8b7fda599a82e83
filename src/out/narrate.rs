//! An event of the record in a sentence.

use super::assemble::segments;
use crate::record::{
    Answer, AsTyped, Evacuation, Event, EventBody, Position, PressureTest, Reading, ReleaseEnd,
    Released, Repaired, TechnicianVisit, Weighed, Whereabouts,
};

/// What happened, in a sentence without its date.
pub(super) fn narrate(event: &Event) -> String {
    let told = match &event.body {
        EventBody::JointMade(made) => {
            let torque = made
                .torque
                .as_ref()
                .map(|t| format!(", wrench at {}", t.text()));
            let adapter = if made.adapter.is_some() {
                " with an adapter"
            } else {
                ""
            };
            format!(
                "joint {} made up{}{adapter}",
                made.joint,
                torque.unwrap_or_default()
            )
        }
        EventBody::JointChecked(checked) => {
            format!(
                "joint {} looked at with {}: {}",
                checked.joint,
                checked.method.word(),
                plain(checked.result.word())
            )
        }
        EventBody::PressureTest(test) => pressure_test(test),
        EventBody::Evacuation(evacuation) => evacuated(evacuation),
        EventBody::ValveMoved(moved) => {
            format!("{} valve {}", plain(moved.valve.word()), stands(moved.to))
        }
        EventBody::PumpValveMoved(moved) => {
            format!("valve to the vacuum pump {}", stands(moved.to))
        }
        EventBody::Opened(opened) => {
            let held = match opened.held_refrigerant {
                Answer::Yes => ", after it held refrigerant",
                Answer::No => ", no refrigerant in it",
                Answer::NotKnown => "",
            };
            let why = opened.why.as_ref().map(|w| format!(": {w}"));
            format!(
                "opened at {}{held}{}",
                segments(&opened.segments),
                why.unwrap_or_default()
            )
        }
        EventBody::Repaired(repaired) => repair(repaired),
        EventBody::Released(released) => release(released),
        EventBody::Weighed(weighed) => weigh(weighed),
        EventBody::StartChecked(_) => "the gate before switching on was gone through".into(),
        EventBody::Started(started) => format!("switched on, {}", started.mode.word()),
        EventBody::Stopped(stopped) => {
            format!(
                "switched off{}",
                stopped
                    .why
                    .as_ref()
                    .map(|w| format!(": {w}"))
                    .unwrap_or_default()
            )
        }
        EventBody::Reading(reading) => read(reading),
        EventBody::TechnicianVisit(visit) => visited(visit),
        EventBody::Changed(changed) => format!(
            "{} changed from {} to {}",
            changed.field,
            changed.from.as_deref().unwrap_or("not known"),
            changed.to.as_deref().unwrap_or("not known")
        ),
        EventBody::Corrected(corrected) => format!(
            "event {} corrected: {} was {}, and is {}",
            corrected.number,
            corrected.field,
            corrected.from.as_deref().unwrap_or("not known"),
            corrected.to.as_deref().unwrap_or("not known")
        ),
    };
    match &event.note {
        Some(note) => format!("{told} (\"{note}\")"),
        None => told,
    }
}

fn stands(to: Position) -> &'static str {
    match to {
        Position::Open => "opened",
        Position::Shut => "shut",
    }
}

fn plain(word: &str) -> String {
    word.replace('-', " ")
}

fn text<Q>(name: &str, typed: Option<&AsTyped<Q>>) -> Option<String> {
    typed.map(|t| format!("{name} {}", t.text()))
}

fn joined(parts: impl IntoIterator<Item = Option<String>>) -> String {
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

fn pressure_test(test: &PressureTest) -> String {
    let at = test
        .test_pressure
        .as_ref()
        .map(|p| format!(" at {}", p.text()))
        .unwrap_or_default();
    let from = match &test.log {
        Some(log) => format!("logged in {}", log.file),
        None => format!("{} readings", test.readings.len()),
    };
    format!(
        "standing pressure test with {}{at} on {}, {from}",
        plain(test.gas.word()),
        segments(&test.covers)
    )
}

fn evacuated(evacuation: &Evacuation) -> String {
    let from = match &evacuation.log {
        Some(log) => format!("logged in {}", log.file),
        None => format!("{} readings", evacuation.readings.len()),
    };
    let pumped = evacuation.pump_down.as_ref();
    let pumped = pumped.map(|log| format!(", its pump-down in {}", log.file));
    format!(
        "evacuation and vacuum rise on {}, {from}{}",
        segments(&evacuation.covers),
        pumped.unwrap_or_default()
    )
}

fn repair(repaired: &Repaired) -> String {
    let what = repaired
        .joint
        .clone()
        .unwrap_or_else(|| segments(&repaired.segments));
    let nitrogen = match repaired.nitrogen_flowing {
        Answer::Yes => ", nitrogen flowing",
        Answer::No => ", without nitrogen",
        Answer::NotKnown => "",
    };
    format!(
        "{what} repaired: {}{nitrogen}",
        plain(repaired.method.word())
    )
}

fn release(released: &Released) -> String {
    let place = match released.whereabouts {
        Whereabouts::Indoors => " indoors",
        Whereabouts::Outdoors => " outdoors",
        Whereabouts::NotKnown => "",
    };
    let lasted = released
        .lasted
        .as_ref()
        .map(|d| format!(" for {}", d.text()))
        .unwrap_or_default();
    let ended = match released.ended {
        ReleaseEnd::Silent => ", until it fell silent",
        ReleaseEnd::ValveShut => ", until a valve was shut",
        ReleaseEnd::Tightened => ", until the joint was tightened",
        ReleaseEnd::NotKnown => "",
    };
    format!(
        "refrigerant came out{place} at {}{lasted}{ended}",
        segments(&released.segments)
    )
}

fn weigh(weighed: &Weighed) -> String {
    let direction = weighed.direction.word();
    let by = weighed.by.word();
    let shown = match (&weighed.cylinder_before, &weighed.cylinder_after) {
        (Some(before), Some(after)) => format!(
            "weighed {direction} by the {by}: cylinder {} before, {} afterwards",
            before.text(),
            after.text()
        ),
        _ => {
            let mass = weighed.mass.as_ref().map_or("", |mass| mass.text());
            format!("{mass} weighed {direction} by the {by}")
        }
    };
    let zero = weighed.zero_after.as_ref();
    let zero = zero.map(|zero| format!(", zero {} afterwards", zero.text()));
    let hose = weighed.hose.as_ref().map(|hose| {
        format!(
            ", a hose of {} with {} bore left full",
            hose.length.text(),
            hose.bore.text()
        )
    });
    format!(
        "{shown}{}{}",
        zero.unwrap_or_default(),
        hose.unwrap_or_default()
    )
}

fn read(reading: &Reading) -> String {
    let numbers = joined([
        text("suction", reading.suction_pressure.as_ref()),
        text("suction line", reading.suction_line.as_ref()),
        text("liquid side", reading.liquid_pressure.as_ref()),
        text("liquid line", reading.liquid_line.as_ref()),
        text("evaporator bend", reading.evaporator_bend.as_ref()),
        text("condenser bend", reading.condenser_bend.as_ref()),
        text("outdoor", reading.outdoor.as_ref()),
        text("return air", reading.return_air.as_ref()),
        text("return wet bulb", reading.return_wet_bulb.as_ref()),
        text("supply air", reading.supply_air.as_ref()),
        text("supply wet bulb", reading.supply_wet_bulb.as_ref()),
        text("airflow", reading.airflow.as_ref()),
        text("air leaving outdoors", reading.leaving_air.as_ref()),
        text("discharge line", reading.discharge_line.as_ref()),
        text("current", reading.current.as_ref()),
    ]);
    let logged = reading
        .log
        .as_ref()
        .map(|log| format!("logged in {}", log.file));
    let told = joined([logged, (!numbers.is_empty()).then_some(numbers)]);
    format!("read while {}: {told}", reading.mode.word())
}

fn visited(visit: &TechnicianVisit) -> String {
    let yes = |answer: Answer, words: &str| (answer == Answer::Yes).then(|| words.to_string());
    let did = joined([
        text("recovered", visit.recovered.as_ref()),
        yes(visit.repaired, "repaired"),
        yes(visit.pressure_held, "pressure held"),
        yes(visit.drier, "new drier"),
        text("evacuated to", visit.evacuated_to.as_ref()),
        text("charged", visit.charged.as_ref()),
    ]);
    if did.is_empty() {
        "a technician was there".into()
    } else {
        format!("a technician was there: {did}")
    }
}
