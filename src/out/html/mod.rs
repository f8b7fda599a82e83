//! One self-contained HTML report: no script, nothing loaded from elsewhere, for screen, phone and paper.

mod card;
mod chart;
mod first;
mod hold_card;
mod ledger;
mod stage;
mod symbol;
mod weigh_in;

pub use card::hissing_card;
pub use chart::{ChartError, chart};
pub use hold_card::hold_card;
pub use weigh_in::weigh_in;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::figure::DrawError;
use super::{Sheet, Sources};
use crate::check::Detail;
use crate::source::SourceId;

/// Ink and paper, then the page's own.
const CSS: &str = concat!(include_str!("paper.css"), include_str!("report.css"));

/// The report: the first page with the answer, then a section per stage, the ledgers and the sources.
pub fn report(sheet: &Sheet) -> Result<String, DrawError> {
    let mut sources = sheet.sources();
    for stage in &sheet.stages {
        if let Detail::Run(detail) = &stage.finding.detail {
            sources.mention_running(detail);
        }
    }
    let mut stages = Vec::with_capacity(sheet.stages.len());
    for stage in &sheet.stages {
        stages.push(stage::section(sheet, stage, &sources)?);
    }
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            (head(&format!("{}: {}", sheet.record, sheet.decision.verdict.words()), CSS))
            body {
                main {
                    (first::page(sheet, &sources))
                    @for stage in &stages { (stage) }
                    (ledger::joints(sheet))
                    (ledger::events(&sheet.events))
                    (ledger::facts(sheet))
                    (ledger::warnings(&sheet.warnings))
                    (ledger::every_ground(&sheet.decision, &sources))
                    (ledger::sources(&sources))
                }
                footer { p { "Made by " (maker()) " on " (sheet.made_at) "." @if sheet.invented { " " (invented()) } } }
            }
        }
    };
    Ok(page.into_string())
}

/// The head of every page: it needs nothing from elsewhere.
fn head(title: &str, css: &str) -> Markup {
    html! {
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width, initial-scale=1";
            meta name="color-scheme" content="light dark";
            meta name="generator" content=(maker());
            title { (title) }
            style { (PreEscaped(css)) }
        }
    }
}

fn maker() -> &'static str {
    concat!("lineproof ", env!("CARGO_PKG_VERSION"))
}

fn invented() -> Markup {
    html! { strong.invented { "Invented example: no such line set exists." } }
}

/// A row of the page: its name in the margin, its words beside it.
fn row(name: &str, words: Markup) -> Markup {
    html! { div.row { h3 { (name) } div { (words) } } }
}

fn items<'a>(list: impl Iterator<Item = &'a str>) -> Markup {
    html! { ul { @for item in list { li { (sentence(item)) } } } }
}

/// A sentence whose numbers stay with their units.
fn sentence(text: &str) -> String {
    kept(&super::sentence(text))
}

/// Text with a blank that does not break between a number and its unit.
fn kept(text: &str) -> String {
    let words = super::words(text).into_iter();
    let words: Vec<_> = words.map(|word| word.replace(' ', "\u{a0}")).collect();
    words.join(" ")
}

/// A command that breaks between its words only.
fn command(words: &str) -> Markup {
    html! { code.command { @for word in words.split_whitespace() { span { (word) } " " } } }
}

/// The footnote-like number of a source.
fn reference(source: SourceId, sources: &Sources) -> Markup {
    html! {
        @if let Some(number) = sources.number(source) {
            sup.ref { a href=(format!("#source-{number}")) aria-label=(format!("source {number}")) { (number) } }
        }
    }
}
