//! The limits a standing pressure test is held against.

use super::code_rule::CodeRule;
use crate::quantity::{PressureAbs, PressureRate, Quantity, TemperatureDiff, unit};
use crate::source::SourceId;

/// The loss that decides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    /// 0.05 psi/h at 500 psig, in proportion to the absolute pressure.
    Scaled,
    /// The user's own.
    Stated(PressureRate),
}

impl Limit {
    /// The limit at a test pressure.
    ///
    /// ```
    /// use lineproof::check::tight::Limit;
    /// use lineproof::quantity::{PressureAbs, Quantity, unit};
    /// let at_500_psig = Limit::Scaled.at(PressureAbs::of(514.696, unit::PSIA));
    /// assert!((at_500_psig.in_unit(unit::PSI_PER_HOUR) - 0.05).abs() < 1e-9);
    /// ```
    pub fn at(self, pressure: PressureAbs) -> PressureRate {
        match self {
            Limit::Stated(rate) => rate,
            Limit::Scaled => PressureRate::of(
                0.05 * pressure.in_unit(unit::PSIA) / 514.696,
                unit::PSI_PER_HOUR,
            ),
        }
    }

    /// Its name on the screen.
    pub fn name(self) -> &'static str {
        match self {
            Limit::Stated(_) => "the limit given",
            Limit::Scaled => "0.05 psi/h at 500 psig, scaled with the absolute pressure",
        }
    }

    /// Where it comes from.
    pub fn source(self) -> SourceId {
        match self {
            Limit::Stated(_) => SourceId::UnitInstructions,
            Limit::Scaled => SourceId::TightLimit,
        }
    }
}

/// The limits of the standing pressure test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Criteria {
    /// The loss that decides.
    pub limit: Limit,
    /// The code rule judged beside it.
    pub code_rule: CodeRule,
    /// How far gas that no thermometer sees may swing with the day, one standard deviation over the whole volume.
    pub unseen_swing: TemperatureDiff,
    /// The swing a *fail* of a test shorter than a day has to survive.
    pub short_test_swing: TemperatureDiff,
}

impl Default for Criteria {
    fn default() -> Self {
        Criteria {
            limit: Limit::Scaled,
            code_rule: CodeRule::iec_60335_2_40(),
            unseen_swing: TemperatureDiff::from_si(1.0),
            short_test_swing: TemperatureDiff::from_si(1.0),
        }
    }
}
