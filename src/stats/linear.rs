//! Least squares: ordinary, and with terms of which a standard deviation is known beforehand.
use nalgebra::{DMatrix, DVector};

use super::mixture::{normal_above, normal_cdf};
use super::noise::Products;

/// An ordinary least-squares fit.
#[derive(Debug, Clone, PartialEq)]
pub struct Ordinary {
    /// One coefficient per column.
    pub coefficients: Vec<f64>,
    /// Their standard errors.
    pub standard_errors: Vec<f64>,
    /// Standard deviation of the residuals, with the degrees of freedom taken off.
    pub residual_sd: f64,
}

/// Ordinary least squares by QR.
///
/// `columns` are the regressors (put a column of ones in for an intercept), `response` the measured values; any units.
/// `beta = R^-1 Q' y`, `s^2 = |y - X beta|^2 / (n - k)`, standard errors `s sqrt(diag((R' R)^-1))`.
/// Columns are scaled to length one first, which keeps nearly parallel columns of unlike size apart.
/// `None` when there are no more values than columns or when columns are dependent.
///
/// Source: Golub & Van Loan, Matrix Computations, section 5.3; checked against certified values of NIST StRD.
///
/// ```
/// use lineproof::stats::linear::ordinary;
/// let fit = ordinary(&[vec![1.0; 4], vec![0.0, 1.0, 2.0, 3.0]], &[1.0, 3.0, 5.0, 7.0]).unwrap();
/// assert!((fit.coefficients[1] - 2.0).abs() < 1e-12);
/// ```
pub fn ordinary(columns: &[Vec<f64>], response: &[f64]) -> Option<Ordinary> {
    let (n, k) = (response.len(), columns.len());
    if k == 0 || n <= k || columns.iter().any(|column| column.len() != n) {
        return None;
    }
    let lengths: Vec<f64> = columns
        .iter()
        .map(|c| c.iter().map(|v| v * v).sum::<f64>().sqrt())
        .collect();
    if lengths
        .iter()
        .any(|length| !(length.is_finite() && *length > 0.0))
    {
        return None;
    }
    let x = DMatrix::from_fn(n, k, |row, column| columns[column][row] / lengths[column]);
    let y = DVector::from_column_slice(response);
    let qr = x.clone().qr();
    let r = qr.r();
    let mut beta = r.solve_upper_triangular(&(qr.q().transpose() * &y))?;
    // one step of refinement wins back digits lost to the conditioning of the columns
    let left = &y - &x * &beta;
    beta += r.solve_upper_triangular(&(qr.q().transpose() * left))?;
    let residual_sd = ((&y - &x * &beta).norm_squared() / (n - k) as f64).sqrt();
    let inverse = r.solve_upper_triangular(&DMatrix::identity(k, k))?;
    Some(Ordinary {
        coefficients: (0..k).map(|j| beta[j] / lengths[j]).collect(),
        standard_errors: (0..k)
            .map(|j| residual_sd * inverse.row(j).norm() / lengths[j])
            .collect(),
        residual_sd,
    })
}

/// A fit with known noise: coefficients, their covariance, and how well the noise and the terms explain the response.
#[derive(Debug, Clone, PartialEq)]
pub struct Solved {
    /// One coefficient per regressor.
    pub coefficients: DVector<f64>,
    /// Their covariance.
    pub covariance: DMatrix<f64>,
    /// Logarithm of the probability of the response with all coefficients integrated out, up to a constant that depends
    /// only on the number of rows and of free terms.
    pub log_evidence: f64,
    /// Weighted sum of squares that is left, known terms included; about the number of rows when the noise is right.
    pub chi_squared: f64,
}

impl Solved {
    /// Cuts one coefficient off outside a range, and gives the logarithm of the probability it had inside.
    ///
    /// Mean and covariance of all coefficients become those of the cut distribution; the others stay normal given the cut
    /// one, so their joint distribution is replaced by the normal of the same mean and covariance.
    /// `None` when hardly anything was inside.
    ///
    /// Source: Johnson, Kotz & Balakrishnan, Continuous Univariate Distributions vol. 1, section 10.1 (moments of a
    /// doubly truncated normal).
    pub fn truncate(&mut self, term: usize, range: (f64, f64)) -> Option<f64> {
        let (mean, variance) = (self.coefficients[term], self.covariance[(term, term)]);
        let sd = variance.sqrt();
        let (low, high) = ((range.0 - mean) / sd, (range.1 - mean) / sd);
        let inside = if low > 0.0 {
            normal_above(low, 0.0, 1.0) - normal_above(high, 0.0, 1.0)
        } else {
            normal_cdf(high, 0.0, 1.0) - normal_cdf(low, 0.0, 1.0)
        };
        if inside < LEAST_INSIDE {
            return None;
        }
        let density = |z: f64| (-0.5 * z * z).exp() / std::f64::consts::TAU.sqrt();
        let moment = |z: f64| if z.is_finite() { z * density(z) } else { 0.0 };
        let shift = (density(low) - density(high)) / inside;
        let kept = 1.0 + (moment(low) - moment(high)) / inside - shift * shift;
        let along: DVector<f64> = self.covariance.column(term) / sd;
        self.coefficients += &along * shift;
        self.covariance -= &along * along.transpose() * (1.0 - kept);
        Some(inside.ln())
    }
}

/// Below this the moments of a cut normal lose their digits, and the point of the grid no longer counts.
const LEAST_INSIDE: f64 = 1e-12;

/// Generalised least squares with Gaussian terms of known standard deviation.
///
/// `products` hold the regressors and, as the last column, the response; `precision` is one over the variance known
/// beforehand for each term, 0 for a free one.
/// `A = X' V^-1 X + diag(precision)`, `beta = A^-1 X' V^-1 y`, and the exact Gaussian integral
/// `-1/2 (ln det V + ln det A - sum ln precision + y' V^-1 y - beta' X' V^-1 y)`.
/// `None` when the free terms cannot be told apart.
///
/// Source: Gelman et al., Bayesian Data Analysis, 3rd ed., section 14.8 (linear regression with informative terms).
pub fn with_known_terms(products: &Products, precision: &[f64]) -> Option<Solved> {
    let k = precision.len();
    let mut matrix = products.gram.view((0, 0), (k, k)).into_owned();
    let right = products.gram.view((0, k), (k, 1)).into_owned();
    for (index, known) in precision.iter().enumerate() {
        matrix[(index, index)] += known;
    }
    let cholesky = matrix.cholesky()?;
    let coefficients: DVector<f64> = cholesky.solve(&right).column(0).into_owned();
    let explained = coefficients.dot(&right.column(0));
    let log_det_matrix = 2.0
        * cholesky
            .l_dirty()
            .diagonal()
            .iter()
            .map(|d| d.ln())
            .sum::<f64>();
    let log_precision: f64 = precision.iter().filter(|p| **p > 0.0).map(|p| p.ln()).sum();
    let left_over = products.gram[(k, k)] - explained;
    Some(Solved {
        covariance: cholesky.inverse(),
        coefficients,
        chi_squared: left_over,
        log_evidence: -0.5 * (products.log_det + log_det_matrix - log_precision + left_over),
    })
}

/// One coefficient of a fit with known noise, without the others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SolvedOne {
    /// The coefficient.
    pub mean: f64,
    /// Its standard deviation.
    pub sd: f64,
    /// As in [`Solved`].
    pub log_evidence: f64,
    /// As in [`Solved`].
    pub chi_squared: f64,
}

/// [`with_known_terms`] for one coefficient only, as a grid asks for it thousands of times: a third of the work.
///
/// `product(i, j)` over the columns, `order` the columns with the wanted one last but one and the response last, `precision`
/// for every column of `order` but the response; `factor` is a buffer. The last rows of the Cholesky factor are the answer.
pub fn one_with_known_terms(
    product: impl Fn(usize, usize) -> f64,
    log_det: f64,
    order: &[usize],
    precision: &[f64],
    factor: &mut Vec<f64>,
) -> Option<SolvedOne> {
    let size = order.len();
    let k = precision.len();
    factor.clear();
    factor.resize(size * size, 0.0);
    let mut log_det_matrix = 0.0;
    for i in 0..size {
        let (done, line) = factor.split_at_mut(i * size);
        for j in 0..i {
            let above = &done[j * size..][..=j];
            let known: f64 = above[..j].iter().zip(&line[..j]).map(|(a, b)| a * b).sum();
            // the diagonal holds its reciprocal
            line[j] = (product(order[i], order[j]) - known) * above[j];
        }
        let known: f64 = line[..i].iter().map(|v| v * v).sum();
        let pivot = product(order[i], order[i]) + precision.get(i).unwrap_or(&0.0) - known;
        if i == k {
            let left_over = pivot;
            let scale = done[(k - 1) * size + k - 1];
            let log_precision: f64 = precision.iter().filter(|p| **p > 0.0).map(|p| p.ln()).sum();
            return Some(SolvedOne {
                mean: line[k - 1] * scale,
                sd: scale,
                chi_squared: left_over,
                log_evidence: -0.5 * (log_det + log_det_matrix - log_precision + left_over),
            });
        }
        if pivot.is_nan() || pivot <= 0.0 {
            return None;
        }
        log_det_matrix += pivot.ln();
        line[i] = pivot.sqrt().recip();
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stats::noise::{Rows, Wander, products};

    #[test]
    fn one_coefficient_is_that_of_the_whole_fit() {
        let times: Vec<f64> = (0..40).map(f64::from).collect();
        let wave: Vec<f64> = times.iter().map(|t| (t * 0.7).sin()).collect();
        let y: Vec<f64> = times.iter().map(|t| 0.3 + (t * 0.9).cos()).collect();
        let wander = Wander { sd: 0.1, time: 2.0 };
        let rows = Rows::from_columns(&[vec![1.0; 40], times.clone(), wave, y]);
        let products = products(&times, &[0.04; 40], wander, &rows);
        let whole = with_known_terms(&products, &[0.0, 0.0, 4.0]).unwrap();
        let one = one_with_known_terms(
            |i, j| products.gram[(i, j)],
            products.log_det,
            &[0, 2, 1, 3],
            &[0.0, 4.0, 0.0],
            &mut Vec::new(),
        )
        .unwrap();
        assert!((one.mean / whole.coefficients[1] - 1.0).abs() < 1e-12);
        assert!((one.sd / whole.covariance[(1, 1)].sqrt() - 1.0).abs() < 1e-12);
        assert!((one.log_evidence / whole.log_evidence - 1.0).abs() < 1e-12);
        assert!((one.chi_squared / whole.chi_squared - 1.0).abs() < 1e-12);
    }

    #[test]
    fn fewer_values_than_columns_is_no_fit() {
        assert!(ordinary(&[vec![1.0, 1.0], vec![0.0, 1.0]], &[1.0, 2.0]).is_none());
        assert!(ordinary(&[vec![1.0; 3], vec![0.0; 3]], &[1.0, 2.0, 3.0]).is_none());
    }

    #[test]
    fn a_known_term_is_the_same_as_a_wider_covariance() {
        // integrating b ~ N(0, s^2) over y = a + b x + e equals free a under V + s^2 x x'
        let times: Vec<f64> = (0..12).map(f64::from).collect();
        let x: Vec<f64> = times.iter().map(|t| (t * 0.7).sin()).collect();
        let y: Vec<f64> = times.iter().map(|t| 0.3 + (t * 0.9).cos()).collect();
        let white = vec![0.04; 12];
        let wander = Wander { sd: 0.1, time: 2.0 };
        let rows = Rows::from_columns(&[vec![1.0; 12], x.clone(), y.clone()]);
        let solved =
            with_known_terms(&products(&times, &white, wander, &rows), &[0.0, 1.0 / 0.25]).unwrap();

        let covariance = DMatrix::from_fn(12, 12, |i, j| {
            let shared = 0.01 * (-(times[i] - times[j]).abs() / 2.0).exp() + 0.25 * x[i] * x[j];
            if i == j { shared + 0.04 } else { shared }
        });
        let cholesky = covariance.cholesky().unwrap();
        let ones = DVector::from_element(12, 1.0);
        let y = DVector::from_vec(y);
        let weight = ones.dot(&cholesky.solve(&ones));
        let mean = ones.dot(&cholesky.solve(&y)) / weight;
        let left_over = y.dot(&cholesky.solve(&y)) - mean * mean * weight;
        let log_det = 2.0 * cholesky.l().diagonal().iter().map(|d| d.ln()).sum::<f64>();
        let expected = -0.5 * (log_det + weight.ln() + left_over);
        assert!((solved.coefficients[0] - mean).abs() < 1e-12);
        assert!((solved.covariance[(0, 0)] - 1.0 / weight).abs() < 1e-12);
        assert!((solved.log_evidence - expected).abs() < 1e-10);
    }
}
