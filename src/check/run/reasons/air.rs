//! What is said about the indoor air.

use super::{
    AIR_CAPACITY, AIR_IMPOSSIBLE, AIRFLOW_ENOUGH, AIRFLOW_LOW, AIRFLOW_OPEN, CAPACITY_ASKED,
    SPLIT_HIGH, SPLIT_LOW, SPLIT_NOT_JUDGED, SPLIT_OPEN, SPLIT_OUTSIDE, SPLIT_RIGHT, comes_from,
    said,
};
use crate::check::Reason;
use crate::check::run::air::{Against, Airflow, Split};
use crate::check::run::target::{TargetError, split_table};
use crate::check::run::{Criteria, Input};
use crate::physics::airside::{AirResult, AirsideError};
use crate::physics::cycle::Mode;
use crate::quantity::{Interval, Power, Quantity, both};
use crate::source::SourceId;

pub(in crate::check::run) fn impossible(error: &AirsideError) -> Reason {
    said(AIR_IMPOSSIBLE, SourceId::AshraeMoistAir, error.to_string())
}

/// "temperature split 19.2 °F ..., target 19.6 °F ...".
fn split_and_target(split: &Split, against: &Against) -> String {
    let value = Interval::normal(split.value, split.standard_uncertainty);
    format!(
        "temperature split {}, target {}",
        value.show_both(),
        against.target.interval().show_both()
    )
}

fn range(criteria: &Criteria) -> String {
    format!(
        "{} to {}",
        both(criteria.split.low),
        both(criteria.split.high)
    )
}

pub(in crate::check::run) fn split_right(
    split: &Split,
    against: &Against,
    criteria: &Criteria,
) -> Reason {
    let text = format!(
        "{}: the difference is inside {}, so airflow is not low",
        split_and_target(split, against),
        range(criteria)
    );
    said(SPLIT_RIGHT, criteria.split.source, text)
}

pub(in crate::check::run) fn split_open(
    split: &Split,
    against: &Against,
    criteria: &Criteria,
) -> Reason {
    let text = format!(
        "{}: the difference is not proven inside or outside {}{}",
        split_and_target(split, against),
        range(criteria),
        comes_from("the doubt", against.dominant)
    );
    said(SPLIT_OPEN, criteria.split.source, text)
}

pub(in crate::check::run) fn split_high(
    split: &Split,
    against: &Against,
    criteria: &Criteria,
) -> Reason {
    let text = format!(
        "{}: the difference is above the range of {}; low airflow would look like this, and superheat and subcooling mean nothing until it is right: airflow first, then read again",
        split_and_target(split, against),
        range(criteria)
    );
    said(SPLIT_HIGH, criteria.split.source, text)
}

pub(in crate::check::run) fn split_low(
    split: &Split,
    against: &Against,
    criteria: &Criteria,
) -> Reason {
    let text = format!(
        "{}: the difference is below the range of {}; little capacity, or much airflow, would look like this; measure again: found again, the airflow passes with this warning",
        split_and_target(split, against),
        range(criteria)
    );
    said(SPLIT_LOW, criteria.split.source, text)
}

pub(in crate::check::run) fn split_not_judged(split: &Split) -> Reason {
    let value = Interval::normal(split.value, split.standard_uncertainty);
    let text = format!(
        "temperature split {}: not judged without the wet bulb of the return air; with it the split shows low airflow, and a fixed orifice has its target superheat",
        value.show_both()
    );
    said(SPLIT_NOT_JUDGED, SourceId::TargetSplitTable, text)
}

pub(in crate::check::run) fn split_outside(error: &TargetError) -> Reason {
    let text = format!("the temperature split has no target now: {error}");
    said(SPLIT_OUTSIDE, SourceId::TargetSplitTable, text)
}

pub(in crate::check::run) fn split_no_test() -> Reason {
    let text = format!(
        "the temperature split has no target now: the published table has a dash at these conditions; it covers {}, but the driest and the warmest air",
        split_table()
    );
    said(SPLIT_OUTSIDE, SourceId::TargetSplitTable, text)
}

fn flow_and_least(flow: &Airflow, criteria: &Criteria) -> String {
    let value = Interval::normal(flow.value, flow.standard_uncertainty);
    let least = flow.least.map(both).unwrap_or_default();
    format!(
        "airflow {}; the least is {least}, {} for each ton of the rated capacity",
        value.show_both(),
        both(criteria.least_airflow_per_ton)
    )
}

pub(in crate::check::run) fn airflow_enough(flow: &Airflow, criteria: &Criteria) -> Reason {
    let text = format!("{}: enough", flow_and_least(flow, criteria));
    said(AIRFLOW_ENOUGH, criteria.charge_source, text)
}

pub(in crate::check::run) fn airflow_open(flow: &Airflow, criteria: &Criteria) -> Reason {
    let text = format!(
        "{}: not proven above or below it; the temperature split can stand for it",
        flow_and_least(flow, criteria)
    );
    said(AIRFLOW_OPEN, criteria.charge_source, text)
}

pub(in crate::check::run) fn airflow_low(flow: &Airflow, criteria: &Criteria) -> Reason {
    let text = format!(
        "{}: below it, and superheat and subcooling mean nothing until it is right: airflow first, then read again",
        flow_and_least(flow, criteria)
    );
    said(AIRFLOW_LOW, criteria.charge_source, text)
}

pub(in crate::check::run) fn capacity_asked(criteria: &Criteria) -> Reason {
    let text = format!(
        "airflow is measured, but the rated capacity on the label is not known: with it {} for each ton would be asked",
        both(criteria.least_airflow_per_ton)
    );
    said(CAPACITY_ASKED, criteria.charge_source, text)
}

pub(in crate::check::run) fn capacity(found: &AirResult<Power>, input: &Input) -> Reason {
    let value = Interval::normal(found.value, found.standard_uncertainty).show_both();
    let heats = input.machine.mode == Some(Mode::Heating);
    let what = match input.rated.capacity {
        _ if heats => format!("the coil gives the air {value}"),
        None => format!("the air gives the coil {value}"),
        Some(rated) => format!(
            "the air gives the coil {value}, {:.0} % of the rated {}, which holds at the label's own temperatures only",
            100.0 * found.value.si() / rated.si(),
            both(rated)
        ),
    };
    let condensate = if heats {
        ""
    } else {
        "; the heat that leaves with the condensate, about 1 %, is left out"
    };
    let text = format!(
        "{what}{}{condensate}",
        comes_from("that range", found.dominant)
    );
    said(AIR_CAPACITY, SourceId::AirEnthalpy, text)
}
