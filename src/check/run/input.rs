//! What *run* is given.

use super::reading::Surroundings;
use super::steady::Steady;
use super::target::{SuperheatRule, TargetTable};
use crate::fluid::Refrigerant;
use crate::physics::cycle::{MeteringDevice, Mode};
use crate::quantity::{
    Current, Duration, Measured, Power, PressureDiff, PressureGauge, Temperature, TemperatureDiff,
    VolumeFlow,
};

/// What *run* is given.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// The refrigerant on the nameplate.
    pub refrigerant: Refrigerant,
    /// What the machine is and does.
    pub machine: Machine,
    /// The conditions around it.
    pub conditions: Conditions,
    /// The low side, when it was read.
    pub low: Option<LowSide>,
    /// A probe on a bend of the evaporator, beside a gauge on the same side.
    pub evaporator_bend: Option<Measured<Temperature>>,
    /// A probe on a bend of the condenser, beside a gauge on the same side.
    pub condenser_bend: Option<Measured<Temperature>>,
    /// Surface temperature of the suction (vapour) line near the outdoor unit.
    pub suction_line: Option<Measured<Temperature>>,
    /// The high side, when it was read.
    pub high: Option<HighSide>,
    /// Surface temperature of the liquid line.
    pub liquid_line: Option<Measured<Temperature>>,
    /// Surface temperature of the discharge line, near the compressor.
    pub discharge_line: Option<Measured<Temperature>>,
    /// Current that the outdoor unit draws.
    pub current: Option<Measured<Current>>,
    /// The atmosphere and the refrigerant table's own uncertainty.
    pub surroundings: Surroundings,
    /// Who read the gauges; `None`: nobody said.
    pub gauges_read_by: Option<Reader>,
    /// What the unit's label and instructions ask for.
    pub targets: Targets,
    /// What the unit is rated for, from its label.
    pub rated: Rated,
    /// The running log that the readings were taken from.
    pub log: Option<Steady>,
}

/// What the machine is and does, in the order in which it decides whether a reading means anything.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Machine {
    /// The metering device; `None`: not known.
    pub metering: Option<MeteringDevice>,
    /// Cooling or heating; `None`: not known.
    pub mode: Option<Mode>,
    /// How the compressor runs; `None`: not known.
    pub compressor: Option<Compressor>,
    /// Whether the suction line has an accumulator, which hides charge; `None`: not known.
    pub accumulator: Option<Yes>,
}

/// A plain yes or no to a question that may also stay open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Yes {
    /// It is so.
    Yes,
    /// It is not so.
    No,
}

/// How the compressor runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Compressor {
    /// At one speed.
    FixedSpeed,
    /// At two fixed stages.
    TwoStage,
    /// Variable speed, held at the maker's test speed.
    HeldAtTestSpeed,
    /// Variable speed, following the load.
    FreeSpeed,
}

/// The conditions around the machine.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Conditions {
    /// Air entering the outdoor unit.
    pub outdoor: Option<Measured<Temperature>>,
    /// Air entering the indoor coil.
    pub return_air: Option<Measured<Temperature>>,
    /// Wet bulb of that air.
    pub return_wet_bulb: Option<Measured<Temperature>>,
    /// Air leaving the indoor coil.
    pub supply_air: Option<Measured<Temperature>>,
    /// Wet bulb of that air.
    pub supply_wet_bulb: Option<Measured<Temperature>>,
    /// Air leaving the outdoor unit.
    pub leaving_air: Option<Measured<Temperature>>,
    /// Air that the indoor unit moves.
    pub airflow: Option<Measured<VolumeFlow>>,
    /// How long it has run since it started, or since charge was last changed.
    pub running_for: Option<Duration>,
    /// Whether the readings stand still over some minutes.
    pub steady: Option<Yes>,
    /// Whether filter, coils and blower were looked at and found right.
    pub airflow_good: Option<Yes>,
}

/// What was read on the low side.
#[derive(Debug, Clone, PartialEq)]
pub enum LowSide {
    /// A gauge on the suction service port.
    Gauge(Measured<PressureGauge>),
    /// A pipe probe on a bend of the evaporator.
    CoilBend(Measured<Temperature>),
}

/// What was read on the high side.
#[derive(Debug, Clone, PartialEq)]
pub enum HighSide {
    /// A gauge.
    Gauge {
        /// The reading.
        pressure: Measured<PressureGauge>,
        /// Where it is connected.
        tap: Tap,
    },
    /// A pipe probe on a bend of the condenser.
    CoilBend(Measured<Temperature>),
}

impl HighSide {
    /// Whether a gauge was used.
    pub fn is_gauge(&self) -> bool {
        matches!(self, HighSide::Gauge { .. })
    }
}

impl LowSide {
    /// Whether a gauge was used.
    pub fn is_gauge(&self) -> bool {
        matches!(self, LowSide::Gauge(_))
    }
}

/// Where the high-side gauge is connected.
#[derive(Debug, Clone, PartialEq)]
pub enum Tap {
    /// At the liquid line.
    LiquidLine,
    /// At the discharge line: the drop to the liquid line comes off.
    Discharge {
        /// Pressure drop from there to the liquid line, when the maker states it or it was measured.
        drop: Option<Measured<PressureDiff>>,
    },
    /// Not known.
    NotKnown,
}

/// Who read the gauges.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Reader {
    /// A certified technician.
    Technician,
    /// The owner.
    Owner,
}

/// What the unit's label and instructions ask for.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Targets {
    /// Subcooling on the label.
    pub subcooling: Option<TemperatureDiff>,
    /// Superheat from the unit's charging table at these conditions.
    pub superheat: Option<TemperatureDiff>,
    /// That table itself; the target at these conditions, where it is given, wins over it.
    pub superheat_table: Option<TargetTable>,
    /// What gives the superheat target where the unit prints none.
    pub superheat_rule: SuperheatRule,
    /// Heating: how far the discharge line should be above the outdoor air, where the unit's instructions print it.
    pub discharge_above_outdoor: Option<TemperatureDiff>,
}

/// What the unit is rated for, from its label.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Rated {
    /// Cooling capacity.
    pub capacity: Option<Power>,
    /// Current of the outdoor unit.
    pub current: Option<Current>,
}
