//! A table of targets: two axes of air temperatures, a temperature difference in each cell, a dash where no test is valid.

use std::fmt;

use super::error::{TableError, TargetError};
use super::order;
use crate::quantity::{Quantity, Temperature, TemperatureDiff, Unit, both, unit};
use crate::source::SourceId;

/// What an axis of a table counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Axis {
    /// Air entering the outdoor unit.
    Outdoor,
    /// Air entering the indoor coil, dry bulb.
    ReturnAir,
    /// Its wet bulb.
    ReturnWetBulb,
}

impl Axis {
    /// The axis in words: "return wet bulb".
    pub fn words(self) -> &'static str {
        match self {
            Axis::Outdoor => "outdoor air",
            Axis::ReturnAir => "return air",
            Axis::ReturnWetBulb => "return wet bulb",
        }
    }

    /// The axis of the name before the unit or the number: "outdoor", "wb".
    fn of_name(name: &str) -> Option<Axis> {
        match name {
            "outdoor" | "outdoor_db" | "condenser" | "condenser_db" => Some(Axis::Outdoor),
            "return" | "return_db" | "indoor" | "indoor_db" | "db" => Some(Axis::ReturnAir),
            "wb" | "return_wb" | "indoor_wb" => Some(Axis::ReturnWetBulb),
            _ => None,
        }
    }
}

/// The scale that a table is written in: axes on it, cells as differences of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Scale {
    Fahrenheit,
    Celsius,
}

impl Scale {
    fn temperature(self) -> Unit<Temperature> {
        match self {
            Scale::Fahrenheit => unit::FAHRENHEIT,
            Scale::Celsius => unit::CELSIUS,
        }
    }

    fn difference(self) -> Unit<TemperatureDiff> {
        match self {
            Scale::Fahrenheit => unit::FAHRENHEIT_DIFF,
            Scale::Celsius => unit::KELVIN_DIFF,
        }
    }
}

/// What a table says at some conditions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cell {
    /// The target.
    Target(TemperatureDiff),
    /// A dash: no test is valid there.
    NoTest,
}

/// A table of targets.
///
/// ```
/// use lineproof::check::run::target::{Cell, TargetTable};
/// use lineproof::quantity::{Quantity, Temperature, unit};
/// use lineproof::source::SourceId;
/// let text = "outdoor_F,wb_62,wb_66\n85,10,20\n95,-,14\n";
/// let table = TargetTable::parse(text, SourceId::UnitInstructions).unwrap();
/// let [warm, hot] = [85.0, 90.0].map(|t| Temperature::of(t, unit::FAHRENHEIT));
/// let wet = Temperature::of(64.0, unit::FAHRENHEIT);
/// let Cell::Target(target) = table.at(warm, wet).unwrap() else { panic!() };
/// assert!((target.in_unit(unit::FAHRENHEIT_DIFF) - 15.0).abs() < 1e-9);
/// assert_eq!(table.at(hot, wet).unwrap(), Cell::NoTest);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct TargetTable {
    scale: Scale,
    axes: [Axis; 2],
    rows: Vec<f64>,
    columns: Vec<f64>,
    /// By row, then column, in the table's scale.
    cells: Vec<Vec<Option<f64>>>,
    broken: Vec<(usize, usize)>,
    source: SourceId,
}

/// A corner of the square around some conditions: row, column, weight.
type Corner = (usize, usize, f64);

/// Rows and columns of a table.
const SIZE: std::ops::RangeInclusive<usize> = 2..=200;

/// Nearer to a printed temperature than this, as a share of the step, counts as on it.
const ON_NODE: f64 = 1e-9;

impl TargetTable {
    /// Reads a table as CSV.
    ///
    /// First line: the axis of the rows with its unit (`outdoor_F`, `return_C`), then the columns, like `wb_63` or
    /// `db_75`. Each further line: a temperature, then the targets, as differences of that unit. An empty cell or a dash:
    /// no valid test. Lines that begin with `#` are left out; semicolons or tabs with decimal commas are read too.
    pub fn parse(text: &str, source: SourceId) -> Result<TargetTable, TableError> {
        let text = text.trim_start_matches('\u{feff}');
        let first = text
            .lines()
            .find(|l| !l.starts_with('#') && !l.trim().is_empty());
        let delimiter = match first {
            Some(line) if line.contains(';') => b';',
            Some(line) if line.contains('\t') => b'\t',
            _ => b',',
        };
        let mut reader = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .delimiter(delimiter)
            .trim(csv::Trim::All)
            .from_reader(text.as_bytes());
        let head = reader.headers().map_err(no_table)?.clone();
        if head.is_empty() {
            return Err(TableError::Empty);
        }
        let (row_axis, scale) = corner(&head[0])?;
        let (column_axis, columns) = column_names(&head)?;
        if row_axis == column_axis {
            return Err(TableError::SameAxis {
                axis: row_axis.words(),
            });
        }
        let (mut rows, mut cells) = (Vec::new(), Vec::new());
        for record in reader.records() {
            let record = record.map_err(no_table)?;
            let line = record.position().map_or(0, csv::Position::line);
            rows.push(number(&record[0]).ok_or_else(|| TableError::Row {
                line,
                text: record[0].to_string(),
            })?);
            cells.push(row_cells(&record, &head, line)?);
        }
        if !(SIZE.contains(&rows.len()) && SIZE.contains(&columns.len())) {
            return Err(TableError::Size {
                rows: rows.len(),
                columns: columns.len(),
            });
        }
        check_axis(row_axis, &rows, scale)?;
        check_axis(column_axis, &columns, scale)?;
        for &value in cells.iter().flatten().flatten() {
            check_cell(value, scale)?;
        }
        Ok(TargetTable {
            scale,
            axes: [row_axis, column_axis],
            broken: order::broken(&cells),
            rows,
            columns,
            cells,
            source,
        })
    }

    /// What rows and columns count.
    pub fn axes(&self) -> [Axis; 2] {
        self.axes
    }

    /// Where its values come from.
    pub fn source(&self) -> SourceId {
        self.source
    }

    /// The cells that break the order of their row or column, named: "outdoor air 85, return wet bulb 63: 12.5".
    ///
    /// In every row and column the direction is that of the majority of all.
    pub fn cells_out_of_order(&self) -> Vec<String> {
        self.broken
            .iter()
            .map(|&(row, column)| {
                let value = self.cells[row][column].unwrap_or(f64::NAN);
                format!(
                    "{}, {}: {value}",
                    self.row_name(row),
                    self.column_name(column)
                )
            })
            .collect()
    }

    /// The target at a temperature of each axis.
    ///
    /// Bilinear between four cells; on a printed temperature only the cells there are needed. A dash among those needed:
    /// [`Cell::NoTest`]. An error outside the axes, and where a cell is needed that breaks the order.
    pub fn at(&self, row: Temperature, column: Temperature) -> Result<Cell, TargetError> {
        let corners = self.corners(row, column)?;
        for &(r, c, _) in &corners {
            if self.broken.contains(&(r, c)) {
                return Err(TargetError::Broken {
                    row: self.row_name(r),
                    column: self.column_name(c),
                    value: self.cells[r][c].unwrap_or(f64::NAN),
                });
            }
        }
        let sum = corners.iter().try_fold(0.0, |sum, &(r, c, weight)| {
            Some(sum + weight * self.cells[r][c]?)
        });
        Ok(sum.map_or(Cell::NoTest, |v| {
            Cell::Target(TemperatureDiff::of(v, self.scale.difference()))
        }))
    }

    /// The target near a place that has one, for its uncertainty: where the table ends, or a dash stands, the square
    /// that holds the place goes on straight.
    pub(in crate::check::run) fn near(
        &self,
        home: (Temperature, Temperature),
        (row, column): (Temperature, Temperature),
    ) -> Option<TemperatureDiff> {
        if let Ok(Cell::Target(target)) = self.at(row, column) {
            return Some(target);
        }
        let read = |t: Temperature| t.in_unit(self.scale.temperature());
        self.squares_of(read(home.0), read(home.1))
            .into_iter()
            .find_map(|(r, c)| self.plane(r, c, read(row), read(column)))
            .map(|v| TemperatureDiff::of(v, self.scale.difference()))
    }

    /// The squares, by their first row and column, that hold a place.
    fn squares_of(&self, row: f64, column: f64) -> Vec<(usize, usize)> {
        let holding = |axis: &[f64], at: f64| -> Vec<usize> {
            (0..axis.len() - 1)
                .filter(|&i| {
                    let slack = ON_NODE * (axis[i + 1] - axis[i]);
                    at >= axis[i] - slack && at <= axis[i + 1] + slack
                })
                .collect()
        };
        let columns = holding(&self.columns, column);
        holding(&self.rows, row)
            .into_iter()
            .flat_map(|r| columns.iter().map(move |&c| (r, c)))
            .collect()
    }

    /// The bilinear surface of one square, also outside it; where one corner is a dash or broken, the plane of the others.
    fn plane(&self, r: usize, c: usize, row: f64, column: f64) -> Option<f64> {
        let corner =
            |r: usize, c: usize| self.cells[r][c].filter(|_| !self.broken.contains(&(r, c)));
        let square = [
            corner(r, c),
            corner(r, c + 1),
            corner(r + 1, c),
            corner(r + 1, c + 1),
        ];
        let [a, b, d, e] = match square {
            [Some(a), Some(b), Some(d), Some(e)] => [a, b, d, e],
            [None, Some(b), Some(d), Some(e)] => [b + d - e, b, d, e],
            [Some(a), None, Some(d), Some(e)] => [a, a + e - d, d, e],
            [Some(a), Some(b), None, Some(e)] => [a, b, a + e - b, e],
            [Some(a), Some(b), Some(d), None] => [a, b, d, b + d - a],
            _ => return None,
        };
        let share = |axis: &[f64], i: usize, at: f64| (at - axis[i]) / (axis[i + 1] - axis[i]);
        let (y, x) = (share(&self.rows, r, row), share(&self.columns, c, column));
        Some((1.0 - y) * ((1.0 - x) * a + x * b) + y * ((1.0 - x) * d + x * e))
    }

    /// The cells that weigh in at a place.
    fn corners(&self, row: Temperature, column: Temperature) -> Result<Vec<Corner>, TargetError> {
        let rows = self.between(self.axes[0], &self.rows, row)?;
        let columns = self.between(self.axes[1], &self.columns, column)?;
        Ok(rows
            .iter()
            .flat_map(|&(r, y)| columns.iter().map(move |&(c, x)| (r, c, x * y)))
            .collect())
    }

    /// One or two places on an axis with their weights.
    fn between(
        &self,
        axis: Axis,
        printed: &[f64],
        value: Temperature,
    ) -> Result<Vec<(usize, f64)>, TargetError> {
        let at = value.in_unit(self.scale.temperature());
        let last = printed.len() - 1;
        let i = printed.partition_point(|&p| p <= at).clamp(1, last) - 1;
        let share = (at - printed[i]) / (printed[i + 1] - printed[i]);
        if share.abs() < ON_NODE {
            return Ok(vec![(i, 1.0)]);
        }
        if (share - 1.0).abs() < ON_NODE {
            return Ok(vec![(i + 1, 1.0)]);
        }
        if !(0.0..=1.0).contains(&share) {
            let on = |p: f64| Temperature::of(p, self.scale.temperature());
            return Err(TargetError::Outside {
                axis,
                value,
                low: on(printed[0]),
                high: on(printed[last]),
            });
        }
        Ok(vec![(i, 1.0 - share), (i + 1, share)])
    }

    fn row_name(&self, row: usize) -> String {
        format!("{} {}", self.axes[0].words(), self.rows[row])
    }

    fn column_name(&self, column: usize) -> String {
        format!("{} {}", self.axes[1].words(), self.columns[column])
    }
}

impl fmt::Display for TargetTable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let on = |p: f64| both(Temperature::of(p, self.scale.temperature()));
        let ends = |axis: &[f64]| format!("{} to {}", on(axis[0]), on(axis[axis.len() - 1]));
        write!(
            f,
            "{} {}, {} {}",
            self.axes[0].words(),
            ends(&self.rows),
            self.axes[1].words(),
            ends(&self.columns)
        )
    }
}

fn no_table(error: csv::Error) -> TableError {
    match error.kind() {
        csv::ErrorKind::UnequalLengths {
            pos,
            expected_len,
            len,
        } => TableError::Ragged {
            line: pos.as_ref().map_or(0, csv::Position::line),
            found: *len,
            expected: *expected_len,
        },
        _ => TableError::Csv(error.to_string()),
    }
}

fn corner(text: &str) -> Result<(Axis, Scale), TableError> {
    let wrong = || TableError::Corner {
        corner: text.to_string(),
    };
    let lower = text.to_lowercase();
    let (name, scale) = lower.rsplit_once('_').ok_or_else(wrong)?;
    let scale = match scale {
        "f" => Scale::Fahrenheit,
        "c" => Scale::Celsius,
        _ => return Err(wrong()),
    };
    Ok((Axis::of_name(name).ok_or_else(wrong)?, scale))
}

fn column_names(head: &csv::StringRecord) -> Result<(Axis, Vec<f64>), TableError> {
    let mut axis = None;
    let mut columns = Vec::new();
    for (i, name) in head.iter().enumerate().skip(1) {
        let wrong = || TableError::Column {
            number: i + 1,
            name: name.to_string(),
        };
        let lower = name.to_lowercase();
        let (kind, at) = lower.rsplit_once('_').ok_or_else(wrong)?;
        let kind = Axis::of_name(kind).ok_or_else(wrong)?;
        if *axis.get_or_insert(kind) != kind {
            return Err(wrong());
        }
        columns.push(number(at).ok_or_else(wrong)?);
    }
    match axis {
        Some(axis) => Ok((axis, columns)),
        None => Err(TableError::Size {
            rows: 0,
            columns: 0,
        }),
    }
}

fn row_cells(
    record: &csv::StringRecord,
    head: &csv::StringRecord,
    line: u64,
) -> Result<Vec<Option<f64>>, TableError> {
    record
        .iter()
        .zip(head)
        .skip(1)
        .map(|(text, column)| match text {
            "" | "-" | "--" | "–" | "—" => Ok(None),
            _ => number(text).map(Some).ok_or_else(|| TableError::Cell {
                line,
                column: column.to_string(),
                text: text.to_string(),
            }),
        })
        .collect()
}

/// A finite number, with a point or a comma before its decimals.
fn number(text: &str) -> Option<f64> {
    let value: f64 = text.replace(',', ".").parse().ok()?;
    value.is_finite().then_some(value)
}

fn check_axis(axis: Axis, printed: &[f64], scale: Scale) -> Result<(), TableError> {
    if let Some(pair) = printed.windows(2).find(|pair| pair[1] <= pair[0]) {
        return Err(TableError::AxisOrder {
            axis: axis.words(),
            before: pair[0],
            next: pair[1],
        });
    }
    let (low, high, range) = match scale {
        Scale::Fahrenheit => (-40.0, 140.0, "-40 to 140 °F"),
        Scale::Celsius => (-40.0, 60.0, "-40 to 60 °C"),
    };
    match printed.iter().find(|p| !(low..=high).contains(*p)) {
        Some(&value) => Err(TableError::Absurd {
            what: axis.words(),
            value,
            range,
        }),
        None => Ok(()),
    }
}

fn check_cell(value: f64, scale: Scale) -> Result<(), TableError> {
    let (high, range) = match scale {
        Scale::Fahrenheit => (80.0, "0 to 80 °F"),
        Scale::Celsius => (45.0, "0 to 45 K"),
    };
    if (0.0..=high).contains(&value) {
        return Ok(());
    }
    Err(TableError::Absurd {
        what: "a target of",
        value,
        range,
    })
}
