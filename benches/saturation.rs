//! Saturation lookups: below 100 ns each, whatever the pressure.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use lineproof::fluid::{Refrigerant, Saturation};
use lineproof::quantity::{PressureAbs, Quantity, Temperature};

fn lookups(c: &mut Criterion) {
    let table = Saturation::of(Refrigerant::R410A);
    let pressures: Vec<_> = (0..1000)
        .map(|i| PressureAbs::from_si(70e3 * (60f64).powf(f64::from(i) / 1000.0)))
        .collect();
    let temperatures: Vec<_> = (0..1000)
        .map(|i| Temperature::from_si(215.0 + 0.125 * f64::from(i)))
        .collect();
    let mut next = (0..1000).cycle();
    let mut turn = move || next.next().unwrap_or_default();
    c.bench_function("bubble temperature of a pressure", |b| {
        b.iter(|| table.bubble_temperature(black_box(pressures[turn()])))
    });
    c.bench_function("dew pressure of a temperature", |b| {
        b.iter(|| table.dew_pressure(black_box(temperatures[turn()])))
    });
    c.bench_function("liquid density of a temperature", |b| {
        b.iter(|| table.liquid_density(black_box(temperatures[turn()])))
    });
    c.bench_function("table of a name", |b| {
        b.iter(|| Saturation::of(black_box(Refrigerant::R410A)))
    });
}

criterion_group!(benches, lookups);
criterion_main!(benches);
