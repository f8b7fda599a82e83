//! From the clock on the wall to time that grows: zones, the doubled hour, midnight.

use std::ops::Range;

use jiff::civil::DateTime;
use jiff::tz::{AmbiguousOffset, Offset, TimeZone};

use super::{Cell, ClockError, as_seconds, is_even, usual_step};

/// A zone by its IANA name; an error names near ones.
pub(super) fn named(name: &str) -> Result<TimeZone, ClockError> {
    TimeZone::get(name.trim()).map_err(|_| ClockError::Zone {
        text: name.into(),
        near: near(name),
    })
}

/// The three names that are most like a text, in whole or in their last part.
fn near(text: &str) -> String {
    let text = text.trim().to_lowercase().replace(' ', "_");
    let like = |name: &str| {
        let name = name.to_lowercase();
        let city = name.rsplit('/').next().unwrap_or(&name);
        strsim::jaro_winkler(&text, &name).max(strsim::jaro_winkler(&text, city))
    };
    let names = jiff::tz::db().available().map(|name| name.to_string());
    // old names of one part, such as Navajo, stay out
    let mut names: Vec<(f64, String)> = names
        .filter(|name| name.contains('/') && !name.starts_with("Etc/"))
        .map(|name| (like(&name), name))
        .collect();
    names.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    let [a, b, c] = match names.as_slice() {
        [a, b, c, ..] if a.0 > 0.8 => [&a.1, &b.1, &c.1].map(String::as_str),
        _ => ["America/Chicago", "Europe/Berlin", "Asia/Tokyo"],
    };
    format!("{a}, {b} or {c}")
}

/// A clock time whose offset is not one.
struct Twice {
    first: Offset,
    second: Offset,
}

/// Seconds since 1970 of civil times in a zone.
///
/// In the doubled hour the rows are of its first pass until time goes back, and of its second after that; where it
/// does not go back, of the one that leaves the steps even. Where neither does, they are refused.
pub(super) fn instants(
    cells: &[Cell],
    civil: &[DateTime],
    zone: &TimeZone,
    notes: &mut Vec<String>,
) -> Result<Vec<f64>, ClockError> {
    let zone_name = zone.iana_name().unwrap_or("this zone").to_string();
    let mut seconds = Vec::with_capacity(civil.len());
    let mut runs: Vec<(Range<usize>, Twice)> = Vec::new();
    let mut offset_before = None;
    for (row, at) in civil.iter().enumerate() {
        let offset = match zone.to_ambiguous_timestamp(*at).offset() {
            AmbiguousOffset::Unambiguous { offset } => offset,
            AmbiguousOffset::Gap { before, after } => {
                return Err(ClockError::Skipped {
                    line: cells[row].line,
                    text: cells[row].text.into(),
                    zone: zone_name,
                    before,
                    after,
                });
            }
            AmbiguousOffset::Fold { before, after } => {
                match runs.last_mut() {
                    Some((run, _)) if run.end == row => run.end += 1,
                    _ => runs.push((
                        row..row + 1,
                        Twice {
                            first: before,
                            second: after,
                        },
                    )),
                }
                before
            }
        };
        if let Some(before) = offset_before
            && offset > before
            && row > 0
        {
            notes.push(format!(
                "the clocks were set forward between line {} and line {}: the hour between them did not happen and is not missing",
                cells[row - 1].line,
                cells[row].line
            ));
        }
        offset_before = Some(offset);
        seconds.push(as_seconds(*at) - f64::from(offset.seconds()));
    }
    for (run, twice) in runs {
        let later = second_pass(&seconds, &run, &twice).ok_or_else(|| ClockError::Doubled {
            from: cells[run.start].line,
            to: cells[run.end - 1].line,
            zone: zone_name.clone(),
            first: twice.first,
            second: twice.second,
        })?;
        let shift = twice.shift();
        seconds[later..run.end].iter_mut().for_each(|s| *s += shift);
        let line = |row: usize| cells[row].line;
        notes.push(match later {
            at if at == run.end => format!(
                "lines {} to {} are read as the first pass of the hour that the clocks showed twice",
                line(run.start),
                line(run.end - 1)
            ),
            at => format!(
                "the clocks were set back: from line {} to line {} it is the second pass of the hour that they showed twice",
                line(at),
                line(run.end - 1)
            ),
        });
    }
    Ok(seconds)
}

impl Twice {
    fn shift(&self) -> f64 {
        f64::from(self.first.seconds() - self.second.seconds())
    }
}

/// The first row of a run that is of the second pass, `seconds` taken as of the first.
fn second_pass(seconds: &[f64], run: &Range<usize>, twice: &Twice) -> Option<usize> {
    let usual = usual_step(seconds);
    let goes_back = |row: &usize| {
        let step = seconds[*row] - seconds[*row - 1];
        // every hour: the second pass shows the same time; more often: it is a row that repeats
        step < 0.0 || (step == 0.0 && usual > 1800.0)
    };
    if let Some(row) = (run.start + 1..run.end).find(goes_back) {
        return Some(row);
    }
    let into = (run.start > 0).then(|| seconds[run.start] - seconds[run.start - 1]);
    let out = seconds.get(run.end).map(|next| next - seconds[run.end - 1]);
    if into.is_none() && out.is_none() {
        return Some(run.end);
    }
    let odd = |shift: f64| {
        let steps = [into.map(|step| step + shift), out.map(|step| step - shift)];
        let steps = steps.into_iter().flatten();
        steps.map(|s| (s - usual).abs()).fold(0.0, f64::max)
    };
    let (first, second) = (odd(0.0), odd(twice.shift()));
    match () {
        _ if first + 600.0 < second => Some(run.end),
        _ if second + 600.0 < first => Some(run.start),
        _ => None,
    }
}

/// Seconds of a clock without a date: where it falls back by nearly a day and goes on evenly, a new day began.
pub(super) fn past_midnight(cells: &[Cell], clock: Vec<f64>, notes: &mut Vec<String>) -> Vec<f64> {
    const DAY: f64 = 86_400.0;
    let usual = usual_step(&clock);
    let mut days = 0.0;
    let mut first = None;
    let mut seconds = Vec::with_capacity(clock.len());
    for (row, now) in clock.iter().enumerate() {
        let step = row.checked_sub(1).map_or(0.0, |before| now - clock[before]);
        if step < 0.0 && is_even(step + DAY, usual) {
            days += 1.0;
            first = first.or(Some(row));
        }
        seconds.push(now + days * DAY);
    }
    if let Some(row) = first {
        let often = match days as u64 {
            1 => "midnight once".into(),
            many => format!("midnight {many} times"),
        };
        notes.push(format!(
            "the clock has no date and passes {often}, first at line {} ({} to {}): the next day was taken",
            cells[row].line,
            cells[row - 1].text,
            cells[row].text
        ));
    }
    seconds
}
