//! What was read at a running unit: the finding, the signs, what a further reading would buy.

use super::page::Page;
use super::{Style, beside, found, reference};
use crate::check::{Detail, Finding, run};
use crate::out::Sources;
use crate::quantity::UnitSystem;

/// The finding of *run* with what belongs beside it.
pub fn running(finding: &Finding, units: UnitSystem, style: Style) -> String {
    let nothing = run::Detail::default();
    let detail = match &finding.detail {
        Detail::Run(detail) => detail,
        _ => &nothing,
    };
    let mut sources = Sources::of_finding(finding, run::CAUTIONS);
    sources.mention_running(detail);
    let mut page = Page::new(style);
    found(&mut page, finding, units, &sources);
    signs(&mut page, detail, units, &sources);
    if !detail.worth.is_empty() {
        page.heading("What an answer or a reading would buy, in this order");
        for worth in &detail.worth {
            page.item(&format!(
                "{} {}",
                crate::out::sentence(&worth.words()),
                reference(worth.source, &sources)
            ));
        }
    }
    beside(&mut page, finding, run::CAUTIONS, &sources);
    page.text
}

/// The features that were read, each against what is expected of it.
fn signs(page: &mut Page, detail: &run::Detail, units: UnitSystem, sources: &Sources) {
    let widest = detail.told().map(|row| row.feature.words().chars().count());
    let Some(widest) = widest.max() else {
        return;
    };
    page.heading("Signs, each against what is expected");
    for row in detail.told() {
        let head = format!("  {:<widest$}  ", row.feature.words());
        let source = row.expected.map(|e| reference(e.source, sources));
        let words = format!("{} {}", row.words(units), source.unwrap_or_default());
        page.paragraph(&head, &" ".repeat(head.chars().count()), &words);
    }
}
