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
    pub fn from_columns<C: AsRef<[f64]>>(columns: &[C]) -> Self {
        let width = columns.len();
        let count = columns.first().map_or(0, |column| column.as_ref().len());
        let mut values = Vec::with_capacity(width * count);
        for row in 0..count {
            values.extend(columns.iter().map(|column| column.as_ref()[row]));
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
    // column by column, the lower triangle only
    let mut gram = vec![0.0; width * width];
    let mut variance = stationary;
    let mut log_det = LogProduct::default();
    let kept = kept(times, wander.time);
    for ((row, &kept), &white) in rows.iter().zip(&kept).zip(white) {
        variance = kept * kept * variance + stationary * (1.0 - kept * kept);
        let total = variance + white;
        let gain = variance / total;
        for ((seen, state), innovation) in row.iter().zip(&mut state).zip(&mut innovation) {
            *state *= kept;
            *innovation = seen - *state;
            *state += gain * *innovation;
        }
        variance *= 1.0 - gain;
        log_det.multiply(total);
        for (column, line) in gram.chunks_exact_mut(width).enumerate() {
            let scaled = innovation[column] / total;
            for (sum, innovation) in line[column..].iter_mut().zip(&innovation[column..]) {
                *sum += scaled * innovation;
            }
        }
    }
    let mut gram = DMatrix::from_vec(width, width, gram);
    gram.fill_upper_triangle_with_lower_triangle();
    let log_det = log_det.ln();
    Products { gram, log_det }
}

/// What is left at each time of the wander at the one before.
fn kept(times: &[f64], forgets_in: f64) -> Vec<f64> {
    let mut before = times.first().copied().unwrap_or(0.0);
    let since = times
        .iter()
        .map(|&time| time - std::mem::replace(&mut before, time));
    since.map(|since| (-since / forgets_in).exp()).collect()
}

/// A product too long for one number; its logarithm is taken once in many factors.
#[derive(Debug, Clone, Copy, PartialEq)]
struct LogProduct {
    log: f64,
    product: f64,
}

impl Default for LogProduct {
    fn default() -> Self {
        Self {
            log: 0.0,
            product: 1.0,
        }
    }
}

impl LogProduct {
    fn multiply(&mut self, factor: f64) {
        self.product *= factor;
        // one more factor of this size still fits
        if !(1e-150..1e150).contains(&self.product) {
            self.log += self.product.ln();
            self.product = 1.0;
        }
    }

    fn ln(self) -> f64 {
        self.log + self.product.ln()
    }
}

/// Columns that several regressions share, and those that each has for itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Shared {
    common: usize,
    own: usize,
    regressions: usize,
    rows: Rows,
}

impl Shared {
    /// Shared columns, then the own columns of each regression: as many in each.
    pub fn new(common: &[&[f64]], own: &[Vec<&[f64]>]) -> Self {
        let each = own.first().map_or(0, Vec::len);
        // the same column of all regressions side by side
        let own_columns = (0..each).flat_map(|column| own.iter().map(move |own| own[column]));
        let columns: Vec<&[f64]> = common.iter().copied().chain(own_columns).collect();
        Self {
            common: common.len(),
            own: each,
            regressions: own.len(),
            rows: Rows::from_columns(&columns),
        }
    }
}

/// Rows that are added to the products together.
const TOGETHER: usize = 4;

/// The products of [`Shared`] columns; the buffers are used again for the next noise.
#[derive(Debug, Clone, Default)]
pub struct SharedProducts {
    common: usize,
    own: usize,
    regressions: usize,
    width: usize,
    /// Upper triangle over the shared columns, going on over all own ones.
    gram: Vec<f64>,
    /// Lower triangle over the own columns, one number for each regression.
    own_gram: Vec<f64>,
    state: Vec<f64>,
    white: Vec<f64>,
    log_det: LogProduct,
    /// See [`kept`], for the times and the memory of the noise before: most follow one with the same.
    kept: Vec<f64>,
    times: Vec<f64>,
    forgets_in: f64,
}

impl SharedProducts {
    /// The same as [`products`] for every regression at once: the filter runs once over all columns.
    pub fn fill(&mut self, times: &[f64], white: &[f64], wander: Wander, shared: &Shared) {
        self.start(shared);
        if self.forgets_in != wander.time || self.times != times {
            self.kept = kept(times, wander.time);
            self.times = times.to_vec();
            self.forgets_in = wander.time;
        }
        let stationary = wander.sd * wander.sd;
        let mut variance = stationary;
        let mut waiting = 0;
        for (place, (row, &white)) in shared.rows.iter().zip(white).enumerate() {
            let kept = self.kept[place];
            variance = kept * kept * variance + stationary * (1.0 - kept * kept);
            let total = variance + white;
            let gain = variance / total;
            variance *= 1.0 - gain;
            self.log_det.multiply(total);
            self.whiten(row, waiting, [kept, gain, total.sqrt().recip()]);
            waiting += 1;
            if waiting == TOGETHER {
                self.add();
                waiting = 0;
            }
        }
        if waiting > 0 {
            self.white[waiting * self.width..].fill(0.0);
            self.add();
        }
    }

    fn start(&mut self, shared: &Shared) {
        (self.common, self.own) = (shared.common, shared.own);
        self.regressions = shared.regressions;
        self.width = shared.rows.width();
        let own_pairs = self.own * self.own * self.regressions;
        for (buffer, length) in [
            (&mut self.gram, self.common * self.width),
            (&mut self.own_gram, own_pairs),
            (&mut self.state, self.width),
            (&mut self.white, TOGETHER * self.width),
        ] {
            buffer.clear();
            buffer.resize(length, 0.0);
        }
        self.log_det = LogProduct::default();
    }

    fn whiten(&mut self, row: &[f64], place: usize, [kept, gain, scale]: [f64; 3]) {
        let into = &mut self.white[place * self.width..][..self.width];
        for ((seen, state), white) in row.iter().zip(&mut self.state).zip(into) {
            let expected = kept * *state;
            let innovation = seen - expected;
            *state = expected + gain * innovation;
            *white = innovation * scale;
        }
    }

    /// Adds the waiting rows to the products.
    fn add(&mut self) {
        let width = self.width;
        let (first, rest) = self.white.split_at(width);
        let (second, rest) = rest.split_at(width);
        let (third, fourth) = rest.split_at(width);
        let rows = [first, second, third, fourth];
        for (column, line) in self.gram.chunks_exact_mut(width).enumerate() {
            let by = rows.map(|row| row[column]);
            let [a, b, c, d] = rows.map(|row| &row[column..]);
            for ((((sum, a), b), c), d) in line[column..].iter_mut().zip(a).zip(b).zip(c).zip(d) {
                *sum += by[0] * a + by[1] * b + by[2] * c + by[3] * d;
            }
        }
        for i in 0..self.own {
            for j in 0..=i {
                let own = |column: usize| {
                    let from = self.common + column * self.regressions;
                    rows.map(|row| &row[from..][..self.regressions])
                };
                let (left, right) = (own(i), own(j));
                let place = (i * self.own + j) * self.regressions;
                let sums = &mut self.own_gram[place..][..self.regressions];
                for (regression, sum) in sums.iter_mut().enumerate() {
                    let product = |row: usize| left[row][regression] * right[row][regression];
                    *sum += product(0) + product(1) + product(2) + product(3);
                }
            }
        }
    }

    /// `ln det V`.
    pub fn log_det(&self) -> f64 {
        self.log_det.ln()
    }

    /// The product of two columns of one regression: the shared ones come first, then its own.
    pub fn at(&self, regression: usize, a: usize, b: usize) -> f64 {
        let (low, high) = (a.min(b), a.max(b));
        if high < self.common {
            self.gram[low * self.width + high]
        } else if low < self.common {
            let own = high - self.common;
            let column = self.common + own * self.regressions + regression;
            self.gram[low * self.width + column]
        } else {
            let (high, low) = (high - self.common, low - self.common);
            self.own_gram[(high * self.own + low) * self.regressions + regression]
        }
    }
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

    #[test]
    fn shared_columns_give_the_products_of_each_regression() {
        let times: Vec<f64> = (0..91).map(|i| 0.3 * f64::from(i)).collect();
        let white: Vec<f64> = (0..91).map(|i| 1e-3 * (1.0 + f64::from(i % 4))).collect();
        let wave = |by: f64| times.iter().map(|t| (t * by).sin()).collect::<Vec<f64>>();
        let (ones, own) = (
            vec![1.0; 91],
            [[0.3, 0.9], [1.4, 0.1], [2.2, 0.7]].map(|g| g.map(wave)),
        );
        let groups: Vec<Vec<&[f64]>> = own
            .iter()
            .map(|group| group.iter().map(Vec::as_slice).collect())
            .collect();
        let shared = Shared::new(&[&ones, &times], &groups);
        let mut together = SharedProducts::default();
        for wander in [Wander { sd: 0.1, time: 2.0 }, Wander { sd: 0.0, time: 1.0 }] {
            together.fill(&times, &white, wander, &shared);
            for (regression, group) in groups.iter().enumerate() {
                let alone = products(
                    &times,
                    &white,
                    wander,
                    &Rows::from_columns(&[ones.as_slice(), &times, group[0], group[1]]),
                );
                assert!((together.log_det() / alone.log_det - 1.0).abs() < 1e-12);
                for i in 0..4 {
                    for j in 0..4 {
                        let scale = (alone.gram[(i, i)] * alone.gram[(j, j)]).sqrt();
                        let off = together.at(regression, i, j) - alone.gram[(i, j)];
                        assert!(off.abs() < 1e-12 * scale, "{regression} {i} {j}: {off}");
                    }
                }
            }
        }
    }
}
