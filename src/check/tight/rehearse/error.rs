//! Holds that cannot be rehearsed.

use crate::fluid::DryGasError;

/// Why a hold cannot be rehearsed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RehearseError {
    /// Too short or too long.
    #[error("a hold of {hours} h: from {low} to {high} h can be rehearsed; most holds stand 24 h")]
    Hours {
        /// As asked.
        hours: f64,
        /// Shortest.
        low: f64,
        /// Longest.
        high: f64,
    },
    /// Too few or too many readings.
    #[error(
        "{count} readings: from {low} to {high} can be rehearsed; read every 10 min with a logger, or five times by hand"
    )]
    Readings {
        /// As asked.
        count: usize,
        /// Fewest.
        low: usize,
        /// Most.
        high: usize,
    },
    /// No day swings so far.
    #[error(
        "a swing of {swing} from the coolest to the warmest hour: from 0 to 72 °F (40 K) can be rehearsed; a usual day swings by 18 °F (10 K)"
    )]
    Swing {
        /// As asked.
        swing: String,
    },
    /// Air too cold or too warm.
    #[error(
        "air of {air}: from -31 to 131 °F (-35 to 55 °C) can be rehearsed; check the value and its unit"
    )]
    Air {
        /// As asked.
        air: String,
    },
    /// No hour of a day.
    #[error(
        "a start at {begins} h: give the hour of the day from 0 to 24, for example 20 for eight in the evening"
    )]
    Begins {
        /// As asked.
        begins: f64,
    },
    /// Zero or less.
    #[error(
        "a test pressure of {start} read in steps of {resolution}: both must be above zero; check the values"
    )]
    NotPositive {
        /// The test pressure.
        start: String,
        /// The gauge's step.
        resolution: String,
    },
    /// A gauge that shows nothing.
    #[error(
        "a gauge in steps of {resolution} at {start}: a step may be a fifth of the test pressure at most; take a finer gauge"
    )]
    Resolution {
        /// The test pressure.
        start: String,
        /// The gauge's step.
        resolution: String,
    },
    /// Above the nameplate.
    #[error(
        "a test pressure of {start} is above the lowest rating, {rated}: take less; the nameplate and the unit's instructions win"
    )]
    AboveRating {
        /// The test pressure.
        start: String,
        /// The rating.
        rated: String,
    },
    /// A gas that must not be used.
    #[error(
        "{gas} is no test gas: with oil or refrigerant it can explode; take dry nitrogen, argon or helium"
    )]
    Forbidden {
        /// The gas.
        gas: &'static str,
    },
    /// A leak below zero, or one that empties the set.
    #[error(
        "a leak of {leak}: from 0 to {most} can be rehearsed at this pressure and length, or the set would stand empty"
    )]
    Leak {
        /// As asked.
        leak: String,
        /// The most.
        most: String,
    },
    /// A touch outside the hold, or one that empties the set.
    #[error(
        "a touch after {hours} h that drops the gauge by {drop}: it must lie inside the hold and leave half of the pressure"
    )]
    Touch {
        /// When, h.
        hours: f64,
        /// How far.
        drop: String,
    },
    /// Outside the gas's equation.
    #[error("rehearsal: {0}")]
    Gas(#[from] DryGasError),
    /// The judgement refuses the readings.
    #[error("rehearsal: the readings cannot be judged: {0}")]
    Judged(String),
}
