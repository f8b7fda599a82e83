//! Logger files: a table of readings as a logger or a person wrote it, read strictly.
//!
//! A file is read into columns with a [`Role`] and a unit each; nothing is sorted, filled or guessed. What cannot be
//! read is an error that names file, line, column and value.

mod cells;
mod clock;
mod column;
mod error;
mod follow;
mod header;
mod kept;
mod missing;
mod name;
mod number;
mod preview;
mod rehearsal;
mod same;
#[cfg(feature = "xlsx")]
mod sheet;
mod source;
mod table;
mod torn;
mod units;
mod values;
mod which;

pub use clock::ClockError;
pub use column::{Asked, Kind, LOGGED, Role};
pub use error::LoggerError;
pub use follow::{Follower, Look};
pub use number::Decimal;
pub use preview::{ColumnPreview, Gap, Preview, Spacing, preview};
pub use rehearsal::{REHEARSAL, is_rehearsal};

use std::path::Path;

use crate::check::run::steady::{Channel, Column, Kind as Reads, Log};
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
    /// Absolute pressures of a second, known-tight volume, if logged.
    pub witness: Option<Vec<PressureAbs>>,
    /// Rows left out, with line and reason.
    pub left_out: Vec<String>,
    /// How the clock was read, where that is not plain, and what looks odd and is no error.
    pub notes: Vec<String>,
}

/// A vacuum rise as logged.
#[derive(Debug, Clone, PartialEq)]
pub struct RiseLog {
    /// Minutes since the first reading.
    pub minutes: Vec<f64>,
    /// Absolute pressures.
    pub pressure: Vec<PressureAbs>,
    /// Absolute pressures of a second gauge on the same volume, if logged.
    pub second: Option<Vec<PressureAbs>>,
    /// The word for pumping or isolated of each row, if logged.
    pub phases: Option<Vec<String>>,
    /// The smallest step between two different pressures.
    pub smallest_step: Option<PressureDiff>,
    /// Rows left out, with line and reason.
    pub left_out: Vec<String>,
    /// How the clock was read, where that is not plain.
    pub notes: Vec<String>,
}

/// Reads a standing pressure test.
///
/// Column roles come from names such as `t_h`, `p_psig`, `T_outdoor_K`; `asked` replaces any of them.
pub fn read_hold(path: &Path, asked: &Asked, barometer: Barometer) -> Result<HoldLog, LoggerError> {
    let mut table = Table::read(path, Kind::Hold, asked, barometer)?;
    let time = std::mem::take(&mut table.seconds);
    let (pressure, gauge) = table.pressure(Role::Pressure, barometer)?;
    let outdoor = table.temperature(Role::Outdoor)?;
    let indoor = table.temperature(Role::Indoor)?;
    Ok(HoldLog {
        hours: time.iter().map(|s| s / 3600.0).collect(),
        smallest_step: smallest_step(&pressure),
        pressure,
        gauge,
        notes: table
            .notes
            .iter()
            .cloned()
            .chain(swapped_probes(&time, outdoor.as_deref(), indoor.as_deref()))
            .collect(),
        outdoor,
        indoor,
        witness: match table.find(Role::Witness)? {
            Some(_) => Some(table.pressure(Role::Witness, barometer)?.0),
            None => None,
        },
        left_out: table.left_out,
    })
}

/// Reads a vacuum rise.
pub fn read_rise(path: &Path, asked: &Asked, barometer: Barometer) -> Result<RiseLog, LoggerError> {
    let mut table = Table::read(path, Kind::Rise, asked, barometer)?;
    let time = std::mem::take(&mut table.seconds);
    let (pressure, gauge) = table.pressure(Role::Pressure, barometer)?;
    let second = match table.find(Role::Second)? {
        Some(_) => Some(table.pressure(Role::Second, barometer)?.0),
        None => None,
    };
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
        second,
        phases: table.phases()?,
        left_out: table.left_out,
        notes: table.notes,
    })
}

/// The running system as logged.
#[derive(Debug, Clone, PartialEq)]
pub struct RunningLog {
    /// Its rows.
    pub log: Log,
    /// The name of each column that was read.
    pub names: Vec<(Channel, String)>,
    /// Rows left out, with line and reason.
    pub left_out: Vec<String>,
    /// How the clock was read, where that is not plain.
    pub notes: Vec<String>,
}

/// Reads a running log: time and any of the [`Channel`]s that are read, at least one.
///
/// Column roles come from names such as `t_min`, `suction_line_F`, `suction_psig`; `asked` replaces any of them.
pub fn read_running(
    path: &Path,
    asked: &Asked,
    barometer: Barometer,
) -> Result<RunningLog, LoggerError> {
    let mut table = Table::read(path, Kind::Running, asked, barometer)?;
    let mut columns = Vec::new();
    let mut names = Vec::new();
    let seconds = std::mem::take(&mut table.seconds);
    for &channel in LOGGED {
        let role = Role::Running(channel);
        let Some(name) = table.name(role)? else {
            continue;
        };
        names.push((channel, name.to_string()));
        let values = match channel.kind() {
            Reads::Pressure => si(&table.pressure(role, barometer)?.0),
            Reads::Current => si(&table.current(role)?.unwrap_or_default()),
            Reads::Span | Reads::Line | Reads::Discharge | Reads::Air => {
                si(&table.temperature(role)?.unwrap_or_default())
            }
        };
        columns.push(Column { channel, values });
    }
    if columns.is_empty() {
        return Err(table.nothing_running());
    }
    Ok(RunningLog {
        log: Log {
            seconds,
            columns,
            barometer,
        },
        names,
        left_out: table.left_out,
        notes: table.notes,
    })
}

/// Outdoors swings more than indoors; where it is the other way round, the probes may be swapped.
fn swapped_probes(
    seconds: &[f64],
    outdoor: Option<&[Temperature]>,
    indoor: Option<&[Temperature]>,
) -> Option<String> {
    let swing = |values: &[Temperature]| {
        let kelvin = || values.iter().map(|t| t.si());
        kelvin().fold(f64::MIN, f64::max) - kelvin().fold(f64::MAX, f64::min)
    };
    let (outdoor, indoor) = (swing(outdoor?), swing(indoor?));
    let hours = seconds.last()? / 3600.0;
    // own choice: less than this, or sooner, proves nothing
    (hours >= 4.0 && indoor > 3.0 && indoor > 2.0 * outdoor).then(|| {
        format!(
            "the indoor temperature moves by {indoor:.1} K and the outdoor one by {outdoor:.1} K: check that the two probes are not swapped"
        )
    })
}

fn si<Q: Quantity>(values: &[Q]) -> Vec<f64> {
    values.iter().map(|v| v.si()).collect()
}

/// The smallest step between two different pressures that follow each other.
pub fn smallest_step(pressure: &[PressureAbs]) -> Option<PressureDiff> {
    pressure
        .windows(2)
        .map(|w| (w[1].si() - w[0].si()).abs())
        // differences of decimal numbers leave crumbs such as 1e-9
        .filter(|step| *step > 1e-3)
        .min_by(f64::total_cmp)
        .map(PressureDiff::from_si)
}
