//! What a report would tell of its owner, before it is written.

use super::page::Page;
use super::{Style, sentence};
use crate::out::personal::{PersonalLine, Preview};

/// Every line that names a person, a place or a thing, and every line of reserved work.
pub fn preview(preview: &Preview, style: Style) -> String {
    let mut page = Page::narrow(style);
    page.strong(&sentence(&tells(preview)));
    if !preview.personal.is_empty() {
        page.heading("Names, serial numbers, photographs, notes");
        preview.personal.iter().for_each(|l| line(&mut page, l));
    }
    if !preview.work.is_empty() {
        page.heading("Work on a circuit with refrigerant in it");
        preview.work.iter().for_each(|l| line(&mut page, l));
        for rule in &preview.rules {
            page.paragraph("  ", "  ", &sentence(rule));
        }
        page.paragraph("  ", "  ", "No event is ever left out.");
    }
    page.blank();
    page.paragraph(
        "",
        "",
        "Nothing is sent anywhere: the report is one file on this computer.",
    );
    let kinds: Vec<_> = preview.kinds().iter().map(|k| k.word()).collect();
    if !kinds.is_empty() {
        page.paragraph("", "", "To leave facts out, name their kinds; the report then says on its first page that they are left out:");
        page.verbatim(
            "  ",
            &format!("lineproof report DIR --without {}", kinds.join(",")),
        );
    }
    page.text
}

/// What is said before a report is written.
pub fn before_report(preview: &Preview) -> String {
    let mut page = Page::narrow(Style::Plain);
    page.paragraph("", "", &sentence(&tells(preview)));
    page.paragraph("", "", "To see them: lineproof report DIR --preview");
    if !preview.kinds().is_empty() {
        page.paragraph(
            "",
            "",
            "To leave facts out: lineproof report DIR --without KINDS",
        );
    }
    page.blank();
    page.text
}

/// How much it tells, in a sentence.
fn tells(preview: &Preview) -> String {
    let facts = match preview.personal.len() {
        0 => "nothing".into(),
        1 => "one line".into(),
        many => format!("{many} lines"),
    };
    let work = match preview.work.len() {
        0 => "none".into(),
        1 => "one line".into(),
        many => format!("{many} lines"),
    };
    format!(
        "the report tells {facts} about you, the place and your things, and {work} about work on a circuit with refrigerant in it"
    )
}

fn line(page: &mut Page, line: &PersonalLine) {
    let from = match &line.event {
        Some((number, day)) => format!("event {number}, {day}: "),
        None => String::new(),
    };
    let leave = match line.kind {
        Some(kind) => format!(" (--without {})", kind.word()),
        None => String::new(),
    };
    page.item(&format!("{from}{}{leave}", line.text));
}
