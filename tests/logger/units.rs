//! Gauge or absolute, the units of the trade, two columns that say the same.

use lineproof::quantity::{Barometer, Length, Quantity, unit};
use lineproof::record::logger::{Asked, Role, read_hold};

use crate::{file, hold, hold_as, micron, near, psig, refused, rise, rise_as, said};

#[test]
fn gauge_or_absolute_is_asked() {
    refused(
        hold_as("not-labelled.csv", &Asked::default()),
        &[
            "\"p_bar\"",
            "gauge or absolute?",
            "--pressure-unit \"bar gauge\"",
        ],
    );
    for (name, gauge, absolute) in [
        ("kg-cm2.csv", "kgf/cm2 gauge", "kgf/cm2 abs"),
        ("mpa.csv", "MPa gauge", "MPa abs"),
        ("cmhg.csv", "cmHg vacuum", "cmHg absolute"),
        ("inhg.csv", "inHg vacuum", "inHg absolute"),
    ] {
        refused(
            hold_as(name, &Asked::default()),
            &["gauge or absolute?", gauge, absolute],
        );
    }
}

/// Exact definitions: 1 kgf/cm2 is 98,066.5 Pa, 1 cmHg is 1,333.22 Pa, 1 inHg is 3,386.39 Pa.
#[test]
fn units_of_the_trade_are_read() {
    for (name, unit, pascal) in [
        ("kg-cm2.csv", "kg/cm2 g", 31.6 * 98_066.5 + 101_325.0),
        ("kg-cm2.csv", "kgf/cm2 abs", 31.6 * 98_066.5),
        ("mpa.csv", "MPa abs", 3.1e6),
        ("cmhg.csv", "cmHg vacuum", 101_325.0 - 70.0 * 1_333.223_874),
        ("cmhg.csv", "cmHg absolute", 70.0 * 1_333.223_874),
        ("inhg.csv", "inHg vacuum", 101_325.0 - 29.0 * 3_386.388_64),
    ] {
        let log = hold_as(name, &said(&[], &[(Role::Pressure, unit)])).unwrap();
        let read = log.pressure[0].si();
        assert!(
            (read - pascal).abs() < 1e-6 * 1e5,
            "{name} {unit}: {read} {pascal}"
        );
    }
    for name in ["mmhg.csv", "torr.csv", "hpa.csv"] {
        let log = rise(name);
        for (read, micron) in micron(&log).iter().zip([500.0, 600.0, 700.0]) {
            assert!((read - micron).abs() < 0.02, "{name}: {read}");
        }
    }
}

#[test]
fn a_dial_is_no_proof_of_a_deep_vacuum_and_its_sign_is_asked_about() {
    refused(
        rise_as("inhg-vacuum-signed.csv", &Asked::default()),
        &["line 3", "-29.0 inHg vacuum would lie above the atmosphere"],
    );
}

#[test]
fn a_gauge_column_beside_an_absolute_one_counts_once() {
    let log = hold("psig-and-psia.csv");
    near(&psig(&log)[..2], &[450.0, 449.5]);
    assert!(log.gauge);
}

#[test]
fn an_atmosphere_added_twice_or_not_at_all_is_an_error() {
    for (name, apart) in [
        ("atmosphere-not-added.csv", "lie 0.0 psi apart"),
        ("atmosphere-added-twice.csv", "lie 29.4 psi apart"),
    ] {
        refused(
            hold_as(name, &Asked::default()),
            &[
                "line 3",
                "\"p_psig\"",
                "\"p_psia\"",
                apart,
                "14.7 psi",
                "--pressure-column",
                "--altitude",
            ],
        );
    }
    // at 8,000 ft the atmosphere is 10.9 psi: the same file does not fit there
    let high = Barometer::at_altitude(Length::of(8000.0, unit::FOOT_LENGTH)).unwrap();
    let read = read_hold(&file("psig-and-psia.csv"), &Asked::default(), high);
    refused(read, &["lie 14.7 psi apart", "10.9 psi"]);
    // who names the column has settled it
    let named = said(&[(Role::Pressure, "p_psig")], &[]);
    assert!(hold_as("atmosphere-not-added.csv", &named).is_ok());
}

#[test]
fn a_negative_absolute_pressure_is_a_zero_that_is_off() {
    refused(
        rise_as("negative-absolute.csv", &Asked::default()),
        &["line 5", "-3.0 Pa", "zero is off"],
    );
}

/// What the ceiling of a gauge means is the business of the check; it must come through.
#[test]
fn a_plateau_at_the_ceiling_of_a_gauge_is_read() {
    near(
        &micron(&rise("ceiling.csv")),
        &[171_470.0, 171_470.0, 171_470.0, 60_000.0],
    );
    assert_eq!(rise("ceiling-mbar.csv").pressure.len(), 4);
}

#[test]
fn degrees_side_by_side_count_once_where_they_agree() {
    let log = hold("degf-beside-degc.csv");
    near(
        &[log.outdoor.unwrap()[2].in_unit(unit::FAHRENHEIT)],
        &[58.0],
    );
    refused(
        hold_as("degf-against-degc.csv", &Asked::default()),
        &["\"T_outdoor_F\"", "\"T_outdoor_C\"", "--outdoor-column"],
    );
    let named = said(&[(Role::Outdoor, "T_outdoor_C")], &[]);
    assert!(
        hold_as("degf-against-degc.csv", &named)
            .unwrap()
            .outdoor
            .is_some()
    );
}

#[test]
fn probes_that_may_be_swapped_are_a_note() {
    let log = hold("probes-swapped.csv");
    assert_eq!(log.notes.len(), 1);
    assert!(log.notes[0].contains("not swapped"), "{:?}", log.notes);
    assert!(hold("degf-beside-degc.csv").notes.is_empty());
}

#[test]
fn a_unit_that_was_said_wins_over_none() {
    let asked = said(&[(Role::Outdoor, "#3")], &[(Role::Outdoor, "K")]);
    refused(
        hold_as("coarse-digits.csv", &asked),
        &["there is no column \"#3\""],
    );
    let asked = said(&[], &[(Role::Pressure, "furlong")]);
    refused(
        hold_as("coarse-digits.csv", &asked),
        &["--pressure-unit", "furlong"],
    );
}

#[test]
fn two_different_units_of_one_column_are_asked_about() {
    refused(
        hold_as("two-units.csv", &Asked::default()),
        &["\"p_psig\"", "as psig and as micron", "--pressure-unit"],
    );
    let asked = said(&[], &[(Role::Pressure, "psig")]);
    near(
        &psig(&hold_as("two-units.csv", &asked).unwrap()),
        &[450.0, 449.5, 449.0],
    );
}
