//! Decimal signs, thousands, words, overloads, lost probes.

use lineproof::quantity::{Quantity, unit};
use lineproof::record::logger::{Asked, Decimal};

use crate::{hold, hold_as, micron, near, psig, refused, rise, rise_as, skipping};

fn with(decimal: Decimal) -> Asked {
    Asked {
        decimal: Some(decimal),
        ..Asked::default()
    }
}

#[test]
fn decimal_commas_are_read_where_all_numbers_have_them() {
    let log = hold("decimal-comma.csv");
    near(&log.hours[..3], &[0.0, 0.5, 1.0]);
    let bar: Vec<f64> = log
        .pressure
        .iter()
        .map(|p| p.si() / 1e5 - 1.01325)
        .collect();
    near(&bar[..3], &[31.2, 31.1, 31.0]);
    let outdoor = log.outdoor.unwrap();
    near(&[outdoor[1].in_unit(unit::CELSIUS)], &[6.8]);
}

#[test]
fn points_and_commas_in_one_file_are_refused_with_line_and_value() {
    refused(
        hold_as("mixed-decimals.csv", &Asked::default()),
        &["\"449.5\" in line 5", "\"450,5\" in line 3"],
    );
}

#[test]
fn a_comma_that_could_be_a_thousand_is_asked_about() {
    refused(
        rise_as("thousands-either.csv", &Asked::default()),
        &[
            "line 3",
            "\"p_micron\"",
            "\"1,234\"",
            "--decimal comma or --decimal point",
        ],
    );
    let as_point = rise_as("thousands-either.csv", &with(Decimal::Point)).unwrap();
    near(&micron(&as_point), &[1234.0, 1235.0, 1236.0, 1240.0]);
    let as_comma = rise_as("thousands-either.csv", &with(Decimal::Comma)).unwrap();
    near(&micron(&as_comma), &[1.234, 1.235, 1.236, 1.24]);
}

#[test]
fn thousands_are_read_where_one_number_has_both_signs() {
    near(
        &micron(&rise("thousands-point.csv")),
        &[950.5, 1234.5, 1401.0, 1502.0],
    );
    near(
        &micron(&rise("thousands-comma.csv")),
        &[950.5, 1299.99, 1401.0, 1502.5],
    );
}

#[test]
fn words_are_no_readings_and_never_nought() {
    refused(
        hold_as("words.csv", &Asked::default()),
        &[
            "line 4",
            "\"p_psig\"",
            "\"Off\" is no reading",
            "--skip-missing",
        ],
    );
    let log = hold_as("words.csv", &skipping(Asked::default())).unwrap();
    near(&psig(&log), &[450.0, 449.5, 449.0]);
    near(&log.hours, &[0.0, 4.0, 6.0]);
    let said = log.left_out.join("; ");
    for reason in [
        "line 4: \"Off\"",
        "line 5: \"OL\"",
        "line 6: \"---\"",
        "line 8: \"\" in column \"T_outdoor_F\"",
    ] {
        assert!(said.contains(reason), "{reason} is not in {said}");
    }
}

#[test]
fn an_overload_is_no_reading() {
    refused(
        hold_as("overload.csv", &Asked::default()),
        &["line 4", "\"9.99999999e+37\" is an overload"],
    );
    let log = hold_as("overload.csv", &skipping(Asked::default())).unwrap();
    near(&psig(&log), &[450.0, 449.5, 449.0]);
    assert_eq!(
        log.left_out,
        ["line 4: \"9.99999999e+37\" (an overload) in column \"p_psig\""]
    );
}

#[test]
fn a_lost_probe_is_no_reading() {
    refused(
        hold_as("lost-probes.csv", &Asked::default()),
        &[
            "line 4",
            "\"T_outdoor_C\"",
            "\"-9999\" stands for a lost sensor",
        ],
    );
    let log = hold_as("lost-probes.csv", &skipping(Asked::default())).unwrap();
    near(&log.hours, &[0.0, 4.0, 6.0]);
    let said = log.left_out.join("; ");
    for reason in [
        "line 4: \"-9999\" (a lost sensor)",
        "line 5: \"-275\"",
        "line 6: \"0\" (a lost sensor) in column \"T_indoor_F\"",
        "line 8: \"-127\"",
    ] {
        assert!(said.contains(reason), "{reason} is not in {said}");
    }
    refused(
        hold_as("zero-kelvin.csv", &Asked::default()),
        &[
            "line 4",
            "0 K is no temperature that is measured here",
            "--skip-missing",
        ],
    );
    let log = hold_as("zero-kelvin.csv", &skipping(Asked::default())).unwrap();
    assert_eq!(log.hours, [0.0, 2.0, 3.0]);
}

#[test]
fn many_digits_are_one_number() {
    let log = rise("many-digits.csv");
    near(&micron(&log), &[0.1, 0.2, 0.3, 0.4]);
    let step = log.smallest_step.unwrap().in_unit(unit::MICRON_DIFF);
    assert!((step - 0.1).abs() < 1e-9, "{step}");
}

#[test]
fn a_unit_behind_every_number_is_the_unit() {
    let log = hold("unit-in-cells.csv");
    near(&psig(&log), &[450.0, 449.5, 449.0]);
    near(
        &[log.outdoor.unwrap()[1].in_unit(unit::FAHRENHEIT)],
        &[59.5],
    );
    refused(
        hold_as("units-in-cells-differ.csv", &Asked::default()),
        &["line 4", "31 bar gauge"],
    );
    refused(
        hold_as("unit-in-some-cells.csv", &Asked::default()),
        &[
            "line 4",
            "\"449.5\" has no \"psig\" where other cells have it",
        ],
    );
}

#[test]
fn coarse_digits_show_as_the_smallest_step() {
    let step = hold("coarse-digits.csv").smallest_step.unwrap();
    near(&[step.in_unit(unit::PSI_DIFF)], &[5.0]);
}
