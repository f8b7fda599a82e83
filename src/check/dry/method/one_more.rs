//! What one more reading would buy.
use super::blocks::Blocks;
use super::grid::{self, FIRST, LEAK, Node};
use super::{Rise, RiseError, error, leak};
use crate::stats::mixture::Mixture;

/// The interval of the steady rise now, and what to expect of it with one more reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OneMore {
    /// When it would be read, min on the clock of the readings.
    pub minutes: f64,
    /// Width of the 95 % interval now, micron/min.
    pub width_now: f64,
    /// Width to expect then, micron/min.
    pub width_then: f64,
    /// What the gauge will read, as likely below as above, micron.
    pub likely_micron: f64,
}

/// Parts of equal probability the coming reading is split into.
const PARTS: usize = 9;

/// Foresees the interval with one more reading at `minutes` (same clock as the readings, after the last).
///
/// The same fit is made for nine values of the coming reading, each as likely as the others by the fit so far; the width to
/// expect is their mean. Meant for the first few typed readings: the cost is nine fits.
///
/// Source: preposterior analysis, Raiffa & Schlaifer, Applied Statistical Decision Theory, 1961 (from memory).
pub fn one_more(rise: &Rise, minutes: f64) -> Result<OneMore, RiseError> {
    error::check(rise)?;
    let coming = coming(rise, minutes).ok_or(RiseError::NotSeparable)?;
    let width = |rise: &Rise| -> Result<f64, RiseError> {
        error::check(rise)?;
        let nodes = grid::nodes(&Blocks::of(rise), grid::UP_TO_TWO, true);
        let leak = Mixture::from_log_weights(nodes.iter().map(leak));
        let interval = leak.ok_or(RiseError::NotSeparable)?.interval(0.95);
        Ok(interval.high - interval.low)
    };
    let width_then = (0..PARTS)
        .map(|part| {
            let read = coming.quantile((part as f64 + 0.5) / PARTS as f64);
            let all = |seen: &[f64], next: f64| [seen, &[next]].concat();
            width(&Rise {
                minutes: &all(rise.minutes, minutes),
                // a gauge shows no less than its smallest step
                micron: &all(rise.micron, read.max(rise.resolution_micron)),
                ..*rise
            })
        })
        .sum::<Result<f64, RiseError>>()?
        / PARTS as f64;
    Ok(OneMore {
        minutes,
        width_now: width(rise)?,
        width_then,
        likely_micron: coming.quantile(0.5),
    })
}

/// What the gauge will read: nothing leaks out of a vacuum, so a leak below zero, as far as the readings allow one, is cut off.
fn coming(rise: &Rise, minutes: f64) -> Option<Mixture> {
    let blocks = Blocks::of(rise);
    let nodes = grid::nodes(&blocks, grid::UP_TO_TWO, true);
    let t = minutes - rise.minutes[0];
    let reading = |node: &Node| {
        let mut row = nalgebra::DVector::from_element(FIRST + node.sources.count(), 1.0);
        row[LEAK] = t;
        for (i, value) in node.sources.at(t).enumerate() {
            row[FIRST + i] = value;
        }
        let mean = row.dot(&node.solved.coefficients);
        let curve = row.dot(&(&node.solved.covariance * &row)).max(0.0);
        let gauge = (node.wander.sd * mean).powi(2) + rise.resolution_micron.powi(2) / 12.0;
        (node.log_weight, mean, (curve + gauge).sqrt())
    };
    let inward: Vec<Node> = nodes.iter().filter_map(Node::leaking_inward).collect();
    Mixture::from_log_weights(inward.iter().map(reading))
        .or_else(|| Mixture::from_log_weights(nodes.iter().map(reading)))
}
