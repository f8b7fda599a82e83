//! The unit of a column: as asked, else as its name, the row below it or its cells say.

use super::column::{Kind, Role};
use super::error::LoggerError;
use super::name::{asked_unit, current_unit, is_unit, temperature_unit, unit_of_name};
use super::number::{self, NoNumber};
use super::table::Table;
use crate::quantity::{Current, ParseError, PressureUnit, Temperature, Unit};

impl Table {
    /// The unit that the first cell with a reading has behind its number.
    pub fn unit_inside(&self, column: usize) -> Option<&str> {
        let cells = self.kept(column).iter();
        let mut read = cells.filter(|c| number::read(c, self.style) != Err(NoNumber::NoReading));
        let cell = read.next()?;
        let number = cell.find(|c: char| !(c.is_ascii_digit() || "+-.,".contains(c)))?;
        let unit = cell[number..].trim_start();
        (number > 0 && is_unit(unit)).then_some(unit)
    }

    /// The unit of a column of pressures: as asked, else as its name or its cells say.
    pub fn pressure_unit(&self, role: Role, column: usize) -> Result<PressureUnit, LoggerError> {
        if let Some(unit) = self.asked.unit(role) {
            return asked_unit(unit).map_err(|refused| LoggerError::AskedUnit {
                option: role.unit_option_alone(),
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
        self.one_unit(role, column, |text| Some(unit_of_cell(text)?.symbol()))?;
        let said = unit_of_name(&self.full_name(column)).or_else(|refused| {
            match self.unit_inside(column).map(asked_unit) {
                Some(Ok(unit)) => Ok(unit),
                Some(Err(open @ ParseError::GaugeOrAbsolute { .. })) => Err(Some(open)),
                _ => Err(refused),
            }
        });
        said.map_err(|refused| {
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
                    role.unit_option_alone(),
                    role.unit_option(match self.kind {
                        Kind::Rise => "micron",
                        Kind::Hold | Kind::Running => "psig",
                    })
                ),
            };
            self.unit_error(column, question)
        })
    }

    /// Refuses two different units in the name, in the row below it and in the cells.
    fn one_unit(
        &self,
        role: Role,
        column: usize,
        symbol: impl Fn(&str) -> Option<&'static str>,
    ) -> Result<(), LoggerError> {
        let name = Some(self.layout.names[column].as_str());
        let below = self.layout.units.get(column).map(String::as_str);
        let texts = [name, below, self.unit_inside(column)];
        let mut symbols = texts.into_iter().flatten().filter_map(symbol);
        let first = symbols.next();
        match symbols.find(|other| Some(*other) != first) {
            None => Ok(()),
            Some(other) => Err(self.unit_error(
                column,
                format!(
                    "it stands there as {} and as {other}: settle it with {}",
                    first.unwrap_or_default(),
                    role.unit_option_alone()
                ),
            )),
        }
    }

    pub fn unit_error(&self, column: usize, question: String) -> LoggerError {
        LoggerError::Unit {
            file: self.file.clone(),
            column: self.layout.names[column].clone(),
            question,
        }
    }

    pub fn temperature_unit(
        &self,
        role: Role,
        column: usize,
    ) -> Result<Unit<Temperature>, LoggerError> {
        if let Some(unit) = self.asked.unit(role) {
            return temperature_unit(unit).ok_or_else(|| LoggerError::AskedUnit {
                option: role.unit_option_alone(),
                why: format!("\"{unit}\" is no unit of temperature; type F, C or K"),
            });
        }
        self.one_unit(role, column, |text| Some(temperature_unit(text)?.symbol))?;
        let inside = || self.unit_inside(column).and_then(temperature_unit);
        temperature_unit(&self.full_name(column))
            .or_else(inside)
            .ok_or_else(|| {
                let question = format!(
                    "rename it so that it ends in _F, _C or _K, or say it with {}",
                    role.unit_option("F")
                );
                self.unit_error(column, question)
            })
    }

    /// The unit of a column of currents.
    pub fn current_unit(&self, role: Role, column: usize) -> Result<Unit<Current>, LoggerError> {
        if let Some(unit) = self.asked.unit(role) {
            return current_unit(unit).ok_or_else(|| LoggerError::AskedUnit {
                option: role.unit_option_alone(),
                why: format!("\"{unit}\" is no unit of current known here; type A"),
            });
        }
        let inside = || self.unit_inside(column).and_then(current_unit);
        current_unit(&self.full_name(column))
            .or_else(inside)
            .ok_or_else(|| {
                let question = format!(
                    "rename it so that it ends in _A, or say it with {}",
                    role.unit_option("A")
                );
                self.unit_error(column, question)
            })
    }
}

/// The pressure unit of a name, or of a cell that is nothing but a unit.
fn unit_of_cell(text: &str) -> Option<PressureUnit> {
    unit_of_name(text).or_else(|_| asked_unit(text)).ok()
}
