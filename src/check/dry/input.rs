//! What the vacuum rise is judged from.

use super::before::{Pumped, ShutOff};
use super::standing::Standing;
use crate::check::Segment;
use crate::quantity::{PressureAbs, PressureDiff, Temperature, UnitSystem, Volume};

/// The readings of an isolated vacuum and what is known about the volume.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// Minutes since the pump was shut off, increasing.
    pub minutes: Vec<f64>,
    /// Minutes of the log before that, left out: a time on the log's own clock is so much later.
    pub before_min: f64,
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
    /// What a second gauge on the same volume showed at the same times, if there was one.
    pub second: Option<Vec<PressureAbs>>,
    /// What a standing pressure test of the same volume came to, if one is known.
    pub standing: Option<Standing>,
    /// When the pump was shut off, where the readings began before it; they are given from there on.
    pub shut_off: Option<ShutOff>,
    /// The pump-down before it, if it was logged.
    pub pumped: Option<Pumped>,
    /// Units for the sentences.
    pub units: UnitSystem,
}

impl Input {
    /// Readings and the gauge's smallest step, with nothing known beside.
    pub fn of(
        minutes: Vec<f64>,
        pressure: Vec<PressureAbs>,
        gauge_resolution: PressureDiff,
    ) -> Self {
        Input {
            minutes,
            before_min: 0.0,
            pressure,
            gauge_resolution,
            gauge_ceiling: None,
            coldest: None,
            volume: None,
            covers: Vec::new(),
            second: None,
            standing: None,
            shut_off: None,
            pumped: None,
            units: UnitSystem::Us,
        }
    }
}
