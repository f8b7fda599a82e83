//! What a code means.

use super::page::Page;
use super::{Style, sentence};
use crate::decide::{Belongs, Why};

/// The meaning of a code, what it asks for, where it comes from, and what would undo it.
pub fn why(why: &Why, style: Style) -> String {
    let mut page = Page::narrow(style);
    page.strong(&sentence(why.meaning));
    page.blank();
    page.entry("code", why.code);
    match why.belongs {
        Belongs::Rule {
            verdict,
            meanwhile,
            how_soon,
        } => {
            page.entry("asks for", verdict.words());
            page.entry("meanwhile", meanwhile.words());
            page.entry("how soon", how_soon.words());
        }
        Belongs::Reason(stage) => {
            page.entry(
                "said by",
                &format!("{}: {}", stage.word(), stage.question()),
            );
        }
        Belongs::Evidence => page.entry("said by", "the evidence of any stage"),
    }
    if !why.first.is_empty() {
        page.heading("First");
        page.list(why.first.iter().copied());
    }
    if !why.bring.is_empty() {
        page.heading("What a technician should bring");
        page.list(why.bring.iter().copied());
    }
    page.heading("What would undo it");
    page.paragraph("  ", "  ", &sentence(&why.undo));
    if !why.sources.is_empty() {
        page.heading("Where it comes from");
        for source in &why.sources {
            page.item(&source.cite());
        }
    }
    page.text
}
