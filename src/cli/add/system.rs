//! Scale, gate, switch, readings, and the technician.

use std::path::PathBuf;

use super::{Noted, When, word};
use crate::cli::logfile::RunningFile;
use crate::cli::new::field;
use crate::quantity::{
    Current, Duration, Fraction, Mass, PressureDiff, PressureGauge, Temperature, TemperatureDiff,
    Voltage, VolumeFlow,
};
use crate::record::logger;
use crate::record::{
    self, Answer, AsTyped, CompressorSpeed, Direction, EventBody, LiquidTap, Mode, Moment, Person,
    Record, Vacuum,
};

type Body = Result<EventBody, Box<dyn std::error::Error>>;

/// Refrigerant was weighed in or out.
#[derive(Debug, clap::Args)]
pub(super) struct Weighed {
    /// How much, without a sign, e.g. 9oz
    #[arg(long, value_parser = field::<Mass>, allow_hyphen_values = true)]
    mass: AsTyped<Mass>,
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
        Ok(record::Weighed {
            mass: self.mass,
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
    /// How long it had been running, e.g. 20min; with --log: at its first row
    #[arg(long, value_parser = field::<Duration>, allow_hyphen_values = true)]
    running: Option<AsTyped<Duration>>,
    /// Had the readings settled? yes, no, not-known
    #[arg(long, default_value = "not-known", value_parser = word!(Answer))]
    steady: Answer,
    /// fixed, locked (at the unit's test speed) or free
    #[arg(long, value_parser = word!(CompressorSpeed))]
    compressor_speed: Option<CompressorSpeed>,
    /// Were filter, coils and blower found right? yes, no, not-known
    #[arg(long, default_value = "not-known", value_parser = word!(Answer))]
    airflow_good: Answer,
    /// Suction line temperature, near the outdoor unit
    #[arg(long, value_parser = field::<Temperature>, allow_hyphen_values = true)]
    suction_line: Option<AsTyped<Temperature>>,
    /// Liquid line temperature
    #[arg(long, value_parser = field::<Temperature>, allow_hyphen_values = true)]
    liquid_line: Option<AsTyped<Temperature>>,
    /// A bend in the middle of the evaporator
    #[arg(long, value_parser = field::<Temperature>, allow_hyphen_values = true)]
    evaporator_bend: Option<AsTyped<Temperature>>,
    /// A bend in the middle of the condenser
    #[arg(long, value_parser = field::<Temperature>, allow_hyphen_values = true)]
    condenser_bend: Option<AsTyped<Temperature>>,
    /// Outdoor air
    #[arg(long, value_parser = field::<Temperature>, allow_hyphen_values = true)]
    outdoor: Option<AsTyped<Temperature>>,
    /// Return air
    #[arg(long, value_parser = field::<Temperature>, allow_hyphen_values = true)]
    return_air: Option<AsTyped<Temperature>>,
    /// Return air, wet bulb
    #[arg(long, value_parser = field::<Temperature>, allow_hyphen_values = true)]
    return_wet_bulb: Option<AsTyped<Temperature>>,
    /// Supply air
    #[arg(long, value_parser = field::<Temperature>, allow_hyphen_values = true)]
    supply_air: Option<AsTyped<Temperature>>,
    /// Supply air, wet bulb
    #[arg(long, value_parser = field::<Temperature>, allow_hyphen_values = true)]
    supply_wet_bulb: Option<AsTyped<Temperature>>,
    /// Air leaving the outdoor unit
    #[arg(long, value_parser = field::<Temperature>, allow_hyphen_values = true)]
    leaving_air: Option<AsTyped<Temperature>>,
    /// Air that the indoor unit moves, e.g. 1150cfm
    #[arg(long, value_parser = field::<VolumeFlow>, allow_hyphen_values = true)]
    airflow: Option<AsTyped<VolumeFlow>>,
    /// Discharge line temperature
    #[arg(long, value_parser = field::<Temperature>, allow_hyphen_values = true)]
    discharge_line: Option<AsTyped<Temperature>>,
    /// Gauge at the suction port (on a charged circuit a certified person's work in the US)
    #[arg(long, value_parser = field::<PressureGauge>, allow_hyphen_values = true)]
    suction_pressure: Option<AsTyped<PressureGauge>>,
    /// Gauge on the high side (likewise)
    #[arg(long, value_parser = field::<PressureGauge>, allow_hyphen_values = true)]
    liquid_pressure: Option<AsTyped<PressureGauge>>,
    /// Where it was taken: liquid-line or discharge
    #[arg(long, value_parser = word!(LiquidTap))]
    liquid_tap: Option<LiquidTap>,
    /// Pressure drop from a discharge tap to the liquid line
    #[arg(long, value_parser = field::<PressureDiff>, allow_hyphen_values = true)]
    tap_drop: Option<AsTyped<PressureDiff>>,
    /// Superheat that the unit's charging table asks for
    #[arg(long, value_parser = field::<TemperatureDiff>, allow_hyphen_values = true)]
    target_superheat: Option<AsTyped<TemperatureDiff>>,
    /// Current
    #[arg(long, value_parser = field::<Current>, allow_hyphen_values = true)]
    current: Option<AsTyped<Current>>,
    /// Share of the heat from the backup heater
    #[arg(long, value_parser = field::<Fraction>, allow_hyphen_values = true)]
    backup_share: Option<AsTyped<Fraction>>,
    /// Defrosts in a day
    #[arg(long)]
    defrosts_per_day: Option<f64>,
    /// Who read the gauges: owner or technician
    #[arg(long, value_parser = word!(Person))]
    read_by: Option<Person>,
    /// The gauge's id in lineset.toml
    #[arg(long)]
    gauge: Option<String>,
    /// The thermometer's id in lineset.toml
    #[arg(long)]
    thermometer: Option<String>,
    /// A running log as CSV, copied into the record: its steadiest window stands in for what is not typed
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    #[command(flatten)]
    columns: RunningFile,
    #[command(flatten)]
    when: When,
}

impl Reading {
    /// Copies the log into the record, once it is known to be readable.
    fn attach(
        &self,
        record: &Record,
    ) -> Result<Option<record::LogFile>, Box<dyn std::error::Error>> {
        let Some(path) = &self.log else {
            return match self.columns.is_silent() {
                true => Ok(None),
                false => Err("--time-column, --column and --column-unit say how a log is read: name it with --log".into()),
            };
        };
        let read = logger::read_running(path, &self.columns.asked(), record.barometer()?)?;
        let mut log = record.attach_log(path)?;
        log.columns = self.columns.kept(&read.names);
        Ok(Some(log))
    }
}

impl Noted for Reading {
    fn when(&self) -> &When {
        &self.when
    }
    fn body(self, record: &Record, _: Moment) -> Body {
        let log = self.attach(record)?;
        Ok(record::Reading {
            mode: self.mode,
            running: self.running,
            steady: self.steady,
            compressor_speed: self.compressor_speed,
            airflow_good: self.airflow_good,
            target_superheat: self.target_superheat,
            suction_pressure: self.suction_pressure,
            suction_line: self.suction_line,
            liquid_pressure: self.liquid_pressure,
            liquid_tap: self.liquid_tap,
            tap_drop: self.tap_drop,
            liquid_line: self.liquid_line,
            discharge_line: self.discharge_line,
            evaporator_bend: self.evaporator_bend,
            condenser_bend: self.condenser_bend,
            outdoor: self.outdoor,
            return_air: self.return_air,
            return_wet_bulb: self.return_wet_bulb,
            supply_air: self.supply_air,
            supply_wet_bulb: self.supply_wet_bulb,
            leaving_air: self.leaving_air,
            airflow: self.airflow,
            criteria: None,
            charging_table: None,
            log,
            current: self.current,
            defrosts_per_day: self.defrosts_per_day,
            backup_share: self.backup_share,
            read_by: self.read_by,
            gauge: self.gauge,
            thermometer: self.thermometer,
        }
        .into())
    }
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
