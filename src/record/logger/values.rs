//! The readings of a role: unit, number, what can be.

use super::column::{Reads, Role};
use super::error::LoggerError;
use super::name::{
    asked_unit, current_unit, is_unit, possible, temperature_unit, time_unit, unit_of_name,
};
use super::number::{self, NoNumber};
use super::table::Table;
use crate::quantity::{
    Barometer, Current, ParseError, PressureAbs, PressureDiff, PressureUnit, Quantity, Temperature,
    Unit, UnitSystem, unit,
};

/// Colder than any air: a probe that is gone, in kelvin. Some write -127 °C, some -275 °C, some 0 K.
const NO_AIR: f64 = 150.0;
/// Nothing that is measured here jumps by so much to exactly nought and back, in kelvin.
const JUMP: f64 = 20.0;
/// Reasons that are listed one by one.
const LISTED: usize = 50;
/// How far a barometer can be from the one that was taken, in Pa: weather, and a gauge's own zero.
const WEATHER: f64 = 3e3;

impl Table {
    /// Leaves out rows without a reading in a column that is used, when that was asked for.
    pub fn skip_missing(&mut self) -> Result<(), LoggerError> {
        if !self.asked.skip_missing {
            return Ok(());
        }
        let mut gone: Vec<Option<usize>> = vec![None; self.lines.len()];
        for role in self.kind.roles() {
            let columns = match (role, self.date_and_time()) {
                (Role::Time, Some(apart)) => apart.to_vec(),
                _ => self.find(role)?.into_iter().collect(),
            };
            for column in columns {
                for (row, missing) in self.missing(role, column)?.iter().enumerate() {
                    if *missing {
                        gone[row].get_or_insert(column);
                    }
                }
            }
        }
        if gone.iter().all(Option::is_none) {
            return Ok(());
        }
        let said = self.reasons(&gone);
        self.left_out.splice(0..0, said);
        let keep: Vec<bool> = gone.iter().map(Option::is_none).collect();
        self.keep(&keep);
        Ok(())
    }

    /// Which rows have no reading in a column.
    fn missing(&self, role: Role, column: usize) -> Result<Vec<bool>, LoggerError> {
        let words = || {
            let no = |cell| number::read(cell, self.style) == Err(NoNumber::NoReading);
            self.kept(column).iter().map(no).collect()
        };
        Ok(match role.reads() {
            Reads::Words => vec![false; self.lines.len()],
            Reads::Time if time_unit(&self.full_name(column)).is_none() => words(),
            _ => {
                let numbers = self.scan(role, column)?;
                numbers.iter().map(|n| n.is_nan()).collect()
            }
        })
    }

    /// Why rows were left out; rows that follow each other for the same reason in one line.
    fn reasons(&self, gone: &[Option<usize>]) -> Vec<String> {
        let mut runs: Vec<(usize, usize, usize)> = Vec::new();
        for (row, column) in gone.iter().enumerate() {
            let Some(column) = *column else { continue };
            match runs.last_mut() {
                Some((_, last, c))
                    if *last + 1 == row
                        && *c == column
                        && self.cell(*last, column) == self.cell(row, column) =>
                {
                    *last = row;
                }
                _ => runs.push((row, row, column)),
            }
        }
        let line = |row: usize| self.lines[row];
        let mut said: Vec<String> = runs
            .iter()
            .take(LISTED)
            .map(|(first, last, column)| {
                let lines = match first == last {
                    true => format!("line {}", line(*first)),
                    false => format!("lines {} to {}", line(*first), line(*last)),
                };
                let cell = self.cell(*first, *column);
                let text = bare(cell, self.unit_inside(*column));
                let what = match number::read(text, self.style) {
                    Err(NoNumber::Overload) => " (an overload)",
                    Err(NoNumber::Lost) | Ok(_) => " (a lost sensor)",
                    Err(_) => "",
                };
                format!(
                    "{lines}: \"{cell}\"{what} in column {}",
                    self.shown(*column)
                )
            })
            .collect();
        let more = runs
            .iter()
            .skip(LISTED)
            .map(|(first, last, _)| last - first + 1);
        match more.sum::<usize>() {
            0 => {}
            rows => said.push(format!("{rows} more rows without a reading")),
        }
        said
    }

    /// Numbers of a column; NaN where there is no reading.
    fn scan(&self, role: Role, column: usize) -> Result<Vec<f64>, LoggerError> {
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

    /// The unit that the first cell with a reading has behind its number.
    pub fn unit_inside(&self, column: usize) -> Option<&str> {
        let cells = self.kept(column).iter();
        let mut read = cells.filter(|c| number::read(c, self.style) != Err(NoNumber::NoReading));
        let cell = read.next()?;
        let number = cell.find(|c: char| !(c.is_ascii_digit() || "+-.,".contains(c)))?;
        let unit = cell[number..].trim_start();
        (number > 0 && is_unit(unit)).then_some(unit)
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
                    role.unit_option("psig")
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

    /// Whether two columns with one role say the same in two units.
    pub fn say_the_same(&self, role: Role, a: usize, b: usize) -> Result<bool, LoggerError> {
        if self.asked.unit(role).is_some() {
            return Ok(false);
        }
        match role.reads() {
            Reads::Temperature => {
                let units = (
                    temperature_unit(&self.full_name(a)),
                    temperature_unit(&self.full_name(b)),
                );
                let (Some(first), Some(second)) = units else {
                    return Ok(false);
                };
                let si = |unit: Unit<Temperature>| move |x| Temperature::of(x, unit).si();
                let differ = first.symbol != second.symbol;
                Ok(differ
                    && self
                        .first_apart(role, (a, &si(first)), (b, &si(second)), 0.0)?
                        .is_none())
            }
            Reads::Pressure => {
                let units = (
                    unit_of_name(&self.full_name(a)),
                    unit_of_name(&self.full_name(b)),
                );
                let (Ok(first), Ok(second)) = units else {
                    return Ok(false);
                };
                if first.symbol() == second.symbol() {
                    return Ok(false);
                }
                let si = |unit: PressureUnit| {
                    move |x| {
                        unit.reading(x)
                            .to_abs(self.barometer)
                            .map_or(f64::NAN, |p| p.si())
                    }
                };
                let kinds = (
                    first.reading(0.0).is_gauge(),
                    second.reading(0.0).is_gauge(),
                );
                let weather = if kinds.0 == kinds.1 { 0.0 } else { WEATHER };
                let apart = self.first_apart(role, (a, &si(first)), (b, &si(second)), weather)?;
                match apart {
                    None => Ok(true),
                    Some((row, apart)) if kinds.0 != kinds.1 => {
                        let sign = if kinds.0 { -1.0 } else { 1.0 };
                        let atmosphere = self.barometer.pressure();
                        Err(self.atmospheres(role, row, (a, b), atmosphere.si() + sign * apart))
                    }
                    Some(_) => Ok(false),
                }
            }
            _ => Ok(false),
        }
    }

    fn atmospheres(
        &self,
        role: Role,
        row: usize,
        (a, b): (usize, usize),
        apart: f64,
    ) -> LoggerError {
        // both as psi: a difference of two readings on one gauge
        let psi = |pa: f64| {
            format!(
                "{:.1} psi",
                PressureDiff::from_si(pa).in_unit(unit::PSI_DIFF)
            )
        };
        let atmosphere = self.barometer.pressure();
        LoggerError::Atmospheres {
            file: self.file.clone(),
            line: self.lines[row],
            why: format!(
                "{} and {} lie {} apart, where the atmosphere is {} ({}): one is named wrongly, or the atmosphere was added twice or not at all; name the right one with {}, its unit with {}, and a high place with --altitude",
                self.shown(a),
                self.shown(b),
                psi(apart),
                psi(atmosphere.si()),
                atmosphere.show(UnitSystem::Si),
                role.option(),
                role.unit_option_alone(),
            ),
        }
    }

    /// The first row where two columns differ by more than their digits and `beside`, and by how much (first less second).
    fn first_apart(
        &self,
        role: Role,
        (a, first): (usize, &dyn Fn(f64) -> f64),
        (b, second): (usize, &dyn Fn(f64) -> f64),
        beside: f64,
    ) -> Result<Option<(usize, f64)>, LoggerError> {
        let (numbers, others) = (self.scan(role, a)?, self.scan(role, b)?);
        let digit = |column, si: &dyn Fn(f64) -> f64| {
            let most = self.kept(column).iter().map(decimals).max().unwrap_or(0);
            (si(10f64.powi(-(most as i32))) - si(0.0)).abs()
        };
        // a whole digit each: some cut off, some round
        let within = digit(a, first) + digit(b, second) + beside;
        let rows = numbers.iter().zip(&others);
        let mut apart = rows.map(|(x, y)| first(*x) - second(*y)).enumerate();
        Ok(apart.find(|(_, apart)| apart.abs() > within))
    }
}

/// The pressure unit of a name, or of a cell that is nothing but a unit.
fn unit_of_cell(text: &str) -> Option<PressureUnit> {
    unit_of_name(text).or_else(|_| asked_unit(text)).ok()
}

/// A cell without the unit that stands in all cells of its column.
fn bare<'a>(cell: &'a str, unit: Option<&str>) -> &'a str {
    let number = unit.and_then(|unit| cell.strip_suffix(unit));
    number.map_or(cell, str::trim_end)
}

fn decimals(cell: &str) -> usize {
    let digits = cell.rsplit_once(['.', ',']).map_or("", |(_, d)| d);
    digits.bytes().take_while(u8::is_ascii_digit).count()
}

/// Readings of a probe that is gone become NaN: colder than any air, or exactly nought between readings far away.
fn lost_probes(numbers: &mut [f64], unit: Unit<Temperature>) {
    for number in numbers.iter_mut() {
        if Temperature::of(*number, unit).si() < NO_AIR {
            *number = f64::NAN;
        }
    }
    let far = (Temperature::of(1.0, unit).si() - Temperature::of(0.0, unit).si()).recip() * JUMP;
    let mut row = 0;
    while row < numbers.len() {
        if numbers[row] != 0.0 {
            row += 1;
            continue;
        }
        let end = numbers[row..].iter().position(|n| *n != 0.0 && !n.is_nan());
        let end = end.map_or(numbers.len(), |n| row + n);
        let before = numbers[..row].iter().rev().find(|n| !n.is_nan()).copied();
        let after = numbers.get(end).copied();
        let beside = [before, after].into_iter().flatten();
        // nought from the first line to the last is what the probe reads
        if beside.clone().count() > 0 && beside.clone().all(|n| n.abs() > far) {
            numbers[row..end].fill(f64::NAN);
        }
        row = end;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_nought_far_from_its_neighbours_is_a_lost_probe() {
        let lost = |numbers: &[f64], unit| {
            let mut numbers = numbers.to_vec();
            lost_probes(&mut numbers, unit);
            numbers.iter().map(|n| n.is_nan()).collect::<Vec<_>>()
        };
        let f = unit::FAHRENHEIT;
        assert_eq!(lost(&[71.0, 0.0, 0.0, 72.0], f), [false, true, true, false]);
        assert_eq!(lost(&[1.5, 0.0, -1.5], f), [false; 3]);
        assert_eq!(
            lost(&[-275.0, 20.0, -9999.0], unit::CELSIUS),
            [true, false, true]
        );
        assert_eq!(lost(&[290.0, 0.0], unit::KELVIN), [false, true]);
        assert_eq!(lost(&[0.0, 0.0], f), [false, false]);
    }
}
