//! The sentences of the vacuum rise: why, and what it could not have seen.

use super::criteria::{Criteria, micron};
use super::detail::Detail;
use super::input::Input;
use super::method::RiseFit;
use super::reasons;
use crate::check::{Reason, Segment};
use crate::fluid::water;
use crate::quantity::{LeakRate, PressureAbs, Quantity, Temperature, unit};
use crate::source::SourceId;
use crate::stats::decision::SURE;

/// How a level stands against the rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Level {
    Met,
    Gap,
    NotMet,
    TooShort,
}

/// What the sentences need beside the result.
pub(super) struct State {
    pub level: Level,
    pub leaks: bool,
    pub wet: bool,
    pub settled: bool,
    pub pumping: bool,
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
) -> Vec<Reason> {
    let rule = criteria.rule;
    let (first, last) = (micron(detail.from_to.0), state.last);
    let by_method = |code, text: String| Reason::new(code, SourceId::DryMethod, text);
    let by_rule = |code, text: String| Reason::new(code, rule.source, text);
    let rate = |i: usize| format!("{:.1}", detail.leak[i].in_unit(unit::MICRON_PER_MINUTE));
    let asks = rule.words();
    let by_level = match state.level {
        Level::Met if last > rule.pass_micron => by_rule(
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
    if state.pumping {
        let text = format!(
            "the pressure falls from {first:.0} to {last:.0} micron: the pump was still pulling; give only what was read after the valve to it was shut"
        );
        return vec![by_method(reasons::PUMPING, text)];
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
            .and_then(|at| liquid_water(at, input.coldest)),
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
    out
}

/// Whether a level is the vapour pressure of water or ice at the coldest part.
fn liquid_water(level: PressureAbs, coldest: Option<Temperature>) -> Option<Reason> {
    let coldest = coldest?;
    let (vapour, phase) = water::vapour_pressure(coldest).ok()?;
    if !(0.8..=1.2).contains(&(level.si() / vapour.si())) {
        return None;
    }
    let what = match phase {
        water::Phase::Ice => "ice",
        water::Phase::Liquid => "liquid water",
    };
    let text = format!(
        "that is the vapour pressure of {what} at the coldest part ({:.0} micron): {what} is in the lines",
        micron(vapour)
    );
    Some(Reason::new(
        reasons::LIQUID_WATER,
        SourceId::IapwsIf97,
        text,
    ))
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
