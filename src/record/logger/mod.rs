//! Logger files: a table of readings as a logger or a person wrote it, read strictly.
//!
//! A file is read into columns with a [`Role`] and a unit each; nothing is sorted, filled or guessed. What cannot be
//! read is an error that names file, line, column and value.

mod column;
mod error;
mod table;

pub use column::{Asked, Role};
pub use error::LoggerError;

use std::path::Path;

use crate::quantity::{Barometer, PressureAbs, PressureDiff, Quantity, Temperature, unit};
use table::Table;

/// A standing pressure test as logged.
#[derive(Debug, Clone, PartialEq)]
pub struct HoldLog {
    /// Hours since the first reading.
    pub hours: Vec<f64>,
    /// Absolute pressures.
    pub pressure: Vec<PressureAbs>,
    /// Whether they were read on a gauge, and so depend on the barometer.
    pub gauge: bool,
    /// The smallest step between two different pressures: the resolution when none is stated.
    pub smallest_step: Option<PressureDiff>,
    /// Outdoor temperature, if logged.
    pub outdoor: Option<Vec<Temperature>>,
    /// Indoor temperature, if logged.
    pub indoor: Option<Vec<Temperature>>,
    /// Rows left out, with line and reason.
    pub left_out: Vec<String>,
}

/// A vacuum rise as logged.
#[derive(Debug, Clone, PartialEq)]
pub struct RiseLog {
    /// Minutes since the first reading.
    pub minutes: Vec<f64>,
    /// Absolute pressures.
    pub pressure: Vec<PressureAbs>,
    /// The smallest step between two different pressures.
    pub smallest_step: Option<PressureDiff>,
    /// Rows left out, with line and reason.
    pub left_out: Vec<String>,
}

/// Reads a standing pressure test.
///
/// Column roles come from names such as `t_h`, `p_psig`, `T_outdoor_K`; `asked` replaces any of them.
pub fn read_hold(path: &Path, asked: &Asked, barometer: Barometer) -> Result<HoldLog, LoggerError> {
    let table = Table::read(path, asked)?;
    let time = table.time_seconds()?;
    let (pressure, gauge) = table.pressure(barometer)?;
    Ok(HoldLog {
        hours: time.iter().map(|s| s / 3600.0).collect(),
        smallest_step: smallest_step(&pressure),
        pressure,
        gauge,
        outdoor: table.temperature(Role::Outdoor)?,
        indoor: table.temperature(Role::Indoor)?,
        left_out: table.left_out,
    })
}

/// Reads a vacuum rise.
pub fn read_rise(path: &Path, asked: &Asked, barometer: Barometer) -> Result<RiseLog, LoggerError> {
    let table = Table::read(path, asked)?;
    let time = table.time_seconds()?;
    let (pressure, gauge) = table.pressure(barometer)?;
    if let Some(low) = pressure
        .iter()
        .position(|p| gauge && p.si() < PressureAbs::of(1000.0, unit::MICRON).si())
    {
        return Err(LoggerError::GaugeAsVacuum {
            file: table.file,
            line: table.lines[low],
        });
    }
    Ok(RiseLog {
        minutes: time.iter().map(|s| s / 60.0).collect(),
        smallest_step: smallest_step(&pressure),
        pressure,
        left_out: table.left_out,
    })
}

fn smallest_step(pressure: &[PressureAbs]) -> Option<PressureDiff> {
    pressure
        .windows(2)
        .map(|w| (w[1].si() - w[0].si()).abs())
        // differences of decimal numbers leave crumbs such as 1e-9
        .filter(|step| *step > 1e-3)
        .min_by(f64::total_cmp)
        .map(PressureDiff::from_si)
}
