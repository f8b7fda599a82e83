use lineproof::check::Finding;
use lineproof::check::dry::standing::Standing;
use lineproof::check::dry::{Criteria, Input, Rule, ShutOff, ShutOffBy, assess, reasons};
use lineproof::quantity::{
    PressureAbs, PressureDiff, PressureRate, Quantity, Temperature, Volume, unit,
};

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

/// Two gauges that settle at so many micron.
fn second(first: f64, other: f64) -> Input {
    let of = |level: f64| rise(20, levelling(400.0, level - 400.0, 2.0));
    Input {
        second: Some(of(other).pressure),
        ..of(first)
    }
}

/// So many readings written down by hand.
fn typed(minutes: &[f64], micron: &[f64]) -> Input {
    let pressure = micron.iter().map(|p| PressureAbs::of(*p, unit::MICRON));
    Input::of(
        minutes.to_vec(),
        pressure.collect(),
        PressureDiff::of(1.0, unit::MICRON_DIFF),
    )
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
            "a tee with trapped gas is opened after 20 of 40 min",
            judged(rise(40, |m| if m < 20.0 { 300.0 } else { 420.0 })),
            &[reasons::STEP, reasons::STRETCH],
        ),
        (
            "a hose gives way after 20 of 60 min",
            judged(rise(60, |m| 300.0 + 10.0 * (m - 20.0).max(0.0))),
            &[reasons::LEAK, reasons::STARTS_LATE],
        ),
        (
            "four readings by hand",
            judged(typed(
                &[0.0, 5.0, 10.0, 15.0],
                &[300.0, 352.0, 389.0, 417.0],
            )),
            &[reasons::WAIT, reasons::NEXT_READING],
        ),
        (
            "it falls",
            judged(rise(20, |m| 400.0 - m)),
            &[reasons::FELL],
        ),
        (
            "shut off 14 min after the first reading",
            judged(Input {
                shut_off: Some(ShutOff {
                    after_min: 14.0,
                    by: ShutOffBy::Valve(3),
                    until_min: None,
                }),
                ..rise(20, |m| 300.0 + m)
            }),
            &[reasons::ISOLATED_FROM],
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
        (
            "the log begins while the pump pulls",
            judged(rise(30, |m| {
                if m < 10.0 {
                    300.0 + 9000.0 * (-m).exp()
                } else {
                    290.0 + 5.0 * (m - 10.0)
                }
            })),
            &[reasons::SEEMS_SHUT_OFF],
        ),
        (
            "its highest value stands still",
            judged(rise(40, |m| (300.0 + 5000.0 * m).min(171_470.0))),
            &[reasons::CEILING_SEEN],
        ),
        (
            "a dial in steps of 1,000 micron",
            judged(Input {
                gauge_resolution: PressureDiff::of(1000.0, unit::MICRON_DIFF),
                ..rise(20, |_| 400.0)
            }),
            &[reasons::COARSE_GAUGE],
        ),
        (
            "a second gauge that reads 1,700 beside 1,400",
            judged(second(1400.0, 1700.0)),
            &[reasons::GAUGES_DISAGREE, reasons::GAUGES_ACROSS],
        ),
        (
            "two rules side by side",
            assess(
                &rise(20, |_| 400.0),
                &Criteria {
                    beside: vec![Rule::named("ufgs-23-vacuum").unwrap()],
                    ..Criteria::default()
                },
            )
            .unwrap(),
            &[reasons::OTHER_RULE],
        ),
        (
            "it levels off far below water at a warm room's temperature",
            judged(Input {
                coldest: Some(Temperature::of(20.0, unit::CELSIUS)),
                ..rise(60, levelling(300.0, 1650.0, 6.0))
            }),
            &[reasons::BELOW_WATER],
        ),
        (
            "it levels off above the rule, and nobody said how cold it was",
            judged(rise(60, levelling(300.0, 1650.0, 6.0))),
            &[reasons::ASK_COLDEST],
        ),
        (
            "beside a standing pressure test",
            judged(Input {
                standing: Some(Standing {
                    at_most: PressureRate::of(0.02, unit::PSI_PER_HOUR),
                    pressure: PressureAbs::of(514.696, unit::PSIA),
                    outside: PressureAbs::of(1.0, unit::ATM),
                }),
                ..rise(20, |m| 300.0 + m)
            }),
            &[reasons::STANDING_BINDS],
        ),
    ]
}
