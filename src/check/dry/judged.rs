//! Which readings are judged.

use super::criteria::{Criteria, micron};
use super::error::DryError;
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
    /// Where two gauges ended.
    pub ends: Option<Apart>,
}

impl Judged {
    /// Whether one gauge meets the rule and the other does not.
    pub fn across(&self, criteria: &Criteria) -> bool {
        self.ends
            .is_some_and(|a| criteria.rule.passes(a.first) != criteria.rule.passes(a.second))
    }
}

pub(super) fn judged(input: &Input) -> Result<Judged, DryError> {
    let mut all: Vec<f64> = input.pressure.iter().map(|p| micron(*p)).collect();
    let mut ends = None;
    if let Some(second) = &input.second {
        let second: Vec<f64> = second.iter().map(|p| micron(*p)).collect();
        if second.len() != all.len() {
            return Err(DryError::SecondGauge {
                first: all.len(),
                second: second.len(),
            });
        }
        if let (Some(a), Some(b)) = (all.last(), second.last()) {
            ends = Some(Apart {
                first: *a,
                second: *b,
            });
            // one gauge throughout: a change between them would be a step in the rise
            if b > a {
                all = second;
            }
        }
    }
    let told = input.gauge_ceiling.map(micron);
    let seen = told
        .is_none()
        .then(|| gauges::ceiling(&all, step(input)))
        .flatten();
    let below = |p: f64| told.or(seen).is_none_or(|c| p < 0.999 * c);
    let kept: Vec<usize> = (0..all.len()).filter(|i| below(all[*i])).collect();
    if let Some(ceiling) = told.filter(|_| kept.len() < 4 && kept.len() < all.len()) {
        return Err(DryError::Ceiling {
            below: kept.len(),
            readings: all.len(),
            ceiling,
        });
    }
    Ok(Judged {
        minutes: kept
            .iter()
            .filter_map(|i| input.minutes.get(*i))
            .copied()
            .collect(),
        left_out: all.len() - kept.len(),
        micron: kept.into_iter().map(|i| all[i]).collect(),
        ceiling: seen,
        ends,
    })
}
