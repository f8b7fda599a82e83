//! JSON for other programs: `"schema": 1`, a finite number or `null`, SI units unless the key says otherwise.
//!
//! ```
//! use lineproof::out::json;
//! let text = json::document(&json::SaturationAtPressure { bubble: 277.41, dew: 277.52 });
//! assert!(text.starts_with("{\n  \"schema\": 1,"));
//! ```

use std::collections::BTreeMap;

mod air;
mod amounts;
mod charge;
mod digits;
mod files;
mod leak;
mod log_preview;
mod plan;
mod pump_down;
mod run;
mod steady;
mod volume;
mod weigh_in;
mod why;

pub use air::{AirflowDocument, TargetDocument};
pub use amounts::{Between, IdleDocument, LostDocument, RoomDocument};
pub use charge::ChargeDocument;
pub use files::{PreviewDocument, VerifiedDocument};
pub use leak::{LeakDocument, LeakShowsDocument, RefrigerantLoss};
pub use log_preview::LogPreview;
pub use plan::{HoldCardDocument, PlanDocument, RehearsalDocument, TallyDocument};
pub use pump_down::PumpDownDocument;
pub use run::{Held, Run, SignOf};
pub use steady::Steady;
pub use volume::VolumeDocument;
pub use weigh_in::{ChargeLine, WeighInDocument};
pub use why::{Changing, WhyDocument};

use serde::{Serialize, Serializer};

use self::digits::TenDigits;
use super::properties::{Properties, Saturated};
use super::sheet::{EventLine, JointLine, Sheet, StageSheet, bring, first};
use super::table::{Row, Rows, SaturationTable};
use crate::check::charge::{Adjustment, Shipped};
use crate::check::dry::Cause;
use crate::check::dry::method::Step;
use crate::check::{Caution, Finding, NamedInterval, Outcome, Reason};
use crate::decide::{Decision, Ground, NextStep};
use crate::fluid::Refrigerant;
use crate::fluid::refrigerant::{Limit, State, Stated};
use crate::quantity::{Density, Dimension, Mass, PressureGauge, Quantity, Temperature};

/// The version of these keys; it rises when one changes its meaning or goes.
pub const SCHEMA: u32 = 1;

/// A struct that can stand alone as a JSON document: its keys are text.
pub trait Body: Serialize {}

#[derive(Serialize)]
struct Document<'a, T: Body> {
    schema: u32,
    #[serde(flatten)]
    body: &'a T,
}

/// The document with its schema number, indented, with a line end.
///
/// A number that is not finite becomes `null`; any other has ten digits that count, so that the last bits of another
/// machine's logarithm change nothing.
pub fn document<T: Body>(body: &T) -> String {
    let document = Document {
        schema: SCHEMA,
        body,
    };
    let mut text = Vec::new();
    let mut writer = serde_json::Serializer::with_formatter(&mut text, TenDigits::default());
    document
        .serialize(&mut writer)
        .expect("a body has text keys only");
    text.push(b'\n');
    String::from_utf8(text).expect("JSON is UTF-8")
}

fn outcome_words<S: Serializer>(outcome: &Outcome, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(outcome.words())
}

fn cause_word<S: Serializer>(cause: &Cause, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(cause.word())
}

/// A number with its 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Estimate {
    /// The best estimate.
    pub estimate: f64,
    /// The low end.
    pub low95: f64,
    /// The high end.
    pub high95: f64,
}

/// Saturation temperatures at a pressure, in K.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SaturationAtPressure {
    /// Where liquid begins to boil.
    #[serde(rename = "bubble_K")]
    pub bubble: f64,
    /// Where vapour begins to condense.
    #[serde(rename = "dew_K")]
    pub dew: f64,
}

/// Saturation pressures at a temperature, in Pa absolute.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SaturationAtTemperature {
    /// Where liquid begins to boil.
    #[serde(rename = "bubble_Pa")]
    pub bubble: f64,
    /// Where vapour begins to condense.
    #[serde(rename = "dew_Pa")]
    pub dew: f64,
}

/// Saturation in rows.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SaturationRows {
    /// The refrigerant.
    pub refrigerant: &'static str,
    /// The rows, rising.
    pub rows: Vec<SaturationRow>,
}

/// Saturation at one temperature or pressure.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(untagged)]
pub enum SaturationRow {
    /// Pressures at a temperature.
    AtTemperature {
        /// In K.
        #[serde(rename = "temperature_K")]
        temperature: f64,
        /// The pressures.
        #[serde(flatten)]
        saturation: SaturationAtTemperature,
    },
    /// Temperatures at a pressure.
    AtPressure {
        /// In Pa absolute.
        #[serde(rename = "pressure_Pa")]
        pressure: f64,
        /// The temperatures.
        #[serde(flatten)]
        saturation: SaturationAtPressure,
    },
}

impl From<&SaturationTable> for SaturationRows {
    fn from(table: &SaturationTable) -> Self {
        let zero = table.barometer.pressure().si();
        let rows = match &table.rows {
            Rows::ByTemperature(rows) => {
                let row = |row: &Row<Temperature, PressureGauge>| SaturationRow::AtTemperature {
                    temperature: row.at.si(),
                    saturation: SaturationAtTemperature {
                        bubble: row.bubble.si() + zero,
                        dew: row.dew.si() + zero,
                    },
                };
                rows.iter().map(row).collect()
            }
            Rows::ByPressure(rows) => {
                let row = |row: &Row<PressureGauge, Temperature>| SaturationRow::AtPressure {
                    pressure: row.at.si() + zero,
                    saturation: SaturationAtPressure {
                        bubble: row.bubble.si(),
                        dew: row.dew.si(),
                    },
                };
                rows.iter().map(row).collect()
            }
        };
        SaturationRows {
            refrigerant: table.refrigerant.name(),
            rows,
        }
    }
}

/// What is known about a refrigerant; `null` is what was not found.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RefrigerantFacts {
    /// The refrigerant.
    pub refrigerant: &'static str,
    /// Safety class.
    pub class: &'static str,
    /// How well the class is known.
    pub class_status: String,
    /// Components and their mass percent; empty for one component.
    pub mass_percent: BTreeMap<String, f64>,
    /// Molar mass.
    #[serde(rename = "molar_mass_g_per_mol")]
    pub molar_mass: f64,
    /// Critical temperature.
    #[serde(rename = "critical_temperature_K")]
    pub critical_temperature: f64,
    /// Critical pressure.
    #[serde(rename = "critical_pressure_Pa")]
    pub critical_pressure: f64,
    /// Bubble temperature at 101.325 kPa.
    #[serde(rename = "normal_bubble_K")]
    pub normal_bubble: Option<f64>,
    /// Dew temperature at 101.325 kPa.
    #[serde(rename = "normal_dew_K")]
    pub normal_dew: Option<f64>,
    /// Lower flammable limit; `null` where the vapour does not burn.
    pub lower_flammable_limit: Option<LimitInAir>,
    /// Refrigerant concentration limit.
    pub concentration_limit: Option<LimitInAir>,
    /// Warming over 100 years by the 4th report of the IPCC.
    pub gwp_ar4: Option<f64>,
    /// By the 5th.
    pub gwp_ar5: Option<f64>,
    /// By the 6th.
    pub gwp_ar6: Option<f64>,
    /// How well these are known.
    pub gwp_status: String,
}

/// A mass of refrigerant in a volume of air.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LimitInAir {
    /// The limit, when it was read in a source; `null` when it is to be asked from the unit's label.
    #[serde(rename = "kg_per_m3")]
    pub value: Option<f64>,
    /// A value that is only remembered: not to be calculated with.
    #[serde(rename = "remembered_kg_per_m3")]
    pub remembered: Option<f64>,
    /// How well it is known.
    pub status: Option<String>,
}

impl LimitInAir {
    /// Nothing where the vapour does not burn.
    fn of(limit: Limit) -> Option<Self> {
        let si = |stated: &Stated<Density>| stated.value.si();
        let (value, remembered) = match limit {
            Limit::Read(found) => (Some(si(found)), None),
            Limit::AskTheLabel(remembered) => (None, remembered.map(si)),
            Limit::DoesNotApply => return None,
        };
        Some(LimitInAir {
            value,
            remembered,
            status: limit.stated().map(|stated| stated.status.clone()),
        })
    }
}

impl From<Refrigerant> for RefrigerantFacts {
    fn from(refrigerant: Refrigerant) -> Self {
        let facts = refrigerant.facts();
        let [gwp_ar4, gwp_ar5, gwp_ar6] = facts.gwp;
        RefrigerantFacts {
            refrigerant: refrigerant.name(),
            class: facts.class.word(),
            class_status: facts.class_status.clone(),
            mass_percent: facts.mass_percent.iter().cloned().collect(),
            molar_mass: facts.molar_mass,
            critical_temperature: facts.critical_temperature.si(),
            critical_pressure: facts.critical_pressure.si(),
            normal_bubble: facts.normal_boiling.map(|(bubble, _)| bubble.si()),
            normal_dew: facts.normal_boiling.map(|(_, dew)| dew.si()),
            lower_flammable_limit: LimitInAir::of(facts.lfl()),
            concentration_limit: LimitInAir::of(facts.rcl()),
            gwp_ar4,
            gwp_ar5,
            gwp_ar6,
            gwp_status: facts.gwp_status.clone(),
        }
    }
}

/// A refrigerant at a pressure, a temperature, or both.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RefrigerantState {
    /// The refrigerant.
    pub refrigerant: &'static str,
    /// "superheated vapour", "subcooled liquid", "saturated" or "between bubble and dew".
    pub phase: &'static str,
    /// Above dew or below bubble; `null` at saturation.
    #[serde(rename = "from_saturation_K")]
    pub from_saturation: Option<f64>,
    /// One state when all is vapour or liquid; else boiling liquid, then condensing vapour.
    pub states: Vec<PhaseState>,
}

/// One phase at its pressure and temperature.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PhaseState {
    /// Temperature.
    #[serde(rename = "temperature_K")]
    pub temperature: f64,
    /// Absolute pressure.
    #[serde(rename = "pressure_Pa")]
    pub pressure: f64,
    /// Density.
    #[serde(rename = "density_kg_per_m3")]
    pub density: f64,
    /// Enthalpy; boiling liquid at 0 °C has 200 kJ/kg.
    #[serde(rename = "enthalpy_J_per_kg")]
    pub enthalpy: f64,
    /// Entropy; boiling liquid at 0 °C has 1 kJ/(kg K).
    #[serde(rename = "entropy_J_per_kg_K")]
    pub entropy: f64,
    /// Heat capacity at constant pressure.
    #[serde(rename = "heat_capacity_J_per_kg_K")]
    pub heat_capacity: f64,
    /// Viscosity; known at saturation only.
    #[serde(rename = "viscosity_Pa_s")]
    pub viscosity: Option<f64>,
}

impl RefrigerantState {
    /// The properties of a refrigerant.
    pub fn of(refrigerant: Refrigerant, properties: &Properties) -> Self {
        let (phase, from_saturation, states) = match properties {
            Properties::OnePhase { state, .. } => (
                state.phase.words(),
                Some(state.from_saturation.si()),
                vec![PhaseState::from(state)],
            ),
            Properties::Saturated {
                between,
                bubble,
                dew,
            } => (
                if *between {
                    "between bubble and dew"
                } else {
                    "saturated"
                },
                None,
                vec![PhaseState::from(bubble), PhaseState::from(dew)],
            ),
        };
        RefrigerantState {
            refrigerant: refrigerant.name(),
            phase,
            from_saturation,
            states,
        }
    }
}

impl From<&State> for PhaseState {
    fn from(state: &State) -> Self {
        PhaseState {
            temperature: state.temperature.si(),
            pressure: state.pressure.si(),
            density: state.density.si(),
            enthalpy: state.enthalpy.si(),
            entropy: state.entropy.si(),
            heat_capacity: state.heat_capacity.si(),
            viscosity: None,
        }
    }
}

impl From<&Saturated> for PhaseState {
    fn from(state: &Saturated) -> Self {
        PhaseState {
            temperature: state.temperature.si(),
            pressure: state.pressure.si(),
            density: state.density.si(),
            enthalpy: state.enthalpy.si(),
            entropy: state.entropy.si(),
            heat_capacity: state.heat_capacity.si(),
            viscosity: Some(state.viscosity.si()),
        }
    }
}

/// The vacuum at which water of a temperature boils, in Pa absolute.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WaterAtTemperature {
    /// Below it a spot that cold dries.
    #[serde(rename = "vapour_pressure_Pa")]
    pub vapour_pressure: f64,
    /// "ice" or "liquid".
    pub phase: &'static str,
}

/// The temperature at which water boils in a vacuum, in K.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WaterAtPressure {
    /// A colder wall keeps its water or ice.
    #[serde(rename = "temperature_K")]
    pub temperature: f64,
    /// "ice" or "liquid".
    pub phase: &'static str,
}

/// Superheat, in K.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Superheat {
    /// Suction line minus dew.
    #[serde(rename = "superheat_K")]
    pub superheat: f64,
    /// One standard deviation.
    #[serde(rename = "standard_uncertainty_K")]
    pub standard_uncertainty: f64,
}

/// Subcooling, in K.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Subcooling {
    /// Bubble minus liquid line.
    #[serde(rename = "subcooling_K")]
    pub subcooling: f64,
    /// One standard deviation.
    #[serde(rename = "standard_uncertainty_K")]
    pub standard_uncertainty: f64,
}

/// The line-length adjustment of the charge; signed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LineCharge {
    /// In kg; negative when the line needs less than the nameplate charge covers.
    #[serde(rename = "line_adjustment_kg")]
    pub line_adjustment: f64,
    /// The arithmetic; adds up to the adjustment.
    pub lines: Vec<ChargeLine>,
    /// In kg: what came in pre-charged lines, by their own labels.
    #[serde(rename = "came_in_lines_kg")]
    pub came_in_lines: f64,
    /// In kg: nameplate charge and adjustment, when the nameplate charge is known.
    #[serde(rename = "belongs_in_kg")]
    pub belongs_in: Option<f64>,
    /// In kg: what belongs in and did not come in; signed.
    #[serde(rename = "to_weigh_in_kg")]
    pub to_weigh_in: f64,
}

impl LineCharge {
    /// From the adjustment, what came in the lines, the nameplate charge, and whether it came in the unit.
    pub fn new(
        adjustment: &Adjustment,
        came_in_lines: &Adjustment,
        nameplate: Option<Mass>,
        shipped: Shipped,
    ) -> Self {
        let line_adjustment = adjustment.total.si();
        let weighed_too = match (shipped, nameplate) {
            (Shipped::Empty, Some(nameplate)) => nameplate.si(),
            _ => 0.0,
        };
        LineCharge {
            line_adjustment,
            lines: weigh_in::lines(adjustment),
            came_in_lines: came_in_lines.total.si(),
            belongs_in: nameplate.map(|n| n.si() + line_adjustment),
            to_weigh_in: line_adjustment - came_in_lines.total.si() + weighed_too,
        }
    }
}

/// A standing pressure test; losses are positive.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tight {
    /// How it came out.
    #[serde(serialize_with = "outcome_words")]
    pub outcome: Outcome,
    /// Code of what ends the work at once, whatever the outcome.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stop: Option<&'static str>,
    /// Whether a leak shows, above the limit or not.
    pub leak_seen: bool,
    /// The loss, when there is a verdict about it.
    pub loss_psi_per_h: Option<Estimate>,
    /// The loss in refrigerant, when volume and refrigerant are known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub refrigerant: Option<RefrigerantLoss>,
    /// The limit it was judged against.
    pub limit_psi_per_h: Option<f64>,
    /// Hours more that should decide; 0 when it is decided, none when no time would.
    pub hold_longer_h: Option<f64>,
    /// The loss as a part of the gas, percent a day.
    pub loss_percent_per_day: Option<Estimate>,
}

/// A vacuum rise.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Dry {
    /// How it came out.
    #[serde(serialize_with = "outcome_words")]
    pub outcome: Outcome,
    /// What makes the pressure rise.
    #[serde(serialize_with = "cause_word")]
    pub cause: Cause,
    /// The steady part of the rise.
    pub leak_micron_per_min: Option<Estimate>,
    /// Probability that the leak is above its limit.
    pub p_leak_above_limit: Option<f64>,
    /// Probability that moisture is left.
    pub p_moisture: Option<f64>,
    /// Where the rise levels off.
    pub levels_off_micron: Option<f64>,
    /// Minutes more that should decide; 0 when it is decided, none when no time would.
    pub hold_longer_min: Option<f64>,
    /// When a steady rise began that was not there from the beginning.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub starts_late_min: Option<Estimate>,
    /// Sudden changes of the pressure.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub steps: Vec<RiseStep>,
    /// The longest stretch without one: the steady rise and the level are of it alone.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fitted_min: Option<[f64; 2]>,
}

/// A sudden change of an isolated vacuum.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct RiseStep {
    /// The first reading that it moved, minutes after the pump was shut off.
    pub at_min: f64,
    /// The last reading before it.
    pub from_micron: f64,
    /// The first reading at the new level.
    pub to_micron: f64,
}

impl From<&Step> for RiseStep {
    fn from(step: &Step) -> Self {
        RiseStep {
            at_min: step.minutes,
            from_micron: step.from_micron,
            to_micron: step.to_micron,
        }
    }
}

/// Something said, with its code and source.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Said {
    code: &'static str,
    text: String,
    source: &'static str,
}

impl From<&Reason> for Said {
    fn from(reason: &Reason) -> Self {
        Said {
            code: reason.code,
            text: reason.text.clone(),
            source: reason.source.key(),
        }
    }
}

impl From<&Ground> for Said {
    fn from(ground: &Ground) -> Self {
        Said {
            code: ground.code,
            text: ground.text.clone(),
            source: ground.source.key(),
        }
    }
}

/// A stage with its outcome.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct StageOutcome {
    stage: &'static str,
    outcome: &'static str,
}

/// A next step.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Next {
    text: String,
    command: Option<String>,
}

impl From<&NextStep> for Next {
    fn from(step: &NextStep) -> Self {
        Next {
            text: step.text.clone(),
            command: step.command.clone(),
        }
    }
}

/// The answer of `decide`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Decide {
    decision: &'static str,
    meanwhile: &'static str,
    how_soon: &'static str,
    headline: String,
    reasons: Vec<Said>,
    stages: Vec<StageOutcome>,
    next: Vec<Next>,
    would_change: Vec<Changing>,
    bring: Vec<&'static str>,
    first: Vec<&'static str>,
    stop_signs: Vec<&'static str>,
}

impl From<&Decision> for Decide {
    fn from(decision: &Decision) -> Self {
        Decide {
            decision: decision.verdict.words(),
            meanwhile: decision.meanwhile.words(),
            how_soon: decision.how_soon.words(),
            headline: decision.headline.clone(),
            reasons: decision.grounds.iter().map(Said::from).collect(),
            stages: decision
                .stages
                .iter()
                .map(|(stage, outcome)| StageOutcome {
                    stage: stage.word(),
                    outcome: outcome.words(),
                })
                .collect(),
            next: decision.next.iter().map(Next::from).collect(),
            would_change: decision.would_change.iter().map(Changing::from).collect(),
            bring: bring(decision),
            first: first(decision),
            stop_signs: decision.stop_signs.clone(),
        }
    }
}

/// A result with its interval, in the unit named.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Figure {
    name: &'static str,
    unit: &'static str,
    #[serde(flatten)]
    numbers: Estimate,
    source: &'static str,
}

impl From<&NamedInterval> for Figure {
    fn from(figure: &NamedInterval) -> Self {
        let interval = figure.interval;
        Figure {
            name: figure.name,
            unit: si_unit(interval.dimension),
            numbers: Estimate {
                estimate: interval.estimate,
                low95: interval.low,
                high95: interval.high,
            },
            source: figure.source.key(),
        }
    }
}

/// A finding, for one-off commands without keys of their own.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Found {
    stage: &'static str,
    outcome: &'static str,
    covers: Vec<&'static str>,
    reasons: Vec<Said>,
    figures: Vec<Figure>,
    unseen: Vec<String>,
}

impl From<&Finding> for Found {
    fn from(finding: &Finding) -> Self {
        Found {
            stage: finding.stage.word(),
            outcome: finding.outcome.words(),
            covers: finding.covers.iter().map(|s| s.word()).collect(),
            reasons: finding.reasons.iter().map(Said::from).collect(),
            figures: finding.figures.iter().map(Figure::from).collect(),
            unseen: finding.unseen.clone(),
        }
    }
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct Minded {
    text: &'static str,
    source: &'static str,
}

impl From<&Caution> for Minded {
    fn from(caution: &Caution) -> Self {
        Minded {
            text: caution.text,
            source: caution.source.key(),
        }
    }
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct StageDocument {
    question: &'static str,
    #[serde(flatten)]
    found: Found,
    evidence: Vec<String>,
    cautions: Vec<Minded>,
    replaced_by: Option<String>,
    next: Option<String>,
}

impl From<&StageSheet> for StageDocument {
    fn from(stage: &StageSheet) -> Self {
        StageDocument {
            question: stage.stage().question(),
            found: Found::from(&stage.finding),
            evidence: stage.evidence.clone(),
            cautions: stage.cautions.iter().map(Minded::from).collect(),
            replaced_by: stage.replaced_by.clone(),
            next: stage.next.clone(),
        }
    }
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct Event {
    number: u64,
    at: String,
    noted: Option<String>,
    what: String,
    voids: Option<String>,
    photos: Vec<String>,
}

impl From<&EventLine> for Event {
    fn from(event: &EventLine) -> Self {
        Event {
            number: event.number,
            at: event.at.clone(),
            noted: event.noted.clone(),
            what: event.what.clone(),
            voids: event.voids.clone(),
            photos: event.photos.clone(),
        }
    }
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct Joint {
    id: String,
    place: String,
    kind: String,
    factory: bool,
    proof: &'static str,
    state: String,
}

impl From<&JointLine> for Joint {
    fn from(joint: &JointLine) -> Self {
        Joint {
            id: joint.id.clone(),
            place: joint.place.clone(),
            kind: joint.kind.clone(),
            factory: joint.factory,
            proof: joint.proof.words(),
            state: joint.state.clone(),
        }
    }
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct Cited {
    key: &'static str,
    text: &'static str,
    status: &'static str,
}

/// A whole sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SheetDocument {
    version: &'static str,
    record: String,
    invented: bool,
    place: String,
    equipment: String,
    refrigerant: String,
    route: String,
    made_at: String,
    decide: Decide,
    stages: Vec<StageDocument>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pump_down: Option<pump_down::LogDocument>,
    joints: Vec<Joint>,
    events: Vec<Event>,
    warnings: Vec<String>,
    left_out: Vec<&'static str>,
    sources: Vec<Cited>,
}

impl From<&Sheet> for SheetDocument {
    fn from(sheet: &Sheet) -> Self {
        SheetDocument {
            version: env!("CARGO_PKG_VERSION"),
            record: sheet.record.clone(),
            invented: sheet.invented,
            place: sheet.place.clone(),
            equipment: sheet.equipment.clone(),
            refrigerant: sheet.refrigerant.clone(),
            route: sheet.route.clone(),
            made_at: sheet.made_at.clone(),
            decide: Decide::from(&sheet.decision),
            stages: sheet.stages.iter().map(StageDocument::from).collect(),
            pump_down: sheet
                .pump_down
                .as_ref()
                .map(|p| pump_down::LogDocument::of(&p.log, p.volume)),
            joints: sheet.joints.iter().map(Joint::from).collect(),
            events: sheet.events.iter().map(Event::from).collect(),
            warnings: sheet.warnings.clone(),
            left_out: sheet.left_out.iter().map(|k| k.word()).collect(),
            sources: sheet
                .sources()
                .numbered()
                .map(|(_, source)| Cited {
                    key: source.key(),
                    text: source.text(),
                    status: source.status().words(),
                })
                .collect(),
        }
    }
}

impl Body for SaturationAtPressure {}
impl Body for SaturationAtTemperature {}
impl Body for SaturationRows {}
impl Body for RefrigerantFacts {}
impl Body for RefrigerantState {}
impl Body for WaterAtTemperature {}
impl Body for WaterAtPressure {}
impl Body for Superheat {}
impl Body for Subcooling {}
impl Body for LineCharge {}
impl Body for Tight {}
impl Body for Dry {}
impl Body for Decide {}
impl Body for Found {}
impl Body for SheetDocument {}

/// The SI unit in which a dimension is held.
fn si_unit(dimension: Dimension) -> &'static str {
    use Dimension as D;
    match dimension {
        D::PressureAbs => "Pa absolute",
        D::PressureGauge => "Pa gauge",
        D::PressureDiff => "Pa",
        D::Temperature | D::TemperatureDiff => "K",
        D::Mass => "kg",
        D::Length => "m",
        D::Area => "m2",
        D::Volume => "m3",
        D::Duration => "s",
        D::MassPerLength => "kg/m",
        D::Density => "kg/m3",
        D::SpecificEnthalpy => "J/kg",
        D::SpecificEntropy | D::HeatCapacity => "J/(kg K)",
        D::Viscosity => "Pa s",
        D::Torque => "N m",
        D::PressureRate | D::RiseRate => "Pa/s",
        D::LeakRate => "Pa m3/s",
        D::MassRate => "kg/s",
        D::Voltage => "V",
        D::Current => "A",
        D::Power => "W",
        D::VolumeFlow => "m3/s",
        D::Fraction => "1",
    }
}
