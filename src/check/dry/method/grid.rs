//! Sums over the time constant and the wander of the gauge.
use std::f64::consts::LN_2;

use super::{ENOUGH_TIME_CONSTANTS, Rise, RiseFit, RisePoint};
use crate::stats::decision::{Verdict, judge};
use crate::stats::linear::{Solved, with_known_terms};
use crate::stats::mixture::Mixture;
use crate::stats::noise::{Rows, Wander, products};

/// Range of the time constant, min; every factor is as likely as any other.
const TAU_MIN: (f64, f64) = (0.5, 200.0);
/// Points over the range of the time constant, each time it is narrowed.
const TAU_POINTS: usize = 40;
/// Wander of the gauge as a part of its reading.
const WANDER: [f64; 5] = [0.001, 0.002, 0.004, 0.006, 0.008];
/// Over which time it wanders, min.
const WANDER_MIN: [f64; 3] = [1.0, 3.0, 10.0];
/// Standard deviation of the vapour term before any reading, micron. Ice and water at the freezing point level off at 4,600
/// (triple point 611.66 Pa), films, rubber and wet oil below. Where the hold is shorter than the time constant the answer
/// leans on it; half or twice the number moved the coverage in simulation by less than 0.01.
const VAPOUR_MICRON: f64 = 3000.0;
/// Most blocks the readings are averaged into.
const MOST_BLOCKS: usize = 120;
/// Longest hold ever asked for, min.
const LONGEST_MIN: f64 = 240.0;
/// One-sided 95 % and, on top, four chances in five.
const MARGIN_SD: f64 = 2.487;
/// Points kept for the curve and for looking ahead.
const HEAVIEST: usize = 40;

const LEAK: usize = 1;
const VAPOUR: usize = 2;

/// Readings averaged, each row divided by its pressure so that the wander is the same everywhere.
struct Blocks {
    edges: Vec<usize>,
    minutes: Vec<f64>,
    micron: Vec<f64>,
    white: Vec<f64>,
}

impl Blocks {
    fn of(rise: &Rise) -> Self {
        let n = rise.minutes.len();
        let per_block = n.div_ceil(MOST_BLOCKS);
        let mut edges: Vec<usize> = (0..n).step_by(per_block).collect();
        edges.push(n);
        let mut blocks = Self {
            edges,
            minutes: Vec::new(),
            micron: Vec::new(),
            white: Vec::new(),
        };
        blocks.minutes = blocks.average(|i| rise.minutes[i] - rise.minutes[0]);
        blocks.micron = blocks.average(|i| rise.micron[i]);
        let variance = rise.resolution_micron.powi(2) / 12.0;
        blocks.white = blocks
            .edges
            .windows(2)
            .zip(&blocks.micron)
            .map(|(edge, micron)| variance / (edge[1] - edge[0]) as f64 / (micron * micron))
            .collect();
        blocks
    }

    fn average(&self, value: impl Fn(usize) -> f64) -> Vec<f64> {
        self.edges
            .windows(2)
            .map(|edge| (edge[0]..edge[1]).map(&value).sum::<f64>() / (edge[1] - edge[0]) as f64)
            .collect()
    }

    fn rows(&self, rise: &Rise, tau: Option<f64>) -> Rows {
        let start = rise.minutes[0];
        let mut columns = vec![vec![1.0; self.minutes.len()], self.minutes.clone()];
        columns
            .extend(tau.map(|tau| self.average(|i| -(-(rise.minutes[i] - start) / tau).exp_m1())));
        // the response is what is left of a reading of one, so that its sum of squares stays small
        columns.push(self.micron.clone());
        for column in &mut columns {
            for (value, micron) in column.iter_mut().zip(&self.micron) {
                *value /= micron;
            }
        }
        Rows::from_columns(&columns)
    }
}

/// One point of the grid.
#[derive(Debug, Clone, PartialEq)]
struct Node {
    tau: Option<f64>,
    wander: Wander,
    log_weight: f64,
    solved: Solved,
}

/// The points that carry most of the answer, and the readings they were found with.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Heaviest {
    nodes: Vec<Node>,
    minutes: Vec<f64>,
    micron: Vec<f64>,
    white: Vec<f64>,
}

fn precision(tau: Option<f64>) -> Vec<f64> {
    let mut precision = vec![0.0, 0.0];
    precision.extend(tau.map(|_| VAPOUR_MICRON.powi(-2)));
    precision
}

fn at_tau(
    rise: &Rise,
    blocks: &Blocks,
    tau: Option<f64>,
    log_prior: f64,
) -> impl Iterator<Item = Node> {
    let rows = blocks.rows(rise, tau);
    let wanders = WANDER
        .iter()
        .flat_map(|&sd| WANDER_MIN.iter().map(move |&time| Wander { sd, time }));
    let nodes: Vec<Node> = wanders
        .filter_map(|wander| {
            let mut solved = with_known_terms(
                &products(&blocks.minutes, &blocks.white, wander, &rows),
                &precision(tau),
            )?;
            // vapour is given off, not taken up: half of the term's normal, twice as high
            let log_prior = match tau {
                Some(_) => log_prior + LN_2 + solved.truncate(VAPOUR, (0.0, f64::INFINITY))?,
                None => log_prior,
            };
            Some(Node {
                tau,
                wander,
                log_weight: solved.log_evidence + log_prior,
                solved,
            })
        })
        .collect();
    nodes.into_iter()
}

/// The time constant's grid, narrowed until the readings' own range is covered by most of its points.
fn with_vapour(rise: &Rise, blocks: &Blocks) -> Vec<Node> {
    let full = (TAU_MIN.1 / TAU_MIN.0).ln();
    let (mut low, mut high) = (TAU_MIN.0.ln(), TAU_MIN.1.ln());
    loop {
        let width = (high - low) / TAU_POINTS as f64;
        let taus: Vec<f64> = (0..TAU_POINTS)
            .map(|i| low + (i as f64 + 0.5) * width)
            .collect();
        let log_prior = (width / full).ln();
        let nodes: Vec<Node> = taus
            .iter()
            .flat_map(|tau| at_tau(rise, blocks, Some(tau.exp()), log_prior))
            .collect();
        let top = nodes
            .iter()
            .map(|node| node.log_weight)
            .fold(f64::NEG_INFINITY, f64::max);
        let counted = nodes
            .iter()
            .filter(|node| node.log_weight > top - 14.0)
            .filter_map(|node| node.tau)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), tau| {
                (low.min(tau.ln()), high.max(tau.ln()))
            });
        if !top.is_finite() || counted.1 - counted.0 > 0.5 * (high - low) {
            return nodes;
        }
        (low, high) = (counted.0 - width, counted.1 + width);
    }
}

pub(super) fn fit(rise: &Rise) -> Option<RiseFit> {
    let blocks = Blocks::of(rise);
    // with and without vapour are equally likely beforehand
    let mut nodes = with_vapour(rise, &blocks);
    nodes.extend(at_tau(rise, &blocks, None, 0.0));
    let leak = Mixture::from_log_weights(nodes.iter().map(|node| {
        (
            node.log_weight,
            node.solved.coefficients[LEAK],
            node.solved.covariance[(LEAK, LEAK)].sqrt(),
        )
    }))?;
    let top = nodes
        .iter()
        .map(|node| node.log_weight)
        .fold(f64::NEG_INFINITY, f64::max);
    let total: f64 = nodes.iter().map(|node| (node.log_weight - top).exp()).sum();
    let vapour = |node: &&Node| node.tau.is_some();
    let p_moisture = nodes
        .iter()
        .filter(vapour)
        .map(|node| (node.log_weight - top).exp())
        .sum::<f64>()
        / total;
    let likely = p_moisture > 0.5;
    let level = |node: &Node| {
        let covariance = &node.solved.covariance;
        let variance =
            covariance[(0, 0)] + covariance[(VAPOUR, VAPOUR)] + 2.0 * covariance[(0, VAPOUR)];
        (
            node.log_weight,
            node.solved.coefficients[0] + node.solved.coefficients[VAPOUR],
            variance.max(0.0).sqrt(),
        )
    };
    let levels = Mixture::from_log_weights(nodes.iter().filter(vapour).map(level));
    let taus = Mixture::from_log_weights(
        nodes
            .iter()
            .filter_map(|node| Some((node.log_weight, node.tau?, 0.0))),
    );
    let minutes = rise.minutes[rise.minutes.len() - 1] - rise.minutes[0];
    nodes.sort_by(|a, b| b.log_weight.total_cmp(&a.log_weight));
    nodes.truncate(HEAVIEST);
    let heaviest = Heaviest {
        nodes,
        minutes: blocks.minutes.clone(),
        micron: blocks.micron.clone(),
        white: blocks.white.clone(),
    };
    Some(RiseFit {
        leak,
        p_moisture,
        levels_off: levels
            .filter(|_| likely)
            .map(|levels| levels.interval(0.95)),
        time_constants: taus
            .as_ref()
            .filter(|_| likely)
            .map(|taus| minutes / taus.quantile(0.5)),
        tau: taus.filter(|_| likely).map(|taus| taus.interval(0.95)),
        line: heaviest.line(rise, &blocks),
        minutes,
        nodes: heaviest,
    })
}

impl Heaviest {
    fn line(&self, rise: &Rise, blocks: &Blocks) -> Vec<RisePoint> {
        let top = self.nodes.first().map_or(0.0, |node| node.log_weight);
        let weights: Vec<f64> = self
            .nodes
            .iter()
            .map(|node| (node.log_weight - top).exp())
            .collect();
        let total: f64 = weights.iter().sum();
        let mut fitted = vec![0.0; blocks.minutes.len()];
        for (node, weight) in self.nodes.iter().zip(&weights) {
            let rows = blocks.rows(rise, node.tau);
            for ((fitted, row), micron) in fitted.iter_mut().zip(rows.iter()).zip(&blocks.micron) {
                let relative: f64 = row
                    .iter()
                    .zip(node.solved.coefficients.iter())
                    .map(|(x, b)| x * b)
                    .sum();
                *fitted += weight / total * relative * micron;
            }
        }
        (0..fitted.len())
            .map(|i| RisePoint {
                minutes: blocks.minutes[i] + rise.minutes[0],
                read: blocks.micron[i],
                fitted: fitted[i],
            })
            .collect()
    }

    pub(super) fn minutes_needed(&self, fit: &RiseFit, limit: f64) -> Option<f64> {
        let decided = judge(&fit.leak, limit).verdict != Verdict::Undecided;
        let waited = fit
            .time_constants
            .is_none_or(|count| count >= ENOUGH_TIME_CONSTANTS);
        if decided && waited {
            return Some(fit.minutes);
        }
        let likely = if fit.leak.interval(0.95).contains(0.0) {
            0.0
        } else {
            fit.leak.mean()
        };
        let needed = (limit - likely).abs() / MARGIN_SD;
        let for_tau = fit
            .time_constants
            .map_or(0.0, |count| fit.minutes * ENOUGH_TIME_CONSTANTS / count);
        let first = fit.minutes.max(for_tau).ceil();
        let enough = |total: &f64| decided || self.leak_sd(*total) <= needed;
        (0..)
            .map(|step| first + 5.0 * f64::from(step))
            .take_while(|total| *total <= LONGEST_MIN)
            .find(enough)
    }

    /// Standard deviation of the leak after `total` minutes, read as often as so far and at the pressure reached so far.
    fn leak_sd(&self, total: f64) -> f64 {
        let count = self.minutes.len();
        let last = self.minutes[count - 1];
        let spacing = last / (count - 1) as f64;
        let more = ((total - last) / spacing).max(0.0) as usize;
        let minutes: Vec<f64> = self
            .minutes
            .iter()
            .copied()
            .chain((1..=more).map(|step| last + spacing * step as f64))
            .collect();
        let at_end = |column: &[f64], row: usize| column[row.min(count - 1)];
        let white: Vec<f64> = (0..minutes.len())
            .map(|row| at_end(&self.white, row))
            .collect();
        let (mut sum, mut weights) = (0.0, 0.0);
        let top = self.nodes.first().map_or(0.0, |node| node.log_weight);
        for node in &self.nodes {
            let mut columns = vec![vec![1.0; minutes.len()], minutes.clone()];
            columns.extend(
                node.tau
                    .map(|tau| minutes.iter().map(|t| -(-t / tau).exp_m1()).collect()),
            );
            columns.push(vec![0.0; minutes.len()]);
            for column in &mut columns {
                for (row, value) in column.iter_mut().enumerate() {
                    *value /= at_end(&self.micron, row);
                }
            }
            let products = products(&minutes, &white, node.wander, &Rows::from_columns(&columns));
            if let Some(solved) = with_known_terms(&products, &precision(node.tau)) {
                let weight = (node.log_weight - top).exp();
                sum += weight * solved.covariance[(LEAK, LEAK)];
                weights += weight;
            }
        }
        (sum / weights).sqrt()
    }
}
