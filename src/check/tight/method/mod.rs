//! The regression behind the standing pressure test: how fast gas is lost from a closed volume whose temperature moves.
//!
//! `ln p = a + b t + sum_i w_i integral(kappa d ln T_i) + start offset + unseen daily wave + slow settling + noise`,
//! with everything but `a` and `b` known beforehand to some standard deviation. The lag of the gas behind the thermometer and
//! the noise are summed over a grid, the linear terms are integrated exactly, and `-b` is left as a weighted sum of normals.
//! Nothing is random: the same readings give the same answer.
mod ahead;
mod blocks;
mod breaks;
mod error;
mod follow;
mod grid;
mod input;
mod response;
mod terms;

pub use ahead::{HoursNeeded, WhyNot};
pub use breaks::Step;
pub use error::FitError;
pub use input::{Assumptions, Gauge, Kappa, Series, Share, Unseen};

use crate::stats::mixture::Mixture;

/// How the loss was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Path {
    /// The full regression.
    Regression,
    /// More than three sudden changes: first against last reading with the widest noise.
    FirstAgainstLast,
}

/// One block of readings against what a tight volume would have shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LinePoint {
    /// Mean time of the block, h.
    pub hours: f64,
    /// Mean ln p of the block as read.
    pub read: f64,
    /// ln p expected without loss, from the temperatures and the fitted terms.
    pub expected: f64,
    /// Standard deviation of `expected`.
    pub sd: f64,
    /// Read minus fitted, loss included.
    pub residual: f64,
}

/// What the readings show.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// Relative loss per hour, 1/h, positive for a loss. Times the absolute pressure it is a pressure loss per hour.
    pub loss: Mixture,
    /// Which way it was found.
    pub path: Path,
    /// Readings against the line of a tight volume.
    pub line: Vec<LinePoint>,
    /// Sudden changes that were split off; their size is not part of `loss`.
    pub steps: Vec<Step>,
    /// Positions of readings that were left out because they stand alone.
    pub outliers: Vec<usize>,
    /// Number of different pressures on the gauge.
    pub distinct_readings: usize,
    /// Three different readings or fewer: the scale is too coarse for the change, and the interval was widened for it.
    pub coarse_gauge: bool,
    /// How much of the expected temperature response the pressure shows: 1 for a closed volume at the logged temperature.
    /// `None` without a temperature.
    pub temperature_exponent: Option<Mixture>,
    /// Loss in the second half minus loss in the first, 1/h. `None` for fewer than ten readings.
    pub late_change: Option<Mixture>,
    /// Length of the test, h.
    pub hours: f64,
    ahead: Option<ahead::Ahead>,
}

/// The exponent below which pressure does not follow temperature.
const NOT_FOLLOWING: f64 = 0.3;

impl Fit {
    /// The temperature moved and the pressure did not follow: not a closed volume, or the gauge is not connected to it.
    pub fn ignores_temperature(&self) -> bool {
        self.temperature_exponent
            .as_ref()
            .is_some_and(|exponent| exponent.cdf(NOT_FOLLOWING) > crate::stats::decision::SURE)
    }

    /// Hours from the start after which the same test would decide against `limit` (1/h) four times out of five.
    pub fn hours_needed(&self, limit: f64) -> HoursNeeded {
        match &self.ahead {
            Some(ahead) => ahead.hours_needed(&self.loss, limit),
            None => HoursNeeded::Never(WhyNot::TooManySteps),
        }
    }
}

/// Fits the loss of a closed volume to its readings.
///
/// Readings need not be evenly spaced. Two readings, and readings without any temperature, are answered too: widely.
///
/// Range: 2 readings or more, times in increasing order, pressures above zero, temperatures 200 to 400 K.
///
/// Source: the method of the project's own comparison of nine; parts as in Rasmussen & Williams 2006 (noise) and
/// Gelman et al. 2013 (terms with known spread).
pub fn fit(series: &Series, assumptions: &Assumptions) -> Result<Fit, FitError> {
    input::check(series, assumptions)?;
    let relative_resolution = assumptions.gauge.resolution_pa / series.mean_pressure();
    let base = terms::base_response(series, assumptions, breaks::TYPICAL_LAG_H);
    let corrected: Vec<f64> = series
        .ln_p
        .iter()
        .zip(&base)
        .map(|(ln_p, base)| ln_p - base)
        .collect();
    let breaks = breaks::find(series.hours, &corrected, relative_resolution);
    let kept = series.without(&breaks.outliers);
    if breaks.too_many_steps() {
        return Ok(first_against_last(&kept.as_series(), assumptions, breaks));
    }
    let kept = kept.as_series();
    let blocks = blocks::Blocks::of(kept.hours);
    let design = terms::Design::new(&kept, assumptions, &blocks, &breaks.steps);
    let summed = grid::sum_over(&design, &grid::noise_grid(&kept, assumptions))
        .ok_or(FitError::NotSeparable)?;
    let distinct_readings = breaks::distinct(kept.ln_p, relative_resolution);
    let coarse_gauge = distinct_readings <= COARSE_READINGS;
    let coarse_sd = if coarse_gauge {
        coarse_slope_sd(relative_resolution, kept.duration())
    } else {
        0.0
    };
    Ok(Fit {
        loss: summed.slope.scaled(-1.0).widened(coarse_sd),
        path: Path::Regression,
        line: grid::line(&design, &summed, &blocks, kept.ln_p),
        late_change: (kept.hours.len() >= breaks::FEWEST_TO_SEARCH)
            .then(|| grid::late_change(&design, &summed))
            .flatten(),
        temperature_exponent: follow::exponent(&kept, assumptions, &blocks),
        ahead: Some(ahead::Ahead::new(
            &design,
            &summed,
            coarse_sd * kept.duration(),
        )),
        hours: kept.duration(),
        steps: breaks.steps,
        outliers: breaks.outliers,
        distinct_readings,
        coarse_gauge,
    })
}

/// At most this many different readings make a gauge too coarse for the change.
const COARSE_READINGS: usize = 3;

/// Standard deviation of a slope when the needle shows only three values or fewer: 0.6 divisions over the whole test.
///
/// Source: `slope_se_check.csv` rows without dither (0.0245 of 1 division over 24 h at a true slope of half a division a day).
fn coarse_slope_sd(relative_resolution: f64, hours: f64) -> f64 {
    0.6 * relative_resolution / hours
}

fn first_against_last(series: &Series, assumptions: &Assumptions, breaks: breaks::Breaks) -> Fit {
    let (loss, line) = grid::first_against_last(series, assumptions);
    let relative_resolution = assumptions.gauge.resolution_pa / series.mean_pressure();
    let distinct_readings = breaks::distinct(series.ln_p, relative_resolution);
    Fit {
        loss,
        path: Path::FirstAgainstLast,
        line,
        late_change: None,
        temperature_exponent: None,
        ahead: None,
        hours: series.duration(),
        steps: breaks.steps,
        outliers: breaks.outliers,
        distinct_readings,
        coarse_gauge: distinct_readings <= COARSE_READINGS,
    }
}
