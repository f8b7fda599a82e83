//! What is said about targets, and about the discharge line in heating.

use super::{
    DISCHARGE_HIGH, DISCHARGE_LOW, DISCHARGE_OPEN, DISCHARGE_RIGHT, READING_MISSING, TARGET_ASKED,
    TARGET_DASH, TARGET_OUTSIDE, TARGET_READING, TARGET_USED, comes_from, range_of, said,
};
use crate::check::Reason;
use crate::check::run::Judged;
use crate::check::run::target::{Axis, Target, TargetError};
use crate::quantity::Interval;
use crate::source::SourceId;
use crate::stats::within::Within;

/// What is left where no target applies.
const ROUTE_LEFT: &str = "what remains: weigh in, the unit's own instructions, or other weather";

/// Which table or rule gave it.
fn rule(source: SourceId) -> &'static str {
    match source {
        SourceId::SuperheatFormula => "the rule of the trade (3 WB - 80 - DB)/2, chosen by name",
        SourceId::UnitInstructions => "the unit's own charging table",
        _ => "the published table",
    }
}

pub(in crate::check::run) fn used(target: &Target) -> Reason {
    let text = format!(
        "target superheat {} by {}",
        target.interval().show_both(),
        rule(target.source)
    );
    said(TARGET_USED, target.source, text)
}

pub(in crate::check::run) fn dash(source: SourceId) -> Reason {
    let text = format!(
        "{} has a dash at these conditions: no test is valid; {ROUTE_LEFT}",
        rule(source)
    );
    said(TARGET_DASH, source, text)
}

pub(in crate::check::run) fn outside(error: &TargetError, source: SourceId) -> Reason {
    let text = format!("{}: {error}; {ROUTE_LEFT}", rule(source));
    said(TARGET_OUTSIDE, source, text)
}

/// The fixed orifice has two ways to its target.
pub(in crate::check::run) fn asked() -> Reason {
    said(
        TARGET_ASKED,
        SourceId::UnitInstructions,
        "the target superheat is not given: it stands in the unit's charging table, which wins over any other",
    )
}

pub(in crate::check::run) fn reading_asked(axis: Axis, source: SourceId) -> Reason {
    let text = format!(
        "{} needs the {}: with it superheat has a target, and so has the temperature split that shows low airflow",
        rule(source),
        axis.words()
    );
    said(TARGET_READING, source, text)
}

pub(in crate::check::run) fn discharge_missing() -> Reason {
    said(
        READING_MISSING,
        SourceId::UnitInstructions,
        "the discharge line was not read: heating, the instructions' figure above outdoor air is what decides",
    )
}

pub(in crate::check::run) fn discharge(judged: &Judged, interval: Interval) -> Reason {
    let low = judged.value < judged.low;
    let tells = "one reading cannot tell which; weighing in decides, by a certified technician";
    let (code, verdict) = match (judged.within, low) {
        (Within::Inside, _) => (DISCHARGE_RIGHT, "inside".to_string()),
        (Within::Undecided, _) => (DISCHARGE_OPEN, "not proven inside or outside".to_string()),
        (Within::Outside, true) => (DISCHARGE_LOW, "below".to_string()),
        (Within::Outside, false) => (DISCHARGE_HIGH, "above".to_string()),
    };
    let rest = match code {
        DISCHARGE_OPEN => comes_from("that range", judged.dominant),
        DISCHARGE_LOW => format!(
            "; too much charge or liquid returning to the compressor would look like this; {tells}"
        ),
        DISCHARGE_HIGH => format!(
            "; lost refrigerant, a restriction or low airflow indoors would look like this; {tells}"
        ),
        _ => String::new(),
    };
    let text = format!(
        "the discharge line lies {} above the outdoor air: {verdict} {}, as the unit's instructions print it{rest}",
        interval.show_both(),
        range_of(judged)
    );
    said(code, judged.source, text)
}
