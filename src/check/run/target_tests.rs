//! How a fixed orifice finds its target, and the discharge line in heating.

use super::target::{SuperheatRule, TargetTable};
use super::tests::{changed, fahrenheit, judged, valve_indoors};
use super::{Compressor, Criteria, Input, Yes, assess, reasons};
use crate::check::{Finding, Outcome};
use crate::physics::cycle::{MeteringKind, Mode};
use crate::quantity::{Quantity, TemperatureDiff, unit};
use crate::source::SourceId;

fn degf(value: f64) -> Option<TemperatureDiff> {
    Some(TemperatureDiff::of(value, unit::FAHRENHEIT_DIFF))
}

fn orifice(change: impl FnOnce(&mut Input)) -> Input {
    let mut input = valve_indoors();
    input.machine.metering.as_mut().unwrap().kind = MeteringKind::FixedOrifice;
    (input.high, input.liquid_line) = (None, None);
    input.conditions.return_wet_bulb = Some(fahrenheit(64.0, 0.5));
    change(&mut input);
    input
}

fn of(change: impl FnOnce(&mut Input)) -> Finding {
    judged(&orifice(change)).0
}

fn own_table() -> Option<TargetTable> {
    let text = "outdoor_F,wb_60,wb_66\n80,10,20\n90,-,14\n";
    Some(TargetTable::parse(text, SourceId::UnitInstructions).unwrap())
}

/// The superheat target's source among the figures.
fn target_source(finding: &Finding) -> Option<SourceId> {
    let figure = finding
        .figures
        .iter()
        .find(|f| f.name == "target superheat");
    figure.map(|f| f.source)
}

/// 85 °F and 64 °F wet bulb: 11.9 °F in the table; read 12.2 °F.
#[test]
fn the_published_table_judges_and_names_itself() {
    let finding = of(|_| {});
    assert_eq!(finding.outcome, Outcome::Pass, "{:?}", finding.reasons);
    assert!(finding.says(reasons::TARGET_USED) && finding.says(reasons::SUPERHEAT_RIGHT));
    assert_eq!(
        target_source(&finding),
        Some(SourceId::TargetSuperheatTable)
    );
    let used = finding
        .reasons
        .iter()
        .find(|r| r.code == reasons::TARGET_USED)
        .unwrap();
    assert!(used.source.cite().ends_with("(from memory)"));
}

#[test]
fn what_is_typed_wins_then_the_units_table_then_the_published_one() {
    let typed = of(|i| {
        i.targets.superheat = degf(25.0);
        i.targets.superheat_table = own_table();
    });
    assert_eq!(typed.outcome, Outcome::Fail);
    assert_eq!(target_source(&typed), None);
    let own = of(|i| {
        i.targets.superheat_table = own_table();
        i.conditions.outdoor = Some(fahrenheit(80.0, 0.5));
        i.conditions.return_wet_bulb = Some(fahrenheit(66.0, 0.5));
    });
    assert_eq!(target_source(&own), Some(SourceId::UnitInstructions));
    // 20 °F in the unit's own, 12 °F read
    assert_eq!(own.outcome, Outcome::Fail);
}

/// Nothing falls back silently: the unit's table outside its range does not hand over to the published one.
#[test]
fn a_dash_or_the_end_of_the_units_table_stops() {
    let dash = of(|i| i.targets.superheat_table = own_table());
    assert_eq!(dash.outcome, Outcome::NotValidNow);
    assert_eq!(dash.reasons[0].code, reasons::TARGET_DASH);
    let outside = of(|i| {
        i.targets.superheat_table = own_table();
        i.conditions.outdoor = Some(fahrenheit(95.0, 0.5));
    });
    assert_eq!(outside.outcome, Outcome::NotValidNow);
    assert_eq!(outside.reasons[0].code, reasons::TARGET_OUTSIDE);
    for finding in [dash, outside] {
        let text = &finding.reasons[0].text;
        assert!(text.contains("what remains: weigh in"), "{text}");
    }
}

#[test]
fn the_rule_of_the_trade_is_used_only_when_it_is_chosen() {
    let chosen = of(|i| i.targets.superheat_rule = SuperheatRule::CommonPractice);
    assert_eq!(target_source(&chosen), Some(SourceId::SuperheatFormula));
    assert_eq!(
        target_source(&of(|_| {})),
        Some(SourceId::TargetSuperheatTable)
    );
}

#[test]
fn without_a_wet_bulb_it_is_asked_for_with_what_it_buys() {
    let finding = of(|i| i.conditions.return_wet_bulb = None);
    assert_eq!(finding.outcome, Outcome::Undecided);
    assert!(finding.says(reasons::TARGET_ASKED));
    let asked = finding
        .reasons
        .iter()
        .find(|r| r.code == reasons::TARGET_READING)
        .unwrap();
    assert!(
        asked.text.contains("needs the return wet bulb"),
        "{}",
        asked.text
    );
}

#[test]
fn a_small_target_and_a_dash_are_not_valid_now() {
    let small = of(|i| i.targets.superheat = degf(3.0));
    assert_eq!(small.outcome, Outcome::NotValidNow);
    assert!(small.says(reasons::TARGET_SMALL));
    let dash = of(|i| i.conditions.return_wet_bulb = Some(fahrenheit(58.0, 0.5)));
    assert_eq!(dash.outcome, Outcome::NotValidNow);
    assert!(dash.says(reasons::TARGET_DASH));
    // 10 °F drier than the rule's table has a target for
    let rule = of(|i| {
        i.targets.superheat_rule = SuperheatRule::CommonPractice;
        i.conditions.return_wet_bulb = Some(fahrenheit(56.0, 0.5));
    });
    assert!(rule.says(reasons::TARGET_SMALL) && rule.says(reasons::TARGET_USED));
}

/// The wet bulb moves the target by 1.7 °F for each °F: a coarse one leaves a good gauge undecided, and is named.
#[test]
fn the_targets_own_uncertainty_counts_and_the_worst_over_both_is_named() {
    let (finding, detail) = judged(&orifice(|i| {
        i.conditions.return_wet_bulb = Some(fahrenheit(66.0, 3.0));
    }));
    assert_eq!(finding.outcome, Outcome::Undecided);
    let text = &finding.reasons[0].text;
    assert!(
        text.contains("of the doubt comes from the return wet bulb"),
        "{text}"
    );
    let judged = detail.judged[0];
    assert_eq!(judged.dominant.unwrap().0, "return wet bulb");
    let target = detail.target_superheat.unwrap();
    assert!(target.standard_uncertainty.si() > detail.superheat.unwrap().standard_uncertainty.si());
}

#[test]
fn a_verifier_passes_more_than_an_installer() {
    let input = orifice(|i| i.targets.superheat = degf(18.6));
    let of = |name| {
        let criteria = Criteria::named(name).unwrap();
        assess(&input, &criteria).unwrap().outcome
    };
    assert_ne!(of("ra3-installer-2008"), Outcome::Pass);
    assert_eq!(of("ra3-verifier-2013"), Outcome::Pass);
}

fn heating(line: f64, change: impl FnOnce(&mut Input)) -> Finding {
    changed(|i| {
        i.machine.mode = Some(Mode::Heating);
        i.conditions.outdoor = Some(fahrenheit(40.0, 0.5));
        i.targets.discharge_above_outdoor = degf(110.0);
        i.discharge_line = Some(fahrenheit(line, 1.0));
        change(i);
    })
}

/// Case C33: heating, discharge line 110 °F above outdoor air, 4 °F either way.
#[test]
fn in_heating_the_discharge_line_is_held_against_the_instructions() {
    let right = heating(150.0, |_| {});
    assert_eq!(right.outcome, Outcome::Pass, "{:?}", right.reasons);
    assert_eq!(right.reasons[0].code, reasons::DISCHARGE_RIGHT);
    assert_eq!(right.reasons[0].source, SourceId::UnitInstructions);
    let high = heating(170.0, |_| {});
    assert_eq!(
        (high.outcome, high.reasons[0].code),
        (Outcome::Fail, reasons::DISCHARGE_HIGH)
    );
    let low = heating(130.0, |_| {});
    assert_eq!(
        (low.outcome, low.reasons[0].code),
        (Outcome::Fail, reasons::DISCHARGE_LOW)
    );
    let open = heating(154.0, |_| {});
    assert_eq!(
        (open.outcome, open.reasons[0].code),
        (Outcome::Undecided, reasons::DISCHARGE_OPEN)
    );
    for finding in [high, low] {
        assert!(finding.reasons.iter().all(|r| !r.text.contains("add ")));
    }
}

#[test]
fn without_the_instructions_heating_stays_not_valid() {
    let finding = heating(150.0, |i| i.targets.discharge_above_outdoor = None);
    assert_eq!(finding.outcome, Outcome::NotValidNow);
    assert!(finding.says(reasons::HEATING));
}

#[test]
fn in_heating_the_gates_are_those_that_still_mean_something() {
    let free = heating(150.0, |i| {
        i.machine.compressor = Some(Compressor::FreeSpeed)
    });
    assert!(free.outcome == Outcome::NotValidNow && free.says(reasons::FREE_SPEED));
    let moving = heating(150.0, |i| i.conditions.steady = Some(Yes::No));
    assert!(moving.outcome == Outcome::NotValidNow && moving.says(reasons::NOT_STEADY));
    let missing = heating(150.0, |i| i.discharge_line = None);
    assert!(missing.outcome == Outcome::Undecided && missing.says(reasons::READING_MISSING));
    let outdoor = heating(150.0, |i| i.conditions.outdoor = None);
    assert!(outdoor.outcome == Outcome::NotValidNow && outdoor.says(reasons::CONDITION_OPEN));
    let airflow = heating(170.0, |i| i.conditions.airflow_good = None);
    assert!(airflow.outcome == Outcome::Undecided && airflow.says(reasons::AIRFLOW_ASKED));
    // cold weather is what heating is for
    assert!(!heating(150.0, |_| {}).says(reasons::OUTDOOR_COLD));
}
