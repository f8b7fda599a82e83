//! The time column of a logger file: cells to seconds since the first reading.
//!
//! Nothing is guessed and nothing is sorted. Dates are read without asking where only one reading exists (year first,
//! a month by its name, an offset written beside them); day-first dates and two-digit years are asked for, with the
//! formats that fit the whole column. A clock without a date may pass midnight; a clock that goes back splits the log
//! into parts, of which one may be asked for. Of two rows that are the same, cell by cell, one is dropped, and a note
//! says so; the same time with other readings is refused.

mod dates;
mod error;
mod parts;
mod zone;

pub use error::ClockError;

use jiff::civil::DateTime;

use self::dates::Format;
use super::column::Asked;
use super::name::time_unit;
use crate::record::LogFile;

/// One cell of the time column.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cell<'a> {
    /// The line it stands on.
    pub line: u64,
    /// As written.
    pub text: &'a str,
    /// As a number, where [`is_number`] says that the column is one.
    pub number: Option<f64>,
}

/// When each reading was taken.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Times {
    /// Seconds since the first reading that is kept, increasing.
    pub seconds: Vec<f64>,
    /// The rows that are kept, counted from 0.
    pub kept: Vec<usize>,
    /// What a reader should know about how the clock was read.
    pub notes: Vec<String>,
}

/// How the cells are read.
#[derive(Debug, Clone, PartialEq)]
enum How {
    /// Numbers of so many seconds.
    Scale(f64),
    /// Seconds or milliseconds since 1970, told apart by their size.
    Unix,
    /// Days since the end of 1899, in the local clock's time.
    Serial,
    /// Hours, minutes and perhaps seconds since the start.
    Elapsed,
    /// Minutes and seconds since the start.
    MinutesSeconds,
    /// By a format.
    Format(Format),
    /// As the cells show.
    Text,
}

/// The cells with what they say of time, before their order is looked at.
enum Said {
    /// Seconds of some fixed start.
    Seconds(Vec<f64>),
    /// Dates and times without an offset.
    Civil(Vec<DateTime>),
    /// Seconds since midnight.
    OfDay(Vec<f64>),
}

/// Whether the cells of a time column of this name are plain numbers; `first` is its first cell.
pub(super) fn is_number(name: &str, first: &str, asked: &Asked) -> Result<bool, ClockError> {
    let how = how(name, first, asked)?;
    Ok(matches!(how, How::Scale(_) | How::Unix | How::Serial))
}

/// The columns of the date and of the time, where a log has them apart.
pub(super) fn date_and_time(names: &[&str]) -> Option<[usize; 2]> {
    let first_word = |name: &str| {
        let name = name.to_lowercase();
        let mut words = name.split(|c: char| !c.is_alphanumeric());
        (
            words.next().unwrap_or_default().to_string(),
            words.any(|w| w == "time"),
        )
    };
    let only = |word: &str| {
        let mut found = (0..names.len()).filter(|i| first_word(names[*i]) == (word.into(), false));
        found.next().filter(|_| found.next().is_none())
    };
    Some([only("date")?, only("time")?])
}

/// Reads a time column; `same_row` says whether two rows are the same cell by cell.
pub(super) fn read(
    cells: &[Cell],
    name: &str,
    asked: &Asked,
    same_row: &dyn Fn(usize, usize) -> bool,
) -> Result<Times, ClockError> {
    let zone = asked.zone.as_deref().map(zone::named).transpose()?;
    let mut notes = Vec::new();
    let first = cells.first().map_or("", |cell| cell.text);
    let said = said(cells, name, how(name, first, asked)?, &mut notes)?;
    let civil = matches!(said, Said::Civil(_)) && zone.is_none();
    let (seconds, clock) = match said {
        Said::Seconds(seconds) => (seconds, None),
        Said::OfDay(seconds) => {
            let clock = seconds.clone();
            (zone::past_midnight(cells, seconds, &mut notes), Some(clock))
        }
        Said::Civil(civil) => {
            let clock = civil.iter().map(|c| seconds_of_day(*c)).collect();
            let seconds = match &zone {
                Some(zone) => zone::instants(cells, &civil, zone, &mut notes)?,
                None => civil.iter().map(|c| as_seconds(*c)).collect(),
            };
            (seconds, Some(clock))
        }
    };
    let column = parts::Column {
        cells,
        seconds: &seconds,
        clock: clock.as_deref(),
        could_be_set: civil,
    };
    parts::growing(&column, asked.part, same_row, notes)
}

/// Seconds of a civil time, as if every day had 24 h.
fn as_seconds(civil: DateTime) -> f64 {
    let epoch = DateTime::constant(1970, 1, 1, 0, 0, 0, 0);
    civil.duration_since(epoch).as_secs_f64()
}

fn seconds_of_day(civil: DateTime) -> f64 {
    as_seconds(civil).rem_euclid(86_400.0)
}

/// The middle of the steps forward; an odd one out does not move it.
fn usual_step(seconds: &[f64]) -> f64 {
    let steps = seconds.windows(2).map(|w| w[1] - w[0]);
    let mut steps: Vec<f64> = steps.filter(|step| *step > 0.0).collect();
    if steps.is_empty() {
        return 0.0;
    }
    let middle = steps.len() / 2;
    *steps.select_nth_unstable_by(middle, f64::total_cmp).1
}

/// Whether a step could be one of a row of usual steps.
fn is_even(step: f64, usual: f64) -> bool {
    step > 0.0 && step <= 2.5 * usual.max(1.0)
}

fn lower_words(name: &str) -> Vec<String> {
    let words = name.split(|c: char| !c.is_alphanumeric());
    words
        .filter(|w| !w.is_empty())
        .map(str::to_lowercase)
        .collect()
}

fn how(name: &str, first: &str, asked: &Asked) -> Result<How, ClockError> {
    if let Some(format) = &asked.time_format {
        return Ok(match format.trim() {
            "ms" => How::Scale(1e-3),
            "s" => How::Scale(1.0),
            "min" => How::Scale(60.0),
            "h" => How::Scale(3600.0),
            "d" => How::Scale(86_400.0),
            "unix" => How::Scale(1.0),
            "unix-ms" => How::Scale(1e-3),
            "excel" => How::Serial,
            "%M:%S" => How::MinutesSeconds,
            format => How::Format(Format::asked(format)?),
        });
    }
    let words = lower_words(name);
    let has = |list: &[&str]| words.iter().any(|w| list.contains(&w.as_str()));
    if first.contains(':') {
        return Ok(match () {
            _ if has(&["mmss"]) => How::MinutesSeconds,
            _ if has(&["elapsed", "duration", "hhmmss", "hhmm"]) && !first.contains(['-', '/']) => {
                How::Elapsed
            }
            _ => How::Text,
        });
    }
    if has(&["ms", "millis", "milliseconds"]) {
        return Ok(How::Scale(1e-3));
    }
    if let Some(scale) = time_unit(name) {
        return Ok(How::Scale(scale));
    }
    Ok(if has(&["unix", "epoch"]) {
        How::Unix
    } else {
        How::Text
    })
}

fn said(cells: &[Cell], name: &str, how: How, notes: &mut Vec<String>) -> Result<Said, ClockError> {
    let numbers = || cells.iter().map(|cell| cell.number.unwrap_or(f64::NAN));
    Ok(match how {
        How::Scale(scale) => Said::Seconds(numbers().map(|n| n * scale).collect()),
        How::Unix => {
            let in_ms = numbers().all(|n| n.abs() > 1e11);
            let unit = if in_ms { "milliseconds" } else { "seconds" };
            notes.push(format!("column \"{name}\" is read as {unit} since 1970"));
            let scale = if in_ms { 1e-3 } else { 1.0 };
            Said::Seconds(numbers().map(|n| n * scale).collect())
        }
        How::Serial => Said::Civil(dates::serial(cells, name)?),
        How::Elapsed => Said::Seconds(dates::elapsed(cells, name, &[3600.0, 60.0, 1.0])?),
        How::MinutesSeconds => Said::Seconds(dates::elapsed(cells, name, &[60.0, 1.0])?),
        How::Format(format) => format.read(cells, name)?,
        How::Text => dates::read(cells, name)?,
    })
}

impl LogFile {
    /// With what was said of its clock.
    pub fn with_clock(self, asked: &Asked) -> LogFile {
        LogFile {
            time_format: asked.time_format.clone(),
            zone: asked.zone.clone(),
            part: asked.part,
            ..self
        }
    }

    /// What was said of its clock, beside what was said of its columns.
    pub fn clock(&self, asked: Asked) -> Asked {
        Asked {
            time_format: self.time_format.clone(),
            zone: self.zone.clone(),
            part: self.part,
            ..asked
        }
    }
}
