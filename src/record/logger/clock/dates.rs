//! Dates and times as they are written, and the formats that nobody is spared to confirm.

use jiff::civil::{Date, DateTime, Time};
use jiff::fmt::strtime::BrokenDownTime;
use jiff::{SignedDuration, Timestamp, Zoned};

use super::{Cell, ClockError, Said, as_seconds, is_even, seconds_of_day, usual_step};

/// Years that a logger can have; others are a wrong format.
const YEARS: std::ops::RangeInclusive<i16> = 1980..=2100;

/// What one cell says of time.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Stamp {
    Instant(Timestamp),
    Civil(DateTime),
    OfDay(Time),
}

/// A format in the letters of strftime.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Format(String);

impl Format {
    /// As the user typed it.
    pub fn asked(format: &str) -> Result<Self, ClockError> {
        let refuse = || ClockError::Format {
            format: format.into(),
        };
        if !format.contains('%') {
            return Err(refuse());
        }
        // a letter that is unknown fails on writing as well as on reading
        let any = DateTime::constant(2026, 3, 1, 18, 30, 0, 0);
        let any = any
            .to_zoned(jiff::tz::TimeZone::UTC)
            .map_err(|_| refuse())?;
        let written = BrokenDownTime::from(&any).to_string(format);
        written.map_err(|_| refuse())?;
        Ok(Format(format.into()))
    }

    fn stamp(&self, text: &str) -> Result<Stamp, String> {
        let broken = BrokenDownTime::parse(&self.0, text).map_err(|e| in_short(&e))?;
        if let Ok(at) = broken.to_timestamp() {
            return Ok(Stamp::Instant(at));
        }
        if broken.iana_time_zone().is_some()
            && let Ok(at) = broken.to_zoned()
        {
            return Ok(Stamp::Instant(at.timestamp()));
        }
        let time = broken.to_time().map_err(|e| in_short(&e))?;
        let dated = broken.year().is_some() || broken.month().is_some() || broken.day().is_some();
        if !dated {
            return Ok(Stamp::OfDay(time));
        }
        let date = broken.to_date().map_err(|e| in_short(&e))?;
        if !YEARS.contains(&date.year()) {
            return Err(format!(
                "year {}, where {} to {} is expected",
                date.year(),
                YEARS.start(),
                YEARS.end()
            ));
        }
        Ok(Stamp::Civil(date.to_datetime(time)))
    }

    /// Every cell by this format.
    pub fn read(&self, cells: &[Cell], name: &str) -> Result<Said, ClockError> {
        let stamps = cells.iter().map(|cell| {
            let refuse = |why| ClockError::NotInFormat {
                line: cell.line,
                column: name.into(),
                text: cell.text.into(),
                format: self.0.clone(),
                why,
            };
            self.stamp(cell.text).map_err(refuse)
        });
        let stamps = stamps.collect::<Result<Vec<_>, _>>()?;
        said(&stamps).map_err(|row| unlike(&cells[row], cells[0], name))
    }

    /// The stamps of all cells, or how many fit before the first that does not.
    fn whole(&self, cells: &[Cell]) -> Result<Vec<Stamp>, usize> {
        let mut stamps = Vec::new();
        for cell in cells {
            stamps.push(self.stamp(cell.text).map_err(|_| stamps.len())?);
        }
        Ok(stamps)
    }
}

/// The last part of a message says what did not fit.
fn in_short(error: &jiff::Error) -> String {
    let text = error.to_string();
    text.strip_prefix("strptime parsing failed: ")
        .unwrap_or(&text)
        .to_string()
}

/// Stamps as one column; an error is the first row that is of another kind than the first.
fn said(stamps: &[Stamp]) -> Result<Said, usize> {
    let other = |is: fn(&Stamp) -> bool| {
        stamps
            .iter()
            .position(|stamp| !is(stamp))
            .map_or(Ok(()), Err)
    };
    Ok(match stamps[0] {
        Stamp::Instant(_) => {
            other(|stamp| matches!(stamp, Stamp::Instant(_)))?;
            Said::Seconds(stamps.iter().filter_map(instant).collect())
        }
        Stamp::Civil(_) => {
            other(|stamp| matches!(stamp, Stamp::Civil(_)))?;
            let civil = |stamp: &Stamp| match stamp {
                Stamp::Civil(at) => Some(*at),
                _ => None,
            };
            Said::Civil(stamps.iter().filter_map(civil).collect())
        }
        Stamp::OfDay(_) => {
            other(|stamp| matches!(stamp, Stamp::OfDay(_)))?;
            let of_day = |stamp: &Stamp| match stamp {
                Stamp::OfDay(time) => Some(seconds_of_day(
                    Date::constant(2000, 1, 1).to_datetime(*time),
                )),
                _ => None,
            };
            Said::OfDay(stamps.iter().filter_map(of_day).collect())
        }
    })
}

fn instant(stamp: &Stamp) -> Option<f64> {
    match stamp {
        Stamp::Instant(at) => Some(at.as_duration().as_secs_f64()),
        _ => None,
    }
}

/// What ISO 8601 and its like say, with or without an offset or a zone.
fn iso(text: &str) -> Option<Stamp> {
    if !text.as_bytes().get(..4)?.iter().all(u8::is_ascii_digit) {
        return None;
    }
    let behind_date = text.get(10..).unwrap_or_default();
    if behind_date.contains(['+', '-', 'Z', 'z', '[']) {
        let zoned = text.parse::<Zoned>().map(|zoned| zoned.timestamp());
        let at = zoned.or_else(|_| text.parse::<Timestamp>()).ok()?;
        return Some(Stamp::Instant(at));
    }
    let civil = text.parse::<DateTime>().ok()?;
    YEARS.contains(&civil.year()).then_some(Stamp::Civil(civil))
}

const TIMES: [&str; 4] = ["%H:%M:%S", "%H:%M", "%I:%M:%S %p", "%I:%M %p"];
/// Behind a time with its date.
const OFFSETS: [&str; 3] = ["", " %z", " %:z"];
/// Dates that can be read in one way only.
const PLAIN_DATES: [&str; 8] = [
    "%Y-%m-%d",
    "%Y/%m/%d",
    "%Y.%m.%d",
    "%d %b %Y",
    "%d-%b-%Y",
    "%b %d %Y",
    "%b %d, %Y",
    "%a %b %d %Y",
];
/// Dates whose order has to be said, with each of three marks between.
const OPEN_DATES: [&str; 5] = ["%d/%m/%Y", "%m/%d/%Y", "%d/%m/%y", "%m/%d/%y", "%y/%m/%d"];

/// The times of a day as the cells write them: with a fraction of a second where one has it.
fn times(cells: &[Cell]) -> [String; 4] {
    let in_fractions = |cell: &Cell| {
        cell.text
            .rsplit(':')
            .next()
            .is_some_and(|s| s.contains('.'))
    };
    let colon = cells[0].text.contains(':');
    let fraction = if colon && cells.iter().any(in_fractions) {
        "%S%.f"
    } else {
        "%S"
    };
    TIMES.map(|time| time.replace("%S", fraction))
}

/// Formats of a date and a time of which the first cell could be one.
fn formats(dates: &[String], cells: &[Cell]) -> Vec<Format> {
    let first = cells[0].text;
    let between = if first.contains(", ") { ", " } else { " " };
    let times = times(cells);
    let mut out = Vec::new();
    for date in dates {
        for (time, offset) in times
            .iter()
            .flat_map(|time| OFFSETS.map(|offset| (time, offset)))
        {
            out.push(Format(format!("{date}{between}{time}{offset}")));
        }
        out.push(Format(date.clone()));
    }
    out.retain(|format| format.stamp(first).is_ok());
    out
}

/// Reads cells that say by themselves how they are written.
pub(super) fn read(cells: &[Cell], name: &str) -> Result<Said, ClockError> {
    let first = cells[0];
    if cells.iter().all(|cell| cell.text.parse::<f64>().is_ok()) {
        return Err(bare_number(name, first.text));
    }
    if iso(first.text).is_some() {
        let stamps = cells
            .iter()
            .map(|cell| iso(cell.text).ok_or_else(|| unlike(cell, first, name)));
        let stamps = stamps.collect::<Result<Vec<_>, _>>()?;
        return said(&stamps).map_err(|row| unlike(&cells[row], first, name));
    }
    let plain = formats(&PLAIN_DATES.map(String::from), cells);
    let mut furthest = 0;
    for format in plain.into_iter().chain(times(cells).map(Format)) {
        match format.whole(cells) {
            Ok(stamps) => return said(&stamps).map_err(|row| unlike(&cells[row], first, name)),
            Err(fitted) => furthest = furthest.max(fitted),
        }
    }
    let marks = ["/", "-", "."].iter();
    let open: Vec<String> = marks
        .flat_map(|mark| OPEN_DATES.map(|date| date.replace('/', mark)))
        .collect();
    let mut fitting = Vec::new();
    for format in formats(&open, cells) {
        match format.whole(cells) {
            Ok(stamps) => fitting.push((format, stamps)),
            Err(fitted) => furthest = furthest.max(fitted),
        }
    }
    Err(match (fitting.is_empty(), furthest) {
        (false, _) => proposal(cells, name, fitting),
        (true, 0) => ClockError::NotATime {
            line: first.line,
            column: name.into(),
            text: first.text.into(),
            like: "2026-03-01 18:30:00".into(),
        },
        (true, row) => unlike(&cells[row], first, name),
    })
}

fn unlike(cell: &Cell, first: Cell, name: &str) -> ClockError {
    ClockError::NotATime {
        line: cell.line,
        column: name.into(),
        text: cell.text.into(),
        like: format!("the first, \"{}\" in line {}", first.text, first.line),
    }
}

/// What numbers without a unit could be.
fn bare_number(name: &str, text: &str) -> ClockError {
    let number: f64 = text.parse().unwrap_or(0.0);
    let question = match number {
        n if (20_000.0..80_000.0).contains(&n) => {
            "the day number of a spreadsheet, or in seconds, minutes or hours? say --time-format excel, s, min or h"
        }
        n if (8e8..5e9).contains(&n) => "in seconds since 1970? say --time-format unix",
        n if (8e11..5e12).contains(&n) => "in milliseconds since 1970? say --time-format unix-ms",
        _ => "in seconds, minutes or hours? say --time-format s, min or h",
    };
    ClockError::Unit {
        column: name.into(),
        text: text.into(),
        question: question.into(),
    }
}

/// The formats that fit every row; where one of them alone makes time grow evenly, that one.
fn proposal(cells: &[Cell], name: &str, fitting: Vec<(Format, Vec<Stamp>)>) -> ClockError {
    let even: Vec<_> = fitting
        .iter()
        .filter(|(_, stamps)| grows_evenly(stamps))
        .collect();
    let tell = |(format, stamps): &(Format, Vec<Stamp>)| {
        let first = match stamps[0] {
            Stamp::Civil(at) => at.strftime("%-d %B %Y %H:%M").to_string(),
            _ => String::new(),
        };
        format!("--time-format \"{}\" reads it as {first}", format.0)
    };
    let proposal = match (even.as_slice(), fitting.as_slice()) {
        ([only], all) => format!(
            "{} makes time grow evenly from row to row: if that is right, add it ({})",
            if all.len() == 1 {
                "one format fits every row and"
            } else {
                "only one format that fits"
            },
            tell(only)
        ),
        ([], all) => format!("say it: {}", list(all.iter().map(tell))),
        (even, _) => format!("say it: {}", list(even.iter().copied().map(tell))),
    };
    ClockError::Order {
        line: cells[0].line,
        column: name.into(),
        text: cells[0].text.into(),
        proposal,
    }
}

fn list(items: impl Iterator<Item = String>) -> String {
    items.collect::<Vec<_>>().join(", or ")
}

/// Whether time grows from row to row by steps that are like each other.
fn grows_evenly(stamps: &[Stamp]) -> bool {
    let seconds: Vec<f64> = stamps
        .iter()
        .map(|stamp| match stamp {
            Stamp::Civil(at) => as_seconds(*at),
            Stamp::Instant(at) => at.as_duration().as_secs_f64(),
            Stamp::OfDay(_) => f64::NAN,
        })
        .collect();
    let usual = usual_step(&seconds);
    seconds.windows(2).all(|w| is_even(w[1] - w[0], usual))
}

/// The day numbers of a spreadsheet as civil times.
///
/// Day 1 is 1 January 1900 and 29 February 1900 is counted although there was none, so that from March 1900 on the
/// number is the days since 30 December 1899.
pub(super) fn serial(cells: &[Cell], name: &str) -> Result<Vec<DateTime>, ClockError> {
    const ZERO: DateTime = DateTime::constant(1899, 12, 30, 0, 0, 0, 0);
    let days = |cell: &Cell| {
        let number = cell.number.filter(|n| (61.0..80_000.0).contains(n));
        let at = number.and_then(|n| {
            // a day number has its seconds in the fifth decimal: whole milliseconds lose nothing
            let ms = (n * 86_400_000.0).round() as i64;
            ZERO.checked_add(SignedDuration::from_millis(ms)).ok()
        });
        at.ok_or_else(|| ClockError::NotInFormat {
            line: cell.line,
            column: name.into(),
            text: cell.text.into(),
            format: "excel".into(),
            why: "a day number lies between 61 and 80000".into(),
        })
    };
    cells.iter().map(days).collect()
}

/// Parts with colons, such as 26:10 or 1:30:00, as seconds.
pub(super) fn elapsed(cells: &[Cell], name: &str, units: &[f64]) -> Result<Vec<f64>, ClockError> {
    let seconds = |cell: &Cell| {
        let parts: Vec<&str> = cell.text.split(':').collect();
        let numbers: Option<Vec<f64>> = parts.iter().map(|p| p.trim().parse().ok()).collect();
        let numbers = numbers.filter(|n| {
            (2..=units.len()).contains(&n.len())
                && n.iter().all(|x| *x >= 0.0)
                && n[1..].iter().all(|x| *x < 60.0)
        });
        let sum = |n: Vec<f64>| n.iter().zip(units).map(|(n, unit)| n * unit).sum();
        numbers.map(sum).ok_or_else(|| ClockError::NotATime {
            line: cell.line,
            column: name.into(),
            text: cell.text.into(),
            like: if units.len() == 2 {
                "26:10 (minutes and seconds)"
            } else {
                "1:30:00 (hours, minutes, seconds)"
            }
            .into(),
        })
    };
    cells.iter().map(seconds).collect()
}
