//! The fit behind the vacuum rise: a steady leak beside something that gives off vapour and levels off.
//!
//! `p = p0 + q t + A (1 - e^{-t/tau})`, with and without the last term. The time constant and the wander of the gauge are
//! summed over a grid, `p0`, `q` and `A` are integrated exactly, and `q` is left as a weighted sum of normals that may well
//! reach below zero.
mod error;
mod grid;

pub use error::RiseError;

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
    /// Time constant of the levelling off, min (95 %). `None` when levelling off is not likely.
    pub tau: Option<Interval>,
    /// Time constants the test has lasted so far, with the middle value of `tau`.
    pub time_constants: Option<f64>,
    /// Fitted pressure at each block: minutes, micron as read, micron fitted.
    pub line: Vec<RisePoint>,
    /// Length of the test, min.
    pub minutes: f64,
    nodes: grid::Heaviest,
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
        self.nodes.minutes_needed(self, limit)
    }
}

/// Fits a vacuum rise.
///
/// Range: 4 readings or more, times in increasing order, pressures above zero. Readings at the ceiling of the gauge must be
/// left out by the caller.
///
/// Source: the rise of an outgassing volume, `A (1 - e^{-t/tau})`, as in Jousten (ed.), Handbook of Vacuum Technology, 2016
/// (from memory); sums as in Gelman et al., Bayesian Data Analysis, 3rd ed.
pub fn fit(rise: &Rise) -> Result<RiseFit, RiseError> {
    error::check(rise)?;
    grid::fit(rise).ok_or(RiseError::NotSeparable)
}
