//! The ways a test may have gone, weighed by how well each explains the readings.
//!
//! The priors of the unseen terms fit a usual day. Now and then something is far larger: walls settle for hours, the sun
//! stands on a line whose thermometer hangs in the shade, a joint opens in the middle of the hold. Each is the same
//! regression with one term given more room, and the answer is the sum over all of them,
//! `p(b) = sum_w P(w) p(y | w) p(b | y, w) / sum_w P(w) p(y | w)`: a calm log keeps its narrow interval, a log that shows
//! the trouble gets the interval of the trouble, and a test too short to tell them apart keeps a tail for each.
//!
//! A leak that opens at the part `f` of a hold of `T` hours adds the column `h(t) = max(t - f T, 0) - (1 - f) t`. It is zero at
//! both ends, so the coefficient of `t` stays the mean loss of the whole hold; in the second half `h` rises by
//! `min(f, 1 - f)` per hour, so the loss there is `-(b + c min(f, 1 - f))`.
//!
//! Source: Gelman et al., Bayesian Data Analysis, 3rd ed., section 7.4 (models weighed by their evidence); the chances are
//! this program's own choice.
use super::breaks::FEWEST_TO_SEARCH;
use super::grid::{self, NoiseNode, Summed};
use super::input::{Series, Unseen};
use super::terms::{Design, Kind, TIME, Term};
use crate::stats::mixture::Mixture;

/// One way a test may have gone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Way {
    /// How likely it is before any reading.
    chance: f64,
    /// Times the settling that was assumed.
    settling: f64,
    /// At least so much daily wave, K.
    wave_k: f64,
    /// The part of the hold after which a leak opens.
    opens: Option<f64>,
}

const USUAL: Way = Way {
    chance: 0.66,
    settling: 0.4,
    wave_k: 0.0,
    opens: None,
};
/// Walls that settle by more than half a kelvin.
const SETTLES: Way = Way {
    chance: 0.06,
    settling: 2.0,
    ..USUAL
};
/// Sun on a line whose thermometer hangs in the shade.
const SUN: Way = Way {
    chance: 0.2,
    wave_k: 2.0,
    ..USUAL
};
const OPENS_LATE: Way = Way {
    chance: 0.04,
    ..USUAL
};
/// Parts of the hold after which a leak may open.
const OPENS: [f64; 2] = [0.4, 0.65];
/// Standard deviation of what a leak that opens late loses until the end, as a part of the gas.
const LATE_LOSS: f64 = 0.03;

/// Parts of the sum below e^-16 are left out: thousands of them together stay under 0.001.
const LEAST_LOG_WEIGHT: f64 = -16.0;

/// The ways that are possible for these readings; a bare regression has one.
fn possible(series: &Series, unseen: Unseen) -> Vec<Way> {
    let bare = unseen.settling_k <= 0.0 && unseen.daily_wave_k <= 0.0;
    if bare {
        return vec![Way {
            settling: 1.0,
            ..USUAL
        }];
    }
    let mut ways = vec![USUAL];
    if unseen.settling_k > 0.0 {
        ways.push(SETTLES);
    }
    // a witness stands in the same sun
    if unseen.daily_wave_k > 0.0 && series.witness_ln_p.is_none() {
        ways.push(SUN);
    }
    if series.hours.len() >= FEWEST_TO_SEARCH {
        ways.extend(OPENS.map(|opens| Way {
            opens: Some(opens),
            ..OPENS_LATE
        }));
    }
    ways
}

impl Way {
    /// The usual regression with more room for one term.
    fn room(self, mut design: Design) -> Design {
        let wave = self.wave_k * design.per_kelvin;
        for term in &mut design.terms {
            term.sd = match term.kind {
                Kind::Settling { .. } => term.sd.map(|sd| sd * self.settling),
                Kind::DayCosine | Kind::DaySine => term.sd.map(|sd| sd.max(wave)),
                _ => term.sd,
            };
        }
        if let Some(opens) = self.opens {
            let (column, sd) = opening(&design.hours, opens);
            let kind = Kind::Opening { part: opens };
            design.add(Term { kind, sd: Some(sd) }, column);
        }
        design
    }
}

/// The column of a leak that opens late, zero at both ends, and the standard deviation of its coefficient.
pub(super) fn opening(hours: &[f64], opens: f64) -> (Vec<f64>, f64) {
    let total = hours[hours.len() - 1];
    let column = hours
        .iter()
        .map(|t| (t - opens * total).max(0.0) - (1.0 - opens) * t)
        .collect();
    (column, LATE_LOSS / ((1.0 - opens) * total))
}

/// One way with its sum over the grid.
#[derive(Debug, Clone)]
pub(super) struct Gone {
    pub(super) design: Design,
    pub(super) summed: Summed,
    way: Way,
    log_weight: f64,
}

/// All ways, the likeliest first.
#[derive(Debug, Clone)]
pub(super) struct Ways(Vec<Gone>);

impl Ways {
    pub(super) fn of(
        series: &Series,
        unseen: Unseen,
        usual: &Design,
        noise: &[NoiseNode],
    ) -> Option<Self> {
        let mut noise = noise.to_vec();
        let mut gone = Vec::new();
        for way in possible(series, unseen) {
            // the usual way over the whole grid; the others where the usual one says that something is to be found
            let design = if gone.is_empty() {
                way.room(usual.clone())
            } else {
                way.room(usual.with_every_other_lag())
            };
            let Some(summed) = grid::sum_over(&design, &noise) else {
                continue;
            };
            if gone.is_empty() {
                noise = summed.worth_another_look(&noise);
            }
            gone.push(Gone {
                log_weight: summed.log_evidence - (design.lags.len() as f64).ln() + way.chance.ln(),
                design,
                summed,
                way,
            });
        }
        gone.sort_by(|a: &Gone, b| b.log_weight.total_cmp(&a.log_weight));
        (!gone.is_empty()).then_some(Self(gone))
    }

    pub(super) fn likeliest(&self) -> &Gone {
        &self.0[0]
    }

    /// The slope of ln p over the whole hold.
    pub(super) fn slope(&self) -> Option<Mixture> {
        self.sum(|gone| Some(gone.summed.slope.clone()))
    }

    /// The slope of ln p in the second half.
    pub(super) fn late_slope(&self) -> Option<Mixture> {
        self.sum(|gone| match gone.way.opens {
            None => Some(gone.summed.slope.clone()),
            Some(part) => {
                let last = gone.design.terms.len() - 1;
                let rises = part.min(1.0 - part);
                gone.summed.combination(&[(TIME, 1.0), (last, rises)])
            }
        })
    }

    /// Probability that a leak opened, or closed, during the test.
    pub(super) fn changed(&self) -> f64 {
        let total: f64 = self.0.iter().map(|gone| self.weight(gone)).sum();
        let changed = self.0.iter().filter(|gone| gone.way.opens.is_some());
        changed.map(|gone| self.weight(gone)).sum::<f64>() / total
    }

    fn weight(&self, gone: &Gone) -> f64 {
        (gone.log_weight - self.0[0].log_weight).exp()
    }

    fn sum(&self, of: impl Fn(&Gone) -> Option<Mixture>) -> Option<Mixture> {
        let top = self.0[0].log_weight;
        let parts = self.0.iter().filter_map(|gone| Some((gone, of(gone)?)));
        Mixture::from_log_weights(parts.flat_map(|(gone, mixture)| {
            mixture
                .parts()
                .iter()
                .map(|part| (gone.log_weight + part.weight.ln(), part.mean, part.sd))
                .filter(|(log_weight, _, _)| log_weight - top > LEAST_LOG_WEIGHT)
                .collect::<Vec<_>>()
        }))
    }
}
