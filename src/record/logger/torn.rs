//! A last line that was not finished: the logger lost its power, or the file was copied while it wrote.

use super::same::decimals;
use super::table::Table;

/// Cells above that show how many digits a column has.
const ENOUGH: usize = 4;
/// A whole number that lost a digit is a tenth of what it was; a reading seldom falls to this share of the one before
/// (own choice).
const FELL_TO: f64 = 0.2;

impl Table {
    /// Leaves out a last row without a line end whose last number seems to be cut off.
    ///
    /// It has fewer decimals than all others of its column have, or, of whole numbers, it is a digit shorter.
    pub fn leave_out_torn(&mut self, text: &str) {
        let ends = text.ends_with(['\n', '\r']) || self.sheet.is_some();
        let (Some(Some(last)), Some(row)) = (self.columns.last(), self.lines.len().checked_sub(1))
        else {
            return;
        };
        let (cell, above) = (last.get(row), || (0..row).map(|row| last.get(row)));
        let digits = above().next_back().map_or(0, decimals);
        let fixed = above().all(|cell| decimals(cell) == digits);
        let number = |cell: &str| cell.parse::<f64>().ok();
        let shorter = || {
            let before = above().next_back().and_then(number);
            let falls = |before: f64| number(cell).is_some_and(|now| now < FELL_TO * before);
            before.is_some_and(falls)
        };
        let torn = match digits {
            0 => shorter(),
            _ => decimals(cell) < digits,
        };
        if ends || row < ENOUGH || !fixed || !torn {
            return;
        }
        self.left_out.push(format!(
            "line {}: the file ends in the middle of it: \"{cell}\" has fewer digits than the cells above and no line end",
            self.lines[row]
        ));
        let mut keep = vec![true; row + 1];
        keep[row] = false;
        self.keep(&keep);
    }
}
