//! What the facts say of a standing pressure test that is still to come.

use super::InputError;
use super::under_test::LINES;
use crate::check::tight::Unlogged;
use crate::fluid::Refrigerant;
use crate::quantity::{
    Accuracy, Duration, Fraction, Mass, Measured, PressureDiff, PressureGauge, Quantity, Volume,
    unit,
};
use crate::record::{AsTyped, InstrumentKind, PressureTest, Record, TestGas};

/// What the facts say of a hold to come; what they do not say is none.
#[derive(Debug, Clone, PartialEq)]
pub struct PlannedHold {
    /// The test pressure of the unit's instructions.
    pub start: Option<PressureGauge>,
    /// How long the instructions hold it.
    pub hold: Option<Duration>,
    /// Share of the volume outdoors.
    pub outdoor_share: Option<Fraction>,
    /// Where no thermometer hangs.
    pub unlogged: Option<Unlogged>,
    /// The volume of the lines with the indoor coil.
    pub volume: Option<Measured<Volume>>,
    /// The refrigerant to come.
    pub refrigerant: Option<Refrigerant>,
    /// The nameplate charge with its line-length adjustment.
    pub charge: Option<Mass>,
    /// The smallest step of the gauge.
    pub gauge_resolution: Option<PressureDiff>,
    /// How far its zero moves per kelvin.
    pub gauge_drift_per_kelvin: Option<PressureDiff>,
    /// The lowest rating of what is under pressure.
    pub rated: Option<PressureGauge>,
}

/// A test of the lines and the indoor coil, with both service valves shut, of which nothing is known yet.
fn to_come() -> PressureTest {
    PressureTest {
        covers: LINES.to_vec(),
        gas: TestGas::Nitrogen,
        test_pressure: None,
        gauge: None,
        thermometer: None,
        valves: None,
        outdoor_share: None,
        unlogged_swing: None,
        volume: None,
        rule: None,
        until: None,
        log: None,
        readings: Vec::new(),
    }
}

impl Record {
    /// What the facts say of a standing pressure test to come.
    ///
    /// The gauge is the one with a resolution that is named first; under pressure are the lines with the indoor coil, as
    /// the outdoor unit's valves stay shut.
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
        let test = to_come();
        let instructions = &facts.instructions;
        Ok(PlannedHold {
            start: instructions.test_pressure.as_ref().map(AsTyped::value),
            hold: instructions.test_duration.as_ref().map(AsTyped::value),
            outdoor_share: shares
                .and_then(|s| sum(&[&s.outdoors, &s.sun]))
                .map(Fraction::from_si),
            unlogged: self.unlogged(&test).map(|(part, _)| part),
            volume: self.volume_of(&test)?,
            refrigerant: self.refrigerant()?,
            charge: self.whole_charge()?,
            gauge_resolution,
            gauge_drift_per_kelvin,
            rated: self.lowest_rating(None),
        })
    }
}
