//! The readings of a role: unit, number, what can be.

use super::column::{Reads, Role};
use super::error::LoggerError;
use super::missing::lost_probes;
use super::name::possible;
use super::number::{self, NoNumber};
use super::table::Table;
use crate::quantity::{Barometer, Current, PressureAbs, Quantity, Temperature};

impl Table {
    /// Numbers of a column; NaN where there is no reading.
    pub fn scan(&self, role: Role, column: usize) -> Result<Vec<f64>, LoggerError> {
        let inside = self.unit_inside(column);
        let mut numbers = Vec::with_capacity(self.lines.len());
        for row in 0..self.lines.len() {
            let cell = self.cell(row, column);
            let text = bare(cell, inside);
            numbers.push(match number::read(text, self.style) {
                Ok(_) if inside.is_some() && text.len() == cell.len() => {
                    let unit = inside.unwrap_or_default();
                    let why = format!(
                        "\"{cell}\" has no \"{unit}\" where other cells have it; write all cells of a copy in one unit"
                    );
                    return Err(self.cell_error(row, column, why));
                }
                Ok(number) => number,
                Err(NoNumber::NoReading | NoNumber::Overload | NoNumber::Lost) => f64::NAN,
                Err(no) => return Err(self.no_number(row, column, cell, no)),
            });
        }
        if role.reads() == Reads::Temperature {
            lost_probes(&mut numbers, self.temperature_unit(role, column)?);
        }
        Ok(numbers)
    }

    /// Numbers of a column, each with its row; none may be missing.
    fn numbers(&self, role: Role, column: usize) -> Result<Vec<f64>, LoggerError> {
        let numbers = self.scan(role, column)?;
        let Some(row) = numbers.iter().position(|n| n.is_nan()) else {
            return Ok(numbers);
        };
        let cell = self.cell(row, column);
        let text = bare(cell, self.unit_inside(column));
        Err(match number::read(text, self.style) {
            Err(no) => self.no_number(row, column, cell, no),
            Ok(_) => self.cell_error(
                row,
                column,
                format!(
                    "{text} {} is no temperature that is measured here: a lost probe or a wrong unit; delete the row ({} such rows out with --skip-missing)",
                    self.temperature_unit(role, column)?.symbol,
                    self.kind.commands()
                ),
            ),
        })
    }

    /// The name of a role's column.
    pub fn name(&self, role: Role) -> Result<Option<&str>, LoggerError> {
        Ok(self
            .find(role)?
            .map(|column| self.layout.names[column].as_str()))
    }

    /// Absolute pressures, and whether they were gauge readings.
    pub fn pressure(
        &self,
        role: Role,
        barometer: Barometer,
    ) -> Result<(Vec<PressureAbs>, bool), LoggerError> {
        let column = self.need(role)?;
        let unit = self.pressure_unit(role, column)?;
        let gauge = unit.reading(0.0).is_gauge();
        let downwards =
            matches!(unit.reading(1.0), crate::quantity::PressureReading::Gauge(p) if p.si() < 0.0);
        let mut pressures = Vec::with_capacity(self.lines.len());
        for (row, number) in self.numbers(role, column)?.into_iter().enumerate() {
            if downwards && number < 0.0 {
                let why = format!(
                    "{} {} would lie above the atmosphere: a vacuum is counted downwards, without a sign; write the column of a copy so",
                    self.cell(row, column),
                    unit.symbol()
                );
                return Err(self.cell_error(row, column, why));
            }
            let absolute = unit.reading(number).to_abs(barometer).ok();
            pressures.push(absolute.filter(|p| p.si() >= 0.0).ok_or_else(|| {
                LoggerError::Impossible {
                    file: self.file.clone(),
                    line: self.lines[row],
                    column: self.layout.names[column].clone(),
                    value: format!("{} {}", self.cell(row, column), unit.symbol()),
                    limit: if gauge {
                        "what can be: it lies below a perfect vacuum"
                    } else {
                        "what can be: no absolute pressure is negative, so the gauge's zero is off by at least as much (then all its low readings are), or it reads against the atmosphere"
                    },
                }
            })?);
        }
        Ok((pressures, gauge))
    }

    /// Temperatures of a role, if there is such a column.
    pub fn temperature(&self, role: Role) -> Result<Option<Vec<Temperature>>, LoggerError> {
        let Some(column) = self.find(role)? else {
            return Ok(None);
        };
        let unit = self.temperature_unit(role, column)?;
        let (possible, limit) = possible(role);
        let mut temperatures = Vec::with_capacity(self.lines.len());
        for (row, number) in self.numbers(role, column)?.into_iter().enumerate() {
            let t = Temperature::of(number, unit);
            if !possible.contains(&t.si()) {
                return Err(self.impossible(row, column, unit.symbol, limit));
            }
            temperatures.push(t);
        }
        Ok(Some(temperatures))
    }

    fn impossible(
        &self,
        row: usize,
        column: usize,
        unit: &str,
        limit: &'static str,
    ) -> LoggerError {
        LoggerError::Impossible {
            file: self.file.clone(),
            line: self.lines[row],
            column: self.layout.names[column].clone(),
            value: format!("{} {unit}", self.cell(row, column)),
            limit,
        }
    }

    /// The word for pumping or isolated of each row, if there is such a column.
    pub fn phases(&self) -> Result<Option<Vec<String>>, LoggerError> {
        let column = self.find(Role::Phase)?;
        let words = |column: usize| self.kept(column).iter().map(str::to_string).collect();
        Ok(column.map(words))
    }

    /// Currents of a role, if there is such a column.
    pub fn current(&self, role: Role) -> Result<Option<Vec<Current>>, LoggerError> {
        let Some(column) = self.find(role)? else {
            return Ok(None);
        };
        let unit = self.current_unit(role, column)?;
        let mut currents = Vec::with_capacity(self.lines.len());
        for (row, number) in self.numbers(role, column)?.into_iter().enumerate() {
            if !(0.0..=200.0).contains(&number) {
                let limit = "0 to 200 A: a lost clamp or a wrong unit";
                return Err(self.impossible(row, column, unit.symbol, limit));
            }
            currents.push(Current::of(number, unit));
        }
        Ok(Some(currents))
    }
}

/// A cell without the unit that stands in all cells of its column.
pub(super) fn bare<'a>(cell: &'a str, unit: Option<&str>) -> &'a str {
    let number = unit.and_then(|unit| cell.strip_suffix(unit));
    number.map_or(cell, str::trim_end)
}
