//! The clock of a logger file: every way people write it, and every way it goes wrong.
//!
//! The files in `data` are invented, but for `raw_format_clock_restart.csv`, `two_gauge_log_off_and_gap.csv` and
//! `cylinder_pressure_dropouts.csv`, which were logged by others and published; only their clocks are looked at.

mod refused;
mod zones;

use std::path::{Path, PathBuf};

use lineproof::quantity::Barometer;
use lineproof::record::logger::{Asked, HoldLog, LoggerError, Role, read_hold};

pub fn file(name: &str) -> PathBuf {
    let data = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/logger_clock/data");
    data.join(format!("{name}.csv"))
}

pub fn read(name: &str, asked: &Asked) -> Result<HoldLog, LoggerError> {
    read_hold(&file(name), asked, Barometer::standard())
}

pub fn plainly(name: &str) -> HoldLog {
    read(name, &Asked::default()).unwrap_or_else(|e| panic!("{e}"))
}

/// What is said without the file's name.
pub fn refusal(name: &str, asked: &Asked) -> String {
    let said = read(name, asked).expect_err(name).to_string();
    let (_, said) = said.split_once(".csv: ").expect("an error names its file");
    said.to_string()
}

pub fn format(format: &str) -> Asked {
    Asked {
        time_format: Some(format.into()),
        ..Asked::default()
    }
}

pub fn part(part: usize) -> Asked {
    Asked {
        part: Some(part),
        ..Asked::default()
    }
}

/// Hours, each so many after the one before.
pub fn every(hours: f64, rows: usize) -> Vec<f64> {
    (0..rows).map(|i| i as f64 * hours).collect()
}

pub fn assert_hours(log: &HoldLog, expected: &[f64], name: &str) {
    assert_eq!(log.hours.len(), expected.len(), "{name}: rows");
    for (hours, expected) in log.hours.iter().zip(expected) {
        // a day number of six decimals has 0.04 s
        assert!(
            (hours - expected).abs() < 3e-5,
            "{name}: {hours} h for {expected} h"
        );
    }
}

#[test]
fn dates_that_read_in_one_way_are_read() {
    for name in [
        "iso_utc_offset",
        "iso_offset_after_a_blank",
        "iso_zoned",
        "slashes_year_first",
        "month_by_name",
        "fractions_of_seconds",
        "date_and_time_apart",
    ] {
        let log = plainly(name);
        assert_hours(&log, &every(0.5, 12), name);
        assert_eq!(log.notes, Vec::<String>::new(), "{name}");
    }
}

#[test]
fn noon_is_12_pm_and_midnight_12_am() {
    assert_hours(
        &plainly("twelve_hours_with_am_pm"),
        &every(1.0, 30),
        "AM and PM",
    );
}

#[test]
fn a_clock_without_a_date_passes_midnight_and_says_so() {
    let log = plainly("clock_past_midnight");
    assert_hours(&log, &every(0.5, 12), "one midnight");
    assert_eq!(
        log.notes,
        [
            "the clock has no date and passes midnight once, first at line 7 (23:30:00 to 00:00:00): the next day was taken"
        ]
    );
    let log = plainly("clock_past_two_midnights");
    assert_hours(&log, &every(0.5, 100), "two midnights");
    assert!(
        log.notes[0].contains("passes midnight 2 times"),
        "{:?}",
        log.notes
    );
}

#[test]
fn elapsed_time_with_colons_may_exceed_a_day() {
    assert_hours(
        &plainly("minutes_and_seconds"),
        &every(10.0 / 3600.0, 12),
        "mm:ss",
    );
    assert_hours(&plainly("elapsed_over_a_day"), &every(2.0, 15), "elapsed");
}

#[test]
fn seconds_since_1970_are_read_where_the_name_says_so() {
    let log = plainly("unix_seconds");
    assert_hours(&log, &every(0.5, 12), "s");
    assert_eq!(
        log.notes,
        ["column \"unix_time\" is read as seconds since 1970"]
    );
    assert_hours(&plainly("unix_ms"), &every(0.5, 12), "ms");
    assert_hours(
        &read("unix_without_a_name", &format("unix")).unwrap(),
        &every(0.5, 12),
        "asked",
    );
}

#[test]
fn a_format_that_is_asked_for_is_taken() {
    for (name, asked, rows) in [
        ("two_digit_years", "%d/%m/%y %H:%M", every(0.5, 12)),
        ("day_first_one_reading", "%d.%m.%Y %H:%M", every(0.5, 12)),
        (
            "day_first_over_the_twelfth",
            "%d/%m/%Y %H:%M",
            every(6.0, 80),
        ),
        ("even_only_day_first", "%d/%m/%Y %H:%M", every(24.0, 6)),
        ("spreadsheet_days", "excel", every(0.5, 12)),
        ("minutes_and_seconds", "%M:%S", every(10.0 / 3600.0, 12)),
        (
            "a_row_twice",
            "min",
            vec![
                0.0,
                1.0 / 60.0,
                2.0 / 60.0,
                3.0 / 60.0,
                4.0 / 60.0,
                5.0 / 60.0,
            ],
        ),
    ] {
        assert_hours(&read(name, &format(asked)).unwrap(), &rows, name);
    }
}

#[test]
fn a_row_that_repeats_the_one_before_is_counted_once() {
    let log = plainly("a_row_twice");
    assert_eq!(log.hours.len(), 6);
    assert_eq!(
        log.notes,
        [
            "2 lines, the first of them line 6, repeat the line before them cell by cell and are counted once"
        ]
    );
}

#[test]
fn one_part_of_a_log_whose_clock_restarts_is_read_when_asked_for() {
    let log = read("clock_restarts", &part(2)).unwrap();
    assert_eq!(log.hours.len(), 40);
    assert_eq!(log.pressure.len(), 40);
    assert_eq!(
        log.notes,
        ["part 2 of 3 is judged: lines 63 to 102, 5 s; the others are left out"]
    );
    assert_eq!(read("clock_restarts", &part(3)).unwrap().hours.len(), 20);
    // one part only: asking for it changes nothing
    assert_eq!(
        read("a_row_twice", &part(1)).unwrap(),
        plainly("a_row_twice")
    );
}

/// Logs of others; what their columns hold is no pressure of a hold, their clocks count.
#[test]
fn logs_that_were_published_have_the_clocks_they_have() {
    let gauge = |column: &str, unit: &str| {
        let columns = [(Role::Pressure, Some(column.to_string()))];
        Asked::of(columns, [(Role::Pressure, Some(unit.to_string()))])
    };
    let restart = gauge("Voltage (V)", "psia");
    let said = refusal("raw_format_clock_restart", &restart);
    assert!(
        said.starts_with("line 62: time goes from 600.046 back to 0.101; rows are never sorted silently. The log has 2 parts (part 1: lines 2 to 61, 7 s; part 2: lines 62 to 181, 14 s)"),
        "{said}"
    );
    let second = read(
        "raw_format_clock_restart",
        &Asked {
            part: Some(2),
            ..restart
        },
    )
    .unwrap();
    assert_eq!(second.hours.len(), 120);
    assert!((second.hours[119] * 3600.0 - (14.579 - 0.101)).abs() < 1e-6);

    let two = read("two_gauge_log_off_and_gap", &gauge("Gauge 2", "Pa")).unwrap();
    assert_eq!(two.hours.len(), 107);
    let gap = two
        .hours
        .windows(2)
        .map(|w| w[1] - w[0])
        .fold(0.0, f64::max);
    assert!((gap - 23.71).abs() < 0.01, "{gap}");

    let cylinder = read(
        "cylinder_pressure_dropouts",
        &gauge("pressure1_bar", "bar gauge"),
    )
    .unwrap();
    assert_hours(&cylinder, &every(10.0 / 3600.0, 15), "mm:ss");
}
