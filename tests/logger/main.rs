//! Logger files as people have them: every pain has a small file in `files`, and a test that says what must happen.

mod numbers;
mod previewed;
mod structure;
mod units;
#[cfg(feature = "xlsx")]
mod workbook;

use std::path::PathBuf;

use lineproof::quantity::{Barometer, Quantity, unit};
use lineproof::record::logger::{
    Asked, HoldLog, Kind, LoggerError, Preview, RiseLog, Role, preview, read_hold, read_rise,
};

fn file(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/logger/files")
        .join(name)
}

/// What was said of columns and units.
fn said(columns: &[(Role, &str)], units: &[(Role, &str)]) -> Asked {
    let owned = |list: &[(Role, &str)]| {
        let said = list
            .iter()
            .map(|(role, text)| (*role, Some(text.to_string())));
        said.collect::<Vec<_>>()
    };
    Asked::of(owned(columns), owned(units))
}

fn skipping(asked: Asked) -> Asked {
    Asked {
        skip_missing: true,
        ..asked
    }
}

fn hold_as(name: &str, asked: &Asked) -> Result<HoldLog, LoggerError> {
    read_hold(&file(name), asked, Barometer::standard())
}

fn hold(name: &str) -> HoldLog {
    hold_as(name, &Asked::default()).unwrap_or_else(|e| panic!("{e}"))
}

fn rise_as(name: &str, asked: &Asked) -> Result<RiseLog, LoggerError> {
    read_rise(&file(name), asked, Barometer::standard())
}

fn rise(name: &str) -> RiseLog {
    rise_as(name, &Asked::default()).unwrap_or_else(|e| panic!("{e}"))
}

fn seen(name: &str, kind: Kind, asked: &Asked) -> Preview {
    preview(&file(name), asked, kind, Barometer::standard()).unwrap_or_else(|e| panic!("{e}"))
}

/// Gauge pressures in psi of a hold.
fn psig(log: &HoldLog) -> Vec<f64> {
    let gauge = |p: &lineproof::quantity::PressureAbs| {
        p.to_gauge(Barometer::standard()).in_unit(unit::PSIG)
    };
    log.pressure.iter().map(gauge).collect()
}

fn micron(log: &RiseLog) -> Vec<f64> {
    log.pressure
        .iter()
        .map(|p| p.in_unit(unit::MICRON))
        .collect()
}

#[track_caller]
fn near(values: &[f64], expected: &[f64]) {
    assert_eq!(values.len(), expected.len(), "{values:?}");
    for (value, expected) in values.iter().zip(expected) {
        assert!(
            (value - expected).abs() < 1e-6 * expected.abs().max(1.0),
            "{value} {expected}"
        );
    }
}

/// The error says every one of these.
#[track_caller]
fn refused<T>(read: Result<T, LoggerError>, words: &[&str]) {
    let error = match read {
        Ok(_) => panic!("it was read"),
        Err(error) => error.to_string(),
    };
    for word in words {
        assert!(error.contains(word), "\"{word}\" is not in: {error}");
    }
}
