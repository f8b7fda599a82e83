//! Readings that cannot be judged.
use super::method::RiseError;
use super::standing::StandingError;

/// Why readings cannot be judged at all.
#[derive(Debug, thiserror::Error)]
pub enum DryError {
    /// The fit refuses them.
    #[error(transparent)]
    Rise(#[from] RiseError),
    /// A second gauge without a reading for each of the first.
    #[error("the second gauge has {second} readings for {first} of the first: give one for each")]
    SecondGauge {
        /// Readings of the first.
        first: usize,
        /// Readings of the second.
        second: usize,
    },
    /// Nothing left below the ceiling.
    #[error(
        "{below} of {readings} readings lie below the gauge's ceiling of {ceiling:.0} micron, 4 are needed: check the ceiling, or read a gauge that reaches higher"
    )]
    Ceiling {
        /// Readings below it.
        below: usize,
        /// All readings.
        readings: usize,
        /// The ceiling as stated, micron.
        ceiling: f64,
    },
    /// The standing pressure test beside it.
    #[error(transparent)]
    Standing(#[from] StandingError),
}
