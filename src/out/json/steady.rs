//! A running log's steadiest window.

use serde::Serialize;

use super::Body;
use crate::check::run::steady;
use crate::quantity::{Quantity, unit};

/// A running log's steadiest window; SI units, pressures absolute.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Steady {
    /// Whether everything stands still in the window; none without a window.
    pub steady: Option<bool>,
    /// The steadiest window; none where the log is too short.
    pub window: Option<Window>,
    /// What hunts.
    pub hunting: Option<Hunting>,
    /// Gaps, each from and to in minutes since the first row.
    pub gaps_min: Vec<[f64; 2]>,
    /// What is said of it.
    pub said: Vec<Said>,
}

/// A window.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Window {
    from_min: f64,
    to_min: f64,
    rows: usize,
    channels: Vec<Channel>,
}

/// A channel in the window.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Channel {
    channel: &'static str,
    mean: f64,
    mean_standard_error: f64,
    change_per_min: f64,
    change_per_min_standard_error: f64,
    scatter: f64,
    change_over_limit: f64,
    scatter_over_limit: f64,
}

/// A swing with a period.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Hunting {
    channel: &'static str,
    period_min: f64,
    half_swing: f64,
}

/// A code with its sentence.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Said {
    code: &'static str,
    text: String,
}

impl Body for Steady {}

impl From<&steady::Steady> for Steady {
    fn from(found: &steady::Steady) -> Self {
        let over = found.criteria.over.in_unit(unit::MINUTE);
        let channel = |still: &steady::Still| Channel {
            channel: still.channel.word(),
            mean: still.mean,
            mean_standard_error: still.mean_error,
            change_per_min: still.change / over,
            change_per_min_standard_error: still.change_error / over,
            scatter: still.scatter,
            change_over_limit: still.change_ratio,
            scatter_over_limit: still.scatter_ratio,
        };
        Steady {
            steady: found.is_steady(),
            window: found.window.as_ref().map(|window| Window {
                from_min: window.from.in_unit(unit::MINUTE),
                to_min: window.to.in_unit(unit::MINUTE),
                rows: window.rows,
                channels: window.channels.iter().map(channel).collect(),
            }),
            hunting: found.hunting.as_ref().map(|h| Hunting {
                channel: h.channel.word(),
                period_min: h.period.in_unit(unit::MINUTE),
                half_swing: h.half,
            }),
            gaps_min: found
                .gaps
                .iter()
                .map(|gap| [gap.start / 60.0, gap.end / 60.0])
                .collect(),
            said: found
                .said()
                .into_iter()
                .map(|reason| Said {
                    code: reason.code,
                    text: reason.text,
                })
                .collect(),
        }
    }
}
