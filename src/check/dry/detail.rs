//! What the tables and figures of the vacuum rise are drawn from.

use super::before::Pumped;
use super::method::Step;
use super::rules::{Level, Rule};
use crate::quantity::{Dimension, Duration, Interval, PressureAbs, Quantity, RiseRate, UnitSystem};

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

/// A middle value and where it could be (95 %).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Near<T> {
    /// The middle.
    pub near: T,
    /// The low end.
    pub low: T,
    /// The high end.
    pub high: T,
}

/// A range narrower than this part of its middle is not told.
const NARROW: f64 = 0.2;

impl<T: Quantity> Near<T> {
    /// As an interval.
    pub fn interval(self) -> Interval {
        Interval {
            estimate: self.near.si(),
            low: self.low.si(),
            high: self.high.si(),
            dimension: T::DIMENSION,
        }
    }

    /// "218 micron", with where it could be only where that is wide: "218 micron, could be 200 to 260 micron".
    pub fn words(self, units: UnitSystem) -> String {
        if self.high.si() - self.low.si() > NARROW * self.near.si() {
            self.interval().show(units)
        } else {
            self.near.show(units).to_string()
        }
    }
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
    /// Where it levels off: beside the steady rise, or as if there were none while none is seen.
    pub levels_off: Option<Near<PressureAbs>>,
    /// Minutes still needed, after a sudden change counted anew; none when decided or when more would not decide.
    pub hold_longer_min: Option<f64>,
    /// When a steady rise began or grew while the vacuum was held, when one likely did.
    pub starts_late: Option<Near<Duration>>,
    /// The steady rise before that.
    pub rate_before: Option<RiseRate>,
    /// Sudden changes of the pressure.
    pub steps: Vec<Step>,
    /// The longest stretch without one, min: the steady rise, the level and the points are of it alone.
    pub fitted_min: (f64, f64),
    /// How it stands against the rule that decides and against each told beside it.
    pub rules: Vec<(Rule, Level)>,
    /// First and last reading.
    pub from_to: (PressureAbs, PressureAbs),
    /// Readings and fitted curve.
    pub points: Vec<Point>,
    /// The pump-down before it, if it was logged.
    pub pumped: Option<Pumped>,
}

impl Detail {
    /// Whether zero lies outside what the steady rise could be.
    pub fn leak_seen(&self) -> bool {
        self.leak[1].si() > 0.0 || self.leak[2].si() < 0.0
    }

    /// The steady rise as an interval.
    pub fn steady(&self) -> Interval {
        let [estimate, low, high] = self.leak.map(|rate| rate.si());
        Interval {
            estimate,
            low,
            high,
            dimension: Dimension::RiseRate,
        }
    }
}
