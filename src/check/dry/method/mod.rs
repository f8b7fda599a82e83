//! The fit behind the vacuum rise: a steady leak beside something that gives off vapour and levels off.
//!
//! `p = p0 + q t + sum_i A_i (1 - e^{-t/tau_i})` with no, one or two vapour terms: real walls, oil and rubber give off fast
//! and slowly, and a single term would take the slow part for a leak. The time constants and the wander of the gauge are
//! summed over a grid, `p0`, `q` and `A_i` are integrated exactly, and `q` is left as a weighted sum of normals that may
//! well reach below zero.
mod ahead;
mod blocks;
mod error;
mod grid;

pub use error::RiseError;

use self::ahead::Ahead;
use self::blocks::Blocks;
use self::grid::{LEAK, Node};
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
    /// Steady rise, micron per minute; below zero for drift.
    pub leak: Mixture,
    /// Probability that something gives off vapour and levels off.
    pub p_moisture: f64,
    /// Where it would level off without the leak, micron (95 %). `None` when levelling off is not likely.
    pub levels_off: Option<Interval>,
    /// Time constant of the slowest levelling off, min (95 %). `None` when levelling off is not likely.
    pub tau: Option<Interval>,
    /// Time constants the test has lasted so far, with the middle value of `tau`.
    pub time_constants: Option<f64>,
    /// Fitted pressure at each block: minutes, micron as read, micron fitted.
    pub line: Vec<RisePoint>,
    /// Length of the test, min.
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
    /// Fitted pressure, micron.
    pub fitted: f64,
}

/// Time constants after which a rise that levels off can be told from a leak.
pub const ENOUGH_TIME_CONSTANTS: f64 = 3.0;

impl RiseFit {
    /// Minutes from the start after which the same test would decide against `limit` (micron/min) four times out of five
    /// and has seen three time constants. `None` beyond four hours.
    pub fn minutes_needed(&self, limit: f64) -> Option<f64> {
        self.ahead.minutes_needed(self, limit)
    }
}

/// Fits a vacuum rise.
///
/// Range: 4 readings or more, times in increasing order, pressures above zero. Readings at the ceiling of the gauge must be
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
    fit_with(rise, grid::UP_TO_TWO)
}

/// The same with one vapour term at most, to compare with fits that know only one.
pub fn fit_one_term(rise: &Rise) -> Result<RiseFit, RiseError> {
    fit_with(rise, grid::UP_TO_ONE)
}

fn fit_with(rise: &Rise, beforehand: [f64; 3]) -> Result<RiseFit, RiseError> {
    error::check(rise)?;
    sum_up(rise, beforehand).ok_or(RiseError::NotSeparable)
}

fn sum_up(rise: &Rise, beforehand: [f64; 3]) -> Option<RiseFit> {
    let blocks = Blocks::of(rise);
    let nodes = grid::nodes(&blocks, beforehand);
    let leak = Mixture::from_log_weights(nodes.iter().map(|node| {
        let variance = node.solved.covariance[(LEAK, LEAK)];
        (
            node.log_weight,
            node.solved.coefficients[LEAK],
            variance.sqrt(),
        )
    }))?;
    let top = grid::best(&nodes);
    let sum = |nodes: &mut dyn Iterator<Item = &Node>| {
        nodes.fold(0.0, |sum, node| sum + (node.log_weight - top).exp())
    };
    let vapour = |node: &&Node| !node.taus.is_empty();
    let p_moisture = sum(&mut nodes.iter().filter(vapour)) / sum(&mut nodes.iter());
    let likely = p_moisture > 0.5;
    let levels =
        Mixture::from_log_weights(nodes.iter().filter(vapour).map(level)).filter(|_| likely);
    let slowest = |node: &Node| Some((node.log_weight, *node.taus.last()?, 0.0));
    let tau = Mixture::from_log_weights(nodes.iter().filter_map(slowest)).filter(|_| likely);
    let minutes = rise.minutes[rise.minutes.len() - 1] - rise.minutes[0];
    let ahead = Ahead::new(nodes, &blocks);
    Some(RiseFit {
        leak,
        p_moisture,
        levels_off: levels.map(|levels| levels.interval(0.95)),
        time_constants: tau.as_ref().map(|tau| minutes / tau.quantile(0.5)),
        tau: tau.map(|tau| tau.interval(0.95)),
        line: ahead.line(&blocks, rise.minutes[0]),
        minutes,
        ahead,
    })
}

/// Start and all vapour terms together: where it would level off without the leak.
fn level(node: &Node) -> (f64, f64, f64) {
    let mut all = nalgebra::DVector::from_element(node.solved.coefficients.len(), 1.0);
    all[LEAK] = 0.0;
    let variance = all.dot(&(&node.solved.covariance * &all));
    (
        node.log_weight,
        node.solved.coefficients.dot(&all),
        variance.max(0.0).sqrt(),
    )
}
