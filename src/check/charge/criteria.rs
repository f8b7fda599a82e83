//! The limits of *charge*.

use crate::quantity::{Fraction, Quantity, Temperature, unit};
use crate::source::SourceId;

/// A limit with its source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Criteria {
    /// A remainder within this share of the nameplate charge is left as it is.
    pub small_remainder: Fraction,
    /// Where that share comes from.
    pub small_remainder_source: SourceId,
    /// A factor further than this from bore area and density is questioned.
    pub factor_spread: Fraction,
    /// Where that share comes from.
    pub factor_spread_source: SourceId,
    /// Temperature of the liquid in the line, for the physics beside the factor.
    pub liquid_line: Temperature,
    /// Saturation (dew) temperature of the vapour in the line, for the physics beside the factor.
    pub vapour_line: Temperature,
    /// Where the two temperatures come from.
    pub line_density_source: SourceId,
    /// Temperature of the liquid in a charging hose.
    pub hose_liquid: Temperature,
    /// How far the content of a hose left full may be off, as a share of it; a limit.
    pub hose_limit: Fraction,
    /// Where temperature and limit come from.
    pub hose_source: SourceId,
}

impl Default for Criteria {
    fn default() -> Self {
        Criteria {
            small_remainder: Fraction::of(3.0, unit::PERCENT),
            small_remainder_source: SourceId::SmallRemainder,
            factor_spread: Fraction::of(30.0, unit::PERCENT),
            factor_spread_source: SourceId::FactorAgainstPhysics,
            liquid_line: Temperature::of(35.0, unit::CELSIUS),
            vapour_line: Temperature::of(7.0, unit::CELSIUS),
            line_density_source: SourceId::LineDensity,
            hose_liquid: Temperature::of(20.0, unit::CELSIUS),
            hose_limit: Fraction::of(25.0, unit::PERCENT),
            hose_source: SourceId::HoseContent,
        }
    }
}
