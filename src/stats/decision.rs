//! The one rule that turns what a test has shown into pass, fail or undecided.
use super::mixture::Mixture;

/// How sure a pass or a fail must be.
pub const SURE: f64 = 0.95;

/// The three answers of a test against a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// The loss is below the limit with probability above 0.95.
    Pass,
    /// The loss is above the limit with probability above 0.95.
    Fail,
    /// Neither is sure.
    Undecided,
}

/// A verdict against a limit, and beside it whether any loss was seen at all.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Decision {
    /// Against the limit.
    pub verdict: Verdict,
    /// Probability that the loss is above the limit.
    pub above_limit: f64,
    /// Probability that there is a loss at all.
    pub above_zero: f64,
}

impl Decision {
    /// A pass can still leak: the loss is above zero with probability above 0.95.
    pub fn leak_seen(&self) -> bool {
        self.above_zero > SURE
    }
}

/// Judges a loss against a limit, both in the same unit.
///
/// *fail* when P(loss > limit) > 0.95, *pass* when P(loss < limit) > 0.95, else *undecided*.
///
/// Source: the decision rule of JCGM 106:2012, clause 8, with 5 % risk on both sides; the 5 % are this tool's choice.
///
/// ```
/// use lineproof::stats::{decision::{judge, Verdict}, mixture::Mixture};
/// let decision = judge(&Mixture::normal(0.02, 0.005), 0.05);
/// assert_eq!(decision.verdict, Verdict::Pass);
/// assert!(decision.leak_seen());
/// ```
pub fn judge(loss: &Mixture, limit: f64) -> Decision {
    let above_limit = loss.above(limit);
    let below_limit = loss.cdf(limit);
    let verdict = if above_limit > SURE {
        Verdict::Fail
    } else if below_limit > SURE {
        Verdict::Pass
    } else {
        Verdict::Undecided
    };
    Decision {
        verdict,
        above_limit,
        above_zero: loss.above(0.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_answers_and_the_leak_flag() {
        let limit = 0.05;
        let cases = [
            (0.0, 0.01, Verdict::Pass, false),
            (0.02, 0.005, Verdict::Pass, true),
            (0.04, 0.02, Verdict::Undecided, true),
            (0.0, 0.2, Verdict::Undecided, false),
            (0.10, 0.01, Verdict::Fail, true),
        ];
        for (mean, sd, verdict, leak) in cases {
            let decision = judge(&Mixture::normal(mean, sd), limit);
            assert_eq!(decision.verdict, verdict, "loss {mean} +- {sd}");
            assert_eq!(decision.leak_seen(), leak, "loss {mean} +- {sd}");
        }
    }

    #[test]
    fn exactly_the_limit_without_spread_is_not_a_fail() {
        assert_eq!(
            judge(&Mixture::normal(0.05, 0.0), 0.05).verdict,
            Verdict::Pass
        );
    }
}
