//! Lines of a page for the terminal.

use super::Style;
use crate::out::{sentence, words};

/// Columns that a line of a long page fills at most.
const WIDTH: usize = 88;
/// Columns of a small terminal.
const NARROW: usize = 80;

/// Text in lines of at most so many columns.
pub(super) struct Page {
    pub(super) text: String,
    style: Style,
    width: usize,
}

impl Page {
    pub(super) fn new(style: Style) -> Self {
        Page {
            text: String::new(),
            style,
            width: WIDTH,
        }
    }

    /// A page for one screen.
    pub(super) fn narrow(style: Style) -> Self {
        Page {
            width: NARROW,
            ..Page::new(style)
        }
    }

    pub(super) fn blank(&mut self) {
        self.text.push('\n');
    }

    pub(super) fn heading(&mut self, words: &str) {
        self.blank();
        self.strong(words);
    }

    pub(super) fn strong(&mut self, words: &str) {
        let (on, off) = match self.style {
            Style::Plain => ("", ""),
            Style::Ansi => ("\x1b[1m", "\x1b[0m"),
        };
        for line in wrapped(words, self.width) {
            self.text += &format!("{on}{line}{off}\n");
        }
    }

    pub(super) fn entry(&mut self, name: &str, words: &str) {
        self.paragraph(&format!("  {name:<13}"), &" ".repeat(15), words);
    }

    pub(super) fn item(&mut self, words: &str) {
        self.paragraph("  - ", "    ", words);
    }

    pub(super) fn list<'a>(&mut self, items: impl Iterator<Item = &'a str>) {
        for item in items {
            self.item(&sentence(item));
        }
    }

    /// A command is never wrapped: it is there to be copied.
    pub(super) fn verbatim(&mut self, indent: &str, words: &str) {
        self.text += &format!("{indent}{}\n", clean(words));
    }

    pub(super) fn paragraph(&mut self, head: &str, indent: &str, words: &str) {
        self.clipped(head, indent, words, usize::MAX);
    }

    /// A paragraph of at most so many lines; an ellipsis says that there is more.
    pub(super) fn clipped(&mut self, head: &str, indent: &str, words: &str, most: usize) {
        let width = self.width - indent.chars().count();
        let mut lines = wrapped(words, width);
        if lines.len() > most {
            lines.truncate(most);
            if let Some(last) = lines.last_mut() {
                *last = shortened(last, width);
            }
        }
        if lines.is_empty() {
            self.text += head.trim_end();
            self.blank();
        }
        for (i, line) in lines.iter().enumerate() {
            self.text += if i == 0 { head } else { indent };
            self.text += line;
            self.blank();
        }
    }
}

/// A line with an ellipsis that still fits.
fn shortened(line: &str, width: usize) -> String {
    let mut kept = line;
    while kept.chars().count() + 2 > width {
        let Some((before, _)) = kept.rsplit_once(' ') else {
            break;
        };
        kept = before;
    }
    format!("{} …", kept.trim_end_matches([',', ';', ':', '.']))
}

/// A name typed by a stranger must not move the cursor: control characters become visible.
fn clean(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\n' | '\r' | '\t' => ' ',
            c if c.is_control() => '\u{fffd}',
            c => c,
        })
        .collect()
}

/// Greedy lines; a word longer than a line stands alone, a number stays with its unit.
fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words(&clean(text)) {
        let fits = lines
            .last()
            .is_some_and(|line| line.chars().count() + 1 + word.chars().count() <= width);
        match lines.last_mut() {
            Some(line) if fits => {
                line.push(' ');
                line.push_str(&word);
            }
            _ => lines.push(word),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::{Page, Style};

    #[test]
    fn a_clipped_paragraph_says_that_there_is_more_and_fits() {
        let mut page = Page::narrow(Style::Plain);
        let words = "word ".repeat(60);
        page.clipped("  run  ", "       ", &words, 2);
        let lines: Vec<&str> = page.text.lines().collect();
        assert_eq!(lines.len(), 2);
        assert!(lines.iter().all(|l| l.chars().count() <= 80), "{lines:?}");
        assert!(lines[1].ends_with("word …"), "{lines:?}");
    }
}
