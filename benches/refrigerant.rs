//! Lookups in the tables: saturation below 60 ns, a superheated state below 150 ns.
//!
//! `against_coolprop.py` beside this file runs it and puts a general-purpose property library beside it.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use lineproof::fluid::refrigerant::{Subcooled, Superheated, Viscosities};
use lineproof::fluid::{Refrigerant, Saturation};
use lineproof::quantity::{PressureAbs, Quantity, Temperature, TemperatureDiff};

/// A pure refrigerant, a pseudo-pure one, a blend of two and one of five.
const REFRIGERANTS: [Refrigerant; 4] = [
    Refrigerant::R32,
    Refrigerant::R410A,
    Refrigerant::R454B,
    Refrigerant::R448A,
];

fn lookups(c: &mut Criterion) {
    for refrigerant in REFRIGERANTS {
        let table = Saturation::of(refrigerant);
        let (vapour, liquid) = (Superheated::of(refrigerant), Subcooled::of(refrigerant));
        let viscosities = Viscosities::of(refrigerant);
        // 2 to 30 bar, 0 to 60 K away: a thousand states, so that no branch learns its way
        let pressures: Vec<_> = (0..1000)
            .map(|i| PressureAbs::from_si(2e5 * 15f64.powf(f64::from(i * 617 % 1000) / 1000.0)))
            .collect();
        let temperatures: Vec<_> = (0..1000)
            .map(|i| Temperature::from_si(233.0 + 0.1 * f64::from(i * 617 % 1000)))
            .collect();
        let away = |p: &PressureAbs, i: usize, by: f64| {
            let saturation = if by > 0.0 {
                table.dew_temperature(*p)
            } else {
                table.bubble_temperature(*p)
            };
            saturation.unwrap() + TemperatureDiff::from_si(by * (i * 389 % 1000) as f64 / 1000.0)
        };
        let states = |by| -> Vec<_> {
            let pairs = pressures.iter().enumerate();
            pairs.map(|(i, p)| (*p, away(p, i, by))).collect()
        };
        let (gas, cold) = (states(60.0), states(-15.0));
        let mut next = (0..1000).cycle();
        let mut turn = move || next.next().unwrap_or_default();
        let mut group = c.benchmark_group(refrigerant.name());
        group.bench_function("bubble temperature of a pressure", |b| {
            b.iter(|| table.bubble_temperature(black_box(pressures[turn()])))
        });
        group.bench_function("dew pressure of a temperature", |b| {
            b.iter(|| table.dew_pressure(black_box(temperatures[turn()])))
        });
        group.bench_function("vapour density of a temperature", |b| {
            b.iter(|| table.vapour_density(black_box(temperatures[turn()])))
        });
        group.bench_function("superheated state", |b| {
            b.iter(|| {
                let (p, t) = gas[turn()];
                vapour.at(black_box(p), black_box(t))
            })
        });
        group.bench_function("subcooled state", |b| {
            b.iter(|| {
                let (p, t) = cold[turn()];
                liquid.at(black_box(p), black_box(t))
            })
        });
        group.bench_function("liquid viscosity of a temperature", |b| {
            b.iter(|| viscosities.liquid(black_box(temperatures[turn()])))
        });
        group.finish();
    }
}

criterion_group!(benches, lookups);
criterion_main!(benches);
