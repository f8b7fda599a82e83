//! A test that is still going on: what is known of it now.

use super::page::Page;
use super::{Style, sentence};
use crate::check::tight::HoldLonger;
use crate::check::{Detail, Finding, Outcome, Reason, dry, tight};
use crate::quantity::{Dimension, Interval, PressureAbs, Quantity, UnitSystem};

/// How far a test is, in hours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Progress {
    /// Since its first reading.
    pub elapsed: f64,
    /// From its first reading to a decision; none where more time would not decide.
    pub needed: Option<f64>,
}

/// What the clock on the wall says beside a finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Now {
    /// Its time, "18:42:10".
    pub at: String,
    /// What happened to the file, if anything did.
    pub file: Option<String>,
    /// The last reading, and its hours since the first one.
    pub read: Option<(f64, PressureAbs)>,
    /// Units for the numbers.
    pub units: UnitSystem,
}

/// A screen for a terminal: the sentence, then what a good line would read now, the loss, and how much longer.
pub fn followed(finding: &Finding, now: &Now, style: Style) -> String {
    let mut page = Page::narrow(style);
    page.strong(&lead(finding));
    page.blank();
    for (name, words) in entries(finding, now) {
        page.entry(name, &words);
    }
    let (done, at) = (amount(progress(finding, now.read)), &now.at);
    page.entry("time", &format!("{done}; looked at {at}"));
    if let Some(file) = &now.file {
        page.entry("file", &sentence(file));
    }
    page.text
}

/// The same in one line, for a file or a pipe.
pub fn followed_line(finding: &Finding, now: &Now) -> String {
    let entries = entries(finding, now);
    let entries = entries
        .iter()
        .map(|(name, words)| format!("{name} {words}"));
    let entries: Vec<String> = entries.collect();
    let (at, outcome) = (&now.at, finding.outcome.words());
    let done = amount(progress(finding, now.read));
    let rise = so_far(finding).map_or(String::new(), |reason| format!(": {}", reason.text));
    format!("{at}  {outcome}{rise}; {}; {done}\n", entries.join("; "))
}

/// While there is nothing to judge yet.
pub fn waiting(why: &str, now: &Now) -> String {
    let file = now
        .file
        .as_ref()
        .map(|file| format!("{}\n", sentence(file)));
    let file = file.unwrap_or_default();
    format!(
        "{file}{} Looked at {}.\n",
        sentence(&format!("waiting for readings: {why}")),
        now.at
    )
}

/// How far the test is.
pub fn progress(finding: &Finding, read: Option<(f64, PressureAbs)>) -> Progress {
    let at = |last: Option<f64>| read.map(|(hours, _)| hours).or(last).unwrap_or(0.0);
    match &finding.detail {
        Detail::Tight(detail) => {
            let elapsed = at(detail.points.last().map(|p| p.hours));
            let needed = match detail.hold_longer {
                HoldLonger::Decided => Some(elapsed),
                HoldLonger::Hours(hours) => Some(elapsed + hours),
                HoldLonger::Never(_) => None,
            };
            Progress { elapsed, needed }
        }
        Detail::Dry(detail) => {
            let elapsed = at(detail.points.last().map(|p| p.minutes / 60.0));
            let needed = match finding.outcome {
                Outcome::Undecided => detail.hold_longer_min.map(|m| elapsed + m / 60.0),
                _ => Some(elapsed),
            };
            Progress { elapsed, needed }
        }
        _ => Progress {
            elapsed: 0.0,
            needed: None,
        },
    }
}

fn lead(finding: &Finding) -> String {
    let outcome = sentence(finding.outcome.words());
    match finding.reasons.first() {
        Some(reason) => format!("{outcome} {}", sentence(&reason.text)),
        None => outcome,
    }
}

/// What an undecided rise tells so far: "it levels off near 218 micron; 6 min more should tell a leak from water".
fn so_far(finding: &Finding) -> Option<&Reason> {
    let Detail::Dry(_) = &finding.detail else {
        return None;
    };
    let undecided = finding.outcome == Outcome::Undecided;
    finding.reasons.first().filter(|_| undecided)
}

/// How long it has stood, and of how long.
fn amount(progress: Progress) -> String {
    let Progress { elapsed, needed } = progress;
    let whole = needed.unwrap_or(elapsed);
    let (scale, word) = if whole < 3.0 {
        (60.0, "min")
    } else {
        (1.0, "h")
    };
    let number = |hours: f64| match hours * scale {
        few if few < 10.0 => format!("{few:.1}"),
        many => format!("{many:.0}"),
    };
    match needed {
        Some(needed) if needed > elapsed => {
            format!("{} of about {} {word}", number(elapsed), number(needed))
        }
        Some(_) => format!("{} {word}, decided", number(elapsed)),
        None => format!("{} {word}; longer would not decide", number(elapsed)),
    }
}

fn entries(finding: &Finding, now: &Now) -> Vec<(&'static str, String)> {
    match &finding.detail {
        Detail::Tight(detail) => of_hold(detail, now),
        Detail::Dry(detail) => {
            let led = so_far(finding).is_some_and(|reason| reason.code == dry::reasons::WAIT);
            of_rise(detail, led, now)
        }
        _ => Vec::new(),
    }
}

fn of_hold(detail: &tight::Detail, now: &Now) -> Vec<(&'static str, String)> {
    let units = now.units;
    let mut out = Vec::new();
    let gauge = |p: PressureAbs| p.to_gauge(detail.barometer);
    if let Some((_, read)) = now.read {
        out.push(("gauge now", gauge(read).show(units).to_string()));
    }
    if let Some(last) = detail.points.last() {
        let tight = Interval {
            estimate: gauge(last.expected).si(),
            low: gauge(last.low).si(),
            high: gauge(last.high).si(),
            dimension: Dimension::PressureGauge,
        };
        // many readings are judged as means of a stretch each, and so the last point lies a little back
        let mean = now
            .read
            .filter(|(hours, _)| (hours - last.hours).abs() > 1e-6);
        let beside = mean.map_or_else(String::new, |_| {
            let read = gauge(last.read).show(units);
            format!(", over the last stretch of the log, which read {read} on the mean")
        });
        out.push(("a tight line", format!("{}{beside}", tight.show(units))));
    }
    let loss = Interval {
        estimate: detail.loss[0].si(),
        low: detail.loss[1].si(),
        high: detail.loss[2].si(),
        dimension: Dimension::PressureRate,
    };
    let limit = detail.limit.show(units);
    out.push(("loss", format!("{} (limit {limit})", loss.show(units))));
    out.push((
        "still needed",
        match &detail.hold_longer {
            HoldLonger::Decided => "nothing: it is decided".into(),
            HoldLonger::Hours(hours) => format!("about {hours:.0} h"),
            HoldLonger::Never(why) => format!("longer would not decide: {why}"),
        },
    ));
    out
}

/// `led`: where it levels off and how long is still needed stood in front.
fn of_rise(detail: &dry::Detail, led: bool, now: &Now) -> Vec<(&'static str, String)> {
    let units = now.units;
    let mut out = Vec::new();
    if let Some((_, read)) = now.read {
        out.push(("gauge now", read.show(units).to_string()));
    }
    if let Some(last) = detail.points.last() {
        out.push(("as fitted", last.fitted.show(units).to_string()));
    }
    out.push(("steady rise", detail.steady().show(units)));
    if let Some(level) = detail.levels_off.filter(|_| !led) {
        out.push(("levels off", format!("near {}", level.words(units))));
    }
    if let Some(minutes) = detail.hold_longer_min.filter(|_| !led) {
        out.push(("still needed", format!("about {minutes:.0} min")));
    }
    out
}
