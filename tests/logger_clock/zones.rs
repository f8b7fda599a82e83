//! Clocks that are set twice a year.

use super::{Asked, assert_hours, every, plainly, read, refusal};

fn in_zone(zone: &str) -> Asked {
    Asked {
        zone: Some(zone.into()),
        ..Asked::default()
    }
}

#[test]
fn the_doubled_hour_is_told_apart_by_time_that_grows() {
    let log = read("doubled_hour", &in_zone("Europe/Berlin")).unwrap();
    assert_hours(&log, &every(1.0 / 6.0, 30), "every 10 min");
    assert_eq!(
        log.notes,
        [
            "the clocks were set back: from line 21 to line 26 it is the second pass of the hour that they showed twice"
        ]
    );
    let log = read("doubled_hour_every_hour", &in_zone("Europe/Berlin")).unwrap();
    assert_hours(&log, &every(1.0, 10), "every hour");
}

#[test]
fn a_log_that_begins_in_the_second_pass_is_told_by_its_next_step() {
    let log = read("begins_in_the_second_pass", &in_zone("Europe/Berlin")).unwrap();
    assert_hours(&log, &every(1.0 / 6.0, 10), "from 02:20");
}

#[test]
fn a_lone_row_that_could_be_of_either_pass_is_refused() {
    let said = refusal("one_pass_is_missing", &in_zone("Europe/Berlin"));
    assert!(
        said.starts_with("lines 5 to 5: in Europe/Berlin the clocks showed that hour twice"),
        "{said}"
    );
    assert!(
        said.contains("+02 for the first, +01 for the second"),
        "{said}"
    );
}

#[test]
fn without_a_zone_the_doubled_hour_is_refused_and_named() {
    let said = refusal("doubled_hour", &Asked::default());
    assert!(
        said.starts_with("line 21: time goes from 2026-10-25 02:50 back to 2026-10-25 02:00; rows are never sorted silently; if the clocks were set back here, name the place's zone, for example --zone Europe/Berlin. The log has 2 parts"),
        "{said}"
    );
    let said = refusal("doubled_hour_every_hour", &Asked::default());
    assert!(said.contains("line 8: has the time of line 7 (2026-10-25 02:00) but other readings; if the clocks were set back here"), "{said}");
}

#[test]
fn the_missing_hour_is_no_gap_of_the_log() {
    let log = read("missing_hour", &in_zone("Europe/Berlin")).unwrap();
    assert_hours(&log, &every(1.0 / 6.0, 30), "in its zone");
    assert_eq!(
        log.notes,
        [
            "the clocks were set forward between line 14 and line 15: the hour between them did not happen and is not missing"
        ]
    );
    // without a zone it is counted, and said
    let log = plainly("missing_hour");
    assert!((log.hours[29] - (29.0 / 6.0 + 1.0)).abs() < 1e-9);
    assert_eq!(log.notes.len(), 1);
    assert!(
        log.notes[0].starts_with(
            "an hour without rows between line 14 (2026-03-29 01:50) and line 15 (2026-03-29 03:00)"
        ),
        "{:?}",
        log.notes
    );
}

#[test]
fn a_clock_that_was_not_set_forward_is_found_out() {
    let said = refusal("clock_not_set_forward", &in_zone("Europe/Berlin"));
    assert_eq!(
        said,
        "line 15: 2026-03-29 02:00 did not happen in Europe/Berlin, where the clocks were set forward from +01 to +02; so the clock of this log was not set forward: leave --zone away"
    );
    assert_hours(
        &plainly("clock_not_set_forward"),
        &every(1.0 / 6.0, 30),
        "without a zone",
    );
}

#[test]
fn a_zone_that_is_none_names_near_ones() {
    for (typed, near) in [
        ("Europe/Berln", "Europe/Berlin"),
        ("chicago", "America/Chicago"),
        ("America/NewYork", "America/New_York"),
    ] {
        let said = refusal("doubled_hour", &in_zone(typed));
        assert!(
            said.starts_with(&format!(
                "--zone \"{typed}\" is no time zone known here; use a name like "
            )),
            "{said}"
        );
        assert!(said.contains(near), "{said}");
    }
}
