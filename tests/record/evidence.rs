//! What a later event voids.

use lineproof::check::{Segment, Stage};
use lineproof::record::coverage::{CIRCUIT, evidence};
use lineproof::record::*;
use proptest::prelude::*;

use super::{bodies, event, flared, quantity};

const LINES: [Segment; 3] = [
    Segment::LiquidLine,
    Segment::VapourLine,
    Segment::IndoorCoil,
];

pub fn pressure_test() -> PressureTest {
    let reading = |after: &str| TestReading {
        at: None,
        after: Some(quantity(after)),
        pressure: quantity("500 psig"),
        outdoor: None,
        indoor: None,
    };
    PressureTest {
        covers: LINES.to_vec(),
        gas: TestGas::Nitrogen,
        test_pressure: None,
        gauge: None,
        thermometer: None,
        valves: None,
        outdoor_share: None,
        unlogged_swing: None,
        volume: None,
        rule: None,
        until: None,
        log: None,
        readings: vec![reading("0 min"), reading("90 min")],
    }
}

fn evacuation() -> Evacuation {
    Evacuation {
        covers: LINES.to_vec(),
        rule: None,
        gauge: None,
        valves: None,
        isolated_after: None,
        coldest: None,
        ambient: None,
        until: None,
        log: None,
        pump_down: None,
        readings: vec![VacuumReading {
            at: None,
            after: Some(quantity("30 min")),
            vacuum: quantity("300 micron"),
            phase: None,
        }],
    }
}

fn weighed() -> Weighed {
    Weighed::mass(quantity("12 oz"), Direction::In, Person::Technician)
}

fn opened(segment: Segment) -> Opened {
    Opened {
        segments: vec![segment],
        joints: vec!["liquid-out".into()],
        held_refrigerant: Answer::NotKnown,
        why: None,
    }
}

fn checked(joint: &str) -> JointChecked {
    JointChecked {
        joint: joint.into(),
        method: JointMethod::Bubbles,
        result: JointResult::NoLeak,
        watched: None,
        pressure: None,
    }
}

fn standing(stage: Stage, events: &[Event]) -> Vec<Vec<Segment>> {
    evidence(stage, &flared(), events)
        .iter()
        .map(Evidence::standing)
        .collect()
}

#[test]
fn the_usual_way_through_voids_nothing() {
    let events = [
        event(1, 0, checked("liquid-out")),
        event(2, 10, pressure_test()),
        event(3, 200, evacuation()),
        event(
            4,
            300,
            ValveMoved {
                valve: ServiceValve::LiquidService,
                to: Position::Open,
            },
        ),
        event(5, 310, weighed()),
        event(6, 320, StartChecked::default()),
        event(
            7,
            330,
            Started {
                mode: Mode::Cooling,
            },
        ),
        event(8, 350, Reading::of(Mode::Cooling)),
    ];
    for stage in Stage::ALL {
        let all = evidence(stage, &flared(), &events);
        assert_eq!(all.len(), 1, "{stage:?}");
        assert!(all[0].whole(), "{stage:?} {all:?}");
    }
}

#[test]
fn an_opening_voids_the_joint_the_segment_and_what_the_gas_reaches() {
    let events = [
        event(1, 0, checked("liquid-out")),
        event(2, 5, checked("vapour-out")),
        event(3, 10, pressure_test()),
        event(4, 200, evacuation()),
        event(5, 310, weighed()),
        event(6, 400, opened(Segment::LiquidLine)),
    ];
    assert_eq!(
        standing(Stage::Joints, &events),
        [vec![], vec![Segment::VapourLine]]
    );
    assert_eq!(
        standing(Stage::Tight, &events),
        [vec![Segment::VapourLine, Segment::IndoorCoil]]
    );
    assert_eq!(standing(Stage::Dry, &events), [vec![]]);
    assert_eq!(standing(Stage::Charge, &events), [vec![]]);
    let tight = &evidence(Stage::Tight, &flared(), &events)[0];
    assert_eq!(tight.voided_by(), Some(5));
}

#[test]
fn air_reaches_the_outdoor_unit_only_through_an_open_valve() {
    let whole = Evacuation {
        covers: CIRCUIT.to_vec(),
        ..evacuation()
    };
    let shut = [
        event(1, 0, whole.clone()),
        event(2, 60, opened(Segment::LiquidLine)),
    ];
    assert_eq!(standing(Stage::Dry, &shut), [vec![Segment::OutdoorUnit]]);
    let open = ValveMoved {
        valve: ServiceValve::VapourService,
        to: Position::Open,
    };
    // noted last, but it happened before the opening
    let mut events = shut.to_vec();
    events.push(event(3, 50, open));
    assert_eq!(standing(Stage::Dry, &events), [vec![]]);
    // a valve said later to have been shut again brings nothing back
    events.push(event(
        4,
        55,
        ValveMoved {
            valve: ServiceValve::VapourService,
            to: Position::Shut,
        },
    ));
    assert_eq!(standing(Stage::Dry, &events), [vec![]]);
}

#[test]
fn a_late_entry_voids_by_when_it_happened() {
    let opened_before = [
        event(1, 100, pressure_test()),
        event(2, 50, opened(Segment::LiquidLine)),
    ];
    assert_eq!(standing(Stage::Tight, &opened_before), [LINES.to_vec()]);
    // noted after a second test, but it happened between the two
    let between = [
        event(1, 100, pressure_test()),
        event(2, 500, pressure_test()),
        event(3, 300, opened(Segment::LiquidLine)),
    ];
    let stands = standing(Stage::Tight, &between);
    assert_eq!(stands[0], [Segment::VapourLine, Segment::IndoorCoil]);
    assert_eq!(stands[1], LINES);
}

#[test]
fn what_happens_during_a_test_voids_it() {
    let open = ValveMoved {
        valve: ServiceValve::LiquidService,
        to: Position::Open,
    };
    let during = [event(1, 100, pressure_test()), event(2, 150, open)];
    assert_eq!(standing(Stage::Tight, &during), [vec![]]);
    let afterwards = [event(1, 100, pressure_test()), event(2, 200, open)];
    assert_eq!(standing(Stage::Tight, &afterwards), [LINES.to_vec()]);
}

#[test]
fn a_cap_is_not_an_opening_and_a_weighing_ends_the_readings_before_it() {
    let made = JointMade {
        joint: "cap".into(),
        torque: None,
        adapter: None,
        wrench: None,
        oiled: Answer::NotKnown,
    };
    let events = [
        event(1, 0, evacuation()),
        event(2, 100, Reading::of(Mode::Cooling)),
        event(3, 200, made),
    ];
    assert_eq!(standing(Stage::Dry, &events), [LINES.to_vec()]);
    assert_eq!(standing(Stage::Run, &events), [CIRCUIT.to_vec()]);
    let weighed = [
        event(1, 100, Reading::of(Mode::Cooling)),
        event(2, 200, weighed()),
    ];
    assert_eq!(standing(Stage::Run, &weighed), [vec![]]);
}

#[test]
fn a_technicians_work_is_evidence_of_its_own() {
    let visit = TechnicianVisit {
        recovered: Some(quantity("3 lb 2 oz")),
        charged: Some(quantity("6 lb 10 oz")),
        evacuated_to: Some(quantity("300 micron")),
        drier: Answer::Yes,
        pressure_held: Answer::Yes,
        ..TechnicianVisit::default()
    };
    let events = [
        event(1, 0, pressure_test()),
        event(2, 200, evacuation()),
        event(3, 900, visit),
    ];
    for stage in [Stage::Tight, Stage::Dry] {
        let all = evidence(stage, &flared(), &events);
        assert_eq!((all[0].by, all[0].standing()), (Person::Owner, vec![]));
        assert_eq!(
            (all[1].by, all[1].standing()),
            (Person::Technician, CIRCUIT.to_vec())
        );
    }
    assert_eq!(standing(Stage::Charge, &events), [CIRCUIT.to_vec()]);
}

#[test]
fn a_test_behind_shut_valves_does_not_cover_the_outdoor_unit() {
    let stood = |liquid_service, vapour_service| {
        Some(Valves {
            liquid_service,
            vapour_service,
        })
    };
    let test = |covers: &[Segment], valves| PressureTest {
        covers: covers.to_vec(),
        valves,
        ..pressure_test()
    };
    let fits = |body: EventBody| {
        let folder = tempfile::tempdir().unwrap();
        let record = Record::create(folder.path(), flared()).unwrap();
        let new = super::new_event(0, body);
        record.fits(&new).map_err(|error| error.to_string())
    };
    let shut = stood(Position::Shut, Position::Shut);
    let open = stood(Position::Shut, Position::Open);
    let error = fits(test(&CIRCUIT, shut).into()).unwrap_err();
    assert_eq!(
        error,
        "pressure-test, covers: it names the outdoor unit, and both service valves were shut: nothing in the lines reached it; leave outdoor-unit out, or say which valve was open"
    );
    let pumped = Evacuation {
        valves: open,
        ..evacuation()
    };
    let error = fits(pumped.into()).unwrap_err();
    assert_eq!(
        error,
        "evacuation, covers: a service valve was open, so the outdoor unit was part of the volume, and it is not named; name outdoor-unit too, or say that both valves were shut"
    );
    fits(test(&CIRCUIT, open).into()).unwrap();
    fits(test(&LINES, shut).into()).unwrap();
    fits(test(&[Segment::OutdoorUnit], shut).into()).unwrap();
    fits(test(&CIRCUIT, None).into()).unwrap();
    // an older record that says so covers what the valves let through
    let older = [event(1, 0, test(&CIRCUIT, shut))];
    assert_eq!(standing(Stage::Tight, &older), [LINES.to_vec()]);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]
    #[test]
    fn adding_an_event_never_brings_evidence_back(
        history in prop::collection::vec((bodies::body(), 0i64..5000), 1..8),
        (late, at) in (bodies::body(), 0i64..5000),
        held in any::<bool>(),
    ) {
        let mut lineset = flared();
        if held {
            lineset.line_set.state = LineState::HeldRefrigerant;
        }
        let mut events: Vec<Event> = history
            .into_iter()
            .zip(1..)
            .map(|((body, at), number)| event(number, at, body))
            .collect();
        let before: Vec<Evidence> = Stage::ALL
            .into_iter()
            .flat_map(|stage| evidence(stage, &lineset, &events))
            .collect();
        let route = Route::of(&lineset, &events);
        events.push(event(events.len() as u64 + 1, at, late));
        for old in before {
            let all = evidence(old.stage, &lineset, &events);
            let new = all.iter().find(|e| e.event == old.event).unwrap();
            for segment in new.standing() {
                prop_assert!(old.standing().contains(&segment), "{:?} came back", segment);
            }
        }
        // only a technician's visit leads on from an opened circuit
        if route == Route::Opened && !matches!(events[events.len() - 1].body, EventBody::TechnicianVisit(_)) {
            prop_assert_eq!(Route::of(&lineset, &events), Route::Opened);
        }
    }
}
