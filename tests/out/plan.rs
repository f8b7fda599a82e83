//! A plan, a rehearsal and many of them as a script reads them.

use lineproof::check::tight::plan::plan;
use lineproof::check::tight::rehearse::{Leak, Setup, rehearse, tally};
use lineproof::check::tight::{Criteria, TestGas};
use lineproof::out::json;
use lineproof::quantity::{
    Fraction, PressureDiff, PressureGauge, PressureRate, Quantity, UnitSystem, unit,
};
use serde_json::Value;

fn setup() -> Setup {
    let step = PressureDiff::of(1.0, unit::PSI_DIFF);
    Setup {
        gas: TestGas::Nitrogen,
        outdoor_share: Some(Fraction::from_si(0.7)),
        ..Setup::of(PressureGauge::of(450.0, unit::PSIG), step)
    }
}

/// The document with two digits to each number: the keys and their units are the contract, not the last digit.
fn shape(document: &str) -> String {
    fn rounded(value: &mut Value) {
        match value {
            Value::Number(number) if number.is_f64() => {
                let short = format!("{:.1e}", number.as_f64().unwrap());
                *value = short.parse::<f64>().unwrap().into();
            }
            Value::Array(list) => list.iter_mut().for_each(rounded),
            Value::Object(map) => map.values_mut().for_each(rounded),
            _ => {}
        }
    }
    let mut value: Value = serde_json::from_str(document).unwrap();
    rounded(&mut value);
    serde_json::to_string_pretty(&value).unwrap()
}

#[test]
fn a_plan_as_json() {
    let asked = PressureRate::of(0.5, unit::PSI_PER_HOUR);
    let plan = plan(&setup(), Some(asked), &Criteria::default()).unwrap();
    let document = json::document(&json::PlanDocument::of(&plan, UnitSystem::Us));
    insta::assert_snapshot!("plan-json", shape(&document));
}

#[test]
fn a_rehearsal_as_json_hides_its_truth_until_it_is_judged() {
    let practice = rehearse(&setup(), Leak::Large, None, 7).unwrap();
    let hidden = json::document(&json::RehearsalDocument::of(&practice, 7, None));
    let value: Value = serde_json::from_str(&hidden).unwrap();
    assert!(
        value["truth"].is_null() && value["outcome"].is_null(),
        "{hidden}"
    );
    let finding = practice.judge(&Criteria::default()).unwrap();
    let judged = json::document(&json::RehearsalDocument::of(&practice, 7, Some(&finding)));
    insta::assert_snapshot!("rehearsal-json", shape(&judged));
}

#[test]
fn a_tally_as_json_counts_every_rehearsal_once() {
    let counted = tally(&setup(), Leak::Large, 7, 5, &Criteria::default()).unwrap();
    let document = json::document(&json::TallyDocument::of(&[("large".into(), counted)], 7));
    insta::assert_snapshot!("tally-json", shape(&document));
}
