//! Seven features of a running circuit, each against what is expected.

use crate::check::run::judge::superheat_target;
use crate::check::run::reading::{Reading, condensing, subcooling, superheat};
use crate::check::run::target::Target;
use crate::check::run::{Criteria, Input, Tolerance};
use crate::fluid::Saturation;
use crate::fluid::refrigerant::{State, Superheated};
use crate::physics::cycle::MeteringKind;
use crate::quantity::{
    Interval, Measured, Origin, Quantity, Temperature, TemperatureDiff, UnitSystem, unit,
};
use crate::source::SourceId;
use crate::stats::within::probability_within;

/// A feature of a running circuit, in the order of the tables' columns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Feature {
    /// Evaporating temperature, against the return air.
    Evaporating,
    /// Superheat.
    Superheat,
    /// Condensing temperature, against the outdoor air.
    Condensing,
    /// Subcooling.
    Subcooling,
    /// Discharge temperature, against condensing.
    Discharge,
    /// How much warmer the air leaves the outdoor coil.
    CondenserAirRise,
    /// How much colder the air leaves the indoor coil.
    EvaporatorAirDrop,
}

impl Feature {
    /// All of them, in the order of the tables' columns.
    pub const ALL: [Feature; 7] = [
        Feature::Evaporating,
        Feature::Superheat,
        Feature::Condensing,
        Feature::Subcooling,
        Feature::Discharge,
        Feature::CondenserAirRise,
        Feature::EvaporatorAirDrop,
    ];

    /// What it is called.
    pub fn words(self) -> &'static str {
        match self {
            Feature::Evaporating => "evaporating less return air",
            Feature::Superheat => "superheat",
            Feature::Condensing => "condensing less outdoor air",
            Feature::Subcooling => "subcooling",
            Feature::Discharge => "discharge line less condensing",
            Feature::CondenserAirRise => "air rise over the outdoor coil",
            Feature::EvaporatorAirDrop => "air drop over the indoor coil",
        }
    }
}

/// The range in which a feature is expected.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// The low end.
    pub low: TemperatureDiff,
    /// The high end.
    pub high: TemperatureDiff,
    /// Where the range comes from.
    pub source: SourceId,
}

impl Expected {
    /// Around a target, wider by twice its own standard uncertainty.
    pub(in crate::check::run) fn around(target: &Target, tolerance: Tolerance) -> Self {
        let (low, high) = tolerance.around(target.value);
        let wider = TemperatureDiff::from_si(2.0 * target.standard_uncertainty.si());
        Expected {
            low: low - wider,
            high: high + wider,
            source: tolerance.source,
        }
    }
}

/// Where a feature lies against its expectation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sign {
    /// Below it with more than 95 %.
    Below,
    /// Inside it with more than 95 %.
    AsExpected,
    /// Above it with more than 95 %.
    Above,
    /// The readings are too coarse to tell.
    NotTold,
    /// Not read, or nothing to hold it against.
    NotRead,
}

impl Sign {
    /// The sign's words.
    pub fn words(self) -> &'static str {
        match self {
            Sign::Below => "low",
            Sign::AsExpected => "as expected",
            Sign::Above => "high",
            Sign::NotTold => "not told",
            Sign::NotRead => "not read",
        }
    }
}

/// A feature with its reading, its expectation and its sign.
#[derive(Debug, Clone, PartialEq)]
pub struct FeatureRow {
    /// Which feature.
    pub feature: Feature,
    /// What was read.
    pub value: Option<TemperatureDiff>,
    /// Its standard uncertainty.
    pub standard_uncertainty: Option<TemperatureDiff>,
    /// What is expected.
    pub expected: Option<Expected>,
    /// Where it lies.
    pub sign: Sign,
}

impl FeatureRow {
    /// The sign with its numbers: "high: 41.0 °F, could be 39.2 to 42.8 °F; expected 10.0 to 32.0 °F".
    pub fn words(&self, units: UnitSystem) -> String {
        let mut text = self.sign.words().to_string();
        if let (Some(value), Some(u)) = (self.value, self.standard_uncertainty) {
            text += &format!(": {}", Interval::normal(value, u).show(units));
        }
        if let Some(expected) = self.expected {
            let high = expected.high.show(units);
            text += &format!("; expected {} to {high}", expected.low.show(units).number());
        }
        text
    }
}

/// Common practice ([`SourceId::UsualRanges`]), degF.
const UNDER_RETURN: (f64, f64) = (-45.0, -25.0);
const OVER_OUTDOOR: (f64, f64) = (10.0, 32.0);
const AIR_RISE: (f64, f64) = (8.0, 28.0);
const AIR_DROP: (f64, f64) = (14.0, 24.0);
const ORIFICE_SUBCOOLING: (f64, f64) = (5.0, 20.0);
/// Isentropic efficiency and the heat of motor and shell, degF ([`SourceId::CompressorEfficiency`]).
const EFFICIENCY: (f64, f64) = (0.50, 0.80);
const SHELL: f64 = 15.0;
/// Probability from which a sign is told.
const TOLD: f64 = 0.95;

type Read = Option<(TemperatureDiff, f64)>;

pub(super) fn rows(
    input: &Input,
    criteria: &Criteria,
    superheat: Option<&Reading>,
    subcooling: Option<&Reading>,
    split: Option<Expected>,
) -> Vec<FeatureRow> {
    let around = &input.conditions;
    let evaporating = evaporating(input);
    let condensing = condensing_with_range(input);
    let usual = |range| Some(common(range));
    let of = |reading: Option<&Reading>| reading.map(|r| (r.value, r.standard_uncertainty.si()));
    let air = |warm: &Option<Measured<Temperature>>, cold: &Option<Measured<Temperature>>| {
        Some(difference(&warm.clone()?, &cold.clone()?))
    };
    let rows: [(Feature, Read, Option<Expected>); 7] = [
        (
            Feature::Evaporating,
            less(&evaporating, &around.return_air),
            usual(UNDER_RETURN),
        ),
        (
            Feature::Superheat,
            of(superheat),
            expected_superheat(input, criteria),
        ),
        (
            Feature::Condensing,
            less(&condensing, &around.outdoor),
            usual(OVER_OUTDOOR),
        ),
        (
            Feature::Subcooling,
            of(subcooling),
            expected_subcooling(input, criteria),
        ),
        (
            Feature::Discharge,
            less(&input.discharge_line, &condensing),
            expected_discharge(input, superheat, &condensing),
        ),
        (
            Feature::CondenserAirRise,
            air(&around.leaving_air, &around.outdoor),
            usual(AIR_RISE),
        ),
        (
            Feature::EvaporatorAirDrop,
            air(&around.return_air, &around.supply_air),
            split.or(usual(AIR_DROP)),
        ),
    ];
    rows.into_iter()
        .map(|(feature, read, expected)| FeatureRow {
            feature,
            value: read.map(|(value, _)| value),
            standard_uncertainty: read.map(|(_, u)| TemperatureDiff::from_si(u)),
            expected,
            sign: sign(read, expected),
        })
        .collect()
}

fn sign(read: Read, expected: Option<Expected>) -> Sign {
    let (Some((value, u)), Some(expected)) = (read, expected) else {
        return Sign::NotRead;
    };
    let (low, high) = (expected.low.si(), expected.high.si());
    let probability = |from, to| probability_within(value.si(), u, from, to);
    if probability(f64::NEG_INFINITY, low) > TOLD {
        Sign::Below
    } else if probability(high, f64::INFINITY) > TOLD {
        Sign::Above
    } else if probability(low, high) > TOLD {
        Sign::AsExpected
    } else {
        Sign::NotTold
    }
}

fn degf(value: f64) -> TemperatureDiff {
    TemperatureDiff::of(value, unit::FAHRENHEIT_DIFF)
}

fn common((low, high): (f64, f64)) -> Expected {
    Expected {
        low: degf(low),
        high: degf(high),
        source: SourceId::UsualRanges,
    }
}

fn difference(
    one: &Measured<Temperature>,
    other: &Measured<Temperature>,
) -> (TemperatureDiff, f64) {
    let u = one
        .standard_uncertainty
        .si()
        .hypot(other.standard_uncertainty.si());
    (one.value - other.value, u)
}

fn less(one: &Option<Measured<Temperature>>, other: &Option<Measured<Temperature>>) -> Read {
    Some(difference(one.as_ref()?, other.as_ref()?))
}

fn expected_superheat(input: &Input, criteria: &Criteria) -> Option<Expected> {
    match input.machine.metering?.kind {
        MeteringKind::FixedOrifice => superheat_target(input)
            .ok()
            .map(|target| Expected::around(&target, criteria.superheat)),
        MeteringKind::ThermostaticValve | MeteringKind::ElectronicValve => Some(Expected::around(
            &Target::typed(TemperatureDiff::from_si(0.0)),
            criteria.valve_superheat,
        )),
    }
}

fn expected_subcooling(input: &Input, criteria: &Criteria) -> Option<Expected> {
    let own = input.targets.subcooling;
    let own = own.map(|target| Expected::around(&Target::typed(target), criteria.subcooling));
    let orifice = input.machine.metering?.kind == MeteringKind::FixedOrifice;
    own.or(orifice.then(|| common(ORIFICE_SUBCOOLING)))
}

/// A line at 0 degC, known exactly: what is left of superheat or subcooling is the range of saturation.
fn exact_line() -> Measured<Temperature> {
    Measured {
        value: Temperature::of(0.0, unit::CELSIUS),
        standard_uncertainty: TemperatureDiff::from_si(0.0),
        origin: Origin::Assumed("only saturation is asked for".into()),
    }
}

fn measured(value: Temperature, range_of: &Reading) -> Measured<Temperature> {
    Measured {
        value,
        standard_uncertainty: range_of.standard_uncertainty,
        origin: Origin::Reading("saturation".into()),
    }
}

fn evaporating(input: &Input) -> Option<Measured<Temperature>> {
    let low = input.low.as_ref()?;
    let reading = superheat(input.refrigerant, low, &exact_line(), &input.surroundings).ok()?;
    Some(measured(reading.saturation, &reading))
}

pub(super) fn condensing_with_range(input: &Input) -> Option<Measured<Temperature>> {
    use crate::check::run::{HighSide, Tap};
    let high = input.high.as_ref()?;
    let at = condensing(input.refrigerant, high, &input.surroundings).ok()?;
    // the tap matters for the liquid line, not for the condenser
    let here = match high {
        HighSide::Gauge { pressure, .. } => HighSide::Gauge {
            pressure: pressure.clone(),
            tap: Tap::LiquidLine,
        },
        HighSide::CoilBend(_) => high.clone(),
    };
    let reading = subcooling(input.refrigerant, &here, &exact_line(), &input.surroundings).ok()?;
    Some(measured(at, &reading))
}

/// Discharge over condensing between two isentropic efficiencies, from the measured suction state.
///
/// `T = T_s + (1/eta - 1)(h_s - h_1)/c_p`, the state after ideal compression marked s.
fn expected_discharge(
    input: &Input,
    superheat: Option<&Reading>,
    condensing: &Option<Measured<Temperature>>,
) -> Option<Expected> {
    let saturation = Saturation::of(input.refrigerant);
    let vapour = Superheated::of(input.refrigerant);
    let (reading, line) = (superheat?, input.suction_line.as_ref()?);
    let condensing = condensing.as_ref()?.value;
    let low = saturation.dew_pressure(reading.saturation).ok()?;
    let high = saturation.dew_pressure(condensing).ok()?;
    let suction = vapour.at(low, line.value).ok()?;
    let ideal = vapour.at_entropy(high, suction.entropy).ok()?;
    let at = |efficiency: f64| over(&ideal, &suction, efficiency, condensing);
    Some(Expected {
        low: at(EFFICIENCY.1) - degf(SHELL),
        high: TemperatureDiff::from_si(at(EFFICIENCY.0).si() + degf(SHELL).si()),
        source: SourceId::CompressorEfficiency,
    })
}

fn over(
    ideal: &State,
    suction: &State,
    efficiency: f64,
    condensing: Temperature,
) -> TemperatureDiff {
    let work = (ideal.enthalpy - suction.enthalpy).si();
    let hotter = (1.0 / efficiency - 1.0) * work / ideal.heat_capacity.si();
    ideal.temperature + TemperatureDiff::from_si(hotter) - condensing
}
