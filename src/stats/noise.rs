//! White noise plus exponentially correlated noise, filtered in one pass instead of by a dense matrix.
use nalgebra::DMatrix;

/// Noise that keeps its value for a while: covariance `sd^2 exp(-|dt| / time)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wander {
    /// Standard deviation at any instant.
    pub sd: f64,
    /// Time over which it forgets, in the unit of the times.
    pub time: f64,
}

/// Rows of several columns side by side: the regressors, then the response.
#[derive(Debug, Clone, PartialEq)]
pub struct Rows {
    width: usize,
    values: Vec<f64>,
}

impl Rows {
    /// Columns of equal length side by side.
    pub fn from_columns(columns: &[Vec<f64>]) -> Self {
        let width = columns.len();
        let count = columns.first().map_or(0, Vec::len);
        let mut values = Vec::with_capacity(width * count);
        for row in 0..count {
            values.extend(columns.iter().map(|column| column[row]));
        }
        Self { width, values }
    }

    /// Number of columns.
    pub fn width(&self) -> usize {
        self.width
    }

    /// The rows, one slice each.
    pub fn iter(&self) -> impl Iterator<Item = &[f64]> {
        self.values.chunks_exact(self.width)
    }
}

/// Products of all columns after the noise was made white, and the size of the noise.
#[derive(Debug, Clone, PartialEq)]
pub struct Products {
    /// `X' V^-1 X` over all columns of the rows.
    pub gram: DMatrix<f64>,
    /// `ln det V`.
    pub log_det: f64,
}

/// `X' V^-1 X` and `ln det V` for `V = diag(white) + sd^2 exp(-|dt| / time)`.
///
/// `times` in increasing order, `white` the variance of the white noise per row.
/// One state of a Kalman filter per column, so the work grows with the number of rows and not with its cube.
///
/// Source: Rasmussen & Williams, Gaussian Processes for Machine Learning, 2006, appendix B (the exponential covariance is a
/// first-order autoregression); the tests compare with a dense Cholesky decomposition.
pub fn products(times: &[f64], white: &[f64], wander: Wander, rows: &Rows) -> Products {
    let width = rows.width();
    let stationary = wander.sd * wander.sd;
    let mut state = vec![0.0; width];
    let mut innovation = vec![0.0; width];
    let mut gram = DMatrix::zeros(width, width);
    let mut variance = stationary;
    let mut log_det = 0.0;
    let mut before = times.first().copied().unwrap_or(0.0);
    for ((row, &time), &white) in rows.iter().zip(times).zip(white) {
        let kept = (-(time - before) / wander.time).exp();
        before = time;
        variance = kept * kept * variance + stationary * (1.0 - kept * kept);
        let total = variance + white;
        let gain = variance / total;
        for ((seen, state), innovation) in row.iter().zip(&mut state).zip(&mut innovation) {
            *state *= kept;
            *innovation = seen - *state;
            *state += gain * *innovation;
        }
        variance *= 1.0 - gain;
        log_det += total.ln();
        let inverse = 1.0 / total;
        for column in 0..width {
            let scaled = innovation[column] * inverse;
            for line in column..width {
                gram[(line, column)] += scaled * innovation[line];
            }
        }
    }
    gram.fill_upper_triangle_with_lower_triangle();
    Products { gram, log_det }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dense(times: &[f64], white: &[f64], wander: Wander, rows: &Rows) -> Products {
        let n = times.len();
        let covariance = DMatrix::from_fn(n, n, |i, j| {
            let shared = wander.sd.powi(2) * (-(times[i] - times[j]).abs() / wander.time).exp();
            if i == j { shared + white[i] } else { shared }
        });
        let x = DMatrix::from_row_iterator(n, rows.width(), rows.iter().flatten().copied());
        let cholesky = covariance.cholesky().unwrap();
        Products {
            gram: x.transpose() * cholesky.solve(&x),
            log_det: 2.0 * cholesky.l().diagonal().iter().map(|d| d.ln()).sum::<f64>(),
        }
    }

    #[test]
    fn one_pass_equals_the_dense_cholesky() {
        let times: Vec<f64> = (0..90)
            .map(|i| 0.25 * i as f64 + if i > 40 { 3.0 } else { 0.0 })
            .collect();
        let white: Vec<f64> = (0..90)
            .map(|i| 1e-4 * (1.0 + 0.5 * (i as f64).sin()))
            .collect();
        let columns = vec![
            vec![1.0; 90],
            times.clone(),
            times.iter().map(|t| (t / 3.0).sin()).collect(),
            times.iter().map(|t| (-t / 2.0).exp()).collect(),
        ];
        let rows = Rows::from_columns(&columns);
        for sd in [0.0, 1e-3, 0.02, 0.5] {
            for time in [0.05, 0.25, 1.0, 4.0, 72.0] {
                let wander = Wander { sd, time };
                let quick = products(&times, &white, wander, &rows);
                let slow = dense(&times, &white, wander, &rows);
                assert!(
                    (quick.log_det / slow.log_det - 1.0).abs() < 1e-9,
                    "ln det at {wander:?}"
                );
                for (index, (a, b)) in quick.gram.iter().zip(slow.gram.iter()).enumerate() {
                    let scale = (slow.gram[(index / 4, index / 4)]
                        * slow.gram[(index % 4, index % 4)])
                        .sqrt();
                    assert!(
                        (a - b).abs() < 1e-9 * scale,
                        "product {index} at {wander:?}: {a} {b}"
                    );
                }
            }
        }
    }
}
