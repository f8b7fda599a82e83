//! Readings that point away from charge: each is named, and asked about.

use super::reading::{Reading, RunError, condensing};
use super::reasons;
use super::{Criteria, Input};
use crate::check::Reason;
use crate::physics::cycle::Mode;
use crate::quantity::Quantity;
use crate::stats::within::{Within, judge_within};

/// What stands out, by what it does to the outcome.
#[derive(Debug, Default)]
pub(super) struct StandsOut {
    /// Switch it off: *fail*, whatever else.
    pub stop: Vec<Reason>,
    /// The readings contradict each other: *not valid now*.
    pub contradicts: Vec<Reason>,
    /// Worth saying beside the outcome.
    pub aside: Vec<Reason>,
}

pub(super) fn look(
    input: &Input,
    criteria: &Criteria,
    superheat: Option<&Reading>,
    subcooling: Option<&Reading>,
) -> Result<StandsOut, RunError> {
    let mut out = StandsOut::default();
    let cooling_or_open = input.machine.mode != Some(Mode::Heating);
    if let Some(reading) = superheat {
        if cooling_or_open && surely_negative(reading) {
            out.stop.push(reasons::liquid_returning(reading));
        } else if zero_within_error(reading) {
            out.aside.push(reasons::superheat_zero(reading));
        }
    }
    if let Some(reading) = subcooling {
        if surely_negative(reading) {
            out.aside.push(reasons::subcooling_negative(reading));
        } else if zero_within_error(reading) {
            out.aside.push(reasons::subcooling_zero(reading));
        }
    }
    let Some(high) = &input.high else {
        return Ok(out);
    };
    let condensing = condensing(input.refrigerant, high, &input.surroundings)?;
    if let Some(reading) = superheat
        && cooling_or_open
        && reading.saturation >= condensing
    {
        let reason = reasons::pressures_swapped(reading.saturation, condensing);
        out.contradicts.push(reason);
        return Ok(out);
    }
    if let Some(outdoor) = &input.conditions.outdoor
        && input.machine.mode == Some(Mode::Cooling)
        && input
            .conditions
            .running_for
            .is_some_and(|time| time >= criteria.run_least)
    {
        let above = condensing - outdoor.value;
        if above < criteria.heat_rejected_above {
            let reason = reasons::no_heat_rejected(condensing, above, criteria);
            out.stop.push(reason);
        }
    }
    Ok(out)
}

fn surely_negative(reading: &Reading) -> bool {
    let (value, u) = (reading.value.si(), reading.standard_uncertainty.si());
    judge_within(value, u, f64::NEG_INFINITY, 0.0) == Within::Inside
}

/// Inside two standard uncertainties.
fn zero_within_error(reading: &Reading) -> bool {
    reading.value.si().abs() <= 2.0 * reading.standard_uncertainty.si()
}
