//! Scale, gate, switch, readings, and the technician.

use std::io::Write;
use std::path::{Path, PathBuf};

use super::{Noted, When};
use crate::cli::args::word;
use crate::cli::logfile::RunningLog;
use crate::cli::new::field;
use crate::cli::readings::Readings;
use crate::quantity::{Current, Duration, Fraction, Length, Mass, PressureGauge, Voltage};
use crate::record::{
    self, Answer, AsTyped, Direction, EventBody, LogFile, Mode, Moment, Person, Record, SignedMass,
    Vacuum,
};

type Body = Result<EventBody, Box<dyn std::error::Error>>;

/// Refrigerant was weighed in or out: the mass, or the cylinder before and afterwards.
#[derive(Debug, clap::Args)]
pub(super) struct Weighed {
    /// How much, without a sign, e.g. 9oz
    #[arg(long, value_parser = field::<Mass>, allow_hyphen_values = true, required_unless_present = "cylinder_before", conflicts_with = "cylinder_before")]
    mass: Option<AsTyped<Mass>>,
    /// What the cylinder weighed before, e.g. "25 lb 2 oz"
    #[arg(long, value_parser = field::<Mass>, allow_hyphen_values = true, requires = "cylinder_after")]
    cylinder_before: Option<AsTyped<Mass>>,
    /// What the cylinder weighed afterwards
    #[arg(long, value_parser = field::<Mass>, allow_hyphen_values = true, requires = "cylinder_before")]
    cylinder_after: Option<AsTyped<Mass>>,
    /// What the empty scale showed afterwards, when it had shown zero before, e.g. -0.2oz
    #[arg(long, value_parser = field::<SignedMass>, allow_hyphen_values = true)]
    zero_after: Option<AsTyped<SignedMass>>,
    /// Length of a hose that was left full of liquid, e.g. 5ft
    #[arg(long, value_parser = field::<Length>, allow_hyphen_values = true, requires = "hose_bore")]
    hose_length: Option<AsTyped<Length>>,
    /// Inside diameter of that hose, e.g. 0.2in
    #[arg(long, value_parser = field::<Length>, allow_hyphen_values = true, requires = "hose_length")]
    hose_bore: Option<AsTyped<Length>>,
    /// in or out
    #[arg(long, value_parser = word!(Direction))]
    direction: Direction,
    /// owner or technician
    #[arg(long, value_parser = word!(Person))]
    by: Person,
    /// The scale's id in lineset.toml
    #[arg(long)]
    scale: Option<String>,
    #[command(flatten)]
    when: When,
}

impl Noted for Weighed {
    fn when(&self) -> &When {
        &self.when
    }
    fn body(self, _: &Record, _: Moment) -> Body {
        let hose = match (self.hose_length, self.hose_bore) {
            (Some(length), Some(bore)) => Some(record::HoseLeftFull { length, bore }),
            _ => None,
        };
        Ok(record::Weighed {
            mass: self.mass,
            cylinder_before: self.cylinder_before,
            cylinder_after: self.cylinder_after,
            zero_after: self.zero_after,
            hose,
            direction: self.direction,
            by: self.by,
            scale: self.scale,
        }
        .into())
    }
}

/// The gate before switching on: yes, no or not-known to each question.
#[derive(Debug, clap::Args)]
pub(super) struct StartChecked {
    /// How long the crankcase heater has been on, e.g. 14h
    #[arg(long, value_parser = field::<Duration>, allow_hyphen_values = true)]
    crankcase_heater: Option<AsTyped<Duration>>,
    /// Are both service valves fully open?
    #[arg(long, default_value = "not-known", value_parser = word!(Answer))]
    valves_open: Answer,
    /// Are all caps on and tight?
    #[arg(long, default_value = "not-known", value_parser = word!(Answer))]
    caps_on: Answer,
    /// Do coils, registers and dampers let air through?
    #[arg(long, default_value = "not-known", value_parser = word!(Answer))]
    airflow_clear: Answer,
    /// Is the filter in and clean?
    #[arg(long, default_value = "not-known", value_parser = word!(Answer))]
    filter_clean: Answer,
    /// Are the clearances of the instructions kept?
    #[arg(long, default_value = "not-known", value_parser = word!(Answer))]
    clearances_kept: Answer,
    /// Is a disconnect within sight of the outdoor unit?
    #[arg(long, default_value = "not-known", value_parser = word!(Answer))]
    disconnect_in_sight: Answer,
    /// Does the drain run?
    #[arg(long, default_value = "not-known", value_parser = word!(Answer))]
    drain_clear: Answer,
    /// Supply voltage at the unit, e.g. 238V
    #[arg(long, value_parser = field::<Voltage>, allow_hyphen_values = true)]
    voltage: Option<AsTyped<Voltage>>,
    /// The voltmeter's id in lineset.toml
    #[arg(long)]
    voltmeter: Option<String>,
    /// Size of the breaker or fuse, e.g. 30A
    #[arg(long, value_parser = field::<Current>, allow_hyphen_values = true)]
    breaker: Option<AsTyped<Current>>,
    /// What the wire may carry by the local code's table, e.g. 30A
    #[arg(long, value_parser = field::<Current>, allow_hyphen_values = true)]
    wire_ampacity: Option<AsTyped<Current>>,
    /// Is the earth conductor connected?
    #[arg(long, default_value = "not-known", value_parser = word!(Answer))]
    earthed: Answer,
    #[command(flatten)]
    when: When,
}

impl Noted for StartChecked {
    fn when(&self) -> &When {
        &self.when
    }
    fn body(self, _: &Record, _: Moment) -> Body {
        Ok(record::StartChecked {
            crankcase_heater: self.crankcase_heater,
            valves_open: self.valves_open,
            caps_on: self.caps_on,
            airflow_clear: self.airflow_clear,
            filter_clean: self.filter_clean,
            clearances_kept: self.clearances_kept,
            disconnect_in_sight: self.disconnect_in_sight,
            drain_clear: self.drain_clear,
            voltage: self.voltage,
            voltmeter: self.voltmeter,
            breaker: self.breaker,
            wire_ampacity: self.wire_ampacity,
            earthed: self.earthed,
        }
        .into())
    }
}

/// The system was switched on.
#[derive(Debug, clap::Args)]
pub(super) struct Started {
    /// cooling or heating
    #[arg(long, value_parser = word!(Mode))]
    mode: Mode,
    #[command(flatten)]
    when: When,
}

impl Noted for Started {
    fn when(&self) -> &When {
        &self.when
    }
    fn body(self, _: &Record, _: Moment) -> Body {
        Ok(record::Started { mode: self.mode }.into())
    }
}

/// The system was switched off, or stopped by itself.
#[derive(Debug, clap::Args)]
pub(super) struct Stopped {
    /// Why
    #[arg(long)]
    why: Option<String>,
    #[command(flatten)]
    when: When,
}

impl Noted for Stopped {
    fn when(&self) -> &When {
        &self.when
    }
    fn body(self, _: &Record, _: Moment) -> Body {
        Ok(record::Stopped { why: self.why }.into())
    }
}

/// Readings of the running system; the smallest set is a probe on an evaporator bend and one on the suction line.
#[derive(Debug, clap::Args)]
pub(super) struct Reading {
    /// cooling or heating
    #[arg(long, value_parser = word!(Mode))]
    mode: Mode,
    #[command(flatten)]
    read: Readings,
    /// The unit's own charging table as CSV, copied into the record: outdoor_F,wb_62,... and a line for each outdoor
    /// temperature; a dash where it has one
    #[arg(long, value_name = "FILE")]
    charging_table: Option<PathBuf>,
    /// Share of the heat from the backup heater
    #[arg(long, value_parser = field::<Fraction>, allow_hyphen_values = true)]
    backup_share: Option<AsTyped<Fraction>>,
    /// Defrosts in a day
    #[arg(long)]
    defrosts_per_day: Option<f64>,
    /// The gauge's id in lineset.toml
    #[arg(long)]
    gauge: Option<String>,
    /// The thermometer's id in lineset.toml
    #[arg(long)]
    thermometer: Option<String>,
    #[command(flatten)]
    log: RunningLog,
    #[command(flatten)]
    when: When,
}

impl Noted for Reading {
    fn when(&self) -> &When {
        &self.when
    }
    fn body(self, record: &Record, _: Moment) -> Body {
        let log = match self.log.read(record.barometer()?)? {
            Some((path, columns)) => Some(LogFile {
                columns,
                ..record.attach_log(path)?.with_clock(&self.log.clock())
            }),
            None => None,
        };
        Ok(record::Reading {
            charging_table: attach_table(record, self.charging_table.as_deref())?,
            log,
            defrosts_per_day: self.defrosts_per_day,
            backup_share: self.backup_share,
            gauge: self.gauge,
            thermometer: self.thermometer,
            ..self.read.of(self.mode)
        }
        .into())
    }
}

/// Copies a charging table into the record, once it is known to be one.
fn attach_table(
    record: &Record,
    path: Option<&Path>,
) -> Result<Option<LogFile>, Box<dyn std::error::Error>> {
    let Some(path) = path else { return Ok(None) };
    for cell in crate::cli::target::read_table(path)?.cells_out_of_order() {
        // beside the result; the table is kept, and nothing is interpolated through the cell
        let _ = writeln!(
            std::io::stderr(),
            "note: the cell at {cell} breaks the order of the table: compare it with the print"
        );
    }
    Ok(Some(record.attach_log(path)?))
}

/// A certified technician was there.
#[derive(Debug, clap::Args)]
pub(super) struct TechnicianVisit {
    /// Mass recovered, e.g. "6 lb 1 oz"
    #[arg(long, value_parser = field::<Mass>, allow_hyphen_values = true)]
    recovered: Option<AsTyped<Mass>>,
    /// Mass charged
    #[arg(long, value_parser = field::<Mass>, allow_hyphen_values = true)]
    charged: Option<AsTyped<Mass>>,
    /// Vacuum reached, e.g. 320micron
    #[arg(long, value_parser = field::<Vacuum>, allow_hyphen_values = true)]
    evacuated_to: Option<AsTyped<Vacuum>>,
    /// Was a filter drier fitted or replaced? yes, no, not-known
    #[arg(long, default_value = "not-known", value_parser = word!(Answer))]
    drier: Answer,
    /// Did a standing pressure test hold? yes, no, not-known
    #[arg(long, default_value = "not-known", value_parser = word!(Answer))]
    pressure_held: Answer,
    /// The pressure of that test
    #[arg(long, value_parser = field::<PressureGauge>, allow_hyphen_values = true)]
    test_pressure: Option<AsTyped<PressureGauge>>,
    /// Suction pressure as the system was left running
    #[arg(long, value_parser = field::<PressureGauge>, allow_hyphen_values = true)]
    suction_pressure: Option<AsTyped<PressureGauge>>,
    /// High-side pressure as the system was left running
    #[arg(long, value_parser = field::<PressureGauge>, allow_hyphen_values = true)]
    liquid_pressure: Option<AsTyped<PressureGauge>>,
    /// Was a leak found? yes, no, not-known
    #[arg(long, default_value = "not-known", value_parser = word!(Answer))]
    leak_found: Answer,
    /// Was the circuit opened or repaired? yes, no, not-known
    #[arg(long, default_value = "not-known", value_parser = word!(Answer))]
    repaired: Answer,
    #[command(flatten)]
    when: When,
}

impl Noted for TechnicianVisit {
    fn when(&self) -> &When {
        &self.when
    }
    fn body(self, _: &Record, _: Moment) -> Body {
        Ok(record::TechnicianVisit {
            recovered: self.recovered,
            charged: self.charged,
            evacuated_to: self.evacuated_to,
            drier: self.drier,
            pressure_held: self.pressure_held,
            test_pressure: self.test_pressure,
            suction_pressure: self.suction_pressure,
            liquid_pressure: self.liquid_pressure,
            leak_found: self.leak_found,
            repaired: self.repaired,
        }
        .into())
    }
}
