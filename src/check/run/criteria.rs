//! The limits of *run*, by name.

use crate::quantity::{Duration, Quantity, Temperature, TemperatureDiff, VolumeFlow, unit};
use crate::source::SourceId;

/// How far a reading may lie from its target, with where that comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerance {
    /// Below the target; negative.
    pub low: TemperatureDiff,
    /// Above the target.
    pub high: TemperatureDiff,
    /// Where the two come from.
    pub source: SourceId,
}

impl Tolerance {
    /// What passes around a target.
    pub fn around(self, target: TemperatureDiff) -> (TemperatureDiff, TemperatureDiff) {
        (target + self.low, target + self.high)
    }
}

/// The limits of *run*; a target on the unit's label comes with the input.
///
/// ```
/// use lineproof::check::run::Criteria;
/// assert!(Criteria::ALL.iter().all(|name| Criteria::named(name).is_some()));
/// assert_eq!(Criteria::default().name, "ra3-installer-2008");
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Criteria {
    /// Its name, as typed.
    pub name: &'static str,
    /// Subcooling against the label.
    pub subcooling: Tolerance,
    /// Superheat against the target of a fixed orifice.
    pub superheat: Tolerance,
    /// Superheat of an expansion valve, from zero.
    pub valve_superheat: Tolerance,
    /// Temperature split against its target.
    pub split: Tolerance,
    /// Heating: discharge line above outdoor air, against what the unit's instructions print.
    pub discharge: Tolerance,
    /// A fixed orifice with a smaller target cannot be judged.
    pub least_target_superheat: TemperatureDiff,
    /// Measured airflow of at least so much for each ton (12,000 Btu/h) of rated capacity stands for the split.
    pub least_airflow_per_ton: VolumeFlow,
    /// Where these two come from.
    pub charge_source: SourceId,
    /// Coldest outdoor air.
    pub outdoor_least: Temperature,
    /// Coldest return air.
    pub return_least: Temperature,
    /// Shortest run before a reading, also after each change of charge.
    pub run_least: Duration,
    /// Where the outdoor temperature and the time come from.
    pub conditions_source: SourceId,
    /// Where the return temperature comes from: the first row of the source's table.
    pub return_source: SourceId,
    /// Condensing this close to the outdoor air is no condensing.
    pub heat_rejected_above: TemperatureDiff,
    /// Where that comes from.
    pub heat_rejected_source: SourceId,
}

/// Outdoor air in which a technician may set up a valve by subcooling in winter (2022 edition), by the printed steps only.
pub const WINTER_SETUP: WinterSetup = WinterSetup {
    low_fahrenheit: 37.0,
    high_fahrenheit: 71.0,
    source: SourceId::CecRa1Winter,
};

/// A range of outdoor air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WinterSetup {
    low_fahrenheit: f64,
    high_fahrenheit: f64,
    /// Where it comes from.
    pub source: SourceId,
}

impl WinterSetup {
    /// The coldest and the warmest outdoor air.
    pub fn outdoor(self) -> (Temperature, Temperature) {
        let air = |t| Temperature::of(t, unit::FAHRENHEIT);
        (air(self.low_fahrenheit), air(self.high_fahrenheit))
    }
}

/// What distinguishes a role and an edition, in °F: low and high ends, and where each pair comes from.
struct Limits {
    name: &'static str,
    subcooling: (f64, SourceId),
    superheat: (f64, SourceId),
    valve: (f64, f64, SourceId),
    split: (f64, SourceId),
}

const LIMITS: [Limits; 4] = [
    Limits {
        name: "ra3-installer-2008",
        subcooling: (3.0, SourceId::CecRa32),
        superheat: (5.0, SourceId::CecRa32),
        valve: (4.0, 25.0, SourceId::CecRa32),
        split: (3.0, SourceId::CecRa32),
    },
    Limits {
        name: "ra3-verifier-2008",
        subcooling: (4.0, SourceId::CecRa32VerifierSubcooling),
        superheat: (6.0, SourceId::CecRa32Verifier),
        valve: (3.0, 26.0, SourceId::CecRa32Verifier),
        split: (4.0, SourceId::CecRa32Verifier),
    },
    Limits {
        name: "ra3-installer-2013",
        subcooling: (3.0, SourceId::CecRa32Of2013),
        superheat: (5.0, SourceId::CecRa32Of2013),
        valve: (4.0, 25.0, SourceId::CecRa32Of2013),
        // printed in the 2008 edition only
        split: (3.0, SourceId::CecRa32),
    },
    Limits {
        name: "ra3-verifier-2013",
        subcooling: (6.0, SourceId::CecRa32Of2013),
        superheat: (8.0, SourceId::CecRa32Of2013),
        valve: (2.0, 27.0, SourceId::CecRa32Of2013),
        split: (4.0, SourceId::CecRa32Verifier),
    },
];

impl Criteria {
    /// Every name.
    pub const ALL: [&'static str; 4] = [
        LIMITS[0].name,
        LIMITS[1].name,
        LIMITS[2].name,
        LIMITS[3].name,
    ];

    /// The limits of a name.
    pub fn named(name: &str) -> Option<Criteria> {
        LIMITS.iter().find(|l| l.name == name).map(Criteria::of)
    }

    fn of(limits: &Limits) -> Criteria {
        let degf = |v: f64| TemperatureDiff::of(v, unit::FAHRENHEIT_DIFF);
        let air = |v: f64| Temperature::of(v, unit::FAHRENHEIT);
        let range = |low, high, source| Tolerance {
            low: degf(low),
            high: degf(high),
            source,
        };
        let either_way = |(by, source): (f64, SourceId)| range(-by, by, source);
        let (least, most, valve_source) = limits.valve;
        Criteria {
            name: limits.name,
            subcooling: either_way(limits.subcooling),
            superheat: either_way(limits.superheat),
            valve_superheat: range(least, most, valve_source),
            split: either_way(limits.split),
            discharge: range(-4.0, 4.0, SourceId::UnitInstructions),
            least_target_superheat: degf(5.0),
            least_airflow_per_ton: VolumeFlow::of(300.0, unit::CUBIC_FOOT_PER_MINUTE),
            charge_source: SourceId::CecRa32,
            outdoor_least: air(55.0),
            return_least: air(70.0),
            run_least: Duration::of(15.0, unit::MINUTE),
            conditions_source: SourceId::CecRa32,
            return_source: SourceId::CecRa32,
            heat_rejected_above: degf(2.0),
            heat_rejected_source: SourceId::NoHeatRejected,
        }
    }
}

impl Default for Criteria {
    /// The installer's limits of 2008, the edition that was read.
    fn default() -> Self {
        Criteria::of(&LIMITS[0])
    }
}
