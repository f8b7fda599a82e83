//! How a logger file is understood, before anything is judged from it.

use std::path::{Path, PathBuf};

use super::column::{Asked, Kind, Reads, Role};
use super::error::LoggerError;
use super::name::time_unit;
use super::number::Decimal;
use super::table::{Keep, Table};
use crate::quantity::Barometer;

/// Gaps that are listed one by one.
const LISTED: usize = 20;
/// So many times the usual spacing is a gap: own choice.
const GAP: f64 = 3.0;

/// A column of a logger file and how it is understood.
#[derive(Debug, Clone, PartialEq)]
pub struct ColumnPreview {
    /// Its number from 1.
    pub number: usize,
    /// Its name.
    pub name: String,
    /// What it holds; none when it is not used.
    pub role: Option<Role>,
    /// Its unit, where it is known.
    pub unit: Option<String>,
    /// Why it is understood so.
    pub why: String,
    /// Its first cell.
    pub first: String,
    /// Its last cell.
    pub last: String,
}

/// A longer step of time than usual.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// The line after it.
    pub line: u64,
    /// How long, in seconds.
    pub seconds: f64,
}

/// How the rows lie in time.
#[derive(Debug, Clone, PartialEq)]
pub struct Spacing {
    /// From the first row to the last, in seconds.
    pub seconds: f64,
    /// The usual step: the median, in seconds.
    pub usual: f64,
    /// Steps longer than three times the usual one, the first twenty.
    pub gaps: Vec<Gap>,
    /// How many there are.
    pub gap_count: usize,
}

/// How a logger file is understood.
#[derive(Debug, Clone, PartialEq)]
pub struct Preview {
    /// The file.
    pub file: PathBuf,
    /// How it was written: UTF-8, UTF-16, Windows-1252 or a workbook.
    pub written: &'static str,
    /// The sheet of a workbook.
    pub sheet: Option<String>,
    /// What separates the cells: tab, semicolon, comma; none in a workbook.
    pub separator: Option<&'static str>,
    /// The sign before the decimals.
    pub decimal: Decimal,
    /// The line that names the columns.
    pub header_line: u64,
    /// How many lines with something in them were passed over before it.
    pub passed_over: usize,
    /// Whether a row of units stands below the names.
    pub units_row: bool,
    /// Every column.
    pub columns: Vec<ColumnPreview>,
    /// How many rows are used.
    pub rows: usize,
    /// How they lie in time; none while the time is not understood.
    pub spacing: Option<Spacing>,
    /// Rows left out, with line and reason.
    pub left_out: Vec<String>,
    /// What looks odd and is no error.
    pub notes: Vec<String>,
    /// What has to be answered before the file can be judged.
    pub open: Vec<String>,
}

/// Says how a file would be read.
///
/// What would keep it from being judged (a unit that is not said, two columns of one kind, a word among numbers) is listed
/// in `open`; only a file that is no table at all is an error.
pub fn preview(
    path: &Path,
    asked: &Asked,
    kind: Kind,
    barometer: Barometer,
) -> Result<Preview, LoggerError> {
    let mut table = Table::open(path, kind, asked, barometer, Keep::All)?;
    let mut open = Vec::new();
    let mut say = |error: LoggerError| {
        let text = said_of(path, &error);
        if !open.contains(&text) {
            open.push(text);
        }
    };
    let ends: Vec<_> = (0..table.layout.names.len())
        .map(|column| ends_of(&table, column))
        .collect();
    table.settle_style().unwrap_or_else(&mut say);
    table.skip_missing().unwrap_or_else(&mut say);
    table.enough()?;
    let mut used: Vec<(Role, usize)> = Vec::new();
    for role in kind.roles() {
        match table.find(role) {
            Ok(Some(column)) => used.push((role, column)),
            Ok(None) if needed(kind, role) => {
                say(table.need(role).expect_err("there is no such column"));
            }
            Ok(None) => {}
            Err(error) => say(error),
        }
    }
    for (role, _) in &used {
        table.readable(*role).unwrap_or_else(&mut say);
    }
    if kind == Kind::Running
        && !used
            .iter()
            .any(|(role, _)| matches!(role, Role::Running(_)))
    {
        say(table.nothing_running());
    }
    let told = table.tell_time();
    let seconds = match told {
        Ok(()) => Some(std::mem::take(&mut table.seconds)),
        Err(error) => {
            say(error);
            None
        }
    };
    let notes = match kind {
        Kind::Hold => swapped(&table, seconds.as_deref()),
        Kind::Rise | Kind::Running => None,
    };
    Ok(Preview {
        file: path.into(),
        written: table.written,
        separator: match table.layout.separator {
            _ if table.sheet.is_some() => None,
            b'\t' => Some("tab"),
            b';' => Some("semicolon"),
            _ => Some("comma"),
        },
        decimal: table.style.decimal,
        header_line: table.layout.line,
        passed_over: table.layout.passed_over,
        units_row: !table.layout.units.is_empty(),
        columns: ends
            .into_iter()
            .enumerate()
            .map(|(column, ends)| column_of(&table, &used, column, ends))
            .collect(),
        rows: table.lines.len(),
        spacing: seconds.and_then(|s| spacing(&s, &table.lines)),
        sheet: table.sheet.take(),
        left_out: std::mem::take(&mut table.left_out),
        notes: table.notes.iter().cloned().chain(notes).collect(),
        open,
    })
}

fn needed(kind: Kind, role: Role) -> bool {
    role == Role::Time || (role == Role::Pressure && kind != Kind::Running)
}

/// An error without the file's name, which stands above it.
fn said_of(path: &Path, error: &LoggerError) -> String {
    let text = error.to_string();
    let file = format!("{}: ", path.display());
    text.strip_prefix(&file)
        .map_or(text.clone(), str::to_string)
}

fn ends_of(table: &Table, column: usize) -> (String, String) {
    match table.lines.len() {
        0 => (String::new(), String::new()),
        rows => (
            table.cell(0, column).into(),
            table.cell(rows - 1, column).into(),
        ),
    }
}

fn swapped(table: &Table, seconds: Option<&[f64]>) -> Option<String> {
    let of = |role| table.temperature(role).ok().flatten();
    super::swapped_probes(
        seconds?,
        of(Role::Outdoor).as_deref(),
        of(Role::Indoor).as_deref(),
    )
}

fn column_of(
    table: &Table,
    used: &[(Role, usize)],
    column: usize,
    (first, last): (String, String),
) -> ColumnPreview {
    let role = used.iter().find(|(_, c)| *c == column).map(|(r, _)| *r);
    let unit = role.and_then(|role| table.unit_words(role, column));
    ColumnPreview {
        number: column + 1,
        name: table.layout.names[column].clone(),
        why: match role {
            Some(role) => table.why(role, column),
            None => table.why_not(column),
        },
        role,
        unit,
        first,
        last,
    }
}

fn spacing(seconds: &[f64], lines: &[u64]) -> Option<Spacing> {
    let steps: Vec<f64> = seconds.windows(2).map(|w| w[1] - w[0]).collect();
    let mut sorted = steps.clone();
    sorted.sort_by(f64::total_cmp);
    let usual = *sorted.get(sorted.len() / 2)?;
    let long = || {
        let steps = steps.iter().zip(&lines[1..]);
        steps.filter(|(step, _)| **step > GAP * usual)
    };
    Some(Spacing {
        seconds: seconds.last()? - seconds[0],
        usual,
        gap_count: long().count(),
        gaps: long()
            .take(LISTED)
            .map(|(step, line)| Gap {
                line: *line,
                seconds: *step,
            })
            .collect(),
    })
}

impl Table {
    /// Whether a column can be read in its role.
    fn readable(&self, role: Role) -> Result<(), LoggerError> {
        match role.reads() {
            Reads::Time | Reads::Words => Ok(()),
            Reads::Pressure => self.pressure(role, self.barometer).map(drop),
            Reads::Temperature => self.temperature(role).map(drop),
            Reads::Current => self.current(role).map(drop),
        }
    }

    fn unit_words(&self, role: Role, column: usize) -> Option<String> {
        match role.reads() {
            Reads::Words => None,
            Reads::Time => Some(match time_unit(&self.full_name(column))? {
                1.0 => "s".into(),
                60.0 => "min".into(),
                3600.0 => "h".into(),
                _ => "d".into(),
            }),
            Reads::Pressure => {
                let unit = self.pressure_unit(role, column).ok()?;
                Some(unit.symbol().into())
            }
            Reads::Temperature => {
                let unit = self.temperature_unit(role, column).ok()?;
                Some(unit.symbol.into())
            }
            Reads::Current => {
                let unit = self.current_unit(role, column).ok()?;
                Some(unit.symbol.into())
            }
        }
    }

    /// Why a column has its role and its unit.
    fn why(&self, role: Role, column: usize) -> String {
        let named = match self.asked.column(role) {
            Some(asked) => role.option_of(asked),
            None => "its name".into(),
        };
        let below = self.layout.units.get(column).is_some_and(|u| !u.is_empty());
        let unit = if let Some(unit) = self.asked.unit(role) {
            format!("; unit from {}", role.unit_option(unit))
        } else if matches!(role.reads(), Reads::Words | Reads::Time) && !below {
            String::new()
        } else if self.unit_words(role, column).is_none() {
            "; its unit is not known".into()
        } else if below {
            "; unit from the row below".into()
        } else if self.unit_inside(column).is_some() {
            "; unit from its cells".into()
        } else {
            String::new()
        };
        named + &unit
    }

    /// Why a column is not used.
    fn why_not(&self, column: usize) -> String {
        match self.kind.role_of(&self.full_name(column)) {
            None => "its name says nothing that is used here".into(),
            Some(role) if !self.kind.roles().contains(&role) => {
                format!("a {} is not used here", role.what())
            }
            Some(role) => match self.find(role) {
                Ok(Some(other)) => format!("the {} is column {}", role.what(), self.shown(other)),
                Ok(None) | Err(_) => format!("one of several that could be the {}", role.what()),
            },
        }
    }
}
