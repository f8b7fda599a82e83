//! Sums over the time constants and the wander of the gauge.
use std::f64::consts::LN_2;

use super::blocks::Blocks;
use crate::stats::linear::{Solved, with_known_terms};
use crate::stats::noise::{Wander, products};

/// Range of a time constant, min; every factor is as likely as any other.
const TAU_MIN: (f64, f64) = (0.5, 200.0);
/// Points over the range of one time constant, and over each of two.
const POINTS_OF_ONE: usize = 40;
const POINTS_OF_TWO: usize = 14;
const FEWEST_FOR_TWO: usize = 8;
/// A point this much less likely than the best (in logarithm) does not count.
const NEGLIGIBLE: f64 = 14.0;
/// The grid is narrowed at most this often.
const MOST_ROUNDS: usize = 8;
/// Wander of the gauge as a part of its reading.
const WANDER: [f64; 5] = [0.001, 0.002, 0.004, 0.006, 0.008];
/// Over which time it wanders, min.
const WANDER_MIN: [f64; 3] = [1.0, 3.0, 10.0];
/// Standard deviation of a vapour term before any reading, micron. Ice and water at the freezing point level off at 4,600
/// (triple point 611.66 Pa), films, rubber and wet oil below. It matters where the hold is shorter than the time constant.
const VAPOUR_MICRON: f64 = 3000.0;
/// How likely no, one and two vapour terms are beforehand. Logged rises of tight volumes do not follow a single one; with
/// less than a tenth on two, simulated walls that give off fast and slowly were called leaking in 5 % of the tests.
pub(super) const UP_TO_TWO: [f64; 3] = [0.5, 0.4, 0.1];
/// One vapour term at most.
pub(super) const UP_TO_ONE: [f64; 3] = [0.5, 0.5, 0.0];

/// Position of the leak among the terms, and of the first vapour term.
pub(super) const LEAK: usize = 1;
pub(super) const VAPOUR: usize = 2;

/// One point of the grid.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Node {
    /// Time constants of the vapour terms, the slowest last, min.
    pub(super) taus: Vec<f64>,
    pub(super) wander: Wander,
    pub(super) log_weight: f64,
    pub(super) solved: Solved,
}

/// All points: without vapour, with one vapour term, and with two, as likely beforehand as given.
pub(super) fn nodes(blocks: &Blocks, beforehand: [f64; 3]) -> Vec<Node> {
    let mut nodes = at_taus(blocks, &[], beforehand[0].ln());
    nodes.extend(narrowed(blocks, 1, POINTS_OF_ONE, beforehand[1].ln()));
    // two terms, a leak and a level leave nothing to judge from fewer readings
    if beforehand[2] > 0.0 && blocks.minutes.len() > FEWEST_FOR_TWO {
        nodes.extend(narrowed(blocks, 2, POINTS_OF_TWO, beforehand[2].ln()));
    }
    nodes
}

/// One over the variance known beforehand of every term.
pub(super) fn precision(taus: usize) -> Vec<f64> {
    let mut precision = vec![0.0, 0.0];
    precision.extend(std::iter::repeat_n(VAPOUR_MICRON.powi(-2), taus));
    precision
}

fn at_taus(blocks: &Blocks, taus: &[f64], log_prior: f64) -> Vec<Node> {
    let rows = blocks.rows(taus);
    let precision = precision(taus.len());
    WANDER
        .iter()
        .flat_map(|&sd| WANDER_MIN.iter().map(move |&time| Wander { sd, time }))
        .filter_map(|wander| {
            let products = products(&blocks.minutes, &blocks.white, wander, &rows);
            let mut solved = with_known_terms(&products, &precision)?;
            let mut log_weight = solved.log_evidence + log_prior;
            // vapour is given off, not taken up: half of each term's normal, twice as high
            for term in VAPOUR..VAPOUR + taus.len() {
                log_weight += LN_2 + solved.truncate(term, (0.0, f64::INFINITY))?;
            }
            Some(Node {
                taus: taus.to_vec(),
                wander,
                log_weight,
                solved,
            })
        })
        .collect()
}

/// The grid over the time constants, narrowed until the points that count fill at least half of it.
fn narrowed(blocks: &Blocks, count: usize, points: usize, log_prior: f64) -> Vec<Node> {
    let full = (TAU_MIN.1 / TAU_MIN.0).ln();
    let mut ranges = vec![(TAU_MIN.0.ln(), TAU_MIN.1.ln()); count];
    let mut nodes = Vec::new();
    for _ in 0..MOST_ROUNDS {
        let widths: Vec<f64> = ranges
            .iter()
            .map(|(low, high)| (high - low) / points as f64)
            .collect();
        // ordered time constants fill only a part of the square
        let orders = if count == 2 { LN_2 } else { 0.0 };
        let log_cell = orders + widths.iter().map(|width| (width / full).ln()).sum::<f64>();
        nodes = cells(&ranges, &widths, points)
            .iter()
            .flat_map(|taus| at_taus(blocks, taus, log_prior + log_cell))
            .collect();
        let narrower = counting_ranges(&nodes, &ranges, &widths);
        if narrower == ranges {
            break;
        }
        ranges = narrower;
    }
    nodes
}

/// Middles of all cells with the time constants in increasing order.
fn cells(ranges: &[(f64, f64)], widths: &[f64], points: usize) -> Vec<Vec<f64>> {
    let middles = |axis: usize| {
        (0..points).map(move |i| (ranges[axis].0 + (i as f64 + 0.5) * widths[axis]).exp())
    };
    match ranges.len() {
        1 => middles(0).map(|tau| vec![tau]).collect(),
        _ => middles(0)
            .flat_map(|fast| {
                middles(1)
                    .filter(move |slow| *slow > fast)
                    .map(move |slow| vec![fast, slow])
            })
            .collect(),
    }
}

/// Every range cut down to the points that count and one cell beyond, unless they fill half of it already.
fn counting_ranges(nodes: &[Node], ranges: &[(f64, f64)], widths: &[f64]) -> Vec<(f64, f64)> {
    let top = best(nodes);
    let counting: Vec<&Node> = nodes
        .iter()
        .filter(|node| node.log_weight > top - NEGLIGIBLE)
        .collect();
    let cut = |axis: usize| {
        let (low, high) = ranges[axis];
        let logs = counting.iter().map(|node| node.taus[axis].ln());
        let (first, last) = logs.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), tau| {
            (a.min(tau), b.max(tau))
        });
        if counting.is_empty() || last - first > 0.5 * (high - low) {
            (low, high)
        } else {
            (
                (first - widths[axis]).max(low),
                (last + widths[axis]).min(high),
            )
        }
    };
    (0..ranges.len()).map(cut).collect()
}

/// The largest weight, in logarithm.
pub(super) fn best(nodes: &[Node]) -> f64 {
    nodes
        .iter()
        .map(|node| node.log_weight)
        .fold(f64::NEG_INFINITY, f64::max)
}
