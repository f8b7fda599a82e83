//! What was said of the log of a hold or a rise, kept with its record.

use super::column::{Asked, Role};
use super::preview::Preview;
use crate::record::{ColumnUse, LogColumn, LogFile};

/// Each role of a hold or a rise beside its word in a record.
const USES: [(Role, ColumnUse); 8] = [
    (Role::Time, ColumnUse::Time),
    (Role::Pressure, ColumnUse::Pressure),
    (Role::Pressure, ColumnUse::Vacuum),
    (Role::Outdoor, ColumnUse::Outdoor),
    (Role::Indoor, ColumnUse::Indoor),
    (Role::Witness, ColumnUse::Witness),
    (Role::Second, ColumnUse::Second),
    (Role::Phase, ColumnUse::Phase),
];

impl LogFile {
    /// With what was said of the file; `seen` names a column of which only the unit was said.
    pub fn with_said(self, asked: &Asked, seen: &Preview) -> LogFile {
        let mut roles: Vec<Role> = Vec::new();
        for (role, _) in asked.columns.iter().chain(&asked.units) {
            if !roles.contains(role) {
                roles.push(*role);
            }
        }
        let column = |role: Role| {
            let named = asked.column(role).map(String::from);
            Some(LogColumn {
                column: named.or_else(|| found(seen, role))?,
                holds: USES.iter().find(|(r, _)| *r == role)?.1,
                unit: asked.unit(role).map(String::from),
            })
        };
        LogFile {
            columns: roles.into_iter().filter_map(column).collect(),
            sheet: asked.sheet.clone(),
            decimal: asked.decimal,
            header_line: asked.header_line,
            skip_missing: asked.skip_missing,
            ..self.with_clock(asked)
        }
    }

    /// How the log of a hold or a rise is read again.
    pub fn asked(&self) -> Asked {
        let role = |holds: ColumnUse| Some(USES.iter().find(|(_, u)| *u == holds)?.0);
        let (mut columns, mut units) = (Vec::new(), Vec::new());
        for column in &self.columns {
            let Some(role) = role(column.holds) else {
                continue;
            };
            columns.push((role, Some(column.column.clone())));
            units.push((role, column.unit.clone()));
        }
        self.clock(Asked {
            sheet: self.sheet.clone(),
            decimal: self.decimal,
            header_line: self.header_line,
            skip_missing: self.skip_missing,
            ..Asked::of(columns, units)
        })
    }
}

/// The column that was taken for a role, by its number: names may be there twice.
fn found(seen: &Preview, role: Role) -> Option<String> {
    let column = seen.columns.iter().find(|c| c.role == Some(role))?;
    Some(format!("#{}", column.number))
}
