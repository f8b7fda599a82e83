use lineproof::check::Finding;
use lineproof::check::dry::{Criteria, Input, Rule, assess, reasons};
use lineproof::quantity::{PressureAbs, Quantity, Temperature, Volume, unit};

use super::Table;
use super::holds::rise;

fn judged(input: Input) -> Finding {
    assess(&input, &Criteria::default()).unwrap()
}

fn by_rule(name: &str, input: Input) -> Finding {
    let criteria = Criteria {
        rule: Rule::named(name).unwrap(),
        ..Criteria::default()
    };
    assess(&input, &criteria).unwrap()
}

fn levelling(from: f64, by: f64, tau: f64) -> impl Fn(f64) -> f64 {
    move |m| from + by * (1.0 - (-m / tau).exp())
}

/// Inputs that say every code.
pub fn table() -> Table {
    vec![
        (
            "dry, in 2 L",
            judged(Input {
                volume: Some(Volume::of(2.0, unit::LITRE)),
                ..rise(60, levelling(300.0, 120.0, 6.0))
            }),
            &[
                reasons::RULE_MET,
                reasons::NO_LEAK_SEEN,
                reasons::LEVELS_OFF,
                reasons::THROUGH_VOLUME,
            ],
        ),
        (
            "80 micron more every minute, from 900",
            judged(rise(60, |m| 900.0 + 80.0 * m)),
            &[reasons::LEAK, reasons::RULE_NOT_MET, reasons::STARTED_HIGH],
        ),
        (
            "750 micron against a rule that passes up to 700 and fails from 800",
            by_rule("makers-500-700-15", rise(15, levelling(400.0, 350.0, 3.0))),
            &[reasons::RULE_GAP],
        ),
        (
            "four minutes",
            judged(rise(4, |m| 300.0 + 12.0 * m)),
            &[reasons::TOO_SHORT, reasons::LEAK_OPEN, reasons::WAIT],
        ),
        (
            "ice at the coldest part",
            judged(Input {
                coldest: Some(Temperature::of(-10.0, unit::CELSIUS)),
                ..rise(60, levelling(300.0, 1650.0, 6.0))
            }),
            &[reasons::MOISTURE, reasons::LIQUID_WATER],
        ),
        (
            "it falls",
            judged(rise(20, |m| 400.0 - m)),
            &[reasons::FELL],
        ),
        (
            "the pump still pulls",
            judged(rise(20, |m| 20_000.0 * (-m / 4.0).exp() + 300.0)),
            &[reasons::PUMPING],
        ),
        (
            "it runs into the gauge's ceiling",
            judged(Input {
                gauge_ceiling: Some(PressureAbs::of(2000.0, unit::MICRON)),
                ..rise(60, |m| (300.0 + 50.0 * m).min(2000.0))
            }),
            &[reasons::AT_CEILING],
        ),
    ]
}
