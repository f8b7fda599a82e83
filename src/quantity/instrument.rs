//! Instruments: what they state of themselves, and the standard uncertainty that follows.

use super::{Measured, Origin, Quantity};

/// What is stated about how good a reading is. One rule turns each into a standard uncertainty.
///
/// Source: JCGM 100:2008, 4.3.7 and F.2.2.1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Accuracy<D> {
    /// A limit of error (the usual "accuracy"): counts as limit/sqrt(3).
    Limit(D),
    /// The smallest step shown: counts as resolution/sqrt(12).
    Resolution(D),
    /// A standard uncertainty: counts as itself.
    Standard(D),
    /// An expanded uncertainty and its factor k: counts as U/k.
    Expanded(D, f64),
}

impl<D: Quantity> Accuracy<D> {
    /// The standard uncertainty, in SI.
    pub fn standard_uncertainty(self) -> f64 {
        match self {
            Accuracy::Limit(limit) => limit.si() / 3f64.sqrt(),
            Accuracy::Resolution(resolution) => resolution.si() / 12f64.sqrt(),
            Accuracy::Standard(u) => u.si(),
            Accuracy::Expanded(u, k) => u.si() / k,
        }
    }
}

/// An instrument for the quantity `Q`.
#[derive(Debug, Clone, PartialEq)]
pub struct Instrument<Q: Quantity> {
    /// What the record calls it.
    pub name: String,
    /// Everything stated about its readings.
    pub accuracy: Vec<Accuracy<Q::Diff>>,
    /// Shift of its zero per kelvin of its own temperature, in SI per K.
    pub zero_drift_per_kelvin: f64,
}

/// Shift of a Bourdon gauge's zero per kelvin, as a share of its full scale (EN 837-1, from memory).
pub const BOURDON_DRIFT_PER_KELVIN: f64 = 0.0004;

impl<Q: Quantity> Instrument<Q> {
    /// A reading with all that is stated about the instrument combined.
    ///
    /// ```
    /// use lineproof::quantity::{Accuracy, Instrument, PressureDiff, PressureGauge, Quantity, unit};
    /// let gauge = Instrument::<PressureGauge> {
    ///     name: "gauge".into(),
    ///     accuracy: vec![Accuracy::Limit(PressureDiff::of(7.0, unit::PSI_DIFF))],
    ///     zero_drift_per_kelvin: 0.0,
    /// };
    /// let read = gauge.reading(PressureGauge::of(350.0, unit::PSIG));
    /// assert!((read.standard_uncertainty.in_unit(unit::PSI_DIFF) - 7.0 / 3f64.sqrt()).abs() < 1e-9);
    /// ```
    pub fn reading(&self, value: Q) -> Measured<Q> {
        let variance: f64 = self
            .accuracy
            .iter()
            .map(|a| a.standard_uncertainty().powi(2))
            .sum();
        Measured {
            value,
            standard_uncertainty: Q::Diff::from_si(variance.sqrt()),
            origin: Origin::Reading(self.name.clone()),
        }
    }
}
