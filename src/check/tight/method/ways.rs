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
//! `min(f, 1 - f)` per hour, so the loss there is `-(b + sum_f c_f min(f, 1 - f))`.
//!
//! Source: Gelman et al., Bayesian Data Analysis, 3rd ed., section 7.4 (models weighed by their evidence); the chances are
//! this program's own choice.
use super::breaks::FEWEST_TO_SEARCH;
use super::grid::{self, Summed};
use super::input::{Series, Unseen};
use super::noise::NoiseNode;
use super::terms::{Design, Kind, TIME, Term, without_data};
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
    /// A leak may open.
    opens: bool,
}

const USUAL: Way = Way {
    chance: 0.86,
    settling: 0.2,
    wave_k: 0.0,
    opens: false,
};
/// Walls that settle by more than half a kelvin.
const SETTLES: Way = Way {
    chance: 0.02,
    settling: 2.0,
    ..USUAL
};
/// Sun on a line whose thermometer hangs in the shade.
const SUN: Way = Way {
    chance: 0.1,
    wave_k: 2.0,
    ..USUAL
};
const OPENS_LATE: Way = Way {
    chance: 0.02,
    opens: true,
    ..USUAL
};
/// Parts of the hold after which a leak may open; one that opens in between is a sum of its neighbours.
const OPENS: [f64; 3] = [0.33, 0.5, 0.67];
/// A day in the sun is half a sine: its second wave has this part of the first, 2/(3 pi) over 1/2.
const HALF_DAY: f64 = 0.42;
/// Standard deviation of what a leak that opens late loses until the end, as a part of the gas.
const LATE_LOSS: f64 = 0.03;

/// Parts of the sum below e^-16 are left out: thousands of them together stay under 0.001.
const LEAST_LOG_WEIGHT: f64 = -16.0;

/// A way less likely than this is not looked at on its own.
const LEAST_CHANCE: f64 = 1e-3;

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
        ways.push(OPENS_LATE);
    }
    ways
}

impl Way {
    fn openings(self) -> &'static [f64] {
        if self.opens { &OPENS } else { &[] }
    }

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
        if wave > 0.0 {
            for kind in [Kind::HalfDayCosine, Kind::HalfDaySine] {
                let sd = Some(HALF_DAY * wave);
                let value = |t: &f64| without_data(kind, *t, 0.0);
                let column = design.hours.iter().filter_map(value).collect();
                design.add(Term { kind, sd }, column);
            }
        }
        for part in self.openings() {
            let (column, sd) = opening(&design.hours, *part);
            let kind = Kind::Opening { part: *part };
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
pub(super) struct Ways {
    gone: Vec<Gone>,
    /// The noise that mattered.
    pub(super) noise: Vec<NoiseNode>,
}

impl Ways {
    pub(super) fn of(
        series: &Series,
        unseen: Unseen,
        usual: &Design,
        noise: &[NoiseNode],
    ) -> Option<Self> {
        let ways = possible(series, unseen);
        let (first, others) = ways.split_first()?;
        // the usual way over the whole grid; the others where the usual one says that something is to be found
        let mut designs = vec![first.room(usual.clone())];
        let mut sums = grid::sum_over(&designs, noise);
        let noise = match &sums[0] {
            Some(summed) => summed.worth_another_look(noise),
            None => noise.to_vec(),
        };
        let roomier = others
            .iter()
            .map(|way| way.room(usual.with_every_other_lag()));
        designs.extend(roomier);
        sums.extend(grid::sum_over(&designs[1..], &noise));
        let every = ways.iter().zip(designs).zip(sums);
        let mut gone: Vec<Gone> = every
            .filter_map(|((way, design), summed)| {
                let summed = summed?;
                let lags = design.lags.len() as f64;
                Some(Gone {
                    log_weight: summed.log_evidence - lags.ln() + way.chance.ln(),
                    design,
                    summed,
                    way: *way,
                })
            })
            .collect();
        gone.sort_by(|a, b| b.log_weight.total_cmp(&a.log_weight));
        (!gone.is_empty()).then_some(Self { gone, noise })
    }

    pub(super) fn likeliest(&self) -> &Gone {
        &self.gone[0]
    }

    /// The slope of ln p over the whole hold.
    pub(super) fn slope(&self) -> Option<Mixture> {
        self.sum(|gone| Some(gone.summed.slope.clone()))
    }

    /// The slope of ln p in the second half.
    pub(super) fn late_slope(&self) -> Option<Mixture> {
        self.sum(|gone| {
            if !gone.way.opens {
                return Some(gone.summed.slope.clone());
            }
            let first = gone.design.terms.len() - OPENS.len();
            let rises = OPENS.iter().enumerate();
            let mut weights = vec![(TIME, 1.0)];
            weights.extend(rises.map(|(k, part)| (first + k, part.min(1.0 - part))));
            gone.summed.combination(&gone.design, &weights)
        })
    }

    /// Loss in the second half minus loss in the first: nothing where no leak opened, `-2 sum_f c_f min(f, 1 - f)` else.
    pub(super) fn late_change(&self) -> Option<Mixture> {
        self.sum(|gone| {
            if !gone.way.opens {
                return Some(Mixture::normal(0.0, 0.0));
            }
            let first = gone.design.terms.len() - OPENS.len();
            let rises = OPENS.iter().enumerate();
            let weights: Vec<_> = rises
                .map(|(k, part)| (first + k, -2.0 * part.min(1.0 - part)))
                .collect();
            gone.summed.combination(&gone.design, &weights)
        })
    }

    /// Every way that counts, with its probability.
    pub(super) fn chances(&self) -> impl Iterator<Item = (f64, &Gone)> {
        let total: f64 = self.gone.iter().map(|gone| self.weight(gone)).sum();
        self.gone
            .iter()
            .map(move |gone| (self.weight(gone) / total, gone))
            .filter(|(chance, _)| *chance > LEAST_CHANCE)
    }

    /// Probability that a leak opened, or closed, during the test.
    pub(super) fn changed(&self) -> f64 {
        self.chances()
            .filter(|(_, gone)| gone.way.opens)
            .map(|(chance, _)| chance)
            .sum()
    }

    fn weight(&self, gone: &Gone) -> f64 {
        (gone.log_weight - self.gone[0].log_weight).exp()
    }

    fn sum(&self, of: impl Fn(&Gone) -> Option<Mixture>) -> Option<Mixture> {
        let top = self.gone[0].log_weight;
        let counts = |gone: &&Gone| gone.log_weight - top > LEAST_LOG_WEIGHT;
        let counted = self.gone.iter().filter(counts);
        let parts = counted.filter_map(|gone| Some((gone, of(gone)?)));
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

#[cfg(test)]
mod tests {
    use super::super::{Assumptions, Fit, Gauge, Kappa, Share, fit};
    use super::*;

    const LIMIT: f64 = 1e-4;

    /// A day of a sealed volume every 10 min, and something that happens to ln p.
    fn day(unseen: Unseen, happens: impl Fn(f64) -> f64) -> Fit {
        let hours: Vec<f64> = (0..145).map(|i| f64::from(i) / 6.0).collect();
        let outdoor: Vec<f64> = hours
            .iter()
            .map(|t| 288.0 + 5.0 * (std::f64::consts::TAU * t / 24.0 + 0.7).sin())
            .collect();
        let noise = |i: usize| ((i as f64 + 1.0) * 12.9898).sin() * 43758.5453;
        let ln_p: Vec<f64> = hours
            .iter()
            .zip(&outdoor)
            .enumerate()
            .map(|(i, (t, out))| {
                15.0 + (out / outdoor[0]).ln() + happens(*t) + 1e-4 * (noise(i) - noise(i).floor())
            })
            .collect();
        let series = Series {
            outdoor_k: Some(&outdoor),
            ..Series::pressure_only(&hours, &ln_p, Kappa::constant(1.0))
        };
        let assumptions = Assumptions {
            share: Share::stated(1.0),
            gauge: Gauge {
                resolution_pa: 700.0,
                drift_pa_per_k: 0.0,
            },
            unseen,
        };
        fit(&series, &assumptions).unwrap()
    }

    fn field() -> Unseen {
        Unseen::of_field_test(0.0, 0.0)
    }

    #[test]
    fn an_opening_is_zero_at_both_ends_and_rises_as_said() {
        let hours: Vec<f64> = (0..=40).map(f64::from).collect();
        for part in OPENS {
            let (column, _) = opening(&hours, part);
            assert!(column[0].abs() < 1e-12 && column[40].abs() < 1e-12);
            let in_second_half = (column[40] - column[20]) / 20.0;
            assert!((in_second_half - part.min(1.0 - part)).abs() < 1e-12);
        }
    }

    #[test]
    fn a_calm_day_stays_a_usual_one_and_no_half_is_judged() {
        let calm = day(field(), |_| 0.0);
        assert!(calm.late_loss.is_none());
        assert!(calm.loss.interval(0.95).contains(0.0));
        let leaking = day(field(), |t| -20.0 * LIMIT * t);
        assert!(leaking.late_loss.is_none());
    }

    #[test]
    fn a_leak_that_opens_late_keeps_the_mean_and_shows_the_second_half() {
        let late = day(field(), |t| -20.0 * LIMIT * (t - 12.0).max(0.0));
        let mean = 20.0 * LIMIT * 0.5;
        let second = 20.0 * LIMIT;
        assert!(
            late.loss.interval(0.95).contains(mean),
            "{:?}",
            late.loss.interval(0.95)
        );
        let judged = late.late_loss.as_ref().unwrap();
        assert!(
            judged.interval(0.95).contains(second),
            "{:?}",
            judged.interval(0.95)
        );
        // a mean below a limit that the second half is above is no pass
        let between = 1.4 * mean;
        assert_ne!(
            late.judge(between, Mixture::clone).verdict,
            crate::stats::decision::Verdict::Pass
        );
        assert!(late.judge(between, Mixture::clone).leak_seen());
    }

    #[test]
    fn sun_that_no_thermometer_saw_widens_the_answer_and_is_no_leak() {
        let sun = |t: f64| 0.012 * (std::f64::consts::TAU * (t - 3.0) / 24.0).sin().max(0.0);
        let (calm, sunny) = (day(field(), |_| 0.0), day(field(), sun));
        assert!(sunny.loss.sd() > 1.5 * calm.loss.sd());
        assert!(
            sunny.loss.interval(0.95).contains(0.0),
            "{:?}",
            sunny.loss.interval(0.95)
        );
    }

    #[test]
    fn walls_that_settle_by_a_kelvin_are_no_leak() {
        let settling = |t: f64| 0.0035 * (-t / 5.0).exp();
        let fit = day(field(), settling);
        assert!(
            fit.loss.interval(0.95).contains(0.0),
            "{:?}",
            fit.loss.interval(0.95)
        );
        assert!(fit.loss.sd() > day(field(), |_| 0.0).loss.sd());
    }

    #[test]
    fn the_bare_regression_has_one_way() {
        let series = Series::pressure_only(&[0.0, 1.0], &[15.0, 15.0], Kappa::constant(1.0));
        assert_eq!(possible(&series, Unseen::start_only()).len(), 1);
        // two readings cannot show when a leak opened
        assert_eq!(possible(&series, field()).len(), 3);
    }
}
