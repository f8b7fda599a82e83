//! The card to tape to the unit during a hold, on one sheet of paper, US Letter or A4.

use maud::{DOCTYPE, Markup, html};

use super::{head, invented, kept, maker, reference, sentence};
use crate::out::Sources;
use crate::out::hold_card::{HoldCard, PEN_ROWS};

const CSS: &str = concat!(include_str!("paper.css"), include_str!("hold_card.css"));

const TITLE: &str = "What the gauge of a tight line set reads";

/// Columns of rows side by side.
const BLOCKS: usize = 4;

/// The page: what a tight set's gauge reads, how to read it, what to mind, room for readings.
pub fn hold_card(card: &HoldCard) -> String {
    let mut sources = Sources::default();
    card.sources.iter().for_each(|s| sources.mention(*s));
    card.how.iter().for_each(|(_, s)| sources.mention(*s));
    card.cautions.iter().for_each(|c| sources.mention(c.source));
    let in_block = card.rows.len().div_ceil(BLOCKS);
    html! {
        (DOCTYPE)
        html lang="en" {
            (head(TITLE, CSS))
            body {
                main {
                    h1 { (TITLE) }
                    p.of { (sentence(&card.title)) @if let Some(record) = &card.record { " " (record) "." } @if card.invented { " " (invented()) } }
                    div.blocks {
                        @for block in card.rows.chunks(in_block.max(1)) { (rows(block, card.symbols)) }
                    }
                    ul.facts { @for fact in &card.facts { li { (sentence(fact)) } } }
                    div.words {
                        section {
                            h2 { "How to read it" }
                            ul { @for (text, source) in &card.how { li { (kept(text)) (reference(*source, &sources)) } } }
                        }
                        section {
                            h2 { "Mind" }
                            ul { @for caution in card.cautions { li { (kept(caution.text)) (reference(caution.source, &sources)) } } }
                        }
                    }
                    table.pen {
                        thead { tr { @for head in &card.blanks { th scope="col" { (kept(head)) } } } }
                        tbody { @for _ in 0..PEN_ROWS { tr { @for _ in &card.blanks { td {} } } } }
                    }
                    footer {
                        p { @for (number, source) in sources.numbered() { span id=(format!("source-{number}")) { (number) " " (source.cite()) ". " } } }
                        p { "The unit's own instructions, its nameplate and the local code come before this card. Made by " (maker()) "." }
                    }
                }
            }
        }
    }
    .into_string()
}

fn rows(block: &[(String, String, bool)], [at, reads]: [&str; 2]) -> Markup {
    html! {
        table {
            thead { tr { th scope="col" { (at) } th scope="col" { (reads) } } }
            tbody {
                @for (at, reads, here) in block {
                    tr.here[*here] { th scope="row" { (at.replace('-', "\u{2212}")) } td { (reads) } }
                }
            }
        }
    }
}
