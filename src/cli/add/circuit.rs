//! Tests, valves, openings, repairs, releases.

use std::path::{Path, PathBuf};

use super::{Noted, When, segment};
use crate::check::Segment;
use crate::cli::args::word;
use crate::cli::logfile::LogFile as HoldFile;
use crate::cli::new::field;
use crate::quantity::{
    Duration, Fraction, PressureGauge, PressureReading, Temperature, TemperatureDiff, Volume,
};
use crate::record::logger::{self, Asked, Kind};
use crate::record::{
    self, Answer, AsTyped, EventBody, LogFile, Moment, Position, Record, ReleaseEnd, RepairMethod,
    Seen, ServiceValve, TestGas, Whereabouts,
};

pub(super) type Body = Result<EventBody, Box<dyn std::error::Error>>;

/// A logger file that can be read as it was described, not yet in the record.
pub(super) struct Looked<'a> {
    path: &'a Path,
    asked: Asked,
    seen: logger::Preview,
}

impl<'a> Looked<'a> {
    pub(super) fn at(
        record: &Record,
        path: &'a Path,
        asked: Asked,
        kind: Kind,
    ) -> Result<Self, Box<dyn std::error::Error>> {
        if logger::is_rehearsal(path) {
            return Err(format!(
                "{}: its first line says that it is a rehearsal and no measurement: a record takes readings of the set itself; judge it with \"lineproof tight\"",
                path.display()
            )
            .into());
        }
        let barometer = record.barometer()?;
        match kind {
            Kind::Rise => logger::read_rise(path, &asked, barometer).map(drop)?,
            _ => logger::read_hold(path, &asked, barometer).map(drop)?,
        }
        let seen = logger::preview(path, &asked, kind, barometer)?;
        Ok(Looked { path, asked, seen })
    }

    /// Copies it into the record with what was said of it.
    pub(super) fn attach(self, record: &Record) -> Result<LogFile, Box<dyn std::error::Error>> {
        let copied = record.attach_log(self.path)?;
        Ok(copied.with_said(&self.asked, &self.seen))
    }
}

/// Refuses what describes a log where there is none.
pub(super) fn described(any: bool, asked: &Asked) -> Result<(), &'static str> {
    if any || *asked == Asked::default() {
        return Ok(());
    }
    Err("columns, units and clock of a log were described, but no log: name it with --log")
}

/// Where the service valves stood, if it is known of both.
#[derive(Debug, clap::Args)]
pub(super) struct Valves {
    /// Where the liquid service valve stood: open or shut
    #[arg(long, requires = "vapour_service", value_parser = word!(Position))]
    liquid_service: Option<Position>,
    /// Where the vapour service valve stood: open or shut
    #[arg(long, requires = "liquid_service", value_parser = word!(Position))]
    vapour_service: Option<Position>,
}

impl Valves {
    pub(super) fn stood(&self) -> Option<record::Valves> {
        Some(record::Valves {
            liquid_service: self.liquid_service?,
            vapour_service: self.vapour_service?,
        })
    }
}

/// A standing pressure test.
#[derive(Debug, clap::Args)]
pub(super) struct PressureTest {
    /// The segments under pressure, e.g. liquid-line,vapour-line,indoor-coil
    #[arg(long, value_delimiter = ',', required = true, value_parser = segment)]
    covers: Vec<Segment>,
    /// The gas: nitrogen, argon, helium, forming-gas, air, oxygen, refrigerant, not-known
    #[arg(long, default_value = "nitrogen", value_parser = word!(TestGas))]
    gas: TestGas,
    /// The pressure aimed at, e.g. 500psig
    #[arg(long, value_parser = field::<PressureGauge>, allow_hyphen_values = true)]
    test_pressure: Option<AsTyped<PressureGauge>>,
    /// The gauge's id in lineset.toml
    #[arg(long)]
    gauge: Option<String>,
    /// Share of the gas volume outdoors, e.g. "35 %"
    #[arg(long, value_parser = field::<Fraction>, allow_hyphen_values = true)]
    outdoor_share: Option<AsTyped<Fraction>>,
    /// From the coolest to the warmest hour of a day in the part of the lines where no thermometer hangs (attic, wall,
    /// crawl space, sun), e.g. 45F
    #[arg(long, value_parser = field::<TemperatureDiff>, allow_hyphen_values = true)]
    unlogged_swing: Option<AsTyped<TemperatureDiff>>,
    /// Volume of all that is under pressure, where it is not that of the lines, e.g. 0.08L for gauge and hose alone
    #[arg(long, value_parser = field::<Volume>, allow_hyphen_values = true)]
    volume: Option<AsTyped<Volume>>,
    /// The code rule, e.g. ufgs-23-pressure
    #[arg(long, value_parser = code_rule)]
    code_rule: Option<String>,
    #[command(flatten)]
    valves: Valves,
    /// A logger file as CSV or XLSX, copied into the record
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    #[command(flatten)]
    file: HoldFile,
    /// A reading: time since the start, pressure, and optionally outdoor and indoor temperature,
    /// e.g. 0h=450psig,34F,63F
    #[arg(long, value_name = "READING", conflicts_with = "log", value_parser = test_reading)]
    reading: Vec<record::TestReading>,
    #[command(flatten)]
    when: When,
}

fn code_rule(name: &str) -> Result<String, String> {
    crate::cli::tight::code_rule(name).map(|rule| rule.name.to_string())
}

/// `TIME=PRESSURE[,OUTDOOR[,INDOOR]]`.
pub(in crate::cli) fn test_reading(text: &str) -> Result<record::TestReading, String> {
    let (after, rest) = text
        .split_once('=')
        .ok_or_else(|| format!("\"{text}\" is no reading: type time=pressure,outdoor,indoor, for example 12h=437.5psig,8F,60F"))?;
    let mut parts = rest.split(',');
    let pressure = parts.next().unwrap_or_default();
    let temperature = |part: Option<&str>| {
        part.map(field::<Temperature>)
            .transpose()
            .map_err(|e| e.to_string())
    };
    let reading = record::TestReading {
        at: None,
        after: Some(field::<Duration>(after).map_err(|e| e.to_string())?),
        pressure: field::<PressureReading>(pressure).map_err(|e| e.to_string())?,
        outdoor: temperature(parts.next())?,
        indoor: temperature(parts.next())?,
    };
    match parts.next() {
        Some(more) => Err(format!(
            "\"{more}\" is one part too many: time=pressure,outdoor,indoor"
        )),
        None => Ok(reading),
    }
}

impl Noted for PressureTest {
    fn when(&self) -> &When {
        &self.when
    }
    fn body(self, record: &Record, _: Moment) -> Body {
        if self.log.is_none() && self.reading.len() < 2 {
            return Err(format!(
                "{} readings: a standing pressure test needs a --log, or --reading twice or more",
                self.reading.len()
            )
            .into());
        }
        let asked = self.file.asked();
        described(self.log.is_some(), &asked)?;
        let log = self.log.as_deref();
        let log = log
            .map(|path| Looked::at(record, path, asked, Kind::Hold))
            .transpose()?;
        Ok(record::PressureTest {
            covers: self.covers,
            gas: self.gas,
            test_pressure: self.test_pressure,
            gauge: self.gauge,
            thermometer: None,
            valves: self.valves.stood(),
            outdoor_share: self.outdoor_share,
            unlogged_swing: self.unlogged_swing,
            volume: self.volume,
            rule: self.code_rule,
            until: None,
            log: log.map(|log| log.attach(record)).transpose()?,
            readings: self.reading,
        }
        .into())
    }
}

/// A service valve was moved.
#[derive(Debug, clap::Args)]
pub(super) struct ValveMoved {
    /// liquid-service or vapour-service
    #[arg(long, value_parser = word!(ServiceValve))]
    valve: ServiceValve,
    /// open or shut
    #[arg(long, value_parser = word!(Position))]
    to: Position,
    #[command(flatten)]
    when: When,
}

impl Noted for ValveMoved {
    fn when(&self) -> &When {
        &self.when
    }
    fn body(self, _: &Record, _: Moment) -> Body {
        Ok(record::ValveMoved {
            valve: self.valve,
            to: self.to,
        }
        .into())
    }
}

/// The circuit was opened to the air.
#[derive(Debug, clap::Args)]
pub(super) struct Opened {
    /// Where, e.g. vapour-line
    #[arg(long, value_delimiter = ',', required = true, value_parser = segment)]
    segments: Vec<Segment>,
    /// A joint taken apart; may be given several times
    #[arg(long)]
    joint: Vec<String>,
    /// Whether that part held refrigerant: yes, no, not-known
    #[arg(long, default_value = "not-known", value_parser = word!(Answer))]
    held_refrigerant: Answer,
    /// Why
    #[arg(long)]
    why: Option<String>,
    #[command(flatten)]
    when: When,
}

impl Noted for Opened {
    fn when(&self) -> &When {
        &self.when
    }
    fn body(self, _: &Record, _: Moment) -> Body {
        Ok(record::Opened {
            segments: self.segments,
            joints: self.joint,
            held_refrigerant: self.held_refrigerant,
            why: self.why,
        }
        .into())
    }
}

/// Something was repaired.
#[derive(Debug, clap::Args)]
pub(super) struct Repaired {
    /// Where, e.g. vapour-line
    #[arg(long, value_delimiter = ',', required = true, value_parser = segment)]
    segments: Vec<Segment>,
    /// The joint, if it was one
    #[arg(long)]
    joint: Option<String>,
    /// tightened, new-flare, replaced, pressed, brazed, other
    #[arg(long, value_parser = word!(RepairMethod))]
    method: RepairMethod,
    /// Filler metal, where it was brazed
    #[arg(long)]
    filler: Option<String>,
    /// Whether nitrogen flowed while it was brazed: yes, no, not-known
    #[arg(long, default_value = "not-known", value_parser = word!(Answer))]
    nitrogen_flowing: Answer,
    /// Whether refrigerant was present while it was brazed: yes, no, not-known
    #[arg(long, default_value = "not-known", value_parser = word!(Answer))]
    refrigerant_present: Answer,
    #[command(flatten)]
    when: When,
}

impl Noted for Repaired {
    fn when(&self) -> &When {
        &self.when
    }
    fn body(self, _: &Record, _: Moment) -> Body {
        Ok(record::Repaired {
            segments: self.segments,
            joint: self.joint,
            method: self.method,
            filler: self.filler,
            nitrogen_flowing: self.nitrogen_flowing,
            refrigerant_present: self.refrigerant_present,
        }
        .into())
    }
}

/// Refrigerant came out.
#[derive(Debug, clap::Args)]
pub(super) struct Released {
    /// From where, e.g. indoor-coil; the whole circuit when not given, which voids more
    #[arg(long, value_delimiter = ',', value_parser = segment)]
    segments: Vec<Segment>,
    /// The joint, if it was one
    #[arg(long)]
    joint: Option<String>,
    /// How long it lasted, e.g. 4min
    #[arg(long, value_parser = field::<Duration>, allow_hyphen_values = true)]
    lasted: Option<AsTyped<Duration>>,
    /// How it ended: silent, valve-shut, tightened, not-known
    #[arg(long, default_value = "not-known", value_parser = word!(ReleaseEnd))]
    ended: ReleaseEnd,
    /// indoors, outdoors or not-known
    #[arg(long = "where", default_value = "not-known", value_parser = word!(Whereabouts))]
    whereabouts: Whereabouts,
    /// hiss, mist, liquid, frost, oil; separated by commas
    #[arg(long, value_delimiter = ',', value_parser = word!(Seen))]
    seen: Vec<Seen>,
    #[command(flatten)]
    valves: Valves,
    #[command(flatten)]
    when: When,
}

impl Noted for Released {
    fn when(&self) -> &When {
        &self.when
    }
    fn body(self, _: &Record, _: Moment) -> Body {
        Ok(record::Released {
            segments: or_the_circuit(self.segments),
            joint: self.joint,
            lasted: self.lasted,
            ended: self.ended,
            whereabouts: self.whereabouts,
            seen: self.seen,
            valves: self.valves.stood(),
        }
        .into())
    }
}

/// Where nobody could say, it is taken as everywhere: more is voided, never less.
fn or_the_circuit(segments: Vec<Segment>) -> Vec<Segment> {
    if segments.is_empty() {
        record::coverage::CIRCUIT.to_vec()
    } else {
        segments
    }
}
