//! Which cells break the order of a table: in every row and column the direction is that of the majority.

use std::collections::BTreeSet;

/// Marks the cells, given as `cells[row][column]`, that have to go until every row and column keeps its direction.
///
/// In a line the cells that are in no, or not in every, longest run that keeps the direction are suspect; a cell suspect
/// in its row and its column is named first, so that one wrong cell does not take its neighbours with it.
pub(super) fn broken(cells: &[Vec<Option<f64>>]) -> Vec<(usize, usize)> {
    let (rows, columns) = (cells.len(), cells.first().map_or(0, Vec::len));
    let along = |line: usize, row_wise: bool| -> Vec<(usize, usize)> {
        let count = if row_wise { columns } else { rows };
        (0..count)
            .map(|i| if row_wise { (line, i) } else { (i, line) })
            .collect()
    };
    let lines_of = |row_wise: bool| -> Vec<Vec<(usize, usize)>> {
        let count = if row_wise { rows } else { columns };
        (0..count).map(|line| along(line, row_wise)).collect()
    };
    let (by_row, by_column) = (lines_of(true), lines_of(false));
    let signs = [rising(cells, &by_row), rising(cells, &by_column)];
    let mut left = cells.to_vec();
    let mut gone = Vec::new();
    loop {
        let suspects = |lines: &[Vec<(usize, usize)>], sign: f64| -> BTreeSet<(usize, usize)> {
            lines
                .iter()
                .flat_map(|line| suspects_of(&left, line, sign))
                .collect()
        };
        let in_rows = suspects(&by_row, signs[0]);
        let in_columns = suspects(&by_column, signs[1]);
        if in_rows.is_empty() && in_columns.is_empty() {
            gone.sort_unstable();
            return gone;
        }
        let in_both = &in_rows & &in_columns;
        let now = if in_both.is_empty() {
            &in_rows | &in_columns
        } else {
            in_both
        };
        for (row, column) in now {
            if left[row][column].take().is_some() {
                gone.push((row, column));
            }
        }
    }
}

/// 1 when most steps along the lines rise, else -1.
fn rising(cells: &[Vec<Option<f64>>], lines: &[Vec<(usize, usize)>]) -> f64 {
    let steps = lines.iter().flat_map(|line| {
        let values = present(cells, line);
        values
            .windows(2)
            .map(|pair| match pair[1].1 - pair[0].1 {
                step if step > 0.0 => 1i64,
                step if step < 0.0 => -1,
                _ => 0,
            })
            .collect::<Vec<_>>()
    });
    if steps.sum::<i64>() >= 0 { 1.0 } else { -1.0 }
}

type Placed = ((usize, usize), f64);

fn present(cells: &[Vec<Option<f64>>], line: &[(usize, usize)]) -> Vec<Placed> {
    line.iter()
        .filter_map(|&(row, column)| Some(((row, column), cells[row][column]?)))
        .collect()
}

/// The cells of a line that are not in every longest run in the direction of the sign; equal neighbours keep it.
fn suspects_of(
    cells: &[Vec<Option<f64>>],
    line: &[(usize, usize)],
    sign: f64,
) -> Vec<(usize, usize)> {
    let values = present(cells, line);
    let keeps = |a: usize, b: usize| sign * (values[b].1 - values[a].1) >= 0.0;
    if (1..values.len()).all(|i| keeps(i - 1, i)) {
        return Vec::new();
    }
    let mut up_to = vec![1usize; values.len()];
    for i in 0..values.len() {
        up_to[i] += (0..i)
            .filter(|&j| keeps(j, i))
            .map(|j| up_to[j])
            .max()
            .unwrap_or(0);
    }
    let mut from = vec![1usize; values.len()];
    for i in (0..values.len()).rev() {
        from[i] += (i + 1..values.len())
            .filter(|&j| keeps(i, j))
            .map(|j| from[j])
            .max()
            .unwrap_or(0);
    }
    let longest = up_to.iter().copied().max().unwrap_or(0);
    let on_one = |i: usize| up_to[i] + from[i] == longest + 1;
    let on_every = |i: usize| {
        on_one(i) && !(0..values.len()).any(|j| j != i && on_one(j) && up_to[j] == up_to[i])
    };
    (0..values.len())
        .filter(|&i| !on_every(i))
        .map(|i| values[i].0)
        .collect()
}
