//! What the figures of evacuation and vacuum rise are drawn from.

use super::{capital, extremes};
use crate::check::dry::pumping::PumpLog;
use crate::check::dry::{Cause, Detail, Rule};
use crate::out::pump_down::{linger_words, step_words};
use crate::quantity::{PressureAbs, Quantity, UnitSystem, unit};

/// A vacuum rise, micron against minutes: as read, as fitted, and the two parts of the fit.
///
/// All columns have one entry per reading.
#[derive(Debug, Clone, PartialEq)]
pub struct RiseFigure {
    /// Minutes since the pump was shut off.
    pub minutes: Vec<f64>,
    /// As read.
    pub read: Vec<f64>,
    /// Fitted.
    pub fitted: Vec<f64>,
    /// Where it would be with the leak alone.
    pub leak: Vec<f64>,
    /// Where it would be with the vapour alone; none when none is likely.
    pub vapour: Option<Vec<f64>>,
    /// Where it levels off, if it does.
    pub level: Option<f64>,
    /// The steady rise: "0.3, could be -0.1 to 0.8 micron/min".
    pub leak_words: String,
    /// Why it rose: "moisture".
    pub cause: Cause,
    /// The level rule, if one was chosen.
    pub rule: Option<RiseRule>,
}

/// What a chosen rule asks.
#[derive(Debug, Clone, PartialEq)]
pub struct RiseRule {
    /// Its name.
    pub name: String,
    /// Passes at or below this, micron.
    pub pass: f64,
    /// For so many minutes.
    pub minutes: f64,
}

impl From<Rule> for RiseRule {
    fn from(rule: Rule) -> Self {
        RiseRule {
            name: rule.name.into(),
            pass: rule.pass_micron,
            minutes: rule.hold_min,
        }
    }
}

impl RiseFigure {
    /// From the result of the vacuum rise; `rule`: only one that was chosen. None without readings.
    pub fn of(detail: &Detail, rule: Option<RiseRule>) -> Option<Self> {
        let first = detail.points.first()?;
        let micron = |p: PressureAbs| p.in_unit(unit::MICRON);
        let rates = detail.leak.map(|r| r.in_unit(unit::MICRON_PER_MINUTE));
        let column = |of: &dyn Fn(&crate::check::dry::Point) -> f64| -> Vec<f64> {
            detail.points.iter().map(of).collect()
        };
        // what began or grew late bends the leak's own line
        let late = detail.starts_late.zip(detail.rate_before);
        let late = late.map(|(began, before)| {
            let before = before.in_unit(unit::MICRON_PER_MINUTE);
            (began.near.in_unit(unit::MINUTE), before)
        });
        let (bend, before) = late.unwrap_or((first.minutes, rates[0]));
        let rise = |minutes: f64| {
            before * (minutes.min(bend) - first.minutes) + rates[0] * (minutes - bend).max(0.0)
        };
        let start = micron(first.fitted);
        let vapour = detail.moisture > 0.5;
        let digits = if rates[2] - rates[1] < 1.0 { 2 } else { 1 };
        Some(RiseFigure {
            minutes: column(&|p| p.minutes),
            read: column(&|p| micron(p.read)),
            fitted: column(&|p| micron(p.fitted)),
            leak: column(&|p| start + rise(p.minutes)),
            vapour: vapour.then(|| column(&|p| micron(p.fitted) - rise(p.minutes))),
            level: detail.levels_off.map(|level| micron(level.near)),
            leak_words: format!(
                "{:.digits$}, could be {:.digits$} to {:.digits$} micron/min",
                rates[0], rates[1], rates[2]
            ),
            cause: detail.cause,
            rule,
        })
    }

    /// Whether the pressures are drawn by powers of ten: from a factor of twenty on.
    pub fn by_tens(&self) -> bool {
        let range = extremes(&self.read);
        range.is_some_and(|(low, high)| low > 0.0 && high > 20.0 * low)
    }

    /// The figure's numbers in a sentence or two; none without a reading.
    pub fn summary(&self) -> Option<String> {
        let (first, last) = (self.read.first()?, self.read.last()?);
        let (from, to) = (self.minutes.first()?, self.minutes.last()?);
        let mut text = format!(
            "The isolated vacuum read {first:.0} micron at {from:.1} min and {last:.0} micron at {to:.1} min. The steady part of the rise is {}.",
            self.leak_words
        );
        if let Some(level) = self.level {
            text += &format!(" Without it, it levels off near {level:.0} micron.");
        }
        if let Some(rule) = &self.rule {
            text += &format!(" {}.", capital(&rule.words()));
        }
        Some(text)
    }
}

impl RiseRule {
    /// "makers-500-10 asks for 500 micron or less for 10 min".
    pub fn words(&self) -> String {
        format!(
            "{} asks for {:.0} micron or less for {:.0} min",
            self.name, self.pass, self.minutes
        )
    }
}

/// A pump-down, micron by powers of ten against minutes.
#[derive(Debug, Clone, PartialEq)]
pub struct PumpDownFigure {
    /// Minutes.
    pub minutes: Vec<f64>,
    /// As read, micron.
    pub read: Vec<f64>,
    /// Where it lingers: from, to, level.
    pub lingers: Option<(f64, f64, f64)>,
    /// What it lingers for, short: "water at 50.1 °F".
    pub lingers_words: String,
    /// What was switched.
    pub steps: Vec<PumpMark>,
    /// When the pump was shut off.
    pub shut_off: Option<f64>,
    /// In sentences.
    pub told: Vec<String>,
}

/// A moment of a pump-down.
#[derive(Debug, Clone, PartialEq)]
pub struct PumpMark {
    /// When, minutes.
    pub minutes: f64,
    /// In words: "switched".
    pub words: String,
}

impl PumpDownFigure {
    /// From a log and what it shows.
    pub fn of(log: &PumpLog, minutes: &[f64], pressure: &[PressureAbs], units: UnitSystem) -> Self {
        let micron = |p: PressureAbs| p.in_unit(unit::MICRON);
        let lingers = log.lingers.as_ref();
        let mut told: Vec<String> = lingers
            .map(|l| linger_words(l, units))
            .into_iter()
            .collect();
        told.extend(log.steps.iter().map(step_words));
        PumpDownFigure {
            minutes: minutes.to_vec(),
            read: pressure.iter().map(|p| micron(*p)).collect(),
            lingers: lingers.map(|l| (l.from, l.to, micron(l.level))),
            lingers_words: match lingers.and_then(|l| l.water) {
                Some((t, phase)) if phase.word() == "ice" => format!("as ice at {}", t.show(units)),
                Some((t, _)) => format!("as water at {}", t.show(units)),
                None => "lingers".into(),
            },
            steps: log
                .steps
                .iter()
                .map(|s| PumpMark {
                    minutes: s.minutes,
                    words: if s.rose() {
                        "rose".into()
                    } else {
                        "switched".into()
                    },
                })
                .collect(),
            shut_off: log.shut_off,
            told,
        }
    }

    /// The figure's numbers in a sentence or two; none without a reading.
    pub fn summary(&self) -> Option<String> {
        let (_, highest) = extremes(&self.read)?;
        let (lowest, _) = extremes(&self.read)?;
        let last = self.minutes.last()?;
        let mut text = format!(
            "The gauge read from {highest:.0} down to {lowest:.0} micron within {last:.1} min."
        );
        for words in &self.told {
            text += &format!(" {}.", capital(words));
        }
        if let Some(at) = self.shut_off {
            text += &format!(" The pump was shut off at {at:.1} min.");
        }
        Some(text)
    }
}
