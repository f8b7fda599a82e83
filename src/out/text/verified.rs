//! Whether a record is still the one that was written, line by line.

use super::page::Page;
use super::{Style, sentence};
use crate::record::{LineFate, SealFate, Verification, VerifiedLine, Whole};

/// What such a comparison cannot find.
const LIMITS: &str = "This finds slips and disk faults, not forgery: who edits a line can compute every digest anew.";

/// Every line and file with what became of it, and what to do where something is wrong.
pub fn verification(found: &Verification, style: Style) -> String {
    let mut page = Page::narrow(style);
    page.strong(&answer(found));
    if !found.lines.is_empty() {
        page.heading("Lines of events.jsonl");
    }
    for line in &found.lines {
        let head = format!("  {:>4}  {:<9}", line.line, line.fate.word());
        page.paragraph(&head, &" ".repeat(17), &about(line));
        if line.fate != LineFate::Intact {
            told(&mut page, line.fate.meaning(), line.fate.next_step());
        }
    }
    if !found.files.is_empty() {
        page.heading("Logger files and photographs");
    }
    for file in &found.files {
        let head = format!("        {:<9}", file.fate.word());
        let words = format!("{}, of event {}", file.file, file.number);
        page.paragraph(&head, &" ".repeat(17), &words);
        if file.fate.word() != "intact" {
            told(&mut page, file.fate.meaning(), file.fate.next_step());
        }
    }
    page.heading("Seal and facts");
    let head = format!("        {:<9}", found.seal.word());
    page.paragraph(
        &head,
        &" ".repeat(17),
        &format!("seal: {}", found.seal.meaning()),
    );
    if found.seal != SealFate::Intact {
        told(&mut page, "", found.seal.next_step());
    }
    for edit in &found.facts {
        page.paragraph("        note     ", &" ".repeat(17), &edit.meaning());
    }
    page.blank();
    page.paragraph("", "", LIMITS);
    page.text
}

/// The answer in a sentence.
fn answer(found: &Verification) -> String {
    let holds = format!(
        "{} and {}",
        count(found.lines.len(), "line"),
        count(found.files.len(), "file")
    );
    let wrong = faults(found);
    match found.whole() {
        Whole::Intact => format!("Intact: {holds}."),
        Whole::Torn => format!("Torn: a write was cut short, and nothing else is wrong; {holds}."),
        Whole::Edited => format!(
            "Edited: {} not what was written; {holds}.",
            if wrong == 1 {
                "one thing is".into()
            } else {
                format!("{wrong} things are")
            }
        ),
    }
}

/// Lines, files and seal that are not what was written.
fn faults(found: &Verification) -> usize {
    let lines = found.lines.iter();
    let lines = lines.filter(|l| matches!(l.fate, LineFate::Edited | LineFate::Torn));
    let files = found.files.iter();
    let files = files.filter(|f| matches!(f.fate.word(), "edited" | "missing"));
    let seal = matches!(found.seal, SealFate::Edited | SealFate::LinesMissing { .. });
    lines.count() + files.count() + usize::from(seal)
}

fn count(n: usize, what: &str) -> String {
    match n {
        1 => format!("one {what}"),
        n => format!("{n} {what}s"),
    }
}

fn about(line: &VerifiedLine) -> String {
    let number = line.number.map(|n| format!("event {n}"));
    let event = line.event.as_ref().map(|e| e.replace('-', " "));
    let at = line.at.map(|at| {
        let civil = at.civil();
        format!("{} {:02}:{:02}", civil.date(), civil.hour(), civil.minute())
    });
    let parts: Vec<String> = [number, event, at].into_iter().flatten().collect();
    parts.join(", ")
}

fn told(page: &mut Page, meaning: &str, next: Option<&str>) {
    let next = next.map(sentence).unwrap_or_default();
    let meaning = sentence(meaning);
    let words = format!("{meaning} {next}");
    let indent = " ".repeat(17);
    page.paragraph(&indent, &indent, words.trim());
}
