//! Which column has which role, and how a column is named to the reader.

use super::clock;
use super::column::{LOGGED, Role};
use super::error::LoggerError;
use super::table::Table;

impl Table {
    pub fn found(&self) -> String {
        let names: Vec<_> = (0..self.layout.names.len())
            .map(|column| self.shown(column))
            .collect();
        names.join(", ")
    }

    /// A column's name in quotes, with its number where two columns have that name.
    pub fn shown(&self, column: usize) -> String {
        let name = &self.layout.names[column];
        if self.named(name).len() > 1 || name.is_empty() {
            format!("\"{name}\" (#{})", column + 1)
        } else {
            format!("\"{name}\"")
        }
    }

    fn named(&self, name: &str) -> Vec<usize> {
        let names = self.layout.names.iter().enumerate();
        names
            .filter(|(_, n)| *n == name)
            .map(|(column, _)| column)
            .collect()
    }

    /// A column's name with what stands below it in the row of units.
    pub fn full_name(&self, column: usize) -> String {
        let name = &self.layout.names[column];
        match self.layout.units.get(column) {
            Some(unit) if !unit.is_empty() => format!("{name} {unit}"),
            _ => name.clone(),
        }
    }

    /// The column of an option: its name, else `#3`, `3`, or `name#2` for the second of that name.
    fn asked_column(&self, role: Role, asked: &str) -> Result<usize, LoggerError> {
        let none = || LoggerError::NoSuchColumn {
            file: self.file.clone(),
            asked: asked.into(),
            found: self.found(),
        };
        match self.named(asked).as_slice() {
            [only] => return Ok(*only),
            [a, b, ..] => return Err(self.two_columns(role, *a, *b)),
            [] => {}
        }
        let (name, number) = asked.rsplit_once('#').unwrap_or(("", asked));
        let number: usize = number.trim().parse().map_err(|_| none())?;
        let columns = match name {
            "" => (0..self.layout.names.len()).collect(),
            name => self.named(name),
        };
        let at = number.checked_sub(1).and_then(|n| columns.get(n));
        at.copied().ok_or_else(none)
    }

    /// The columns that could have a role: the one that was asked for, else those whose names say so.
    pub fn candidates(&self, role: Role) -> Result<Vec<usize>, LoggerError> {
        if let Some(asked) = self.asked.column(role) {
            return Ok(vec![self.asked_column(role, asked)?]);
        }
        let mut taken = Vec::new();
        for (other, name) in &self.asked.columns {
            if self.kind.roles().contains(other) {
                taken.push(self.asked_column(*other, name)?);
            }
        }
        Ok((0..self.layout.names.len())
            .filter(|c| !taken.contains(c) && self.kind.role_of(&self.full_name(*c)) == Some(role))
            .collect())
    }

    /// The column of a role; two that say the same in two units count as one.
    pub fn find(&self, role: Role) -> Result<Option<usize>, LoggerError> {
        match self.candidates(role)?.as_slice() {
            [] => Ok(None),
            [only] => Ok(Some(*only)),
            [a, b] if self.say_the_same(role, *a, *b)? => Ok(Some(*a)),
            [a, b, ..] => Err(self.two_columns(role, *a, *b)),
        }
    }

    fn two_columns(&self, role: Role, a: usize, b: usize) -> LoggerError {
        let same = self.layout.names[a] == self.layout.names[b];
        LoggerError::TwoColumns {
            file: self.file.clone(),
            what: role.what(),
            first: self.shown(a),
            second: self.shown(b),
            option: if same {
                role.option_of(&format!("#{}", a + 1))
                    + " or "
                    + &role.option_of(&format!("#{}", b + 1))
            } else {
                role.option()
            },
        }
    }

    pub fn need(&self, role: Role) -> Result<usize, LoggerError> {
        self.find(role)?.ok_or_else(|| LoggerError::MissingColumn {
            file: self.file.clone(),
            what: role.what(),
            found: self.found(),
            option: role.option(),
            example: role.example(),
        })
    }

    pub fn nothing_running(&self) -> LoggerError {
        let roles: Vec<&str> = LOGGED.iter().map(|c| c.word()).collect();
        LoggerError::NothingRunning {
            file: self.file.clone(),
            found: self.found(),
            roles: roles.join(", "),
        }
    }

    /// The name and the number of the time column, or of a date and a time column together.
    pub fn time_columns(&self) -> Result<(String, Vec<usize>), LoggerError> {
        Ok(match self.date_and_time() {
            Some(both @ [date, time]) => {
                let name = format!("{} {}", self.full_name(date), self.full_name(time));
                (name, both.to_vec())
            }
            None => {
                let column = self.need(Role::Time)?;
                (self.full_name(column), vec![column])
            }
        })
    }

    /// A date and a time column, where nobody named one for both.
    pub fn date_and_time(&self) -> Option<[usize; 2]> {
        let names: Vec<&str> = self.layout.names.iter().map(String::as_str).collect();
        clock::date_and_time(&names).filter(|_| self.asked.column(Role::Time).is_none())
    }
}
