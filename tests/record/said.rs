//! What had to be said of a log's columns, numbers and rows stays with the log.

use std::fs;

use lineproof::check::Segment;
use lineproof::quantity::{Barometer, Quantity, UnitSystem, unit};
use lineproof::record::logger::{Asked, Decimal, Kind, Role, preview};
use lineproof::record::*;

use super::{flared, new_event};

/// An invented log: two lines of talk, a comma in the numbers, nothing said of units, a lost probe.
const HOLD: &str = "\
boathouse
second evening
clock;Channel 1;Channel 2;Channel 3;Channel 4
0;31,02;11,0;20,0;12,50
1;31,00;---;20,0;12,49
2;30,98;10,4;20,1;12,48
3;30,97;10,2;20,1;12,47
";

fn said<const C: usize, const U: usize>(
    columns: [(Role, &str); C],
    units: [(Role, &str); U],
) -> Asked {
    let owned = |(role, text): (Role, &str)| (role, Some(text.to_string()));
    Asked::of(columns.map(owned), units.map(owned))
}

/// Writes the log into a record with what is said of it, and reads the record again.
fn again(text: &str, asked: &Asked, kind: Kind, body: impl Fn(LogFile) -> EventBody) -> Record {
    let home = tempfile::tempdir().unwrap();
    let source = home.path().join("log.csv");
    fs::write(&source, text).unwrap();
    let folder = home.keep().join("record");
    let mut record = Record::create(&folder, flared()).unwrap();
    let seen = preview(&source, asked, kind, Barometer::standard()).unwrap();
    let log = record.attach_log(&source).unwrap();
    let event = new_event(0, body(log.with_said(asked, &seen)));
    record.append(event).unwrap();
    Record::open(&folder).unwrap()
}

#[test]
fn columns_units_decimals_and_lost_rows_of_a_hold() {
    let asked = Asked {
        decimal: Some(Decimal::Comma),
        header_line: Some(3),
        skip_missing: true,
        time_format: Some("h".into()),
        ..said(
            [
                (Role::Time, "clock"),
                (Role::Pressure, "Channel 1"),
                (Role::Outdoor, "Channel 2"),
                (Role::Indoor, "Channel 3"),
                (Role::Witness, "Channel 4"),
            ],
            [
                (Role::Pressure, "bar gauge"),
                (Role::Outdoor, "C"),
                (Role::Indoor, "C"),
                (Role::Witness, "bar gauge"),
            ],
        )
    };
    let record = again(HOLD, &asked, Kind::Hold, |log| {
        PressureTest {
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
        }
        .into()
    });
    let EventBody::PressureTest(test) = &record.events[0].body else {
        panic!("a pressure test was added");
    };
    assert_eq!(test.log.as_ref().unwrap().asked(), asked);
    let input = record
        .tight_input(&record.events[0], test, UnitSystem::Si)
        .unwrap();
    assert_eq!(input.hours, [0.0, 2.0, 3.0], "the row without a reading");
    let outdoor = input.outdoor.unwrap();
    assert!((outdoor[1].in_unit(unit::CELSIUS) - 10.4).abs() < 1e-9);
    let witness = input.witness.unwrap();
    assert!(witness[0].in_unit(unit::BAR_ABS) > 13.4);
}

#[test]
fn the_second_gauge_and_the_phase_of_a_rise() {
    let rise = "m,a,b,state\n0,300,301,isolated\n1,310,312,isolated\n2,318,320,isolated\n3,325,327,isolated\n4,331,333,isolated\n";
    let asked = Asked {
        time_format: Some("min".into()),
        ..said(
            [
                (Role::Time, "m"),
                (Role::Pressure, "a"),
                (Role::Second, "b"),
                (Role::Phase, "state"),
            ],
            [(Role::Pressure, "micron"), (Role::Second, "micron")],
        )
    };
    let record = again(rise, &asked, Kind::Rise, |log| {
        Evacuation {
            covers: vec![Segment::LiquidLine],
            rule: None,
            gauge: None,
            valves: None,
            isolated_after: None,
            coldest: None,
            ambient: None,
            until: None,
            log: Some(log),
            pump_down: None,
            readings: Vec::new(),
        }
        .into()
    });
    let EventBody::Evacuation(evacuation) = &record.events[0].body else {
        panic!("an evacuation was added");
    };
    assert_eq!(evacuation.log.as_ref().unwrap().asked(), asked);
    let input = record
        .dry_input(&record.events[0], evacuation, UnitSystem::Us)
        .unwrap();
    assert!((input.pressure[4].in_unit(unit::MICRON) - 331.0).abs() < 1e-6);
}

#[test]
fn a_unit_alone_names_the_column_that_was_taken() {
    let asked = said([], [(Role::Pressure, "psig")]);
    let home = tempfile::tempdir().unwrap();
    let source = home.path().join("log.csv");
    fs::write(&source, "t_h,pressure\n0,450\n1,449.9\n2,449.8\n").unwrap();
    let record = Record::create(&home.path().join("record"), flared()).unwrap();
    let seen = preview(&source, &asked, Kind::Hold, Barometer::standard()).unwrap();
    let log = record.attach_log(&source).unwrap().with_said(&asked, &seen);
    assert_eq!(log.columns[0].column, "#2");
    assert_eq!(log.columns[0].unit.as_deref(), Some("psig"));
}

#[test]
fn nothing_said_leaves_no_key() {
    let home = tempfile::tempdir().unwrap();
    let source = home.path().join("log.csv");
    fs::write(&source, "t_h,p_psig\n0,450\n1,449.9\n2,449.8\n").unwrap();
    let record = Record::create(&home.path().join("record"), flared()).unwrap();
    let (asked, standard) = (Asked::default(), Barometer::standard());
    let seen = preview(&source, &asked, Kind::Hold, standard).unwrap();
    let log = record.attach_log(&source).unwrap().with_said(&asked, &seen);
    let plain = serde_json::to_string(&log).unwrap();
    for key in ["columns", "sheet", "decimal", "header_line", "skip_missing"] {
        assert!(!plain.contains(key), "{plain}");
    }
    assert_eq!(serde_json::from_str::<LogFile>(&plain).unwrap(), log);
}
