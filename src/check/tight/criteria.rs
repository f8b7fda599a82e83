//! The limits a standing pressure test is held against.

use crate::quantity::{Duration, PressureAbs, PressureRate, Quantity, TemperatureDiff, unit};
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

/// A rule of a code or a maker: so long, and no decrease on the gauge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CodeRule {
    /// Its name.
    pub name: &'static str,
    /// How long the gauge is watched after the source is removed.
    pub hold: Duration,
    /// Where it comes from.
    pub source: SourceId,
}

impl CodeRule {
    /// The field test of IEC 60335-2-40: 60 min, no decrease.
    pub fn iec_60335_2_40() -> Self {
        CodeRule {
            name: "iec-60335-2-40-pressure",
            hold: Duration::of(60.0, unit::MINUTE),
            source: SourceId::Iec60335FieldTest,
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
