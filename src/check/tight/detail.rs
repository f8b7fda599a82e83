//! What the tables and figures of the standing pressure test are drawn from.

use super::mass::MassDetail;
use crate::quantity::{
    Barometer, PressureAbs, PressureDiff, PressureRate, Quantity, Temperature, UnitSystem,
};

/// One point of the test against the line of a tight volume.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Hours since the first reading.
    pub hours: f64,
    /// As read.
    pub read: PressureAbs,
    /// What a tight volume would show.
    pub expected: PressureAbs,
    /// Low edge of the band around it, 95 %.
    pub low: PressureAbs,
    /// High edge.
    pub high: PressureAbs,
    /// Read minus fitted, loss and steps included.
    pub residual: PressureDiff,
}

/// A sudden change of pressure that was split off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// Hours since the first reading.
    pub hours: f64,
    /// Its size with temperature taken out; above zero for a rise.
    pub size: PressureDiff,
}

impl Step {
    /// "fell by 3.1 psi", the same wherever it is told.
    pub fn words(&self, units: UnitSystem) -> String {
        let way = if self.size.si() > 0.0 { "rose" } else { "fell" };
        let decimals = match units {
            UnitSystem::Us => 1,
            UnitSystem::Si => 2,
        };
        let size = PressureDiff::from_si(self.size.si().abs()).show(units);
        // a step below the usual digits keeps those that show it
        let decimals = if size.decimals(decimals).number().parse() == Ok(0.0) {
            size.decimals
        } else {
            decimals
        };
        format!("{way} by {}", size.decimals(decimals))
    }
}

/// A reading that stands alone and was left out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outlier {
    /// Hours since the first reading.
    pub hours: f64,
    /// As read.
    pub read: PressureAbs,
}

/// How much longer the test has to stand.
#[derive(Debug, Clone, PartialEq)]
pub enum HoldLonger {
    /// It is decided.
    Decided,
    /// So many hours more should decide.
    Hours(f64),
    /// More hours would not decide, and why.
    Never(String),
}

/// The code rule, as written and corrected for temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CodeRuleResult {
    /// Whether the gauge read no lower after the rule's time; none when the test was shorter.
    pub as_written: Option<bool>,
    /// The same with the change that temperature explains taken out; none when the test was shorter.
    pub corrected: Option<bool>,
    /// The gauge's steps are coarser than the rule allows.
    pub coarse: bool,
    /// The test pressure was below what the rule asks, where that is known.
    pub too_low: bool,
}

impl CodeRuleResult {
    /// Whether the rule is met once temperature is taken out, with the gauge and the pressure that it asks for.
    pub fn is_met(self) -> bool {
        self.corrected == Some(true) && !self.coarse && !self.too_low
    }
}

/// What the interval of the loss would come to after the hours that should decide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Planned {
    /// Hours that are still to come.
    pub more_hours: f64,
    /// The low end.
    pub low: PressureRate,
    /// The high end.
    pub high: PressureRate,
    /// Whether a tight line set is planned for, since the readings allow one; otherwise the loss as it is.
    pub tight: bool,
}

/// The result of the standing pressure test.
#[derive(Debug, Clone, PartialEq)]
pub struct Detail {
    /// Loss: estimate, low and high end of the 95 % model interval; positive is a loss.
    pub loss: [PressureRate; 3],
    /// The limit it was held against.
    pub limit: PressureRate,
    /// The limit's name.
    pub limit_name: &'static str,
    /// Probability that the loss is above the limit.
    pub above_limit: f64,
    /// A loss above zero is all but certain.
    pub leak_seen: bool,
    /// Hours still needed.
    pub hold_longer: HoldLonger,
    /// How narrow the interval would be then.
    pub planned: Option<Planned>,
    /// The code rule beside it.
    pub code_rule: CodeRuleResult,
    /// Last minus first reading.
    pub change: PressureDiff,
    /// Last reading minus what a tight volume would have shown.
    pub against_expected: PressureDiff,
    /// The loss as a share of the gas per day: estimate, low and high end of the 95 % model interval.
    pub per_day: [f64; 3],
    /// The loss in refrigerant, when volume and refrigerant are known.
    pub mass: Option<MassDetail>,
    /// Readings against the line of a tight volume.
    pub points: Vec<Point>,
    /// Sudden changes that were split off.
    pub steps: Vec<Step>,
    /// Readings that stand alone and were left out.
    pub outliers: Vec<Outlier>,
    /// Hours and outdoor temperatures, if read.
    pub outdoor: Vec<(f64, Temperature)>,
    /// Hours and absolute pressures of the witness, if read.
    pub witness: Vec<(f64, PressureAbs)>,
    /// The atmosphere of the gauge readings.
    pub barometer: Barometer,
}
