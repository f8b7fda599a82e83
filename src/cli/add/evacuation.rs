//! An evacuation with its vacuum rise, and the valve to the pump.

use std::path::{Path, PathBuf};

use super::circuit::{Body, Looked, Valves, described};
use super::{Noted, When, segment};
use crate::check::{Finding, Segment, dry};
use crate::cli::args::word;
use crate::cli::logfile::RiseFile;
use crate::cli::new::field;
use crate::quantity::{Duration, Temperature};
use crate::record::logger::{Asked, Kind, Role};
use crate::record::{self, AsTyped, EventBody, Moment, Position, Record, Vacuum};

/// An evacuation with its vacuum rise.
#[derive(Debug, clap::Args)]
pub(super) struct Evacuation {
    /// The segments evacuated, e.g. liquid-line,vapour-line,indoor-coil
    #[arg(long, value_delimiter = ',', required = true, value_parser = segment)]
    covers: Vec<Segment>,
    /// The level rule, e.g. iec-60335-2-40-vacuum
    #[arg(long, value_parser = rule)]
    rule: Option<String>,
    /// The vacuum gauge's id in lineset.toml
    #[arg(long)]
    gauge: Option<String>,
    /// When the pump was shut off, counted from the first reading: what came before is no part of the rise; 0min where all
    /// of it is isolated
    #[arg(long, value_name = "TIME", value_parser = field::<Duration>, allow_hyphen_values = true)]
    isolated_after: Option<AsTyped<Duration>>,
    /// Temperature of the coldest part that could be wet
    #[arg(long, value_parser = field::<Temperature>, allow_hyphen_values = true)]
    coldest: Option<AsTyped<Temperature>>,
    #[command(flatten)]
    valves: Valves,
    /// A logger file as CSV or XLSX, copied into the record; it may hold the pump-down and then the rise
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    /// The log of the pump-down, where it is a file of its own; read as --log is, and copied into the record
    #[arg(long, value_name = "FILE")]
    pump_down: Option<PathBuf>,
    #[command(flatten)]
    file: RiseFile,
    /// A reading of the isolated vacuum: time and pressure, e.g. 5min=455micron
    #[arg(long, value_name = "READING", conflicts_with = "log", value_parser = vacuum_reading)]
    reading: Vec<record::VacuumReading>,
    #[command(flatten)]
    when: When,
}

fn rule(name: &str) -> Result<String, String> {
    crate::cli::dry::rule(name).map(|r: dry::Rule| r.name.to_string())
}

/// `TIME=VACUUM`.
pub(in crate::cli) fn vacuum_reading(text: &str) -> Result<record::VacuumReading, String> {
    let (after, vacuum) = text.split_once('=').ok_or_else(|| {
        format!("\"{text}\" is no reading: type time=vacuum, for example 5min=455micron")
    })?;
    Ok(record::VacuumReading {
        at: None,
        after: Some(field::<Duration>(after).map_err(|e| e.to_string())?),
        vacuum: field::<Vacuum>(vacuum).map_err(|e| e.to_string())?,
        phase: None,
    })
}

impl Noted for Evacuation {
    fn when(&self) -> &When {
        &self.when
    }
    fn body(self, record: &Record, _: Moment) -> Body {
        if self.log.is_none() && self.reading.len() < 4 {
            return Err(format!(
                "{} readings: a vacuum rise needs a --log, or --reading four times or more; from then on it says when to read next and what that buys",
                self.reading.len()
            )
            .into());
        }
        let asked = self.file.asked();
        described(self.log.is_some() || self.pump_down.is_some(), &asked)?;
        let pumping = of_the_pump_down(&asked);
        // both can be read before either is copied
        let log = look(record, self.log.as_deref(), asked)?;
        let pump_down = look(record, self.pump_down.as_deref(), pumping)?;
        Ok(record::Evacuation {
            covers: self.covers,
            rule: self.rule,
            gauge: self.gauge,
            valves: self.valves.stood(),
            isolated_after: self.isolated_after,
            coldest: self.coldest,
            ambient: None,
            until: None,
            log: log.map(|log| log.attach(record)).transpose()?,
            pump_down: pump_down.map(|log| log.attach(record)).transpose()?,
            readings: self.reading,
        }
        .into())
    }
}

fn look<'a>(
    record: &Record,
    path: Option<&'a Path>,
    asked: Asked,
) -> Result<Option<Looked<'a>>, Box<dyn std::error::Error>> {
    path.map(|path| Looked::at(record, path, asked, Kind::Rise))
        .transpose()
}

/// How the log of the pump-down is read: as the rise's, but nothing in it is told apart.
fn of_the_pump_down(asked: &Asked) -> Asked {
    let alone = |(role, _): &(Role, String)| !matches!(role, Role::Second | Role::Phase);
    let kept = |said: &[(Role, String)]| said.iter().filter(|s| alone(s)).cloned().collect();
    Asked {
        columns: kept(&asked.columns),
        units: kept(&asked.units),
        part: None,
        ..asked.clone()
    }
}

/// What has to be confirmed before it stays for good: where the pump was shut off, when only the course of the pressure
/// says so.
pub(super) fn question(body: &EventBody, finding: &Finding) -> Option<String> {
    let EventBody::Evacuation(evacuation) = body else {
        return None;
    };
    let mut reasons = finding.reasons.iter();
    let asked = reasons.find(|r| r.code == dry::reasons::SEEMS_SHUT_OFF)?;
    evacuation.isolated_after.is_none().then(|| {
        format!(
            "{}; where all of it was isolated, --isolated-after 0min",
            asked.text
        )
    })
}

/// The valve between the lines and the vacuum pump was moved.
#[derive(Debug, clap::Args)]
pub(super) struct PumpValveMoved {
    /// open or shut
    #[arg(long, value_parser = word!(Position))]
    to: Position,
    #[command(flatten)]
    when: When,
}

impl Noted for PumpValveMoved {
    fn when(&self) -> &When {
        &self.when
    }
    fn body(self, _: &Record, _: Moment) -> Body {
        Ok(record::PumpValveMoved { to: self.to }.into())
    }
}
