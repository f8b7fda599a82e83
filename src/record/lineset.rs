//! The facts of a line set: `lineset.toml`.
//!
//! Few fields are required: the name, the country and time zone of the place, how the lines are connected and what
//! they had held. Everything else may be left out, and then is not known.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::typed::{Altitude, AsTyped, SignedMass, Vacuum};
use super::words::{
    Answer, Compressor, Connection, EquipmentKind, Head, InstrumentKind, JointKind, LineState,
    MeteringDevice, Shipped, segment,
};
use super::{Zone, instrument};
use crate::check::Segment;
use crate::check::charge::LineLabel;
use crate::quantity::{
    Area, Barometer, BarometerError, Current, Duration, Fraction, Length, Mass, MassPerLength,
    Power, PressureAbs, PressureGauge, Quantity, TemperatureDiff, Torque, Voltage, Volume,
};

/// The version of the facts this program writes, and the newest it reads.
pub const FACTS_VERSION: u32 = 1;

/// The facts of a line set.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LineSet {
    /// Version of this file's layout.
    pub version: u32,
    /// What its owner calls it.
    pub name: String,
    /// Whether the record is an invented example.
    #[serde(default)]
    pub invented: bool,
    /// Where it is.
    pub place: Place,
    /// The equipment.
    #[serde(default)]
    pub equipment: Equipment,
    /// The lines.
    pub line_set: Lines,
    /// What the unit's own instructions ask for; it wins over every default.
    #[serde(default)]
    pub instructions: Instructions,
    /// Who sold it, since when it runs, and what is promised.
    #[serde(default, skip_serializing_if = "Warranty::is_empty")]
    pub warranty: Warranty,
    /// Every joint, the factory's too.
    #[serde(default, rename = "joint", skip_serializing_if = "Vec::is_empty")]
    pub joints: Vec<Joint>,
    /// The instruments used.
    #[serde(default, rename = "instrument", skip_serializing_if = "Vec::is_empty")]
    pub instruments: Vec<InstrumentFacts>,
}

/// Where the line set is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Place {
    /// `US`, `EU`, or another country in words.
    pub country: String,
    /// Time zone by its IANA name; times typed without an offset are in it.
    pub zone: Zone,
    /// Height above the sea.
    pub altitude: Option<AsTyped<Altitude>>,
    /// Pressure of a barometer at the place, not reduced to sea level.
    pub barometer: Option<AsTyped<PressureAbs>>,
    /// Address, for the handover sheet.
    pub address: Option<String>,
}

/// The equipment, from its label and instructions.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Equipment {
    /// What it is.
    pub kind: Option<EquipmentKind>,
    /// The refrigerant's name, as on the label.
    pub refrigerant: Option<String>,
    /// Charge on the label.
    pub nameplate_charge: Option<AsTyped<Mass>>,
    /// How the outdoor unit came; with its nameplate charge when not given.
    pub shipped: Option<Shipped>,
    /// Length of line the nameplate charge already serves; of all runs together where they have none of their own.
    pub included_length: Option<AsTyped<Length>>,
    /// Charge per length of line beyond that; of every run that has none of its own.
    pub charge_factor: Option<AsTyped<MassPerLength>>,
    /// Charge that accessories ask for, all together.
    pub accessories: Option<AsTyped<SignedMass>>,
    /// Subcooling on the label.
    pub target_subcooling: Option<AsTyped<TemperatureDiff>>,
    /// Heating: how far the discharge line should be above the outdoor air, where the instructions print it.
    pub discharge_above_outdoor: Option<AsTyped<TemperatureDiff>>,
    /// Rated cooling capacity.
    pub rated_capacity: Option<AsTyped<Power>>,
    /// Rated current of the outdoor unit.
    pub rated_current: Option<AsTyped<Current>>,
    /// Design pressure of the high side.
    pub design_pressure_high: Option<AsTyped<PressureGauge>>,
    /// Design pressure of the low side.
    pub design_pressure_low: Option<AsTyped<PressureGauge>>,
    /// Lowest supply voltage on the label.
    pub voltage_min: Option<AsTyped<Voltage>>,
    /// Highest supply voltage on the label.
    pub voltage_max: Option<AsTyped<Voltage>>,
    /// Supply voltage on the label, where no range is printed.
    pub voltage_rated: Option<AsTyped<Voltage>>,
    /// Minimum circuit ampacity.
    pub mca: Option<AsTyped<Current>>,
    /// Largest breaker or fuse.
    pub mocp: Option<AsTyped<Current>>,
    /// How long the crankcase heater must be on before a start.
    pub crankcase_heater: Option<AsTyped<Duration>>,
    /// How the compressor is driven.
    pub compressor: Option<Compressor>,
    /// Whether a suction accumulator is fitted.
    #[serde(default)]
    pub accumulator: Answer,
    /// Whether the indoor unit serves ducts.
    #[serde(default)]
    pub ducted: Answer,
    /// Floor area of the room, where the indoor unit serves one room.
    pub room_area: Option<AsTyped<Area>>,
    /// Height of the indoor unit above the floor.
    pub mounting_height: Option<AsTyped<Length>>,
    /// Serial number of the outdoor unit.
    pub outdoor_serial: Option<String>,
    /// Serial number of the indoor unit.
    pub indoor_serial: Option<String>,
    /// Accessories by their names.
    #[serde(default, rename = "accessory", skip_serializing_if = "Vec::is_empty")]
    pub named_accessories: Vec<Accessory>,
}

/// A part that takes its own charge: a drier, a larger coil, a branch box.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Accessory {
    /// What it is.
    pub name: String,
    /// The charge it takes; negative when it takes some away.
    pub mass: AsTyped<SignedMass>,
}

/// The lines between the units.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lines {
    /// How they are joined to the units.
    pub connection: Connection,
    /// What they had seen when the record began.
    pub state: LineState,
    /// Where the metering device for cooling sits.
    #[serde(default)]
    pub metering_device: MeteringDevice,
    /// Height of the upper unit above the lower one.
    pub rise: Option<AsTyped<Length>>,
    /// Volume of lines and indoor coil, where it was measured; it wins over tubes and coil.
    pub volume: Option<AsTyped<Volume>>,
    /// Volume of the indoor coil, from its data sheet or measured.
    pub coil_volume: Option<AsTyped<Volume>>,
    /// What a pre-charged line states of the charge that came in it: a mass, a charge per length, or a length.
    pub label: Option<AsTyped<LineLabel>>,
    /// The liquid line.
    pub liquid: Option<Tube>,
    /// The vapour line.
    pub vapour: Option<Tube>,
    /// Where the volume lies.
    pub shares: Option<Shares>,
    /// The runs of a system with several heads or branches; a single line needs none.
    #[serde(default, rename = "run", skip_serializing_if = "Vec::is_empty")]
    pub runs: Vec<LineRun>,
}

/// A run of a system with several heads or branches.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LineRun {
    /// What the record calls it: a port, a room.
    pub name: String,
    /// Whether a head is connected.
    #[serde(default)]
    pub head: Head,
    /// Length as installed, one way; left out where no head is connected.
    pub length: Option<AsTyped<Length>>,
    /// Length that the nameplate charge already serves on this run.
    pub included_length: Option<AsTyped<Length>>,
    /// Charge per length of this run's liquid line, where it is not the equipment's.
    pub charge_factor: Option<AsTyped<MassPerLength>>,
    /// Outside diameter of the liquid line.
    pub liquid_od: Option<AsTyped<Length>>,
    /// Outside diameter of the vapour line.
    pub vapour_od: Option<AsTyped<Length>>,
    /// What a pre-charged line states of the charge that came in it: a mass, a charge per length, or a length.
    pub label: Option<AsTyped<LineLabel>>,
}

/// A tube.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tube {
    /// Outside diameter.
    pub od: AsTyped<Length>,
    /// Wall thickness, where it is not the usual one for the diameter.
    pub wall: Option<AsTyped<Length>>,
    /// Length as installed.
    pub length: AsTyped<Length>,
}

/// Shares of the gas volume by where they lie; what is not named is not known.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Shares {
    /// Outdoors in the shade.
    pub outdoors: Option<AsTyped<Fraction>>,
    /// Outdoors in the sun.
    pub sun: Option<AsTyped<Fraction>>,
    /// In conditioned rooms.
    pub conditioned: Option<AsTyped<Fraction>>,
    /// In an attic.
    pub attic: Option<AsTyped<Fraction>>,
    /// In a crawl space.
    pub crawl_space: Option<AsTyped<Fraction>>,
    /// In a wall.
    pub wall: Option<AsTyped<Fraction>>,
}

impl Shares {
    /// The sum of the named shares.
    pub fn sum(&self) -> f64 {
        [
            &self.outdoors,
            &self.sun,
            &self.conditioned,
            &self.attic,
            &self.crawl_space,
            &self.wall,
        ]
        .into_iter()
        .flatten()
        .map(|share| share.value().si())
        .sum()
    }
}

/// What the unit's own instructions ask for.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Instructions {
    /// Pressure of the standing pressure test.
    pub test_pressure: Option<AsTyped<PressureGauge>>,
    /// How long it is held.
    pub test_duration: Option<AsTyped<Duration>>,
    /// Vacuum to be reached.
    pub vacuum: Option<AsTyped<Vacuum>>,
    /// Vacuum not to be passed in the rise test.
    pub rise_limit: Option<AsTyped<Vacuum>>,
    /// How long the rise is watched.
    pub rise_duration: Option<AsTyped<Duration>>,
    /// Smallest room area printed for this charge.
    pub minimum_area: Option<AsTyped<Area>>,
}

/// What a warranty desk asks for; serial numbers stand with the equipment, photographs with the events.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Warranty {
    /// Who sold it.
    pub supplier: Option<String>,
    /// The day it was bought, like 2026-04-30.
    pub bought: Option<Date>,
    /// The day it was installed.
    pub installed: Option<Date>,
    /// The last day of the warranty.
    pub until: Option<Date>,
    /// What it covers and asks for, in its own words.
    pub terms: Option<String>,
    /// Telephone number of the warranty desk.
    pub phone: Option<String>,
}

impl Warranty {
    fn is_empty(&self) -> bool {
        *self == Warranty::default()
    }
}

/// A joint.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Joint {
    /// What the record calls it.
    pub id: String,
    /// The segment it closes.
    #[serde(with = "segment")]
    pub segment: Segment,
    /// What it is.
    pub kind: JointKind,
    /// Whether the factory made it.
    #[serde(default)]
    pub factory: bool,
    /// Outside diameter of the tube or nominal size, where it differs from the segment's.
    pub od: Option<AsTyped<Length>>,
    /// The unit's own torque: the only value, or the lowest.
    pub torque: Option<AsTyped<Torque>>,
    /// The unit's own highest torque, where a range is printed.
    pub torque_max: Option<AsTyped<Torque>>,
}

/// An instrument and what is stated about it.
///
/// `accuracy` is a limit of error: a difference (`1.5 F`, `2 psi`), `1 % of full scale` or `10 % of reading`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct InstrumentFacts {
    /// What the record calls it.
    pub id: String,
    /// What it measures.
    pub kind: InstrumentKind,
    /// Limit of error.
    pub accuracy: Option<String>,
    /// Smallest step shown, a difference.
    pub resolution: Option<String>,
    /// Highest value shown.
    pub full_scale: Option<String>,
}

/// A fact that does not fit with the others: where it stands, what is wrong, and the next step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Misfit {
    pub(crate) table: &'static str,
    /// Which of several tables of that name, from 0.
    pub(crate) nth: usize,
    pub(crate) key: &'static str,
    pub(crate) what: String,
    pub(crate) next: &'static str,
}

impl LineSet {
    /// The smallest line set: everything else is not known.
    pub fn new(
        name: &str,
        country: &str,
        zone: Zone,
        connection: Connection,
        state: LineState,
    ) -> Self {
        LineSet {
            version: FACTS_VERSION,
            name: name.into(),
            invented: false,
            place: Place {
                country: country.into(),
                zone,
                altitude: None,
                barometer: None,
                address: None,
            },
            equipment: Equipment::default(),
            line_set: Lines {
                connection,
                state,
                metering_device: MeteringDevice::NotKnown,
                rise: None,
                volume: None,
                coil_volume: None,
                label: None,
                liquid: None,
                vapour: None,
                shares: None,
                runs: Vec::new(),
            },
            instructions: Instructions::default(),
            warranty: Warranty::default(),
            joints: Vec::new(),
            instruments: Vec::new(),
        }
    }

    /// The local atmosphere: from the barometer, else the altitude, else sea level.
    pub fn barometer(&self) -> Result<Barometer, BarometerError> {
        match (&self.place.barometer, &self.place.altitude) {
            (Some(pressure), _) => Barometer::station(pressure.value()),
            (None, Some(altitude)) => Barometer::at_altitude(altitude.value().0),
            (None, None) => Ok(Barometer::standard()),
        }
    }

    /// The joint of an id.
    pub fn joint(&self, id: &str) -> Option<&Joint> {
        self.joints.iter().find(|joint| joint.id == id)
    }

    /// The instrument of an id.
    pub fn instrument(&self, id: &str) -> Option<&InstrumentFacts> {
        self.instruments
            .iter()
            .find(|instrument| instrument.id == id)
    }

    /// What does not fit together, in the order of the file.
    pub(crate) fn misfits(&self) -> Vec<Misfit> {
        let mut found = self.place_misfits();
        let shares = self.line_set.shares.as_ref().map_or(0.0, Shares::sum);
        if shares > 1.0 + 1e-9 {
            found.push(Misfit {
                table: "line_set.shares",
                nth: 0,
                key: "",
                what: format!("the shares of the volume add up to {:.0} %", 100.0 * shares),
                next: "they may reach 100 % together; what is left out is not known",
            });
        }
        let joints: Vec<&str> = self.joints.iter().map(|j| j.id.as_str()).collect();
        let instruments: Vec<&str> = self.instruments.iter().map(|i| i.id.as_str()).collect();
        found.extend(self.run_misfits());
        found.extend(doubled("joint", "id", &joints));
        found.extend(doubled("instrument", "id", &instruments));
        for (nth, facts) in self.instruments.iter().enumerate() {
            if let Err((key, error)) = instrument::check(facts) {
                found.push(Misfit {
                    table: "instrument",
                    nth,
                    key,
                    what: error.to_string(),
                    next: "write it as on the instrument's data sheet",
                });
            }
        }
        found
    }

    /// What does not fit together in the runs.
    fn run_misfits(&self) -> Vec<Misfit> {
        let runs = &self.line_set.runs;
        let names: Vec<&str> = runs.iter().map(|r| r.name.as_str()).collect();
        let parts = &self.equipment.named_accessories;
        let parts: Vec<&str> = parts.iter().map(|a| a.name.as_str()).collect();
        let mut found = doubled("line_set.run", "name", &names);
        found.extend(doubled("equipment.accessory", "name", &parts));
        let own = runs.iter().filter(|r| r.included_length.is_some()).count();
        for (nth, run) in runs.iter().enumerate() {
            let mut misfit = |key, what: String, next| {
                found.push(Misfit {
                    table: "line_set.run",
                    nth,
                    key,
                    what,
                    next,
                });
            };
            match (run.head, &run.length) {
                (Head::Connected, None) => misfit(
                    "",
                    format!("run \"{}\" has no length", run.name),
                    "add its length as installed, or head = \"none\" where no head is connected",
                ),
                (Head::None, Some(length)) if length.value().si() > 0.0 => misfit(
                    "length",
                    format!(
                        "run \"{}\" has {} of line and no head",
                        run.name,
                        length.text()
                    ),
                    "leave the length out, or say head = \"connected\" if the line holds refrigerant",
                ),
                _ => {}
            }
            if run.head == Head::None && run.label.is_some() {
                misfit(
                    "label",
                    format!("run \"{}\" has a line's label and no head", run.name),
                    "leave the label out: no line came with it",
                );
            }
            if own > 0 && run.included_length.is_none() {
                misfit(
                    "",
                    format!(
                        "run \"{}\" has no included length, and others have",
                        run.name
                    ),
                    "give it to every run, or to none and to [equipment] for all together",
                );
            }
        }
        if !runs.is_empty() && self.line_set.label.is_some() {
            found.push(Misfit {
                table: "line_set",
                nth: 0,
                key: "label",
                what: "it is the label of a single line, and there are runs".into(),
                next: "give it to the run whose line it came on",
            });
        }
        let factors: Vec<f64> = runs
            .iter()
            .filter_map(|run| Some(self.factor_of(run)?.si()))
            .collect();
        let differ = factors.iter().any(|f| *f != factors[0]);
        if own == 0 && self.equipment.included_length.is_some() && differ {
            found.push(Misfit {
                table: "equipment",
                nth: 0,
                key: "included_length",
                what: "it serves runs with different charge factors".into(),
                next: "give every run its own included_length",
            });
        }
        found
    }

    /// The charge per length of a run: its own, else the equipment's.
    pub(super) fn factor_of(&self, run: &LineRun) -> Option<MassPerLength> {
        let own = run.charge_factor.as_ref();
        let factor = own.or(self.equipment.charge_factor.as_ref())?;
        Some(factor.value())
    }

    fn place_misfits(&self) -> Vec<Misfit> {
        let Err(error) = self.barometer() else {
            return Vec::new();
        };
        let key = if self.place.barometer.is_some() {
            "barometer"
        } else {
            "altitude"
        };
        vec![Misfit {
            table: "place",
            nth: 0,
            key,
            what: error.to_string(),
            next: "leave it out if it is not known",
        }]
    }
}

fn doubled(table: &'static str, key: &'static str, ids: &[&str]) -> Vec<Misfit> {
    (0..ids.len())
        .filter(|&nth| ids[..nth].contains(&ids[nth]))
        .map(|nth| Misfit {
            table,
            nth,
            key,
            what: format!("\"{}\" names a second {table}", ids[nth]),
            next: match key {
                "id" => "give every one its own id, as events refer to it",
                _ => "give every one its own name",
            },
        })
        .collect()
}
