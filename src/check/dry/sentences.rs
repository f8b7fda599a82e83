//! The sentences of the vacuum rise: why, and what it could not have seen.

use super::assess::DryError;
use super::criteria::{Criteria, micron};
use super::detail::Detail;
use super::gauges::Apart;
use super::input::Input;
use super::isolate::Proposal;
use super::method::RiseFit;
use super::reasons;
use super::rules::{Level, Rule};
use crate::check::{Reason, Segment};
use crate::fluid::water;
use crate::quantity::{LeakRate, PressureAbs, Quantity, Temperature, unit};
use crate::source::SourceId;
use crate::stats::decision::SURE;

/// What the sentences need beside the result.
pub(super) struct State {
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
    pub limit: f64,
    pub last: f64,
}

pub(super) fn reasons_of(
    input: &Input,
    criteria: &Criteria,
    fit: &RiseFit,
    detail: &Detail,
    state: &State,
) -> Result<Vec<Reason>, DryError> {
    let rule = criteria.rule;
    let (first, last) = (micron(detail.from_to.0), state.last);
    let by_method = |code, text: String| Reason::new(code, SourceId::DryMethod, text);
    let by_rule = |code, text: String| Reason::new(code, rule.source, text);
    let rate = |i: usize| format!("{:.1}", detail.leak[i].in_unit(unit::MICRON_PER_MINUTE));
    let asks = rule.words();
    let by_level = match state.level {
        Level::Met if !rule.passes(last) => by_rule(
            reasons::RULE_MET,
            format!(
                "{first:.0} to {last:.0} micron in {:.0} min: met after {:.0} min and left again; {asks}",
                fit.minutes, rule.hold_min
            ),
        ),
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
    };
    let mut out = Vec::new();
    // a rule that is met or not leads, unless a cause was found
    let isolated = input.shut_off.as_ref().map(|shut_off| {
        let text = shut_off.words();
        Reason::new(reasons::ISOLATED_FROM, SourceId::DryMethod, text)
    });
    if state.pumping {
        let offset = input.shut_off.as_ref().map_or(0.0, |s| s.after_min);
        let pulled = pumping(state, offset, first, last);
        return Ok(std::iter::once(pulled).chain(isolated).collect());
    }
    let rule_leads = !state.leaks && !state.wet;
    if first > rule.start_micron {
        let text = format!(
            "{first:.0} micron at the start is above the {:.0} micron that {} asks for",
            rule.start_micron, rule.name
        );
        out.push(by_rule(reasons::STARTED_HIGH, text));
    }
    if rule_leads {
        out.push(by_level.clone());
    }
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
            .and_then(|at| meaning(at, input.coldest, state.wet)),
    );
    if !rule_leads {
        out.push(by_level);
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
    if let Some(standing) = &input.standing {
        // a rise that surely falls says no more than the limit
        let most = if detail.leak[2].si() > 0.0 {
            detail.leak[2]
        } else {
            criteria.leak_limit
        };
        out.push(Reason::new(
            reasons::STANDING_BINDS,
            crate::physics::leak::SOURCE,
            standing.words(most)?,
        ));
    }
    out.extend(isolated);
    out.extend(of_gauges(input, &rule, state));
    out.extend(detail.rules.iter().skip(1).map(|(rule, level)| {
        let text = format!("{}: {}", level.words(), rule.words());
        Reason::new(reasons::OTHER_RULE, rule.source, text)
    }));
    Ok(out)
}

/// The pump still pulled, and where it seems to be shut off.
fn pumping(state: &State, offset: f64, first: f64, last: f64) -> Reason {
    match &state.proposal {
        Some(found) => Reason::new(
            reasons::SEEMS_SHUT_OFF,
            SourceId::DryMethod,
            format!(
                "the pump seems to be shut off at {:.1} min ({}): if it was, say --isolated-after {:.2}min",
                offset + found.from_minute,
                found.why,
                offset + found.from_minute
            ),
        ),
        None => Reason::new(
            reasons::PUMPING,
            SourceId::DryMethod,
            format!(
                "the pressure falls from {first:.0} to {last:.0} micron: the pump was still pulling; give only what was read after the valve to it was shut"
            ),
        ),
    }
}

/// What the gauges themselves do to the answer.
fn of_gauges(input: &Input, rule: &Rule, state: &State) -> Vec<Reason> {
    let mut out = Vec::new();
    let mut say = |code, text: String| out.push(Reason::new(code, SourceId::DryMethod, text));
    if state.coarse {
        let step = input.gauge_resolution.in_unit(unit::MICRON_DIFF);
        say(
            reasons::COARSE_GAUGE,
            format!(
                "a gauge in steps of {step:.0} micron shows no level of {:.0} micron: take an electronic vacuum gauge that reads single micron",
                rule.pass_micron
            ),
        );
    }
    if let Some(apart) = state.apart {
        let text = format!(
            "the two gauges end at {:.0} and {:.0} micron: the higher is judged",
            apart.first, apart.second
        );
        say(reasons::GAUGES_DISAGREE, text);
    }
    if state.across {
        let text = format!(
            "one gauge meets {} and the other does not: no pass until both agree; put them side by side on the pump, clean or replace the one that is off",
            rule.name
        );
        say(reasons::GAUGES_ACROSS, text);
    }
    if let Some(ceiling) = state.ceiling {
        let text = format!(
            "its highest value, {ceiling:.0} micron, stands still: the most the gauge can show, left out"
        );
        say(reasons::CEILING_SEEN, text);
    }
    out
}

/// What a level means beside the vapour pressure of water or ice at the coldest part.
///
/// Within 20 % it is that; below it there is not enough water to stand as liquid or ice, or it is no water; above it the
/// part called coldest cannot hold it back, so nothing is said.
fn meaning(level: PressureAbs, coldest: Option<Temperature>, wet: bool) -> Option<Reason> {
    let Some(coldest) = coldest else {
        let text = "how cold was the coldest part? at the vapour pressure of water there (--coldest) it is liquid water or ice, below it a film of water, oil or rubber";
        return wet.then(|| Reason::new(reasons::ASK_COLDEST, SourceId::IapwsIf97, text));
    };
    let (vapour, phase) = water::vapour_pressure(coldest).ok()?;
    let (what, source) = match phase {
        water::Phase::Ice => ("ice", SourceId::IapwsR14),
        water::Phase::Liquid => ("liquid water", SourceId::IapwsIf97),
    };
    let at = micron(vapour);
    match level.si() / vapour.si() {
        share if share < 0.8 => {
            let text = format!(
                "that is below the vapour pressure of {what} at the coldest part ({at:.0} micron): a film of water, oil or rubber gives off vapour, no {what} stands in the lines"
            );
            Some(Reason::new(reasons::BELOW_WATER, source, text))
        }
        share if share <= 1.2 => {
            let text = format!(
                "that is the vapour pressure of {what} at the coldest part ({at:.0} micron): {what} is in the lines"
            );
            Some(Reason::new(reasons::LIQUID_WATER, source, text))
        }
        _ => None,
    }
}

pub(super) fn unseen(input: &Input, detail: &Detail) -> Vec<String> {
    let mut out = Vec::new();
    let [_, low, high] = detail
        .leak
        .map(|rate| rate.in_unit(unit::MICRON_PER_MINUTE));
    if low <= 0.0 && high > 0.0 {
        out.push(format!(
            "A leak below {high:.1} micron/min would not have been seen."
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
