//! What the tables and figures of the vacuum rise are drawn from.

use super::before::Pumped;
use super::rules::{Level, Rule};
use crate::quantity::{PressureAbs, RiseRate};

/// Why the pressure rose.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// It did not.
    None,
    /// A leak.
    Leak,
    /// Water or something else gave off vapour.
    Moisture,
    /// Both.
    Both,
    /// Cannot be told yet.
    Unknown,
}

impl Cause {
    /// The word in JSON and on screens.
    pub fn word(self) -> &'static str {
        match self {
            Cause::None => "none",
            Cause::Leak => "leak",
            Cause::Moisture => "moisture",
            Cause::Both => "both",
            Cause::Unknown => "unknown",
        }
    }
}

/// One point of the rise with the fitted curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Minutes since the pump was shut off.
    pub minutes: f64,
    /// As read.
    pub read: PressureAbs,
    /// Fitted.
    pub fitted: PressureAbs,
}

/// The result of the vacuum rise.
#[derive(Debug, Clone, PartialEq)]
pub struct Detail {
    /// Why it rose.
    pub cause: Cause,
    /// Steady rise: estimate, low and high end of the 95 % model interval.
    pub leak: [RiseRate; 3],
    /// Probability that the steady rise is above the limit.
    pub above_limit: f64,
    /// Probability that something gives off vapour and levels off.
    pub moisture: f64,
    /// Where it levels off, when it does.
    pub levels_off: Option<PressureAbs>,
    /// Minutes still needed; none when decided or when more would not decide.
    pub hold_longer_min: Option<f64>,
    /// How it stands against the rule that decides and against each told beside it.
    pub rules: Vec<(Rule, Level)>,
    /// First and last reading.
    pub from_to: (PressureAbs, PressureAbs),
    /// Readings and fitted curve.
    pub points: Vec<Point>,
    /// The pump-down before it, if it was logged.
    pub pumped: Option<Pumped>,
}
