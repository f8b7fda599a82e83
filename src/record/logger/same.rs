//! Two columns that say the same in two units.

use super::column::{Reads, Role};
use super::error::LoggerError;
use super::name::{temperature_unit, unit_of_name};
use super::table::Table;
use crate::quantity::{PressureDiff, PressureUnit, Quantity, Temperature, Unit, UnitSystem, unit};

/// How far a barometer can be from the one that was taken, in Pa: weather, and a gauge's own zero.
const WEATHER: f64 = 3e3;

impl Table {
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

pub(super) fn decimals(cell: &str) -> usize {
    let digits = cell.rsplit_once(['.', ',']).map_or("", |(_, d)| d);
    digits.bytes().take_while(u8::is_ascii_digit).count()
}
