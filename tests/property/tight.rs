//! The standing pressure test on any sealed or leaking volume: no false alarm by weather, no kinder answer for a worse leak,
//! nothing that hangs on the order of rows, and the same answer every time.

use lineproof::check::tight::{Criteria, Input, assess};
use lineproof::check::{Finding, Outcome};
use lineproof::fluid::DryGas;
use lineproof::quantity::*;
use lineproof::stats::decision::{Verdict, judge};
use lineproof::stats::mixture::Mixture;
use proptest::prelude::*;

/// A hold: how long, how often, what gauge, what weather, and what is lost.
#[derive(Debug, Clone)]
struct Hold {
    hours: f64,
    every_min: f64,
    start_psig: f64,
    resolution_psi: f64,
    /// Swing (K) and hour of the sine of a day.
    day: (f64, f64),
    /// Steps of a random walk of the air, K, each lasting an hour.
    walk: Vec<f64>,
    /// Lost by the end, psi.
    lost_psi: f64,
}

fn hold() -> impl Strategy<Value = Hold> {
    (
        (2.0..48.0f64, 1.0..30.0f64, 150.0..600.0f64),
        prop::sample::select(vec![0.1, 0.5, 1.0]),
        (0.0..12.0f64, 0.0..24.0f64),
        prop::collection::vec(-0.8..0.8f64, 49),
    )
        .prop_map(
            |((hours, every_min, start_psig), resolution_psi, day, walk)| Hold {
                hours,
                every_min,
                start_psig,
                resolution_psi,
                day,
                walk,
                lost_psi: 0.0,
            },
        )
}

impl Hold {
    fn kelvin(&self, hour: f64) -> f64 {
        let whole = (hour as usize).min(self.walk.len() - 2);
        let walked: f64 = self.walk[..whole].iter().sum();
        let walking = self.walk[whole] * (hour - whole as f64);
        let daily = self.day.0 * ((hour + self.day.1) * std::f64::consts::TAU / 24.0).sin();
        290.0 + daily + walked + walking
    }

    /// What the gauge shows when the gas follows the thermometer at once.
    fn read(&self) -> Input {
        let rows = (self.hours * 60.0 / self.every_min) as usize;
        let hours: Vec<f64> = (0..=rows)
            .map(|i| i as f64 * self.every_min / 60.0)
            .collect();
        let air: Vec<Temperature> = hours
            .iter()
            .map(|h| Temperature::from_si(self.kelvin(*h)))
            .collect();
        let sea = Barometer::standard();
        let start = PressureGauge::of(self.start_psig, unit::PSIG)
            .to_abs(sea)
            .unwrap();
        let pressure = hours.iter().zip(&air).map(|(h, t)| {
            let sealed = DryGas::Nitrogen.sealed_pressure(start, air[0], *t).unwrap();
            // a loss of gas takes the same part off at any temperature
            let left = 1.0 - self.lost_psi * h / self.hours / start.in_unit(unit::PSIA);
            let psig = (sealed.in_unit(unit::PSIA) * left) - 14.695_948_8;
            let shown = (psig / self.resolution_psi).round() * self.resolution_psi;
            PressureGauge::of(shown, unit::PSIG).to_abs(sea).unwrap()
        });
        Input {
            outdoor: Some(air.clone()),
            outdoor_share: Some(Fraction::from_si(1.0)),
            ..Input::of(
                hours.clone(),
                pressure.collect(),
                PressureDiff::of(self.resolution_psi, unit::PSI_DIFF),
            )
        }
    }

    fn judged(&self) -> Finding {
        assess(&self.read(), &Criteria::default()).unwrap()
    }
}

/// The same rows in another order.
fn shuffled(input: &Input, order: &[usize]) -> Input {
    let air = input.outdoor.as_ref().unwrap();
    Input {
        hours: order.iter().map(|&i| input.hours[i]).collect(),
        pressure: order.iter().map(|&i| input.pressure[i]).collect(),
        outdoor: Some(order.iter().map(|&i| air[i]).collect()),
        ..input.clone()
    }
}

fn rank(outcome: Outcome) -> u8 {
    match outcome {
        Outcome::Pass => 0,
        Outcome::Fail => 2,
        _ => 1,
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn a_sealed_volume_that_follows_its_temperature_never_fails(hold in hold()) {
        prop_assert_ne!(hold.judged().outcome, Outcome::Fail);
    }

    #[test]
    fn the_order_of_rows_changes_nothing(
        (input, order) in hold().prop_flat_map(|hold| {
            let input = hold.read();
            let rows: Vec<usize> = (0..input.hours.len()).collect();
            (Just(input), Just(rows).prop_shuffle())
        })
    ) {
        let criteria = Criteria::default();
        let straight = assess(&input, &criteria).unwrap();
        let mixed = assess(&shuffled(&input, &order), &criteria).unwrap();
        prop_assert_eq!(format!("{straight:?}"), format!("{mixed:?}"));
    }

    #[test]
    fn the_same_input_gives_the_same_bytes(hold in hold(), lost_psi in 0.0..50.0f64) {
        let hold = Hold { lost_psi, ..hold };
        prop_assert_eq!(format!("{:?}", hold.judged()), format!("{:?}", hold.judged()));
    }

    #[test]
    fn a_larger_leak_never_turns_fail_into_pass(hold in hold(), lost in 0.0..10.0f64, more in 1.0..10.0f64) {
        let of = |lost_psi: f64| Hold { lost_psi, ..hold.clone() }.judged().outcome;
        let (small, large) = (of(lost), of(lost * more));
        prop_assert!(!(small == Outcome::Fail && large == Outcome::Pass), "{lost} psi: {small:?}, times {more}: {large:?}");
    }

    /// The rule itself, without the readings' noise: a larger loss is never judged more kindly.
    #[test]
    fn a_larger_loss_of_the_same_spread_is_never_judged_kinder(
        mean in -1.0..1.0f64, more in 0.0..1.0f64, sd in 0.0..1.0f64, limit in 0.001..0.5f64
    ) {
        let verdict = |mean| match judge(&Mixture::normal(mean, sd), limit).verdict {
            Verdict::Pass => Outcome::Pass,
            Verdict::Fail => Outcome::Fail,
            Verdict::Undecided => Outcome::Undecided,
        };
        prop_assert!(rank(verdict(mean + more)) >= rank(verdict(mean)));
    }

    #[test]
    fn a_larger_spread_never_turns_undecided_into_a_verdict(
        mean in -1.0..1.0f64, sd in 0.0..1.0f64, wider in 1.0..100.0f64, limit in 0.001..0.5f64
    ) {
        let verdict = |sd| judge(&Mixture::normal(mean, sd), limit).verdict;
        if verdict(sd) == Verdict::Undecided {
            prop_assert_eq!(verdict(sd * wider), Verdict::Undecided);
        }
    }
}

#[test]
fn two_readings_at_one_time_are_refused_in_any_order() {
    let hold = Hold {
        hours: 4.0,
        every_min: 20.0,
        start_psig: 400.0,
        resolution_psi: 0.5,
        day: (3.0, 0.0),
        walk: vec![0.1; 49],
        lost_psi: 0.0,
    };
    let mut input = hold.read();
    input.hours[7] = input.hours[2];
    let said = assess(&input, &Criteria::default())
        .unwrap_err()
        .to_string();
    assert!(said.contains("two readings at 0.66"), "{said}");
}
