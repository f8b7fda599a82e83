//! Heating poorly: what pressure and current say about it.

use super::feature::condensing_with_range;
use crate::check::Reason;
use crate::check::run::{Input, reasons};
use crate::physics::cycle::Mode;
use crate::quantity::{Quantity, TemperatureDiff, unit};
use crate::stats::within::{Within, judge_within};

/// Condensing over the return air in heating, common practice ([`crate::source::SourceId::UsualRanges`]), degF.
const HIGHEST_OVER_RETURN: f64 = 50.0;

/// In heating, pressure and current both surely high: too much rather than too little.
pub(in crate::check::run) fn too_much_in_heating(input: &Input) -> Option<Reason> {
    if input.machine.mode != Some(Mode::Heating) {
        return None;
    }
    let condensing = condensing_with_range(input)?;
    let indoor = input.conditions.return_air.as_ref()?;
    let (current, rated) = (input.current.as_ref()?, input.rated.current?);
    let over = condensing.value - indoor.value;
    let u = condensing
        .standard_uncertainty
        .si()
        .hypot(indoor.standard_uncertainty.si());
    let highest = TemperatureDiff::of(HIGHEST_OVER_RETURN, unit::FAHRENHEIT_DIFF);
    let above = |value, u, limit| judge_within(value, u, limit, f64::INFINITY) == Within::Inside;
    let high = above(over.si(), u, highest.si())
        && above(
            current.value.si(),
            current.standard_uncertainty.si(),
            rated.si(),
        );
    high.then(|| reasons::hint::heating_too_much(over, current.value, rated))
}
