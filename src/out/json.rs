//! JSON for other programs: `"schema": 1`, a finite number or `null`, SI units unless the key says otherwise.
//!
//! ```
//! use lineproof::out::json;
//! let text = json::document(&json::SaturationAtPressure { bubble: 277.41, dew: 277.52 });
//! assert!(text.starts_with("{\n  \"schema\": 1,"));
//! ```

use serde::{Serialize, Serializer};

use super::sheet::{EventLine, JointLine, Sheet, StageSheet, bring, first};
use crate::check::dry::Cause;
use crate::check::{Caution, Finding, NamedInterval, Outcome, Reason};
use crate::decide::{Decision, Ground, NextStep};
use crate::quantity::Dimension;

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
/// A number that is not finite becomes `null`.
pub fn document<T: Body>(body: &T) -> String {
    let document = Document {
        schema: SCHEMA,
        body,
    };
    let mut text = serde_json::to_string_pretty(&document).expect("a body has text keys only");
    text.push('\n');
    text
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
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LineCharge {
    /// In kg; negative when the line needs less than the nameplate charge covers.
    #[serde(rename = "line_adjustment_kg")]
    pub line_adjustment: f64,
}

/// A standing pressure test; losses are positive.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tight {
    /// How it came out.
    #[serde(serialize_with = "outcome_words")]
    pub outcome: Outcome,
    /// Whether a leak shows, above the limit or not.
    pub leak_seen: bool,
    /// The loss, when there is a verdict about it.
    pub loss_psi_per_h: Option<Estimate>,
    /// The limit it was judged against.
    pub limit_psi_per_h: Option<f64>,
    /// Hours more that should decide; 0 when it is decided, none when no time would.
    pub hold_longer_h: Option<f64>,
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
    at: String,
    noted: Option<String>,
    what: String,
    voids: Option<String>,
}

impl From<&EventLine> for Event {
    fn from(event: &EventLine) -> Self {
        Event {
            at: event.at.clone(),
            noted: event.noted.clone(),
            what: event.what.clone(),
            voids: event.voids.clone(),
        }
    }
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct Joint {
    id: String,
    place: String,
    kind: String,
    factory: bool,
    state: String,
}

impl From<&JointLine> for Joint {
    fn from(joint: &JointLine) -> Self {
        Joint {
            id: joint.id.clone(),
            place: joint.place.clone(),
            kind: joint.kind.clone(),
            factory: joint.factory,
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
    joints: Vec<Joint>,
    events: Vec<Event>,
    warnings: Vec<String>,
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
            joints: sheet.joints.iter().map(Joint::from).collect(),
            events: sheet.events.iter().map(Event::from).collect(),
            warnings: sheet.warnings.clone(),
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
        D::Fraction => "1",
    }
}
