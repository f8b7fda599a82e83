//! The regression behind the standing pressure test: how fast gas is lost from a closed volume whose temperature moves.
//!
//! `ln p = a + b t + sum_i w_i integral(kappa d ln T_i) + start offset + unseen daily wave + slow settling + noise`,
//! with everything but `a` and `b` known beforehand to some standard deviation. The lag of the gas behind the thermometer and
//! the noise are summed over a grid, the linear terms are integrated exactly, and `-b` is left as a weighted sum of normals.
//! Nothing is random: the same readings give the same answer.
//!
//! - start offset: `(kappa/T) c e^{-t/lag}`; share: `s integral(kappa d ln T_out - kappa d ln T_in)`, both with the lag;
//! - unseen daily wave: `(kappa/T) (c cos + s sin)(2 pi t / 24 h)`; slow settling: `(kappa/T) sum_k c_k e^{-t/tau_k}` over 2, 4, 8 h;
//! - gauge drift: `(dz/dT)/p (T - T_0)` of the thermometer nearest the gauge; oil that takes up gas: `sum_k c_k e^{-t/tau_k}` over
//!   2, 6, 18 h;
//! - witness: `ln p - ln p_witness` takes the place of the thermometers, and the terms that stand for what they miss fall away
//!   but for what two places differ by;
//! - a day that is not usual, and a leak that opens in the middle: the module `ways`; does the pressure follow the
//!   temperature at all: `follow`; steps and lone readings: `breaks`; hours still needed: `ahead`.
mod ahead;
mod blocks;
mod breaks;
mod ends;
mod error;
mod follow;
mod grid;
mod input;
mod noise;
mod response;
mod short;
mod terms;
mod ways;

pub use ahead::{HoursNeeded, WhyNot};
pub use breaks::Step;
pub use error::FitError;
pub use input::{Assumptions, Gauge, Kappa, Series, Share, Unseen};
pub use short::{Judged, Swung};

use crate::stats::decision::{self, Decision, SURE, Verdict};
use crate::stats::mixture::Mixture;

/// How the loss was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Path {
    /// The full regression.
    Regression,
    /// More than three sudden changes, or readings far rougher than any noise: first against last reading, with every
    /// spread at its widest.
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
    /// Loss of the second half alone, 1/h, when it surely is another than that of the first: a leak opened during the test.
    pub late_loss: Option<Mixture>,
    /// Which way it was found.
    pub path: Path,
    /// Readings against the line of a tight volume, in the likeliest way.
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
    share: Share,
    ahead: Option<ahead::Ahead>,
}

/// Exponents outside this range are not those of a closed volume at the logged temperature, even with a wrong share.
const FOLLOWING: (f64, f64) = (0.3, 3.0);

impl Fit {
    /// The temperature moved and the pressure did not go with it: not a closed volume, the gauge is not connected to it, or
    /// the thermometer is not where the gas is. No verdict then.
    pub fn ignores_temperature(&self) -> bool {
        self.temperature_exponent.as_ref().is_some_and(|exponent| {
            exponent.cdf(FOLLOWING.0) > SURE
                || exponent.above(FOLLOWING.1) > SURE
                || follow::not_following(exponent, self.share) > SURE
        })
    }

    /// No reading of so many was seen twice: then few of them say nothing of the gauge.
    pub fn all_differ(&self, readings: usize) -> bool {
        readings - self.outliers.len() == self.distinct_readings
    }

    /// Judges the loss against `limit` (1/h); where a leak opened during the test, also the loss since then.
    ///
    /// The worse of the two counts: *fail* if either fails, *pass* only if both pass. `counted` widens a loss by what else
    /// is not known before it is held against the limit; [`Mixture::clone`] where there is nothing.
    pub fn judge(&self, limit: f64, counted: impl Fn(&Mixture) -> Mixture) -> Decision {
        let whole = decision::judge(&counted(&self.loss), limit);
        match &self.late_loss {
            Some(late) => worse(whole, decision::judge(&counted(late), limit)),
            None => whole,
        }
    }

    /// Hours from the start after which the same test would decide against `limit` (1/h) four times out of five.
    pub fn hours_needed(&self, limit: f64) -> HoursNeeded {
        if self.judge(limit, Mixture::clone).verdict != Verdict::Undecided {
            return HoursNeeded::Decided;
        }
        let open = |loss: &&Mixture| decision::judge(loss, limit).verdict == Verdict::Undecided;
        let undecided = [Some(&self.loss), self.late_loss.as_ref()]
            .into_iter()
            .flatten()
            .find(open)
            .unwrap_or(&self.loss);
        match &self.ahead {
            Some(ahead) => ahead.hours_needed(undecided, limit),
            None => HoursNeeded::Never(WhyNot::TooManySteps),
        }
    }

    /// The loss to plan for and the spread of its estimate in a test of `total` hours from the start, both 1/h. `None` where
    /// the regression cannot be pushed forward.
    pub fn after(&self, total: f64) -> Option<(f64, f64)> {
        self.ahead
            .as_ref()
            .map(|ahead| ahead.after(&self.loss, total))
    }
}

/// The worse of two verdicts, with the larger of each probability.
fn worse(whole: Decision, late: Decision) -> Decision {
    let order = |verdict: Verdict| match verdict {
        Verdict::Pass => 0,
        Verdict::Undecided => 1,
        Verdict::Fail => 2,
    };
    Decision {
        verdict: if order(late.verdict) > order(whole.verdict) {
            late.verdict
        } else {
            whole.verdict
        },
        above_limit: whole.above_limit.max(late.above_limit),
        above_zero: whole.above_zero.max(late.above_zero),
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
///
/// ```
/// use lineproof::check::tight::method::{Assumptions, Gauge, Kappa, Series, Share, Unseen, fit};
/// // four readings of a volume of ideal gas that cools from 295 K to 288 K and warms again
/// let outdoor = [295.0_f64, 291.0, 288.0, 294.0];
/// let ln_p: Vec<f64> = outdoor.iter().map(|t| (3.5e6 * t / 295.0).ln()).collect();
/// let series = Series {
///     outdoor_k: Some(&outdoor),
///     ..Series::pressure_only(&[0.0, 6.0, 12.0, 24.0], &ln_p, Kappa::constant(1.0))
/// };
/// let assumptions = Assumptions {
///     share: Share::stated(1.0),
///     gauge: Gauge { resolution_pa: 700.0, drift_pa_per_k: 0.0 },
///     unseen: Unseen::of_field_test(0.0, 0.0),
/// };
/// let fit = fit(&series, &assumptions)?;
/// assert!(fit.loss.interval(0.95).contains(0.0));
/// # Ok::<(), lineproof::check::tight::method::FitError>(())
/// ```
pub fn fit(series: &Series, assumptions: &Assumptions) -> Result<Fit, FitError> {
    input::check(series, assumptions)?;
    let relative_resolution = assumptions.gauge.resolution_pa / series.mean_pressure();
    let base = response::base_response(series, assumptions, breaks::TYPICAL_LAG_H);
    let corrected: Vec<f64> = series
        .ln_p
        .iter()
        .zip(&base)
        .map(|(ln_p, base)| ln_p - base)
        .collect();
    let breaks = breaks::find(series.hours, &corrected, relative_resolution);
    let kept = series.without(&breaks.outliers);
    let kept = kept.as_series();
    let distinct_readings = breaks::distinct(kept.ln_p, relative_resolution);
    let thinned = kept.thinned(MOST_READINGS);
    let thinned = thinned.as_series();
    let regression = (!breaks.too_many_steps())
        .then(|| Regression::of(&thinned, assumptions, &breaks.steps))
        .transpose()?
        .filter(|regression| regression.ways.likeliest().summed.roughness <= FAR_ROUGHER);
    let coarse_gauge = distinct_readings <= COARSE_READINGS;
    let beside = Beside {
        coarse: if coarse_gauge {
            COARSE_DIVISIONS * relative_resolution
        } else {
            0.0
        },
        weather: kept.per_kelvin() * terms::missing_swing_k(&kept, assumptions),
    };
    let hours = kept.duration();
    let told = match regression {
        Some(regression) => regression
            .told(&thinned, assumptions, beside)
            .ok_or(FitError::NotSeparable)?,
        None => Told::from_ends(&kept, assumptions),
    };
    Ok(Fit {
        loss: told.loss,
        late_loss: told.late_loss,
        path: told.path,
        line: told.line,
        steps: breaks.steps,
        outliers: breaks.outliers,
        distinct_readings,
        coarse_gauge,
        temperature_exponent: told.temperature_exponent,
        late_change: told.late_change,
        hours,
        share: assumptions.share,
        ahead: told.ahead,
    })
}

/// More readings than this are averaged first: every 30 s over two days.
const MOST_READINGS: usize = 6000;

/// The regression before it is told.
struct Regression {
    blocks: blocks::Blocks,
    ways: ways::Ways,
}

impl Regression {
    fn of(series: &Series, assumptions: &Assumptions, steps: &[Step]) -> Result<Self, FitError> {
        let blocks = blocks::Blocks::of(series.hours);
        let design = terms::Design::new(series, assumptions, &blocks, steps);
        let noises = noise::noise_grid(series, assumptions);
        let ways = ways::Ways::of(series, assumptions.unseen, &design, &noises)
            .ok_or(FitError::NotSeparable)?;
        Ok(Self { blocks, ways })
    }

    fn told(self, series: &Series, assumptions: &Assumptions, beside: Beside) -> Option<Told> {
        let Self { blocks, ways } = self;
        let (design, summed) = (&ways.likeliest().design, &ways.likeliest().summed);
        let hours = series.duration();
        let halves = series.hours.len() >= breaks::FEWEST_TO_SEARCH;
        let late_loss = if ways.changed() > SURE {
            Some(ways.late_slope()?.scaled(-1.0))
        } else {
            None
        };
        Some(Told {
            loss: ways.slope()?.scaled(-1.0).widened(beside.slope_sd(hours)),
            late_loss: late_loss.map(|loss| loss.widened(beside.slope_sd(hours))),
            path: Path::Regression,
            line: grid::line(design, summed, &blocks, series.ln_p),
            late_change: halves.then(|| ways.late_change()).flatten(),
            temperature_exponent: follow::exponent(series, assumptions, &blocks, &ways.noise),
            ahead: Some(ahead::Ahead::new(&ways, beside)),
        })
    }
}

/// The part of a fit that depends on the way it was found.
struct Told {
    loss: Mixture,
    late_loss: Option<Mixture>,
    path: Path,
    line: Vec<LinePoint>,
    late_change: Option<Mixture>,
    temperature_exponent: Option<Mixture>,
    ahead: Option<ahead::Ahead>,
}

impl Told {
    fn from_ends(series: &Series, assumptions: &Assumptions) -> Self {
        let (loss, line) = ends::first_against_last(series, assumptions);
        Self {
            loss,
            late_loss: None,
            path: Path::FirstAgainstLast,
            line,
            late_change: None,
            temperature_exponent: None,
            ahead: None,
        }
    }
}

/// Spreads of the loss that no reading can narrow.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Beside {
    /// Of ln p over the whole test, from a gauge too coarse.
    coarse: f64,
    /// Standard deviation of a day's swing nobody logged, in ln p.
    weather: f64,
}

/// How long the weather remembers, h (from memory).
const WEATHER_H: f64 = 60.0;

impl Beside {
    /// Standard deviation of the loss, 1/h, in a test of this many hours.
    ///
    /// Weather nobody logged may be warmer at the end than at the start however smooth the readings are:
    /// `w sqrt(1 - e^{-t / 60 h})`, for the 4 K of [`terms::UNLOGGED_OUTDOORS_K`] 2.3 K from one day to the next.
    fn slope_sd(&self, hours: f64) -> f64 {
        let weather = self.weather * (-(-hours / WEATHER_H).exp_m1()).sqrt();
        self.coarse.hypot(weather) / hours
    }
}

/// Scatter of this many times the noise that suits the readings best means that something else was going on.
const FAR_ROUGHER: f64 = 1.4;

/// At most this many different readings make a gauge too coarse for the change.
const COARSE_READINGS: usize = 3;

/// Divisions over the whole test that the change may be off when the needle shows three values or fewer.
///
/// Source: rows without dither of a table of simulated slopes: 0.0245 divisions per hour over 24 h at a true slope of half a
/// division a day.
const COARSE_DIVISIONS: f64 = 0.6;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_worse_half_decides() {
        let whole = decision::judge(&Mixture::normal(0.5, 0.1), 1.0);
        let late = |mean| decision::judge(&Mixture::normal(mean, 0.1), 1.0);
        assert_eq!(worse(whole, late(0.6)).verdict, Verdict::Pass);
        assert_eq!(worse(whole, late(1.0)).verdict, Verdict::Undecided);
        assert_eq!(worse(whole, late(1.5)).verdict, Verdict::Fail);
        assert_eq!(worse(late(1.5), whole).verdict, Verdict::Fail);
    }
}
