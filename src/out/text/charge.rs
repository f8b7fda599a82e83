//! The charge of a record on the terminal.

use super::page::Page;
use super::weigh_in::arithmetic;
use super::{Style, cited, sentence};
use crate::check::charge::{lost, performance};
use crate::out::Sources;
use crate::out::charge::ChargeSheet;
use crate::source::SourceId;

/// The answer, whether it matters, whether it may run, the next step; then the arithmetic and what it rests on.
pub fn charge(sheet: &ChargeSheet, style: Style) -> String {
    let mut sources = Sources::default();
    sheet.lead.iter().for_each(|(_, s)| sources.mention(*s));
    if !sheet.matters.is_empty() {
        sources.mention(performance::SOURCE);
        sources.mention(lost::SOURCE);
    }
    sheet.says.iter().for_each(|(_, s)| sources.mention(*s));
    let number = |source: SourceId| match sources.number(source) {
        Some(number) => format!(" [{number}]"),
        None => String::new(),
    };
    let mut page = Page::new(style);
    page.strong(&format!(
        "{} {}",
        sentence(sheet.outcome.words()),
        sentence(&sheet.answer)
    ));
    if let Some((code, source)) = sheet.lead {
        page.paragraph("  ", "  ", &format!("({code}){}", number(source)));
    }
    let invented = if sheet.invented {
        " (invented example)"
    } else {
        ""
    };
    let (record, refrigerant) = (&sheet.record, sheet.refrigerant);
    page.verbatim("  ", &format!("{record}{invented}, {refrigerant}"));
    page.blank();
    for (nth, text) in sheet.matters.iter().enumerate() {
        let text = format!("{}{}", sentence(text), number(performance::SOURCE));
        page.entry(if nth == 0 { "matters" } else { "" }, &text);
    }
    page.entry("may it run", &sentence(&sheet.may_run));

    if !sheet.next.is_empty() {
        page.heading("Next");
        for (text, command) in &sheet.next {
            page.item(&sentence(text));
            if let Some(command) = command {
                page.verbatim("      ", command);
            }
        }
    }
    if !sheet.brings.is_empty() {
        page.heading("What the technician should bring");
        page.list(sheet.brings.iter().map(String::as_str));
    }
    page.heading("What belongs in, and what could be there");
    arithmetic(&mut page, &sheet.rows);
    for cost in &sheet.cost {
        page.heading(&format!(
            "What the incident could have cost: {}{}",
            cost.range,
            number(lost::SOURCE)
        ));
        page.list(cost.bounds.iter().map(String::as_str));
    }
    if !sheet.assumed.is_empty() {
        page.heading("Assumed, as nothing is stated");
        page.list(sheet.assumed.iter().copied());
    }
    if !sheet.narrows.is_empty() {
        page.heading("What would narrow it");
        page.list(sheet.narrows.iter().copied());
    }
    if !sheet.readings.is_empty() {
        page.heading("Running readings");
        page.list(sheet.readings.iter().map(String::as_str));
    }
    if !sheet.says.is_empty() {
        page.heading("Why");
        for (text, source) in &sheet.says {
            page.item(&format!("{}{}", sentence(text), number(*source)));
        }
    }
    if !sheet.unseen.is_empty() {
        page.heading("What this could not have seen");
        page.list(sheet.unseen.iter().map(String::as_str));
    }
    cited(&mut page, &sources);
    page.text
}
