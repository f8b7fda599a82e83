//! What the vacuum rise is judged from.

use crate::check::Segment;
use crate::quantity::{PressureAbs, PressureDiff, Temperature, UnitSystem, Volume};

/// The readings of an isolated vacuum and what is known about the volume.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// Minutes since the pump was shut off, increasing.
    pub minutes: Vec<f64>,
    /// Absolute pressures.
    pub pressure: Vec<PressureAbs>,
    /// The gauge's smallest step.
    pub gauge_resolution: PressureDiff,
    /// The highest pressure the gauge can show, if known: readings there are left out.
    pub gauge_ceiling: Option<PressureAbs>,
    /// Temperature of the coldest part, if known.
    pub coldest: Option<Temperature>,
    /// The evacuated volume, if known.
    pub volume: Option<Volume>,
    /// What was under vacuum.
    pub covers: Vec<Segment>,
    /// Units for the sentences.
    pub units: UnitSystem,
}
