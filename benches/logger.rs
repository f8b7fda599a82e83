//! Reading a log: a million rows of four columns below half a second.

use std::fmt::Write;

use criterion::{Criterion, criterion_group, criterion_main};
use lineproof::quantity::Barometer;
use lineproof::record::logger::{Asked, read_hold};

const ROWS: usize = 1_000_000;

fn a_million_rows(c: &mut Criterion) {
    let mut text = String::from("t_s,p_psig,T_outdoor_F,T_indoor_F\n");
    for row in 0..ROWS {
        let x = row as f64;
        let (p, out, inside) = (
            450.0 - x * 1e-6,
            60.0 + (x * 1e-4).sin(),
            70.0 + (x * 1e-3).sin(),
        );
        writeln!(text, "{row},{p:.2},{out:.1},{inside:.1}").expect("a String takes all text");
    }
    let dir = tempfile::tempdir().expect("a folder for the log");
    let path = dir.path().join("log.csv");
    std::fs::write(&path, text).expect("the log is written");
    c.bench_function("read a million rows", |b| {
        b.iter(|| read_hold(&path, &Asked::default(), Barometer::standard()).expect("it is read"));
    });
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(10);
    targets = a_million_rows
}
criterion_main!(benches);
