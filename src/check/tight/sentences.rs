//! The sentences of the standing pressure test: why, and what it could not have seen.

use super::criteria::{CodeRule, Criteria};
use super::detail::{CodeRuleResult, Detail, HoldLonger};
use super::input::Input;
use super::method::Fit;
use super::reasons::{self, method as says};
use crate::check::{Outcome, Reason, Segment};
use crate::quantity::{
    Dimension, Interval, PressureDiff, PressureRate, Quantity, TemperatureDiff, unit,
};
use crate::source::SourceId;

/// Below this gauge pressure the weather's change of the atmosphere is more than a thousandth of it.
const LOW_GAUGE_PRESSURE: f64 = 10e5;

pub(super) fn reasons_of(
    input: &Input,
    criteria: &Criteria,
    fit: &Fit,
    detail: &Detail,
    outcome: Outcome,
    needs_a_day: bool,
) -> Vec<Reason> {
    let units = input.units;
    let rate = |r: PressureRate| r.show(units).to_string();
    let range = Interval {
        estimate: detail.loss[0].si(),
        low: detail.loss[1].si(),
        high: detail.loss[2].si(),
        dimension: Dimension::PressureRate,
    }
    .show(units);
    let limit = format!("{} ({})", rate(detail.limit), criteria.limit.name());
    let mut out = Vec::new();
    if !input.gas.is_allowed() {
        let text = format!(
            "{} was used as the test gas: it is forbidden, let it out slowly and do not go on",
            input.gas.word()
        );
        out.push(Reason::new(reasons::WRONG_GAS, SourceId::Ashrae15Gas, text));
    }
    if input.above_rating()
        && let Some(rated) = input.rated
    {
        let text = format!(
            "the test pressure went above the lowest rating, {}: let it down",
            rated.show(units)
        );
        out.push(Reason::new(
            reasons::OVER_RATING,
            SourceId::UnitInstructions,
            text,
        ));
    }
    if fit.ignores_temperature() {
        let text = "the temperature moved and the pressure did not follow: this was no closed volume, or the gauge was not connected to it".into();
        out.push(says(reasons::NOT_FOLLOWING, text));
    }
    out.push(match outcome {
        Outcome::Pass => says(
            reasons::WITHIN_LIMIT,
            format!("loss {range}: below the limit of {limit}"),
        ),
        Outcome::Fail => says(
            reasons::ABOVE_LIMIT,
            format!("loss {range}: above the limit of {limit}"),
        ),
        _ => says(
            reasons::NOT_PROVEN,
            format!("not proven yet: loss {range}; the limit is {limit}"),
        ),
    });
    if needs_a_day {
        let text = format!(
            "it looks like a loss, but a swing of {} with the day in gas that no thermometer saw could do the same: hold a full day",
            criteria.short_test_swing.show(units)
        );
        out.push(says(reasons::NEEDS_A_DAY, text));
    }
    if detail.leak_seen && outcome != Outcome::Fail {
        let text = format!(
            "a leak is seen all the same, about {}: soap every joint again",
            rate(detail.loss[0])
        );
        out.push(says(reasons::LEAK_SEEN, text));
    }
    match &detail.hold_longer {
        HoldLonger::Hours(h) => out.push(says(
            reasons::HOLD_LONGER,
            format!("about {h:.0} h more should decide"),
        )),
        HoldLonger::Never(why) => out.push(says(
            reasons::HOLD_LONGER,
            format!("holding longer would not decide: {why}"),
        )),
        HoldLonger::Decided => {}
    }
    if input.outdoor.is_some() || input.indoor.is_some() {
        let text = format!(
            "the reading moved by {}; temperature explains all but {} of it",
            detail.change.show(units),
            detail.against_expected.show(units)
        );
        out.push(Reason::new(
            reasons::TEMPERATURE_EXPLAINS,
            input.gas.computed_as().source(),
            text,
        ));
    } else {
        let text = "no temperature was read: the loss could be hidden or imitated by the day's swing; log the temperature where the lines run".into();
        out.push(says(reasons::NO_TEMPERATURE, text));
    }
    out.extend(disturbances(input, fit));
    out.push(code_reason(criteria.code_rule, detail.code_rule));
    out
}

fn disturbances(input: &Input, fit: &Fit) -> Vec<Reason> {
    let mut out = Vec::new();
    for step in &fit.steps {
        let size = PressureDiff::from_si(step.size * input.pressure[0].si()).show(input.units);
        out.push(if step.size > 0.0 {
            says(reasons::ROSE, format!("at {:.1} h the pressure rose by {size} at once: was gas added? start the test again", step.hours))
        } else {
            says(reasons::STEP, format!("at {:.1} h the pressure changed by {size} at once: a valve or a hose was moved; that part is left out of the loss", step.hours))
        });
    }
    if fit.coarse_gauge {
        let text = format!(
            "the gauge showed {} different values in all: too coarse, the interval is widened for it",
            fit.distinct_readings
        );
        out.push(says(reasons::COARSE_GAUGE, text));
    }
    if let Some(drift) = input.gauge_drift_per_kelvin {
        let text = format!(
            "the gauge's zero may move by {} per K of its own temperature: allowed for",
            drift.show(input.units)
        );
        out.push(Reason::new(reasons::GAUGE_DRIFT, SourceId::En837, text));
    }
    if !fit.outliers.is_empty() {
        out.push(says(
            reasons::OUTLIERS,
            format!(
                "{} readings that stand alone were left out",
                fit.outliers.len()
            ),
        ));
    }
    if fit
        .late_change
        .as_ref()
        .is_some_and(|change| change.above(0.0) > 0.99 && fit.loss.above(0.0) > 0.95)
    {
        out.push(says(
            reasons::LATE_LEAK,
            "the second half loses more than the first: something may have opened during the test"
                .into(),
        ));
    }
    if input.pressure[0].to_gauge(input.barometer).si() < LOW_GAUGE_PRESSURE {
        let text = "at such a low pressure the weather moves the gauge as much as a small leak does; test higher, up to the nameplate's test pressure".into();
        out.push(says(reasons::LOW_PRESSURE, text));
    }
    out
}

fn code_reason(rule: CodeRule, result: CodeRuleResult) -> Reason {
    let minutes = rule.hold.in_unit(unit::MINUTE);
    let asks = format!(
        "the rule {} (no decrease on the gauge in {minutes:.0} min)",
        rule.name
    );
    let (code, text) = match (result.as_written, result.corrected) {
        (Some(true), Some(true)) => (
            reasons::CODE_RULE_MET,
            format!("{asks} is met as written and with temperature taken out"),
        ),
        (Some(false), Some(true)) => (
            reasons::CODE_RULE_MET,
            format!(
                "{asks} is met with temperature taken out; as written it is not, since the gas cooled"
            ),
        ),
        (_, Some(false)) => (
            reasons::CODE_RULE_NOT_MET,
            format!("{asks} is not met, also with temperature taken out"),
        ),
        _ => (
            reasons::CODE_RULE_SHORT,
            format!("{asks} cannot be judged: the test was shorter"),
        ),
    };
    Reason::new(code, rule.source, text)
}

pub(super) fn unseen(input: &Input, detail: &Detail, allowed: TemperatureDiff) -> Vec<String> {
    let mut out = Vec::new();
    if detail.loss[2].si() <= 0.0 {
        out.push("A small loss: the pressure rose more than temperature explains, so something else moved it.".into());
    } else if !detail.leak_seen {
        out.push(format!(
            "A loss below {} would not have been seen.",
            detail.loss[2].show(input.units)
        ));
    }
    out.extend([
        "A leak that opens only at running temperature, under vibration or with the fan on.".into(),
        "Which joint it is: soap and a detector find the place, this test only the sum.".into(),
    ]);
    if !input.covers.is_empty() {
        let left: Vec<_> = Segment::ALL
            .iter()
            .filter(|s| **s != Segment::Hoses && !input.covers.contains(s))
            .map(|s| s.words())
            .collect();
        if !left.is_empty() {
            out.push(format!(
                "Anything in {}: it was not under pressure.",
                left.join(", ")
            ));
        }
    }
    if input.gauge_drift_per_kelvin.is_none() {
        out.push("The gauge's own drift with temperature, as its full scale was not given.".into());
    }
    out.push(format!(
        "A part of the volume that swings with the day by much more than {} where no thermometer hung.",
        allowed.show(input.units)
    ));
    out
}
