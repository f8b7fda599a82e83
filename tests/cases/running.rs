//! Superheat and subcooling, judged as a whole.

use lineproof::check::run::{self, Criteria, Input, LowSide, Surroundings, Tap, reasons};
use lineproof::check::{Detail, Finding, Outcome};
use lineproof::fluid::Refrigerant;
use lineproof::quantity::*;

use super::machine::*;
use super::near;

fn judged(change: impl FnOnce(&mut Input)) -> (Finding, run::Detail) {
    let mut input = as_charged();
    change(&mut input);
    let finding = run::assess(&input, &Criteria::default()).unwrap();
    let Detail::Run(detail) = finding.detail.clone() else {
        panic!("run gives its own detail")
    };
    (finding, *detail)
}

fn in_degf(reading: &Option<run::Reading>) -> f64 {
    let reading = reading.as_ref().unwrap();
    reading.value.in_unit(unit::FAHRENHEIT_DIFF)
}

/// C19: R-410A, 388 psig at the discharge tap, 33 psi less at the liquid line, which has 95.0 degF: subcooling 12.7.
/// The trap: without the drop 19.2 would call for taking refrigerant out.
#[test]
fn c19_the_tap_is_not_the_liquid_line() {
    let drop = Measured {
        value: PressureDiff::of(33.0, unit::PSI_DIFF),
        standard_uncertainty: PressureDiff::of(3.0, unit::PSI_DIFF),
        origin: Origin::Unit,
    };
    let read = |tap| {
        judged(|i| {
            i.high = Some(at(tap, 388.0, 2.0));
            i.liquid_line = Some(fahrenheit(95.0, 0.5));
        })
    };
    let (_, detail) = read(Tap::Discharge { drop: Some(drop) });
    // printed to 0.1 degF
    near(in_degf(&detail.subcooling), 12.7, 0.05);
    near(in_degf(&read(Tap::LiquidLine).1.subcooling), 19.2, 0.05);
    for tap in [Tap::NotKnown, Tap::Discharge { drop: None }] {
        let (finding, detail) = read(tap);
        assert!(finding.says(reasons::TAP_ASKED) && detail.subcooling.is_none());
    }
}

/// C20: R-22, 76 psig and 65 degF on the suction line: superheat 20.0; 260 psig and 108 degF on the liquid line:
/// subcooling 12.0.
#[test]
fn c20_a_worked_example_of_r22() {
    let (_, detail) = judged(|i| {
        i.refrigerant = Refrigerant::R22;
        i.low = Some(LowSide::Gauge(psig(76.0, 1.0)));
        i.suction_line = Some(fahrenheit(65.0, 0.5));
        i.high = Some(at(Tap::LiquidLine, 260.0, 2.0));
        i.liquid_line = Some(fahrenheit(108.0, 0.5));
    });
    // printed to 0.1 degF
    near(in_degf(&detail.superheat), 20.0, 0.05);
    near(in_degf(&detail.subcooling), 12.0, 0.05);
}

/// C21: R-22, 90 and 170 psig, 90 degF outdoors, 85 indoors, airflow good: condensing at 90.6, so no heat is given off.
/// The trap: high suction with low head is not low charge.
#[test]
fn c21_no_heat_rejected_is_no_matter_of_charge() {
    let (finding, _) = judged(|i| {
        i.refrigerant = Refrigerant::R22;
        i.low = Some(LowSide::Gauge(psig(90.0, 1.0)));
        i.suction_line = Some(fahrenheit(65.0, 0.5));
        i.high = Some(at(Tap::LiquidLine, 170.0, 2.0));
        i.liquid_line = None;
        i.conditions.outdoor = Some(fahrenheit(90.0, 1.0));
        i.conditions.return_air = Some(fahrenheit(85.0, 1.0));
    });
    assert_eq!(finding.outcome, Outcome::Fail);
    assert_eq!(finding.reasons[0].code, reasons::NO_HEAT_REJECTED);
    for code in [reasons::SUBCOOLING_LOW, reasons::SUPERHEAT_HIGH] {
        assert!(!finding.says(code), "{code}");
    }
}

/// C25: R-410A, 118 psig at 6,000 ft: dew 38.55 degF. The trap: the chart for sea level gives 39.84, and "add 3 psi"
/// 41.15: the correction has a sign.
#[test]
fn c25_the_altitude_has_a_sign() {
    let dew = |barometer| {
        let (_, detail) = judged(|i| i.surroundings = Surroundings::exact(barometer));
        let saturation = detail.superheat.unwrap().saturation;
        saturation.in_unit(unit::FAHRENHEIT)
    };
    let high = Barometer::at_altitude(Length::of(6000.0, unit::FOOT_LENGTH)).unwrap();
    // printed to 0.01 degF
    near(dew(high), 38.55, 0.01);
    near(dew(Barometer::standard()), 39.84, 0.01);
}

/// C26: superheat = suction line - dew, subcooling = bubble - liquid line. Negatives are real findings.
#[test]
fn c26_negative_readings_are_findings() {
    let (finding, detail) = judged(|i| i.suction_line = Some(fahrenheit(35.0, 0.5)));
    // dew at 118 psig is 39.84 degF
    near(in_degf(&detail.superheat), 35.0 - 39.84, 0.01);
    assert_eq!(finding.outcome, Outcome::Fail);
    assert!(finding.says(reasons::LIQUID_RETURNING));
    let (finding, detail) = judged(|i| i.liquid_line = Some(fahrenheit(112.0, 0.5)));
    // bubble at 355 psig is 107.7 degF (C19)
    near(in_degf(&detail.subcooling), 107.7 - 112.0, 0.05);
    assert!(finding.says(reasons::SUBCOOLING_NEGATIVE));
}
