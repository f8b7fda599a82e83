//! How much longer: the same regression pushed forward in time.
//!
//! The spread of the loss does not depend on readings to come, only on when they come and on what the columns will be then:
//! `C(T) = (X_T' V_T^-1 X_T + P)^-1` with the rows until `T`, temperatures as a day before. The smallest `T` is wanted at which
//! `|limit - likely loss|` is 2.487 standard deviations.
use super::Beside;
use super::grid::Node;
use super::terms::{Design, Kind, TIME, without_data};
use super::ways::Ways;
use crate::stats::linear::one_with_known_terms;
use crate::stats::mixture::Mixture;
use crate::stats::noise::{Shared, SharedProducts};

/// Longest hold that is ever asked for, h.
const LONGEST_H: f64 = 72.0;
/// One-sided 95 % and, on top, four chances in five: 1.645 + 0.842 standard deviations.
const MARGIN_SD: f64 = 2.487;
/// A loss this near the limit, as a part of it, is never told from it.
const NEAR: f64 = 0.1;
/// Half a day's swing (K) assumed for the hours to come when less than a day was logged, unless more was seen.
const USUAL_HALF_SWING_K: f64 = 3.0;

/// Whether and when the same test would decide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HoursNeeded {
    /// It decides now.
    Decided,
    /// Length of the whole test, h, counted from its start.
    Total(f64),
    /// It would not, for this reason.
    Never(WhyNot),
}

/// Why holding longer would not decide.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhyNot {
    /// It would take more than 72 h with these instruments.
    MoreThan72Hours,
    /// The gauge shows too few different values.
    GaugeTooCoarse,
    /// The loss is too near the limit.
    TooNearTheLimit,
    /// The set was touched too often during the test, or the readings are too rough for any line.
    TooManySteps,
}

/// Beyond a day, whole days: at the clock time of the start the sun and the weather's day stand where they stood, and what no
/// thermometer saw of them cancels.
fn to_the_clock(hours: f64) -> f64 {
    if hours > 24.0 {
        (hours / 24.0).ceil() * 24.0
    } else {
        hours
    }
}

/// What is needed to push the regression forward, in every way the test may have gone.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Ahead {
    nodes: Vec<AheadNode>,
    hours: Vec<f64>,
    white_shape: Vec<f64>,
    per_kelvin: f64,
    beside: Beside,
}

#[derive(Debug, Clone, PartialEq)]
struct AheadNode {
    weight: f64,
    lag_h: f64,
    white_variance: f64,
    wander: crate::stats::noise::Wander,
    terms: Vec<(Kind, f64)>,
    /// Block means of the columns so far, one per term.
    columns: Vec<Vec<f64>>,
}

/// The heaviest points that are pushed forward, of each way.
const POINTS_AHEAD: usize = 6;

impl AheadNode {
    fn new(design: &Design, node: &Node, weight: f64) -> Self {
        let lag = &design.lags[node.lag];
        Self {
            weight,
            lag_h: lag.lag_h,
            white_variance: node.noise.white_sd.powi(2),
            wander: node.noise.wander,
            terms: design
                .terms
                .iter()
                .map(|term| term.kind)
                .zip(design.precision())
                .collect(),
            columns: lag.columns[..design.terms.len()].to_vec(),
        }
    }

    /// The columns with the loss last, then the response.
    fn order(&self) -> Vec<usize> {
        let others = (0..self.terms.len()).filter(|term| *term != TIME);
        others.chain([TIME, self.terms.len()]).collect()
    }
}

impl Ahead {
    pub(super) fn new(ways: &Ways, beside: Beside) -> Self {
        let usual = &ways.likeliest().design;
        let mut nodes = Vec::new();
        for (chance, gone) in ways.chances() {
            let heaviest = &gone.summed.heaviest;
            let top = heaviest.first().map_or(0.0, |node| node.log_weight);
            let some: Vec<(f64, &Node)> = heaviest
                .iter()
                .take(POINTS_AHEAD)
                .map(|node| ((node.log_weight - top).exp(), node))
                .collect();
            let total: f64 = some.iter().map(|(weight, _)| weight).sum();
            nodes.extend(
                some.iter().map(|(weight, node)| {
                    AheadNode::new(&gone.design, node, chance * weight / total)
                }),
            );
        }
        Self {
            nodes,
            hours: usual.hours.clone(),
            white_shape: usual.white_shape.clone(),
            per_kelvin: usual.per_kelvin,
            beside,
        }
    }

    pub(super) fn hours_needed(&self, loss: &Mixture, limit: f64) -> HoursNeeded {
        let (likely, disagree) = self.to_plan_for(loss);
        let needed = (limit - likely).abs() / MARGIN_SD / disagree;
        if (limit - likely).abs() < NEAR * limit {
            return HoursNeeded::Never(WhyNot::TooNearTheLimit);
        }
        if self.beside.coarse / LONGEST_H > needed {
            return HoursNeeded::Never(WhyNot::GaugeTooCoarse);
        }
        if self.slope_sd(LONGEST_H) > needed {
            return HoursNeeded::Never(WhyNot::MoreThan72Hours);
        }
        let now = self.hours.last().map_or(0.0, |last| last.floor());
        let (mut too_short, mut enough) = (now, LONGEST_H);
        while enough - too_short > 1.0 {
            let middle = (0.5 * (too_short + enough)).floor();
            if self.slope_sd(middle) > needed {
                too_short = middle;
            } else {
                enough = middle;
            }
        }
        HoursNeeded::Total(to_the_clock(enough))
    }

    /// The loss to plan for, and how much wider its estimate is than the regression's own spread.
    fn to_plan_for(&self, loss: &Mixture) -> (f64, f64) {
        // a tight set is the case to plan for, as long as the readings allow it
        let likely = if loss.interval(0.95).contains(0.0) {
            0.0
        } else {
            loss.mean()
        };
        // the points of the grid disagree by more than each one's own spread
        let disagree =
            (loss.sd() / self.slope_sd(self.hours.last().copied().unwrap_or(0.0))).max(1.0);
        (likely, disagree)
    }

    /// The loss to plan for and the spread of its estimate after `total` hours, both 1/h.
    pub(super) fn after(&self, loss: &Mixture, total: f64) -> (f64, f64) {
        let (likely, disagree) = self.to_plan_for(loss);
        (likely, disagree * self.slope_sd(total))
    }

    /// Standard deviation of the loss after `total` hours, readings as often as so far.
    fn slope_sd(&self, total: f64) -> f64 {
        let times = self.times_until(total);
        let (mut sum, mut weights) = (0.0, 0.0);
        let (mut products, mut factor) = (SharedProducts::default(), Vec::new());
        let mut looked_at: Vec<(&AheadNode, Shared)> = Vec::new();
        for node in &self.nodes {
            let same = |other: &&AheadNode| other.lag_h == node.lag_h && other.terms == node.terms;
            let known = looked_at.iter().position(|(other, _)| same(other));
            let place = known.unwrap_or(looked_at.len());
            if known.is_none() {
                looked_at.push((node, self.rows(node, &times)));
            }
            let rows = &looked_at[place].1;
            let order = node.order();
            let precision: Vec<f64> = order[..node.terms.len()]
                .iter()
                .map(|term| node.terms[*term].1)
                .collect();
            let white: Vec<f64> = (0..times.len())
                .map(|row| {
                    node.white_variance * self.white_shape.get(row).unwrap_or(&self.usual_shape())
                })
                .collect();
            products.fill(&times, &white, node.wander, rows);
            let product = |i, j| products.at(0, i, j);
            let log_det = products.log_det();
            if let Some(solved) =
                one_with_known_terms(product, log_det, &order, &precision, &mut factor)
            {
                sum += node.weight * solved.sd * solved.sd;
                weights += node.weight;
            }
        }
        (sum / weights).sqrt().hypot(self.beside.slope_sd(total))
    }

    fn usual_shape(&self) -> f64 {
        self.white_shape
            .iter()
            .copied()
            .fold(f64::INFINITY, f64::min)
    }

    fn times_until(&self, total: f64) -> Vec<f64> {
        let last = self.hours.last().copied().unwrap_or(0.0);
        let spacing = (last - self.hours[0]) / (self.hours.len() - 1).max(1) as f64;
        let more = ((total - last) / spacing).floor().max(0.0) as usize;
        let coming = (1..=more).map(|step| last + spacing * step as f64);
        self.hours.iter().copied().chain(coming).collect()
    }

    fn rows(&self, node: &AheadNode, times: &[f64]) -> Shared {
        let so_far = self.hours.len();
        let mut columns: Vec<Vec<f64>> = node
            .terms
            .iter()
            .zip(&node.columns)
            .map(|((kind, _), known)| {
                let coming = times[so_far..].iter().map(|&t| {
                    without_data(*kind, t, node.lag_h)
                        .unwrap_or_else(|| self.like_yesterday(*kind, known, t))
                });
                known.iter().copied().chain(coming).collect()
            })
            .collect();
        // the spread does not depend on the readings to come
        columns.push(vec![0.0; times.len()]);
        let columns: Vec<&[f64]> = columns.iter().map(Vec::as_slice).collect();
        Shared::new(&columns, &[])
    }

    /// A temperature column in the hours to come: as a day before, or a usual day.
    fn like_yesterday(&self, kind: Kind, known: &[f64], time: f64) -> f64 {
        let last = self.hours.last().copied().unwrap_or(0.0);
        if let Kind::Opening { part } = kind {
            // open for good: it goes on as in the last hours
            return part * (time - last);
        }
        if last >= 24.0 {
            let days = ((time - last) / 24.0).ceil();
            let same_hour = time - 24.0 * days;
            let index = self
                .hours
                .partition_point(|t| *t < same_hour)
                .min(known.len() - 1);
            return known[index];
        }
        let unit = if kind == Kind::Share {
            self.per_kelvin
        } else {
            1.0
        };
        let (low, high) = known
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| {
                (low.min(*v), high.max(*v))
            });
        let half_swing = (0.5 * (high - low)).max(USUAL_HALF_SWING_K * unit);
        half_swing * (time * std::f64::consts::TAU / 24.0).sin()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn beyond_a_day_the_clock_of_the_start_is_waited_for() {
        assert_eq!(
            [7.0, 24.0, 25.0, 48.0, 49.0].map(to_the_clock),
            [7.0, 24.0, 48.0, 48.0, 72.0]
        );
    }
}
