//! A test shorter than a day: a swing with the day that no thermometer saw bends neither way back in it, so it can look like
//! a loss, or hide one.
use super::{Assumptions, Fit, FitError, HoursNeeded, Series, fit};
use crate::stats::decision::{Decision, Verdict};
use crate::stats::mixture::Mixture;

/// From here on a whole day was seen, h.
const DAY_H: f64 = 24.0;

/// A verdict, and what it was before a swing undid it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judged {
    /// As it stands.
    pub decision: Decision,
    /// The verdict that a swing could have made; none where there was none, or it stands.
    pub undone: Option<Verdict>,
}

/// The readings with the swing that a verdict in less than a day has to survive.
#[derive(Debug, Clone, Copy)]
pub struct Swung<'a> {
    /// The readings.
    pub series: &'a Series<'a>,
    /// What was assumed of them.
    pub assumptions: &'a Assumptions,
    /// The daily wave to survive, K, one standard deviation over the whole volume.
    pub wave_k: f64,
}

impl Swung<'_> {
    /// Judges the loss against `limit` (1/h) as [`Fit::judge`]; in less than a day a verdict stands only if the same readings
    /// give it under the wave too.
    pub fn judge(
        &self,
        usual: &Fit,
        limit: f64,
        counted: impl Fn(&Mixture) -> Mixture,
    ) -> Result<Judged, FitError> {
        let decision = usual.judge(limit, &counted);
        let verdict = decision.verdict;
        let stands = verdict == Verdict::Undecided
            || usual.hours >= DAY_H
            || self.fit()?.judge(limit, &counted).verdict == verdict;
        if stands {
            return Ok(Judged {
                decision,
                undone: None,
            });
        }
        Ok(Judged {
            decision: Decision {
                verdict: Verdict::Undecided,
                ..decision
            },
            undone: Some(verdict),
        })
    }

    /// As [`Fit::hours_needed`]: less than a day only if the verdict then survives the wave, a day otherwise.
    pub fn hours_needed(&self, usual: &Fit, limit: f64) -> Result<HoursNeeded, FitError> {
        let needed = usual.hours_needed(limit);
        let HoursNeeded::Total(hours) = needed else {
            return Ok(needed);
        };
        if hours >= DAY_H {
            return Ok(needed);
        }
        Ok(HoursNeeded::Total(match self.fit()?.hours_needed(limit) {
            HoursNeeded::Decided => hours,
            HoursNeeded::Total(under_the_wave) => hours.max(under_the_wave).min(DAY_H),
            HoursNeeded::Never(_) => DAY_H,
        }))
    }

    fn fit(&self) -> Result<Fit, FitError> {
        let unseen = self.assumptions.unseen;
        let unseen = unseen.with_daily_wave(unseen.daily_wave_k.max(self.wave_k));
        let assumptions = Assumptions {
            unseen,
            ..*self.assumptions
        };
        fit(self.series, &assumptions)
    }
}
