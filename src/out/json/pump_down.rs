//! A pump-down to come, and one that was logged.

use serde::Serialize;

use super::Body;
use crate::check::dry::pumping::{PumpLog, Stretch};
use crate::out::pump_down::Expected;
use crate::quantity::{PressureAbs, Quantity, Volume, VolumeFlow, unit};

/// `lineproof pump-down --json`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PumpDownDocument {
    expected: Option<ExpectedDocument>,
    log: Option<LogDocument>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct ExpectedDocument {
    dry_min: f64,
    /// By the heat that reaches the water: held at its temperature, and as ice.
    water_min: Option<[Option<f64>; 2]>,
    plateau_micron: Option<f64>,
    speeds: Vec<SpeedDocument>,
    helps: Vec<HelpDocument>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct SpeedDocument {
    p_micron: f64,
    inlet_micron: f64,
    l_per_s: f64,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct HelpDocument {
    what: &'static str,
    total_min: f64,
    saves_min: f64,
}

/// What a log of a pump-down shows.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct LogDocument {
    began_min: f64,
    shut_off_min: Option<f64>,
    deepest_micron: f64,
    stretches: Vec<StretchDocument>,
    lingers: Option<LingerDocument>,
    steps: Vec<StepDocument>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct StretchDocument {
    from_micron: f64,
    to_micron: f64,
    minutes: [f64; 3],
    broken: bool,
    /// Estimate, least, most.
    l_per_s: Option<[Option<f64>; 3]>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct LingerDocument {
    from_min: f64,
    to_min: f64,
    level_micron: f64,
    #[serde(rename = "water_K")]
    water: Option<f64>,
    phase: Option<&'static str>,
    fell_after: bool,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct StepDocument {
    at_min: f64,
    until_min: f64,
    from_micron: f64,
    to_micron: f64,
}

impl Body for PumpDownDocument {}

fn micron(p: PressureAbs) -> f64 {
    p.in_unit(unit::MICRON)
}

fn litres(speed: VolumeFlow) -> f64 {
    speed.in_unit(unit::LITRE_PER_SECOND)
}

impl PumpDownDocument {
    /// What is expected, and what a log shows; `volume`: turns its times into speeds.
    pub fn of(expected: Option<&Expected>, log: Option<&PumpLog>, volume: Option<Volume>) -> Self {
        PumpDownDocument {
            expected: expected.map(ExpectedDocument::from),
            log: log.map(|log| LogDocument::of(log, volume)),
        }
    }
}

impl From<&Expected> for ExpectedDocument {
    fn from(expected: &Expected) -> Self {
        let min = |d: crate::quantity::Duration| d.in_unit(unit::MINUTE);
        ExpectedDocument {
            dry_min: min(expected.dry),
            water_min: expected
                .water
                .map(|w| [Some(min(w.warm.1)), w.ice.map(|(_, t)| min(t))]),
            plateau_micron: expected.water.map(|w| micron(w.warm.0.plateau)),
            speeds: expected
                .speeds
                .iter()
                .map(|at| SpeedDocument {
                    p_micron: micron(at.pressure),
                    inlet_micron: micron(at.inlet),
                    l_per_s: litres(at.speed),
                })
                .collect(),
            helps: expected
                .helps
                .iter()
                .map(|help| HelpDocument {
                    what: help.what,
                    total_min: min(help.time),
                    saves_min: min(help.saves),
                })
                .collect(),
        }
    }
}

impl LogDocument {
    pub(super) fn of(log: &PumpLog, volume: Option<Volume>) -> Self {
        let speeds = |s: &Stretch| {
            let (speed, least, most) = s.speed(volume?);
            (!s.broken).then(|| [Some(litres(speed)), Some(litres(least)), most.map(litres)])
        };
        LogDocument {
            began_min: log.began,
            shut_off_min: log.shut_off,
            deepest_micron: micron(log.deepest.1),
            stretches: log
                .stretches
                .iter()
                .map(|s| StretchDocument {
                    from_micron: micron(s.from),
                    to_micron: micron(s.to),
                    minutes: s.minutes,
                    broken: s.broken,
                    l_per_s: speeds(s),
                })
                .collect(),
            lingers: log.lingers.map(|l| LingerDocument {
                from_min: l.from,
                to_min: l.to,
                level_micron: micron(l.level),
                water: l.water.map(|(t, _)| t.si()),
                phase: l.water.map(|(_, phase)| phase.word()),
                fell_after: l.fell_after,
            }),
            steps: log
                .steps
                .iter()
                .map(|s| StepDocument {
                    at_min: s.minutes,
                    until_min: s.until,
                    from_micron: micron(s.from),
                    to_micron: micron(s.to),
                })
                .collect(),
        }
    }
}
