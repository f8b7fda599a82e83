//! Sums over the lag and the noise, with the linear terms integrated exactly at every point of the grid.
use super::LinePoint;
use super::blocks::Blocks;
use super::noise::NoiseNode;
use super::terms::{Design, Kind, TIME, Term};
use crate::stats::linear::{Solved, SolvedOne, one_with_known_terms, with_known_terms};
use crate::stats::mixture::Mixture;
use crate::stats::noise::{Rows, Shared, SharedProducts, products};

/// A point of the whole grid that matters.
#[derive(Debug, Clone)]
pub(super) struct Node {
    pub(super) lag: usize,
    pub(super) noise: NoiseNode,
    pub(super) log_weight: f64,
}

/// The slope of ln p summed over the grid, and the points that carry most of it.
#[derive(Debug, Clone)]
pub(super) struct Summed {
    pub(super) slope: Mixture,
    /// Scatter of the readings over the noise that suits them best; 1 unless they are rougher than the whole grid.
    pub(super) roughness: f64,
    /// Logarithm of the probability of the readings, up to a constant that is the same for every prior of the known terms.
    pub(super) log_evidence: f64,
    pub(super) heaviest: Vec<Node>,
}

/// At most this many points are kept for the line and for looking ahead.
const HEAVIEST: usize = 24;

/// A point of the grid before it is known whether it matters.
struct Light {
    lag: usize,
    noise: NoiseNode,
    log_weight: f64,
    loss: SolvedOne,
}

/// The sum for each of several designs on the same blocks and lags; `None` where nothing can be told apart.
pub(super) fn sum_over(designs: &[Design], noise: &[NoiseNode]) -> Vec<Option<Summed>> {
    let nodes = light_nodes(designs, noise).into_iter();
    let summed = nodes.zip(designs).map(|(nodes, design)| sum(nodes, design));
    summed.collect()
}

fn sum(mut nodes: Vec<Light>, design: &Design) -> Option<Summed> {
    let free = design.terms.iter().filter(|term| term.sd.is_none()).count();
    let rows = design.hours.len();
    let slope = Mixture::from_log_weights(nodes.iter().map(|node| {
        (
            node.log_weight,
            node.loss.mean,
            node.loss.sd * rougher(node.loss.chi_squared, free, rows),
        )
    }))?;
    let log_evidence = log_sum(&nodes);
    nodes.sort_by(|a, b| b.log_weight.total_cmp(&a.log_weight));
    nodes.truncate(HEAVIEST);
    let roughness = nodes
        .first()
        .map_or(1.0, |node| rougher(node.loss.chi_squared, free, rows));
    let heaviest = nodes.iter().map(|node| Node {
        lag: node.lag,
        noise: node.noise,
        log_weight: node.log_weight,
    });
    Some(Summed {
        slope,
        roughness,
        log_evidence,
        heaviest: heaviest.collect(),
    })
}

/// Columns of several designs, each kind once, and the response last; the same at every lag or not.
struct Columns<'a> {
    kinds: Vec<Kind>,
    at_lags: Vec<Vec<&'a [f64]>>,
}

impl<'a> Columns<'a> {
    fn of(designs: &'a [Design]) -> Self {
        let mut kinds: Vec<Kind> = Vec::new();
        let mut at_lags: Vec<Vec<&[f64]>> = vec![Vec::new(); designs[0].lags.len()];
        for design in designs {
            for (place, term) in design.terms.iter().enumerate() {
                if kinds.contains(&term.kind) {
                    continue;
                }
                kinds.push(term.kind);
                for (columns, lag) in at_lags.iter_mut().zip(&design.lags) {
                    columns.push(&lag.columns[place]);
                }
            }
        }
        for (columns, lag) in at_lags.iter_mut().zip(&designs[0].lags) {
            columns.extend(lag.columns.last().map(Vec::as_slice));
        }
        Self { kinds, at_lags }
    }

    fn same_at_every_lag(&self, column: usize) -> bool {
        let first = self.at_lags[0][column];
        self.at_lags.iter().all(|columns| columns[column] == first)
    }

    fn these(&self, lag: usize, columns: &[usize]) -> Vec<&'a [f64]> {
        let all = &self.at_lags[lag];
        columns.iter().map(|column| all[*column]).collect()
    }

    /// Where a design finds its columns: the loss last, then the response.
    fn order(&self, design: &Design) -> Vec<usize> {
        let place = |term: &Term| self.kinds.iter().position(|kind| *kind == term.kind);
        loss_last(design)
            .filter_map(|term| place(&design.terms[term]))
            .chain([self.kinds.len()])
            .collect()
    }
}

fn loss_last(design: &Design) -> impl Iterator<Item = usize> {
    let others = (0..design.terms.len()).filter(|term| *term != TIME);
    others.chain([TIME])
}

/// The loss of every design at every point of the grid. A column passes the filter once for all designs that have it, and
/// once for all lags where it does not depend on them.
fn light_nodes(designs: &[Design], noise: &[NoiseNode]) -> Vec<Vec<Light>> {
    let Some(first) = designs.first() else {
        return Vec::new();
    };
    let columns = Columns::of(designs);
    let (common, own): (Vec<usize>, Vec<usize>) =
        (0..=columns.kinds.len()).partition(|column| columns.same_at_every_lag(*column));
    let owns: Vec<Vec<&[f64]>> = (0..columns.at_lags.len())
        .map(|lag| columns.these(lag, &own))
        .collect();
    let shared = Shared::new(&columns.these(0, &common), &owns);

    // where each column went
    let places: Vec<usize> = common.iter().chain(&own).copied().collect();
    let place_of = |column: usize| places.iter().position(|c| *c == column).unwrap_or(column);
    let wanted: Vec<(Vec<usize>, Vec<f64>)> = designs
        .iter()
        .map(|design| {
            let order = columns.order(design).into_iter().map(place_of).collect();
            let precision = design.precision();
            (
                order,
                loss_last(design).map(|term| precision[term]).collect(),
            )
        })
        .collect();

    let mut nodes: Vec<Vec<Light>> = designs
        .iter()
        .map(|_| Vec::with_capacity(first.lags.len() * noise.len()))
        .collect();
    let (mut products, mut factor) = (SharedProducts::default(), Vec::new());
    for &noise in noise {
        let white = white_variance(first, &noise);
        products.fill(&first.hours, &white, noise.wander, &shared);
        for (nodes, (order, precision)) in nodes.iter_mut().zip(&wanted) {
            nodes.extend((0..first.lags.len()).filter_map(|lag| {
                let product = |i, j| products.at(lag, i, j);
                let log_det = products.log_det();
                let loss = one_with_known_terms(product, log_det, order, precision, &mut factor)?;
                Some(Light {
                    lag,
                    noise,
                    log_weight: loss.log_evidence + noise.log_prior,
                    loss,
                })
            }));
        }
    }
    nodes
}

fn log_sum(nodes: &[Light]) -> f64 {
    let top = nodes
        .iter()
        .map(|node| node.log_weight)
        .fold(f64::NEG_INFINITY, f64::max);
    top + nodes
        .iter()
        .map(|node| (node.log_weight - top).exp())
        .sum::<f64>()
        .ln()
}

impl Summed {
    /// The noise that another look at the same readings needs: the white noises of the heaviest points, and every slow noise
    /// up to their largest, since more room for a term leaves less to it.
    pub(super) fn worth_another_look(&self, noise: &[NoiseNode]) -> Vec<NoiseNode> {
        let seen = |white: f64| self.heaviest.iter().any(|n| n.noise.white_sd == white);
        let largest = self
            .heaviest
            .iter()
            .fold(0.0_f64, |sd, node| sd.max(node.noise.wander.sd));
        noise
            .iter()
            .filter(|node| seen(node.white_sd) && node.wander.sd <= largest)
            .copied()
            .collect()
    }

    /// The heaviest points with all their coefficients.
    fn solved(&self, design: &Design) -> Vec<(&Node, Solved)> {
        let precision = design.precision();
        let solved = self.heaviest.iter().filter_map(|node| {
            let rows = design.lags[node.lag].rows();
            Some((node, solve(design, &rows, &node.noise, &precision)?))
        });
        solved.collect()
    }

    /// A weighted sum of coefficients, over the heaviest points.
    pub(super) fn combination(&self, design: &Design, weights: &[(usize, f64)]) -> Option<Mixture> {
        Mixture::from_log_weights(self.solved(design).iter().map(|(node, solved)| {
            let mean = weights
                .iter()
                .map(|(j, w)| w * solved.coefficients[*j])
                .sum();
            let variance: f64 = weights
                .iter()
                .flat_map(|a| weights.iter().map(move |b| (a, b)))
                .map(|((j, w), (k, v))| w * v * solved.covariance[(*j, *k)])
                .sum();
            (node.log_weight, mean, variance.max(0.0).sqrt())
        }))
    }
}

/// Readings rougher than the widest noise of the grid widen the answer by the Birge ratio instead of being believed.
///
/// Source: R. T. Birge, Physical Review 40, 207 (1932). Below [`ROUGH`] the scatter is chance.
fn rougher(chi_squared: f64, free: usize, rows: usize) -> f64 {
    let left = rows.saturating_sub(free);
    if left < FEWEST_FOR_ROUGHNESS {
        return 1.0;
    }
    let ratio = chi_squared / left as f64;
    if ratio > ROUGH { ratio.sqrt() } else { 1.0 }
}

const ROUGH: f64 = 1.5;
const FEWEST_FOR_ROUGHNESS: usize = 5;

pub(super) fn white_variance(design: &Design, noise: &NoiseNode) -> Vec<f64> {
    design
        .white_shape
        .iter()
        .map(|shape| shape * noise.white_sd * noise.white_sd)
        .collect()
}

fn solve(design: &Design, rows: &Rows, noise: &NoiseNode, precision: &[f64]) -> Option<Solved> {
    let products = products(
        &design.hours,
        &white_variance(design, noise),
        noise.wander,
        rows,
    );
    with_known_terms(&products, precision)
}

/// Readings beside the line of a tight volume.
pub(super) fn line(
    design: &Design,
    summed: &Summed,
    blocks: &Blocks,
    ln_p: &[f64],
) -> Vec<LinePoint> {
    let read = blocks.average(ln_p);
    let heaviest = summed.solved(design);
    (0..blocks.len())
        .map(|row| {
            let at = |(node, solved): &(&Node, Solved)| {
                let lag = &design.lags[node.lag];
                let x = nalgebra::DVector::from_fn(design.terms.len(), |term, _| {
                    lag.columns[term][row]
                });
                let fitted = lag.base[row] + solved.coefficients.dot(&x);
                let mut without_loss = x.clone();
                without_loss[TIME] = 0.0;
                let expected = lag.base[row] + solved.coefficients.dot(&without_loss);
                let variance = without_loss.dot(&(&solved.covariance * &without_loss));
                (node.log_weight, fitted, expected, variance.max(0.0).sqrt())
            };
            let all: Vec<_> = heaviest.iter().map(at).collect();
            let expected = mixture(
                all.iter()
                    .map(|(weight, _, expected, sd)| (*weight, *expected, *sd)),
            );
            let fitted = mixture(
                all.iter()
                    .map(|(weight, fitted, _, _)| (*weight, *fitted, 0.0)),
            );
            LinePoint {
                hours: blocks.hours[row],
                read: read[row],
                expected: expected.mean(),
                sd: expected.sd(),
                residual: read[row] - fitted.mean(),
            }
        })
        .collect()
}

/// The heaviest points always have finite weights, so there is always a sum.
fn mixture(parts: impl Iterator<Item = (f64, f64, f64)>) -> Mixture {
    Mixture::from_log_weights(parts).unwrap_or_else(|| Mixture::normal(f64::NAN, f64::NAN))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::tight::method::input::{Assumptions, Gauge, Kappa, Series, Share, Unseen};
    use crate::check::tight::method::noise::noise_grid;

    /// The quick way over shared columns against the plain one, node by node (which itself is held to a dense Cholesky).
    #[test]
    fn the_quick_sum_is_the_plain_sum() {
        let hours: Vec<f64> = (0..700).map(|i| f64::from(i) / 20.0).collect();
        let wave = |mean: f64, swing: f64, by: f64| -> Vec<f64> {
            hours
                .iter()
                .map(|h| mean + swing * (h * by).sin())
                .collect()
        };
        let (outdoor, indoor) = (wave(290.0, 6.0, 0.26), wave(294.0, 0.4, 1.7));
        let ln_p: Vec<f64> = hours
            .iter()
            .zip(&outdoor)
            .map(|(h, t)| 15.0 + 0.8 * (t / 290.0).ln() - 3e-5 * h + 1e-4 * (37.0 * h).sin())
            .collect();
        let series = Series {
            outdoor_k: Some(&outdoor),
            indoor_k: Some(&indoor),
            ..Series::pressure_only(&hours, &ln_p, Kappa::constant(1.08))
        };
        let assumptions = Assumptions {
            share: Share::stated(0.7),
            gauge: Gauge {
                resolution_pa: 700.0,
                drift_pa_per_k: 200.0,
            },
            unseen: Unseen::of_field_test(0.2, 2.0).with_compressor(),
        };
        let design = Design::new(&series, &assumptions, &Blocks::of(&hours), &[]);
        let noise = noise_grid(&series, &assumptions);
        let quick = light_nodes(std::slice::from_ref(&design), &noise).remove(0);
        assert_eq!(quick.len(), design.lags.len() * noise.len());
        let precision = design.precision();
        for node in &quick {
            let rows = design.lags[node.lag].rows();
            let plain = solve(&design, &rows, &node.noise, &precision).unwrap();
            let sd = plain.covariance[(TIME, TIME)].sqrt();
            assert!((node.loss.mean - plain.coefficients[TIME]).abs() < 1e-9 * sd);
            assert!((node.loss.sd / sd - 1.0).abs() < 1e-9);
            assert!((node.loss.log_evidence / plain.log_evidence - 1.0).abs() < 1e-9);
            assert!((node.loss.chi_squared / plain.chi_squared - 1.0).abs() < 1e-9);
        }
    }
}
