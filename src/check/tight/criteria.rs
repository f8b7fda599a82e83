//! The limits a standing pressure test is held against.

use super::code_rule::CodeRule;
use super::input::Input;
use super::mass;
use crate::quantity::{PressureAbs, PressureRate, Quantity, TemperatureDiff, UnitSystem, unit};
use crate::source::SourceId;

/// The loss that decides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    /// By mass where volume, refrigerant and charge are known, else scaled.
    Usual,
    /// What would cost 5 % of the charge a year while running, by the least favourable of three laws of flow.
    Mass(PressureRate),
    /// 0.05 psi/h at 500 psig, in proportion to the absolute pressure.
    Scaled,
    /// The user's own.
    Stated(PressureRate),
}

impl Limit {
    /// The limit for an input: [`Limit::Usual`] becomes the one that applies; any other stays.
    ///
    /// `pressure`: in the middle of the test. A refrigerant that does not condense at 45 °C has none by mass.
    pub fn of(self, input: &Input, pressure: PressureAbs) -> Limit {
        match self {
            Limit::Usual => mass::limit(input, pressure).map_or(Limit::Scaled, Limit::Mass),
            other => other,
        }
    }

    /// The limit at a test pressure; the usual one as if nothing were known but that ([`Limit::of`]).
    ///
    /// ```
    /// use lineproof::check::tight::Limit;
    /// use lineproof::quantity::{PressureAbs, Quantity, unit};
    /// let at_500_psig = Limit::Scaled.at(PressureAbs::of(514.696, unit::PSIA));
    /// assert!((at_500_psig.in_unit(unit::PSI_PER_HOUR) - 0.05).abs() < 1e-9);
    /// ```
    pub fn at(self, pressure: PressureAbs) -> PressureRate {
        match self {
            Limit::Stated(rate) | Limit::Mass(rate) => rate,
            Limit::Scaled | Limit::Usual => PressureRate::of(
                0.05 * pressure.in_unit(unit::PSIA) / 514.696,
                unit::PSI_PER_HOUR,
            ),
        }
    }

    /// Its name on the screen, in the reader's units.
    pub fn name(self, units: UnitSystem) -> &'static str {
        match self {
            Limit::Stated(_) => "the limit given",
            Limit::Mass(_) => {
                "5 % of the charge a year while running, by the least favourable of three laws of flow"
            }
            Limit::Scaled | Limit::Usual => match units {
                UnitSystem::Us => "0.05 psi/h at 500 psig, scaled with the absolute pressure",
                UnitSystem::Si => "0.34 kPa/h at 34.5 bar gauge, scaled with the absolute pressure",
            },
        }
    }

    /// Where it comes from.
    pub fn source(self) -> SourceId {
        match self {
            Limit::Stated(_) => SourceId::AsGiven,
            Limit::Mass(_) => SourceId::TightMassLimit,
            Limit::Scaled | Limit::Usual => SourceId::TightLimit,
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
    /// The swing that the verdict of a test shorter than a day has to survive.
    pub short_test_swing: TemperatureDiff,
}

impl Default for Criteria {
    fn default() -> Self {
        Criteria {
            limit: Limit::Usual,
            code_rule: CodeRule::iec_60335_2_40(),
            unseen_swing: TemperatureDiff::from_si(1.0),
            short_test_swing: TemperatureDiff::from_si(1.0),
        }
    }
}
