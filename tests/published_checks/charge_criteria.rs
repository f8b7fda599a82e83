//! California Energy Commission, Reference Residential Appendix RA3.2 (2008): the default limits of *run*.

use lineproof::check::run::Criteria;
use lineproof::quantity::{Quantity, TemperatureDiff, unit};

use crate::{number, rows};

/// The installer's value of the row with this item in the 2008 edition.
fn installer(item: &str) -> String {
    let rows = rows(include_str!("data/charge_verification_criteria.csv"));
    let row = rows
        .iter()
        .find(|r| r["item"] == item && r["edition"].starts_with("2008"))
        .unwrap_or_else(|| panic!("no row \"{item}\""));
    row["installer"].clone()
}

fn range(item: &str) -> (f64, f64) {
    let text = installer(item);
    let (low, high) = text.split_once("..").expect("a range");
    (number(low), number(high))
}

fn degf(difference: TemperatureDiff) -> f64 {
    difference.in_unit(unit::FAHRENHEIT_DIFF)
}

fn agree(ours: f64, printed: f64) {
    assert!((ours - printed).abs() < 1e-9, "{ours} against {printed}");
}

#[test]
fn default_limits_are_the_installers_of_2008() {
    let ours = Criteria::default();
    let (low, high) = range("superheat minus target, fixed orifice, pass range");
    agree(-degf(ours.superheat_tolerance), low);
    agree(degf(ours.superheat_tolerance), high);
    let (low, high) = range("subcooling minus manufacturer target, TXV/EXV, pass range");
    agree(-degf(ours.subcooling_tolerance), low);
    agree(degf(ours.subcooling_tolerance), high);
    let (low, high) = range("metering device test: superheat, used when the maker gives no range");
    agree(degf(ours.valve_superheat_low), low);
    agree(degf(ours.valve_superheat_high), high);
    let least = installer("target superheat below which the test is invalid");
    agree(degf(ours.least_target_superheat), number(&least));
    let outdoor = installer("outdoor air at or above (standard procedure)");
    agree(
        ours.outdoor_least.in_unit(unit::FAHRENHEIT),
        number(&outdoor),
    );
    let run = installer("run time before any reading");
    agree(ours.run_least.in_unit(unit::MINUTE), number(&run));
}
