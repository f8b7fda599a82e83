//! A clock that goes back: the parts of a log.

use std::ops::Range;

use super::{Cell, ClockError, Times, is_even, usual_step};

/// A time column as seconds.
pub(super) struct Column<'a> {
    pub cells: &'a [Cell<'a>],
    pub seconds: &'a [f64],
    /// Seconds since midnight as the cells show them, where they do.
    pub clock: Option<&'a [f64]>,
    /// Whether it could be a clock that is set back in autumn.
    pub could_be_set: bool,
}

const HOUR: f64 = 3600.0;
/// Parts that are named; of more only the count.
const NAMED: usize = 6;

/// The one part of a log, or the one that was asked for.
pub(super) fn growing(
    column: &Column,
    asked: Option<usize>,
    same_row: &dyn Fn(usize, usize) -> bool,
    mut notes: Vec<String>,
) -> Result<Times, ClockError> {
    let parts = column.parts();
    let rows = match (parts.as_slice(), asked) {
        ([], _) => 0..0,
        ([only], None | Some(1)) => only.clone(),
        ([_, second, ..], None) => return Err(column.backwards(second.start, &parts)),
        (parts, Some(part)) => {
            let Some(rows) = part.checked_sub(1).and_then(|at| parts.get(at)) else {
                let parts = column.list(parts);
                return Err(ClockError::Part { asked: part, parts });
            };
            let (count, lines) = (parts.len(), column.lines(rows));
            notes.push(format!(
                "part {part} of {count} is judged: {lines}; the others are left out"
            ));
            rows.clone()
        }
    };
    let mut kept: Vec<usize> = Vec::with_capacity(rows.len());
    let mut dropped = Vec::new();
    for row in rows {
        match kept.last() {
            Some(&before) if column.seconds[row] <= column.seconds[before] => {
                if !same_row(before, row) {
                    return Err(column.repeated(before, row));
                }
                dropped.push(column.cells[row].line);
            }
            _ => kept.push(row),
        }
    }
    if let Some(first) = dropped.first() {
        notes.push(match dropped.len() {
            1 => format!("line {first} repeats the line before it cell by cell and is counted once"),
            many => format!("{many} lines, the first of them line {first}, repeat the line before them cell by cell and are counted once"),
        });
    }
    column.missing_hour(&kept, &mut notes);
    let start = kept.first().map_or(0.0, |row| column.seconds[*row]);
    let seconds = kept
        .iter()
        .map(|row| column.seconds[*row] - start)
        .collect();
    Ok(Times {
        seconds,
        kept,
        notes,
    })
}

impl Column<'_> {
    /// The rows between which time never goes back.
    fn parts(&self) -> Vec<Range<usize>> {
        let mut parts = Vec::new();
        let mut start = 0;
        for row in 1..self.seconds.len() {
            if self.seconds[row] < self.seconds[row - 1] {
                parts.push(start..row);
                start = row;
            }
        }
        if start < self.seconds.len() {
            parts.push(start..self.seconds.len());
        }
        parts
    }

    fn backwards(&self, row: usize, parts: &[Range<usize>]) -> ClockError {
        let (line, before, now) = (
            self.cells[row].line,
            self.cells[row - 1].text.to_string(),
            self.cells[row].text.to_string(),
        );
        if self.is_twelve_hour(row) {
            return ClockError::TwelveHour { line, before, now };
        }
        ClockError::Backwards {
            line,
            before,
            now,
            hint: if self.is_doubled_hour(row) {
                "; if the clocks were set back here, name the place's zone, for example --zone Europe/Berlin"
            } else {
                ""
            },
            parts: self.list(parts)
                + "; if the clock restarted, take one of them, for example --part 2",
        }
    }

    fn repeated(&self, earlier: usize, row: usize) -> ClockError {
        ClockError::Repeated {
            line: self.cells[row].line,
            earlier: self.cells[earlier].line,
            text: self.cells[row].text.into(),
            hint: if self.is_doubled_hour(row) {
                "; if the clocks were set back here, name the place's zone, for example --zone Europe/Berlin"
            } else {
                ""
            },
        }
    }

    /// Steps of an hour more than it seems, in the hours in which clocks are set.
    fn is_doubled_hour(&self, row: usize) -> bool {
        let step = self.seconds[row] - self.seconds[row - 1] + HOUR;
        let night = |clock: &[f64]| clock[row] < 4.0 * HOUR;
        self.could_be_set
            && self.clock.is_some_and(night)
            && is_even(step, usual_step(self.seconds))
    }

    /// The hours run from 12 to 1, and none is 0 or above 12.
    fn is_twelve_hour(&self, row: usize) -> bool {
        let Some(clock) = self.clock else {
            return false;
        };
        let in_half_a_day = |s: &f64| (HOUR..13.0 * HOUR).contains(s);
        let step = (self.seconds[row] - self.seconds[row - 1]).rem_euclid(12.0 * HOUR);
        clock.iter().all(in_half_a_day)
            && clock[row] < clock[row - 1]
            && is_even(step, usual_step(self.seconds))
    }

    /// An hour that nobody logged where clocks may have been set forward.
    fn missing_hour(&self, kept: &[usize], notes: &mut Vec<String>) {
        let Some(clock) = self.clock.filter(|_| self.could_be_set) else {
            return;
        };
        let usual = usual_step(self.seconds);
        let leap = kept.windows(2).find(|rows| {
            let step = self.seconds[rows[1]] - self.seconds[rows[0]];
            clock[rows[0]] < 4.0 * HOUR
                && usual <= 0.5 * HOUR
                && (step - HOUR - usual).abs() <= 0.5 * usual
        });
        if let Some(rows) = leap {
            let [before, after] = [self.cells[rows[0]], self.cells[rows[1]]];
            notes.push(format!(
                "an hour without rows between line {} ({}) and line {} ({}): it is counted as having passed; if the clocks were set forward then, name the place's zone with --zone and it is not",
                before.line, before.text, after.line, after.text
            ));
        }
    }

    fn lines(&self, rows: &Range<usize>) -> String {
        let (first, last) = (rows.start, rows.end - 1);
        let lasted = lasted(self.seconds[last] - self.seconds[first]);
        match (self.cells[first].line, self.cells[last].line) {
            (first, last) if first == last => format!("line {first} alone"),
            (first, last) => format!("lines {first} to {last}, {lasted}"),
        }
    }

    fn list(&self, parts: &[Range<usize>]) -> String {
        let name = |(i, rows)| format!("part {}: {}", i + 1, self.lines(rows));
        let mut list: Vec<String> = parts.iter().enumerate().take(NAMED).map(name).collect();
        match parts.len() {
            1 => return format!("one part only ({})", self.lines(&parts[0])),
            count if count > NAMED => list.push(format!(
                "and {} more: so many look like rows out of order or of two loggers in one file",
                count - NAMED
            )),
            _ => {}
        }
        format!("{} parts ({})", parts.len(), list.join("; "))
    }
}

/// A time span in the unit that suits it.
fn lasted(seconds: f64) -> String {
    match seconds {
        s if s < 120.0 => format!("{s:.0} s"),
        s if s < 7200.0 => format!("{:.0} min", s / 60.0),
        s => format!("{:.1} h", s / HOUR),
    }
}
