//! A monotone cubic through the rows of a table, and its exact inverse.

/// A piecewise cubic that rises or falls wherever its nodes do.
///
/// Slopes at the nodes come from the polynomial through five nodes and are then limited by Fritsch and Carlson's rule
/// (SIAM J. Numer. Anal. 17 (1980) 238), so that no piece overshoots.
#[derive(Debug)]
pub(super) struct MonotoneCubic {
    pieces: Vec<Piece>,
}

/// `y = y0 + s (c1 + s (c2 + s c3))` with `s = (x - x0) / width` from 0 to 1.
#[derive(Debug, Clone, Copy)]
struct Piece {
    x0: f64,
    width: f64,
    y0: f64,
    c1: f64,
    c2: f64,
    c3: f64,
}

impl MonotoneCubic {
    /// Through nodes of rising `x`; at least three.
    pub(super) fn through(x: &[f64], y: &[f64]) -> Self {
        let slopes = limited_slopes(x, y);
        let pieces = (0..x.len() - 1)
            .map(|i| {
                let (width, rise) = (x[i + 1] - x[i], y[i + 1] - y[i]);
                let (start, end) = (slopes[i] * width, slopes[i + 1] * width);
                Piece {
                    x0: x[i],
                    width,
                    y0: y[i],
                    c1: start,
                    c2: 3.0 * rise - 2.0 * start - end,
                    c3: start + end - 2.0 * rise,
                }
            })
            .collect();
        MonotoneCubic { pieces }
    }

    /// The value at `x`, which lies in piece `index`.
    pub(super) fn value(&self, index: usize, x: f64) -> f64 {
        let piece = &self.pieces[index];
        piece.value((x - piece.x0) / piece.width)
    }

    /// Where the curve reaches `y`, which lies in the rising piece `index`; and the slope dx/dy there.
    pub(super) fn solve(&self, index: usize, y: f64) -> (f64, f64) {
        let piece = &self.pieces[index];
        let s = piece.solve(y);
        (piece.x0 + s * piece.width, piece.width / piece.slope(s))
    }
}

impl Piece {
    fn value(&self, s: f64) -> f64 {
        self.y0 + s * (self.c1 + s * (self.c2 + s * self.c3))
    }

    fn slope(&self, s: f64) -> f64 {
        self.c1 + s * (2.0 * self.c2 + s * 3.0 * self.c3)
    }

    /// Newton from the straight line. A piece of a table is nearly straight, so two steps mostly do.
    fn solve(&self, y: f64) -> f64 {
        let straight = (y - self.y0) / (self.c1 + self.c2 + self.c3);
        let first = straight - (self.value(straight) - y) / self.slope(straight);
        let second = first - (self.value(first) - y) / self.slope(first);
        // the next step would be of the order of this one squared
        if (second - first).abs() < 1e-7 && (-1e-6..=1.0 + 1e-6).contains(&second) {
            return second;
        }
        self.solve_bent(straight, y)
    }

    /// Newton kept in its bracket by halving, for a piece that bends hard.
    #[cold]
    fn solve_bent(&self, mut s: f64, y: f64) -> f64 {
        // a rounding error wider than the piece
        let (mut low, mut high) = (-1e-9, 1.0 + 1e-9);
        for _ in 0..60 {
            let miss = self.value(s) - y;
            if miss > 0.0 {
                high = s;
            } else {
                low = s;
            }
            let newton = s - miss / self.slope(s);
            if !(low..=high).contains(&newton) {
                s = 0.5 * (low + high);
                continue;
            }
            if (newton - s).abs() < 1e-7 {
                return newton;
            }
            s = newton;
        }
        s
    }
}

/// ln p against x = -1/T, with a guide from pressure to row.
#[derive(Debug)]
pub(super) struct PressureCurve {
    ln_p: Vec<f64>,
    cubic: MonotoneCubic,
    /// For each step of ln p from the first row, the row its lower end lies in. A step is no wider than a row.
    guide: Vec<u16>,
    steps_per_ln_p: f64,
}

/// A rounding error's width at the ends of the range, in ln p.
const END_SLACK: f64 = 1e-12;

impl PressureCurve {
    /// Through rows of rising `x` and pressure in Pa.
    pub(super) fn through(x: &[f64], pressure: &[f64]) -> Self {
        let ln_p = logarithms(pressure);
        let rises = ln_p.windows(2).map(|w| w[1] - w[0]);
        let narrowest = rises.fold(f64::MAX, f64::min);
        let (first, last) = (ln_p[0], ln_p[ln_p.len() - 1]);
        let steps = ((last - first) / narrowest).ceil();
        let steps_per_ln_p = steps / (last - first);
        let inner = &ln_p[1..ln_p.len() - 1];
        let guide = (0..=steps as usize)
            .map(|step| first + step as f64 / steps_per_ln_p)
            .map(|start| inner.partition_point(|&l| l <= start) as u16)
            .collect();
        PressureCurve {
            cubic: MonotoneCubic::through(x, &ln_p),
            ln_p,
            guide,
            steps_per_ln_p,
        }
    }

    /// Lowest and highest pressure, Pa.
    pub(super) fn ends(&self) -> (f64, f64) {
        (self.ln_p[0].exp(), self.ln_p[self.ln_p.len() - 1].exp())
    }

    /// Pa at `x`, which lies in this row.
    pub(super) fn pressure(&self, row: usize, x: f64) -> f64 {
        self.cubic.value(row, x).exp()
    }

    /// `x` at a pressure in Pa, and dx/d(ln p); nothing outside the rows.
    pub(super) fn solve(&self, pressure: f64) -> Option<(f64, f64)> {
        let ln_p = pressure.ln();
        Some(self.cubic.solve(self.row(ln_p)?, ln_p))
    }

    /// The row at or below a pressure.
    fn row(&self, ln_p: f64) -> Option<usize> {
        let last_row = self.ln_p.len() - 1;
        let (first, last) = (self.ln_p[0], self.ln_p[last_row]);
        if !(first - END_SLACK..=last + END_SLACK).contains(&ln_p) {
            return None;
        }
        // a conversion to usize takes what rounding left below zero as zero
        let step = ((ln_p - first) * self.steps_per_ln_p) as usize;
        let row = usize::from(self.guide[step.min(self.guide.len() - 1)]);
        let next = row + 1 < last_row && self.ln_p[row + 1] <= ln_p;
        Some(row + usize::from(next))
    }
}

/// Natural logarithms.
pub(super) fn logarithms(values: &[f64]) -> Vec<f64> {
    values.iter().map(|v| v.ln()).collect()
}

fn limited_slopes(x: &[f64], y: &[f64]) -> Vec<f64> {
    let n = x.len();
    let mut slope: Vec<f64> = (0..n).map(|i| slope_at(x, y, i)).collect();
    for i in 0..n - 1 {
        let secant = (y[i + 1] - y[i]) / (x[i + 1] - x[i]);
        if secant == 0.0 {
            (slope[i], slope[i + 1]) = (0.0, 0.0);
            continue;
        }
        // a slope against the piece's own direction marks a peak
        let a = (slope[i] / secant).max(0.0);
        let b = (slope[i + 1] / secant).max(0.0);
        let shrink = (3.0 / a.hypot(b)).min(1.0);
        slope[i] = shrink * a * secant;
        slope[i + 1] = shrink * b * secant;
    }
    slope
}

/// Slope at node `i` of the polynomial through the five nodes nearest to it (all, if there are fewer).
pub(super) fn slope_at(x: &[f64], y: &[f64], i: usize) -> f64 {
    let first = i.saturating_sub(2).min(x.len().saturating_sub(5));
    let nodes = first..(first + 5).min(x.len());
    // barycentric weights
    let weight = |j: usize| -> f64 {
        let others = nodes.clone().filter(|&k| k != j);
        1.0 / others.map(|k| x[j] - x[k]).product::<f64>()
    };
    let others = nodes.clone().filter(|&j| j != i);
    others
        .map(|j| weight(j) / weight(i) * (y[j] - y[i]) / (x[i] - x[j]))
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn passes_through_its_nodes_and_back() {
        let x = [0.0, 1.0, 2.5, 3.0, 5.0];
        let y = [1.0, 1.2, 4.0, 4.1, 9.0];
        let curve = MonotoneCubic::through(&x, &y);
        for i in 0..4 {
            assert!((curve.value(i, x[i]) - y[i]).abs() < 1e-14);
            assert!((curve.value(i, x[i + 1]) - y[i + 1]).abs() < 1e-14);
            for k in 0..=20 {
                let at = x[i] + (x[i + 1] - x[i]) * f64::from(k) / 20.0;
                let (back, slope) = curve.solve(i, curve.value(i, at));
                assert!((back - at).abs() < 1e-12 || slope > 1e3);
            }
        }
    }

    #[test]
    fn never_overshoots_a_step_or_a_peak() {
        let x: Vec<f64> = (0..8).map(f64::from).collect();
        let y = [0.0, 0.0, 0.1, 5.0, 5.1, 5.1, 3.0, 0.0];
        let curve = MonotoneCubic::through(&x, &y);
        for i in 0..7 {
            let (low, high) = (y[i].min(y[i + 1]), y[i].max(y[i + 1]));
            for k in 0..=50 {
                let value = curve.value(i, x[i] + f64::from(k) / 50.0);
                assert!(
                    value >= low - 1e-12 && value <= high + 1e-12,
                    "{value} in {i}"
                );
            }
        }
    }

    #[test]
    fn a_parabola_is_met_exactly() {
        let x = [1.0, 2.0, 2.5, 4.0];
        let y: Vec<f64> = x.iter().map(|x| x * x).collect();
        let curve = MonotoneCubic::through(&x, &y);
        assert!((curve.value(2, 3.1) - 9.61).abs() < 1e-12);
    }
}
