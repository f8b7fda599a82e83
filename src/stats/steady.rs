//! Where do several channels logged together stand still best, and does one of them swing with a period?

mod swing;

pub use swing::{Swing, swing};

use statrs::distribution::{ContinuousCDF, StudentsT};
use std::ops::Range;

use super::robust::median;

/// What counts as standing still for one channel, in its own unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// How far it may move over [`Search::over`], or over the whole window where that is longer.
    pub change: f64,
    /// Standard deviation about its line.
    pub scatter: f64,
}

/// One channel: a value for each time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Series<'a> {
    /// The values.
    pub values: &'a [f64],
    /// Its limits.
    pub limits: Limits,
}

/// How long a window is at least, and the time that the limits of change belong to; in the unit of the times.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Search {
    /// The shortest window.
    pub shortest: f64,
    /// The time that the limits of change belong to.
    pub over: f64,
}

/// The steadiest window.
#[derive(Debug, Clone, PartialEq)]
pub struct Window {
    /// Its rows.
    pub rows: Range<usize>,
    /// The largest ratio of any channel; at most 1 where everything stands still.
    pub ratio: f64,
    /// Each channel in it, in the order given.
    pub fits: Vec<Fit>,
}

/// A channel inside a window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fit {
    /// Mean.
    pub mean: f64,
    /// Standard error of the mean, serial correlation included.
    pub mean_error: f64,
    /// Slope of the least-squares line, per unit of time.
    pub slope: f64,
    /// Standard error of the slope, serial correlation included.
    pub slope_error: f64,
    /// Standard deviation about the line.
    pub scatter: f64,
    /// How far it may have moved, over its limit.
    pub change_ratio: f64,
    /// The scatter over its limit.
    pub scatter_ratio: f64,
}

/// Fewest rows that make a window.
const FEWEST_ROWS: usize = 10;
/// Each window is tried at this many starts over its own length.
const STARTS: f64 = 60.0;
/// Windows whose ratios differ by less count as equally steady, and the longest of them is taken.
const ALIKE: f64 = 0.2;

/// Runs of rows without a gap; a gap is a step above ten usual ones and above a quarter of the shortest window.
pub fn stretches(time: &[f64], shortest: f64) -> Vec<Range<usize>> {
    let steps: Vec<f64> = time.windows(2).map(|w| w[1] - w[0]).collect();
    let widest = (10.0 * median(&steps).unwrap_or(0.0)).max(0.25 * shortest);
    let mut found = Vec::new();
    let mut from = 0;
    for (row, step) in steps.iter().enumerate() {
        if *step > widest {
            found.push(from..row + 1);
            from = row + 1;
        }
    }
    if from < time.len() {
        found.push(from..time.len());
    }
    found
}

/// The window in which the channel that moves most moves least.
///
/// `time` rises, one entry for each value; every value is finite. For each window of at least [`Search::shortest`] (lengths in
/// steps of sqrt 2, starts every sixtieth of the length, none across a gap) and each channel a least-squares line
/// `y = a + b t` gives two ratios: `(|b| + (3.5 + 10/(n - 2)) s_b) max(length, over) / change` and the standard deviation about the line
/// over its limit. A window counts by its largest ratio; of windows within 0.2 of the smallest the longest is taken, since it
/// gives the better mean. `s_b` is the usual standard error times `sqrt(g)`, with `g` the median over the log of the
/// variance of block means against that of independent rows. Prefix sums: O(n) for each length and channel.
/// The standard error of the mean comes from block means, see [`mean_error`].
/// `None` when no stretch without a gap is long enough or has ten rows.
///
/// Source: this program's own choice; a moving window over several channels and its mean as the reading is the method of Kim,
/// Yoon, Payne & Domanski, NIST SP 1087 (2008), of which the abstract was read.
///
/// ```
/// use lineproof::stats::steady::{Limits, Search, Series, steadiest};
/// let minutes: Vec<f64> = (0..60).map(f64::from).collect();
/// let falls_then_stands: Vec<f64> = minutes.iter().map(|t| 50.0 + (20.0 - t).max(0.0)).collect();
/// let limits = Limits { change: 1.0, scatter: 1.0 };
/// let found = steadiest(
///     &minutes,
///     &[Series { values: &falls_then_stands, limits }],
///     Search { shortest: 5.0, over: 10.0 },
/// )
/// .unwrap();
/// assert!(found.rows.start >= 18 && found.ratio <= 0.2);
/// ```
pub fn steadiest(time: &[f64], series: &[Series], search: Search) -> Option<Window> {
    let stretches = stretches(time, search.shortest);
    let windows = candidates(time, &stretches, search.shortest);
    let mut ratios = vec![0.0_f64; windows.len()];
    for channel in series {
        let sums = Sums::of(time, channel.values);
        let more = correlation(time, channel.values, &stretches, search.shortest);
        for (window, ratio) in windows.iter().zip(&mut ratios) {
            let line = sums.line(window, more);
            let length = time[window.end - 1] - time[window.start];
            *ratio = ratio.max(line.worst(channel.limits, search.over.max(length)));
        }
    }
    let chosen = choose(time, &windows, &ratios)?;
    Some(inside(time, series, search, windows[chosen].clone()))
}

/// The channels inside a window of one's own: at least three of them, see [`steadiest`].
pub fn inside(time: &[f64], series: &[Series], search: Search, rows: Range<usize>) -> Window {
    let stretches = stretches(time, search.shortest);
    let over = search.over.max(time[rows.end - 1] - time[rows.start]);
    let fits: Vec<Fit> = series
        .iter()
        .map(|channel| {
            let more = correlation(time, channel.values, &stretches, search.shortest);
            let values = &channel.values[rows.clone()];
            let line = Sums::of(&time[rows.clone()], values).line(&(0..rows.len()), more);
            line.fit(values, channel.limits, over)
        })
        .collect();
    let ratios = fits.iter().map(|f| f.change_ratio.max(f.scatter_ratio));
    Window {
        ratio: ratios.fold(0.0, f64::max),
        fits,
        rows,
    }
}

fn choose(time: &[f64], windows: &[Range<usize>], ratios: &[f64]) -> Option<usize> {
    let best = ratios.iter().copied().min_by(f64::total_cmp)?;
    let alike = if best <= 1.0 {
        (best + ALIKE).min(1.0)
    } else {
        best
    };
    let length = |i: usize| time[windows[i].end - 1] - time[windows[i].start];
    (0..windows.len())
        .filter(|i| ratios[*i] <= alike)
        .max_by(|a, b| {
            let longer = length(*a).total_cmp(&length(*b));
            longer.then(ratios[*b].total_cmp(&ratios[*a]))
        })
}

/// The windows that are tried.
fn candidates(time: &[f64], stretches: &[Range<usize>], shortest: f64) -> Vec<Range<usize>> {
    let mut windows = Vec::new();
    for stretch in stretches {
        let all = time[stretch.end - 1] - time[stretch.start];
        let mut length = shortest;
        while length <= all {
            slide(time, stretch, length, &mut windows);
            length *= std::f64::consts::SQRT_2;
        }
        if all >= shortest && stretch.len() >= FEWEST_ROWS {
            windows.push(stretch.clone());
        }
    }
    windows
}

fn slide(time: &[f64], stretch: &Range<usize>, length: f64, into: &mut Vec<Range<usize>>) {
    // a clock that ticks 4.99 s does not make five minutes too short
    let enough = length * (1.0 - 1e-3);
    let (mut from, mut last) = (stretch.start, stretch.start);
    loop {
        while last < stretch.end && time[last] - time[from] < enough {
            last += 1;
        }
        if last == stretch.end {
            return;
        }
        if last + 1 - from >= FEWEST_ROWS {
            into.push(from..last + 1);
        }
        let next = time[from] + length / STARTS;
        from += 1;
        while from < last && time[from] < next {
            from += 1;
        }
    }
}

/// Prefix sums about the middle, so that no digits are lost.
struct Sums {
    middle: f64,
    rows: Vec<[f64; 5]>,
}

impl Sums {
    fn of(time: &[f64], values: &[f64]) -> Self {
        let middle = values.iter().sum::<f64>() / values.len().max(1) as f64;
        let zero = time.first().copied().unwrap_or(0.0);
        let mut rows = Vec::with_capacity(values.len() + 1);
        let mut sum = [0.0; 5];
        rows.push(sum);
        for (t, y) in time.iter().zip(values) {
            let (t, y) = (t - zero, y - middle);
            for (sum, term) in sum.iter_mut().zip([t, t * t, y, y * y, t * y]) {
                *sum += term;
            }
            rows.push(sum);
        }
        Sums { middle, rows }
    }

    fn line(&self, rows: &Range<usize>, more: f64) -> Line {
        let (a, b) = (&self.rows[rows.start], &self.rows[rows.end]);
        let [t, tt, y, yy, ty] = std::array::from_fn(|i| b[i] - a[i]);
        let n = rows.len() as f64;
        let (sxx, sxy) = (tt - t * t / n, ty - t * y / n);
        let slope = sxy / sxx;
        // rounding can leave a sum of squares a hair below zero
        let left = (yy - y * y / n - slope * sxy).max(0.0);
        let scatter = (left / (n - 2.0)).sqrt();
        Line {
            mean: self.middle + y / n,
            slope,
            slope_error: scatter * (more / sxx).sqrt(),
            scatter,
            rows: n,
        }
    }
}

struct Line {
    mean: f64,
    slope: f64,
    slope_error: f64,
    scatter: f64,
    rows: f64,
}

impl Line {
    fn change_ratio(&self, limits: Limits, over: f64) -> f64 {
        // so many, as the flattest of many windows is chosen; wider for few rows, as Student's distribution is
        let errors = 3.5 + 10.0 / (self.rows - 2.0);
        (self.slope.abs() + errors * self.slope_error) * over / limits.change
    }

    fn scatter_ratio(&self, limits: Limits) -> f64 {
        self.scatter / limits.scatter
    }

    fn worst(&self, limits: Limits, over: f64) -> f64 {
        self.change_ratio(limits, over)
            .max(self.scatter_ratio(limits))
    }

    fn fit(&self, values: &[f64], limits: Limits, over: f64) -> Fit {
        Fit {
            mean: self.mean,
            mean_error: mean_error(values),
            slope: self.slope,
            slope_error: self.slope_error,
            scatter: self.scatter,
            change_ratio: self.change_ratio(limits, over),
            scatter_ratio: self.scatter_ratio(limits),
        }
    }
}

/// Blocks in a piece of the log when its serial correlation is looked at.
const PIECE_BLOCKS: usize = 6;
/// Median of a chi-squared variable of four degrees of freedom over four: six block means less a line.
const PIECE_MEDIAN: f64 = 0.839;

/// How many times larger the variance of a mean is than rows that know nothing of each other would give; at least 1.
///
/// Pieces of the shortest window (24 rows at least) are freed of their line and cut into six blocks; the median over the
/// pieces, so that a pull-down at the start does not count.
fn correlation(time: &[f64], values: &[f64], stretches: &[Range<usize>], shortest: f64) -> f64 {
    let mut found = Vec::new();
    for stretch in stretches.iter().filter(|s| s.len() > 1) {
        let step = (time[stretch.end - 1] - time[stretch.start]) / (stretch.len() - 1) as f64;
        let block = ((shortest / step) as usize / PIECE_BLOCKS).max(4);
        let rows = stretch.clone().collect::<Vec<_>>();
        for piece in rows.chunks_exact(block * PIECE_BLOCKS) {
            let piece = piece[0]..piece[piece.len() - 1] + 1;
            found.extend(piece_correlation(
                &time[piece.clone()],
                &values[piece],
                block,
            ));
        }
    }
    median(&found).map_or(1.0, |g| (g / PIECE_MEDIAN).max(1.0))
}

fn piece_correlation(time: &[f64], values: &[f64], block: usize) -> Option<f64> {
    let line = Sums::of(time, values).line(&(0..values.len()), 1.0);
    if line.scatter <= 0.0 {
        return None;
    }
    let middle = time.iter().sum::<f64>() / time.len() as f64;
    let left = |(t, y): (&f64, &f64)| y - line.mean - line.slope * (t - middle);
    let blocks = time.chunks_exact(block).zip(values.chunks_exact(block));
    let means = blocks.map(|(t, y)| t.iter().zip(y).map(left).sum::<f64>() / block as f64);
    let variance = means.map(|m| m * m).sum::<f64>() / (PIECE_BLOCKS - 2) as f64;
    Some(variance * block as f64 / line.scatter.powi(2))
}

/// Blocks that the standard error of a mean comes from.
const BLOCKS: usize = 10;

/// Standard error of a mean of rows in time order, serial correlation included.
///
/// Ten block means (each row its own block below twenty rows): `s^2/10 (1 + r)/(1 - r)` with `s` their standard deviation and `r` their
/// lag-one correlation, corrected by its bias `(1 + 3 r)/10` and cut to 0 .. 0.8; times `t(0.975, 9)/1.96`, so that
/// 1.96 of it covers 95 %. At least the value for independent rows. A drift inside the window counts as scatter. Too small
/// where the rows remember longer than a third of the window.
///
/// Source: Priestley, Spectral Analysis and Time Series (1981), section 5.3 (mean of a correlated series; from memory); block means
/// are common practice of simulation.
pub fn mean_error(values: &[f64]) -> f64 {
    let n = values.len();
    if n < 2 {
        return f64::INFINITY;
    }
    let blocks = if n < 2 * BLOCKS { n } else { BLOCKS };
    let means: Vec<f64> = (0..blocks)
        .map(|i| {
            let block = &values[i * n / blocks..(i + 1) * n / blocks];
            block.iter().sum::<f64>() / block.len() as f64
        })
        .collect();
    let count = blocks as f64;
    let mean = means.iter().sum::<f64>() / count;
    let squares: f64 = means.iter().map(|m| (m - mean).powi(2)).sum();
    if squares <= 0.0 {
        return 0.0;
    }
    let pairs: f64 = means
        .windows(2)
        .map(|w| (w[0] - mean) * (w[1] - mean))
        .sum();
    let raw = pairs / squares;
    let kept = (raw + (1.0 + 3.0 * raw) / count).clamp(0.0, 0.8);
    let variance = squares / (count - 1.0) / count * (1.0 + kept) / (1.0 - kept);
    let student = StudentsT::new(0.0, 1.0, count - 1.0).expect("a spread of 1 is a spread");
    let wider = student.inverse_cdf(0.975) / 1.96;
    let rows_mean = values.iter().sum::<f64>() / n as f64;
    let independent =
        values.iter().map(|v| (v - rows_mean).powi(2)).sum::<f64>() / ((n - 1) as f64 * n as f64);
    wider * variance.max(independent).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn windows_never_cross_a_gap() {
        let time: Vec<f64> = (0..10).chain(40..60).map(f64::from).collect();
        assert_eq!(stretches(&time, 5.0), [0..10, 10..30]);
        let windows = candidates(&time, &stretches(&time, 5.0), 5.0);
        assert!(windows.iter().all(|w| w.end <= 10 || w.start >= 10));
        assert!(windows.contains(&(10..30)));
    }

    #[test]
    fn a_line_is_that_of_plain_least_squares() {
        use crate::stats::linear::ordinary;
        let time: Vec<f64> = (0..50).map(|i| 1e6 + 7.0 * f64::from(i)).collect();
        let values: Vec<f64> = time.iter().map(|t| 300.0 + (t * 0.3).sin()).collect();
        let line = Sums::of(&time, &values).line(&(10..40), 1.0);
        let from: Vec<f64> = time[10..40].iter().map(|t| t - time[10]).collect();
        let fit = ordinary(&[vec![1.0; 30], from], &values[10..40]).unwrap();
        assert!((line.slope - fit.coefficients[1]).abs() < 1e-12);
        assert!((line.slope_error - fit.standard_errors[1]).abs() < 1e-12);
        assert!((line.scatter - fit.residual_sd).abs() < 1e-10);
    }

    #[test]
    fn a_mean_of_one_value_is_exact_to_the_instrument() {
        assert_eq!(mean_error(&[7.0; 40]), 0.0);
    }

    #[test]
    fn a_log_shorter_than_the_window_has_none() {
        let time = [0.0, 1.0, 2.0, 3.0];
        let limits = Limits {
            change: 1.0,
            scatter: 1.0,
        };
        let series = [Series {
            values: &[1.0; 4],
            limits,
        }];
        let search = Search {
            shortest: 5.0,
            over: 10.0,
        };
        assert!(steadiest(&time, &series, search).is_none());
    }
}
