//! The fitted curve, and how much longer to hold.
use super::blocks::Blocks;
use super::grid::{FIRST, LEAK, Node, best, precision};
use super::{ENOUGH_TIME_CONSTANTS, RiseFit, RisePoint};
use crate::stats::decision::{SURE, Verdict, judge};
use crate::stats::linear::with_known_terms;
use crate::stats::mixture::Mixture;
use crate::stats::noise::{Rows, products};

/// Longest hold ever asked for, min.
const LONGEST_MIN: f64 = 240.0;
/// One-sided 95 % and, on top, four chances in five: 1.645 + 0.842 standard deviations.
const MARGIN_SD: f64 = 2.487;
/// One-sided 95 %.
const SURE_SD: f64 = 1.645;
/// Points kept.
const HEAVIEST: usize = 40;
/// Step of the lengths that are tried, min.
const STEP_MIN: f64 = 5.0;

/// The points that carry most of the answer, and the readings they were found with.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Ahead {
    nodes: Vec<Node>,
    weights: Vec<f64>,
    minutes: Vec<f64>,
    micron: Vec<f64>,
    white: Vec<f64>,
}

impl Ahead {
    pub(super) fn new(mut nodes: Vec<Node>, blocks: &Blocks) -> Self {
        nodes.sort_by(|a, b| b.log_weight.total_cmp(&a.log_weight));
        nodes.truncate(HEAVIEST);
        let top = best(&nodes);
        let raw: Vec<f64> = nodes
            .iter()
            .map(|node| (node.log_weight - top).exp())
            .collect();
        let total: f64 = raw.iter().sum();
        Self {
            weights: raw.iter().map(|weight| weight / total).collect(),
            nodes,
            minutes: blocks.minutes.clone(),
            micron: blocks.micron.clone(),
            white: blocks.white.clone(),
        }
    }

    pub(super) fn line(&self, blocks: &Blocks, start: f64) -> Vec<RisePoint> {
        let mut line: Vec<RisePoint> = (0..self.minutes.len())
            .map(|i| RisePoint {
                minutes: self.minutes[i] + start,
                read: self.micron[i],
                fitted: 0.0,
                start: 0.0,
                leak: 0.0,
                vapour: 0.0,
            })
            .collect();
        for (node, weight) in self.nodes.iter().zip(&self.weights) {
            let size = |term: usize| weight * node.solved.coefficients[term];
            for (point, minutes) in line.iter_mut().zip(&self.minutes) {
                point.start += size(0);
                point.leak += size(LEAK) * minutes;
            }
            for (i, tau) in node.sources.taus.iter().enumerate() {
                for (point, given_off) in line.iter_mut().zip(blocks.vapour(*tau)) {
                    point.vapour += size(FIRST + i) * given_off;
                }
            }
            if let Some(begin) = node.sources.onset {
                for (point, since) in line.iter_mut().zip(blocks.late(begin)) {
                    point.leak += size(FIRST) * since;
                }
            }
        }
        for point in &mut line {
            point.fitted = point.start + point.leak + point.vapour;
        }
        line
    }

    pub(super) fn minutes_needed(&self, fit: &RiseFit, limit: f64) -> Option<f64> {
        let decided = judge(&fit.leak, limit).verdict != Verdict::Undecided;
        let waited = fit
            .time_constants
            .is_none_or(|count| count >= ENOUGH_TIME_CONSTANTS);
        if decided && waited {
            return Some(fit.minutes);
        }
        let seen = !fit.leak.interval(0.95).contains(0.0);
        let likely = if seen { fit.leak.mean() } else { 0.0 };
        let needed = (limit - likely).abs() / MARGIN_SD;
        let for_tau = fit
            .time_constants
            .map_or(0.0, |count| fit.minutes * ENOUGH_TIME_CONSTANTS / count);
        // the spread of today on the side of the limit, shrinking as that of each point of the grid does
        let share = toward(&fit.leak, likely, limit) / self.leak_sd(fit.minutes);
        let first = fit.minutes.max(for_tau).ceil();
        let enough = |total: f64| decided || share * self.leak_sd(total) <= needed;
        let steps = ((LONGEST_MIN - first) / STEP_MIN).floor();
        let after = |step: usize| first + STEP_MIN * step as f64;
        if steps < 0.0 || !enough(after(steps as usize)) {
            return None;
        }
        // longer is never worse, so halving finds the first that is enough
        let (mut short, mut long) = (0, steps as usize);
        while short < long {
            let middle = (short + long) / 2;
            if enough(after(middle)) {
                long = middle;
            } else {
                short = middle + 1;
            }
        }
        Some(after(long))
    }

    /// Standard deviation of the leak after `total` minutes, read as often as so far and at the pressure reached so far.
    fn leak_sd(&self, total: f64) -> f64 {
        let count = self.minutes.len();
        let last = self.minutes[count - 1];
        let spacing = last / (count - 1) as f64;
        let more = ((total - last) / spacing).max(0.0) as usize;
        let coming = (1..=more).map(|step| last + spacing * step as f64);
        let minutes: Vec<f64> = self.minutes.iter().copied().chain(coming).collect();
        let at_end = |column: &[f64], row: usize| column[row.min(count - 1)];
        let white: Vec<f64> = (0..minutes.len())
            .map(|row| at_end(&self.white, row))
            .collect();
        let variance = self
            .nodes
            .iter()
            .zip(&self.weights)
            .filter_map(|(node, weight)| {
                let mut columns = vec![vec![1.0; minutes.len()], minutes.clone()];
                columns.resize(FIRST + node.sources.count(), Vec::new());
                for &t in &minutes {
                    for (column, value) in columns[FIRST..].iter_mut().zip(node.sources.at(t)) {
                        column.push(value);
                    }
                }
                // the spread does not depend on the readings to come
                columns.push(vec![0.0; minutes.len()]);
                for column in &mut columns {
                    for (row, value) in column.iter_mut().enumerate() {
                        *value /= at_end(&self.micron, row);
                    }
                }
                let products =
                    products(&minutes, &white, node.wander, &Rows::from_columns(&columns));
                let solved = with_known_terms(&products, &precision(&node.sources))?;
                let ahead = Node {
                    solved,
                    ..node.clone()
                };
                Some(weight * ahead.rate().1)
            });
        variance.sum::<f64>().sqrt()
    }
}

/// Standard deviation on the side of the limit: the other side may be far wider, and does not count.
fn toward(leak: &Mixture, likely: f64, limit: f64) -> f64 {
    let reach = if likely < limit {
        leak.quantile(SURE) - likely
    } else {
        likely - leak.quantile(1.0 - SURE)
    };
    reach / SURE_SD
}
