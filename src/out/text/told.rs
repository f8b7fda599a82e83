//! The answer of a one-off command about masses.

use super::page::Page;
use super::{Style, cited, reference, said};
use crate::out::told::{Line, Told};
use crate::out::{Sources, sentence};

/// The sentence, what stands behind it, and where that comes from.
pub fn told(told: &Told, style: Style) -> String {
    let mut page = Page::new(style);
    let lines = || told.parts.iter().flat_map(|part| &part.lines);
    let mut sources = Sources::default();
    lines()
        .filter_map(Line::source)
        .for_each(|s| sources.mention(s));
    page.strong(&sentence(&told.headline));
    for part in told.parts.iter().filter(|part| !part.lines.is_empty()) {
        page.heading(part.heading);
        for line in &part.lines {
            page.item(&self::line(line, &sources));
        }
    }
    cited(&mut page, &sources);
    page.text
}

/// A line with the number of its source.
pub(super) fn line(line: &Line, sources: &Sources) -> String {
    match line {
        Line::Plain(text) => sentence(text),
        Line::Sourced(text, source) => {
            format!("{} {}", sentence(text), reference(*source, sources))
        }
        Line::Said(reason) => said(&reason.text, reason.code, reason.source, sources),
    }
}
