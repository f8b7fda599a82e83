//! A swing with a period, told from noise that remembers.

use std::f64::consts::{LN_2, TAU};

use crate::stats::linear::ordinary;
use crate::stats::robust::median;

/// A swing with a period.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Swing {
    /// Its period, in the unit of the times.
    pub period: f64,
    /// Half of the way from low to high: the amplitude of the sine that fits best.
    pub half: f64,
    /// Share of the variance about a slow curve that the sine explains.
    pub share: f64,
    /// Probability that noise of the same colour makes such a peak somewhere.
    pub false_alarm: f64,
}

/// Most bins that a log is averaged into.
const BINS: usize = 400;
/// Fewest bins in which a period is looked for.
const FEWEST_BINS: usize = 24;
/// Fewest periods in the log.
const PERIODS: f64 = 3.0;
/// Shortest period, in bins.
const SHORTEST_BINS: f64 = 4.0;
/// Frequencies tried for each independent one.
const OVERSAMPLING: f64 = 4.0;
/// A peak that noise makes more often is no swing.
const FALSE_ALARM: f64 = 1e-4;
/// The sine must explain at least this share.
const LEAST_SHARE: f64 = 0.25;
/// In either half alone the swing must be at least this part of the whole one.
const LEAST_IN_HALF: f64 = 0.5;

/// A swing with a period, if there is one; even or uneven steps.
///
/// `time` rises, with one value each. The log is averaged into at most 400 bins and freed of a parabola; least squares fits
/// `a cos wt + b sin wt` for periods from four bins to a third of the log (Lomb-Scargle). The highest peak counts against the larger of two
/// backgrounds, both of what is left without it: noise with the same lag-one correlation, and the median of the peaks at
/// a third to three times its frequency. False-alarm probability `1 - (1 - e^-z)^m` below 1e-4, a quarter of the variance
/// explained, and half the swing in either half of the log alone: a pull-down does not pass as one. The amplitude is
/// corrected for the averaging. `None` when nothing stands out or there are too few rows.
///
/// Source: Scargle, Astrophys. J. 263 (1982) 835, equations 10 and 14 (from memory); the other guards are this program's own
/// choice.
///
/// ```
/// use lineproof::stats::steady::swing;
/// let minutes: Vec<f64> = (0..600).map(|i| f64::from(i) / 20.0).collect();
/// let values: Vec<f64> = minutes.iter().map(|t| 10.0 + 4.1 * (t * 6.2832 / 3.2).sin()).collect();
/// let found = swing(&minutes, &values).unwrap();
/// assert!((found.period - 3.2).abs() < 0.05 && (found.half - 4.1).abs() < 0.1);
/// assert!(swing(&minutes, &vec![10.0; 600]).is_none());
/// ```
pub fn swing(time: &[f64], values: &[f64]) -> Option<Swing> {
    let (time, values, width) = binned(time, values)?;
    let span = time[time.len() - 1] - time[0];
    let left = without_curve(&time, &values, 2)?;
    let total: f64 = left.iter().map(|v| v * v).sum();
    if total <= 0.0 {
        return None;
    }
    let (low, high) = (PERIODS / span, 1.0 / (SHORTEST_BINS * width));
    let step = 1.0 / (OVERSAMPLING * span);
    let tried: Vec<f64> = (0..)
        .map(|i| low + f64::from(i) * step)
        .take_while(|f| *f <= high)
        .collect();
    let peak = tried
        .iter()
        .map(|f| Sine::fit(&time, &left, *f))
        .max_by(|a, b| a.explained.total_cmp(&b.explained))?
        .refined(&time, &left, step);
    let share = peak.explained / total;
    let rest: Vec<f64> = time
        .iter()
        .zip(&left)
        .map(|(t, v)| v - peak.at(*t))
        .collect();
    let background = lag_one_background(&rest, peak.frequency * width)
        .max(median_background(&time, &rest, &tried, &peak, span));
    // twice the background is the mean of what a sine explains by chance
    let z = peak.explained / (2.0 * background);
    let independent = (high - low) * span + 1.0;
    let false_alarm = -(independent * (-(-z).exp()).ln_1p()).exp_m1();
    let genuine =
        false_alarm <= FALSE_ALARM && share >= LEAST_SHARE && in_both_halves(&time, &values, &peak);
    let smoothed = {
        let half_angle = TAU / 2.0 * peak.frequency * width;
        half_angle.sin() / half_angle
    };
    genuine.then(|| Swing {
        period: 1.0 / peak.frequency,
        half: peak.amplitude() / smoothed,
        share,
        false_alarm,
    })
}

/// Means over equal steps of time; empty ones are left out.
fn binned(time: &[f64], values: &[f64]) -> Option<(Vec<f64>, Vec<f64>, f64)> {
    let (first, last) = (*time.first()?, *time.last()?);
    let bins = time.len().min(BINS);
    if bins < FEWEST_BINS {
        return None;
    }
    let width = (last - first) / bins as f64;
    let mut sums = vec![(0.0, 0.0, 0.0); bins];
    for (t, v) in time.iter().zip(values) {
        let bin = (((t - first) / width) as usize).min(bins - 1);
        let sum = &mut sums[bin];
        *sum = (sum.0 + t - first, sum.1 + v, sum.2 + 1.0);
    }
    let kept = sums.iter().filter(|s| s.2 > 0.0);
    let (time, values): (Vec<f64>, Vec<f64>) = kept.map(|s| (s.0 / s.2, s.1 / s.2)).unzip();
    (time.len() >= FEWEST_BINS).then_some((time, values, width))
}

/// What is left of a polynomial's fit.
fn without_curve(time: &[f64], values: &[f64], degree: i32) -> Option<Vec<f64>> {
    let (first, last) = (time[0], time[time.len() - 1]);
    let at = |t: &f64| 2.0 * (t - first) / (last - first) - 1.0;
    let columns: Vec<Vec<f64>> = (0..=degree)
        .map(|power| time.iter().map(|t| at(t).powi(power)).collect())
        .collect();
    let fit = ordinary(&columns, values)?;
    let curve = |row: usize| -> f64 {
        columns
            .iter()
            .zip(&fit.coefficients)
            .map(|(column, c)| c * column[row])
            .sum()
    };
    let left: Vec<f64> = values
        .iter()
        .enumerate()
        .map(|(row, v)| v - curve(row))
        .collect();
    // crumbs of rounding are no swing
    let size = values.iter().fold(0.0_f64, |most, v| most.max(v.abs()));
    let most = left.iter().fold(0.0_f64, |most, v| most.max(v.abs()));
    (most > 1e-9 * size).then_some(left)
}

#[derive(Clone, Copy)]
struct Sine {
    frequency: f64,
    cosine: f64,
    sine: f64,
    /// The sum of squares that it explains.
    explained: f64,
}

impl Sine {
    fn fit(time: &[f64], values: &[f64], frequency: f64) -> Self {
        let (mut cc, mut ss, mut cs, mut yc, mut ys) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for (t, y) in time.iter().zip(values) {
            let (s, c) = (TAU * frequency * t).sin_cos();
            cc += c * c;
            ss += s * s;
            cs += c * s;
            yc += y * c;
            ys += y * s;
        }
        let determinant = cc * ss - cs * cs;
        let cosine = (yc * ss - ys * cs) / determinant;
        let sine = (ys * cc - yc * cs) / determinant;
        Sine {
            frequency,
            cosine,
            sine,
            explained: cosine * yc + sine * ys,
        }
    }

    /// The best frequency near the one tried.
    fn refined(self, time: &[f64], values: &[f64], step: f64) -> Self {
        (-10..=10)
            .map(|i| self.frequency + f64::from(i) * step / 10.0)
            .map(|f| Sine::fit(time, values, f))
            .fold(self, |best, other| {
                if other.explained > best.explained {
                    other
                } else {
                    best
                }
            })
    }

    fn at(&self, time: f64) -> f64 {
        let (s, c) = (TAU * self.frequency * time).sin_cos();
        self.cosine * c + self.sine * s
    }

    fn amplitude(&self) -> f64 {
        self.cosine.hypot(self.sine)
    }
}

/// What half a sine's two terms explain on average in noise of the same variance and lag-one correlation; `turns` is the
/// frequency per bin.
fn lag_one_background(rest: &[f64], turns: f64) -> f64 {
    let squares: f64 = rest.iter().map(|v| v * v).sum();
    if squares <= 0.0 {
        return f64::MIN_POSITIVE;
    }
    let pairs: f64 = rest.windows(2).map(|w| w[0] * w[1]).sum();
    let kept = (pairs / squares).clamp(0.0, 0.99);
    let colour = (1.0 - kept * kept) / (1.0 - 2.0 * kept * (TAU * turns).cos() + kept * kept);
    (squares / rest.len() as f64 * colour).max(f64::MIN_POSITIVE)
}

/// The same from the frequencies around, the peak itself left out.
fn median_background(time: &[f64], rest: &[f64], tried: &[f64], peak: &Sine, span: f64) -> f64 {
    let around = |f: &&f64| {
        let (f, at) = (**f, peak.frequency);
        (at / 3.0..=3.0 * at).contains(&f) && (f - at).abs() > 1.5 / span
    };
    let powers: Vec<f64> = tried
        .iter()
        .filter(around)
        .map(|f| Sine::fit(time, rest, *f).explained)
        .collect();
    // the median of what chance explains is ln 2 of its mean
    median(&powers).map_or(0.0, |middle| middle / LN_2 / 2.0)
}

fn in_both_halves(time: &[f64], values: &[f64], peak: &Sine) -> bool {
    let middle = time.len() / 2;
    [0..middle, middle..time.len()].into_iter().all(|half| {
        without_curve(&time[half.clone()], &values[half.clone()], 1).is_some_and(|left| {
            let own = Sine::fit(&time[half], &left, peak.frequency);
            own.amplitude() >= LEAST_IN_HALF * peak.amplitude()
        })
    })
}
