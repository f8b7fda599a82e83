//! A weighted sum of normals: what is left when the nuisance numbers of a fit are summed over a grid.
use statrs::function::erf::erfc;

/// One normal with its weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part {
    /// Share of the whole, 0 to 1.
    pub weight: f64,
    /// Centre of the normal.
    pub mean: f64,
    /// Standard deviation of the normal, 0 for a point.
    pub sd: f64,
}

/// A weighted sum of normals with weights that add up to one.
#[derive(Debug, Clone, PartialEq)]
pub struct Mixture {
    parts: Vec<Part>,
}

/// Both ends of an interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Interval {
    /// Whether a value lies inside, ends included.
    pub fn contains(&self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }
}

/// Parts below this share of the heaviest are dropped: together they stay under 1e-6 of the whole for any grid used here.
const LEAST_WEIGHT: f64 = 1e-10;

impl Mixture {
    /// A single normal.
    pub fn normal(mean: f64, sd: f64) -> Self {
        Self {
            parts: vec![Part {
                weight: 1.0,
                mean,
                sd,
            }],
        }
    }

    /// Parts whose weights are given as logarithms, up to a common constant.
    ///
    /// Returns `None` when no part has a finite weight.
    pub fn from_log_weights(parts: impl IntoIterator<Item = (f64, f64, f64)>) -> Option<Self> {
        let raw: Vec<(f64, f64, f64)> = parts
            .into_iter()
            .filter(|(log_weight, mean, sd)| {
                log_weight.is_finite() && mean.is_finite() && sd.is_finite()
            })
            .collect();
        let top = raw
            .iter()
            .map(|part| part.0)
            .fold(f64::NEG_INFINITY, f64::max);
        let kept: Vec<Part> = raw
            .iter()
            .map(|&(log_weight, mean, sd)| Part {
                weight: (log_weight - top).exp(),
                mean,
                sd,
            })
            .filter(|part| part.weight > LEAST_WEIGHT)
            .collect();
        let total: f64 = kept.iter().map(|part| part.weight).sum();
        (total > 0.0).then(|| Self {
            parts: kept
                .into_iter()
                .map(|part| Part {
                    weight: part.weight / total,
                    ..part
                })
                .collect(),
        })
    }

    /// The parts, in the order they were given.
    pub fn parts(&self) -> &[Part] {
        &self.parts
    }

    /// Mean of the whole.
    pub fn mean(&self) -> f64 {
        self.parts.iter().map(|part| part.weight * part.mean).sum()
    }

    /// Standard deviation of the whole.
    pub fn sd(&self) -> f64 {
        let mean = self.mean();
        let variance: f64 = self
            .parts
            .iter()
            .map(|part| part.weight * (part.sd * part.sd + (part.mean - mean).powi(2)))
            .sum();
        variance.sqrt()
    }

    /// Probability of a value at or below `x`.
    pub fn cdf(&self, x: f64) -> f64 {
        let sum: f64 = self
            .parts
            .iter()
            .map(|part| part.weight * normal_cdf(x, part.mean, part.sd))
            .sum();
        sum.min(1.0)
    }

    /// Probability density at `x`; parts without spread are left out.
    pub fn density(&self, x: f64) -> f64 {
        let normal = |part: &Part| {
            let away = (x - part.mean) / part.sd;
            (-0.5 * away * away).exp() / (part.sd * std::f64::consts::TAU.sqrt())
        };
        self.parts
            .iter()
            .filter(|part| part.sd > 0.0)
            .map(|part| part.weight * normal(part))
            .sum()
    }

    /// Probability of a value above `x`; keeps its digits where `1 - cdf` would lose them.
    pub fn above(&self, x: f64) -> f64 {
        let sum: f64 = self
            .parts
            .iter()
            .map(|part| part.weight * normal_above(x, part.mean, part.sd))
            .sum();
        sum.min(1.0)
    }

    /// The value with probability `p` below it, `p` strictly between 0 and 1.
    ///
    /// Newton's steps inside a bracket that every step narrows; bisection where a step would leave it.
    pub fn quantile(&self, p: f64) -> f64 {
        // ten standard deviations hold all but 1e-23 of a normal
        let reach = |sign: f64| {
            self.parts
                .iter()
                .map(move |part| part.mean + sign * 10.0 * part.sd)
        };
        let mut low = reach(-1.0).fold(f64::INFINITY, f64::min);
        let mut high = reach(1.0).fold(f64::NEG_INFINITY, f64::max);
        let rounding = 1e-15 * (high - low);
        let mut at = 0.5 * (low + high);
        while high - low > 1e-12 * (low.abs() + high.abs()) {
            let too_much = self.cdf(at) - p;
            if too_much < 0.0 {
                low = at;
            } else {
                high = at;
            }
            let step = too_much / self.density(at);
            let newton = at - step;
            let settled = step.abs() <= (1e-13 * at.abs()).max(rounding);
            let middle = 0.5 * (low + high);
            if settled || middle <= low || middle >= high {
                break;
            }
            at = if low < newton && newton < high {
                newton
            } else {
                middle
            };
        }
        // a part without spread is a step, and the halving ends beside it
        let mut steps = self.parts.iter().filter(|part| part.sd == 0.0);
        let step = steps.find(|part| low <= part.mean && part.mean <= high);
        step.map_or(at, |part| part.mean)
    }

    /// The interval that leaves the same probability out on both sides.
    pub fn interval(&self, coverage: f64) -> Interval {
        let tail = 0.5 * (1.0 - coverage);
        Interval {
            low: self.quantile(tail),
            high: self.quantile(1.0 - tail),
        }
    }

    /// The same quantity in another unit or with the other sign.
    pub fn scaled(&self, factor: f64) -> Self {
        self.map(|part| Part {
            weight: part.weight,
            mean: part.mean * factor,
            sd: part.sd * factor.abs(),
        })
    }

    /// An independent error of standard deviation `sd` on top.
    pub fn widened(&self, sd: f64) -> Self {
        self.map(|part| Part {
            sd: part.sd.hypot(sd),
            ..part
        })
    }

    fn map(&self, change: impl Fn(Part) -> Part) -> Self {
        Self {
            parts: self.parts.iter().copied().map(change).collect(),
        }
    }
}

/// Probability that a normal lies at or below `x`.
pub fn normal_cdf(x: f64, mean: f64, sd: f64) -> f64 {
    if sd > 0.0 {
        0.5 * erfc((mean - x) / (sd * std::f64::consts::SQRT_2))
    } else {
        f64::from(u8::from(mean <= x))
    }
}

/// Probability that a normal lies above `x`.
pub fn normal_above(x: f64, mean: f64, sd: f64) -> f64 {
    if sd > 0.0 {
        0.5 * erfc((x - mean) / (sd * std::f64::consts::SQRT_2))
    } else {
        f64::from(u8::from(mean > x))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_normal_has_the_tabled_quantiles() {
        // Abramowitz & Stegun, Handbook of Mathematical Functions, table 26.5 (from memory)
        let unit = Mixture::normal(0.0, 1.0);
        assert!((unit.quantile(0.975) - 1.959963985).abs() < 1e-8);
        assert!((unit.quantile(0.95) - 1.644853627).abs() < 1e-8);
        assert!((unit.above(6.0) - 9.865876e-10).abs() < 1e-15);
        assert!((unit.density(1.0) - 0.241970725).abs() < 1e-9);
    }

    #[test]
    fn two_apart_normals_keep_mean_spread_and_halves() {
        let two = Mixture::from_log_weights([(0.0, -3.0, 0.1), (0.0, 3.0, 0.1)]).unwrap();
        assert!(two.mean().abs() < 1e-12);
        assert!((two.sd() - 9.01_f64.sqrt()).abs() < 1e-12);
        assert!((two.cdf(0.0) - 0.5).abs() < 1e-12);
        assert!((two.quantile(0.25) + 3.0).abs() < 1e-9);
    }

    #[test]
    fn a_point_without_spread_is_a_step() {
        let point = Mixture::normal(2.0, 0.0);
        assert_eq!(point.cdf(1.9), 0.0);
        assert_eq!(point.cdf(2.0), 1.0);
    }

    #[test]
    fn no_finite_weight_is_no_answer() {
        assert!(Mixture::from_log_weights([(f64::NEG_INFINITY, 0.0, 1.0)]).is_none());
        assert!(Mixture::from_log_weights([]).is_none());
    }
}
