//! The seal of a record: `events.sum`, which says how many lines were written, and the digest of the last one.
//!
//! Each line of `events.jsonl` holds the digest of the line before it; the last line has no successor, so the seal
//! holds its digest, with that of `lineset.toml`. An event is on the disk first and sealed next, and only then
//! reported as written. A program killed between the two leaves one whole line beyond the seal, which counts and is
//! sealed with the next event; an edit leaves a line that the seal counts and whose digest is another. The seal ends
//! with its own digest. It finds slips and disk faults, not forgery: who edits a line can compute all digests anew.

use std::fs;
use std::io;
use std::path::Path;

use super::disk::{self, failed};
use super::error::RecordError;
use super::line;

/// The seal's file.
pub(super) const SEAL: &str = "events.sum";

/// What was sealed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Seal {
    /// Lines of `events.jsonl`.
    pub(super) lines: usize,
    /// Digest of the last of them.
    pub(super) last: String,
    /// The facts as they stood, oldest first.
    pub(super) facts: Vec<Facts>,
}

/// The facts as they stood when lines were written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Facts {
    /// Lines that were there when these facts were first met.
    pub(super) since: usize,
    /// Whether the program wrote them, or they were met as an editor had left them.
    pub(super) by_program: bool,
    /// Digest of `lineset.toml`.
    pub(super) sum: String,
}

/// The seal of a record as it was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Found {
    /// There is none: the record is older than seals.
    None,
    /// It is not what was written.
    Damaged,
    /// It can be relied on.
    Whole(Seal),
}

impl Found {
    pub(super) fn whole(&self) -> Option<&Seal> {
        match self {
            Found::Whole(seal) => Some(seal),
            Found::None | Found::Damaged => None,
        }
    }
}

impl Seal {
    /// The seal of a record without events.
    pub(super) fn begun(facts: &[u8]) -> Seal {
        let mut seal = Seal {
            lines: 0,
            last: line::first_digest(),
            facts: Vec::new(),
        };
        seal.note_facts(line::digest(facts), true);
        seal
    }

    /// Takes down the facts as they stand now, if they are others than before.
    pub(super) fn note_facts(&mut self, sum: String, by_program: bool) {
        if self.facts.last().is_none_or(|last| last.sum != sum) {
            self.facts.push(Facts {
                since: self.lines,
                by_program,
                sum,
            });
        }
    }

    fn text(&self) -> String {
        let mut text = format!("lines {}\nlast {}\n", self.lines, self.last);
        for facts in &self.facts {
            let by = if facts.by_program { "program" } else { "hand" };
            text += &format!("facts {} {by} {}\n", facts.since, facts.sum);
        }
        let own = line::digest(text.as_bytes());
        text + &format!("seal {own}\n")
    }

    fn read(text: &str) -> Option<Seal> {
        let mut lines = text.lines();
        let seal = Seal {
            lines: lines.next()?.strip_prefix("lines ")?.parse().ok()?,
            last: lines.next()?.strip_prefix("last ")?.into(),
            facts: lines
                .filter_map(|line| line.strip_prefix("facts "))
                .map(Facts::read)
                .collect::<Option<_>>()?,
        };
        (seal.text() == text).then_some(seal)
    }

    /// Puts the seal in the place of the one before, whole or not at all.
    pub(super) fn write(&self, folder: &Path) -> Result<(), RecordError> {
        disk::replace(&folder.join(SEAL), self.text().as_bytes())
    }
}

impl Facts {
    fn read(line: &str) -> Option<Facts> {
        let mut words = line.split(' ');
        Some(Facts {
            since: words.next()?.parse().ok()?,
            by_program: words.next()? == "program",
            sum: words.next()?.into(),
        })
    }
}

/// The seal in a folder.
pub(super) fn find(folder: &Path) -> Result<Found, RecordError> {
    let path = folder.join(SEAL);
    match fs::read(&path) {
        Ok(bytes) => Ok(std::str::from_utf8(&bytes)
            .ok()
            .and_then(Seal::read)
            .map_or(Found::Damaged, Found::Whole)),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(Found::None),
        Err(error) => Err(failed(&path, "read it")(error)),
    }
}
