//! The rig alone beside a standing pressure test: what it clears, what it voids, and that it never stands for the line.

use lineproof::check::tight::reasons;
use lineproof::check::{Outcome, Segment, Stage};
use lineproof::decide::evidence;
use lineproof::record::*;

use super::said::evidence::stage;
use super::said::world::*;

/// A day and a half at 450 psig, so much of it lost every four hours.
fn hold(covers: &[Segment], tenths: i32, volume: Option<&str>) -> EventBody {
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
        volume: volume.map(typed),
        covers: covers.to_vec(),
        readings: readings.collect(),
        ..test_with(TestGas::Nitrogen)
    }
    .into()
}

const HOSES: &[Segment] = &[Segment::Hoses];

fn tight(events: Vec<EventBody>) -> lineproof::check::Finding {
    stage(Stage::Tight, new_flared(), events)
}

#[test]
fn without_a_blank_a_fail_is_of_line_or_rig() {
    let found = tight(vec![hold(&LINES, 80, None)]);
    assert_eq!(found.outcome, Outcome::Fail, "{:#?}", found.reasons);
    assert!(found.says(reasons::LINE_OR_RIG));
}

#[test]
fn a_rig_that_held_leaves_the_line() {
    let (rig, line) = (hold(HOSES, 0, None), hold(&LINES, 80, None));
    // before the test, or after it
    for events in [vec![rig.clone(), line.clone()], vec![line, rig]] {
        let found = tight(events);
        assert_eq!(found.outcome, Outcome::Fail, "{:#?}", found.reasons);
        assert!(found.says(reasons::RIG_HELD), "{:#?}", found.reasons);
    }
}

#[test]
fn a_rig_that_explains_the_loss_makes_the_test_void() {
    let found = tight(vec![hold(HOSES, 80, None), hold(&LINES, 80, None)]);
    assert_eq!(found.outcome, Outcome::Undecided);
    assert!(found.says(reasons::RIG_LEAKS));
    // in a twentieth of the volume the same leak of the rig explains a twentieth of the loss
    let found = tight(vec![
        hold(HOSES, 80, Some("0.1 L")),
        hold(&LINES, 80, Some("1.9 L")),
    ]);
    assert_eq!(found.outcome, Outcome::Fail, "{:#?}", found.reasons);
    assert!(found.says(reasons::RIG_HELD));
}

#[test]
fn the_rig_alone_never_stands_for_the_line() {
    let found = tight(vec![hold(HOSES, 0, None)]);
    assert!(found.says(evidence::NONE), "{:#?}", found.reasons);
    let found = tight(vec![hold(&LINES, 80, None), hold(HOSES, 0, None)]);
    assert_eq!(found.outcome, Outcome::Fail);
}
