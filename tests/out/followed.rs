//! What stands on the screen while a test goes on.

use lineproof::check::tight::{self, Criteria, Input};
use lineproof::check::{Finding, dry};
use lineproof::out::text::{self, Now, Style};
use lineproof::quantity::{
    Barometer, PressureAbs, PressureDiff, PressureGauge, Quantity, Temperature, UnitSystem, unit,
};

fn now(units: UnitSystem, hours: f64) -> Now {
    let read = PressureGauge::of(441.3, unit::PSIG).to_abs(Barometer::standard());
    Now {
        at: "18:42:10".into(),
        file: None,
        read: Some((hours, read.unwrap())),
        units,
    }
}

/// An invented hold, every quarter of an hour, that loses so much an hour.
fn hold(rows: usize, loss: f64) -> Finding {
    let hours: Vec<f64> = (0..rows).map(|i| i as f64 / 4.0).collect();
    let day = |h: f64| (h * std::f64::consts::TAU / 24.0).sin();
    let outdoor = hours
        .iter()
        .map(|h| Temperature::of(283.0 - 5.0 * day(*h), unit::KELVIN));
    let outdoor: Vec<Temperature> = outdoor.collect();
    let gauge = |(h, t): (&f64, &Temperature)| {
        let psig = 450.0 + 1.6 * (t.si() - 283.0) - loss * h;
        let read = PressureGauge::of((psig * 10.0).round() / 10.0, unit::PSIG);
        read.to_abs(Barometer::standard()).unwrap()
    };
    let pressure: Vec<PressureAbs> = hours.iter().zip(&outdoor).map(gauge).collect();
    let mut input = Input::of(hours, pressure, PressureDiff::of(0.1, unit::PSI_DIFF));
    input.outdoor = Some(outdoor);
    tight::assess(&input, &Criteria::default()).unwrap()
}

#[test]
fn a_hold_that_is_undecided_and_one_that_is_decided() {
    let young = hold(24, 0.0);
    let mut said = text::followed(&young, &now(UnitSystem::Us, 5.75), Style::Plain);
    said += "\n";
    said += &text::followed_line(&young, &now(UnitSystem::Si, 5.75));
    said += "\n";
    let anew = Now {
        file: Some("the log began anew at 18:40:00; what was read before is left out".into()),
        ..now(UnitSystem::Us, 29.75)
    };
    said += &text::followed(&hold(120, 1.5), &anew, Style::Plain);
    said += "\n";
    said += &text::waiting("readings in it: 1, at least 2 are needed", &anew);
    insta::assert_snapshot!(said);
    let progress = text::progress(&young, Some((5.75, PressureAbs::from_si(3e6))));
    assert!(progress.elapsed == 5.75 && progress.needed.is_some_and(|h| h > 5.75));
}

#[test]
fn a_rise() {
    let minutes: Vec<f64> = (0..12).map(f64::from).collect();
    let micron = |m: &f64| PressureAbs::of((300.0 + 4.0 * m).round(), unit::MICRON);
    let pressure = minutes.iter().map(micron).collect();
    let step = PressureDiff::of(1.0, unit::MICRON_DIFF);
    let rise = dry::Input::of(minutes, pressure, step);
    let finding = dry::assess(&rise, &dry::Criteria::default()).unwrap();
    let now = Now {
        read: Some((11.0 / 60.0, PressureAbs::of(344.0, unit::MICRON))),
        ..now(UnitSystem::Us, 0.0)
    };
    insta::assert_snapshot!(text::followed(&finding, &now, Style::Plain));
}
