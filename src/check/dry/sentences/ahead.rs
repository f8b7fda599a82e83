//! What the shape of the rise tells so far, and how much longer to hold.

use super::super::detail::{Detail, Near};
use super::super::input::Input;
use super::super::reasons;
use super::super::rules::Rule;
use super::State;
use crate::check::{Outcome, Reason};
use crate::quantity::{Duration, PressureAbs, Quantity, RiseRate, UnitSystem, unit};
use crate::source::SourceId;
use crate::stats::decision::SURE;

/// A steady rise of this part of the later one was there before it grew.
const MATTERS: f64 = 0.1;

/// What stands in front while waiting decides: where it levels off and how many minutes more.
pub(super) fn lead(input: &Input, detail: &Detail, state: &State) -> Option<Reason> {
    let more = detail.hold_longer_min?;
    if !state.waits || state.for_rule_only {
        return None;
    }
    let shape = match &state.likely_level {
        Some(level) if detail.moisture > SURE => level_words(level, input, detail, state),
        Some(level) if !detail.leak_seen() => {
            format!("it may level off near {}", level.words(input.units))
        }
        _ if state.rose => "no levelling off is seen yet".into(),
        _ => "it holds so far".into(),
    };
    let text = format!(
        "{shape}; {:.0} min more should tell a leak from water",
        more.ceil()
    );
    Some(Reason::new(reasons::WAIT, SourceId::DryMethod, text))
}

/// The same where something else stands in front.
pub(super) fn wait(detail: &Detail, state: &State, rule: &Rule) -> Option<Reason> {
    let say = |text: String| Some(Reason::new(reasons::WAIT, SourceId::DryMethod, text));
    let counted = if detail.steps.is_empty() {
        ""
    } else {
        ", counted after the change and with nothing touched,"
    };
    match detail.hold_longer_min.map(f64::ceil) {
        Some(more) if state.for_rule_only => say(format!(
            "{more:.0} min more{counted} reach the {:.0} min of the rule",
            rule.hold_min
        )),
        Some(more) => say(format!(
            "{more:.0} min more{counted} should tell a leak from water"
        )),
        None if state.outcome != Outcome::Pass && !state.settled && !state.leaks => {
            say("too early to tell a leak from water: pump again and hold longer".into())
        }
        None => None,
    }
}

/// Where it levels off, beside what else makes it rise.
pub(super) fn level_words(
    level: &Near<PressureAbs>,
    input: &Input,
    detail: &Detail,
    state: &State,
) -> String {
    let near = level.words(input.units);
    let surely_tight = 1.0 - detail.above_limit > SURE;
    if detail.leak_seen() && detail.leak[0].si() > 0.0 {
        format!("without the steady rise it would level off near {near}")
    } else if state.settled || surely_tight {
        format!("it levels off near {near}")
    } else {
        format!("if nothing leaks it levels off near {near}")
    }
}

/// When to read next, and what that buys.
pub(super) fn next_reading(state: &State) -> Option<Reason> {
    let next = state.next?;
    let width = |width: f64| RiseRate::of(width, unit::MICRON_PER_MINUTE).show(UnitSystem::Us);
    let text = format!(
        "read the gauge again at {:.0} min: it should show about {:.0} micron, and what the steady rise could be narrows from a range of {} to about {}",
        next.minutes,
        next.likely_micron,
        width(next.width_now).number(),
        width(next.width_then)
    );
    Some(Reason::new(
        reasons::NEXT_READING,
        SourceId::DryMethod,
        text,
    ))
}

/// A steady rise that began or grew while the vacuum was held.
pub(super) fn starts_late(input: &Input, detail: &Detail, state: &State) -> Option<Reason> {
    let began = minutes(&detail.starts_late?);
    let steady = detail.steady().show(input.units);
    let before = detail.rate_before?;
    let grew = before.si() > MATTERS * detail.leak[0].si();
    let text = match (grew, state.leaks) {
        (true, _) => format!(
            "it rose by {} at first and faster after {began}: a leak that grew, or a gauge that reads unevenly over its range",
            before.show(input.units)
        ),
        (false, true) => format!(
            "it began at {began}, not when the pump was shut off: look for what gave way or was touched then, such as a cap, a valve stem or a hose"
        ),
        (false, false) => {
            format!("a steady rise seems to have begun at {began}, of {steady}")
        }
    };
    Some(Reason::new(reasons::STARTS_LATE, SourceId::DryMethod, text))
}

/// "about 12 min, could be 9 to 15".
fn minutes(at: &Near<Duration>) -> String {
    let [near, low, high] = [at.near, at.low, at.high].map(|m| m.in_unit(unit::MINUTE));
    match high - low {
        wide if wide > 2.0 => format!("about {near:.0} min, could be {low:.0} to {high:.0}"),
        some if some > 0.2 => format!("about {near:.1} min, could be {low:.1} to {high:.1}"),
        _ => format!("{near:.1} min"),
    }
}
