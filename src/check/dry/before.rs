//! What came before the isolated phase: the pump-down, and what says when the pump was shut off.

use super::pumping::{self, PumpLog, Pumping, PumpingError};
use crate::quantity::PressureAbs;

/// When the pump was shut off, where the readings began before it.
#[derive(Debug, Clone, PartialEq)]
pub struct ShutOff {
    /// Minutes since the first reading.
    pub after_min: f64,
    /// What says so.
    pub by: ShutOffBy,
    /// When the pump pulled again, minutes since the first reading, if it did.
    pub until_min: Option<f64>,
}

/// What says when the pump was shut off, the surest first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ShutOffBy {
    /// Somebody typed it.
    Told,
    /// A phase column, with its word.
    Phase(String),
    /// The valve to the pump, by the number of its event.
    Valve(u64),
}

impl ShutOff {
    /// "isolated from 14.2 min on: ...".
    pub(super) fn words(&self) -> String {
        let at = format!("isolated from {:.1} min on", self.after_min);
        let why = match &self.by {
            ShutOffBy::Told => ", as was said".into(),
            ShutOffBy::Phase(word) => format!(": the phase column says \"{word}\" from there"),
            ShutOffBy::Valve(number) => {
                format!(": the valve to the pump was shut then (event {number})")
            }
        };
        let before = match self.after_min > 0.0 {
            true => "; what was read before is left out",
            false => "",
        };
        let until = self.until_min.map_or(String::new(), |minutes| {
            format!("; from {minutes:.1} min the pump pulled again, and that is left out")
        });
        format!("{at}{why}{before}{until}")
    }
}

/// A pump-down: its readings and what they show.
#[derive(Debug, Clone, PartialEq)]
pub struct Pumped {
    /// Minutes, increasing.
    pub minutes: Vec<f64>,
    /// Absolute pressures.
    pub pressure: Vec<PressureAbs>,
    /// What they show.
    pub log: PumpLog,
}

impl Pumped {
    /// Reads a pump-down as [`pumping::read`] does.
    pub fn read(minutes: Vec<f64>, pressure: Vec<PressureAbs>) -> Result<Self, PumpingError> {
        let log = pumping::read(&Pumping {
            minutes: &minutes,
            pressure: &pressure,
        })?;
        Ok(Pumped {
            minutes,
            pressure,
            log,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_left_out_is_said_and_nothing_else_is() {
        let said = |after_min, by, until_min| {
            let shut_off = ShutOff {
                after_min,
                by,
                until_min,
            };
            shut_off.words()
        };
        assert_eq!(
            said(14.2, ShutOffBy::Told, None),
            "isolated from 14.2 min on, as was said; what was read before is left out"
        );
        assert_eq!(
            said(0.0, ShutOffBy::Phase("hold".into()), Some(30.0)),
            "isolated from 0.0 min on: the phase column says \"hold\" from there; from 30.0 min the pump pulled again, and that is left out"
        );
    }
}
