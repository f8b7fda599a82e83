//! A vacuum rise beside the standing pressure test of the same lines: which of the two saw the smaller hole.

use lineproof::check::dry::reasons;
use lineproof::check::{Finding, Outcome, Segment, Stage};
use lineproof::decide::{HowSoon, Judgement, Meanwhile, judge};
use lineproof::quantity::UnitSystem;
use lineproof::record::*;

use super::said::world::*;

/// A day and a half at 450 psig, so many tenths lost every four hours.
fn hold(covers: &[Segment], gas: TestGas, tenths: i32) -> EventBody {
    let readings = (0..10).map(|i| TestReading {
        at: None,
        after: Some(typed(&format!("{} h", 4 * i))),
        pressure: typed(&format!("{:.1} psig", 450.0 - f64::from(i * tenths) / 10.0)),
        outdoor: Some(typed("20 C")),
        indoor: None,
    });
    PressureTest {
        gauge: Some("gauge".into()),
        outdoor_share: Some(typed("100 %")),
        covers: covers.to_vec(),
        readings: readings.collect(),
        ..test_with(gas)
    }
    .into()
}

/// Twenty minutes, so many micron more each.
fn rise(covers: &[Segment], slope: f64) -> EventBody {
    let readings = (0..=10).map(|i| VacuumReading {
        at: None,
        after: Some(typed(&format!("{} min", 2 * i))),
        vacuum: typed(&format!("{:.0} micron", 300.0 + slope * f64::from(2 * i))),
        phase: None,
    });
    Evacuation {
        covers: covers.to_vec(),
        gauge: Some("micron".into()),
        readings: readings.collect(),
        ..evacuation()
    }
    .into()
}

pub fn judged(bodies: Vec<EventBody>) -> Judgement {
    let mut lineset = new_flared();
    for (id, kind, resolution) in [
        ("gauge", InstrumentKind::Gauge, "0.1 psi"),
        ("micron", InstrumentKind::VacuumGauge, "1 micron"),
    ] {
        lineset.instruments.push(InstrumentFacts {
            id: id.into(),
            kind,
            accuracy: None,
            resolution: Some(resolution.into()),
            full_scale: None,
        });
    }
    let events = (1..).zip(bodies);
    let record = Record {
        folder: "invented".into(),
        lineset,
        events: events
            .map(|(n, body)| event(n, 3000 * n as i64, body))
            .collect(),
        warnings: Vec::new(),
    };
    judge(&record, UnitSystem::Us).unwrap()
}

pub fn dry(judgement: &Judgement) -> &Finding {
    let found = judgement.findings.iter().find(|f| f.stage == Stage::Dry);
    found.unwrap()
}

fn binds(bodies: Vec<EventBody>) -> Option<String> {
    let judgement = judged(bodies);
    let mut said = dry(&judgement).reasons.iter();
    said.find(|r| r.code == reasons::STANDING_BINDS)
        .map(|r| r.text.clone())
}

fn nitrogen(tenths: i32) -> EventBody {
    hold(&LINES, TestGas::Nitrogen, tenths)
}

#[test]
fn a_standing_test_of_the_same_lines_is_held_beside_the_rise() {
    let said = binds(vec![nitrogen(0), rise(&LINES, 5.0)]).expect("both are there");
    assert!(said.contains("psi/h at 450.0 psig"), "{said}");
    // hoses hold next to nothing
    let hoses = [&LINES[..], &[Segment::Hoses]].concat();
    assert!(binds(vec![nitrogen(0), rise(&hoses, 5.0)]).is_some());
}

/// 60 micron/min is far more than a hole that lost so little under 450 psig lets in, by any law of flow.
#[test]
fn a_tight_hold_binds_over_a_steep_rise_and_the_conflict_says_so() {
    let judgement = judged(vec![nitrogen(0), rise(&LINES, 60.0)]);
    let found = dry(&judgement);
    assert_eq!(found.outcome, Outcome::Fail);
    let ground = judgement
        .decision
        .grounds
        .iter()
        .find(|g| g.code == "conflict-rise-beside-pressure")
        .expect("the two tests disagree");
    assert!(
        ground.text.contains("the standing pressure test binds"),
        "{}",
        ground.text
    );
}

#[test]
fn a_hold_that_was_touched_since_is_left_out() {
    let touched = opened(Answer::No);
    assert_eq!(
        binds(vec![nitrogen(0), touched.into(), rise(&LINES, 5.0)]),
        None
    );
    // nor one that came after the rise: nobody knows what was touched before it
    assert_eq!(binds(vec![rise(&LINES, 5.0), nitrogen(0)]), None);
}

#[test]
fn a_hold_of_other_segments_or_of_another_gas_is_left_out() {
    let part = [Segment::VapourLine];
    let other = hold(&part, TestGas::Nitrogen, 0);
    assert_eq!(binds(vec![other, rise(&LINES, 5.0)]), None);
    let gas = hold(&LINES, TestGas::Argon, 0);
    assert_eq!(binds(vec![gas, rise(&LINES, 5.0)]), None);
    // the rig alone is no test of the lines
    let rig = hold(&[Segment::Hoses], TestGas::Nitrogen, 0);
    assert_eq!(binds(vec![rig, rise(&LINES, 5.0)]), None);
}

#[test]
fn a_hold_that_failed_is_left_out() {
    assert_eq!(binds(vec![nitrogen(80), rise(&LINES, 5.0)]), None);
}

/// Half an hour in which the pump pulled for the first ten minutes.
fn pumped(isolated_after: Option<&str>) -> EventBody {
    let micron = |m: f64| match m {
        m if m < 10.0 => 300.0 + 9000.0 * (-m).exp(),
        m => 290.0 + 2.0 * (m - 10.0),
    };
    let readings = (0..=30).map(|m| VacuumReading {
        at: None,
        after: Some(typed(&format!("{m} min"))),
        vacuum: typed(&format!("{:.0} micron", micron(f64::from(m)))),
        phase: None,
    });
    Evacuation {
        gauge: Some("micron".into()),
        isolated_after: isolated_after.map(typed),
        readings: readings.collect(),
        ..evacuation()
    }
    .into()
}

fn asks_when(judgement: &Judgement) -> bool {
    let steps = judgement.decision.next.iter();
    let mut commands = steps.filter_map(|step| step.command.as_deref());
    commands.any(|c| c.ends_with("corrected --number 2 --field isolated_after --to TIME"))
}

#[test]
fn a_pump_that_still_pulled_is_never_judged_and_the_next_step_asks_when_it_was_shut_off() {
    let judgement = judged(vec![nitrogen(0), pumped(None)]);
    let found = dry(&judgement);
    assert_eq!(found.outcome, Outcome::Undecided);
    assert!(found.says(reasons::SEEMS_SHUT_OFF), "{:#?}", found.reasons);
    assert!(asks_when(&judgement), "{:#?}", judgement.decision.next);
    assert_eq!(judgement.decision.meanwhile, Meanwhile::LeaveOff);

    let judgement = judged(vec![nitrogen(0), pumped(Some("10 min"))]);
    let found = dry(&judgement);
    assert!(found.says(reasons::ISOLATED_FROM), "{:#?}", found.reasons);
    assert!(!found.says(reasons::SEEMS_SHUT_OFF) && !found.says(reasons::PUMPING));
    assert!(!asks_when(&judgement));
}

/// What stands in the way of a verdict names the next step; the set stays off in any case.
#[test]
fn the_next_step_after_a_rise_is_that_of_what_it_showed() {
    use Outcome::{Fail, Undecided};
    let first = |outcome, code| {
        let world = World::all_well(new_flared());
        // beside a test that held, a leak is a conflict
        let world = world.with(Stage::Tight, Outcome::NotDone);
        let decision = world.saying(Stage::Dry, outcome, code).decision();
        assert_eq!(decision.meanwhile, Meanwhile::LeaveOff, "{code}");
        assert_eq!(decision.how_soon, HowSoon::BeforeRunning, "{code}");
        let steps = decision.next.iter().map(|step| step.text.clone());
        (steps.collect::<Vec<_>>().join("; "), decision)
    };
    for (outcome, code, words) in [
        (Fail, reasons::LEAK, "back to the standing pressure test"),
        (
            Fail,
            reasons::MOISTURE,
            "break the vacuum with dry nitrogen",
        ),
        (Fail, reasons::RULE_NOT_MET, "a leak: back to"),
        (Undecided, reasons::PUMPING, "shut the valve to the pump"),
        (
            Undecided,
            reasons::STEP,
            "every valve, hose and the gauge left alone",
        ),
        (
            Undecided,
            reasons::GAUGES_ACROSS,
            "side by side on the pump",
        ),
        (Undecided, reasons::COARSE_GAUGE, "shows single micron"),
        (Undecided, reasons::CEILING_SEEN, "below its ceiling"),
        (Undecided, reasons::STARTED_HIGH, "pump deeper before"),
        (Undecided, reasons::WAIT, "leave it shut off for longer"),
    ] {
        let (said, _) = first(outcome, code);
        assert!(said.contains(words), "{code}: {said}");
    }
    // a coarse gauge stays coarse however long it is held, and a leak is not dried
    assert!(
        !first(Undecided, reasons::COARSE_GAUGE)
            .0
            .contains("for longer")
    );
    assert!(!first(Fail, reasons::LEAK).0.contains("dry nitrogen"));
    assert!(!first(Fail, reasons::MOISTURE).0.contains("soap"));
    // touched since: what it showed then says nothing of what to do now
    let (said, _) = first(Outcome::OutOfDate, reasons::COARSE_GAUGE);
    assert!(
        said.contains("once the lines hold pressure again"),
        "{said}"
    );
    // a rise that passes asks for nothing of the kind
    let world = World::all_well(new_flared());
    let decision = world
        .saying(Stage::Dry, Outcome::Pass, reasons::GAUGES_DISAGREE)
        .decision();
    assert!(decision.next.iter().all(|step| !step.text.contains("pump")));
}

#[test]
fn an_open_rise_names_the_test_that_saw_the_smaller_hole_and_the_minutes() {
    let open = judged(vec![nitrogen(0), short()]);
    assert_eq!(dry(&open).outcome, Outcome::Undecided);
    let changes = open.decision.would_change.iter();
    let said: Vec<_> = changes.map(|change| change.narrows.as_str()).collect();
    assert!(
        said.iter().any(|s| s.contains("psi/h at 450.0 psig")),
        "{said:#?}"
    );
}

/// Four minutes that tell nothing yet.
fn short() -> EventBody {
    let readings = (0..=4).map(|m| VacuumReading {
        at: None,
        after: Some(typed(&format!("{m} min"))),
        vacuum: typed(&format!("{} micron", 300 + 12 * m)),
        phase: None,
    });
    Evacuation {
        gauge: Some("micron".into()),
        readings: readings.collect(),
        ..evacuation()
    }
    .into()
}

/// What was typed too early: the knee is told from the first reading on, not from what was typed.
#[test]
fn a_time_typed_too_early_is_told_with_the_one_that_fits() {
    let judgement = judged(vec![pumped(Some("2 min"))]);
    let found = dry(&judgement);
    assert_eq!(found.outcome, Outcome::Undecided);
    let first = &found.reasons[0];
    assert!(
        first.code == reasons::SEEMS_SHUT_OFF && first.text.contains("--isolated-after 10.00min"),
        "{}",
        first.text
    );
}

#[test]
fn the_last_hold_that_stands_is_taken() {
    let said = binds(vec![nitrogen(1), nitrogen(0), rise(&LINES, 5.0)]).unwrap();
    let alone = binds(vec![nitrogen(0), rise(&LINES, 5.0)]).unwrap();
    assert_eq!(said, alone);
}
