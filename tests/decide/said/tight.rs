use lineproof::check::Finding;
use lineproof::check::tight::{Criteria, Input, TestGas, assess, mass, reasons};
use lineproof::fluid::Refrigerant;
use lineproof::quantity::{Mass, PressureDiff, PressureGauge, Quantity, Volume, unit};

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
    input.volume = Some(mass::stated_volume(Volume::of(litres, unit::LITRE)));
    input.refrigerant = Some(refrigerant);
    input.charge = Some(Mass::of(3.0, unit::KILOGRAM));
}

/// Inputs that say every code.
pub fn table() -> Table {
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
            "a loss over eight hours that the sun could imitate",
            as_read(Hold {
                hours: 8.0,
                every_min: 15.0,
                lost: |h| 0.4 * h,
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
