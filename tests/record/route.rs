//! Which stages apply.

use lineproof::check::{Segment, Stage};
use lineproof::record::*;

use super::{event, flared};

fn with(connection: Connection, state: LineState) -> LineSet {
    let mut lineset = flared();
    lineset.line_set.connection = connection;
    lineset.line_set.state = state;
    lineset
}

fn opened(held_refrigerant: Answer) -> Opened {
    Opened {
        segments: vec![Segment::LiquidLine],
        joints: Vec::new(),
        held_refrigerant,
        why: None,
    }
}

fn open_valve() -> ValveMoved {
    ValveMoved {
        valve: ServiceValve::LiquidService,
        to: Position::Open,
    }
}

#[test]
fn each_connection_and_state_has_its_route() {
    use Connection::*;
    for (connection, state, route) in [
        (Flared, LineState::New, Route::FieldMade),
        (Brazed, LineState::New, Route::FieldMade),
        (Pressed, LineState::HeldRefrigerant, Route::Holding),
        (PreChargedCouplings, LineState::New, Route::PreCharged),
    ] {
        assert_eq!(Route::of(&with(connection, state), &[]), route);
    }
    for stage in Stage::ALL {
        assert_eq!(Route::FieldMade.applies(stage), Applies::Owner);
    }
    for route in [Route::PreCharged, Route::Holding] {
        assert!(matches!(
            route.applies(Stage::Tight),
            Applies::Replaced { .. }
        ));
        assert!(matches!(
            route.applies(Stage::Dry),
            Applies::Replaced { .. }
        ));
        assert_eq!(route.applies(Stage::Joints), Applies::Owner);
    }
    assert!(matches!(
        Route::Opened.applies(Stage::Dry),
        Applies::Technician { .. }
    ));
}

#[test]
fn opening_counts_once_refrigerant_is_in() {
    let field = with(Connection::Flared, LineState::New);
    let unknown = opened(Answer::NotKnown);
    // before the service valve was opened, by the time it happened
    let before = [event(1, 10, unknown.clone()), event(2, 20, open_valve())];
    assert_eq!(Route::of(&field, &before), Route::FieldMade);
    let after = [event(1, 30, unknown.clone()), event(2, 20, open_valve())];
    assert_eq!(Route::of(&field, &after), Route::Opened);
    assert_eq!(
        Route::of(&field, &[event(1, 0, opened(Answer::Yes))]),
        Route::Opened
    );

    let pre_charged = with(Connection::PreChargedCouplings, LineState::New);
    assert_eq!(
        Route::of(&pre_charged, &[event(1, 0, unknown)]),
        Route::Opened
    );
    assert_eq!(
        Route::of(&pre_charged, &[event(1, 0, open_valve())]),
        Route::PreCharged
    );
}

#[test]
fn a_release_to_silence_opens_and_a_short_hiss_does_not() {
    let pre_charged = with(Connection::PreChargedCouplings, LineState::New);
    let released = |ended| Released {
        segments: vec![Segment::VapourLine],
        joint: None,
        lasted: None,
        ended,
        whereabouts: Whereabouts::Outdoors,
        seen: vec![Seen::Hiss],
        valves: None,
    };
    let ended = |ended| Route::of(&pre_charged, &[event(1, 0, released(ended))]);
    assert_eq!(ended(ReleaseEnd::Silent), Route::Opened);
    assert_eq!(ended(ReleaseEnd::Tightened), Route::PreCharged);
}
