//! What *run* says of a running log.

use super::{HUNTING, LOG_BY_HAND, LOG_GAPS, LOG_TOO_SHORT, NOT_STEADY, STEADY_WINDOW, said};
use crate::check::Reason;
use crate::check::run::steady::{Channel, Hunting, Steady, Still, Window};
use crate::quantity::{Quantity, unit};
use crate::source::SourceId;

/// What is said of a log beside any outcome.
pub(in crate::check::run) fn beside(steady: &Steady) -> Vec<Reason> {
    let mut reasons = Vec::new();
    match &steady.window {
        None => reasons.push(too_short(steady)),
        Some(window) if window.is_steady() => reasons.push(stands_still(steady, window)),
        Some(_) => {}
    }
    reasons.extend(steady.hunting.as_ref().map(hunting));
    if !steady.gaps.is_empty() {
        reasons.push(gaps(steady));
    }
    if !steady.by_hand.is_empty() {
        reasons.push(by_hand(&steady.by_hand));
    }
    reasons
}

/// The window never stands still.
pub(in crate::check::run) fn moves(steady: &Steady, window: &Window) -> Reason {
    let Some(worst) = window.worst() else {
        return super::not_steady();
    };
    let text = format!(
        "the log never stands still for {}: even in its steadiest window, {}, {}; log on until nothing moves more, with the compressor's speed held",
        minutes(steady.criteria.shortest.si()),
        span(window),
        nearest(steady, window, worst),
    );
    said(NOT_STEADY, SourceId::SteadyWindow, text)
}

fn stands_still(steady: &Steady, window: &Window) -> Reason {
    let nearest = window
        .worst()
        .map(|worst| format!("; nearest to its limit: {}", nearest(steady, window, worst)))
        .unwrap_or_default();
    let text = format!(
        "the readings are means over {} of the log, where it stands still{nearest}",
        span(window)
    );
    said(STEADY_WINDOW, SourceId::SteadyWindow, text)
}

/// What a channel does against its limit, in the words of whichever is nearer.
fn nearest(steady: &Steady, window: &Window, still: &Still) -> String {
    let shown = |si: f64| still.channel.kind().show_difference(si);
    let over = match window.to.si() - window.from.si() > steady.criteria.over.si() {
        true => "over the window".to_string(),
        false => format!("in {}", minutes(steady.criteria.over.si())),
    };
    if still.scatter_ratio >= still.change_ratio {
        return format!(
            "the {} scatters by {} about its line, limit {}",
            still.channel.words(),
            shown(still.scatter),
            shown(still.scatter_limit),
        );
    }
    format!(
        "the {} may move by {} {over}, limit {}",
        still.channel.words(),
        shown(still.may_move),
        shown(still.change_limit),
    )
}

fn hunting(hunting: &Hunting) -> Reason {
    let text = format!(
        "hunting: {}; a metering valve that hunts, or a compressor that switches on and off, would look like this; read it over whole periods, as the window does; it says nothing about charge",
        hunting.words()
    );
    said(HUNTING, SourceId::SteadyWindow, text)
}

fn too_short(steady: &Steady) -> Reason {
    let (Some(first), Some(last)) = (steady.log.seconds.first(), steady.log.seconds.last()) else {
        return said(LOG_TOO_SHORT, SourceId::SteadyWindow, "the log is empty");
    };
    let text = format!(
        "the log is too short: {} rows over {}, and a window takes {} without a gap and ten rows; log on for at least that long after everything has settled",
        steady.log.seconds.len(),
        minutes(last - first),
        minutes(steady.criteria.shortest.si()),
    );
    said(LOG_TOO_SHORT, SourceId::SteadyWindow, text)
}

fn gaps(steady: &Steady) -> Reason {
    let length = |gap: &&std::ops::Range<f64>| gap.end - gap.start;
    let longest = steady
        .gaps
        .iter()
        .max_by(|a, b| length(a).total_cmp(&length(b)));
    let longest = longest.map_or(String::new(), |gap| {
        format!(
            ", the longest from {:.1} to {}",
            gap.start / 60.0,
            minutes(gap.end)
        )
    });
    let text = match steady.gaps.len() {
        1 => format!(
            "the log has a gap{}; no window crosses it",
            longest.replace("the longest ", "")
        ),
        many => format!("the log has {many} gaps{longest}; no window crosses one"),
    };
    said(LOG_GAPS, SourceId::SteadyWindow, text)
}

fn by_hand(channels: &[Channel]) -> Reason {
    let names: Vec<&str> = channels.iter().map(|c| c.words()).collect();
    let text = format!(
        "typed beside the log, and used instead of it: {}",
        names.join(", ")
    );
    said(LOG_BY_HAND, SourceId::SteadyWindow, text)
}

fn span(window: &Window) -> String {
    format!(
        "{:.1} to {}",
        window.from.in_unit(unit::MINUTE),
        minutes(window.to.si())
    )
}

fn minutes(seconds: f64) -> String {
    let minutes = seconds / 60.0;
    if (minutes - minutes.round()).abs() < 1e-9 {
        format!("{minutes:.0} min")
    } else {
        format!("{minutes:.1} min")
    }
}
