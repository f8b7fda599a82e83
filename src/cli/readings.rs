//! What is read at a running unit, as arguments.

use super::args::word;
use super::new::field;
use crate::check::run;
use crate::quantity::{
    Current, Duration, PressureDiff, PressureGauge, Temperature, TemperatureDiff, VolumeFlow,
};
use crate::record::{self, Answer, AsTyped, CompressorSpeed, LiquidTap, Mode, Person};

/// What is read at a running unit.
#[derive(Debug, clap::Args)]
pub(super) struct Readings {
    /// How long it had been running, e.g. 20min
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
    /// The limits it is held against: ra3-installer-2008 when not given, ra3-verifier-2008, ra3-installer-2013,
    /// ra3-verifier-2013
    #[arg(long, value_name = "NAME", value_parser = criteria)]
    criteria: Option<String>,
    /// Who read the gauges: owner or technician
    #[arg(long, value_parser = word!(Person))]
    read_by: Option<Person>,
}

impl Readings {
    /// As the record keeps them.
    pub fn of(self, mode: Mode) -> record::Reading {
        record::Reading {
            running: self.running,
            steady: self.steady,
            compressor_speed: self.compressor_speed,
            airflow_good: self.airflow_good,
            suction_line: self.suction_line,
            liquid_line: self.liquid_line,
            evaporator_bend: self.evaporator_bend,
            condenser_bend: self.condenser_bend,
            outdoor: self.outdoor,
            return_air: self.return_air,
            return_wet_bulb: self.return_wet_bulb,
            supply_air: self.supply_air,
            supply_wet_bulb: self.supply_wet_bulb,
            leaving_air: self.leaving_air,
            airflow: self.airflow,
            discharge_line: self.discharge_line,
            suction_pressure: self.suction_pressure,
            liquid_pressure: self.liquid_pressure,
            liquid_tap: self.liquid_tap,
            tap_drop: self.tap_drop,
            target_superheat: self.target_superheat,
            current: self.current,
            criteria: self.criteria,
            read_by: self.read_by,
            ..record::Reading::of(mode)
        }
    }
}

fn criteria(name: &str) -> Result<String, String> {
    run::Criteria::named(name)
        .map(|criteria| criteria.name.to_string())
        .ok_or_else(|| super::new::one_of(name, &run::Criteria::ALL))
}
