//! The sentences of the vacuum rise: why, and what it could not have seen.

mod ahead;
mod gauges;
mod moved;
mod water;

use super::criteria::{Criteria, micron};
use super::detail::{Detail, Near};
use super::error::DryError;
use super::gauges::Apart;
use super::input::Input;
use super::isolate::Proposal;
use super::method::OneMore;
use super::reasons;
use super::rules::{Level, Rule};
use crate::check::{Outcome, Reason, Segment};
use crate::quantity::{LeakRate, PressureAbs, Quantity, RiseRate};
use crate::source::SourceId;
use crate::stats::decision::SURE;

/// What the sentences need beside the result.
pub(super) struct State {
    pub outcome: Outcome,
    pub level: Level,
    pub leaks: bool,
    pub wet: bool,
    pub settled: bool,
    pub pumping: bool,
    pub proposal: Option<Proposal>,
    pub ceiling: Option<f64>,
    pub apart: Option<Apart>,
    pub across: bool,
    pub coarse: bool,
    pub left_out: usize,
    /// From the first reading to the last, whatever was fitted of it.
    pub isolated_min: f64,
    /// The reading at the rule's time, which the rule is held against.
    pub at_rule: Option<f64>,
    /// Whether more time can decide.
    pub waits: bool,
    /// Whether only the rule needs more time.
    pub for_rule_only: bool,
    /// Where it is likely to level off, sure or not.
    pub likely_level: Option<Near<PressureAbs>>,
    /// What the next reading buys, where there are few.
    pub next: Option<OneMore>,
    pub fell: bool,
    pub rose: bool,
    /// Readings since the last sudden change, and their minutes.
    pub read_after_step: usize,
    pub since_step: f64,
    /// Micron.
    pub last: f64,
}

pub(super) fn reasons_of(
    input: &Input,
    criteria: &Criteria,
    detail: &Detail,
    state: &State,
) -> Result<Vec<Reason>, DryError> {
    let rule = criteria.rule;
    let first = micron(detail.from_to.0);
    if state.pumping {
        let mut out = vec![moved::pumping(input, state, first)];
        if state.proposal.is_none() {
            out.extend(moved::steps(input, detail, state));
        }
        out.extend(isolated(input));
        return Ok(out);
    }
    let by_method = |code, text: String| Reason::new(code, SourceId::DryMethod, text);
    let mut out = Vec::new();
    let steps = moved::steps(input, detail, state);
    let steps_lead = state.outcome == Outcome::Undecided;
    if steps_lead {
        out.extend(steps.clone());
    }
    if first > rule.start_micron {
        let text = format!(
            "{first:.0} micron at the start is above the {:.0} micron that {} asks for",
            rule.start_micron, rule.name
        );
        out.push(Reason::new(reasons::STARTED_HIGH, rule.source, text));
    }
    let lead = ahead::lead(input, detail, state);
    let led = lead.is_some();
    out.extend(lead);
    // a rule that is met or not leads, unless a cause was found
    let rule_leads = !state.leaks && !state.wet;
    if rule_leads {
        out.push(by_level(&rule, first, state));
    }
    let steady = detail.steady().show(input.units);
    let limit = criteria.leak_limit.show(input.units);
    if state.leaks {
        let text = format!("a steady rise of {steady}: above the limit of {limit}, so a leak");
        out.push(Reason::new(reasons::LEAK, criteria.leak_source, text));
    }
    out.extend(ahead::starts_late(input, detail, state));
    if !steps_lead {
        out.extend(steps);
    }
    if let Some(at) = detail.levels_off {
        let words = ahead::level_words(&at, input, detail, state);
        if state.wet {
            let text = format!("{words}, above the rule: water or something else gives off vapour");
            out.push(by_method(reasons::MOISTURE, text));
        } else if !led {
            out.push(by_method(reasons::LEVELS_OFF, words));
        }
        out.extend(water::meaning(at.near, input.coldest, state.wet));
    }
    if !rule_leads {
        out.push(by_level(&rule, first, state));
    }
    if !state.leaks {
        out.push(if 1.0 - detail.above_limit > SURE {
            by_method(reasons::NO_LEAK_SEEN, no_leak(input, detail))
        } else {
            let text = format!(
                "a steady rise of {steady}, against a limit of {limit}: cannot be told yet"
            );
            by_method(reasons::LEAK_OPEN, text)
        });
    }
    if !led {
        out.extend(ahead::wait(detail, state, &rule));
    }
    out.extend(ahead::next_reading(state));
    if state.fell {
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
    let most = detail.leak[2];
    if let Some(volume) = input.volume
        && most.si() > 0.0
    {
        let text = format!(
            "through {} that is {} at most",
            volume.show(input.units),
            LeakRate::from_si(most.si() * volume.si()).show(input.units)
        );
        out.push(by_method(reasons::THROUGH_VOLUME, text));
    }
    if let Some(standing) = &input.standing {
        // a rise that surely falls says no more than the limit
        let most = if most.si() > 0.0 {
            most
        } else {
            criteria.leak_limit
        };
        out.push(Reason::new(
            reasons::STANDING_BINDS,
            crate::physics::leak::SOURCE,
            standing.words(most, input.units)?,
        ));
    }
    out.extend(isolated(input));
    out.extend(gauges::of_gauges(input, &rule, state));
    out.extend(detail.rules.iter().skip(1).map(|(rule, level)| {
        let text = format!("{}: {}", level.words(), rule.words());
        Reason::new(reasons::OTHER_RULE, rule.source, text)
    }));
    Ok(out)
}

/// Where the isolated phase begins, and what says so.
fn isolated(input: &Input) -> Option<Reason> {
    let words = input.shut_off.as_ref()?.words();
    Some(Reason::new(
        reasons::ISOLATED_FROM,
        SourceId::DryMethod,
        words,
    ))
}

/// How the level stands against the rule, over all the time that it was isolated.
fn by_level(rule: &Rule, first: f64, state: &State) -> Reason {
    let (asks, last, minutes) = (rule.words(), state.last, state.isolated_min);
    // what the rule was held against, where the test went on
    let at = |at: f64| format!(", {at:.0} after {:.0} min,", rule.hold_min);
    let went_on = minutes > rule.hold_min + 0.5;
    let at = state.at_rule.filter(|_| went_on).map(at);
    let at = at.unwrap_or_default();
    let course = format!("{first:.0} to {last:.0} micron in {minutes:.0} min");
    let (code, text) = match state.level {
        Level::Met if !rule.passes(last) => (
            reasons::RULE_MET,
            format!(
                "{course}: met after {:.0} min and left again; {asks}",
                rule.hold_min
            ),
        ),
        Level::Met => (reasons::RULE_MET, format!("{course} meets {asks}")),
        Level::NotMet => (
            reasons::RULE_NOT_MET,
            format!("{course}{at} does not meet {asks}"),
        ),
        Level::Gap => (
            reasons::RULE_GAP,
            format!(
                "{:.0} micron after {:.0} min lies between pass and fail of {asks}",
                state.at_rule.unwrap_or(last),
                rule.hold_min
            ),
        ),
        Level::TooShort => (
            reasons::TOO_SHORT,
            format!("{minutes:.1} min isolated is shorter than {asks}"),
        ),
    };
    Reason::new(code, rule.source, text)
}

/// No leak above the limit.
fn no_leak(input: &Input, detail: &Detail) -> String {
    let [_, low, high] = detail.leak;
    if high.si() > 0.0 {
        format!("no leak seen; at most {}", high.show(input.units))
    } else {
        format!(
            "no leak seen: apart from what levels off the pressure falls by {} to {}, which no leak does",
            RiseRate::from_si(-high.si()).show(input.units).number(),
            RiseRate::from_si(-low.si()).show(input.units)
        )
    }
}

pub(super) fn unseen(input: &Input, detail: &Detail, pumping: bool) -> Vec<String> {
    let mut out = Vec::new();
    if pumping {
        out.push("Any leak and any water: while the pump pulls, neither shows.".into());
        return out;
    }
    if !detail.steps.is_empty() {
        let (from, to) = detail.fitted_min;
        out.push(format!(
            "A leak that came or went with the sudden change: the steady rise is of {from:.1} to {to:.1} min alone."
        ));
    }
    let [_, low, high] = detail.leak;
    if high.si() <= 0.0 {
        out.push(format!(
            "A leak smaller than what drifts down or is taken up here, {}, would not have been seen.",
            RiseRate::from_si(-low.si()).show(input.units)
        ));
    } else if low.si() <= 0.0 {
        out.push(format!(
            "A leak below {} would not have been seen.",
            high.show(input.units)
        ));
    }
    out.extend([
        "A leak that opens only under pressure: 500 psig of nitrogen drives the same hole 35 to 1,200 times harder. A passed rise does not replace the standing pressure test.".into(),
        "Oil or rubber in the hoses that gives off vapour looks like water.".into(),
    ]);
    let left: Vec<_> = Segment::ALL
        .iter()
        .filter(|s| **s != Segment::Hoses && !input.covers.contains(s))
        .map(|s| s.words())
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
