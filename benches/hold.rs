//! A standing pressure test, the analysis alone: 24 h every minute below 10 ms, 24 h every second below 60 ms, a million
//! rows below 0.5 s, and no more than linear.
//!
//! `against_numpy.py` beside this file runs it and puts the same sums in numpy and a least-squares line of statsmodels beside.

use std::f64::consts::TAU;
use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use lineproof::check::dry;
use lineproof::check::tight::{Criteria, Input, assess};
use lineproof::quantity::*;

/// Rows and seconds between them.
const HOLDS: [(&str, usize, f64); 4] = [
    ("24 h every minute", 1441, 60.0),
    ("24 h every second", 86_401, 1.0),
    ("a quarter of a million rows", 250_000, 1.0),
    ("a million rows", 1_000_000, 1.0),
];

/// A leak of 0.01 psi/h under a day's swing of 12 K, on a gauge of half a psi; the needle trembles by a made-up pattern.
fn hold(rows: usize, seconds: f64) -> Input {
    let hours: Vec<f64> = (0..rows).map(|i| i as f64 * seconds / 3600.0).collect();
    let tremble = |i: usize, by: usize| ((i * by) % 1009) as f64 / 1009.0 - 0.5;
    let outdoor = |i: usize| {
        290.0
            + 6.0 * (hours[i] * TAU / 24.0).sin()
            + 0.4 * (1.3 * hours[i]).sin()
            + 0.2 * tremble(i, 617)
    };
    let indoor = |i: usize| 294.0 + 0.3 * (0.9 * hours[i]).sin() + 0.1 * tremble(i, 389);
    let psig = |i: usize| {
        let warmed = 0.8 * 1.08 * (outdoor(i) / 290.0).ln() + 0.2 * 1.07 * (indoor(i) / 294.0).ln();
        let psig = 514.7 * (warmed - 2e-5 * hours[i]).exp() - 14.7 + 0.3 * tremble(i, 811);
        (2.0 * psig).round() / 2.0
    };
    let sea = Barometer::standard();
    let pressures = (0..rows).map(|i| PressureGauge::of(psig(i), unit::PSIG).to_abs(sea).unwrap());
    let kelvin = |t: &dyn Fn(usize) -> f64| (0..rows).map(|i| Temperature::from_si(t(i))).collect();
    Input {
        outdoor: Some(kelvin(&outdoor)),
        indoor: Some(kelvin(&indoor)),
        outdoor_share: Some(Fraction::from_si(0.8)),
        ..Input::of(
            hours.clone(),
            pressures.collect(),
            PressureDiff::of(0.5, unit::PSI_DIFF),
        )
    }
}

fn holds(c: &mut Criterion) {
    let mut group = c.benchmark_group("hold");
    group.sample_size(10);
    for (name, rows, seconds) in HOLDS {
        let input = hold(rows, seconds);
        group.throughput(Throughput::Elements(rows as u64));
        group.bench_with_input(BenchmarkId::from_parameter(name), &input, |b, input| {
            b.iter(|| assess(black_box(input), &Criteria::default()))
        });
    }
    group.finish();
}

/// A vacuum rise of an hour read every second: vapour of 8 min beside a leak of 5 micron/min. Below 20 ms.
fn rise(c: &mut Criterion) {
    let minutes: Vec<f64> = (0..=3600).map(|s| f64::from(s) / 60.0).collect();
    let tremble = |i: usize| 1.0 + 0.002 * (((i * 617) % 1009) as f64 / 1009.0 - 0.5);
    let micron = |(i, t): (usize, &f64)| {
        let vapour = -1500.0 * (-t / 8.0).exp_m1();
        PressureAbs::of(
            ((300.0 + 5.0 * t + vapour) * tremble(i)).round(),
            unit::MICRON,
        )
    };
    let pressure = minutes.iter().enumerate().map(micron).collect();
    let step = PressureDiff::of(1.0, unit::MICRON_DIFF);
    let input = dry::Input::of(minutes, pressure, step);
    c.bench_function("rise of an hour every second", |b| {
        b.iter(|| dry::assess(black_box(&input), &dry::Criteria::default()))
    });
}

criterion_group!(benches, holds, rise);
criterion_main!(benches);
