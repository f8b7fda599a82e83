//! A running log as its figure shows it.

use super::figure::{LogLine, LogPanel, LogWindow, RunningLogFigure};
use crate::check::run::steady::{Channel, Column, Kind, Log, Steady};
use crate::quantity::{
    Current, PressureAbs, Quantity, Shown, Temperature, TemperatureDiff, UnitSystem, unit,
};

/// The panels, each with its kinds.
const PANELS: [(&str, &[Kind]); 5] = [
    ("superheat and subcooling", &[Kind::Span]),
    ("lines and coil bends", &[Kind::Line, Kind::Discharge]),
    ("gauge pressure", &[Kind::Pressure]),
    ("air", &[Kind::Air]),
    ("current", &[Kind::Current]),
];

/// A reading of a channel as a reader of the unit system sees it; a pressure as a gauge shows it.
pub fn shown(log: &Log, channel: Channel, si: f64, units: UnitSystem) -> Shown {
    match channel.kind() {
        Kind::Span => TemperatureDiff::from_si(si).show(units),
        Kind::Line | Kind::Discharge | Kind::Air => Temperature::from_si(si).show(units),
        Kind::Pressure => PressureAbs::from_si(si).to_gauge(log.barometer).show(units),
        Kind::Current => Current::from_si(si).show(units),
    }
}

impl RunningLogFigure {
    /// What a running log shows, in the units of a reader.
    pub fn of(steady: &Steady, units: UnitSystem) -> Self {
        let log = &steady.log;
        RunningLogFigure {
            minutes: log.seconds.iter().map(|s| s / 60.0).collect(),
            panels: PANELS
                .iter()
                .filter_map(|(name, kinds)| panel(steady, name, kinds, units))
                .collect(),
            window: steady.window.as_ref().map(|window| LogWindow {
                from: window.from.in_unit(unit::MINUTE),
                to: window.to.in_unit(unit::MINUTE),
                steady: window.is_steady(),
            }),
            hunting: steady.hunting.as_ref().map(|h| {
                format!(
                    "hunting: {}, every {:.1} min, ± {}",
                    h.channel.words(),
                    h.period.in_unit(unit::MINUTE),
                    h.channel.kind().difference().show(h.half, units)
                )
            }),
        }
    }
}

fn panel(steady: &Steady, name: &str, kinds: &[Kind], units: UnitSystem) -> Option<LogPanel> {
    let log = &steady.log;
    let columns: Vec<_> = log
        .columns
        .iter()
        .filter(|c| kinds.contains(&c.channel.kind()))
        .collect();
    let first = columns.first()?;
    let unit = shown(log, first.channel, *first.values.first()?, units).unit;
    let line = |column: &&Column| {
        let see = |si: f64| shown(log, column.channel, si, units);
        let window = steady.window.as_ref();
        LogLine {
            label: column.channel.words(),
            mean: window
                .and_then(|w| w.channel(column.channel))
                .map(|still| see(still.mean).number()),
            values: column.values.iter().map(|v| see(*v).value).collect(),
        }
    };
    let lines = columns.iter().map(line).collect();
    Some(LogPanel {
        title: name.to_string(),
        unit,
        lines,
    })
}
