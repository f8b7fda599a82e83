//! Airflow first.

use super::tests::{changed, fahrenheit, judged, valve_indoors};
use super::{Compressor, Input, reasons};
use crate::check::{Finding, Outcome};
use crate::physics::cycle::Mode;
use crate::quantity::{Duration, Measured, Origin, Power, Quantity, VolumeFlow, unit};
use crate::source::SourceId;

/// Return air 75 and 63 °F wet bulb: the table's split is 18.6 °F.
fn with_supply(supply: f64, change: impl FnOnce(&mut Input)) -> Finding {
    changed(|i| {
        i.conditions.return_air = Some(fahrenheit(75.0, 0.5));
        i.conditions.return_wet_bulb = Some(fahrenheit(63.0, 0.5));
        i.conditions.supply_air = Some(fahrenheit(supply, 0.5));
        change(i);
    })
}

fn cfm(value: f64, share: f64) -> Option<Measured<VolumeFlow>> {
    let flow = VolumeFlow::of(value, unit::CUBIC_FOOT_PER_MINUTE);
    Some(Measured {
        value: flow,
        standard_uncertainty: VolumeFlow::from_si(share * flow.si()),
        origin: Origin::Reading("hood".into()),
    })
}

fn figure(finding: &Finding, name: &str) -> Option<f64> {
    let found = finding.figures.iter().find(|f| f.name == name);
    found.map(|f| f.interval.estimate)
}

#[test]
fn a_split_on_target_is_said_beside() {
    let finding = with_supply(56.4, |_| {});
    assert_eq!(finding.outcome, Outcome::Pass, "{:?}", finding.reasons);
    assert!(finding.says(reasons::SPLIT_RIGHT));
    let split = figure(&finding, "temperature split").unwrap();
    assert!((split * 1.8 - 18.6).abs() < 1e-6, "{split}");
    assert!((figure(&finding, "target split").unwrap() * 1.8 - 18.6).abs() < 1e-6);
}

#[test]
fn a_high_split_puts_airflow_first() {
    let finding = with_supply(49.0, |i| i.liquid_line = Some(fahrenheit(104.0, 0.5)));
    assert_eq!(finding.outcome, Outcome::NotValidNow);
    assert_eq!(finding.reasons[0].code, reasons::SPLIT_HIGH);
    assert!(!finding.says(reasons::SUBCOOLING_LOW), "charge comes last");
}

/// RA3.2.2.7: measured airflow stands for the split.
#[test]
fn measured_airflow_stands_for_a_high_split() {
    let finding = with_supply(49.0, |i| {
        i.conditions.airflow = cfm(1200.0, 0.03);
        i.rated.capacity = Some(Power::of(3.0, unit::TON));
    });
    assert_eq!(finding.outcome, Outcome::Pass, "{:?}", finding.reasons);
    assert!(finding.says(reasons::AIRFLOW_ENOUGH) && finding.says(reasons::SPLIT_HIGH));
}

#[test]
fn a_low_split_warns_and_asks_to_measure_again() {
    let finding = with_supply(64.0, |_| {});
    assert_eq!(finding.outcome, Outcome::Pass);
    let low = finding
        .reasons
        .iter()
        .find(|r| r.code == reasons::SPLIT_LOW)
        .unwrap();
    assert!(low.text.contains("measure again"), "{}", low.text);
}

#[test]
fn a_split_near_its_limit_is_undecided_and_names_the_worst_thermometer() {
    let finding = with_supply(53.5, |i| {
        i.conditions.supply_air = Some(fahrenheit(53.5, 3.0))
    });
    let open = finding
        .reasons
        .iter()
        .find(|r| r.code == reasons::SPLIT_OPEN)
        .unwrap();
    assert!(
        open.text.contains("of the doubt comes from the supply air"),
        "{}",
        open.text
    );
}

#[test]
fn the_gates_of_the_split() {
    let early = with_supply(49.0, |i| {
        i.conditions.running_for = Some(Duration::of(5.0, unit::MINUTE));
    });
    assert!(early.says(reasons::RUN_SHORT) && !early.says(reasons::SPLIT_HIGH));
    let free = with_supply(49.0, |i| i.machine.compressor = Some(Compressor::FreeSpeed));
    assert!(free.says(reasons::FREE_SPEED) && !free.says(reasons::SPLIT_HIGH));
    let heating = with_supply(49.0, |i| i.machine.mode = Some(Mode::Heating));
    assert!(!heating.says(reasons::SPLIT_HIGH) && figure(&heating, "temperature split").is_none());
    let outside = with_supply(49.0, |i| {
        i.conditions.return_air = Some(fahrenheit(88.0, 0.5))
    });
    assert!(outside.says(reasons::SPLIT_OUTSIDE));
    let dash = with_supply(60.0, |i| {
        i.conditions.return_air = Some(fahrenheit(82.0, 0.5));
        i.conditions.return_wet_bulb = Some(fahrenheit(54.0, 0.5));
    });
    assert!(dash.says(reasons::SPLIT_OUTSIDE), "{:?}", dash.reasons);
    let no_wet_bulb = with_supply(49.0, |i| i.conditions.return_wet_bulb = None);
    let said = no_wet_bulb
        .reasons
        .iter()
        .find(|r| r.code == reasons::SPLIT_NOT_JUDGED)
        .unwrap();
    assert!(said.text.contains("with it the split shows low airflow"));
    assert!(figure(&no_wet_bulb, "temperature split").is_some());
}

#[test]
fn measured_airflow_is_held_against_the_rated_capacity() {
    let with = |flow: f64, rated: Option<f64>| {
        changed(|i| {
            i.conditions.airflow = cfm(flow, 0.05);
            i.rated.capacity = rated.map(|tons| Power::of(tons, unit::TON));
        })
    };
    let low = with(700.0, Some(3.0));
    assert_eq!(low.outcome, Outcome::NotValidNow);
    assert_eq!(low.reasons[0].code, reasons::AIRFLOW_LOW);
    assert!(with(1200.0, Some(3.0)).says(reasons::AIRFLOW_ENOUGH));
    assert!(with(905.0, Some(3.0)).says(reasons::AIRFLOW_OPEN));
    let unknown = with(700.0, None);
    assert!(unknown.says(reasons::CAPACITY_ASKED) && unknown.outcome == Outcome::Pass);
}

#[test]
fn what_the_air_carries_is_a_figure_in_both_modes() {
    let carried = |mode, supply: f64, wet: f64| {
        let mut input = valve_indoors();
        input.machine.mode = Some(mode);
        input.conditions.return_air = Some(fahrenheit(75.0, 0.5));
        input.conditions.return_wet_bulb = Some(fahrenheit(63.0, 0.5));
        input.conditions.supply_air = Some(fahrenheit(supply, 0.5));
        input.conditions.supply_wet_bulb = Some(fahrenheit(wet, 0.5));
        input.conditions.airflow = cfm(1200.0, 0.05);
        input.rated.capacity = Some(Power::of(3.0, unit::TON));
        let (finding, detail) = judged(&input);
        assert!(finding.says(reasons::AIR_CAPACITY), "{:?}", finding.reasons);
        let named = finding
            .figures
            .iter()
            .find(|f| f.name == "air-side capacity")
            .unwrap();
        assert_eq!(named.source, SourceId::AirEnthalpy);
        detail.air.capacity.unwrap()
    };
    let cooling = carried(Mode::Cooling, 56.4, 54.5);
    assert!(
        (2.0..3.0).contains(&cooling.value.in_unit(unit::TON)),
        "{cooling:?}"
    );
    let heating = carried(Mode::Heating, 100.0, 71.0);
    assert!(heating.value.si() > 0.0);
}

#[test]
fn a_wet_bulb_above_its_dry_bulb_is_asked_about() {
    let finding = with_supply(56.0, |i| {
        i.conditions.return_wet_bulb = Some(fahrenheit(78.0, 0.5))
    });
    assert_eq!(finding.outcome, Outcome::NotValidNow);
    let said = finding
        .reasons
        .iter()
        .find(|r| r.code == reasons::AIR_IMPOSSIBLE)
        .unwrap();
    assert!(said.text.contains("swapped"), "{}", said.text);
    // by less than the two thermometers may be off
    let foggy = with_supply(56.0, |i| {
        i.conditions.return_wet_bulb = Some(fahrenheit(75.3, 0.5))
    });
    assert!(!foggy.says(reasons::AIR_IMPOSSIBLE));
}
