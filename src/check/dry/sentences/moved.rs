//! What was moved while the log ran: the pump shut off, a valve, the gauge.

use super::super::detail::Detail;
use super::super::input::Input;
use super::super::method::Step;
use super::super::reasons;
use super::State;
use crate::check::{Outcome, Reason};
use crate::source::SourceId;

/// Told one by one; of more only how many.
const MOST_TOLD: usize = 3;
/// So many readings over so many minutes after a step can be judged alone.
const ENOUGH_READINGS: usize = 4;
const ENOUGH_MIN: f64 = 1.0;

/// The pump still pulled, and where it seems to be shut off.
pub(super) fn pumping(input: &Input, state: &State, first: f64) -> Reason {
    match &state.proposal {
        Some(found) => Reason::new(
            reasons::SEEMS_SHUT_OFF,
            SourceId::DryMethod,
            format!(
                "the pump seems to be shut off at {:.1} min ({}): if it was, say {}",
                found.from_minute,
                found.why,
                isolated_after(input, found.from_minute)
            ),
        ),
        None => Reason::new(
            reasons::PUMPING,
            SourceId::DryMethod,
            format!(
                "the pressure falls from {first:.0} to {:.0} micron: the pump was still pulling; give only what was read after the valve to it was shut, or say when that was with --isolated-after",
                state.last
            ),
        ),
    }
}

/// The sudden changes, and what they leave to judge.
pub(super) fn steps(input: &Input, detail: &Detail, state: &State) -> Vec<Reason> {
    let Some(last) = detail.steps.last() else {
        return Vec::new();
    };
    let say = |code, text| Reason::new(code, SourceId::DryMethod, text);
    let told = detail.steps.iter().take(MOST_TOLD).map(step_words);
    let told: Vec<String> = told.collect();
    let others = match detail.steps.len().saturating_sub(MOST_TOLD) {
        0 => String::new(),
        others => format!(", and {others} times more"),
    };
    let next = if state.outcome != Outcome::Undecided || state.pumping {
        String::new()
    } else if state.read_after_step >= ENOUGH_READINGS && state.since_step >= ENOUGH_MIN {
        format!(
            "; if you know what it was and left all alone since, judge what came after it by itself: {}",
            isolated_after(input, last.until_minutes)
        )
    } else {
        "; hold again with every valve left alone".into()
    };
    let why = if state.pumping {
        "something was switched"
    } else {
        "a valve was moved, trapped gas came in or the gauge was touched"
    };
    let step = say(
        reasons::STEP,
        format!("the pressure {}{others}: {why}{next}", told.join(" and ")),
    );
    let (from, to) = detail.fitted_min;
    let stretch = say(
        reasons::STRETCH,
        format!(
            "only the longest stretch without such a change, {from:.1} to {to:.1} min, was fitted: the steady rise is of that stretch"
        ),
    );
    // while a pump pulls, no fit counts
    if state.pumping {
        vec![step]
    } else {
        vec![step, stretch]
    }
}

fn step_words(step: &Step) -> String {
    let (from, to) = (step.from_micron, step.to_micron);
    let how = if to > from { "jumped" } else { "fell suddenly" };
    format!(
        "{how} at {:.1} min, from {from:.0} to {to:.0} micron",
        step.minutes
    )
}

/// What to type to judge only what came after a time: on the log's own clock.
fn isolated_after(input: &Input, minutes: f64) -> String {
    format!("--isolated-after {:.2}min", input.before_min + minutes)
}
