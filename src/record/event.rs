//! What happened to a line set: one event per line of `events.jsonl`.
//!
//! Raw readings are kept as typed. `at` of a test is its *start*: what happens to the segments after that voids it.

use serde::{Deserialize, Serialize};

use super::logger::Decimal;
use super::typed::{AsTyped, SignedMass, Vacuum};
use super::words::{
    Answer, ColumnUse, CompressorSpeed, Direction, JointMethod, JointResult, LiquidTap, Mode,
    Person, Phase, Position, ReleaseEnd, RepairMethod, Seen, ServiceValve, TestGas, Whereabouts,
    segments,
};
use super::{Moment, Photo};
use crate::check::Segment;
use crate::quantity::{
    Current, Duration, Fraction, Length, Mass, PressureDiff, PressureGauge, PressureReading,
    Temperature, TemperatureDiff, Torque, Voltage, Volume, VolumeFlow,
};

/// An event of the record.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// Its number in the record, from 1.
    pub number: u64,
    /// When it happened; for a test, when it began.
    pub at: Moment,
    /// When it was written down.
    pub noted: Moment,
    /// What happened.
    pub body: EventBody,
    /// What else was worth a word.
    pub note: Option<String>,
    /// Photographs in the record's folder.
    pub photos: Vec<Photo>,
    /// What it said before it was corrected, oldest first.
    pub before: Vec<Wording>,
}

/// What an event said before a later one corrected it.
#[derive(Debug, Clone, PartialEq)]
pub struct Wording {
    /// When it was said to have happened.
    pub at: Moment,
    /// What was said to have happened.
    pub body: EventBody,
    /// The note.
    pub note: Option<String>,
    /// The number of the event that corrected it.
    pub corrected_by: u64,
}

/// An event about to be written; the record gives it its number.
#[derive(Debug, Clone, PartialEq)]
pub struct NewEvent {
    /// When it happened; for a test, when it began.
    pub at: Moment,
    /// When it is written down.
    pub noted: Moment,
    /// What happened.
    pub body: EventBody,
    /// What else is worth a word.
    pub note: Option<String>,
    /// Photographs in the record's folder.
    pub photos: Vec<Photo>,
}

impl NewEvent {
    /// An event without note and photographs.
    pub fn new(at: Moment, noted: Moment, body: impl Into<EventBody>) -> Self {
        NewEvent {
            at,
            noted,
            body: body.into(),
            note: None,
            photos: Vec::new(),
        }
    }
}

macro_rules! bodies {
    ($($variant:ident = $word:literal),* $(,)?) => {
        /// What happened.
        #[derive(Debug, Clone, PartialEq)]
        pub enum EventBody { $(
            #[doc = concat!("`", $word, "`.")]
            $variant(Box<$variant>),
        )* }

        impl EventBody {
            /// The words of all events.
            pub const WORDS: &'static [&'static str] = &[$($word,)*];

            /// The event's word in the record.
            pub fn word(&self) -> &'static str {
                match self { $(EventBody::$variant(_) => $word,)* }
            }

            /// The fields as JSON text.
            pub(crate) fn to_json(&self) -> serde_json::Result<serde_json::Value> {
                match self { $(EventBody::$variant(fields) => serde_json::to_value(fields),)* }
            }

            /// The event of a word with its fields as JSON text; `None` for a word that is no event's.
            pub(crate) fn from_json(word: &str, fields: &str) -> Option<serde_json::Result<EventBody>> {
                match word {
                    $($word => Some(serde_json::from_str::<$variant>(fields).map(EventBody::from)),)*
                    _ => None,
                }
            }
        }

        $(impl From<$variant> for EventBody {
            fn from(fields: $variant) -> Self { EventBody::$variant(Box::new(fields)) }
        })*
    };
}

bodies! {
    JointMade = "joint-made",
    JointChecked = "joint-checked",
    PressureTest = "pressure-test",
    Evacuation = "evacuation",
    ValveMoved = "valve-moved",
    PumpValveMoved = "pump-valve-moved",
    Opened = "opened",
    Repaired = "repaired",
    Released = "released",
    Weighed = "weighed",
    StartChecked = "start-checked",
    Started = "started",
    Stopped = "stopped",
    Reading = "reading",
    TechnicianVisit = "technician-visit",
    Changed = "changed",
    Corrected = "corrected",
}

impl EventBody {
    /// How pressures that were typed without a letter were read: "450 psi read as 450 psig".
    pub fn readings_in_words(&self) -> Vec<String> {
        fn echo<Q>(typed: &Option<AsTyped<Q>>) -> Option<String> {
            typed.as_ref()?.echo().map(String::from)
        }
        let mut echoes: Vec<Option<String>> = match self {
            EventBody::JointChecked(checked) => vec![echo(&checked.pressure)],
            EventBody::PressureTest(test) => {
                let readings = test.readings.iter();
                let readings = readings.map(|r| r.pressure.echo().map(String::from));
                std::iter::once(echo(&test.test_pressure))
                    .chain(readings)
                    .collect()
            }
            EventBody::Reading(reading) => {
                vec![
                    echo(&reading.suction_pressure),
                    echo(&reading.liquid_pressure),
                ]
            }
            EventBody::TechnicianVisit(visit) => vec![
                echo(&visit.test_pressure),
                echo(&visit.suction_pressure),
                echo(&visit.liquid_pressure),
            ],
            _ => Vec::new(),
        };
        echoes.retain(Option::is_some);
        echoes.into_iter().flatten().collect()
    }
}

/// A joint was made up.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JointMade {
    /// The joint's id.
    pub joint: String,
    /// What the wrench was set to, or showed.
    pub torque: Option<AsTyped<Torque>>,
    /// The adapter on the wrench, if one was used.
    pub adapter: Option<Adapter>,
    /// The wrench's id.
    pub wrench: Option<String>,
    /// Whether the flare or thread was oiled.
    #[serde(default)]
    pub oiled: Answer,
}

/// A crowfoot or other adapter on a torque wrench.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Adapter {
    /// From the wrench's square to the middle of the grip.
    pub wrench_length: AsTyped<Length>,
    /// From the wrench's square to the middle of the nut.
    pub adapter_length: AsTyped<Length>,
    /// Angle between adapter and wrench in degrees; 0 is in line.
    pub angle_degrees: Option<f64>,
}

/// A joint was looked at for leaks.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JointChecked {
    /// The joint's id.
    pub joint: String,
    /// How.
    pub method: JointMethod,
    /// What it showed.
    pub result: JointResult,
    /// How long it was watched.
    pub watched: Option<AsTyped<Duration>>,
    /// The pressure inside.
    pub pressure: Option<AsTyped<PressureGauge>>,
}

/// A raw logger file, copied into the record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LogFile {
    /// Its path in the record's folder.
    pub file: String,
    /// Its size.
    pub bytes: u64,
    /// Its SHA-256.
    pub sha256: String,
    /// What its columns hold, where that had to be said.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub columns: Vec<LogColumn>,
    /// The sheet of a workbook, where that had to be said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sheet: Option<String>,
    /// The sign before its decimals, where that had to be said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub decimal: Option<Decimal>,
    /// The line that names its columns, where that had to be said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub header_line: Option<u64>,
    /// Whether rows without a reading are left out.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub skip_missing: bool,
    /// How its dates and times are written, where that had to be said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub time_format: Option<String>,
    /// The time zone of its clock, where that had to be said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub zone: Option<String>,
    /// Which part counts where its clock restarts, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub part: Option<usize>,
}

/// What a column of a logger file holds.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LogColumn {
    /// The column's name, or its number from 1.
    pub column: String,
    /// What it holds.
    pub holds: ColumnUse,
    /// Its unit, where the file does not say.
    pub unit: Option<String>,
}

/// Where the service valves stood.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Valves {
    /// The liquid service valve.
    pub liquid_service: Position,
    /// The vapour service valve.
    pub vapour_service: Position,
}

/// A standing pressure test, from a log or from readings.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PressureTest {
    /// The segments under pressure.
    #[serde(with = "segments")]
    pub covers: Vec<Segment>,
    /// What they were filled with.
    #[serde(default)]
    pub gas: TestGas,
    /// The pressure aimed at.
    pub test_pressure: Option<AsTyped<PressureGauge>>,
    /// The gauge's id.
    pub gauge: Option<String>,
    /// The thermometer's id.
    pub thermometer: Option<String>,
    /// Where the service valves stood.
    pub valves: Option<Valves>,
    /// Share of the gas volume that lies outdoors, where it differs from the lines' own.
    pub outdoor_share: Option<AsTyped<Fraction>>,
    /// From the coolest to the warmest hour of a day in the part where no thermometer hangs.
    pub unlogged_swing: Option<AsTyped<TemperatureDiff>>,
    /// Volume of all that was under pressure, where it is not that of the lines.
    pub volume: Option<AsTyped<Volume>>,
    /// The code rule it is held against, where it is not the default.
    pub rule: Option<String>,
    /// When the hold ended, where the readings do not say.
    pub until: Option<Moment>,
    /// The logger file.
    pub log: Option<LogFile>,
    /// Readings taken by hand.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub readings: Vec<TestReading>,
}

/// One reading of a standing pressure test.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TestReading {
    /// Clock time; either this or `after`.
    pub at: Option<Moment>,
    /// Time since the start; either this or `at`.
    pub after: Option<AsTyped<Duration>>,
    /// What the gauge showed.
    pub pressure: AsTyped<PressureReading>,
    /// Outdoor temperature.
    pub outdoor: Option<AsTyped<Temperature>>,
    /// Indoor temperature.
    pub indoor: Option<AsTyped<Temperature>>,
}

/// An evacuation with its vacuum rise, from a log or from readings.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Evacuation {
    /// The segments evacuated.
    #[serde(with = "segments")]
    pub covers: Vec<Segment>,
    /// The rule it is held against, where it is not the default.
    pub rule: Option<String>,
    /// The vacuum gauge's id.
    pub gauge: Option<String>,
    /// Where the service valves stood.
    pub valves: Option<Valves>,
    /// When the pump was shut off, counted from the first reading.
    pub isolated_after: Option<AsTyped<Duration>>,
    /// Temperature of the coldest part that could be wet.
    pub coldest: Option<AsTyped<Temperature>>,
    /// Temperature around the vacuum gauge.
    pub ambient: Option<AsTyped<Temperature>>,
    /// When the rise ended, where the readings do not say.
    pub until: Option<Moment>,
    /// The logger file of the rise, which may hold the pump-down as well.
    pub log: Option<LogFile>,
    /// The logger file of the pump-down, where that is one of its own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pump_down: Option<LogFile>,
    /// Readings taken by hand.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub readings: Vec<VacuumReading>,
}

/// One reading of an evacuation.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VacuumReading {
    /// Clock time; either this or `after`.
    pub at: Option<Moment>,
    /// Time since the start; either this or `at`.
    pub after: Option<AsTyped<Duration>>,
    /// What the vacuum gauge showed.
    pub vacuum: AsTyped<Vacuum>,
    /// Whether the pump still pulled.
    pub phase: Option<Phase>,
}

/// A service valve was moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ValveMoved {
    /// Which.
    pub valve: ServiceValve,
    /// Where to.
    pub to: Position,
}

/// The valve between the lines and the vacuum pump was moved: at a core tool, a manifold or the pump.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PumpValveMoved {
    /// Where to.
    pub to: Position,
}

/// The circuit was opened to the air.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Opened {
    /// Where.
    #[serde(with = "segments")]
    pub segments: Vec<Segment>,
    /// The joints taken apart, where they are known.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub joints: Vec<String>,
    /// Whether that part held refrigerant.
    #[serde(default)]
    pub held_refrigerant: Answer,
    /// Why.
    pub why: Option<String>,
}

/// Something was repaired.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Repaired {
    /// Where.
    #[serde(with = "segments")]
    pub segments: Vec<Segment>,
    /// The joint, if it was one.
    pub joint: Option<String>,
    /// How.
    pub method: RepairMethod,
    /// Filler metal, where it was brazed.
    pub filler: Option<String>,
    /// Whether nitrogen flowed while it was brazed.
    #[serde(default)]
    pub nitrogen_flowing: Answer,
    /// Whether refrigerant was present while it was brazed.
    #[serde(default)]
    pub refrigerant_present: Answer,
}

/// Refrigerant came out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Released {
    /// From where.
    #[serde(with = "segments")]
    pub segments: Vec<Segment>,
    /// The joint, if it was one.
    pub joint: Option<String>,
    /// How long it lasted.
    pub lasted: Option<AsTyped<Duration>>,
    /// How it ended.
    #[serde(default)]
    pub ended: ReleaseEnd,
    /// Where it went.
    #[serde(default, rename = "where")]
    pub whereabouts: Whereabouts,
    /// What was seen or heard.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub seen: Vec<Seen>,
    /// Where the service valves stood.
    pub valves: Option<Valves>,
}

/// Refrigerant was weighed in or out: the mass itself, or the cylinder before and afterwards.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Weighed {
    /// How much, without a sign; with the cylinder's readings this is left out.
    pub mass: Option<AsTyped<Mass>>,
    /// What the cylinder weighed before.
    pub cylinder_before: Option<AsTyped<Mass>>,
    /// What the cylinder weighed afterwards.
    pub cylinder_after: Option<AsTyped<Mass>>,
    /// What the empty scale showed afterwards, when it had shown zero before.
    pub zero_after: Option<AsTyped<SignedMass>>,
    /// The hose that was left full of liquid.
    pub hose: Option<HoseLeftFull>,
    /// Into the circuit or out of it.
    pub direction: Direction,
    /// By whom.
    pub by: Person,
    /// The scale's id.
    pub scale: Option<String>,
}

impl Weighed {
    /// A mass that the scale showed by itself.
    pub fn mass(mass: AsTyped<Mass>, direction: Direction, by: Person) -> Self {
        Weighed {
            mass: Some(mass),
            cylinder_before: None,
            cylinder_after: None,
            zero_after: None,
            hose: None,
            direction,
            by,
            scale: None,
        }
    }
}

/// A charging hose that was left full of liquid.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HoseLeftFull {
    /// Its length.
    pub length: AsTyped<Length>,
    /// Its inside diameter.
    pub bore: AsTyped<Length>,
}

/// The list before the first start was gone through.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StartChecked {
    /// How long the crankcase heater has been on.
    pub crankcase_heater: Option<AsTyped<Duration>>,
    /// Whether both service valves are fully open.
    #[serde(default)]
    pub valves_open: Answer,
    /// Whether caps are on and tight.
    #[serde(default)]
    pub caps_on: Answer,
    /// Whether filters, coils and dampers let air through.
    #[serde(default)]
    pub airflow_clear: Answer,
    /// Whether the filter is in and clean.
    #[serde(default)]
    pub filter_clean: Answer,
    /// Whether the clearances of the instructions are kept.
    #[serde(default)]
    pub clearances_kept: Answer,
    /// Whether a disconnect is within sight of the outdoor unit.
    #[serde(default)]
    pub disconnect_in_sight: Answer,
    /// Whether the drain runs.
    #[serde(default)]
    pub drain_clear: Answer,
    /// Supply voltage.
    pub voltage: Option<AsTyped<Voltage>>,
    /// The voltmeter's id.
    pub voltmeter: Option<String>,
    /// Size of the breaker or fuse.
    pub breaker: Option<AsTyped<Current>>,
    /// What the wire may carry, by the local code's table.
    pub wire_ampacity: Option<AsTyped<Current>>,
    /// Whether the earth conductor is connected.
    #[serde(default)]
    pub earthed: Answer,
}

/// The system was switched on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Started {
    /// As what.
    pub mode: Mode,
}

/// The system was switched off, or stopped by itself.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stopped {
    /// Why.
    pub why: Option<String>,
}

/// Readings of the running system, for *run* and *watch*.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reading {
    /// What it was running as.
    pub mode: Mode,
    /// How long it had been running.
    pub running: Option<AsTyped<Duration>>,
    /// Whether the readings had settled.
    #[serde(default)]
    pub steady: Answer,
    /// What the compressor's speed did.
    pub compressor_speed: Option<CompressorSpeed>,
    /// Whether filter, coils and blower were looked at and found right.
    #[serde(default)]
    pub airflow_good: Answer,
    /// Superheat that the unit's charging table asks for at these conditions.
    pub target_superheat: Option<AsTyped<TemperatureDiff>>,
    /// Pressure at the suction port.
    pub suction_pressure: Option<AsTyped<PressureGauge>>,
    /// Suction line temperature.
    pub suction_line: Option<AsTyped<Temperature>>,
    /// Pressure of the high side.
    pub liquid_pressure: Option<AsTyped<PressureGauge>>,
    /// Where that pressure was taken.
    pub liquid_tap: Option<LiquidTap>,
    /// Pressure drop from that place to the liquid line.
    pub tap_drop: Option<AsTyped<PressureDiff>>,
    /// Liquid line temperature.
    pub liquid_line: Option<AsTyped<Temperature>>,
    /// Discharge line temperature.
    pub discharge_line: Option<AsTyped<Temperature>>,
    /// Temperature of a bend in the middle of the evaporator.
    pub evaporator_bend: Option<AsTyped<Temperature>>,
    /// Temperature of a bend in the middle of the condenser.
    pub condenser_bend: Option<AsTyped<Temperature>>,
    /// Outdoor air.
    pub outdoor: Option<AsTyped<Temperature>>,
    /// Return air, dry bulb.
    pub return_air: Option<AsTyped<Temperature>>,
    /// Return air, wet bulb.
    pub return_wet_bulb: Option<AsTyped<Temperature>>,
    /// Supply air, dry bulb.
    pub supply_air: Option<AsTyped<Temperature>>,
    /// Supply air, wet bulb.
    pub supply_wet_bulb: Option<AsTyped<Temperature>>,
    /// Air leaving the outdoor unit.
    pub leaving_air: Option<AsTyped<Temperature>>,
    /// Air that the indoor unit moves.
    pub airflow: Option<AsTyped<VolumeFlow>>,
    /// Current of the outdoor unit.
    pub current: Option<AsTyped<Current>>,
    /// Defrosts in the last day.
    pub defrosts_per_day: Option<f64>,
    /// Share of the time that backup heat ran.
    pub backup_share: Option<AsTyped<Fraction>>,
    /// The rule that it is held against, by its name.
    pub criteria: Option<String>,
    /// The unit's own charging table.
    pub charging_table: Option<LogFile>,
    /// The logger file, where the readings are taken from one.
    pub log: Option<LogFile>,
    /// Who read the pressures.
    pub read_by: Option<Person>,
    /// The gauge's id.
    pub gauge: Option<String>,
    /// The thermometer's id.
    pub thermometer: Option<String>,
}

impl Reading {
    /// A reading with nothing read yet.
    pub fn of(mode: Mode) -> Self {
        Reading {
            mode,
            running: None,
            steady: Answer::NotKnown,
            compressor_speed: None,
            airflow_good: Answer::NotKnown,
            target_superheat: None,
            suction_pressure: None,
            suction_line: None,
            liquid_pressure: None,
            liquid_tap: None,
            tap_drop: None,
            liquid_line: None,
            discharge_line: None,
            evaporator_bend: None,
            condenser_bend: None,
            outdoor: None,
            return_air: None,
            return_wet_bulb: None,
            supply_air: None,
            supply_wet_bulb: None,
            leaving_air: None,
            airflow: None,
            current: None,
            defrosts_per_day: None,
            backup_share: None,
            criteria: None,
            charging_table: None,
            log: None,
            read_by: None,
            gauge: None,
            thermometer: None,
        }
    }
}

/// A certified technician was there.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TechnicianVisit {
    /// Mass recovered.
    pub recovered: Option<AsTyped<Mass>>,
    /// Mass charged.
    pub charged: Option<AsTyped<Mass>>,
    /// Vacuum reached.
    pub evacuated_to: Option<AsTyped<Vacuum>>,
    /// Whether a filter drier was fitted or replaced.
    #[serde(default)]
    pub drier: Answer,
    /// Whether a standing pressure test held.
    #[serde(default)]
    pub pressure_held: Answer,
    /// The pressure of that test.
    pub test_pressure: Option<AsTyped<PressureGauge>>,
    /// Suction pressure as the system was left running.
    pub suction_pressure: Option<AsTyped<PressureGauge>>,
    /// High-side pressure as the system was left running.
    pub liquid_pressure: Option<AsTyped<PressureGauge>>,
    /// Whether a leak was found.
    #[serde(default)]
    pub leak_found: Answer,
    /// Whether the circuit was opened or repaired.
    #[serde(default)]
    pub repaired: Answer,
}

/// A fact that results depend on was changed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Changed {
    /// The fact, as `equipment.nameplate_charge`.
    pub field: String,
    /// What it was; left out if it was not known.
    pub from: Option<String>,
    /// What it is now; left out if it is not known any more.
    pub to: Option<String>,
    /// Why.
    pub why: Option<String>,
    /// SHA-256 of `lineset.toml` with the change in it; an older record has none.
    pub facts: Option<String>,
}

/// An earlier event said something that is not so; both wordings stay in the record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Corrected {
    /// The number of the event.
    pub number: u64,
    /// The field, as `torque`, `readings.2.pressure` (counted from 1), `at` or `note`.
    pub field: String,
    /// What it said; left out if it said nothing.
    pub from: Option<String>,
    /// What it should have said; left out if that is not known.
    pub to: Option<String>,
    /// Why.
    pub why: Option<String>,
}
