//! A vacuum rise beside the standing pressure test of the same lines: which of the two saw the smaller hole.

use lineproof::check::dry::reasons;
use lineproof::check::{Finding, Outcome, Segment, Stage};
use lineproof::decide::{Judgement, judge};
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
    assert!(said.contains("psi/h at 450 psig"), "{said}");
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

#[test]
fn the_last_hold_that_stands_is_taken() {
    let said = binds(vec![nitrogen(1), nitrogen(0), rise(&LINES, 5.0)]).unwrap();
    let alone = binds(vec![nitrogen(0), rise(&LINES, 5.0)]).unwrap();
    assert_eq!(said, alone);
}
