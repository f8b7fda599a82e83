//! Whether a record is still the one that was written, line by line.

use super::Style;
use super::page::Page;
use crate::out::verified::{Fate, Verified};

/// Every line and file with what became of it, and what to do.
pub fn verification(verified: &Verified, style: Style) -> String {
    let mut page = Page::narrow(style);
    page.strong(&verified.words());
    if !verified.lines.is_empty() {
        page.heading("events.jsonl");
    }
    for line in &verified.lines {
        let head = format!("  line {:<4} ", line.line);
        let about = line.about.as_deref().unwrap_or_default();
        page.paragraph(
            &format!("{head}{:<8} ", line.fate.word()),
            &" ".repeat(20),
            about,
        );
    }
    if !verified.files.is_empty() {
        page.heading("Files");
    }
    for file in &verified.files {
        let event = match file.event {
            Some(number) => format!(", of event {number}"),
            None => String::new(),
        };
        page.paragraph(
            &format!("  {:<9} ", file.fate.word()),
            &" ".repeat(12),
            &format!("{}{event}", file.file),
        );
    }
    let asked: Vec<Fate> = verified.faults();
    if !asked.is_empty() {
        page.heading("What to do");
        asked.iter().for_each(|fate| page.item(fate.advice()));
    }
    page.blank();
    page.paragraph("", "", crate::out::verified::LIMITS);
    page.text
}
