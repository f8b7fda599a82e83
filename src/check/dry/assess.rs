//! The verdict of the vacuum rise.

use super::criteria::{Criteria, micron};
use super::detail::{Cause, Detail, Near, Point};
use super::error::DryError;
use super::input::Input;
use super::isolate;
use super::judged::{judged, step};
use super::method::{self, ENOUGH_TIME_CONSTANTS, OneMore, Rise, RiseError, RiseFit, Step};
use super::pumping::{self, Pumping};
use super::rules::Level;
use super::sentences::{State, reasons_of, unseen};
use crate::check::{Finding, NamedInterval, Outcome, Stage};
use crate::quantity::{Duration, PressureAbs, Quantity, RiseRate, unit};
use crate::source::SourceId;
use crate::stats::decision::SURE;
use crate::stats::robust::median;

/// So few readings were typed, and each has to be worth the wait.
const FEW_READINGS: usize = 9;
/// A reading that leaves more than this of the interval is not worth telling.
const WORTH_READING: f64 = 0.95;

/// Judges a vacuum rise.
///
/// `p = p0 + q t + A (1 - e^{-t/tau})`: `q` is the leak, the last term is vapour. *fail* when P(q > limit) > 0.95, when
/// the rise levels off above the rule, or when the rule's level is exceeded; *pass* when the level is met,
/// P(q < limit) > 0.95 and nothing changed suddenly; else *undecided*, with the minutes that should decide. The interval of
/// `q` is not cut at zero.
///
/// Range: 4 readings or more of the isolated phase. Source: method of this program; level rules as named.
pub fn assess(input: &Input, criteria: &Criteria) -> Result<Finding, DryError> {
    let judged = judged(input)?;
    let (minutes, read) = (&judged.minutes, &judged.micron);
    let rise = Rise {
        minutes,
        micron: read,
        resolution_micron: step(input),
    };
    let pumping = isolate::pumps(read);
    let fit = match method::fit(&rise) {
        // a pump that pulls is told as such, whatever was switched beside it
        Err(RiseError::Broken { .. }) if pumping => method::fit_one_term(&rise)?,
        fitted => fitted?,
    };
    let limit = criteria.leak_limit.in_unit(unit::MICRON_PER_MINUTE);
    let (first, last) = (minutes[0], minutes[minutes.len() - 1]);
    let level = criteria.rule.level(minutes, read);
    let above = fit.leak.above(limit);
    let moist = fit.p_moisture > SURE;
    let settled = fit
        .time_constants
        .is_none_or(|n| n >= ENOUGH_TIME_CONSTANTS)
        || fit.p_moisture < 1.0 - SURE;
    let leaks = above > SURE;
    let stepped = !fit.steps.is_empty();
    // gas and gauge settle after a sudden change as vapour does
    let after_a_step = stepped && fit.from_minutes > first;
    let wet = moist
        && fit
            .levels_off
            .is_some_and(|l| l.low > criteria.rule.fail_micron)
        && settled
        && !after_a_step;
    // a longer test than the rule asks for has to end within it too
    let stays = criteria.rule.passes(read[read.len() - 1]);
    let deep_enough = read[0] <= criteria.rule.start_micron;
    // a step as large as the level shows nothing below it
    let coarse = step(input) > 0.5 * criteria.rule.pass_micron;
    let across = judged.across(criteria);
    let outcome = if pumping {
        Outcome::Undecided
    } else if leaks || wet || level == Level::NotMet {
        Outcome::Fail
    } else if level == Level::Met
        && stays
        && deep_enough
        && 1.0 - above > SURE
        && !across
        && !coarse
        // what was opened or touched is no longer the volume that was isolated
        && !stepped
    {
        Outcome::Pass
    } else {
        Outcome::Undecided
    };
    let rose = read.last() > read.first();
    let cause = match (leaks, moist) {
        _ if pumping => Cause::Unknown,
        (true, true) => Cause::Both,
        (true, false) => Cause::Leak,
        _ if stepped && !wet => Cause::Unknown,
        (false, true) if 1.0 - above > SURE || settled => Cause::Moisture,
        (false, false) if 1.0 - above > SURE || !rose => Cause::None,
        _ => Cause::Unknown,
    };
    // after a step only what comes then counts
    let counts_from = fit.steps.last().map_or(first, |step| step.until_minutes);
    let since = last - counts_from;
    let for_leak = if stepped {
        // too few to fit yet: the rule's time at the least
        after(&rise, counts_from).map_or(Some(0.0), |then| more_for_leak(&then, limit))
    } else {
        more_for_leak(&fit, limit)
    };
    let for_rule = (criteria.rule.hold_min - since).max(0.0);
    let more = for_leak.map(|n| n.max(for_rule)).filter(|n| *n > 0.0);
    let detail = Detail {
        cause,
        leak: rates(&fit),
        above_limit: above,
        moisture: fit.p_moisture,
        levels_off: moist.then(|| level_of(&fit)).flatten(),
        hold_longer_min: more.filter(|_| outcome == Outcome::Undecided && deep_enough && !pumping),
        starts_late: started(&fit),
        rate_before: fit
            .rate_before
            .map(|rate| RiseRate::of(rate, unit::MICRON_PER_MINUTE)),
        steps: if pumping {
            switched(input).unwrap_or_else(|| fit.steps.clone())
        } else {
            fit.steps.clone()
        },
        fitted_min: (fit.from_minutes, fit.from_minutes + fit.minutes),
        rules: std::iter::once(&criteria.rule)
            .chain(&criteria.beside)
            .map(|rule| (*rule, rule.level(minutes, read)))
            .collect(),
        pumped: input.pumped.clone(),
        from_to: (
            PressureAbs::of(read[0], unit::MICRON),
            PressureAbs::of(read[read.len() - 1], unit::MICRON),
        ),
        points: points(&fit),
    };
    // time can only decide where nothing else stands in the way
    let waits = outcome == Outcome::Undecided
        && !(pumping || coarse || across || stepped)
        && stays
        && deep_enough
        && level != Level::Gap;
    let state = State {
        outcome,
        proposal: isolate::propose(minutes, read, None).pop(),
        ceiling: judged.ceiling,
        apart: judged.ends.filter(|ends| ends.matters(step(input))),
        across,
        coarse,
        level,
        leaks,
        wet,
        settled,
        pumping,
        left_out: judged.left_out,
        isolated_min: last - first,
        at_rule: criteria.rule.reading(minutes, read),
        waits,
        for_rule_only: for_leak == Some(0.0),
        likely_level: level_of(&fit),
        next: (read.len() <= FEW_READINGS && waits && for_leak.is_some_and(|n| n > 0.0))
            .then(|| next_reading(&rise, more))
            .flatten(),
        fell: fell(&fit, &rise),
        rose,
        read_after_step: minutes.iter().filter(|m| **m >= counts_from).count(),
        since_step: since,
        last: read[read.len() - 1],
    };
    Ok(Finding {
        stage: Stage::Dry,
        covers: input.covers.clone(),
        outcome,
        reasons: reasons_of(input, criteria, &detail, &state)?,
        // of a pump that pulls no rate is a rise
        figures: (!pumping)
            .then(|| NamedInterval {
                name: "steady rise",
                interval: detail.steady(),
                source: SourceId::DryMethod,
            })
            .into_iter()
            .collect(),
        unseen: unseen(input, &detail, pumping),
        detail: crate::check::Detail::Dry(Box::new(detail)),
    })
}

fn rates(fit: &RiseFit) -> [RiseRate; 3] {
    let range = fit.leak.interval(0.95);
    [fit.leak.quantile(0.5), range.low, range.high]
        .map(|rate| RiseRate::of(rate, unit::MICRON_PER_MINUTE))
}

/// Where it is likely to level off without the leak.
fn level_of(fit: &RiseFit) -> Option<Near<PressureAbs>> {
    let (near, between) = (fit.levels_near?, fit.levels_between?);
    let at = |micron| PressureAbs::of(micron, unit::MICRON);
    Some(Near {
        near: at(near),
        low: at(between.low),
        high: at(between.high),
    })
}

fn started(fit: &RiseFit) -> Option<Near<Duration>> {
    let (near, between) = (fit.starts_near?, fit.starts_late?);
    let at = |minutes| Duration::of(minutes, unit::MINUTE);
    Some(Near {
        near: at(near),
        low: at(between.low),
        high: at(between.high),
    })
}

fn points(fit: &RiseFit) -> Vec<Point> {
    let at = |micron| PressureAbs::of(micron, unit::MICRON);
    fit.line
        .iter()
        .map(|p| Point {
            minutes: p.minutes,
            read: at(p.read),
            fitted: at(p.fitted),
        })
        .collect()
}

/// Minutes more until the leak should be decided.
fn more_for_leak(fit: &RiseFit, limit: f64) -> Option<f64> {
    let total = fit.minutes_needed(limit)?;
    Some((total - fit.minutes).max(0.0))
}

/// The fit of what was read from a time on.
fn after(rise: &Rise, from: f64) -> Option<RiseFit> {
    let begin = rise.minutes.iter().position(|m| *m >= from)?;
    let then = Rise {
        minutes: &rise.minutes[begin..],
        micron: &rise.micron[begin..],
        ..*rise
    };
    method::fit(&then).ok()
}

/// What was switched while the pump pulled, by what a pump-down shows.
fn switched(input: &Input) -> Option<Vec<Step>> {
    let log = pumping::read(&Pumping {
        minutes: &input.minutes,
        pressure: &input.pressure,
    });
    let of = |step: &pumping::Step| Step {
        minutes: step.minutes,
        until_minutes: step.until,
        from_micron: micron(step.from),
        to_micron: micron(step.to),
    };
    Some(log.ok()?.steps.iter().map(of).collect())
}

/// What the next reading buys: read when the hold is twice as long, or when it should decide if that is sooner, but not
/// before the usual pause; on the whole minute after. None where it buys next to nothing.
fn next_reading(rise: &Rise, more: Option<f64>) -> Option<OneMore> {
    let last = *rise.minutes.last()?;
    let held = last - rise.minutes[0];
    let gaps: Vec<f64> = rise.minutes.windows(2).map(|t| t[1] - t[0]).collect();
    let wait = more.map_or(held, |more| more.min(held)).max(median(&gaps)?);
    let next = method::one_more(rise, (last + wait).ceil()).ok()?;
    (next.width_then < WORTH_READING * next.width_now).then_some(next)
}

/// Whether the stretch that was fitted ends lower than it began.
fn fell(fit: &RiseFit, rise: &Rise) -> bool {
    let until = fit.from_minutes + fit.minutes + 1e-9;
    let begin = rise
        .minutes
        .iter()
        .position(|m| *m >= fit.from_minutes - 1e-9);
    let end = rise.minutes.iter().rposition(|m| *m <= until);
    begin
        .zip(end)
        .is_some_and(|(begin, end)| rise.micron[end] < rise.micron[begin])
}
