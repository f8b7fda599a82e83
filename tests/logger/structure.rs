//! Preambles, units below names, encodings, line ends, names, shifted and lost cells.

use lineproof::record::logger::{Asked, Kind, Role};

use crate::{hold, hold_as, micron, near, psig, refused, rise, rise_as, said, seen, skipping};

#[test]
fn lines_above_the_names_are_passed_over() {
    let log = hold("preamble.csv");
    assert_eq!(psig(&log).len(), 8);
    near(&psig(&log)[..2], &[450.0, 449.5]);
}

#[test]
fn two_lines_of_names_are_asked_about() {
    refused(
        hold_as("two-headers.csv", &Asked::default()),
        &["lines 2 and 6", "--header-line"],
    );
    let line = |n| Asked {
        header_line: Some(n),
        ..Asked::default()
    };
    near(
        &psig(&hold_as("two-headers.csv", &line(6)).unwrap()),
        &[440.0, 439.5, 439.0],
    );
    refused(hold_as("two-headers.csv", &line(77)), &["line 77"]);
}

#[test]
fn a_row_of_units_below_the_names_is_used() {
    let log = hold("units-row.csv");
    near(&log.hours[..2], &[0.0, 1.0]);
    near(
        &[lineproof::quantity::Quantity::si(log.pressure[1])],
        &[32.05e5],
    );
    assert!(!log.gauge);
    assert_eq!(log.outdoor.unwrap().len(), 8);
}

#[test]
fn separators_blanks_and_line_ends_make_no_difference() {
    let plain: Vec<f64> = (0..8).map(|i| 450.0 - 0.5 * f64::from(i)).collect();
    for name in [
        "tabs.tsv",
        "semicolons.csv",
        "blanks.txt",
        "padded.csv",
        "crlf.csv",
        "byte-order-mark.csv",
        "utf-16-le.csv",
        "utf-16-be.csv",
        "windows-1252.csv",
        "clock-and-word-quotes.csv",
    ] {
        near(&psig(&hold(name)), &plain);
    }
    near(&psig(&hold("comments.csv")), &[450.0, 449.5, 449.0]);
}

#[test]
fn a_degree_sign_is_read_in_every_encoding() {
    for name in [
        "utf-16-le.csv",
        "windows-1252.csv",
        "clock-and-word-quotes.csv",
    ] {
        assert!(hold(name).outdoor.is_some(), "{name}");
    }
    refused(
        hold_as("not-text.csv", &Asked::default()),
        &["line 3", "is not text"],
    );
}

#[test]
fn one_name_on_two_columns_is_asked_by_number() {
    refused(
        hold_as("same-name-twice.csv", &Asked::default()),
        &[
            "\"p_psig\" (#2)",
            "\"p_psig\" (#3)",
            "--pressure-column \"#2\" or --pressure-column \"#3\"",
        ],
    );
    for (asked, first) in [
        ("#2", 450.0),
        ("#3", 250.0),
        ("3", 250.0),
        ("p_psig#2", 250.0),
        ("p_psig#1", 450.0),
    ] {
        let log = hold_as(
            "same-name-twice.csv",
            &said(&[(Role::Pressure, asked)], &[]),
        )
        .unwrap();
        near(&psig(&log)[..1], &[first]);
    }
    for asked in ["#0", "#4", "p_psig#3", "p#1"] {
        refused(
            hold_as(
                "same-name-twice.csv",
                &said(&[(Role::Pressure, asked)], &[]),
            ),
            &["there is no column", asked],
        );
    }
    refused(
        hold_as(
            "same-name-twice.csv",
            &said(&[(Role::Pressure, "p_psig")], &[]),
        ),
        &["(#2)", "(#3)"],
    );
}

#[test]
fn a_lost_sensor_that_shifts_columns_is_refused() {
    let asked = skipping(Asked::default());
    refused(
        hold_as("lost-sensor-shifts.csv", &asked),
        &[
            "line 5",
            "has 3 cells where 4 columns are named",
            "lost sensor",
        ],
    );
}

#[test]
fn a_file_cut_short_loses_its_last_line_only() {
    let log = hold("cut-short.csv");
    assert_eq!(log.pressure.len(), 8);
    assert_eq!(
        log.left_out,
        ["line 11: the file ends in the middle of it, after 2 of 3 cells"]
    );
}

/// A logger that lost its power in the middle of a number; without a line end alone nothing is lost.
#[test]
fn a_number_cut_off_at_the_end_is_left_out() {
    let read = |name: &str, rows: &str| {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join(name);
        std::fs::write(&path, format!("t_min,p_micron\n{rows}")).unwrap();
        let barometer = lineproof::quantity::Barometer::standard();
        let log = lineproof::record::logger::read_rise(&path, &Asked::default(), barometer);
        let log = log.unwrap();
        (log.pressure.len(), log.left_out)
    };
    let cases = [
        ("decimals", "0,401.5\n1,402.5\n2,403.5\n3,404.5\n4,40", 4),
        ("a digit", "0,401\n1,402\n2,403\n3,404\n4,40", 4),
        ("whole", "0,401.5\n1,402.5\n2,403.5\n3,404.5\n4,405.5", 5),
        ("ended", "0,401.5\n1,402.5\n2,403.5\n3,404.5\n4,40\n", 5),
        ("a shorter number", "0,102\n1,102\n2,101\n3,100\n4,99", 5),
        ("as it came", "0,401.5\n1,402\n2,403.5\n3,404.5\n4,405", 5),
        ("too few to say", "0,401.5\n1,402.5\n2,40", 3),
    ];
    for (name, rows, kept) in cases {
        let (found, left_out) = read(name, rows);
        assert_eq!(
            (found, left_out.len()),
            (kept, 5_usize.min(rows.lines().count()) - kept),
            "{name}"
        );
        for said in left_out {
            assert!(
                said.starts_with("line 6: the file ends in the middle of it: \"40\""),
                "{said}"
            );
        }
    }
}

#[test]
fn sensors_that_take_turns_leave_rows_with_both() {
    refused(
        hold_as("taking-turns.csv", &Asked::default()),
        &["line 4", "\"p_psig\"", "--skip-missing"],
    );
    let log = hold_as("taking-turns.csv", &skipping(Asked::default())).unwrap();
    near(&psig(&log), &[449.5, 449.5]);
    assert_eq!(log.left_out.len(), 5);
    refused(
        hold_as("always-taking-turns.csv", &skipping(Asked::default())),
        &["readings in it: 0", "rows were left out"],
    );
}

/// A published log of two pressure sensors, of which one reports every sixth time: the one that was asked for is read.
#[test]
fn two_sensors_with_dropouts_are_asked_about_and_read_one_at_a_time() {
    let open = |asked: &Asked| {
        let preview = seen("cylinder_pressure_dropouts.csv", Kind::Hold, asked);
        preview.open.join("; ")
    };
    let both = open(&Asked::default());
    assert!(both.contains("\"pressure0_bar\" and \"pressure1_bar\" could both be the pressure"));
    let unit = open(&said(&[(Role::Pressure, "pressure0_bar")], &[]));
    assert!(unit.contains("gauge or absolute?"), "{unit}");
    let gauge = said(
        &[(Role::Pressure, "pressure0_bar")],
        &[(Role::Pressure, "bar gauge")],
    );
    let word = open(&gauge);
    assert!(
        word.contains("line 2, column \"pressure0_bar\": \"\" is no reading"),
        "{word}"
    );
    let preview = seen(
        "cylinder_pressure_dropouts.csv",
        Kind::Hold,
        &skipping(gauge),
    );
    // counted by hand: 6 of 15 rows have it
    assert_eq!(preview.rows, 6);
}

#[test]
fn a_word_of_a_gauge_that_is_off_is_no_reading() {
    let name = "two_gauge_log_off_and_gap.csv";
    refused(
        rise_as(name, &Asked::default()),
        &["\"Gauge 1\"", "\"Gauge 2\"", "--pressure-column"],
    );
    let pascal = |column| said(&[(Role::Pressure, column)], &[(Role::Pressure, "Pa")]);
    refused(
        rise_as(name, &pascal("Gauge 1")),
        &["line 2", "\"Off\" is no reading"],
    );
    let log = rise_as(name, &pascal("Gauge 2")).unwrap();
    assert_eq!(log.pressure.len(), 107);
    // one digit of it is 10 Pa, 75 micron
    near(
        &[lineproof::quantity::Quantity::si(
            log.smallest_step.unwrap(),
        )],
        &[10.0],
    );
}

#[test]
fn phases_of_a_published_rise_are_read() {
    let name = "vac_truncated_30s.csv";
    refused(
        rise_as(name, &Asked::default()),
        &["\"phase_time_s\"", "\"total_time_s\"", "--time-column"],
    );
    let log = rise_as(name, &said(&[(Role::Time, "total_time_s")], &[])).unwrap();
    assert!(log.phases.unwrap().iter().all(|p| p == "pump"));
    assert_eq!(log.pressure.len(), 7);
}

#[test]
fn second_is_a_time_and_second_micron_a_gauge() {
    near(&rise("second-is-a-time.csv").minutes, &[0.0, 1.0, 2.0]);
    let log = rise("second-gauge.csv");
    near(&micron(&log), &[300.0, 310.0, 320.0]);
    assert_eq!(log.second.unwrap().len(), 3);
    assert_eq!(log.phases.unwrap(), ["pump", "isolated", "isolated"]);
}

/// The contract of a script: these files are read as they are.
#[test]
fn the_series_with_known_truth_are_read_as_they_are() {
    for i in 1..=8 {
        let log = hold(&format!("../../statistics/data/decay_{i:02}.csv"));
        assert!(
            log.gauge && log.outdoor.is_some() && log.left_out.is_empty() && log.notes.is_empty()
        );
        let log = rise(&format!("../../statistics/data/vacuum_{i:02}.csv"));
        assert!(log.second.is_none() && log.left_out.is_empty());
    }
}

#[test]
fn a_file_that_is_too_large_is_refused_before_it_is_read() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("large.csv");
    std::fs::File::create(&path)
        .unwrap()
        .set_len(300 << 20)
        .unwrap();
    refused(
        lineproof::record::logger::read_hold(
            &path,
            &Asked::default(),
            lineproof::quantity::Barometer::standard(),
        ),
        &["is 300 MiB, at most 256 MiB"],
    );
}
