//! Plain text for the terminal: the sentence first, then why, then the numbers.

mod charge;
mod followed;
mod hold_card;
mod log_preview;
mod page;
mod plan;
mod preview;
mod running;
mod steady;
mod summary;
mod told;
mod verified;
mod weigh_in;
mod why;

pub use charge::charge;
pub use followed::{Now, Progress, followed, followed_line, progress, waiting};
pub use hold_card::hold_card;
pub use log_preview::log_preview;
pub use plan::{plan, revealed, tallies};
pub use preview::{before_report, preview};
pub use running::running;
pub use steady::steady;
pub use summary::summary;
pub use told::told;
pub use verified::verification;
pub use weigh_in::weigh_in;
pub use why::why;

use self::page::Page;
use super::sentence;
use super::sheet::{Lead, Sheet, Sources, StageSheet, bring, first};
use crate::check::{Caution, Finding, NamedInterval, Stage};
use crate::decide::{Decision, Meanwhile};
use crate::quantity::UnitSystem;
use crate::source::SourceId;

/// Whether headings are bold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Style {
    /// No control codes: for files and pipes.
    #[default]
    Plain,
    /// Bold headings by ANSI codes.
    Ansi,
}

/// A whole sheet: the decision, why, what next, then everything that is known of each stage.
pub fn sheet(sheet: &Sheet, style: Style) -> String {
    let sources = sheet.sources();
    let mut page = Page::new(style);
    answer(&mut page, &sheet.decision, &sources);
    next(&mut page, &sheet.decision);

    page.heading("Stages");
    for stage in &sheet.stages {
        stage_line(&mut page, stage, &sources);
    }
    beside_the_rise(&mut page, sheet, &sources);
    let unseen: Vec<_> = sheet.unseen().collect();
    if !unseen.is_empty() {
        page.heading("What the tests could not have seen");
        for (stage, text) in unseen {
            page.entry(stage.word(), &sentence(text));
        }
    }
    joints(&mut page, sheet);
    if !sheet.warnings.is_empty() {
        page.heading("Warnings");
        page.list(sheet.warnings.iter().map(String::as_str));
    }
    page.heading("Record");
    let invented = if sheet.invented {
        " (invented example)"
    } else {
        ""
    };
    page.entry("name", &format!("{}{invented}", sheet.record));
    page.entry("place", &sheet.place);
    page.entry("equipment", &sheet.equipment);
    page.entry("refrigerant", &sheet.refrigerant);
    page.entry("route", &sheet.route);
    page.entry("made", &sheet.made_at);
    cited(&mut page, &sources);
    page.text
}

/// A decision alone.
pub fn decision(decision: &Decision, style: Style) -> String {
    let mut sources = Sources::default();
    decision
        .grounds
        .iter()
        .for_each(|g| sources.mention(g.source));
    let mut page = Page::new(style);
    answer(&mut page, decision, &sources);
    next(&mut page, decision);
    page.heading("Stages");
    for (stage, outcome) in &decision.stages {
        page.entry(stage.word(), outcome.words());
    }
    cited(&mut page, &sources);
    page.text
}

/// One finding, for a command that judges one thing.
pub fn finding(finding: &Finding, cautions: &[Caution], units: UnitSystem, style: Style) -> String {
    let sources = Sources::of_finding(finding, cautions);
    let mut page = Page::new(style);
    found(&mut page, finding, units, &sources);
    beside(&mut page, finding, cautions, &sources);
    page.text
}

/// The outcome, its numbers and its reasons.
fn found(page: &mut Page, finding: &Finding, units: UnitSystem, sources: &Sources) {
    let outcome = match finding.stop() {
        Some(_) => sentence("stop"),
        None => sentence(finding.outcome.words()),
    };
    let mut reasons = finding.reasons.iter();
    match reasons.next() {
        None => page.strong(&format!("{} {outcome}", sentence(finding.stage.question()))),
        Some(lead) => {
            page.strong(&format!("{outcome} {}", sentence(&lead.text)));
            page.paragraph("  ", "  ", &tag(lead.code, lead.source, sources));
        }
    }
    if !finding.figures.is_empty() {
        page.heading("Numbers");
        figures(page, &finding.figures, units, sources);
    }
    if reasons.len() > 0 {
        page.heading("Why");
        for reason in reasons {
            page.item(&said(&reason.text, reason.code, reason.source, sources));
        }
    }
}

/// What the evidence could not have seen, what it covers, what to mind, and the sources.
fn beside(page: &mut Page, finding: &Finding, cautions: &[Caution], sources: &Sources) {
    if !finding.unseen.is_empty() {
        page.heading("What this could not have seen");
        page.list(finding.unseen.iter().map(String::as_str));
    }
    if !finding.covers.is_empty() {
        let covers: Vec<_> = finding.covers.iter().map(|s| s.words()).collect();
        page.heading("Covers");
        page.paragraph("  ", "  ", &covers.join(", "));
    }
    if !cautions.is_empty() {
        page.heading("Mind");
        for caution in cautions {
            page.item(&format!(
                "{} {}",
                sentence(caution.text),
                reference(caution.source, sources)
            ));
        }
    }
    cited(page, sources);
}

/// Remarks below a result: rows left out, the atmosphere used.
pub fn notes(notes: &[String]) -> String {
    if notes.is_empty() {
        return String::new();
    }
    let mut page = Page::new(Style::Plain);
    page.heading("Notes");
    page.list(notes.iter().map(String::as_str));
    page.text
}

/// The card for the moment gas is heard.
pub fn hissing(style: Style) -> String {
    let mut page = Page::new(style);
    page.strong("Gas is heard: do this, in this order.");
    page.blank();
    for (i, act) in crate::decide::hissing::CARD.iter().enumerate() {
        page.paragraph(&format!("{:>2}. ", i + 1), "    ", act.text);
        page.paragraph("    ", "    ", act.detail);
    }
    page.blank();
    page.paragraph(
        "",
        "",
        "The unit's own safety pages and the fire service come before this card.",
    );
    page.text
}

fn answer(page: &mut Page, decision: &Decision, sources: &Sources) {
    let lead = Lead::of(decision);
    let headline = format!("{}: {}", decision.verdict.words(), lead.words);
    page.strong(&sentence(&headline));
    if let Some(ground) = lead.ground {
        page.paragraph("  ", "  ", &tag(ground.code, ground.source, sources));
    }
    page.blank();
    page.entry("decision", decision.verdict.words());
    page.entry("meanwhile", decision.meanwhile.words());
    page.entry("how soon", decision.how_soon.words());
    if decision.meanwhile == Meanwhile::RunWithStopSigns {
        page.heading("Switch it off at the first of these signs");
        page.list(decision.stop_signs.iter().copied());
    }
    if !lead.others.is_empty() {
        page.heading(if lead.ground.is_some() { "Also" } else { "Why" });
        for ground in lead.others {
            page.item(&said(&ground.text, ground.code, ground.source, sources));
        }
    }
}

fn next(page: &mut Page, decision: &Decision) {
    if !decision.next.is_empty() {
        page.heading("Next");
        for (i, step) in decision.next.iter().enumerate() {
            page.paragraph(&format!("  {}. ", i + 1), "     ", &sentence(&step.text));
            if let Some(command) = &step.command {
                page.verbatim("       ", command);
            }
        }
    }
    if !decision.would_change.is_empty() {
        page.heading("Would change if, the cheapest first");
        for change in &decision.would_change {
            let effort = change.effort.words();
            page.item(&format!("{} ({effort})", sentence(&change.text)));
            page.paragraph("    ", "    ", &sentence(&change.narrows));
            if let Some(command) = &change.command {
                page.verbatim("      ", command);
            }
        }
    }
    let first = first(decision);
    if !first.is_empty() {
        page.heading("Before the technician comes");
        page.list(first.into_iter());
    }
    let bring = bring(decision);
    if !bring.is_empty() {
        page.heading("What the technician should bring");
        page.list(bring.into_iter());
    }
}

fn stage_line(page: &mut Page, stage: &StageSheet, sources: &Sources) {
    let outcome = stage.outcome().words();
    let source = stage.finding.reasons.first().map(|r| r.source);
    let reason = match (&stage.replaced_by, stage.main_reason()) {
        (Some(by), _) => format!("replaced by: {by}"),
        (None, Some(text)) => sentence(text),
        (None, None) => String::new(),
    };
    let reference = match (&stage.replaced_by, source) {
        (None, Some(source)) => reference(source, sources),
        _ => String::new(),
    };
    let head = format!("  {:<8}{outcome:<16}", stage.stage().word());
    page.paragraph(
        &head,
        &" ".repeat(head.len()),
        &format!("{reason} {reference}"),
    );
}

/// What a vacuum rise is read with: where it begins, the standing pressure test, the pump-down before it.
fn beside_the_rise(page: &mut Page, sheet: &Sheet, sources: &Sources) {
    use crate::check::dry::reasons::{ISOLATED_FROM, STANDING_BINDS};
    let dry = sheet.stages.iter().filter(|s| s.stage() == Stage::Dry);
    let beside: Vec<_> = dry
        .flat_map(|stage| &stage.finding.reasons)
        .filter(|r| [ISOLATED_FROM, STANDING_BINDS].contains(&r.code))
        .collect();
    let pumped = sheet.pump_down.iter().flat_map(|p| &p.lines);
    if beside.is_empty() && sheet.pump_down.is_none() {
        return;
    }
    page.heading("Beside the vacuum rise");
    for reason in beside {
        page.item(&said(&reason.text, reason.code, reason.source, sources));
    }
    for line in pumped {
        page.item(&told::line(line, sources));
    }
}

/// The joints ledger, what is not proven first.
fn joints(page: &mut Page, sheet: &Sheet) {
    for (proof, joints) in sheet.joints_by_proof() {
        page.heading(&format!("Joints: {}", proof.words()));
        for joint in joints {
            let factory = if joint.factory { "factory " } else { "" };
            page.item(&format!(
                "{} ({factory}{}, {}): {}",
                joint.id, joint.kind, joint.place, joint.state
            ));
        }
    }
}

fn figures(page: &mut Page, figures: &[NamedInterval], units: UnitSystem, sources: &Sources) {
    let widest = figures.iter().map(|f| f.name.chars().count()).max();
    let widest = widest.unwrap_or(0);
    for figure in figures {
        let head = format!("  {:<widest$}  ", figure.name);
        let numbers = figure.interval.show(units);
        let numbers = format!("{numbers} {}", reference(figure.source, sources));
        page.paragraph(&head, &" ".repeat(head.chars().count()), &numbers);
    }
}

fn cited(page: &mut Page, sources: &Sources) {
    if sources.is_empty() {
        return;
    }
    page.heading("Sources");
    for (number, source) in sources.numbered() {
        page.paragraph(
            &format!("{:>4}  ", format!("[{number}]")),
            "      ",
            &source.cite(),
        );
    }
}

fn said(text: &str, code: &str, source: SourceId, sources: &Sources) -> String {
    format!("{} {}", sentence(text), tag(code, source, sources))
}

fn tag(code: &str, source: SourceId, sources: &Sources) -> String {
    format!("({code}) {}", reference(source, sources))
}

fn reference(source: SourceId, sources: &Sources) -> String {
    sources
        .number(source)
        .map_or_else(String::new, |n| format!("[{n}]"))
}
