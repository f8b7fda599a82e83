//! California Energy Commission, Reference Residential Appendix RA3.2: the named limits of *run*, row by row.
//!
//! Every row of the file is either held against ours, by edition and role, or listed as none of our limits.

use std::collections::HashMap;

use lineproof::check::run::{Criteria, Tolerance, WINTER_SETUP, instruments};
use lineproof::quantity::{Quantity, Temperature, TemperatureDiff, unit};
use lineproof::source::Status;

use crate::{number, rows};

type Row = HashMap<String, String>;

/// One of the limits of some criteria.
type Limit = fn(&Criteria) -> Tolerance;

fn all_rows() -> Vec<Row> {
    rows(include_str!("data/charge_verification_criteria.csv"))
}

fn range(text: &str) -> (f64, f64) {
    let (low, high) = text.split_once("..").expect("a range");
    (number(low), number(high))
}

fn degf(difference: TemperatureDiff) -> f64 {
    difference.in_unit(unit::FAHRENHEIT_DIFF)
}

fn agree(ours: f64, printed: f64) {
    assert!((ours - printed).abs() < 1e-9, "{ours} against {printed}");
}

fn same_range(ours: Tolerance, printed: &str) {
    let (low, high) = range(printed);
    agree(degf(ours.low), low);
    agree(degf(ours.high), high);
}

/// The criteria of a row's role in every edition that the row speaks for.
fn of_row(row: &Row, role: &str) -> Vec<Criteria> {
    let years: &[&str] = match row["edition"].as_str() {
        "2008" => &["2008"],
        "2013 and later" => &["2013"],
        "2008 and 2013" => &["2008", "2013"],
        other => panic!("edition \"{other}\""),
    };
    years
        .iter()
        .map(|year| {
            let name = format!("ra3-{role}-{year}");
            Criteria::named(&name).unwrap_or_else(|| panic!("no {name}"))
        })
        .collect()
}

/// Rows about how to work, which are no limit that a reading is held against.
const NOT_OURS: [&str; 9] = [
    "return air sensors inserted at",
    "thermometer resolution",
    "air/bath sensor response",
    "pipe sensor response",
    "ice-bath check: correct sensor if off by more than",
    "ice-bath check: replace sensor if off by more than",
    "gauge check: cylinder rest before comparing with P-T chart",
    "weigh-in procedure allowed at outdoor temperature",
    "temperature split: below lower limit again after re-measuring",
];

fn held_against_ours(row: &Row) -> bool {
    let item = row["item"].as_str();
    for role in ["installer", "verifier"] {
        let printed = row[role].as_str();
        let hold = |limit: Limit| {
            for ours in of_row(row, role) {
                same_range(limit(&ours), printed);
            }
        };
        match item {
            "superheat minus target, fixed orifice, pass range" => hold(|c| c.superheat),
            "subcooling minus manufacturer target, TXV/EXV, pass range" => hold(|c| c.subcooling),
            "metering device test: superheat, used when the maker gives no range" => {
                hold(|c| c.valve_superheat);
            }
            "temperature split minus target, pass range" => hold(|c| c.split),
            "target superheat below which the test is invalid" => {
                for ours in of_row(row, role) {
                    agree(degf(ours.least_target_superheat), number(printed));
                }
            }
            "alternative to split test: measured airflow at least" => {
                assert_eq!(row["unit"], "cfm/ton");
                for ours in of_row(row, role) {
                    let least = ours.least_airflow_per_ton;
                    agree(least.in_unit(unit::CUBIC_FOOT_PER_MINUTE), number(printed));
                }
            }
            "outdoor air at or above (standard procedure)" => {
                for ours in of_row(row, role) {
                    agree(
                        ours.outdoor_least.in_unit(unit::FAHRENHEIT),
                        number(printed),
                    );
                }
            }
            "run time before any reading"
            | "run time after every charge change before final reading" => {
                for ours in of_row(row, role) {
                    agree(ours.run_least.in_unit(unit::MINUTE), number(printed));
                }
            }
            "winter setup outdoor range (TXV/EXV, subcooling systems only)" => {
                let (low, high) = WINTER_SETUP.outdoor();
                let (printed_low, printed_high) = range(printed);
                agree(low.in_unit(unit::FAHRENHEIT), printed_low);
                agree(high.in_unit(unit::FAHRENHEIT), printed_high);
            }
            "thermometer accuracy" if role == "installer" => {
                assert_eq!(printed, "0.1% of reading + 1.3");
                let at = |t| {
                    degf(instruments::thermometer_limit_asked(Temperature::of(
                        t,
                        unit::FAHRENHEIT,
                    )))
                };
                agree(at(0.0), 1.3);
                agree(at(100.0), 1.4);
            }
            "pressure gauge accuracy, liquid line" if role == "installer" => {
                agree(
                    instruments::liquid_gauge_limit().in_unit(unit::PSI_DIFF),
                    number(printed),
                );
            }
            "pressure gauge accuracy, suction" if role == "installer" => {
                agree(
                    instruments::suction_gauge_limit().in_unit(unit::PSI_DIFF),
                    number(printed),
                );
            }
            // stated for the installer only
            "thermometer accuracy"
            | "pressure gauge accuracy, liquid line"
            | "pressure gauge accuracy, suction" => assert!(printed.is_empty()),
            _ => return false,
        }
    }
    true
}

#[test]
fn every_row_is_held_against_ours_or_named_as_none_of_ours() {
    let rows = all_rows();
    assert_eq!(rows.len(), 25);
    let mut held = 0;
    for row in &rows {
        let ours = held_against_ours(row);
        let item = row["item"].as_str();
        assert_ne!(ours, NOT_OURS.contains(&item), "{item}");
        held += usize::from(ours);
    }
    assert_eq!(held, 16);
}

/// What is remembered says so: a role's limit never has a better status than its row.
#[test]
fn a_remembered_limit_is_cited_as_remembered() {
    let items: [(&str, Limit); 4] = [
        ("superheat minus target, fixed orifice, pass range", |c| {
            c.superheat
        }),
        (
            "subcooling minus manufacturer target, TXV/EXV, pass range",
            |c| c.subcooling,
        ),
        (
            "metering device test: superheat, used when the maker gives no range",
            |c| c.valve_superheat,
        ),
        ("temperature split minus target, pass range", |c| c.split),
    ];
    for row in all_rows() {
        let Some((_, limit)) = items.iter().find(|(item, _)| *item == row["item"]) else {
            continue;
        };
        for role in ["installer", "verifier"] {
            let read = match row["status"].as_str() {
                "read" => true,
                "memory" => false,
                // "installer low limit read (below -3 = add); verifier from memory"
                _ => role == "installer",
            };
            for ours in of_row(&row, role) {
                let status = limit(&ours).source.status();
                assert_eq!(status == Status::Read, read, "{} {role}", row["item"]);
            }
        }
    }
}

#[test]
fn the_default_is_the_installers_of_2008() {
    assert_eq!(
        Criteria::default(),
        Criteria::named("ra3-installer-2008").unwrap()
    );
    assert_eq!(Criteria::named("ra3"), None);
    assert_eq!(Criteria::ALL.len(), 4);
}

/// The verifier's limits are never narrower than the installer's.
#[test]
fn a_verifier_passes_what_an_installer_passed() {
    for year in ["2008", "2013"] {
        let of = |role: &str| Criteria::named(&format!("ra3-{role}-{year}")).unwrap();
        let (installer, verifier) = (of("installer"), of("verifier"));
        let limits: [Limit; 4] = [
            |c| c.superheat,
            |c| c.subcooling,
            |c| c.valve_superheat,
            |c| c.split,
        ];
        for limit in limits {
            let (narrow, wide) = (limit(&installer), limit(&verifier));
            assert!(wide.low < narrow.low && wide.high > narrow.high);
        }
    }
}
