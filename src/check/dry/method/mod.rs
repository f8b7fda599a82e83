//! The fit behind the vacuum rise: a steady leak beside something that gives off vapour and levels off.
//!
//! `p = p0 + q t + sum_i A_i (1 - e^{-t/tau_i})` with no, one or two vapour terms: real walls, oil and rubber give off fast
//! and slowly, and a single term would take the slow part for a leak. The time constants and the wander of the gauge are
//! summed over a grid, `p0`, `q` and `A_i` are integrated exactly, and `q` is left as a weighted sum of normals that may
//! well reach below zero.
//!
//! Beside these stands a source that starts while the volume is held, `h max(0, t - t0)`: without it a leak that opens late
//! bends the curve, and a bend is what vapour is known by. A sudden change of the pressure is a step: it is told, and the
//! longest stretch without one is fitted.
mod ahead;
mod blocks;
mod breaks;
mod error;
mod grid;
mod one_more;
#[cfg(test)]
mod tests;

pub use error::RiseError;
pub use one_more::{OneMore, one_more};

use self::ahead::Ahead;
use self::blocks::Blocks;
use self::grid::Node;
use crate::stats::mixture::{Interval, Mixture};

/// Readings of the isolated volume.
#[derive(Debug, Clone, Copy)]
pub struct Rise<'a> {
    /// Minutes since the pump was shut off, increasing.
    pub minutes: &'a [f64],
    /// Absolute pressure, micron.
    pub micron: &'a [f64],
    /// Smallest step of the gauge, micron.
    pub resolution_micron: f64,
}

/// What the rise shows.
#[derive(Debug, Clone, PartialEq)]
pub struct RiseFit {
    /// Steady rise at the end, micron per minute; below zero for drift. A source that started late is part of it.
    pub leak: Mixture,
    /// Probability that something gives off vapour and levels off.
    pub p_moisture: f64,
    /// Where it would level off without the leak, micron (95 %). `None` when levelling off is not likely.
    pub levels_off: Option<Interval>,
    /// Time constant of the slowest levelling off, min (95 %). `None` when levelling off is not likely.
    pub tau: Option<Interval>,
    /// Where it is likely to level off, micron: while no leak is seen (its interval reaches zero or below), as if there were none; else
    /// beside a leak not below zero, since nothing leaks out of a vacuum. The intervals above know neither.
    pub levels_near: Option<f64>,
    /// Where that may be (95 %), by the same, with a twentieth to either side for what no fit knows.
    pub levels_between: Option<Interval>,
    /// Its time constant, min, by the same.
    pub tau_near: Option<f64>,
    /// Time constants the test has lasted so far, by `tau_near`.
    pub time_constants: Option<f64>,
    /// Probability that a steady source started while the volume was held.
    pub p_starts_late: f64,
    /// When it started, on the clock of the readings, min (95 %). `None` when that is not likely.
    pub starts_late: Option<Interval>,
    /// The middle of that.
    pub starts_near: Option<f64>,
    /// Steady rise before that, micron/min: the middle.
    pub rate_before: Option<f64>,
    /// Sudden changes of the pressure: only the longest stretch without one was fitted.
    pub steps: Vec<Step>,
    /// Fitted pressure at each block, with its parts.
    pub line: Vec<RisePoint>,
    /// Where the stretch that was fitted begins, on the clock of the readings, min.
    pub from_minutes: f64,
    /// Length of the stretch that was fitted, min.
    pub minutes: f64,
    ahead: ahead::Ahead,
}

/// One block of readings with the fitted curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RisePoint {
    /// Mean time of the block, min.
    pub minutes: f64,
    /// Mean pressure as read, micron.
    pub read: f64,
    /// Fitted pressure, micron: the sum of the three parts.
    pub fitted: f64,
    /// Pressure at the start, micron.
    pub start: f64,
    /// What the leak has added until then, micron.
    pub leak: f64,
    /// What vapour has added until then, micron.
    pub vapour: f64,
}

/// A sudden change of the pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// Time of the first reading that it moved, min.
    pub minutes: f64,
    /// Time of the first reading at the new level, min: later where one change spreads over several readings.
    pub until_minutes: f64,
    /// Last reading before it, micron.
    pub from_micron: f64,
    /// First reading at the new level, micron.
    pub to_micron: f64,
}

/// Time constants after which a rise that levels off can be told from a leak.
pub const ENOUGH_TIME_CONSTANTS: f64 = 3.0;

/// Probability of a steady rise below which a fall is drift and no chance.
const SURELY_DRIFTING: f64 = 1e-3;

impl RiseFit {
    /// Minutes from the start after which the same test would decide against `limit` (micron/min) four times out of five
    /// and has seen three time constants. `None` beyond four hours.
    pub fn minutes_needed(&self, limit: f64) -> Option<f64> {
        self.ahead.minutes_needed(self, limit)
    }
}

/// Fits a vacuum rise.
///
/// Range: 4 readings or more over a minute or more, times in increasing order, pressures above zero. Readings at the ceiling of the gauge must be
/// left out by the caller.
///
/// Source: the rise of an outgassing volume, `A (1 - e^{-t/tau})`, as in Jousten (ed.), Handbook of Vacuum Technology, 2016
/// (from memory); sums as in Gelman et al., Bayesian Data Analysis, 3rd ed.
///
/// ```
/// use lineproof::check::dry::method::{Rise, fit};
/// let minutes: Vec<f64> = (0..=30).map(f64::from).collect();
/// let micron: Vec<f64> = minutes.iter().map(|t| (300.0 + 5.0 * t).round()).collect();
/// let fit = fit(&Rise { minutes: &minutes, micron: &micron, resolution_micron: 1.0 })?;
/// assert!(fit.leak.interval(0.95).contains(5.0));
/// assert!(fit.p_moisture < 0.1);
/// # Ok::<(), lineproof::check::dry::method::RiseError>(())
/// ```
pub fn fit(rise: &Rise) -> Result<RiseFit, RiseError> {
    error::check(rise)?;
    let breaks = breaks::find(rise);
    let stretch = breaks::longest_stretch(rise, &breaks);
    let held = Rise {
        minutes: &rise.minutes[stretch.clone()],
        micron: &rise.micron[stretch],
        ..*rise
    };
    let broken = |_| RiseError::Broken {
        steps: breaks.len(),
        minutes: breaks[0].step.minutes,
    };
    error::check(&held).map_err(broken)?;
    let mut fit = sum_up(&held, grid::UP_TO_TWO, true).ok_or(RiseError::NotSeparable)?;
    fit.steps = breaks.iter().map(|broken| broken.step).collect();
    Ok(fit)
}

/// The same with one vapour term at most and nothing that starts late, across steps, to compare with fits that know no more.
pub fn fit_one_term(rise: &Rise) -> Result<RiseFit, RiseError> {
    error::check(rise)?;
    sum_up(rise, grid::UP_TO_ONE, false).ok_or(RiseError::NotSeparable)
}

fn sum_up(rise: &Rise, beforehand: [f64; 3], may_start_late: bool) -> Option<RiseFit> {
    let blocks = Blocks::of(rise);
    let nodes = grid::nodes(&blocks, beforehand, may_start_late);
    let leak = Mixture::from_log_weights(nodes.iter().map(leak))?;
    let top = grid::best(&nodes);
    let sum = |nodes: &mut dyn Iterator<Item = &Node>| {
        nodes.fold(0.0, |sum, node| sum + (node.log_weight - top).exp())
    };
    let vapour = |node: &&Node| !node.sources.taus.is_empty();
    let late = |node: &&Node| node.sources.onset.is_some();
    let all = sum(&mut nodes.iter());
    let p_moisture = sum(&mut nodes.iter().filter(vapour)) / all;
    let p_starts_late = sum(&mut nodes.iter().filter(late)) / all;
    let likely = p_moisture > 0.5;
    let level_of = |node: &Node| Some(node).filter(vapour).map(level);
    let tau_of = |node: &Node| {
        let tau = *node.sources.taus.last()?;
        // anywhere in its cell of the grid
        Some((node.log_weight, tau, tau * node.cell / 12_f64.sqrt()))
    };
    let levels = Mixture::from_log_weights(nodes.iter().filter_map(level_of)).filter(|_| likely);
    let tau = Mixture::from_log_weights(nodes.iter().filter_map(tau_of)).filter(|_| likely);
    // while no leak is seen it levels off as if there were none; nothing leaks out of a vacuum, unless the gauge surely drifts
    let none_seen = leak.interval(0.95).low <= 0.0;
    let as_likely: Vec<Node> = nodes
        .iter()
        .filter(|_| likely && leak.above(0.0) > SURELY_DRIFTING)
        .filter_map(|node| match none_seen {
            true => node.tight(),
            false => node.leaking_inward(),
        })
        .collect();
    let then = |of: &OfNode, all: &Option<Mixture>| {
        let as_likely = Mixture::from_log_weights(as_likely.iter().filter_map(of));
        as_likely.or_else(|| all.clone())
    };
    let (levels_likely, tau_likely) = (then(&level_of, &levels), then(&tau_of, &tau));
    let middle = |values: &Option<Mixture>| values.as_ref().map(|m| m.quantile(0.5));
    let onset = |node: &Node| {
        let at = rise.minutes[0] + node.sources.onset?;
        Some((node.log_weight, at, node.cell / 12_f64.sqrt()))
    };
    let before = |node: &Node| {
        node.sources.onset?;
        let variance = node.solved.covariance[(grid::LEAK, grid::LEAK)];
        let rate = node.solved.coefficients[grid::LEAK];
        Some((node.log_weight, rate, variance.sqrt()))
    };
    let if_late = |of: &OfNode| {
        let nodes = nodes.iter().filter(|_| p_starts_late > 0.5);
        Mixture::from_log_weights(nodes.filter_map(of))
    };
    let (starts_late, rate_before) = (if_late(&onset), if_late(&before));
    let minutes = rise.minutes[rise.minutes.len() - 1] - rise.minutes[0];
    let ahead = Ahead::new(nodes, &blocks);
    Some(RiseFit {
        leak,
        p_moisture,
        levels_near: middle(&levels_likely),
        levels_between: levels_likely.map(|levels| either_side(levels.interval(0.95))),
        tau_near: middle(&tau_likely),
        levels_off: levels.map(|levels| levels.interval(0.95)),
        time_constants: middle(&tau_likely).map(|tau| minutes / tau),
        tau: tau.map(|tau| tau.interval(0.95)),
        p_starts_late,
        starts_near: middle(&starts_late),
        rate_before: middle(&rate_before),
        starts_late: starts_late.map(|starts| starts.interval(0.95)),
        steps: Vec::new(),
        line: ahead.line(&blocks, rise.minutes[0]),
        from_minutes: rise.minutes[0],
        minutes,
        ahead,
    })
}

/// What two vapour terms and a gauge's scale leave open of a level, to either side: with it a simulated level of water lies
/// inside 96 times in 100, without 89.
const LEVEL_OPEN: f64 = 0.05;

fn either_side(levels: Interval) -> Interval {
    Interval {
        low: (1.0 - LEVEL_OPEN) * levels.low,
        high: (1.0 + LEVEL_OPEN) * levels.high,
    }
}

fn leak(node: &Node) -> (f64, f64, f64) {
    let (rate, variance) = node.rate();
    (node.log_weight, rate, variance.sqrt())
}

/// A quantity at a point of the grid: logarithm of its weight, mean, standard deviation.
type OfNode<'a> = dyn Fn(&Node) -> Option<(f64, f64, f64)> + 'a;

/// Start and all vapour terms together: where it would level off without the leak.
fn level(node: &Node) -> (f64, f64, f64) {
    let mut all = nalgebra::DVector::from_element(node.solved.coefficients.len(), 1.0);
    all[grid::LEAK] = 0.0;
    let variance = all.dot(&(&node.solved.covariance * &all));
    (
        node.log_weight,
        node.solved.coefficients.dot(&all),
        variance.max(0.0).sqrt(),
    )
}
