//! Findings that come from the evidence itself: none, out of date, replaced, a technician's.

use crate::check::{Finding, Outcome, Reason, Segment, Stage};
use crate::record::coverage::EVIDENCE_SOURCE;
use crate::record::{Applies, Event};
use crate::source::SourceId;

macro_rules! codes {
    ($($id:ident = $code:literal, $meaning:literal;)*) => {
        $(#[doc = $meaning] pub const $id: &str = $code;)*
        /// Every code with its meaning.
        pub const CODES: &[(&str, &str)] = &[$(($id, $meaning),)*];
    };
}

codes! {
    NONE = "evidence-none", "Nothing has been recorded for the stage yet.";
    REPLACED = "evidence-replaced", "Another step takes the stage's place on this route.";
    OUT_OF_DATE = "evidence-out-of-date", "A later event touched what the evidence covered.";
    COVERAGE_GAP = "evidence-coverage-gap", "The evidence does not cover all of the line set.";
    TECHNICIAN = "evidence-technician", "A technician wrote it down.";
    TECHNICIANS_WORK = "evidence-technicians-work", "On this route the stage belongs to a certified technician.";
    FACTS_MISSING = "evidence-facts-missing", "Facts are missing that the stage is judged from.";
    NO_JOINTS = "evidence-no-joints", "No joint is listed in the facts.";
    WATCH_DOOR = "evidence-watch-door", "Comparing readings over the seasons is not part of this version.";
}

fn own(code: &'static str, text: impl Into<String>) -> Reason {
    Reason::new(code, EVIDENCE_SOURCE, text)
}

/// Nothing recorded.
pub(super) fn none(stage: Stage) -> Finding {
    Finding::plain(
        stage,
        Outcome::NotDone,
        vec![own(NONE, "nothing recorded yet")],
    )
}

/// Another step takes its place.
pub(super) fn replaced(stage: Stage, by: &str, source: SourceId) -> Finding {
    Finding::plain(
        stage,
        Outcome::DoesNotApply,
        vec![Reason::new(REPLACED, source, by)],
    )
}

/// No joints listed.
pub(super) fn no_joints() -> Finding {
    let text =
        "no joint is listed: add every joint as [[joint]] in lineset.toml, the factory's too";
    Finding::plain(Stage::Joints, Outcome::NotDone, vec![own(NO_JOINTS, text)])
}

/// Facts that *charge* needs.
pub(super) fn facts_missing() -> Finding {
    let text = "lineset.toml lacks one of: refrigerant, nameplate_charge, included_length, charge_factor, liquid line";
    Finding::plain(
        Stage::Charge,
        Outcome::NotDone,
        vec![own(FACTS_MISSING, text)],
    )
}

/// The refrigerant's name is missing.
pub(super) fn facts_missing_for(stage: Stage) -> Finding {
    Finding::plain(
        stage,
        Outcome::NotDone,
        vec![own(
            FACTS_MISSING,
            "lineset.toml does not name the refrigerant",
        )],
    )
}

/// The door of *watch*.
pub(super) fn watch_door() -> Finding {
    let text = "read the same numbers again after a day, a week and a season and keep them; comparing them is not part of this version";
    Finding::plain(Stage::Watch, Outcome::NotDone, vec![own(WATCH_DOOR, text)])
}

/// A technician's word stands for the owner's test.
pub(super) fn technician(stage: Stage, event: &Event) -> Finding {
    let text = format!("a technician did this on {}", event.at.civil().date());
    let mut finding = Finding::plain(stage, Outcome::Pass, vec![own(TECHNICIAN, text)]);
    finding.unseen.push(
        "How it was measured: the record holds the technician's word, not the readings.".into(),
    );
    finding
}

/// Says whose work it is, where it is not the owner's.
pub(super) fn belongs_to(applies: Applies, mut finding: Finding) -> Finding {
    if let Applies::Technician { why, source } = applies
        && finding.outcome != Outcome::Pass
    {
        finding
            .reasons
            .push(Reason::new(TECHNICIANS_WORK, source, why));
    }
    finding
}

/// The finding stood until something it covered was touched.
pub(super) fn out_of_date(
    mut finding: Finding,
    by: &Event,
    voided: &[(Segment, usize)],
) -> Finding {
    let mut touched: Vec<&str> = voided.iter().map(|(s, _)| s.words()).collect();
    touched.dedup();
    let text = format!(
        "it came out as {}, and then an event ({}, {}) touched {}",
        finding.outcome.words(),
        by.body.word().replace('-', " "),
        by.at.civil().date(),
        touched.join(", ")
    );
    finding.outcome = Outcome::OutOfDate;
    finding.reasons.insert(0, own(OUT_OF_DATE, text));
    finding
}

/// The segments that passing evidence still covers.
#[derive(Debug, Default)]
pub(super) struct Standing(Vec<Segment>);

impl Standing {
    /// Adds what one piece of evidence still covers.
    pub fn add(&mut self, segments: &[Segment]) {
        self.0.extend(segments);
    }

    /// A pass holds only when all of the line set is covered.
    pub fn judge(&self, mut finding: Finding, needed: &[Segment]) -> Finding {
        let open: Vec<&str> = needed
            .iter()
            .filter(|s| !self.0.contains(s))
            .map(|s| s.words())
            .collect();
        if !open.is_empty() {
            finding.outcome = Outcome::Undecided;
            let text = format!(
                "it passes for what it covered, and {} was not covered",
                open.join(", ")
            );
            finding.reasons.insert(0, own(COVERAGE_GAP, text));
        }
        finding
    }
}
