//! A reading that comes from a running log.

use std::fs;
use std::path::{Path, PathBuf};

use lineproof::check::run::steady::Channel;
use lineproof::check::run::{Input, LowSide, Yes};
use lineproof::quantity::{Quantity, Temperature, unit};
use lineproof::record::{AsTyped, Event, EventBody, Reading, Record};

fn copied(to: &Path) -> PathBuf {
    let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/bandroom-logged");
    let folder = to.join("record");
    fs::create_dir_all(folder.join("logs")).unwrap();
    for name in [
        "lineset.toml",
        "events.jsonl",
        "events.sum",
        "logs/running.csv",
    ] {
        fs::copy(from.join(name), folder.join(name)).unwrap();
    }
    folder
}

fn reading(record: &Record) -> (&Event, &Reading) {
    let found = record.events.iter().rev().find_map(|e| match &e.body {
        EventBody::Reading(reading) => Some((e, &**reading)),
        _ => None,
    });
    found.unwrap()
}

fn input(record: &Record, change: impl FnOnce(&mut Reading)) -> Input {
    let (event, reading) = reading(record);
    let mut reading = reading.clone();
    change(&mut reading);
    record.run_input(event, &reading).unwrap().unwrap()
}

#[test]
fn the_window_gives_the_readings_their_error_and_the_time_it_has_run() {
    let home = tempfile::tempdir().unwrap();
    let record = Record::open(&copied(home.path())).unwrap();
    let found = input(&record, |_| {});
    let window = found.log.as_ref().unwrap().window.as_ref().unwrap();
    let line = found.suction_line.as_ref().unwrap();
    let still = window.channel(Channel::SuctionLine).unwrap();
    assert_eq!(line.value.si(), still.mean);
    // the invented log was made with 12.0 °C; the probes' 0.3 K limit and 0.1 K step, and the window's own error
    assert!((line.value.in_unit(unit::CELSIUS) - 12.0).abs() < 0.1);
    let instrument = (0.3_f64 / 3f64.sqrt()).hypot(0.1 / 12f64.sqrt());
    let expected = instrument.hypot(still.mean_error);
    assert!((line.standard_uncertainty.si() - expected).abs() < 1e-12);
    assert_eq!(found.conditions.running_for, Some(window.to));
    assert_eq!(found.conditions.steady, Some(Yes::Yes));
    assert!(matches!(found.low, Some(LowSide::CoilBend(_))));
    let later = input(&record, |r| r.running = AsTyped::read("10 min").ok());
    let more = later.conditions.running_for.unwrap().si() - window.to.si();
    assert!((more - 600.0).abs() < 1e-9);
}

#[test]
fn what_was_typed_beside_the_log_wins_and_is_said() {
    let home = tempfile::tempdir().unwrap();
    let record = Record::open(&copied(home.path())).unwrap();
    let found = input(&record, |r| {
        r.outdoor = AsTyped::read("31 C").ok();
        r.steady = lineproof::record::Answer::No;
    });
    let outdoor = found.conditions.outdoor.unwrap();
    assert_eq!(outdoor.value, Temperature::of(31.0, unit::CELSIUS));
    assert_eq!(found.log.unwrap().by_hand, [Channel::Outdoor]);
    assert_eq!(found.conditions.steady, Some(Yes::No));
}

#[test]
fn a_running_log_that_was_edited_or_is_gone_is_told() {
    let home = tempfile::tempdir().unwrap();
    let folder = copied(home.path());
    let log = folder.join("logs/running.csv");
    let text = fs::read_to_string(&log).unwrap();
    fs::write(&log, text.replacen("11.9", "15.9", 1)).unwrap();
    let record = Record::open(&folder).unwrap();
    assert!(!record.verify().unwrap().intact());
    assert_eq!(record.files_that_changed().len(), 1);
    fs::remove_file(&log).unwrap();
    assert!(!record.verify().unwrap().intact());
    assert_eq!(record.files_that_changed().len(), 1);
}
