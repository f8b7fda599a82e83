//! Which stages apply.

use lineproof::check::{Segment, Stage};
use lineproof::record::*;

use super::{event, flared, quantity};

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

/// What can have happened, in the order of the columns below.
fn histories() -> [Vec<Event>; 6] {
    let silent = || Released {
        segments: vec![Segment::VapourLine],
        joint: None,
        lasted: None,
        ended: ReleaseEnd::Silent,
        whereabouts: Whereabouts::Outdoors,
        seen: Vec::new(),
        valves: None,
    };
    let visit = || TechnicianVisit {
        recovered: Some(quantity("1 lb")),
        evacuated_to: Some(quantity("300 micron")),
        charged: Some(quantity("6 lb")),
        ..TechnicianVisit::default()
    };
    let only_charged = TechnicianVisit {
        evacuated_to: None,
        ..visit()
    };
    [
        vec![],
        vec![event(1, 0, opened(Answer::NotKnown))],
        vec![event(1, 0, silent())],
        vec![event(1, 0, silent()), event(2, 10, only_charged)],
        vec![event(1, 0, silent()), event(2, 10, visit())],
        vec![
            event(1, 0, silent()),
            event(2, 10, visit()),
            event(3, 20, opened(Answer::NotKnown)),
        ],
    ]
}

#[test]
fn every_connection_state_and_history_has_its_route() {
    use Route::*;
    // nothing, opened, released to silence, then only charged, then put right, then opened again
    let field = [FieldMade, FieldMade, Opened, Opened, PutRight, Opened];
    let couplings = [PreCharged, Opened, Opened, Opened, PutRight, Opened];
    let holding = [Holding, Opened, Opened, Opened, PutRight, Opened];
    for &connection in Connection::ALL {
        for &state in LineState::ALL {
            let expected = match (state, connection) {
                (LineState::HeldRefrigerant, _) => holding,
                (LineState::New, Connection::PreChargedCouplings) => couplings,
                (LineState::New, _) => field,
            };
            for (history, route) in histories().iter().zip(expected) {
                let found = Route::of(&with(connection, state), history);
                assert_eq!(found, route, "{connection:?} {state:?} {history:?}");
            }
        }
    }
    // a visit noted late puts right what happened before it, and not what happened after
    let [.., put_right, _] = histories();
    let mut late = vec![put_right[1].clone(), put_right[0].clone()];
    (late[0].number, late[1].number) = (1, 2);
    let lineset = with(Connection::Flared, LineState::New);
    assert_eq!(Route::of(&lineset, &late), PutRight);
    late[1].at = super::minute(15);
    assert_eq!(Route::of(&lineset, &late), Opened);
}

/// One letter a stage, from joints to watch: the owner's, a technician's, replaced.
#[test]
fn every_stage_of_every_route_has_its_word() {
    for (route, expected) in [
        (Route::FieldMade, "ooooooo"),
        (Route::PreCharged, "orroooo"),
        (Route::Holding, "orroooo"),
        (Route::Opened, "otttooo"),
        (Route::PutRight, "orroooo"),
    ] {
        let words: String = Stage::ALL
            .into_iter()
            .map(|stage| match route.applies(stage) {
                Applies::Owner => 'o',
                Applies::Technician { .. } => 't',
                Applies::Replaced { .. } => 'r',
            })
            .collect();
        assert_eq!(words, expected, "{route:?}");
    }
    assert_eq!(Stage::ALL.len(), 7);
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
