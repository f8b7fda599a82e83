//! The sentences of the standing pressure test: why.

use super::code_sentences::code_reasons;
use super::criteria::Criteria;
use super::detail::{Detail, HoldLonger};
use super::input::{Input, TestGas};
use super::method::{Fit, Path};
use super::rating::Later;
use super::reasons::{self, method as says};
use super::rig::Rig;
use super::witness::Moved;
use crate::check::{Outcome, Reason};
use crate::quantity::{
    Dimension, Interval, PressureDiff, PressureRate, Quantity, Shown, UnitSystem,
};
use crate::source::SourceId;
use crate::stats::decision::Verdict;
use crate::stats::mixture::Mixture;

/// Below this gauge pressure the weather's change of the atmosphere is more than a thousandth of it.
const LOW_GAUGE_PRESSURE: f64 = 10e5;

/// What stands beside the fit.
#[derive(Debug, Clone, Copy)]
pub(super) struct Beside {
    /// The verdict that a day's swing could have made.
    pub undone: Option<Verdict>,
    /// What the witness did by itself.
    pub moved: Moved,
    /// Line or rig, where the loss is above the limit.
    pub rig: Option<Rig>,
    /// The rating as the day could pass it.
    pub later: Option<Later>,
}

pub(super) fn reasons_of(
    input: &Input,
    criteria: &Criteria,
    fit: &Fit,
    detail: &Detail,
    outcome: Outcome,
    beside: &Beside,
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
    let limit = format!("{} ({})", rate(detail.limit), criteria.limit.name(units));
    let mut out = first_of_all(input);
    if fit.ignores_temperature() {
        let text = "the temperature moved and the pressure did not follow: this was no closed volume, or the gauge was not connected to it".into();
        out.push(says(reasons::NOT_FOLLOWING, text));
    }
    out.extend(witness_moved(beside.moved));
    let void = rig_void(input, beside.rig);
    let in_a_day = in_a_day(detail);
    out.extend(void.clone());
    out.push(match outcome {
        Outcome::Pass => says(
            reasons::WITHIN_LIMIT,
            format!("loss {range}{in_a_day}: below the limit of {limit}"),
        ),
        Outcome::Fail => says(
            reasons::ABOVE_LIMIT,
            format!("loss {range}{in_a_day}: above the limit of {limit}"),
        ),
        _ if !input.gas.is_allowed() => says(
            reasons::NOT_PROVEN,
            format!("as an analysis of this log, which proves nothing with this gas: loss {range}{in_a_day}; the limit is {limit}"),
        ),
        _ => says(
            reasons::NOT_PROVEN,
            format!("not proven yet: loss {range}{in_a_day}; the limit is {limit}"),
        ),
    });
    if void.is_none() {
        out.extend(line_or_rig(input, outcome, beside.rig));
    }
    out.extend(may_pass_rating(input, beside.later));
    if let Some(verdict) = beside.undone {
        let swing = criteria.short_test_swing.show(units);
        let unseen = format!("a swing of {swing} with the day in gas that no thermometer saw");
        out.push(match verdict {
            Verdict::Pass => says(
                reasons::COULD_HIDE,
                format!("it looks tight, but {unseen} could hide a loss: hold a full day"),
            ),
            _ => says(
                reasons::NEEDS_A_DAY,
                format!("it looks like a loss, but {unseen} could do the same: hold a full day"),
            ),
        });
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
    // where the numbers have decided, a narrower interval changes nothing
    let open = !matches!(detail.hold_longer, HoldLonger::Decided);
    if open && input.witness.is_none() && input.gas.is_allowed() {
        let text = "a known-tight volume logged beside it, a blanked tee or a bottle, would narrow this 2 to 4 times";
        out.push(Reason::new(
            reasons::WITNESS_WOULD_NARROW,
            SourceId::WitnessMeasured,
            text,
        ));
    }
    out.push(explained(input, fit, detail));
    out.extend(allowed_for(input));
    out.extend(disturbances(input, fit, detail));
    out.extend(code_reasons(input, criteria.code_rule, detail.code_rule));
    out
}

/// "0.13 % of the gas a day", beside an interval of pressure.
fn in_a_day(detail: &Detail) -> String {
    let [estimate, low, high] = detail.per_day;
    let interval = Interval {
        estimate,
        low,
        high,
        dimension: Dimension::Fraction,
    };
    // a share reads the same in every country
    let shown = interval.show(UnitSystem::Us);
    let estimate = shown.split(',').next().unwrap_or_default();
    format!(" ({} % of the gas a day)", estimate.trim_end_matches(" %"))
}

/// What stops a test before anything is said of its numbers.
fn first_of_all(input: &Input) -> Vec<Reason> {
    let mut out = Vec::new();
    if input.gas.is_forbidden() {
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
            "the gauge read {}, above the lowest rating, {}: let it down",
            input.highest().show(input.units),
            rated.show(input.units)
        );
        out.push(Reason::new(
            reasons::OVER_RATING,
            SourceId::UnitInstructions,
            text,
        ));
    }
    let not_judged = match input.gas {
        TestGas::Refrigerant => Some(
            "the lines held refrigerant: while liquid is left its pressure stands whatever is lost, so this shows nothing; test with dry nitrogen",
        ),
        TestGas::NotKnown => Some(
            "nobody noted the test gas: computed as nitrogen, and no pass until it is known to be dry nitrogen, argon or helium; correct the event, or test again",
        ),
        _ => None,
    };
    if let Some(text) = not_judged {
        out.push(Reason::new(
            reasons::GAS_NOT_JUDGED,
            SourceId::Ashrae15Gas,
            text,
        ));
    }
    out
}

fn witness_moved(moved: Moved) -> Option<Reason> {
    let text = match moved {
        Moved::No => return None,
        Moved::Lost => {
            "the volume taken as tight lost gas itself, as the thermometers beside it show: it hides a loss of the line; soap it, or leave it out"
        }
        Moved::Gained => {
            "the volume taken as tight gained pressure by itself, as the thermometers beside it show: it imitates a loss of the line; hang it where the lines are, or leave it out"
        }
    };
    Some(says(reasons::WITNESS_MOVED, text.into()))
}

/// A rig that explains the loss: the test is void.
fn rig_void(input: &Input, rig: Option<Rig>) -> Option<Reason> {
    let blank = input.rig.filter(|_| rig == Some(Rig::Explains))?;
    let part = blank.part()[0].show(input.units);
    Some(says(
        reasons::RIG_LEAKS,
        format!(
            "the rig alone loses about {part} of it, enough to explain the loss: nothing is shown of the line; mend gauge, hose and valve, then test again"
        ),
    ))
}

fn line_or_rig(input: &Input, outcome: Outcome, rig: Option<Rig>) -> Option<Reason> {
    if let Some(blank) = input
        .rig
        .filter(|blank| blank.leaks() && rig != Some(Rig::Held))
    {
        let part = blank.part()[0].show(input.units);
        return Some(says(
            reasons::RIG_LEAKS,
            format!(
                "the rig alone loses about {part} of it: mend gauge, hose and valve before the next test"
            ),
        ));
    }
    if outcome != Outcome::Fail {
        return None;
    }
    let (code, text) = match rig? {
        Rig::Held => (
            reasons::RIG_HELD,
            "the rig alone held: it is the line that loses",
        ),
        Rig::NotTested => (
            reasons::LINE_OR_RIG,
            "line or rig: gauge, hose and valve were not tested alone; shut them off from the line, hold the same pressure in them, and give that test too",
        ),
        Rig::NotCleared => (
            reasons::LINE_OR_RIG,
            "line or rig: the rig's own test does not clear it; hold the rig alone for longer",
        ),
        Rig::IsTested | Rig::Explains => return None,
    };
    Some(says(code, text.into()))
}

fn may_pass_rating(input: &Input, later: Option<Later>) -> Option<Reason> {
    let (later, rated) = (later.filter(|_| !input.above_rating())?, input.rated?);
    let text = format!(
        "warmed to {} it would read {}, above the lowest rating, {}: let some gas out before the day warms",
        later.warmed_to.show(input.units),
        later.reads.show(input.units),
        rated.show(input.units)
    );
    Some(Reason::new(
        reasons::MAY_PASS_RATING,
        SourceId::WarmerLater,
        text,
    ))
}

/// A difference of readings, with the digits that the gauge shows.
fn as_read(input: &Input, difference: PressureDiff) -> Shown {
    let step = input.gauge_resolution.show(input.units).value;
    let decimals = (-step.log10() - 1e-9).ceil().clamp(0.0, 6.0);
    difference.show(input.units).decimals(decimals as usize)
}

/// What moved the reading, as far as anything was read beside it.
fn explained(input: &Input, fit: &Fit, detail: &Detail) -> Reason {
    let change = as_read(input, detail.change);
    let rest = match as_read(input, detail.against_expected) {
        none if none.number().parse() == Ok(0.0) => "all of it, as far as the gauge shows".into(),
        rest => format!("all but {rest} of it"),
    };
    // what was split off is no part of what a tight line would read
    let and_steps = match (detail.steps.len(), fit.path) {
        (0, _) | (_, Path::FirstAgainstLast) => "explains",
        (1, _) => "and the sudden change explain",
        _ => "and the sudden changes explain",
    };
    let thermometer = input.outdoor.is_some() || input.indoor.is_some();
    if input.witness.is_some() {
        let instead = if thermometer {
            "; it took the thermometers' place"
        } else {
            ""
        };
        return says(
            reasons::WITNESS,
            format!(
                "the reading moved by {change}; the known-tight volume beside it {and_steps} {rest}{instead}"
            ),
        );
    }
    if thermometer {
        let text = format!("the reading moved by {change}; temperature {and_steps} {rest}");
        return Reason::new(
            reasons::TEMPERATURE_EXPLAINS,
            input.gas.computed_as().source(),
            text,
        );
    }
    let text = "no temperature was read: the loss could be hidden or imitated by the day's swing; log the temperature where the lines run".into();
    says(reasons::NO_TEMPERATURE, text)
}

/// What was stated of the volume and widens the interval.
fn allowed_for(input: &Input) -> Vec<Reason> {
    let mut out = Vec::new();
    if let Some(part) = input.unlogged.filter(|part| part.share.si() > 0.0) {
        let text = format!(
            "{} of the volume, where no thermometer hangs, may swing by {} either way in a day: allowed for",
            part.share.show(input.units).decimals(0),
            part.half_swing.show(input.units)
        );
        let source = if input.unlogged_typical {
            SourceId::TypicalSwings
        } else {
            SourceId::TightMethod
        };
        out.push(Reason::new(reasons::UNLOGGED_PART, source, text));
    }
    if input.compressor {
        let text = "a compressor with its oil is part of the volume, and oil takes up gas for hours: allowed for; test with both service valves of the outdoor unit shut to leave it out".into();
        out.push(says(reasons::COMPRESSOR, text));
    }
    out
}

fn disturbances(input: &Input, fit: &Fit, detail: &Detail) -> Vec<Reason> {
    let mut out = Vec::new();
    // the two ends alone are compared then, with all that happened between them
    let left_out = match fit.path {
        Path::FirstAgainstLast => "",
        _ => "; that part is left out of the loss",
    };
    for step in &detail.steps {
        let (at, moved) = (step.hours - input.hours[0], step.words(input.units));
        out.push(if step.size.si() > 0.0 {
            says(reasons::ROSE, format!("at {at:.1} h the pressure {moved} at once: was gas added? start the test again"))
        } else {
            says(reasons::STEP, format!("at {at:.1} h the pressure {moved} at once: a valve or a hose was moved{left_out}"))
        });
    }
    if let (Path::FirstAgainstLast, [.., last]) = (fit.path, &mut out[..]) {
        last.text += "; here the loss is taken from the first and the last reading alone";
    }
    if fit.coarse_gauge {
        let distinct = fit.distinct_readings;
        let text = if !fit.all_differ(input.hours.len()) {
            let showed = match distinct {
                1 => "a single value".into(),
                _ => format!("{distinct} different values"),
            };
            format!("the gauge showed {showed} in all: too coarse, the interval is widened for it")
        } else {
            format!(
                "{distinct} readings do not show how they scatter: the interval is widened by the gauge's steps"
            )
        };
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
            match fit.outliers.len() {
                1 => "1 reading that stands alone was left out".into(),
                n => format!("{n} readings that stand alone were left out"),
            },
        ));
    }
    let middle = |loss: &Mixture| loss.quantile(0.5);
    if (fit.late_loss.as_ref()).is_some_and(|late| middle(late) > middle(&fit.loss).max(0.0)) {
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
