//! What the facts say of a standing pressure test that is still to come.

use super::InputError;
use crate::check::tight::Unlogged;
use crate::quantity::{
    Accuracy, Duration, Fraction, PressureDiff, PressureGauge, Quantity, TemperatureDiff, unit,
};
use crate::record::{AsTyped, InstrumentKind, Record};

/// What the facts say of a hold to come; what they do not say is none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlannedHold {
    /// The test pressure of the unit's instructions.
    pub start: Option<PressureGauge>,
    /// How long the instructions hold it.
    pub hold: Option<Duration>,
    /// Share of the volume outdoors.
    pub outdoor_share: Option<Fraction>,
    /// Where no thermometer hangs.
    pub unlogged: Option<Unlogged>,
    /// The smallest step of the gauge.
    pub gauge_resolution: Option<PressureDiff>,
    /// How far its zero moves per kelvin.
    pub gauge_drift_per_kelvin: Option<PressureDiff>,
    /// The lowest rating of what is under pressure.
    pub rated: Option<PressureGauge>,
}

/// Half of a day's swing in an attic, K: 25 K from night to afternoon (from memory).
const ATTIC_HALF_SWING_K: f64 = 12.5;
/// The same in walls and crawl spaces, K (own choice).
const SHELTERED_HALF_SWING_K: f64 = 3.0;

impl Record {
    /// What the facts say of a standing pressure test to come.
    ///
    /// The gauge is the one with a resolution that is named first.
    pub fn planned_hold(&self) -> Result<PlannedHold, InputError> {
        let facts = &self.lineset;
        let gauge = facts
            .instruments
            .iter()
            .find(|i| i.kind == InstrumentKind::Gauge && i.resolution.is_some());
        let (mut gauge_resolution, mut gauge_drift_per_kelvin) = (None, None);
        if let Some(gauge) = gauge {
            let stated = gauge
                .near(PressureGauge::of(450.0, unit::PSIG))
                .map_err(|error| InputError::Instrument {
                    id: gauge.id.clone(),
                    error,
                })?;
            gauge_resolution = stated.accuracy.iter().find_map(|a| match a {
                Accuracy::Resolution(step) => Some(*step),
                _ => None,
            });
            let drift = stated.zero_drift_per_kelvin;
            gauge_drift_per_kelvin = (drift > 0.0).then(|| PressureDiff::from_si(drift));
        }
        let shares = facts.line_set.shares.as_ref();
        let sum = |parts: &[&Option<AsTyped<Fraction>>]| -> Option<f64> {
            let known: Vec<f64> = parts
                .iter()
                .filter_map(|part| part.as_ref().map(|p| p.value().si()))
                .collect();
            (!known.is_empty()).then(|| known.iter().sum())
        };
        let attic = shares.and_then(|s| sum(&[&s.attic])).unwrap_or(0.0);
        let sheltered = shares
            .and_then(|s| sum(&[&s.wall, &s.crawl_space]))
            .unwrap_or(0.0);
        let hidden = attic + sheltered;
        let instructions = &facts.instructions;
        Ok(PlannedHold {
            start: instructions.test_pressure.as_ref().map(AsTyped::value),
            hold: instructions.test_duration.as_ref().map(AsTyped::value),
            outdoor_share: shares
                .and_then(|s| sum(&[&s.outdoors, &s.sun]))
                .map(Fraction::from_si),
            unlogged: (hidden > 0.0).then(|| Unlogged {
                share: Fraction::from_si(hidden),
                half_swing: TemperatureDiff::from_si(
                    (attic * ATTIC_HALF_SWING_K + sheltered * SHELTERED_HALF_SWING_K) / hidden,
                ),
            }),
            gauge_resolution,
            gauge_drift_per_kelvin,
            rated: self.lowest_rating(None),
        })
    }
}
