//! A bicubic through the nodes of a grid, several properties at once.

use super::curve::slope_at;

/// A bicubic Hermite surface. Slopes at the nodes are those of the polynomials through five nodes each way.
///
/// Rows stand at rising `u`, columns at rising `v`; a row may end before the last column, and then so do all rows
/// below it.
#[derive(Debug)]
pub(super) struct Bicubic<const N: usize> {
    u: Vec<f64>,
    v: Vec<f64>,
    /// How many columns each row has.
    reach: Vec<usize>,
    /// Row by row, as many for each row as there are columns; what a row lacks is not a number.
    nodes: Vec<Node<N>>,
}

/// The values of all properties with their slopes; side by side, so that one weight serves them all at once.
#[derive(Debug, Clone, Copy)]
struct Node<const N: usize> {
    value: [f64; N],
    by_u: [f64; N],
    by_v: [f64; N],
    by_both: [f64; N],
}

impl<const N: usize> Node<N> {
    const MISSING: Self = Node {
        value: [f64::NAN; N],
        by_u: [f64::NAN; N],
        by_v: [f64::NAN; N],
        by_both: [f64::NAN; N],
    };
}

impl<const N: usize> Bicubic<N> {
    /// Through `values`, for each row as many as it reaches.
    pub(super) fn through(u: Vec<f64>, v: Vec<f64>, values: &[Vec<[f64; N]>]) -> Self {
        let reach: Vec<usize> = values.iter().map(Vec::len).collect();
        let mut nodes = vec![Node::MISSING; u.len() * v.len()];
        for property in 0..N {
            for (row, cells) in values.iter().enumerate() {
                for (column, cell) in cells.iter().enumerate() {
                    nodes[row * v.len() + column].value[property] = cell[property];
                }
            }
            let mut grid = Slopes {
                nodes: &mut nodes,
                columns: v.len(),
                property,
            };
            grid.along_rows(&v, &reach);
            grid.along_columns(&u, &reach, |node| &mut node.value, |node| &mut node.by_u);
            grid.along_columns(&u, &reach, |node| &mut node.by_v, |node| &mut node.by_both);
        }
        Bicubic { u, v, reach, nodes }
    }

    /// How many rows.
    pub(super) fn rows(&self) -> usize {
        self.u.len()
    }

    /// Whether the piece between this row and column and the next ones is there.
    pub(super) fn holds(&self, row: usize, column: usize) -> bool {
        row + 1 < self.u.len() && column + 1 < self.reach[row]
    }

    /// The values at `u` and `v`, which lie in the piece that begins at this row and column.
    pub(super) fn value(&self, row: usize, column: usize, u: f64, v: f64) -> [f64; N] {
        let across = Weights::of(self.u[row], self.u[row + 1], u);
        let along = Weights::of(self.v[column], self.v[column + 1], v);
        let first = row * self.v.len() + column;
        let corners = [
            first,
            first + 1,
            first + self.v.len(),
            first + self.v.len() + 1,
        ];
        let mut sum = [0.0; N];
        for (corner, at) in corners.into_iter().enumerate() {
            let (wu, wv) = (across.end(corner / 2), along.end(corner % 2));
            let weights = [wu.0 * wv.0, wu.1 * wv.0, wu.0 * wv.1, wu.1 * wv.1];
            let node = &self.nodes[at];
            for (k, sum) in sum.iter_mut().enumerate() {
                *sum += weights[0] * node.value[k]
                    + weights[1] * node.by_u[k]
                    + weights[2] * node.by_v[k]
                    + weights[3] * node.by_both[k];
            }
        }
        sum
    }
}

/// Weights of value and slope at both ends of a cubic Hermite piece.
struct Weights {
    values: [f64; 2],
    slopes: [f64; 2],
}

impl Weights {
    fn of(start: f64, end: f64, at: f64) -> Weights {
        let width = end - start;
        let s = (at - start) / width;
        let rest = 1.0 - s;
        let at_end = s * s * (3.0 - 2.0 * s);
        Weights {
            values: [1.0 - at_end, at_end],
            slopes: [width * s * rest * rest, -width * s * s * rest],
        }
    }

    fn end(&self, which: usize) -> (f64, f64) {
        (self.values[which], self.slopes[which])
    }
}

/// Fills in the slopes of one property.
struct Slopes<'a, const N: usize> {
    nodes: &'a mut [Node<N>],
    columns: usize,
    property: usize,
}

impl<const N: usize> Slopes<'_, N> {
    fn node(&mut self, row: usize, column: usize) -> &mut Node<N> {
        &mut self.nodes[row * self.columns + column]
    }

    fn along_rows(&mut self, v: &[f64], reach: &[usize]) {
        let k = self.property;
        for (row, &reach) in reach.iter().enumerate() {
            let values: Vec<f64> = (0..reach).map(|j| self.node(row, j).value[k]).collect();
            for column in 0..reach {
                self.node(row, column).by_v[k] = slope_at(&v[..reach], &values, column);
            }
        }
    }

    fn along_columns(
        &mut self,
        u: &[f64],
        reach: &[usize],
        of: impl Fn(&mut Node<N>) -> &mut [f64; N],
        into: impl Fn(&mut Node<N>) -> &mut [f64; N],
    ) {
        let k = self.property;
        for column in 0..self.columns {
            let first = reach.partition_point(|&r| r <= column);
            let values: Vec<f64> = (first..u.len())
                .map(|row| of(self.node(row, column))[k])
                .collect();
            for i in 0..values.len() {
                into(self.node(first + i, column))[k] = slope_at(&u[first..], &values, i);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn surface(u: f64, v: f64) -> [f64; 2] {
        [1.0 + u * u * v - v * v, (0.3 * u).exp() + 0.1 * v]
    }

    fn grid() -> Bicubic<2> {
        let u: Vec<f64> = (0..8).map(f64::from).collect();
        let v = vec![0.0, 1.0, 2.0, 4.0, 7.0, 9.0];
        let values: Vec<Vec<_>> = (0..8usize)
            .map(|row| {
                let reach = (row + 3).min(v.len());
                v[..reach].iter().map(|v| surface(row as f64, *v)).collect()
            })
            .collect();
        Bicubic::through(u, v, &values)
    }

    #[test]
    fn a_polynomial_of_low_degree_is_met_exactly() {
        let grid = grid();
        for (row, column, u, v) in [(0, 0, 0.4, 0.7), (3, 4, 3.9, 8.0), (6, 2, 6.5, 3.0)] {
            let [polynomial, exponential] = grid.value(row, column, u, v);
            let [expected, about] = surface(u, v);
            assert!(
                (polynomial - expected).abs() < 1e-11,
                "{polynomial} {expected}"
            );
            // one-sided slopes at the last row
            assert!((exponential - about).abs() < 2e-3);
        }
    }

    #[test]
    fn a_piece_needs_its_four_corners() {
        let grid = grid();
        assert!(grid.holds(0, 1) && !grid.holds(0, 2));
        assert!(grid.holds(1, 2) && !grid.holds(1, 3));
        assert!(grid.holds(6, 4) && !grid.holds(6, 5) && !grid.holds(7, 0));
    }
}
