//! What belongs in, and where the scale stops; masses in kg.

use serde::Serialize;

use super::Body;
use crate::check::charge::{Adjustment, Line, Start};
use crate::out::weigh_in::WeighInSheet;
use crate::quantity::{Mass, Quantity};

/// A line of the arithmetic.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ChargeLine {
    /// What it is for.
    pub label: String,
    /// Its mass; signed.
    #[serde(rename = "mass_kg")]
    pub mass: f64,
}

impl From<&Line> for ChargeLine {
    fn from(line: &Line) -> Self {
        ChargeLine {
            label: line.label.clone(),
            mass: line.mass.si(),
        }
    }
}

/// The lines of an adjustment.
pub(super) fn lines(adjustment: &Adjustment) -> Vec<ChargeLine> {
    adjustment.lines.iter().map(ChargeLine::from).collect()
}

/// The weigh-in sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WeighInDocument {
    headline: String,
    refrigerant: &'static str,
    nameplate_kg: f64,
    line_adjustment_kg: f64,
    lines: Vec<ChargeLine>,
    belongs_in_kg: f64,
    /// "as-it-came", "came-empty" or "after-recovery".
    begins_with: &'static str,
    came_in_lines_kg: f64,
    in_before_kg: f64,
    to_weigh_in_kg: f64,
    left_as_it_is_kg: f64,
    hose_kg: Option<f64>,
    hose_limit_kg: Option<f64>,
    leaves_cylinder_kg: Option<f64>,
    stop_at_kg: Option<f64>,
    cautions: Vec<String>,
}

impl From<&WeighInSheet> for WeighInDocument {
    fn from(sheet: &WeighInSheet) -> Self {
        let plan = &sheet.plan;
        WeighInDocument {
            headline: crate::out::sentence(&sheet.headline),
            refrigerant: sheet.refrigerant.name(),
            nameplate_kg: plan.nameplate.si(),
            line_adjustment_kg: plan.adjustment.total.si(),
            lines: lines(&plan.adjustment),
            belongs_in_kg: plan.belongs_in.si(),
            begins_with: match plan.start {
                Start::AsItCame => "as-it-came",
                Start::CameEmpty => "came-empty",
                Start::AfterRecovery => "after-recovery",
            },
            came_in_lines_kg: plan.came_in_lines.total.si(),
            in_before_kg: plan.in_before.si(),
            to_weigh_in_kg: plan.still.si(),
            left_as_it_is_kg: plan.left_as_it_is.si(),
            hose_kg: plan.hose.map(|h| h.mass.si()),
            hose_limit_kg: plan.hose.map(|h| h.limit.si()),
            leaves_cylinder_kg: plan.leaves_cylinder.map(Mass::si),
            stop_at_kg: plan.stop_at.map(Mass::si),
            cautions: sheet
                .cautions
                .iter()
                .map(|(text, _)| text.clone())
                .collect(),
        }
    }
}

impl Body for WeighInDocument {}
