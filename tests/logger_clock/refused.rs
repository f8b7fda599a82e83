//! Clocks that are refused, each with what to do next.

use super::{Asked, format, part, refusal};

#[test]
fn formats_that_fit_the_whole_column_are_proposed_and_none_is_taken() {
    // 17 to 25 November leave one order only
    assert_eq!(
        refusal("day_first_over_the_twelfth", &Asked::default()),
        "line 3, column \"time\": the order of day, month and year in \"05/11/2026 00:00\" is not taken for granted; one format fits every row and makes time grow evenly from row to row: if that is right, add it (--time-format \"%d/%m/%Y %H:%M\" reads it as 5 November 2026 00:00)"
    );
    // 3 to 8 November as months would be a month apart: both grow, both evenly
    let said = refusal("even_only_day_first", &Asked::default());
    assert!(said.contains("--time-format \"%d/%m/%Y %H:%M\" reads it as 3 November 2026 00:00, or --time-format \"%m/%d/%Y %H:%M\" reads it as 11 March 2026 00:00"), "{said}");
    // 12 and 13 November: the second day rules months first out
    let said = refusal("day_first_one_reading", &Asked::default());
    assert!(said.contains("one format fits every row and"), "{said}");
    assert!(
        said.contains("\"%d.%m.%Y %H:%M\" reads it as 12 November 2026 22:00"),
        "{said}"
    );
    let said = refusal("two_digit_years", &Asked::default());
    assert!(
        said.contains("\"%d/%m/%y %H:%M\" reads it as 12 November 2026 22:00"),
        "{said}"
    );
    assert!(!said.contains("%m/%d"), "{said}");
}

#[test]
fn a_12_hour_clock_without_am_and_pm_is_named() {
    for name in ["twelve_hours_without", "clock_of_twelve_hours"] {
        let said = refusal(name, &Asked::default());
        assert!(said.starts_with("line 11: time goes from "), "{said}");
        assert!(said.ends_with("this looks like a 12-hour clock without AM or PM; export the log with a 24-hour clock, or with AM and PM"), "{said}");
    }
}

#[test]
fn a_clock_that_restarts_names_its_parts_and_how_to_take_one() {
    assert_eq!(
        refusal("clock_restarts", &Asked::default()),
        "line 63: time goes from 600.046 back to 0.100; rows are never sorted silently. The log has 3 parts (part 1: lines 3 to 62, 7 s; part 2: lines 63 to 102, 5 s; part 3: lines 103 to 122, 95 s); if the clock restarted, take one of them, for example --part 2"
    );
    let said = refusal("clock_restarts_by_day", &Asked::default());
    assert!(
        said.contains("line 9: time goes from 14:30 back to 08:00"),
        "{said}"
    );
    assert!(said.contains("part 1: lines 3 to 8, 2.5 h"), "{said}");
    let said = refusal("shuffled", &Asked::default());
    assert!(
        said.contains(
            "and 31 more: so many look like rows out of order or of two loggers in one file"
        ),
        "{said}"
    );
}

#[test]
fn a_part_that_is_not_there_is_refused() {
    let said = refusal("clock_restarts", &part(4));
    assert!(
        said.starts_with("--part 4: this log has 3 parts (part 1: "),
        "{said}"
    );
    assert!(refusal("clock_restarts", &part(0)).starts_with("--part 0: this log has 3 parts"));
    let said = refusal("a_time_twice", &part(2));
    assert_eq!(
        said,
        "--part 2: this log has one part only (lines 3 to 6, 2 min)"
    );
}

#[test]
fn the_same_time_with_other_readings_is_refused() {
    assert_eq!(
        refusal("a_time_twice", &Asked::default()),
        "line 5: has the time of line 4 (1) but other readings; keep one of the two rows in a copy of the file, or export the time with more digits"
    );
}

#[test]
fn numbers_without_a_unit_are_asked_about() {
    let said = refusal("spreadsheet_days", &Asked::default());
    assert!(
        said.contains("is \"46338.916667\" the day number of a spreadsheet"),
        "{said}"
    );
    assert!(said.contains("--time-format excel"), "{said}");
    let said = refusal("unix_without_a_name", &Asked::default());
    assert!(
        said.contains("is \"1794517200\" in seconds since 1970? say --time-format unix, or rename"),
        "{said}"
    );
}

#[test]
fn a_cell_that_is_unlike_the_others_is_named() {
    let said = refusal("a_broken_cell", &Asked::default());
    assert!(said.starts_with("line 8, column \"time\": \"--\" is not a date and time like the first, \"12 Nov 2026 22:00\" in line 3"), "{said}");
    let said = refusal("some_with_an_offset", &Asked::default());
    assert!(said.starts_with("line 8, column \"time\": \"2026-11-13 00:30:00Z\" is not a date and time like the first"), "{said}");
}

#[test]
fn a_format_that_does_not_fit_or_is_none_is_refused() {
    let said = refusal("two_digit_years", &format("%m/%d/%y %H:%M"));
    assert!(said.starts_with("line 7, column \"time\": \"13/11/26 00:00\" does not fit --time-format \"%m/%d/%y %H:%M\" ("), "{said}");
    let said = refusal("two_digit_years", &format("%d/%m/%Y %H:%M"));
    assert!(
        said.contains("(year 26, where 1980 to 2100 is expected)"),
        "{said}"
    );
    for none in ["dd/mm/yy", "%d/%m/%E5"] {
        let said = refusal("two_digit_years", &format(none));
        assert!(
            said.starts_with(&format!("--time-format \"{none}\" is no format known here")),
            "{said}"
        );
    }
    let said = refusal("clock_restarts", &format("excel"));
    assert!(
        said.contains("a day number lies between 61 and 80000"),
        "{said}"
    );
}
