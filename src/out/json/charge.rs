//! The charge of a record; masses in kg, shares of what belongs in.

use serde::Serialize;

use super::{Body, Estimate, outcome_words};
use crate::check::Outcome;
use crate::out::charge::ChargeSheet;
use crate::quantity::Quantity;

/// The charge of a record.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ChargeDocument {
    /// How the stage came out.
    #[serde(serialize_with = "outcome_words")]
    outcome: Outcome,
    answer: String,
    decision: &'static str,
    may_run: String,
    line_adjustment_kg: f64,
    belongs_in_kg: f64,
    /// What incidents could have cost; none without one.
    lost_kg: Option<Range>,
    /// The mass inside as a share of what belongs in; none without an incident.
    charge_fraction: Option<Estimate>,
    /// What is missing; negative is too much.
    missing_kg: Option<Estimate>,
    air_assumed: Option<bool>,
    /// Capacity and COP at the estimate, as shares; none outside 70 to 130 % of the charge.
    capacity: Option<f64>,
    cop: Option<f64>,
    narrows: Vec<&'static str>,
    assumed: Vec<&'static str>,
    readings: Vec<String>,
    brings: Vec<String>,
    /// What the evidence could not have seen.
    unseen: Vec<String>,
}

/// The least and the most.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
struct Range {
    low: f64,
    high: f64,
}

impl From<&ChargeSheet> for ChargeDocument {
    fn from(sheet: &ChargeSheet) -> Self {
        let inside = sheet.inside.as_ref();
        let cost = inside.and_then(|i| i.cost.estimate.ok());
        ChargeDocument {
            outcome: sheet.outcome,
            answer: crate::out::sentence(&sheet.answer),
            decision: sheet.verdict.words(),
            may_run: sheet.may_run.clone(),
            line_adjustment_kg: sheet.adjustment.si(),
            belongs_in_kg: sheet.belongs_in.si(),
            lost_kg: inside.filter(|i| !i.evidence.lost.is_empty()).map(|i| {
                let lost = i.lost_in_all();
                Range {
                    low: lost.low.si(),
                    high: lost.high.si(),
                }
            }),
            charge_fraction: inside.map(|i| Estimate {
                estimate: i.joined.estimate.si(),
                low95: i.joined.low95.si(),
                high95: i.joined.high95.si(),
            }),
            missing_kg: inside.map(|i| {
                let missing = i.joined.missing();
                Estimate {
                    estimate: missing.estimate,
                    low95: missing.low,
                    high95: missing.high,
                }
            }),
            air_assumed: inside.map(|i| i.air),
            capacity: cost.map(|c| c.capacity.si()),
            cop: cost.map(|c| c.cop.si()),
            narrows: sheet.narrows.clone(),
            assumed: sheet.assumed.clone(),
            readings: sheet.readings.clone(),
            brings: sheet.brings.clone(),
            unseen: sheet.unseen.clone(),
        }
    }
}

impl Body for ChargeDocument {}
