//! Rows without a reading: left out when that was asked for, and said.

use super::column::{Reads, Role};
use super::error::LoggerError;
use super::name::time_unit;
use super::number::{self, NoNumber};
use super::table::Table;
use super::values::bare;
use crate::quantity::{Quantity, Temperature, Unit};

/// Colder than any air: a probe that is gone, in kelvin. Some write -127 °C, some -275 °C, some 0 K.
const NO_AIR: f64 = 150.0;
/// Nothing that is measured here jumps by so much to exactly nought and back, in kelvin.
const JUMP: f64 = 20.0;
/// Reasons that are listed one by one.
const LISTED: usize = 50;

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
}

/// Readings of a probe that is gone become NaN: colder than any air, or exactly nought between readings far away.
pub(super) fn lost_probes(numbers: &mut [f64], unit: Unit<Temperature>) {
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
    use crate::quantity::unit;

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
