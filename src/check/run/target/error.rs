//! Why a text is no table of targets, and why a table has no target.

use super::Axis;
use crate::quantity::{Temperature, both};

/// Why a text is no table of targets.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TableError {
    /// Nothing but comments.
    #[error(
        "the table is empty: its first line is like outdoor_F,wb_62,wb_64, then a line for each outdoor temperature"
    )]
    Empty,
    /// The corner names no axis, or no unit.
    #[error(
        "the first cell \"{corner}\" names no axis with its unit: outdoor_F, outdoor_C, return_F or return_C are possible"
    )]
    Corner {
        /// As it stands.
        corner: String,
    },
    /// A column's name.
    #[error(
        "column {number}, \"{name}\": a column is named by its axis and temperature, like wb_63 (return wet bulb) or db_75 (return air), the same axis in all"
    )]
    Column {
        /// Which, from 1.
        number: usize,
        /// As it stands.
        name: String,
    },
    /// The axes are one.
    #[error("rows and columns both count the {axis}: a table has two different axes")]
    SameAxis {
        /// In words.
        axis: &'static str,
    },
    /// A row's temperature.
    #[error("line {line}: \"{text}\" is no temperature; a row begins with one, without a unit")]
    Row {
        /// In the file, from 1.
        line: u64,
        /// As it stands.
        text: String,
    },
    /// A cell.
    #[error(
        "line {line}, column {column}: \"{text}\" is no number; leave the cell empty, or type a dash, where no test is valid"
    )]
    Cell {
        /// In the file, from 1.
        line: u64,
        /// The column's name.
        column: String,
        /// As it stands.
        text: String,
    },
    /// A row of another length than the first line.
    #[error(
        "line {line} has {found} cells, the first line {expected}: every row has as many; leave a cell empty, or type a dash, where no test is valid"
    )]
    Ragged {
        /// In the file, from 1.
        line: u64,
        /// How many.
        found: u64,
        /// How many the first line has.
        expected: u64,
    },
    /// Text that is no CSV.
    #[error("the table cannot be read: {0}; save it as CSV")]
    Csv(String),
    /// An axis out of order.
    #[error("{axis} {next} after {before}: the temperatures of an axis rise, each once")]
    AxisOrder {
        /// In words.
        axis: &'static str,
        /// As printed.
        before: f64,
        /// As printed.
        next: f64,
    },
    /// Too small to interpolate in, or no charging table.
    #[error("{rows} rows and {columns} columns: a table has 2 to 200 of each")]
    Size {
        /// How many.
        rows: usize,
        /// How many.
        columns: usize,
    },
    /// An axis or cell that no house and no unit has.
    #[error("{what} {value} is outside {range}: is it the scale that the first cell names?")]
    Absurd {
        /// "outdoor air" or "a target".
        what: &'static str,
        /// As printed.
        value: f64,
        /// In the table's scale.
        range: &'static str,
    },
}

/// Why a table has no target at some conditions, although conditions are given.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TargetError {
    /// Outside an axis.
    #[error("{} {} is outside the table: it goes from {} to {}; check the reading and its unit", axis.words(), both(*value), both(*low), both(*high))]
    Outside {
        /// Which axis.
        axis: Axis,
        /// What was read.
        value: Temperature,
        /// The first temperature of the axis.
        low: Temperature,
        /// The last.
        high: Temperature,
    },
    /// A cell that breaks the order is needed.
    #[error(
        "the table's cell at {row}, {column} is {value}, which breaks the order of its row or column: compare it with the printed table, nothing is interpolated through it"
    )]
    Broken {
        /// As printed: "outdoor air 85".
        row: String,
        /// As printed: "return wet bulb 63".
        column: String,
        /// As printed.
        value: f64,
    },
}
