//! Which readings are judged.

use super::assess::DryError;
use super::criteria::{Criteria, micron};
use super::gauges::{self, Apart};
use super::input::Input;
use crate::quantity::{Quantity, unit};

/// The gauge's smallest step, micron.
pub(super) fn step(input: &Input) -> f64 {
    input.gauge_resolution.in_unit(unit::MICRON_DIFF)
}

/// The readings that are judged: of two gauges the higher, without the gauge's ceiling.
pub(super) struct Judged {
    pub minutes: Vec<f64>,
    pub micron: Vec<f64>,
    pub left_out: usize,
    /// A ceiling that was seen and not told.
    pub ceiling: Option<f64>,
    /// Two gauges further apart than they should be.
    pub apart: Option<Apart>,
}

impl Judged {
    /// Whether one gauge meets the rule and the other does not.
    pub fn across(&self, criteria: &Criteria) -> bool {
        self.apart
            .is_some_and(|a| criteria.rule.passes(a.first) != criteria.rule.passes(a.second))
    }
}

pub(super) fn judged(input: &Input) -> Result<Judged, DryError> {
    let mut all: Vec<f64> = input.pressure.iter().map(|p| micron(*p)).collect();
    let mut apart = None;
    if let Some(second) = &input.second {
        let second: Vec<f64> = second.iter().map(|p| micron(*p)).collect();
        if second.len() != all.len() {
            return Err(DryError::SecondGauge {
                first: all.len(),
                second: second.len(),
            });
        }
        if let (Some(a), Some(b)) = (all.last(), second.last()) {
            let ends = Apart {
                first: *a,
                second: *b,
            };
            apart = Some(ends).filter(|ends| ends.matters(step(input)));
            // one gauge throughout: a change between them would be a step in the rise
            if apart.is_some() && b > a {
                all = second;
            }
        }
    }
    let told = input.gauge_ceiling.map(micron);
    let seen = told.is_none().then(|| gauges::ceiling(&all)).flatten();
    let below = |p: f64| told.or(seen).is_none_or(|c| p < 0.999 * c);
    let kept: Vec<usize> = (0..all.len()).filter(|i| below(all[*i])).collect();
    Ok(Judged {
        minutes: kept
            .iter()
            .filter_map(|i| input.minutes.get(*i))
            .copied()
            .collect(),
        left_out: all.len() - kept.len(),
        micron: kept.into_iter().map(|i| all[i]).collect(),
        ceiling: seen,
        apart,
    })
}
