//! What each further answer or reading would buy, in the order in which it is asked for.

use super::reading::{Reading, subcooling, superheat};
use super::valid::{Question, liquid_in_line, open_questions};
use super::{Compressor, Criteria, HighSide, Input, LowSide, Tap};
use crate::fluid::{Refrigerant, Saturation};
use crate::physics::cycle::{MeteringKind, Mode};
use crate::quantity::{
    Measured, Origin, PressureDiff, PressureGauge, Quantity, Temperature, TemperatureDiff, both,
    unit,
};
use crate::source::SourceId;

/// A further answer or reading, and what it would buy.
#[derive(Debug, Clone, PartialEq)]
pub struct Worth {
    /// The question, or what is to be read.
    pub reading: &'static str,
    /// What it buys.
    pub buys: Buys,
    /// Whether it takes gauges.
    pub route: Route,
    /// Where that comes from.
    pub source: SourceId,
}

/// What a reading buys.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Buys {
    /// A number, give or take so much at 95 %.
    Number {
        /// "superheat" or "subcooling".
        name: &'static str,
        /// Half of the range.
        half_width: TemperatureDiff,
    },
    /// It decides something.
    Decides(&'static str),
    /// It decides nothing here, because.
    Nothing(&'static str),
}

/// Whether a reading takes gauges.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Route {
    /// Anybody reads it.
    NoGauges,
    /// It takes gauges on a charged circuit.
    Gauges,
}

impl Worth {
    /// The sentence: what, what it buys, who may do it.
    pub fn words(&self) -> String {
        let who = match self.route {
            Route::NoGauges => "",
            Route::Gauges => "; a certified person's work in the US, elsewhere by the place's rule",
        };
        match self.buys {
            Buys::Number { name, half_width } => {
                format!("{}: {name} to ±{}{who}", self.reading, both(half_width))
            }
            Buys::Decides(what) => format!("{}: {what}{who}", self.reading),
            Buys::Nothing(why) => format!("{}: decides nothing here, because {why}", self.reading),
        }
    }
}

/// Typical saturation and lines, degF, and limits of error ([`SourceId::TypicalInstruments`]).
const EVAPORATING: f64 = 40.0;
const SUCTION_LINE: f64 = 52.0;
const CONDENSING: f64 = 110.0;
const LIQUID_LINE: f64 = 98.0;
const THERMOMETER: f64 = 1.8;
const SUCTION_GAUGE: f64 = 3.5;
const LIQUID_GAUGE: f64 = 7.0;

/// Everything that is not known yet, with what it would buy.
///
/// First the questions about the machine, then the smallest set of readings that judges it without gauges, then each
/// further reading; gauges beside. Half widths come from the uncertainty functions of [`superheat`] and [`subcooling`]
/// at typical temperatures, with the input's own thermometer where one was used, and are 1.96 standard uncertainties.
/// Where a reading decides nothing (a line with two phases, a speed that follows the load) that is said instead.
///
/// Source: [`SourceId::TypicalInstruments`].
pub fn worth(input: &Input, criteria: &Criteria) -> Vec<Worth> {
    let mut rows: Vec<Worth> = open_questions(input).into_iter().map(question).collect();
    if input.refrigerant == Refrigerant::R744 {
        return rows;
    }
    rows.extend(circuit(input));
    rows.extend(conditions(input, criteria));
    rows.extend(further(input));
    rows
}

fn row(reading: &'static str, buys: Buys, route: Route, source: SourceId) -> Worth {
    Worth {
        reading,
        buys,
        route,
        source,
    }
}

fn free(reading: &'static str, decides: &'static str, source: SourceId) -> Worth {
    row(reading, Buys::Decides(decides), Route::NoGauges, source)
}

fn question(question: Question) -> Worth {
    let (decides, source) = match question {
        Question::MeteringDevice => (
            "whether superheat or subcooling judges the charge, and whether the line carries liquid at all",
            SourceId::CommonPractice,
        ),
        Question::Mode => (
            "whether the targets apply: they are for cooling",
            SourceId::CommonPractice,
        ),
        Question::Compressor => (
            "whether a target applies: none does while the speed follows the load",
            SourceId::CommonPractice,
        ),
        Question::Port => (
            "whether subcooling can be computed: at a discharge tap the drop to the liquid line must be known and comes off",
            SourceId::CommonPractice,
        ),
        Question::WhoReads => ("whether the place's rule was kept", SourceId::Cfr82F),
        Question::Airflow => (
            "whether a reading out of range means charge: low airflow moves it as far",
            SourceId::CommonPractice,
        ),
    };
    free(question.text(), decides, source)
}

/// Superheat and subcooling, without gauges and with them.
fn circuit(input: &Input) -> Vec<Worth> {
    let mut rows = Vec::new();
    let orifice = input
        .machine
        .metering
        .is_some_and(|device| device.kind == MeteringKind::FixedOrifice);
    let no_superheat = input.low.is_none() || input.suction_line.is_none();
    let no_subcooling = input.high.is_none() || input.liquid_line.is_none();
    if no_superheat {
        rows.extend(low_side(input));
    }
    if no_subcooling {
        rows.extend(high_side(input));
    }
    // what judges the charge comes first
    if !orifice && no_superheat && no_subcooling {
        rows.sort_by_key(|worth| (worth.route == Route::Gauges, !about(worth, "subcooling")));
    } else {
        rows.sort_by_key(|worth| worth.route == Route::Gauges);
    }
    if let Some(LowSide::CoilBend(_)) = input.low {
        rows.extend(low_gauge(input));
    }
    if let Some(HighSide::CoilBend(_)) = input.high {
        rows.extend(high_gauge(input));
    }
    rows
}

fn about(worth: &Worth, wanted: &str) -> bool {
    matches!(worth.buys, Buys::Number { name, .. } if name == wanted)
}

/// Why no number of this circuit decides anything; `None` where it does.
fn no_target(input: &Input) -> Option<&'static str> {
    if input.machine.compressor == Some(Compressor::FreeSpeed) {
        return Some(
            "the compressor follows the load and no target applies: hold it at the maker's test speed, or a technician weighs in",
        );
    }
    (input.machine.mode == Some(Mode::Heating)).then_some(
        "it heats, and the targets are for cooling: the unit's own heating table, or a technician weighs in",
    )
}

fn two_phase(input: &Input) -> Option<&'static str> {
    let known = input.machine.metering.is_some() && input.machine.mode.is_some();
    (known && !liquid_in_line(input)).then_some("the line carries liquid and vapour there")
}

fn number(name: &'static str, reading: Option<Reading>, nothing: Option<&'static str>) -> Buys {
    match (nothing, reading) {
        (Some(why), _) => Buys::Nothing(why),
        (None, Some(reading)) => Buys::Number {
            name,
            half_width: TemperatureDiff::from_si(1.96 * reading.standard_uncertainty.si()),
        },
        (None, None) => {
            Buys::Nothing("its typical temperatures lie outside the refrigerant's table")
        }
    }
}

fn low_side(input: &Input) -> Vec<Worth> {
    let bend = LowSide::CoilBend(probe(input, EVAPORATING));
    let mut rows = vec![row(
        "a probe on an evaporator bend and one on the suction line",
        number("superheat", at_low(input, &bend), no_target(input)),
        Route::NoGauges,
        SourceId::TypicalInstruments,
    )];
    rows.extend(low_gauge(input));
    rows
}

fn low_gauge(input: &Input) -> Option<Worth> {
    let gauge = LowSide::Gauge(gauge(input, EVAPORATING, SUCTION_GAUGE)?);
    Some(row(
        "a gauge at the suction port and a probe on the suction line",
        number("superheat", at_low(input, &gauge), no_target(input)),
        Route::Gauges,
        SourceId::TypicalInstruments,
    ))
}

fn high_side(input: &Input) -> Vec<Worth> {
    let bend = HighSide::CoilBend(probe(input, CONDENSING));
    let nothing = two_phase(input).or(no_target(input));
    let mut rows = vec![row(
        "a probe on a condenser bend and one on the liquid line",
        number("subcooling", at_high(input, &bend), nothing),
        Route::NoGauges,
        SourceId::TypicalInstruments,
    )];
    rows.extend(high_gauge(input));
    rows
}

fn high_gauge(input: &Input) -> Option<Worth> {
    let gauge = HighSide::Gauge {
        pressure: gauge(input, CONDENSING, LIQUID_GAUGE)?,
        tap: Tap::LiquidLine,
    };
    let nothing = two_phase(input).or(no_target(input));
    Some(row(
        "a gauge at the liquid line (at a discharge tap the drop must be known) and a probe on the liquid line",
        number("subcooling", at_high(input, &gauge), nothing),
        Route::Gauges,
        SourceId::TypicalInstruments,
    ))
}

fn at_low(input: &Input, low: &LowSide) -> Option<Reading> {
    let line = probe(input, SUCTION_LINE);
    superheat(input.refrigerant, low, &line, &input.surroundings).ok()
}

fn at_high(input: &Input, high: &HighSide) -> Option<Reading> {
    let line = probe(input, LIQUID_LINE);
    subcooling(input.refrigerant, high, &line, &input.surroundings).ok()
}

/// A probe as good as the one in use, else a typical one.
fn probe(input: &Input, at: f64) -> Measured<Temperature> {
    let limit = TemperatureDiff::of(THERMOMETER, unit::FAHRENHEIT_DIFF);
    let typical = TemperatureDiff::from_si(limit.si() / 3f64.sqrt());
    let used = [
        &input.suction_line,
        &input.liquid_line,
        &input.conditions.outdoor,
    ];
    let own = used
        .into_iter()
        .flatten()
        .next()
        .map(|read| read.standard_uncertainty);
    Measured {
        value: Temperature::of(at, unit::FAHRENHEIT),
        standard_uncertainty: own.unwrap_or(typical),
        origin: Origin::Assumed("typical".into()),
    }
}

fn gauge(input: &Input, at: f64, limit: f64) -> Option<Measured<PressureGauge>> {
    let table = Saturation::of(input.refrigerant);
    let saturated = table
        .dew_pressure(Temperature::of(at, unit::FAHRENHEIT))
        .ok()?;
    let limit = PressureDiff::of(limit, unit::PSI_DIFF);
    Some(Measured {
        value: saturated.to_gauge(input.surroundings.barometer),
        standard_uncertainty: PressureDiff::from_si(limit.si() / 3f64.sqrt()),
        origin: Origin::Assumed("typical".into()),
    })
}

/// What decides whether the reading means anything.
fn conditions(input: &Input, criteria: &Criteria) -> Vec<Worth> {
    let around = &input.conditions;
    let rows = [
        (
            around.outdoor.is_none(),
            "outdoor air",
            "whether the reading means anything, and whether heat is rejected at all",
            criteria.conditions_source,
        ),
        (
            around.return_air.is_none(),
            "return air",
            "whether the reading means anything",
            criteria.return_source,
        ),
        (
            around.running_for.is_none(),
            "minutes running",
            "whether the reading means anything",
            criteria.conditions_source,
        ),
        (
            around.steady.is_none(),
            "the same readings again after some minutes",
            "whether they stand still",
            criteria.conditions_source,
        ),
    ];
    rows.into_iter()
        .filter(|(open, ..)| *open)
        .map(|(_, reading, decides, source)| free(reading, decides, source))
        .collect()
}

/// What tells one fault from another, and a slip from a finding.
fn further(input: &Input) -> Vec<Worth> {
    let around = &input.conditions;
    let gauge_low = matches!(input.low, Some(LowSide::Gauge(_)));
    let gauge_high = matches!(input.high, Some(HighSide::Gauge { .. }));
    let rows = [
        (
            around.supply_air.is_none(),
            "supply air",
            "the air drop over the indoor coil: airflow first, and low airflow against lost refrigerant",
            SourceId::SymptomSigns,
        ),
        (
            around.leaving_air.is_none(),
            "air leaving the outdoor unit",
            "the heat it rejects: a dirty condenser against a weak compressor",
            SourceId::SymptomSigns,
        ),
        (
            input.discharge_line.is_none(),
            "discharge line",
            "a weak compressor or liquid returning against lost refrigerant",
            SourceId::SymptomSigns,
        ),
        (
            gauge_low && input.evaporator_bend.is_none(),
            "a probe on an evaporator bend beside the gauge",
            "whether the refrigerant is the one typed, and whether the pressure is gauge",
            SourceId::SlipLimits,
        ),
        (
            gauge_high && input.condenser_bend.is_none(),
            "a probe on a condenser bend beside the gauge",
            "whether the refrigerant is the one typed, and where the gauge is connected",
            SourceId::SlipLimits,
        ),
        (
            input.current.is_none(),
            "current of the outdoor unit",
            "held against the label: in heating, too much against too little",
            SourceId::UsualRanges,
        ),
        (
            input.machine.accumulator.is_none(),
            "whether the suction line has an accumulator",
            "whether charge can hide from these readings",
            SourceId::CommonPractice,
        ),
    ];
    rows.into_iter()
        .filter(|(open, ..)| *open)
        .map(|(_, reading, decides, source)| free(reading, decides, source))
        .collect()
}
