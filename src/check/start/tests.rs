use super::*;
use crate::check::{Detail as AnyDetail, Finding, Outcome};
use crate::quantity::{Accuracy, Current, Duration, Instrument, Quantity, Voltage, unit};
use crate::source::SourceId;

fn hours(value: f64) -> Duration {
    Duration::of(value, unit::HOUR_DURATION)
}

fn amperes(value: f64) -> Option<Current> {
    Some(Current::of(value, unit::AMPERE))
}

fn supply(volts: f64, limit: f64) -> Supply {
    let volt = |v| Voltage::of(v, unit::VOLT);
    let meter = Instrument::<Voltage> {
        name: "meter".into(),
        accuracy: vec![Accuracy::Limit(volt(limit))],
        zero_drift_per_kelvin: 0.0,
    };
    Supply {
        measured: Some(meter.reading(volt(volts))),
        limits: Some(SupplyLimits::Rated {
            lowest: volt(208.0),
            highest: volt(230.0),
        }),
    }
}

fn ready() -> Input {
    Input {
        heater: CrankcaseHeater::PowerOnFor {
            so_far: hours(13.0),
            unit_asks: None,
        },
        service_valves_open: Answer::Yes,
        caps_on: Answer::Yes,
        airflow_clear: Answer::Yes,
        filter_clean: Answer::Yes,
        drain_runs: Answer::Yes,
        clearances_kept: Answer::Yes,
        disconnect_in_sight: Answer::Yes,
        supply: supply(240.0, 3.0),
        wiring: Wiring {
            breaker: amperes(30.0),
            wire_ampacity: amperes(30.0),
            minimum_ampacity: amperes(19.6),
            largest_breaker: amperes(30.0),
        },
    }
}

fn judged(input: &Input) -> Finding {
    assess(input, &Criteria::default())
}

#[test]
fn all_answered_well_passes_and_says_what_it_does_not_show() {
    let finding = judged(&ready());
    assert_eq!(finding.outcome, Outcome::Pass);
    assert!(finding.says(reasons::READY) && finding.says(reasons::HEATER_DONE));
    assert!(!finding.unseen.is_empty());
}

#[test]
fn one_open_question_leaves_the_gate_shut() {
    let mut input = ready();
    input.drain_runs = Answer::NotKnown;
    let finding = judged(&input);
    assert_eq!(finding.outcome, Outcome::Undecided);
    assert_eq!(finding.reasons[0].code, reasons::NOT_ANSWERED);
}

#[test]
fn the_unit_wins_over_the_rule_of_twelve_hours() {
    let mut input = ready();
    input.heater = CrankcaseHeater::PowerOnFor {
        so_far: hours(13.0),
        unit_asks: Some(hours(24.0)),
    };
    let finding = judged(&input);
    assert_eq!(finding.outcome, Outcome::Fail);
    let reason = &finding.reasons[0];
    assert_eq!(
        (reason.code, reason.source),
        (reasons::HEATER_TOO_SHORT, SourceId::UnitInstructions)
    );
    input.heater = CrankcaseHeater::NotNeeded;
    assert_eq!(judged(&input).outcome, Outcome::Pass);
}

#[test]
fn voltage_has_three_answers() {
    let mut input = ready();
    for (volts, outcome, code) in [
        (262.0, Outcome::Fail, reasons::VOLTAGE_OUTSIDE),
        (254.0, Outcome::Undecided, reasons::VOLTAGE_AT_THE_EDGE),
    ] {
        input.supply = supply(volts, 3.0);
        let finding = judged(&input);
        assert_eq!(finding.outcome, outcome, "{volts} V");
        assert!(finding.says(code));
    }
}

#[test]
fn printed_limits_replace_the_tolerance() {
    let volt = |v| Voltage::of(v, unit::VOLT);
    let mut input = ready();
    input.supply.limits = Some(SupplyLimits::Printed {
        low: volt(197.0),
        high: volt(235.0),
    });
    let finding = judged(&input);
    assert!(finding.says(reasons::VOLTAGE_OUTSIDE));
    assert_eq!(finding.reasons[0].source, SourceId::UnitInstructions);
}

#[test]
fn every_bad_answer_has_its_own_code() {
    type Spoil = fn(&mut Input);
    let cases: [(Spoil, &str); 10] = [
        (|i| i.service_valves_open = Answer::No, reasons::VALVES_SHUT),
        (|i| i.caps_on = Answer::No, reasons::CAPS_OFF),
        (|i| i.airflow_clear = Answer::No, reasons::AIRFLOW_BLOCKED),
        (|i| i.filter_clean = Answer::No, reasons::FILTER_WRONG),
        (|i| i.drain_runs = Answer::No, reasons::DRAIN_BLOCKED),
        (
            |i| i.clearances_kept = Answer::No,
            reasons::CLEARANCES_SHORT,
        ),
        (
            |i| i.disconnect_in_sight = Answer::No,
            reasons::DISCONNECT_MISSING,
        ),
        (
            |i| i.wiring.breaker = amperes(40.0),
            reasons::BREAKER_TOO_LARGE,
        ),
        (
            |i| i.wiring.breaker = amperes(15.0),
            reasons::BREAKER_TOO_SMALL,
        ),
        (
            |i| i.wiring.wire_ampacity = amperes(15.0),
            reasons::WIRE_TOO_THIN,
        ),
    ];
    for (spoil, code) in cases {
        let mut input = ready();
        spoil(&mut input);
        let finding = judged(&input);
        assert_eq!(finding.outcome, Outcome::Fail, "{code}");
        assert_eq!(finding.reasons[0].code, code);
        assert!(reasons::CODES.iter().any(|c| c.0 == code));
    }
}

#[test]
fn the_gate_keeps_its_order_in_the_detail() {
    let AnyDetail::Start(detail) = judged(&ready()).detail else {
        panic!("start gives its own detail")
    };
    assert_eq!(detail.items.len(), 11);
    assert!(detail.items[0].question.contains("crankcase heater"));
}
