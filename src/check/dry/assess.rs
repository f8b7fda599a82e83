//! The verdict of the vacuum rise.

use super::criteria::{Criteria, micron};
use super::detail::{Cause, Detail, Point};
use super::input::Input;
use super::method::{self, ENOUGH_TIME_CONSTANTS, Rise, RiseError, RiseFit};
use super::reasons;
use crate::check::{Finding, NamedInterval, Outcome, Reason, Segment, Stage};
use crate::fluid::water;
use crate::quantity::{
    Dimension, Interval, LeakRate, PressureAbs, PressureRate, Quantity, Temperature, unit,
};
use crate::source::SourceId;
use crate::stats::decision::SURE;

/// Why readings cannot be judged at all.
#[derive(Debug, thiserror::Error)]
pub enum DryError {
    /// The fit refuses them.
    #[error(transparent)]
    Rise(#[from] RiseError),
}

/// How a level stands against the rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Level {
    Met,
    Gap,
    NotMet,
    TooShort,
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
            .is_some_and(|l| l.low > criteria.rule.pass_micron)
        && settled;
    let outcome = if leaks || wet || level == Level::NotMet {
        Outcome::Fail
    } else if level == Level::Met && 1.0 - above > SURE {
        Outcome::Pass
    } else {
        Outcome::Undecided
    };
    let rose = read.last() > read.first();
    let cause = match (leaks, moist) {
        (true, true) => Cause::Both,
        (true, false) => Cause::Leak,
        (false, true) if 1.0 - above > SURE || settled => Cause::Moisture,
        (false, false) if 1.0 - above > SURE || !rose => Cause::None,
        _ => Cause::Unknown,
    };
    let rate = |value: f64| PressureRate::of(value, unit::MICRON_PER_MINUTE);
    let range = fit.leak.interval(0.95);
    let needed = fit
        .minutes_needed(limit)
        .map(|total| (total - fit.minutes).max(0.0));
    let for_rule = (criteria.rule.hold_min - fit.minutes).max(0.0);
    let detail = Detail {
        cause,
        leak: [rate(fit.leak.mean()), rate(range.low), rate(range.high)],
        above_limit: above,
        moisture: fit.p_moisture,
        levels_off: moist
            .then_some(fit.levels_off)
            .flatten()
            .map(|l| PressureAbs::of(0.5 * (l.low + l.high), unit::MICRON)),
        hold_longer_min: match outcome {
            Outcome::Undecided => needed.map(|n| n.max(for_rule)),
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
                dimension: Dimension::PressureRate,
            },
            source: SourceId::DryMethod,
        }],
        unseen: unseen(input, &detail),
        detail: crate::check::Detail::Dry(Box::new(detail)),
    })
}

struct State {
    level: Level,
    leaks: bool,
    wet: bool,
    settled: bool,
    left_out: usize,
    limit: f64,
    last: f64,
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

fn reasons_of(
    input: &Input,
    criteria: &Criteria,
    fit: &RiseFit,
    detail: &Detail,
    state: &State,
) -> Vec<Reason> {
    let rule = criteria.rule;
    let (first, last) = (micron(detail.from_to.0), state.last);
    let by_method = |code, text: String| Reason::new(code, SourceId::DryMethod, text);
    let by_rule = |code, text: String| Reason::new(code, rule.source, text);
    let rate = |i: usize| format!("{:.1}", detail.leak[i].in_unit(unit::MICRON_PER_MINUTE));
    let mut out = Vec::new();
    if state.leaks {
        let text = format!(
            "a steady rise of {} micron/min, could be {} to {}: above the limit of {} micron/min, so a leak",
            rate(0),
            rate(1),
            rate(2),
            state.limit
        );
        out.push(Reason::new(reasons::LEAK, criteria.leak_source, text));
    }
    if state.wet
        && let Some(at) = detail.levels_off
    {
        let text = format!(
            "it levels off near {:.0} micron, above the rule: water or something else gives off vapour",
            micron(at)
        );
        out.push(by_method(reasons::MOISTURE, text));
    } else if let Some(at) = detail.levels_off {
        out.push(by_method(
            reasons::LEVELS_OFF,
            format!("it levels off near {:.0} micron", micron(at)),
        ));
    }
    out.extend(
        detail
            .levels_off
            .and_then(|at| liquid_water(at, input.coldest)),
    );
    let asks = rule.words();
    out.push(match state.level {
        Level::Met => by_rule(
            reasons::RULE_MET,
            format!(
                "{first:.0} to {last:.0} micron in {:.0} min meets {asks}",
                fit.minutes
            ),
        ),
        Level::NotMet => by_rule(
            reasons::RULE_NOT_MET,
            format!(
                "{first:.0} to {last:.0} micron in {:.0} min does not meet {asks}",
                fit.minutes
            ),
        ),
        Level::Gap => by_rule(
            reasons::RULE_GAP,
            format!("{last:.0} micron lies between pass and fail of {asks}"),
        ),
        Level::TooShort => by_rule(
            reasons::TOO_SHORT,
            format!("{:.1} min isolated is shorter than {asks}", fit.minutes),
        ),
    });
    if first > rule.start_micron {
        let text = format!(
            "{first:.0} micron at the start is above the {:.0} micron that {} asks for",
            rule.start_micron, rule.name
        );
        out.push(by_rule(reasons::STARTED_HIGH, text));
    }
    if !state.leaks {
        out.push(if 1.0 - detail.above_limit > SURE {
            by_method(reasons::NO_LEAK_SEEN, format!("no leak seen; at most {} micron/min", rate(2)))
        } else {
            by_method(reasons::LEAK_OPEN, format!(
                "a steady rise of {} micron/min, could be {} to {}, against a limit of {}: cannot be told yet",
                rate(0), rate(1), rate(2), state.limit
            ))
        });
    }
    if let Some(more) = detail.hold_longer_min {
        let text = format!("{more:.0} min more should tell a leak from vapour");
        out.push(by_method(reasons::WAIT, text));
    } else if !state.settled && !state.leaks {
        out.push(by_method(
            reasons::WAIT,
            "too early to tell a leak from vapour: pump again and hold longer".into(),
        ));
    }
    if last < first {
        out.push(by_method(reasons::FELL, "the isolated pressure fell: drift of the gauge, or vapour taken up by oil; not a negative leak".into()));
    }
    if state.left_out > 0 {
        out.push(by_method(
            reasons::AT_CEILING,
            format!(
                "{} readings at the gauge's ceiling were left out",
                state.left_out
            ),
        ));
    }
    if let Some(volume) = input.volume {
        let through =
            |i: usize| LeakRate::from_si(detail.leak[i].si() * volume.si()).show(input.units);
        let text = format!(
            "through {} that is {} at most",
            volume.show(input.units),
            through(2)
        );
        out.push(by_method(reasons::THROUGH_VOLUME, text));
    }
    out
}

/// Whether a level is the vapour pressure of water or ice at the coldest part.
fn liquid_water(level: PressureAbs, coldest: Option<Temperature>) -> Option<Reason> {
    let coldest = coldest?;
    let vapour = water::vapour_pressure(coldest).ok()?;
    if !(0.8..=1.2).contains(&(level.si() / vapour.si())) {
        return None;
    }
    let what = if coldest.si() < 273.16 {
        "ice"
    } else {
        "liquid water"
    };
    let text = format!(
        "that is the vapour pressure of {what} at the coldest part ({:.0} micron): {what} is in the lines",
        micron(vapour)
    );
    Some(Reason::new(
        reasons::LIQUID_WATER,
        SourceId::IapwsWater,
        text,
    ))
}

fn unseen(input: &Input, detail: &Detail) -> Vec<String> {
    let mut out = vec![
        format!(
            "A leak below {:.1} micron/min would not have been seen.",
            detail.leak[2].in_unit(unit::MICRON_PER_MINUTE)
        ),
        "A leak that opens only under pressure: 500 psig of nitrogen drives the same hole 35 to 1,200 times harder. A passed rise does not replace the standing pressure test.".into(),
        "Oil or rubber in the hoses that gives off vapour looks like water.".into(),
    ];
    let left: Vec<_> = Segment::ALL
        .iter()
        .filter(|s| **s != Segment::Hoses && !input.covers.contains(s))
        .map(|s| s.word())
        .collect();
    if !input.covers.is_empty() && !left.is_empty() {
        out.push(format!(
            "Anything in {}: it was not under vacuum.",
            left.join(", ")
        ));
    }
    if input.volume.is_none() {
        out.push("How large the leak is in grams: a rise in micron per minute says so only with the volume.".into());
    }
    out
}
