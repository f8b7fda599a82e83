//! Is a value with a normal uncertainty inside a range? Three answers, one probability.

use super::decision::SURE;
use super::mixture::normal_cdf;

/// Whether a value lies in a range, as far as its uncertainty lets one say.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Within {
    /// Inside with more than 95 % probability.
    Inside,
    /// Outside with more than 95 % probability.
    Outside,
    /// Neither is settled.
    Undecided,
}

/// The probability that a normal value lies between two ends; either end may be infinite.
///
/// `value`, `standard_uncertainty`, `low`, `high` in one unit. Without uncertainty the answer is 0 or 1, the ends
/// counting as inside.
pub fn probability_within(value: f64, standard_uncertainty: f64, low: f64, high: f64) -> f64 {
    if standard_uncertainty > 0.0 {
        let below = |x| normal_cdf(x, value, standard_uncertainty);
        (below(high) - below(low)).max(0.0)
    } else if (low..=high).contains(&value) {
        1.0
    } else {
        0.0
    }
}

/// Judges a normal value against a range: inside or outside with more than 95 %, else undecided.
///
/// Source: JCGM 106:2012, conformity with a stated probability.
///
/// ```
/// use lineproof::stats::within::{Within, judge_within};
/// assert_eq!(judge_within(0.2, 1.0, -3.0, 3.0), Within::Inside);
/// assert_eq!(judge_within(2.5, 1.0, -3.0, 3.0), Within::Undecided);
/// assert_eq!(judge_within(6.0, 1.0, -3.0, 3.0), Within::Outside);
/// ```
pub fn judge_within(value: f64, standard_uncertainty: f64, low: f64, high: f64) -> Within {
    let inside = probability_within(value, standard_uncertainty, low, high);
    if inside > SURE {
        Within::Inside
    } else if inside < 1.0 - SURE {
        Within::Outside
    } else {
        Within::Undecided
    }
}
