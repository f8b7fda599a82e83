//! Correcting what an event says.

use lineproof::check::{Segment, Stage};
use lineproof::record::coverage::evidence;
use lineproof::record::*;
use proptest::prelude::*;

use super::evidence::pressure_test;
use super::{flared, minute, new_event};

fn begun() -> (tempfile::TempDir, Record) {
    let folder = tempfile::tempdir().unwrap();
    let mut record = Record::create(folder.path(), flared()).unwrap();
    record.append(new_event(0, pressure_test())).unwrap();
    (folder, record)
}

fn correct(record: &mut Record, number: u64, field: &str, to: Option<&str>) -> Result<(), String> {
    record
        .correct(
            number,
            field,
            to,
            Some("misread".into()),
            minute(10),
            minute(11),
        )
        .map(drop)
        .map_err(|error| error.to_string())
}

#[test]
fn results_use_the_corrected_wording_and_the_first_one_stays() {
    let (folder, mut record) = begun();
    correct(&mut record, 1, "readings.2.pressure", Some("488 psig")).unwrap();
    correct(&mut record, 1, "note", Some("cold night")).unwrap();
    let EventBody::PressureTest(test) = &record.events[0].body else {
        panic!("another event")
    };
    assert_eq!(test.readings[1].pressure.text(), "488 psig");
    assert_eq!(record.events[0].note.as_deref(), Some("cold night"));
    let before = &record.events[0].before;
    assert_eq!(before[0].body, pressure_test().into());
    assert_eq!((before[0].corrected_by, before[1].corrected_by), (2, 3));
    let EventBody::Corrected(corrected) = &record.events[1].body else {
        panic!("another event")
    };
    assert_eq!(corrected.from.as_deref(), Some("500 psig"));
    assert_eq!(Record::open(folder.path()).unwrap(), record);
    assert!(record.verify().unwrap().intact());
}

#[test]
fn a_correction_that_gives_no_event_is_refused_and_not_written() {
    let (folder, mut record) = begun();
    for (number, field, to, message) in [
        (7, "gas", Some("air"), "there is no event 7 before this one"),
        (
            1,
            "gaz",
            Some("air"),
            "there is no field \"gaz\" here; did you mean \"gas\"?",
        ),
        (1, "gas", Some("steam"), "\"steam\" is none of the choices"),
        (
            1,
            "readings.9.pressure",
            Some("4 psig"),
            "is no field of that pressure-test",
        ),
        (1, "readings.2.pressure", Some("488"), "has no unit"),
        (1, "readings.2.pressure", None, "\"pressure\" is missing"),
        (1, "gauge", Some("g"), "no instrument \"g\""),
        (1, "at", Some("2026-05-04"), "is not a date with a time"),
        (1, "at", None, "an event has a time"),
        (1, "log", Some("x"), "a logger file is not exchanged"),
    ] {
        let error = correct(&mut record, number, field, to).unwrap_err();
        assert!(error.contains(message), "{field}: {error}");
    }
    assert_eq!(Record::open(folder.path()).unwrap().events.len(), 1);
    correct(&mut record, 1, "gas", Some("argon")).unwrap();
    let error = correct(&mut record, 2, "field", Some("gauge")).unwrap_err();
    assert!(error.contains("is a correction itself"), "{error}");
}

#[test]
fn a_correction_never_brings_back_what_was_void() {
    let opened = Opened {
        segments: vec![Segment::LiquidLine],
        joints: Vec::new(),
        held_refrigerant: Answer::NotKnown,
        why: None,
    };
    let (_folder, mut record) = begun();
    record.append(new_event(200, opened)).unwrap();
    let standing = |record: &Record| record.evidence(Stage::Tight)[0].standing();
    let left = standing(&record);
    assert_eq!(left, [Segment::VapourLine, Segment::IndoorCoil]);
    let (at, noted) = (minute(500), minute(501));
    let mut correct = |number, field: &str, to: &str| {
        record
            .correct(number, field, Some(to), None, at, noted)
            .unwrap();
        standing(&record)
    };
    // the test is said to be later, or the opening to be elsewhere: both wordings void
    assert_eq!(correct(1, "at", &minute(300).to_string()), left);
    assert_eq!(correct(2, "segments", "vapour-line"), [Segment::IndoorCoil]);
    assert_eq!(
        correct(1, "covers", "outdoor-unit,indoor-coil"),
        [Segment::IndoorCoil]
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]
    #[test]
    fn no_correction_revives(
        history in prop::collection::vec((super::bodies::body(), 0i64..5000), 2..7),
        which in any::<prop::sample::Index>(),
        (body, at) in (super::bodies::body(), 0i64..5000),
    ) {
        let lineset = flared();
        let mut events: Vec<Event> = history
            .into_iter()
            .zip(1..)
            .map(|((body, at), number)| super::event(number, at, body))
            .collect();
        let before: Vec<Evidence> = Stage::ALL
            .into_iter()
            .flat_map(|stage| evidence(stage, &lineset, &events))
            .collect();
        let route = Route::of(&lineset, &events);
        let by = events.len() as u64 + 1;
        let event = which.get(&events).clone();
        let index = events.iter().position(|e| e.number == event.number).unwrap();
        events[index].before.push(Wording { at: event.at, body: event.body, note: None, corrected_by: by });
        (events[index].at, events[index].body) = (minute(at), body);
        for old in before {
            let all = evidence(old.stage, &lineset, &events);
            let Some(new) = all.iter().find(|e| e.event == old.event) else { continue };
            for segment in new.standing() {
                prop_assert!(old.standing().contains(&segment), "{:?} came back", segment);
            }
        }
        if route == Route::Opened && !events.iter().any(|e| matches!(e.body, EventBody::TechnicianVisit(_))) {
            prop_assert_eq!(Route::of(&lineset, &events), Route::Opened);
        }
    }
}
