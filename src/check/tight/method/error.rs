//! Readings the regression cannot take.
use thiserror::Error;

/// Why a series cannot be fitted.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum FitError {
    /// Fewer than two readings.
    #[error("{count} reading(s): at least 2 are needed to see a change; add a later reading")]
    TooFew {
        /// How many there were.
        count: usize,
    },
    /// Two columns of different length.
    #[error(
        "{column} has {found} values for {expected} times: give one value per time, or leave the column out"
    )]
    Lengths {
        /// Which column.
        column: &'static str,
        /// Its length.
        found: usize,
        /// The number of times.
        expected: usize,
    },
    /// A time at or before the one before it.
    #[error(
        "the time {hours} h of reading {position} is not after {before} h: times must increase; split the log where the clock restarts"
    )]
    NotIncreasing {
        /// Position of the reading, counted from 1.
        position: usize,
        /// Its time, h.
        hours: f64,
        /// The time before it, h.
        before: f64,
    },
    /// A value that is not a number or out of range.
    #[error(
        "{what} {value} {unit} of reading {position} is outside {low} to {high} {unit}: check the column and its unit"
    )]
    OutOfRange {
        /// What the value is.
        what: &'static str,
        /// The value.
        value: f64,
        /// Its unit.
        unit: &'static str,
        /// Lowest allowed.
        low: f64,
        /// Highest allowed.
        high: f64,
        /// Position of the reading, counted from 1.
        position: usize,
    },
    /// An assumption that cannot be meant.
    #[error(
        "{what} is {value}: it must lie between {low} and {high}; check the value and its unit"
    )]
    Assumption {
        /// What was assumed.
        what: &'static str,
        /// Its value.
        value: f64,
        /// Lowest allowed.
        low: f64,
        /// Highest allowed.
        high: f64,
    },
    /// Loss and steps cannot be told apart.
    #[error(
        "the loss cannot be told apart from the sudden changes in these readings: hold longer without touching the set"
    )]
    NotSeparable,
}
