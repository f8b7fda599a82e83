//! What the level says about water.

use super::super::criteria::micron;
use super::super::reasons;
use crate::check::Reason;
use crate::fluid::water;
use crate::quantity::{PressureAbs, Quantity, Temperature};
use crate::source::SourceId;

/// What a level means beside the vapour pressure of water or ice at the coldest part.
///
/// Within 20 % it is that; below it there is not enough water to stand as liquid or ice, or it is no water; above it the
/// part called coldest cannot hold it back, so nothing is said.
pub(super) fn meaning(
    level: PressureAbs,
    coldest: Option<Temperature>,
    wet: bool,
) -> Option<Reason> {
    let Some(coldest) = coldest else {
        let text = "how cold was the coldest part? at the vapour pressure of water there (--coldest) it is liquid water or ice, below it a film of water, oil or rubber";
        return wet.then(|| Reason::new(reasons::ASK_COLDEST, SourceId::IapwsIf97, text));
    };
    let (vapour, phase) = water::vapour_pressure(coldest).ok()?;
    let (what, source) = match phase {
        water::Phase::Ice => ("ice", SourceId::IapwsR14),
        water::Phase::Liquid => ("liquid water", SourceId::IapwsIf97),
    };
    let at = micron(vapour);
    match level.si() / vapour.si() {
        share if share < 0.8 => {
            let text = format!(
                "that is below the vapour pressure of {what} at the coldest part ({at:.0} micron): a film of water, oil or rubber gives off vapour, no {what} stands in the lines"
            );
            Some(Reason::new(reasons::BELOW_WATER, source, text))
        }
        share if share <= 1.2 => {
            let text = format!(
                "that is the vapour pressure of {what} at the coldest part ({at:.0} micron): {what} is in the lines"
            );
            Some(Reason::new(reasons::LIQUID_WATER, source, text))
        }
        _ => None,
    }
}
