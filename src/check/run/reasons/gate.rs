//! What the gates say beyond a single limit.

use super::{TWO_STAGE, WEIGH_IN, WINTER_PROCEDURE, said};
use crate::check::Reason;
use crate::quantity::{Temperature, both};
use crate::source::SourceId;

pub(in crate::check::run) fn winter_procedure(low: Temperature, high: Temperature) -> Reason {
    let text = format!(
        "between {} and {} outdoors a winter procedure exists for a valve judged by subcooling: it restricts the airflow of the outdoor coil with the maker's own kit, and is certified work; it is not to be improvised; without it a technician weighs in, or wait for a warmer day",
        both(low),
        both(high)
    );
    said(WINTER_PROCEDURE, SourceId::CecRa1Winter, text)
}

pub(in crate::check::run) fn weigh_in() -> Reason {
    said(
        WEIGH_IN,
        SourceId::CecRa32,
        "no reading tells the charge on such a day: a technician weighs in, or wait for a warmer one",
    )
}

pub(in crate::check::run) fn two_stage() -> Reason {
    said(
        TWO_STAGE,
        SourceId::CommonPractice,
        "two stages: hold it at the stage that the label's target is printed for, usually the high one, through the whole reading",
    )
}
