//! The card to tape to the unit, on the terminal.

use super::page::Page;
use super::{Style, cited, reference, sentence};
use crate::out::Sources;
use crate::out::hold_card::{HoldCard, PEN_ROWS};

/// Rows side by side.
const BLOCKS: usize = 3;

/// The card: what a tight set's gauge reads, how to read it, what to mind, room for readings.
pub fn hold_card(card: &HoldCard, style: Style) -> String {
    let mut sources = Sources::default();
    card.sources.iter().for_each(|s| sources.mention(*s));
    card.how.iter().for_each(|(_, s)| sources.mention(*s));
    card.cautions.iter().for_each(|c| sources.mention(c.source));
    let mut page = Page::new(style);
    page.strong("What the gauge of a tight line set reads");
    page.verbatim("  ", &card.title);
    if let Some(record) = &card.record {
        let invented = if card.invented {
            " (invented example)"
        } else {
            ""
        };
        page.verbatim("  ", &format!("{record}{invented}"));
    }
    page.blank();
    let [at, reads] = card.symbols;
    let head = format!("{at:>6}  {reads:>9}   ");
    page.verbatim("", head.repeat(BLOCKS).trim_end());
    let in_block = card.rows.len().div_ceil(BLOCKS);
    for i in 0..in_block {
        let cells = (0..BLOCKS).filter_map(|block| card.rows.get(block * in_block + i));
        let line: String = cells
            .map(|(at, reads, here)| {
                let mark = if *here { "<" } else { " " };
                format!("{at:>6}  {reads:>9} {mark} ")
            })
            .collect();
        page.verbatim("", line.trim_end());
    }
    page.blank();
    page.list(card.facts.iter().map(String::as_str));
    page.heading("How to read it");
    for (text, source) in &card.how {
        page.item(&format!("{text} {}", reference(*source, &sources)));
    }
    page.heading("Mind");
    for caution in card.cautions {
        let text = sentence(caution.text);
        page.item(&format!("{text} {}", reference(caution.source, &sources)));
    }
    page.heading("Readings");
    let line = |cells: [&str; 4]| cells.map(|c| format!("{c:<19}")).join(" ");
    page.verbatim(
        "  ",
        line(card.blanks.each_ref().map(String::as_str)).trim_end(),
    );
    for _ in 0..PEN_ROWS {
        page.verbatim("  ", line(["_________________"; 4]).trim_end());
    }
    cited(&mut page, &sources);
    page.text
}
