use lineproof::check::Finding;
use lineproof::check::start::{
    Answer, CrankcaseHeater, Criteria, Input, Supply, SupplyLimits, Wiring, assess, reasons,
};
use lineproof::quantity::{Current, Duration, Measured, Origin, Quantity, Voltage, unit};

use super::Table;

fn supply(volts: f64) -> Supply {
    let volt = |v| Voltage::of(v, unit::VOLT);
    Supply {
        measured: Some(Measured {
            value: volt(volts),
            standard_uncertainty: volt(1.0),
            origin: Origin::Reading("meter".into()),
        }),
        limits: Some(SupplyLimits::Printed {
            low: volt(208.0),
            high: volt(253.0),
        }),
    }
}

fn heated(hours: f64) -> CrankcaseHeater {
    CrankcaseHeater::PowerOnFor {
        so_far: Duration::of(hours, unit::HOUR_DURATION),
        unit_asks: None,
    }
}

/// Wire for so many amperes behind a breaker; the nameplate asks for 20 A and allows 30 A.
fn wired(wire: f64, breaker: f64) -> Wiring {
    let amperes = |a| Some(Current::of(a, unit::AMPERE));
    Wiring {
        breaker: amperes(breaker),
        wire_ampacity: amperes(wire),
        minimum_ampacity: amperes(20.0),
        largest_breaker: amperes(30.0),
    }
}

fn all_answered(answer: Answer) -> Input {
    Input {
        heater: heated(13.0),
        service_valves_open: answer,
        caps_on: answer,
        airflow_clear: answer,
        filter_clean: answer,
        drain_runs: answer,
        clearances_kept: answer,
        disconnect_in_sight: answer,
        supply: supply(240.0),
        wiring: wired(30.0, 25.0),
    }
}

fn judged(change: impl FnOnce(&mut Input)) -> Finding {
    let mut input = all_answered(Answer::Yes);
    change(&mut input);
    assess(&input, &Criteria::default())
}

/// Inputs that say every code.
pub fn table() -> Table {
    vec![
        (
            "all well",
            judged(|_| {}),
            &[reasons::READY, reasons::HEATER_DONE],
        ),
        (
            "all wrong",
            judged(|i| *i = all_answered(Answer::No)),
            &[
                reasons::VALVES_SHUT,
                reasons::CAPS_OFF,
                reasons::AIRFLOW_BLOCKED,
                reasons::FILTER_WRONG,
                reasons::DRAIN_BLOCKED,
                reasons::CLEARANCES_SHORT,
                reasons::DISCONNECT_MISSING,
            ],
        ),
        (
            "nothing answered",
            judged(|i| *i = Input::default()),
            &[reasons::NOT_ANSWERED],
        ),
        (
            "the heater on for an hour",
            judged(|i| i.heater = heated(1.0)),
            &[reasons::HEATER_TOO_SHORT],
        ),
        (
            "too little voltage",
            judged(|i| i.supply = supply(190.0)),
            &[reasons::VOLTAGE_OUTSIDE],
        ),
        (
            "voltage at the limit",
            judged(|i| i.supply = supply(208.5)),
            &[reasons::VOLTAGE_AT_THE_EDGE],
        ),
        (
            "breaker too large, wire too thin",
            judged(|i| i.wiring = wired(15.0, 40.0)),
            &[reasons::BREAKER_TOO_LARGE, reasons::WIRE_TOO_THIN],
        ),
        (
            "breaker too small",
            judged(|i| i.wiring = wired(30.0, 15.0)),
            &[reasons::BREAKER_TOO_SMALL],
        ),
    ]
}
