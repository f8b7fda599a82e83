//! The verdict of the vacuum rise.

use super::criteria::{Criteria, micron};
use super::detail::{Cause, Detail, Point};
use super::gauges::{self, Apart};
use super::input::Input;
use super::isolate;
use super::method::{self, ENOUGH_TIME_CONSTANTS, Rise, RiseError};
use super::rules::Level;
use super::sentences::{State, reasons_of, unseen};
use super::standing::StandingError;
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
    /// A second gauge without a reading for each of the first.
    #[error("the second gauge has {second} readings for {first} of the first: give one for each")]
    SecondGauge {
        /// Readings of the first.
        first: usize,
        /// Readings of the second.
        second: usize,
    },
    /// The standing pressure test beside it.
    #[error(transparent)]
    Standing(#[from] StandingError),
}

/// Judges a vacuum rise.
///
/// `p = p0 + q t + A (1 - e^{-t/tau})`: `q` is the leak, the last term is vapour. *fail* when P(q > limit) > 0.95, when
/// the rise levels off above the rule, or when the rule's level is exceeded; *pass* when the level is met and
/// P(q < limit) > 0.95; else *undecided*, with the minutes that should decide. The interval of `q` is not cut at zero.
///
/// Range: 4 readings or more of the isolated phase. Source: method of this program; level rules as named.
pub fn assess(input: &Input, criteria: &Criteria) -> Result<Finding, DryError> {
    let judged = judged(input)?;
    let (minutes, read) = (&judged.minutes, &judged.micron);
    let fit = method::fit(&Rise {
        minutes,
        micron: read,
        resolution_micron: step(input),
    })?;
    let limit = criteria.leak_limit.in_unit(unit::MICRON_PER_MINUTE);
    let level = criteria.rule.level(minutes, read);
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
    let pumping = isolate::pumps(read);
    // a longer test than the rule asks for has to end within it too
    let stays = criteria.rule.passes(read[read.len() - 1]);
    let deep_enough = read[0] <= criteria.rule.start_micron;
    // a step as large as the level shows nothing below it
    let coarse = step(input) > 0.5 * criteria.rule.pass_micron;
    let outcome = if pumping {
        Outcome::Undecided
    } else if leaks || wet || level == Level::NotMet {
        Outcome::Fail
    } else if level == Level::Met
        && stays
        && deep_enough
        && 1.0 - above > SURE
        && !judged.across(criteria)
        && !coarse
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
            .then_some(fit.levels_near)
            .flatten()
            .map(|near| PressureAbs::of(near, unit::MICRON)),
        hold_longer_min: match outcome {
            Outcome::Undecided if deep_enough && !pumping => needed.map(|n| n.max(for_rule)),
            _ => None,
        },
        rules: std::iter::once(&criteria.rule)
            .chain(&criteria.beside)
            .map(|rule| (*rule, rule.level(minutes, read)))
            .collect(),
        pumped: input.pumped.clone(),
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
    let state = State {
        proposal: isolate::propose(minutes, read, None).pop(),
        ceiling: judged.ceiling,
        apart: judged.apart,
        across: judged.across(criteria),
        coarse,
        level,
        leaks,
        wet,
        settled,
        pumping,
        left_out: judged.left_out,
        limit,
        last: read[read.len() - 1],
    };
    Ok(Finding {
        stage: Stage::Dry,
        covers: input.covers.clone(),
        outcome,
        reasons: reasons_of(input, criteria, &fit, &detail, &state)?,
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

/// The gauge's smallest step, micron.
fn step(input: &Input) -> f64 {
    input.gauge_resolution.in_unit(unit::MICRON_DIFF)
}

/// The readings that are judged: of two gauges the higher, without the gauge's ceiling.
struct Judged {
    minutes: Vec<f64>,
    micron: Vec<f64>,
    left_out: usize,
    /// A ceiling that was seen and not told.
    ceiling: Option<f64>,
    /// Two gauges further apart than they should be.
    apart: Option<Apart>,
}

impl Judged {
    /// Whether one gauge meets the rule and the other does not.
    fn across(&self, criteria: &Criteria) -> bool {
        self.apart
            .is_some_and(|a| criteria.rule.passes(a.first) != criteria.rule.passes(a.second))
    }
}

fn judged(input: &Input) -> Result<Judged, DryError> {
    let mut all: Vec<f64> = input.pressure.iter().map(|p| micron(*p)).collect();
    let mut apart = None;
    if let Some(second) = &input.second {
        let second: Vec<f64> = second.iter().map(|p| micron(*p)).collect();
        if second.len() != all.len() {
            return Err(DryError::SecondGauge {
                first: all.len(),
                second: second.len(),
            });
        }
        if let (Some(a), Some(b)) = (all.last(), second.last()) {
            let ends = Apart {
                first: *a,
                second: *b,
            };
            apart = Some(ends).filter(|ends| ends.matters(step(input)));
            // one gauge throughout: a change between them would be a step in the rise
            if apart.is_some() && b > a {
                all = second;
            }
        }
    }
    let told = input.gauge_ceiling.map(micron);
    let seen = told.is_none().then(|| gauges::ceiling(&all)).flatten();
    let below = |p: f64| told.or(seen).is_none_or(|c| p < 0.999 * c);
    let kept: Vec<usize> = (0..all.len()).filter(|i| below(all[*i])).collect();
    Ok(Judged {
        minutes: kept
            .iter()
            .filter_map(|i| input.minutes.get(*i))
            .copied()
            .collect(),
        left_out: all.len() - kept.len(),
        micron: kept.into_iter().map(|i| all[i]).collect(),
        ceiling: seen,
        apart,
    })
}
