//! The cells of a logger file, and their reading by role.

use std::path::{Path, PathBuf};

use super::clock;
use super::column::{
    Asked, Kind, Role, asked_unit, current_unit, possible, temperature_unit, unit_of_name,
};
use super::error::LoggerError;
use crate::quantity::{
    Barometer, Current, ParseError, PressureAbs, PressureUnit, Quantity, Temperature, Unit,
    is_no_reading,
};

/// A logger file as columns of text.
pub(super) struct Table {
    pub file: PathBuf,
    names: Vec<String>,
    rows: Vec<Vec<String>>,
    /// The line each row stands on.
    pub lines: Vec<u64>,
    pub left_out: Vec<String>,
    pub notes: Vec<String>,
    seconds: Vec<f64>,
    asked: Asked,
    kind: Kind,
}

/// The separator: whichever of tab, semicolon and comma the first line has most of.
fn separator(text: &str) -> u8 {
    let first = text
        .lines()
        .find(|l| !l.starts_with('#'))
        .unwrap_or_default();
    [b'\t', b';', b',']
        .into_iter()
        .max_by_key(|s| (first.bytes().filter(|b| b == s).count(), *s == b','))
        .unwrap_or(b',')
}

impl Table {
    /// Reads a file; blank lines and lines with `#` are passed over, a byte-order mark is dropped.
    pub fn read(path: &Path, kind: Kind, asked: &Asked) -> Result<Table, LoggerError> {
        let file = path.to_path_buf();
        let mut bytes = std::fs::read(path).map_err(|e| LoggerError::Unreadable {
            file: file.clone(),
            why: e.to_string(),
        })?;
        bytes.truncate(asked.upto.map_or(bytes.len(), |upto| upto as usize));
        let text = String::from_utf8(bytes).map_err(|e| {
            let upto = e.utf8_error().valid_up_to();
            let line = 1 + e.as_bytes()[..upto].iter().filter(|b| **b == b'\n').count() as u64;
            LoggerError::NotText {
                file: file.clone(),
                line,
            }
        })?;
        // the reader counts a line only at its line feed: with CR LF every number would be one short
        let text = text.trim_start_matches('\u{feff}').replace("\r\n", "\n");
        let text = text.as_str();
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(separator(text))
            .comment(Some(b'#'))
            .flexible(true)
            .has_headers(false)
            .trim(csv::Trim::All)
            .from_reader(text.as_bytes());
        let mut names: Vec<String> = Vec::new();
        let (mut rows, mut lines) = (Vec::new(), Vec::new());
        for record in reader.records() {
            let record = record.map_err(|e| LoggerError::Unreadable {
                file: file.clone(),
                why: e.to_string(),
            })?;
            let line = record.position().map_or(0, csv::Position::line);
            let cells: Vec<String> = record.iter().map(str::to_string).collect();
            if cells.iter().all(String::is_empty) {
                continue;
            }
            if names.is_empty() {
                names = cells;
                continue;
            }
            if cells.len() != names.len() {
                return Err(LoggerError::Cells {
                    file,
                    line,
                    cells: cells.len(),
                    columns: names.len(),
                });
            }
            rows.push(cells);
            lines.push(line);
        }
        let mut table = Table {
            file,
            names,
            rows,
            lines,
            left_out: Vec::new(),
            notes: Vec::new(),
            seconds: Vec::new(),
            asked: asked.clone(),
            kind,
        };
        table.skip_missing()?;
        table.enough()?;
        table.tell_time()?;
        Ok(table)
    }

    /// Leaves out rows without a reading in a column that is used, when that was asked for.
    fn skip_missing(&mut self) -> Result<(), LoggerError> {
        if !self.asked.skip_missing {
            return Ok(());
        }
        let mut used = Vec::new();
        for role in self.kind.roles() {
            match (role, self.date_and_time()) {
                (Role::Time, Some(apart)) => used.extend(apart),
                _ => used.extend(self.find(role)?),
            }
        }
        let (mut rows, mut lines) = (Vec::new(), Vec::new());
        for (row, line) in std::mem::take(&mut self.rows)
            .into_iter()
            .zip(std::mem::take(&mut self.lines))
        {
            match used
                .iter()
                .find(|c| row[**c].is_empty() || is_no_reading(&row[**c]))
            {
                Some(c) => self.left_out.push(format!(
                    "line {line}: \"{}\" in column \"{}\"",
                    row[*c], self.names[*c]
                )),
                None => {
                    rows.push(row);
                    lines.push(line);
                }
            }
        }
        (self.rows, self.lines) = (rows, lines);
        Ok(())
    }

    pub fn found(&self) -> String {
        self.names
            .iter()
            .map(|n| format!("\"{n}\""))
            .collect::<Vec<_>>()
            .join(", ")
    }

    pub fn find(&self, role: Role) -> Result<Option<usize>, LoggerError> {
        if let Some(asked) = self.asked.column(role) {
            let at = self.names.iter().position(|n| n == asked);
            return at.map(Some).ok_or_else(|| LoggerError::NoSuchColumn {
                file: self.file.clone(),
                asked: asked.into(),
                found: self.found(),
            });
        }
        let mut columns = (0..self.names.len()).filter(|c| {
            let taken = self.asked.columns.iter().any(|(_, n)| *n == self.names[*c]);
            self.kind.role_of(&self.names[*c]) == Some(role) && !taken
        });
        let first = columns.next();
        if let (Some(a), Some(b)) = (first, columns.next()) {
            return Err(LoggerError::TwoColumns {
                file: self.file.clone(),
                what: role.what(),
                first: self.names[a].clone(),
                second: self.names[b].clone(),
                option: role.option(),
            });
        }
        Ok(first)
    }

    fn need(&self, role: Role) -> Result<usize, LoggerError> {
        self.find(role)?.ok_or_else(|| LoggerError::MissingColumn {
            file: self.file.clone(),
            what: role.what(),
            found: self.found(),
            option: role.option(),
            example: role.example(),
        })
    }

    fn cell_error(&self, row: usize, column: usize, why: String) -> LoggerError {
        LoggerError::Cell {
            file: self.file.clone(),
            line: self.lines[row],
            column: self.names[column].clone(),
            why,
        }
    }

    /// A plain number; words, commas and nothing are refused with what to do.
    fn number(&self, row: usize, column: usize) -> Result<f64, LoggerError> {
        let text = self.rows[row][column].as_str();
        let refuse = |why: String| Err(self.cell_error(row, column, why));
        if text.is_empty() || is_no_reading(text) {
            return refuse(format!(
                "\"{text}\" is no reading; delete the row ({} such rows out with --skip-missing)",
                self.kind.commands()
            ));
        }
        if text.contains(',') {
            return refuse(format!(
                "\"{text}\" has a comma: is it a decimal or a thousand? in a copy of the file, write numbers with a point and without separators"
            ));
        }
        match text.parse::<f64>() {
            Ok(value) if value.is_finite() && value.abs() < 9e37 => Ok(value),
            Ok(_) => refuse(format!(
                "\"{text}\" is an overload, not a reading; delete the row"
            )),
            Err(_) => refuse(format!(
                "\"{text}\" is not a number; delete the row or repair it"
            )),
        }
    }

    /// Reads the time column, and keeps the rows of the part of the log that is asked for.
    fn tell_time(&mut self) -> Result<(), LoggerError> {
        let (name, texts, column) = self.time_column()?;
        let refuse = |why| LoggerError::Clock {
            file: self.file.clone(),
            why: Box::new(why),
        };
        let is_number = clock::is_number(&name, &texts[0], &self.asked).map_err(refuse)?;
        let mut cells = Vec::with_capacity(texts.len());
        for (row, text) in texts.iter().enumerate() {
            cells.push(clock::Cell {
                line: self.lines[row],
                text,
                number: match is_number {
                    true => Some(self.number(row, column)?),
                    false => None,
                },
            });
        }
        let same_row = |a: usize, b: usize| self.rows[a] == self.rows[b];
        let times = clock::read(&cells, &name, &self.asked, &same_row).map_err(refuse)?;
        if times.kept.len() < self.rows.len() {
            self.lines = times.kept.iter().map(|row| self.lines[*row]).collect();
            let mut rows = std::mem::take(&mut self.rows);
            self.rows = times
                .kept
                .iter()
                .map(|row| std::mem::take(&mut rows[*row]))
                .collect();
        }
        (self.seconds, self.notes) = (times.seconds, times.notes);
        self.enough()
    }

    /// The name and the cells of the time column, or of a date and a time column together.
    fn time_column(&self) -> Result<(String, Vec<String>, usize), LoggerError> {
        let names = &self.names;
        let (name, columns) = match self.date_and_time() {
            Some([date, time]) => (format!("{} {}", names[date], names[time]), vec![date, time]),
            None => {
                let column = self.need(Role::Time)?;
                (names[column].clone(), vec![column])
            }
        };
        let text = |row: &Vec<String>| match columns[..] {
            [date, time] => format!("{} {}", row[date], row[time]),
            _ => row[columns[0]].clone(),
        };
        Ok((name, self.rows.iter().map(text).collect(), columns[0]))
    }

    /// A date and a time column, where nobody named one for both.
    fn date_and_time(&self) -> Option<[usize; 2]> {
        let names: Vec<&str> = self.names.iter().map(String::as_str).collect();
        clock::date_and_time(&names).filter(|_| self.asked.column(Role::Time).is_none())
    }

    /// Seconds since the first row.
    pub fn time_seconds(&self) -> Result<Vec<f64>, LoggerError> {
        Ok(self.seconds.clone())
    }

    fn enough(&self) -> Result<(), LoggerError> {
        if self.rows.len() >= 2 {
            return Ok(());
        }
        Err(LoggerError::TooFew {
            file: self.file.clone(),
            rows: self.rows.len(),
        })
    }

    /// The unit of a column of pressures: as asked, else as its name says.
    fn pressure_unit(&self, role: Role, name: &str) -> Result<PressureUnit, LoggerError> {
        if let Some(unit) = self.asked.unit(role) {
            return asked_unit(unit).map_err(|refused| LoggerError::AskedUnit {
                option: option_alone(role),
                why: match refused {
                    ParseError::GaugeOrAbsolute {
                        gauge, absolute, ..
                    } => format!(
                        "is \"{unit}\" gauge or absolute? type \"{gauge}\" or \"{absolute}\""
                    ),
                    ParseError::UnknownUnit { units, .. } => {
                        format!("\"{unit}\" is no unit of pressure known here; type one of {units}")
                    }
                    other => other.to_string(),
                },
            });
        }
        unit_of_name(name).map_err(|refused| {
            let question = match refused {
                Some(ParseError::GaugeOrAbsolute {
                    gauge, absolute, ..
                }) => format!(
                    "gauge or absolute? say {} or {}",
                    role.unit_option_quoted(gauge),
                    role.unit_option_quoted(absolute)
                ),
                _ => format!(
                    "say it with {}, for example {}",
                    option_alone(role),
                    role.unit_option("psig")
                ),
            };
            self.unit_error(name, question)
        })
    }

    fn unit_error(&self, name: &str, question: String) -> LoggerError {
        LoggerError::Unit {
            file: self.file.clone(),
            column: name.into(),
            question,
        }
    }

    /// The name of a role's column.
    pub fn name(&self, role: Role) -> Result<Option<&str>, LoggerError> {
        Ok(self.find(role)?.map(|column| self.names[column].as_str()))
    }

    /// Absolute pressures, and whether they were gauge readings.
    pub fn pressure(
        &self,
        role: Role,
        barometer: Barometer,
    ) -> Result<(Vec<PressureAbs>, bool), LoggerError> {
        let column = self.need(role)?;
        let name = &self.names[column];
        let unit = self.pressure_unit(role, name)?;
        let mut pressures = Vec::with_capacity(self.rows.len());
        for row in 0..self.rows.len() {
            let absolute = unit
                .reading(self.number(row, column)?)
                .to_abs(barometer)
                .ok()
                .filter(|p| p.si() >= 0.0);
            pressures.push(absolute.ok_or_else(|| LoggerError::Impossible {
                file: self.file.clone(),
                line: self.lines[row],
                column: name.clone(),
                value: format!("{} {}", self.rows[row][column], unit.symbol()),
                limit: "what can be: it lies below a perfect vacuum",
            })?);
        }
        Ok((pressures, unit.reading(0.0).is_gauge()))
    }

    /// Temperatures of a role, if there is such a column.
    pub fn temperature(&self, role: Role) -> Result<Option<Vec<Temperature>>, LoggerError> {
        let Some(column) = self.find(role)? else {
            return Ok(None);
        };
        let name = &self.names[column];
        let unit = self.temperature_unit(role, name)?;
        let (possible, limit) = possible(role);
        let mut temperatures = Vec::with_capacity(self.rows.len());
        for row in 0..self.rows.len() {
            let t = Temperature::of(self.number(row, column)?, unit);
            if !possible.contains(&t.si()) {
                return Err(LoggerError::Impossible {
                    file: self.file.clone(),
                    line: self.lines[row],
                    column: name.clone(),
                    value: format!("{} {}", self.rows[row][column], unit.symbol),
                    limit,
                });
            }
            temperatures.push(t);
        }
        Ok(Some(temperatures))
    }

    /// The word for pumping or isolated of each row, if there is such a column.
    pub fn phases(&self) -> Result<Option<Vec<String>>, LoggerError> {
        let column = self.find(Role::Phase)?;
        let words = |column: usize| self.rows.iter().map(|row| row[column].clone()).collect();
        Ok(column.map(words))
    }

    fn temperature_unit(&self, role: Role, name: &str) -> Result<Unit<Temperature>, LoggerError> {
        match (self.asked.unit(role), role) {
            (Some(unit), _) => temperature_unit(unit).ok_or_else(|| LoggerError::AskedUnit {
                option: option_alone(role),
                why: format!("\"{unit}\" is no unit of temperature; type F, C or K"),
            }),
            (None, Role::Running(_)) => temperature_unit(name).ok_or_else(|| {
                let question = format!(
                    "rename it so that it ends in _F, _C or _K, or say it with {}",
                    role.unit_option("F")
                );
                self.unit_error(name, question)
            }),
            (None, _) => temperature_unit(name).ok_or_else(|| {
                self.unit_error(name, "rename it so that it ends in _F, _C or _K".into())
            }),
        }
    }

    /// Currents of a role, if there is such a column.
    pub fn current(&self, role: Role) -> Result<Option<Vec<Current>>, LoggerError> {
        let Some(column) = self.find(role)? else {
            return Ok(None);
        };
        let name = &self.names[column];
        let unit = match self.asked.unit(role) {
            Some(unit) => current_unit(unit).ok_or_else(|| LoggerError::AskedUnit {
                option: option_alone(role),
                why: format!("\"{unit}\" is no unit of current known here; type A"),
            })?,
            None => current_unit(name).ok_or_else(|| {
                let question = format!(
                    "rename it so that it ends in _A, or say it with {}",
                    role.unit_option("A")
                );
                self.unit_error(name, question)
            })?,
        };
        let mut currents = Vec::with_capacity(self.rows.len());
        for row in 0..self.rows.len() {
            let number = self.number(row, column)?;
            if !(0.0..=200.0).contains(&number) {
                return Err(LoggerError::Impossible {
                    file: self.file.clone(),
                    line: self.lines[row],
                    column: name.clone(),
                    value: format!("{} {}", self.rows[row][column], unit.symbol),
                    limit: "0 to 200 A: a lost clamp or a wrong unit",
                });
            }
            currents.push(Current::of(number, unit));
        }
        Ok(Some(currents))
    }
}

/// The option for a column's unit, without a unit.
fn option_alone(role: Role) -> String {
    match role {
        Role::Running(channel) => format!("--column-unit {}", channel.word()),
        _ => "--pressure-unit".into(),
    }
}
