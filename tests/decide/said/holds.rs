//! Logs with known truth: a hold of nitrogen and a vacuum rise. Deterministic; the shapes are invented.

use lineproof::check::{Segment, dry, tight};
use lineproof::fluid::DryGas;
use lineproof::quantity::{
    Barometer, Fraction, PressureAbs, PressureDiff, PressureGauge, Quantity, Temperature, unit,
};

const LINES: [Segment; 3] = [
    Segment::LiquidLine,
    Segment::VapourLine,
    Segment::IndoorCoil,
];

/// A hold outdoors: so many hours, a reading every so many minutes, a swing with the day, and what is lost by then.
pub struct Hold {
    pub psig: f64,
    pub hours: f64,
    pub every_min: f64,
    pub swing_k: f64,
    /// Smallest step of the gauge, psi.
    pub step_psi: f64,
    /// What is gone after so many hours, psi.
    pub lost: fn(f64) -> f64,
}

impl Hold {
    pub const DAY: Hold = Hold {
        psig: 500.0,
        hours: 25.0,
        every_min: 30.0,
        swing_k: 6.0,
        step_psi: 0.1,
        lost: |_| 0.0,
    };

    /// What a gauge and a thermometer show.
    pub fn read(&self) -> tight::Input {
        let count = (self.hours * 60.0 / self.every_min).round() as usize + 1;
        let hours: Vec<f64> = (0..count)
            .map(|i| i as f64 * self.every_min / 60.0)
            .collect();
        let day = |h: f64| 293.15 - self.swing_k * (std::f64::consts::TAU * h / 24.0).sin();
        let first = PressureGauge::of(self.psig, unit::PSIG)
            .to_abs(Barometer::standard())
            .unwrap();
        let step = PressureDiff::of(self.step_psi, unit::PSI_DIFF).si();
        let pressure = hours.iter().enumerate().map(|(i, h)| {
            let at = |k| Temperature::from_si(k);
            let tight = DryGas::Nitrogen
                .sealed_pressure(first, at(day(0.0)), at(day(*h)))
                .unwrap();
            let lost = PressureDiff::of((self.lost)(*h), unit::PSI_DIFF).si();
            // a needle trembles by a third of a step
            let tremble = step * (((i * 7919) % 13) as f64 / 13.0 - 0.5) * 0.7;
            PressureAbs::from_si(((tight.si() - lost + tremble) / step).round() * step)
        });
        let pressure = pressure.collect();
        tight::Input {
            outdoor: Some(
                hours
                    .iter()
                    .map(|h| Temperature::from_si(day(*h)))
                    .collect(),
            ),
            indoor: None,
            outdoor_share: Some(Fraction::from_si(1.0)),
            covers: LINES.to_vec(),
            ..tight::Input::of(
                hours,
                pressure,
                PressureDiff::of(self.step_psi, unit::PSI_DIFF),
            )
        }
    }
}

/// A vacuum rise: a reading a minute for so long, micron by the minute.
pub fn rise(minutes: usize, micron: impl Fn(f64) -> f64) -> dry::Input {
    let at: Vec<f64> = (0..=minutes).map(|m| m as f64).collect();
    let pressure = at
        .iter()
        .map(|m| PressureAbs::of(micron(*m).round(), unit::MICRON))
        .collect();
    dry::Input {
        covers: LINES.to_vec(),
        ..dry::Input::of(at, pressure, PressureDiff::of(1.0, unit::MICRON_DIFF))
    }
}
