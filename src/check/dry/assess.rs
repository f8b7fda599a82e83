//! The verdict of the vacuum rise.

use super::criteria::{Criteria, micron};
use super::detail::{Cause, Detail, Point};
use super::input::Input;
use super::method::{self, ENOUGH_TIME_CONSTANTS, Rise, RiseError};
use super::sentences::{Level, State, reasons_of, unseen};
use crate::check::{Finding, NamedInterval, Outcome, Stage};
use crate::quantity::{Dimension, Interval, PressureAbs, Quantity, RiseRate, unit};
use crate::source::SourceId;
use crate::stats::decision::SURE;

/// Why readings cannot be judged at all.
#[derive(Debug, thiserror::Error)]
pub enum DryError {
    /// The fit refuses them.
    #[error(transparent)]
    Rise(#[from] RiseError),
}

/// Judges a vacuum rise.
///
/// `p = p0 + q t + A (1 - e^{-t/tau})`: `q` is the leak, the last term is vapour. *fail* when P(q > limit) > 0.95, when
/// the rise levels off above the rule, or when the rule's level is exceeded; *pass* when the level is met and
/// P(q < limit) > 0.95; else *undecided*, with the minutes that should decide. The interval of `q` is not cut at zero.
///
/// Range: 4 readings or more of the isolated phase. Source: method of this program; level rules as named.
pub fn assess(input: &Input, criteria: &Criteria) -> Result<Finding, DryError> {
    let below = |p: &PressureAbs| input.gauge_ceiling.is_none_or(|c| p.si() < 0.999 * c.si());
    let kept: Vec<usize> = (0..input.pressure.len())
        .filter(|i| below(&input.pressure[*i]))
        .collect();
    let minutes: Vec<f64> = kept.iter().map(|i| input.minutes[*i]).collect();
    let read: Vec<f64> = kept.iter().map(|i| micron(input.pressure[*i])).collect();
    let fit = method::fit(&Rise {
        minutes: &minutes,
        micron: &read,
        resolution_micron: input.gauge_resolution.in_unit(unit::MICRON_DIFF),
    })?;
    let limit = criteria.leak_limit.in_unit(unit::MICRON_PER_MINUTE);
    let level = level(&minutes, &read, criteria);
    let above = fit.leak.above(limit);
    let moist = fit.p_moisture > SURE;
    let settled = fit
        .time_constants
        .is_none_or(|n| n >= ENOUGH_TIME_CONSTANTS)
        || fit.p_moisture < 1.0 - SURE;
    let leaks = above > SURE;
    let wet = moist
        && fit
            .levels_off
            .is_some_and(|l| l.low > criteria.rule.fail_micron)
        && settled;
    // an isolated volume may drift down a little; to half its pressure only a pump takes it
    let pumping = read[read.len() - 1] < 0.5 * read[0];
    // a longer test than the rule asks for has to end within it too
    let stays = read[read.len() - 1] <= criteria.rule.pass_micron;
    let deep_enough = read[0] <= criteria.rule.start_micron;
    let outcome = if pumping {
        Outcome::Undecided
    } else if leaks || wet || level == Level::NotMet {
        Outcome::Fail
    } else if level == Level::Met && stays && deep_enough && 1.0 - above > SURE {
        Outcome::Pass
    } else {
        Outcome::Undecided
    };
    let rose = read.last() > read.first();
    let cause = match (leaks, moist) {
        _ if pumping => Cause::Unknown,
        (true, true) => Cause::Both,
        (true, false) => Cause::Leak,
        (false, true) if 1.0 - above > SURE || settled => Cause::Moisture,
        (false, false) if 1.0 - above > SURE || !rose => Cause::None,
        _ => Cause::Unknown,
    };
    let rate = |value: f64| RiseRate::of(value, unit::MICRON_PER_MINUTE);
    let range = fit.leak.interval(0.95);
    let needed = fit
        .minutes_needed(limit)
        .map(|total| (total - fit.minutes).max(0.0));
    let for_rule = (criteria.rule.hold_min - fit.minutes).max(0.0);
    let detail = Detail {
        cause,
        leak: [
            rate(fit.leak.quantile(0.5)),
            rate(range.low),
            rate(range.high),
        ],
        above_limit: above,
        moisture: fit.p_moisture,
        levels_off: moist
            .then_some(fit.levels_off)
            .flatten()
            .map(|l| PressureAbs::of(0.5 * (l.low + l.high), unit::MICRON)),
        hold_longer_min: match outcome {
            Outcome::Undecided if deep_enough && !pumping => needed.map(|n| n.max(for_rule)),
            _ => None,
        },
        from_to: (input.pressure[0], input.pressure[input.pressure.len() - 1]),
        points: fit
            .line
            .iter()
            .map(|p| Point {
                minutes: p.minutes,
                read: PressureAbs::of(p.read, unit::MICRON),
                fitted: PressureAbs::of(p.fitted, unit::MICRON),
            })
            .collect(),
    };
    let left_out = input.pressure.len() - kept.len();
    let state = State {
        level,
        leaks,
        wet,
        settled,
        pumping,
        left_out,
        limit,
        last: read[read.len() - 1],
    };
    Ok(Finding {
        stage: Stage::Dry,
        covers: input.covers.clone(),
        outcome,
        reasons: reasons_of(input, criteria, &fit, &detail, &state),
        figures: vec![NamedInterval {
            name: "steady rise",
            interval: Interval {
                estimate: detail.leak[0].si(),
                low: detail.leak[1].si(),
                high: detail.leak[2].si(),
                dimension: Dimension::RiseRate,
            },
            source: SourceId::DryMethod,
        }],
        unseen: unseen(input, &detail),
        detail: crate::check::Detail::Dry(Box::new(detail)),
    })
}

/// The reading at the rule's time against the rule.
fn level(minutes: &[f64], read: &[f64], criteria: &Criteria) -> Level {
    let rule = criteria.rule;
    let at = minutes
        .iter()
        .position(|m| m - minutes[0] >= rule.hold_min - 1e-6);
    // exceeded is exceeded, however short the test was
    let judged = at.map_or_else(
        || read.iter().copied().fold(f64::MIN, f64::max),
        |i| read[i],
    );
    if judged > rule.fail_micron
        || (judged >= rule.fail_micron && rule.fail_micron > rule.pass_micron)
    {
        return Level::NotMet;
    }
    match at {
        None => Level::TooShort,
        Some(_)
            if judged > rule.pass_micron
                || (judged >= rule.pass_micron && rule.fail_micron > rule.pass_micron) =>
        {
            Level::Gap
        }
        Some(_) => Level::Met,
    }
}
