//! The summary of a record: the answer, a line per stage, the next command, on one screen.

use super::page::Page;
use super::{Style, sentence};
use crate::check::Outcome;
use crate::decide::evidence;
use crate::decide::{Decision, Meanwhile, NextStep, Verdict};
use crate::out::sheet::Lead;
use crate::out::{Sheet, StageSheet};

/// Lines that the reason of one stage may take.
const REASON_LINES: usize = 2;
/// Steps that stand below *Next*.
const STEPS: usize = 3;
/// Joints that are named.
const JOINTS: usize = 6;

/// A sheet as a person would sum it up: about thirty lines of eighty columns, and how to see the rest.
pub fn summary(sheet: &Sheet, style: Style) -> String {
    let decision = &sheet.decision;
    let mut page = Page::narrow(style);
    let lead = Lead::of(decision);
    page.strong(&sentence(&format!(
        "{}: {}",
        decision.verdict.words(),
        lead.words
    )));
    page.paragraph(
        "",
        "",
        &format!(
            "Meanwhile: {}. How soon: {}.",
            decision.meanwhile.words(),
            decision.how_soon.words()
        ),
    );
    if decision.meanwhile == Meanwhile::RunWithStopSigns {
        let signs = decision.stop_signs.join("; ");
        page.paragraph("", "", &format!("Switch it off at: {signs}."));
    }
    page.blank();
    for stage in &sheet.stages {
        stage_lines(&mut page, stage);
    }
    unproven(&mut page, sheet);
    files(&mut page, sheet);
    next(&mut page, decision);
    cheapest(&mut page, decision);
    more(&mut page, &lead, decision);
    page.text
}

fn stage_lines(page: &mut Page, stage: &StageSheet) {
    let head = format!(
        "  {:<8}{:<16}",
        stage.stage().word(),
        stage.outcome().words()
    );
    let most = if stage.outcome() == Outcome::DoesNotApply {
        1
    } else {
        REASON_LINES
    };
    page.clipped(&head, &" ".repeat(head.len()), &reason(stage), most);
}

/// The one line that matters; a stage not begun asks its question.
fn reason(stage: &StageSheet) -> String {
    if let Some(by) = &stage.replaced_by {
        return sentence(by);
    }
    let said = stage.finding.reasons.iter();
    let mut telling = said.filter(|r| r.code != evidence::NONE && r.code != evidence::WATCH_DOOR);
    match telling.next() {
        Some(reason) => sentence(&reason.text),
        None if stage.outcome() == Outcome::NotDone => sentence(stage.stage().question()),
        None => String::new(),
    }
}

fn unproven(page: &mut Page, sheet: &Sheet) {
    if let Some(words) = sheet.unproven_words(JOINTS) {
        page.blank();
        page.clipped("", "", &format!("Proven by nothing: {words}."), 2);
    }
}

fn files(page: &mut Page, sheet: &Sheet) {
    match sheet.warnings.len() {
        0 => {}
        1 => page.paragraph("", "", "One warning about its files: lineproof verify DIR"),
        many => page.paragraph(
            "",
            "",
            &format!("{many} warnings about its files: lineproof verify DIR"),
        ),
    }
}

fn next(page: &mut Page, decision: &Decision) {
    if decision.next.is_empty() {
        return;
    }
    page.heading("Next");
    let recorded = decision.next.iter().position(|s| s.command.is_some());
    let mut shown: Vec<&NextStep> = decision.next.iter().take(STEPS).collect();
    if let Some(step) = recorded.filter(|&i| i >= STEPS) {
        shown.pop();
        shown.push(&decision.next[step]);
    }
    for (i, step) in shown.iter().enumerate() {
        let head = format!("  {}. ", i + 1);
        page.clipped(&head, "     ", &sentence(&step.text), REASON_LINES);
        if let Some(command) = &step.command {
            page.verbatim("     ", command);
        }
    }
}

/// The cheapest measurement that could change the answer.
fn cheapest(page: &mut Page, decision: &Decision) {
    // before that, what is next is what would change it
    if decision.verdict < Verdict::Call {
        return;
    }
    let already = |text: &str| decision.next.iter().any(|step| step.text == text);
    let Some(change) = decision.would_change.first().filter(|c| !already(&c.text)) else {
        return;
    };
    page.heading("Would change if");
    page.clipped("  ", "  ", &sentence(&change.text), REASON_LINES);
}

/// Where the rest stands; a folder's name takes the place of DIR, so that nothing is wrapped here.
fn more(page: &mut Page, lead: &Lead, decision: &Decision) {
    page.heading("More");
    if let Some(ground) = lead.ground.or(decision.grounds.first()) {
        page.verbatim("  ", &format!("lineproof why {}", ground.code));
    }
    let others = match lead.others.len() {
        0 => None,
        1 => Some("one more ground".to_string()),
        many => Some(format!("{many} more grounds")),
    };
    let changes = (!decision.would_change.is_empty()).then(|| "what would change it".to_string());
    let holds: Vec<String> = others.into_iter().chain(changes).collect();
    let holds = match holds.is_empty() {
        true => "the answer alone".into(),
        false => holds.join(", "),
    };
    page.verbatim("  ", &format!("lineproof decide DIR ({holds})"));
    page.verbatim(
        "  ",
        "lineproof check DIR --all (every line of every stage)",
    );
}
