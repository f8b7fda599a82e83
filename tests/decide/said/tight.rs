use lineproof::check::Finding;
use lineproof::check::tight::{
    Criteria, Input, Limit, RigBlank, TestGas, Unlogged, assess, reasons,
};
use lineproof::fluid::Refrigerant;
use lineproof::quantity::{
    Fraction, Mass, PressureAbs, PressureDiff, PressureGauge, PressureRate, Quantity,
    TemperatureDiff, Volume, unit,
};

use super::Table;
use super::holds::Hold;

fn judged(hold: Hold, change: impl FnOnce(&mut Input)) -> Finding {
    let mut input = hold.read();
    change(&mut input);
    assess(&input, &Criteria::default()).unwrap()
}

fn as_read(hold: Hold) -> Finding {
    judged(hold, |_| {})
}

fn psi(value: f64) -> PressureDiff {
    PressureDiff::of(value, unit::PSI_DIFF)
}

fn for_refrigerant(input: &mut Input, refrigerant: Refrigerant, litres: f64) {
    input.volume = Some(lineproof::physics::volume::stated(Volume::of(
        litres,
        unit::LITRE,
    )));
    input.refrigerant = Some(refrigerant);
    input.charge = Some(Mass::of(3.0, unit::KILOGRAM));
}

/// A second volume beside the hold: at the same temperature, losing so many psi every hour.
fn beside(psi_per_hour: f64) -> Vec<PressureAbs> {
    let tight = Hold::DAY.read();
    let lost = tight.hours.iter().map(|h| psi(psi_per_hour * h));
    let pressure = tight.pressure.iter().zip(lost);
    pressure
        .map(|(p, lost)| PressureAbs::from_si(p.si() - lost.si()))
        .collect()
}

/// What a rig lost alone, psi/h: low and high end.
fn rig(low: f64, high: f64) -> RigBlank {
    let rate = |value| PressureRate::of(value, unit::PSI_PER_HOUR);
    RigBlank {
        loss: [rate(0.5 * (low + high)), rate(low), rate(high)],
        share: None,
    }
}

fn leaking(change: impl FnOnce(&mut Input)) -> Finding {
    let hold = Hold {
        lost: |h| 2.0 * h,
        ..Hold::DAY
    };
    judged(hold, change)
}

/// Inputs that say every code.
pub fn table() -> Table {
    let mut list = as_logged();
    list.extend(as_stated());
    list
}

/// What is stated beside the readings.
fn as_stated() -> Table {
    vec![
        (
            "a known-tight volume beside it",
            judged(Hold::DAY, |i| i.witness = Some(beside(0.0))),
            &[reasons::WITNESS],
        ),
        (
            "a volume beside it that loses gas itself",
            judged(Hold::DAY, |i| i.witness = Some(beside(2.0))),
            &[reasons::WITNESS_MOVED],
        ),
        (
            "three hours, and nothing beside it",
            as_read(Hold {
                hours: 3.0,
                every_min: 10.0,
                ..Hold::DAY
            }),
            &[reasons::WITNESS_WOULD_NARROW],
        ),
        (
            "a part in the attic, and the compressor",
            judged(Hold::DAY, |i| {
                i.unlogged = Some(Unlogged {
                    share: Fraction::from_si(0.2),
                    half_swing: TemperatureDiff::from_si(12.0),
                });
                i.compressor = true;
            }),
            &[reasons::UNLOGGED_PART, reasons::COMPRESSOR],
        ),
        (
            "a leak, and a rig that was not tested",
            leaking(|_| {}),
            &[reasons::LINE_OR_RIG],
        ),
        (
            "a leak, and a rig that held",
            leaking(|i| i.rig = Some(rig(-0.1, 0.1))),
            &[reasons::RIG_HELD],
        ),
        (
            "a leak that the rig explains",
            leaking(|i| i.rig = Some(rig(1.8, 2.4))),
            &[reasons::RIG_LEAKS],
        ),
        (
            "refrigerant",
            judged(Hold::DAY, |i| i.gas = TestGas::Refrigerant),
            &[reasons::GAS_NOT_JUDGED],
        ),
        (
            "a rating that the next warm hours pass",
            judged(
                Hold {
                    hours: 6.0,
                    every_min: 15.0,
                    ..Hold::DAY
                },
                |i| i.rated = Some(PressureGauge::of(505.0, unit::PSIG)),
            ),
            &[reasons::MAY_PASS_RATING],
        ),
        (
            "below the design pressure",
            judged(Hold::DAY, |i| {
                i.design = Some(PressureGauge::of(550.0, unit::PSIG));
            }),
            &[reasons::CODE_RULE_LOW],
        ),
        (
            "a gauge in steps of 10 psi at 100 psig",
            as_read(Hold {
                psig: 100.0,
                step_psi: 10.0,
                ..Hold::DAY
            }),
            &[reasons::CODE_RULE_COARSE],
        ),
    ]
}

/// What the readings show by themselves.
fn as_logged() -> Table {
    let day = Hold::DAY;
    vec![
        (
            "tight over a day",
            as_read(day),
            &[
                reasons::WITHIN_LIMIT,
                reasons::CODE_RULE_MET,
                reasons::TEMPERATURE_EXPLAINS,
            ],
        ),
        (
            "2 psi gone every hour",
            as_read(Hold {
                lost: |h| 2.0 * h,
                ..Hold::DAY
            }),
            &[reasons::ABOVE_LIMIT, reasons::CODE_RULE_NOT_MET],
        ),
        (
            "half an hour",
            as_read(Hold {
                hours: 0.5,
                every_min: 5.0,
                ..Hold::DAY
            }),
            &[
                reasons::NOT_PROVEN,
                reasons::HOLD_LONGER,
                reasons::CODE_RULE_SHORT,
            ],
        ),
        (
            "a small loss over three days",
            as_read(Hold {
                hours: 72.0,
                every_min: 60.0,
                lost: |h| 0.03 * h,
                ..Hold::DAY
            }),
            &[reasons::LEAK_SEEN],
        ),
        (
            "a night at a generous limit, in which the sun could hide a loss",
            {
                let input = Hold {
                    hours: 7.0,
                    every_min: 10.0,
                    ..Hold::DAY
                }
                .read();
                let generous = Criteria {
                    limit: Limit::Stated(PressureRate::of(0.4, unit::PSI_PER_HOUR)),
                    ..Criteria::default()
                };
                assess(&input, &generous).unwrap()
            },
            &[reasons::COULD_HIDE],
        ),
        (
            "a loss over eight hours that the sun could imitate",
            as_read(Hold {
                hours: 8.0,
                every_min: 15.0,
                lost: |h| 0.25 * h,
                ..Hold::DAY
            }),
            &[reasons::NEEDS_A_DAY],
        ),
        (
            "no thermometer, and a gauge that moves with its own temperature",
            judged(Hold::DAY, |i| {
                i.outdoor = None;
                i.gauge_drift_per_kelvin = Some(psi(0.1));
            }),
            &[reasons::NO_TEMPERATURE, reasons::GAUGE_DRIFT],
        ),
        (
            "a gauge in steps of 10 psi at 100 psig",
            as_read(Hold {
                psig: 100.0,
                step_psi: 10.0,
                ..Hold::DAY
            }),
            &[reasons::COARSE_GAUGE, reasons::LOW_PRESSURE],
        ),
        (
            "a gauge that is not connected",
            judged(Hold::DAY, |i| {
                let first = i.pressure[0];
                for (n, p) in i.pressure.iter_mut().enumerate() {
                    *p = first + psi(0.1 * (n % 4) as f64);
                }
            }),
            &[reasons::NOT_FOLLOWING],
        ),
        (
            "a valve moved after ten hours",
            as_read(Hold {
                every_min: 15.0,
                lost: |h| if h > 10.0 { 20.0 } else { 0.0 },
                ..Hold::DAY
            }),
            &[reasons::STEP],
        ),
        (
            "gas added after ten hours",
            as_read(Hold {
                every_min: 15.0,
                lost: |h| if h > 10.0 { -20.0 } else { 0.0 },
                ..Hold::DAY
            }),
            &[reasons::ROSE],
        ),
        (
            "one reading that stands alone",
            judged(Hold::DAY, |i| i.pressure[20] = i.pressure[20] + psi(6.0)),
            &[reasons::OUTLIERS],
        ),
        (
            "it opens in the middle of the test",
            as_read(Hold {
                hours: 48.0,
                lost: |h| (0.6 * (h - 24.0)).max(0.0),
                ..Hold::DAY
            }),
            &[reasons::LATE_LEAK],
        ),
        (
            "two litres of lines for R-410A",
            judged(Hold::DAY, |i| for_refrigerant(i, Refrigerant::R410A, 2.0)),
            &[
                reasons::MASS_LOSS,
                reasons::BUBBLES_SEE,
                reasons::DETECTOR_SEES,
            ],
        ),
        (
            "forty litres of lines, of which so small a loss is much",
            judged(Hold::DAY, |i| {
                for_refrigerant(i, Refrigerant::R410A, 40.0);
            }),
            &[reasons::PASSES_TO],
        ),
        (
            "a refrigerant that does not condense on a warm day",
            judged(Hold::DAY, |i| for_refrigerant(i, Refrigerant::R744, 2.0)),
            &[reasons::MASS_NOT_VALID],
        ),
        (
            "oxygen, above the lowest rating",
            judged(Hold::DAY, |i| {
                i.gas = TestGas::Oxygen;
                i.rated = Some(PressureGauge::of(450.0, unit::PSIG));
            }),
            &[reasons::WRONG_GAS, reasons::OVER_RATING],
        ),
    ]
}
