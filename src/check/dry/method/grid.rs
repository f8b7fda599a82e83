//! Sums over the time constants and the wander of the gauge.
use std::f64::consts::LN_2;

use nalgebra::DMatrix;

use super::blocks::{Blocks, Sources};
use crate::stats::linear::{Solved, with_known_terms};
use crate::stats::noise::{Products, Shared, SharedProducts, Wander};

/// Range of a time constant, min; every factor is as likely as any other.
const TAU_MIN: (f64, f64) = (0.5, 200.0);
/// Points over the range of one time constant, and over each of two.
const POINTS_OF_ONE: usize = 40;
const POINTS_OF_TWO: usize = 10;
const FEWEST_FOR_MORE: usize = 8;
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
/// Standard deviation of a source that starts late before any reading, micron/min, and how likely one is beforehand: a valve
/// or a cap that gives way while the volume is held is rare.
const LATE_MICRON_PER_MIN: f64 = 300.0;
const LATE: f64 = 0.02;
/// Points over the time at which it starts.
const POINTS_OF_LATE: usize = 16;
/// How likely no, one and two vapour terms are beforehand. Logged rises of tight volumes do not follow a single one; with
/// less than a tenth on two, simulated walls that give off fast and slowly were called leaking in 5 % of the tests.
pub(super) const UP_TO_TWO: [f64; 3] = [0.5, 0.4, 0.1];
/// One vapour term at most.
pub(super) const UP_TO_ONE: [f64; 3] = [0.5, 0.5, 0.0];

/// Position of the leak among the terms, and of the first of the other sources.
pub(super) const LEAK: usize = 1;
pub(super) const FIRST: usize = 2;

/// One point of the grid.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Node {
    pub(super) sources: Sources,
    pub(super) wander: Wander,
    /// Width of its cell along the slowest time constant, in logarithm; of a late start, min.
    pub(super) cell: f64,
    pub(super) log_weight: f64,
    pub(super) solved: Solved,
}

impl Node {
    /// The same point with the leak cut off below zero; none when it is surely below.
    pub(super) fn leaking_inward(&self) -> Option<Node> {
        let mut node = self.clone();
        node.log_weight += node.solved.truncate(LEAK, (0.0, f64::INFINITY))?;
        Some(node)
    }

    /// The same point without any leak: weighted by how well it then explains the readings.
    pub(super) fn tight(&self) -> Option<Node> {
        let (leak, variance) = (
            self.solved.coefficients[LEAK],
            self.solved.covariance[(LEAK, LEAK)],
        );
        if variance <= 0.0 {
            return None;
        }
        let mut node = self.clone();
        let along = self.solved.covariance.column(LEAK) / variance;
        node.log_weight -= 0.5 * (leak * leak / variance + variance.ln());
        node.solved.coefficients -= &along * leak;
        node.solved.covariance -= &along * along.transpose() * variance;
        Some(node)
    }

    /// The steady rate at the end: mean and variance. What started late is part of it.
    pub(super) fn rate(&self) -> (f64, f64) {
        let (mean, variance) = (&self.solved.coefficients, &self.solved.covariance);
        match self.sources.onset {
            None => (mean[LEAK], variance[(LEAK, LEAK)]),
            Some(_) => (
                mean[LEAK] + mean[FIRST],
                variance[(LEAK, LEAK)] + variance[(FIRST, FIRST)] + 2.0 * variance[(LEAK, FIRST)],
            ),
        }
    }
}

/// All points: without vapour, with one vapour term, and with two, as likely beforehand as given; and a source that starts late.
pub(super) fn nodes(blocks: &Blocks, beforehand: [f64; 3], may_start_late: bool) -> Vec<Node> {
    let all = all_wanders();
    let mut nodes = at(blocks, &[Sources::default()], &all, beforehand[0].ln());
    nodes.extend(narrowed(blocks, 1, POINTS_OF_ONE, beforehand[1].ln()));
    // two terms, a leak and a level leave nothing to judge from fewer readings
    if blocks.minutes.len() <= FEWEST_FOR_MORE {
        return nodes;
    }
    if beforehand[2] > 0.0 {
        nodes.extend(narrowed(blocks, 2, POINTS_OF_TWO, beforehand[2].ln()));
    }
    if may_start_late {
        nodes.extend(starting_late(blocks));
    }
    nodes
}

/// A source that starts late, at any time but the first and last tenth of the hold; narrowed like the time constants.
fn starting_late(blocks: &Blocks) -> Vec<Node> {
    let last = blocks.minutes[blocks.minutes.len() - 1];
    let full = 0.8 * last;
    let (mut low, mut high) = (0.1 * last, 0.9 * last);
    let mut nodes = Vec::new();
    for _ in 0..MOST_ROUNDS {
        let width = (high - low) / POINTS_OF_LATE as f64;
        let starts: Vec<Sources> = (0..POINTS_OF_LATE)
            .map(|i| Sources {
                taus: Vec::new(),
                onset: Some(low + (i as f64 + 0.5) * width),
            })
            .collect();
        nodes = at(blocks, &starts, &all_wanders(), (LATE * width / full).ln());
        for node in &mut nodes {
            node.cell = width;
        }
        let counting = counting(&nodes)
            .into_iter()
            .filter_map(|node| node.sources.onset);
        let (first, end) = counting.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), start| {
            (a.min(start), b.max(start))
        });
        if end - first > 0.5 * (high - low) || first > end {
            break;
        }
        (low, high) = ((first - width).max(low), (end + width).min(high));
    }
    nodes
}

fn all_wanders() -> Vec<Wander> {
    WANDER
        .iter()
        .flat_map(|&sd| WANDER_MIN.iter().map(move |&time| Wander { sd, time }))
        .collect()
}

/// One over the variance known beforehand of every term.
pub(super) fn precision(sources: &Sources) -> Vec<f64> {
    let mut precision = vec![0.0, 0.0];
    precision.extend(sources.taus.iter().map(|_| VAPOUR_MICRON.powi(-2)));
    precision.extend(sources.onset.map(|_| LATE_MICRON_PER_MIN.powi(-2)));
    precision
}

/// The points of several regressions, all with as many sources, for every wander: one pass of the filter each.
fn at(blocks: &Blocks, regressions: &[Sources], wanders: &[Wander], log_prior: f64) -> Vec<Node> {
    let columns = Columns::of(blocks, regressions);
    let shared = columns.shared(regressions);
    let mut products = SharedProducts::default();
    let mut nodes = Vec::with_capacity(wanders.len() * regressions.len());
    for &wander in wanders {
        products.fill(&blocks.minutes, &blocks.white, wander, &shared);
        for (position, sources) in regressions.iter().enumerate() {
            nodes.extend(node(&products, position, sources, wander, log_prior));
        }
    }
    nodes
}

/// Start, leak and pressure come first among the shared products; here the pressure has to be last.
const PRESSURE: usize = 2;

fn node(
    products: &SharedProducts,
    position: usize,
    sources: &Sources,
    wander: Wander,
    log_prior: f64,
) -> Option<Node> {
    let terms = FIRST + sources.count();
    let place = |i: usize| match i {
        _ if i == terms => PRESSURE,
        0 | LEAK => i,
        _ => i + 1,
    };
    let gram = DMatrix::from_fn(terms + 1, terms + 1, |i, j| {
        products.at(position, place(i), place(j))
    });
    let log_det = products.log_det();
    let mut solved = with_known_terms(&Products { gram, log_det }, &precision(sources))?;
    let mut log_weight = solved.log_evidence + log_prior;
    // vapour is given off, not taken up: half of each term's normal, twice as high; what starts late adds, too
    for term in FIRST..terms {
        log_weight += LN_2 + solved.truncate(term, (0.0, f64::INFINITY))?;
    }
    Some(Node {
        sources: sources.clone(),
        wander,
        cell: 0.0,
        log_weight,
        solved,
    })
}

/// Columns over the pressure: those that all regressions share, and each different source once.
struct Columns {
    common: [Vec<f64>; 3],
    taus: Vec<(f64, Vec<f64>)>,
    onsets: Vec<(f64, Vec<f64>)>,
}

impl Columns {
    fn of(blocks: &Blocks, regressions: &[Sources]) -> Self {
        let each = |values: Vec<f64>, column: &dyn Fn(f64) -> Vec<f64>| {
            let mut values = values;
            values.sort_by(f64::total_cmp);
            values.dedup();
            let filled = |value: f64| (value, blocks.relative(column(value)));
            values.into_iter().map(filled).collect()
        };
        let count = blocks.minutes.len();
        Self {
            common: [
                blocks.relative(vec![1.0; count]),
                blocks.relative(blocks.minutes.clone()),
                vec![1.0; count],
            ],
            taus: each(
                regressions.iter().flat_map(|r| r.taus.clone()).collect(),
                &|tau| blocks.vapour(tau),
            ),
            onsets: each(
                regressions.iter().filter_map(|r| r.onset).collect(),
                &|start| blocks.late(start),
            ),
        }
    }

    fn shared(&self, regressions: &[Sources]) -> Shared {
        let own: Vec<Vec<&[f64]>> = regressions
            .iter()
            .filter(|sources| sources.count() > 0)
            .map(|sources| {
                let taus = sources.taus.iter().map(|tau| found(&self.taus, *tau));
                taus.chain(sources.onset.map(|start| found(&self.onsets, start)))
                    .collect()
            })
            .collect();
        let [start, leak, pressure] = &self.common;
        Shared::new(&[start, leak, pressure], &own)
    }
}

/// The column of a value that was put in.
fn found(columns: &[(f64, Vec<f64>)], value: f64) -> &[f64] {
    &columns[columns.partition_point(|(known, _)| *known < value)].1
}

/// The grid over the time constants, narrowed until the points that count fill at least half of it.
fn narrowed(blocks: &Blocks, count: usize, points: usize, log_prior: f64) -> Vec<Node> {
    let full = (TAU_MIN.1 / TAU_MIN.0).ln();
    let mut ranges = vec![(TAU_MIN.0.ln(), TAU_MIN.1.ln()); count];
    let mut nodes = Vec::new();
    let mut wanders = all_wanders();
    for _ in 0..MOST_ROUNDS {
        let widths: Vec<f64> = ranges
            .iter()
            .map(|(low, high)| (high - low) / points as f64)
            .collect();
        // ordered time constants fill only a part of the square
        let orders = if count == 2 { LN_2 } else { 0.0 };
        let log_cell = orders + widths.iter().map(|width| (width / full).ln()).sum::<f64>();
        let cells = cells(&ranges, &widths, points);
        nodes = at(blocks, &cells, &wanders, log_prior + log_cell);
        for node in &mut nodes {
            node.cell = widths[count - 1];
        }
        let narrower = counting_ranges(&nodes, &ranges, &widths);
        if narrower == ranges {
            break;
        }
        ranges = narrower;
        let counting = counting(&nodes);
        wanders.retain(|wander| counting.iter().any(|node| node.wander == *wander));
    }
    nodes
}

/// Middles of all cells with the time constants in increasing order.
fn cells(ranges: &[(f64, f64)], widths: &[f64], points: usize) -> Vec<Sources> {
    let middles = |axis: usize| {
        (0..points).map(move |i| (ranges[axis].0 + (i as f64 + 0.5) * widths[axis]).exp())
    };
    let of = |taus: Vec<f64>| Sources { taus, onset: None };
    match ranges.len() {
        1 => middles(0).map(|tau| of(vec![tau])).collect(),
        _ => middles(0)
            .flat_map(|fast| {
                middles(1)
                    .filter(move |slow| *slow > fast)
                    .map(move |slow| of(vec![fast, slow]))
            })
            .collect(),
    }
}

/// Every range cut down to the points that count and one cell beyond, unless they fill half of it already.
fn counting_ranges(nodes: &[Node], ranges: &[(f64, f64)], widths: &[f64]) -> Vec<(f64, f64)> {
    let counting = counting(nodes);
    let cut = |axis: usize| {
        let (low, high) = ranges[axis];
        let logs = counting.iter().map(|node| node.sources.taus[axis].ln());
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

/// Points that are not negligible beside the best.
fn counting(nodes: &[Node]) -> Vec<&Node> {
    let top = best(nodes);
    let counts = |node: &&Node| node.log_weight > top - NEGLIGIBLE;
    nodes.iter().filter(counts).collect()
}

/// The largest weight, in logarithm.
pub(super) fn best(nodes: &[Node]) -> f64 {
    nodes
        .iter()
        .map(|node| node.log_weight)
        .fold(f64::NEG_INFINITY, f64::max)
}
