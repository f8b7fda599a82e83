//! The record: evidence only ages, the order of noting does not matter, what is written is read.

use lineproof::check::{Segment, Stage};
use lineproof::record::coverage::evidence;
use lineproof::record::*;
use proptest::prelude::*;

use crate::world::{event, minute, new_flared};

// shared with the record's tests
#[allow(dead_code)]
#[path = "../record/bodies.rs"]
mod bodies;

/// With the joints that the events name.
fn lineset(held: bool) -> LineSet {
    let mut lineset = new_flared();
    if held {
        lineset.line_set.state = LineState::HeldRefrigerant;
    }
    for (id, kind) in [
        ("vapour-out", JointKind::Flare),
        ("cap", JointKind::ValveCap),
    ] {
        let segment = Segment::VapourLine;
        let like = lineset.joints[0].clone();
        lineset.joints.push(Joint {
            id: id.into(),
            segment,
            kind,
            ..like
        });
    }
    lineset
}

/// Whether it says where a valve stands: a valve counts as shut only once that was noted.
fn tells_of_valves(body: &EventBody) -> bool {
    match body {
        EventBody::ValveMoved(_) | EventBody::TechnicianVisit(_) => true,
        EventBody::PressureTest(test) => test.valves.is_some(),
        EventBody::Evacuation(evacuation) => evacuation.valves.is_some(),
        EventBody::Released(released) => released.valves.is_some(),
        _ => false,
    }
}

/// Time of the evidence and what still stands of it.
fn standing(lineset: &LineSet, events: &[Event]) -> Vec<(Stage, Moment, Vec<Segment>)> {
    let all = Stage::ALL
        .into_iter()
        .flat_map(|stage| evidence(stage, lineset, events));
    all.map(|e| (e.stage, events[e.event].at, e.standing()))
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn an_event_more_never_revives_evidence(
        history in prop::collection::vec((bodies::body(), 0i64..5000), 1..8),
        (late, at) in (bodies::body(), 0i64..5000),
        held in any::<bool>(),
    ) {
        let lineset = lineset(held);
        let mut events: Vec<Event> = history
            .into_iter()
            .zip(1..)
            .map(|((body, at), number)| event(number, at, body))
            .collect();
        let before: Vec<Evidence> = Stage::ALL
            .into_iter()
            .flat_map(|stage| evidence(stage, &lineset, &events))
            .collect();
        events.push(event(events.len() as u64 + 1, at, late));
        for old in before {
            let all = evidence(old.stage, &lineset, &events);
            let new = all.iter().find(|e| e.event == old.event).unwrap();
            for segment in new.standing() {
                prop_assert!(old.standing().contains(&segment), "{:?} came back", segment);
            }
        }
    }

    #[test]
    fn the_order_of_noting_does_not_matter(
        history in prop::collection::vec(bodies::body(), 2..8),
        order in Just((0..8usize).collect::<Vec<_>>()).prop_shuffle(),
        held in any::<bool>(),
    ) {
        let lineset = lineset(held);
        let history: Vec<EventBody> =
            history.into_iter().filter(|body| !tells_of_valves(body)).collect();
        let noted = |order: &[usize]| -> Vec<Event> {
            let kept = order.iter().filter(|&&index| index < history.len());
            kept.zip(1..)
                .map(|(&index, number)| event(number, 700 * index as i64, history[index].clone()))
                .collect()
        };
        let usual = noted(&[0, 1, 2, 3, 4, 5, 6, 7]);
        let shuffled = noted(&order);
        prop_assert_eq!(standing(&lineset, &usual), standing(&lineset, &shuffled));
        prop_assert_eq!(Route::of(&lineset, &usual), Route::of(&lineset, &shuffled));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn what_is_written_is_read(
        bodies in prop::collection::vec((bodies::body(), prop::option::of("\\PC*")), 1..5),
    ) {
        let folder = tempfile::tempdir().unwrap();
        let mut record = Record::create(folder.path(), lineset(false)).unwrap();
        for (minutes, (body, note)) in (0..).zip(bodies) {
            let mut new = NewEvent::new(minute(minutes), minute(100_000), body);
            new.note = note;
            record.append(new).unwrap();
        }
        prop_assert_eq!(&Record::open(folder.path()).unwrap(), &record);
        prop_assert!(record.verify().unwrap().intact());
    }
}
