//! Readings the fit cannot take.
use thiserror::Error;

use super::Rise;

/// Why a rise cannot be fitted.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum RiseError {
    /// Fewer than four readings.
    #[error("{count} reading(s) of the rise: at least 4 are needed; read the gauge every minute")]
    TooFew {
        /// How many there were.
        count: usize,
    },
    /// Times and pressures of different length.
    #[error("{micron} pressures for {minutes} times: give one pressure per time")]
    Lengths {
        /// Number of times.
        minutes: usize,
        /// Number of pressures.
        micron: usize,
    },
    /// A time at or before the one before it.
    #[error(
        "the time {minutes} min of reading {position} is not after {before} min: times must increase; split the log where the clock restarts"
    )]
    NotIncreasing {
        /// Position of the reading, counted from 1.
        position: usize,
        /// Its time, min.
        minutes: f64,
        /// The time before it, min.
        before: f64,
    },
    /// A pressure that is no vacuum.
    #[error(
        "the pressure {micron:.0} micron of reading {position} is outside 0 to 800,000 micron: a vacuum gauge reads absolute pressure; leave out what it could not read"
    )]
    OutOfRange {
        /// Position of the reading, counted from 1.
        position: usize,
        /// The pressure, micron.
        micron: f64,
    },
    /// The smallest step of the gauge.
    #[error(
        "a gauge that moves in steps of {} micron is outside 0.001 to 10,000 micron: read an electronic vacuum gauge (one against the atmosphere shows no vacuum rise), or give the smallest step it shows, like 1micron",
        (micron * 1e4).round() / 1e4
    )]
    Resolution {
        /// The resolution, micron.
        micron: f64,
    },
    /// A test too short to be one.
    #[error(
        "{seconds:.0} s isolated is no test: shut the valve to the pump, and read the gauge for {SHORTEST_MIN:.0} min at the least"
    )]
    TooShort {
        /// Its length, s.
        seconds: f64,
    },
    /// Nothing long enough between sudden changes.
    #[error(
        "the pressure changed suddenly {steps} times, first at {minutes:.1} min, and no stretch between is long enough: hold again with every valve left alone"
    )]
    Broken {
        /// Number of sudden changes.
        steps: usize,
        /// Time of the first, min.
        minutes: f64,
    },
    /// The terms cannot be told apart.
    #[error("the rise cannot be told apart from a constant: hold longer")]
    NotSeparable,
}

/// Below this a gauge has not even settled, min.
const SHORTEST_MIN: f64 = 1.0;

pub(super) fn check(rise: &Rise) -> Result<(), RiseError> {
    let (minutes, micron) = (rise.minutes.len(), rise.micron.len());
    if minutes != micron {
        return Err(RiseError::Lengths { minutes, micron });
    }
    if minutes < 4 {
        return Err(RiseError::TooFew { count: minutes });
    }
    if let Some(index) = rise
        .micron
        .iter()
        .position(|p| !(*p > 0.0 && *p <= 800_000.0))
    {
        return Err(RiseError::OutOfRange {
            position: index + 1,
            micron: rise.micron[index],
        });
    }
    if !(0.001..=10_000.0).contains(&rise.resolution_micron) {
        return Err(RiseError::Resolution {
            micron: rise.resolution_micron,
        });
    }
    if let Some(index) = rise
        .minutes
        .windows(2)
        .position(|pair| pair[1] <= pair[0] || pair[1].is_nan() || pair[0].is_nan())
    {
        return Err(RiseError::NotIncreasing {
            position: index + 2,
            minutes: rise.minutes[index + 1],
            before: rise.minutes[index],
        });
    }
    let length = rise.minutes[minutes - 1] - rise.minutes[0];
    if length < SHORTEST_MIN {
        return Err(RiseError::TooShort {
            seconds: 60.0 * length,
        });
    }
    Ok(())
}
