//! What had to be said of a log's clock stays with the log.

use std::fs;

use lineproof::check::Segment;
use lineproof::quantity::UnitSystem;
use lineproof::record::logger::{Asked, LoggerError, Role, read_hold};
use lineproof::record::*;

use super::{flared, new_event};

/// An invented log: the clock restarts when the valve is shut, and is written day first.
const LOG: &str = "\
time,p_psig
02/05/26 08:00,451
02/05/26 08:10,450
01/05/26 12:00,450.0
01/05/26 13:00,449.9
01/05/26 14:00,450.0
01/05/26 15:00,449.9
";

fn asked() -> Asked {
    Asked {
        time_format: Some("%d/%m/%y %H:%M".into()),
        zone: Some("Europe/Lisbon".into()),
        part: Some(2),
        ..Asked::of([(Role::Time, Some("time".to_string()))], [])
    }
}

#[test]
fn format_zone_and_part_are_kept_and_used_again() {
    let home = tempfile::tempdir().unwrap();
    let source = home.path().join("hold.csv");
    fs::write(&source, LOG).unwrap();
    let mut record = Record::create(&home.path().join("record"), flared()).unwrap();
    let log = record.attach_log(&source).unwrap().with_clock(&asked());
    let test = PressureTest {
        covers: vec![Segment::LiquidLine],
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
        log: Some(log),
        readings: Vec::new(),
    };
    record.append(new_event(0, test)).unwrap();

    let record = Record::open(&home.path().join("record")).unwrap();
    let event = &record.events[0];
    let EventBody::PressureTest(test) = &event.body else {
        panic!("a pressure test was added");
    };
    let log = test.log.as_ref().unwrap();
    assert_eq!(log.time_format.as_deref(), Some("%d/%m/%y %H:%M"));
    assert_eq!(
        (log.zone.as_deref(), log.part),
        (Some("Europe/Lisbon"), Some(2))
    );
    let input = record.tight_input(event, test, UnitSystem::Us).unwrap();
    assert_eq!(input.hours, [0.0, 1.0, 2.0, 3.0]);
}

#[test]
fn a_log_without_any_of_it_has_none_of_the_keys() {
    let home = tempfile::tempdir().unwrap();
    let source = home.path().join("hold.csv");
    fs::write(&source, LOG).unwrap();
    let record = Record::create(&home.path().join("record"), flared()).unwrap();
    let plain = serde_json::to_string(&record.attach_log(&source).unwrap()).unwrap();
    for key in ["time_format", "zone", "part"] {
        assert!(!plain.contains(key), "{plain}");
    }
    let read: LogFile = serde_json::from_str(&plain).unwrap();
    assert_eq!(read.part, None);
    // and it cannot be read without being asked for
    let barometer = record.barometer().unwrap();
    let said = read_hold(&source, &Asked::default(), barometer).unwrap_err();
    assert!(matches!(said, LoggerError::Clock { .. }), "{said}");
}
