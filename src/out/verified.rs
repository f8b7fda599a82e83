//! What became of a record's lines and files, in words.

use crate::record::{Event, LineFate, LogFate, Record, Verification};

use super::assemble::day;

/// What `verify` cannot find.
pub const LIMITS: &str = "This finds slips and disk faults, not forgery: who edits a line can compute its digest anew. An edit of the last line shows once another line follows.";

/// What became of a line or a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fate {
    /// As it was written.
    Intact,
    /// The last line: nothing later vouches for it yet.
    Last,
    /// Not what was written.
    Edited,
    /// Cut short as it was written.
    Torn,
    /// Not there.
    Missing,
}

impl Fate {
    /// The word on the screen and in JSON.
    pub fn word(self) -> &'static str {
        match self {
            Fate::Intact => "intact",
            Fate::Last => "last",
            Fate::Edited => "edited",
            Fate::Torn => "torn",
            Fate::Missing => "missing",
        }
    }

    /// What to do about it.
    pub fn advice(self) -> &'static str {
        match self {
            Fate::Intact | Fate::Last => "Nothing.",
            Fate::Edited => {
                "Edited: restore the file from a copy. What was wrong in an event is put right by a new event, never in the old line."
            }
            Fate::Torn => {
                "Torn: the power failed while the line was written. Add that event again; what is left of the line is kept in events.torn then."
            }
            Fate::Missing => "Missing: put the file back from a copy, under the same name.",
        }
    }

    fn is_fault(self) -> bool {
        !matches!(self, Fate::Intact | Fate::Last)
    }
}

/// A line of the record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VerifiedLine {
    /// The line, from 1.
    pub line: usize,
    /// The event's number; none for a torn line.
    pub event: Option<u64>,
    /// What became of it.
    pub fate: Fate,
    /// The event in a few words.
    pub about: Option<String>,
}

/// A file of the record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VerifiedFile {
    /// Its path in the record's folder.
    pub file: String,
    /// The event that names it.
    pub event: Option<u64>,
    /// What became of it.
    pub fate: Fate,
}

/// A record's lines and files.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Verified {
    /// Every line of `events.jsonl`.
    pub lines: Vec<VerifiedLine>,
    /// Every file that an event names.
    pub files: Vec<VerifiedFile>,
}

impl Verified {
    /// What a verification found, with the events in words.
    pub fn of(record: &Record, found: &Verification) -> Verified {
        let event = |number: u64| record.events.iter().find(|e| e.number == number);
        Verified {
            lines: found
                .lines
                .iter()
                .map(|line| VerifiedLine {
                    line: line.line,
                    event: line.number,
                    fate: line_fate(line.fate),
                    about: line.number.and_then(event).map(about),
                })
                .collect(),
            files: found
                .logs
                .iter()
                .map(|log| VerifiedFile {
                    file: log.file.clone(),
                    event: Some(log.number),
                    fate: file_fate(log.fate),
                })
                .collect(),
        }
    }

    /// Whether nothing is edited, torn or missing.
    pub fn intact(&self) -> bool {
        self.faults().is_empty()
    }

    /// The kinds of faults there are.
    pub fn faults(&self) -> Vec<Fate> {
        let mut faults: Vec<Fate> = self.fates().filter(|f| f.is_fault()).collect();
        faults.sort_unstable();
        faults.dedup();
        faults
    }

    /// The answer in a sentence.
    pub fn words(&self) -> String {
        let (lines, files) = (self.lines.len(), self.files.len());
        if self.intact() {
            return format!(
                "Intact: {} and {}.",
                count(lines, "line"),
                count(files, "file")
            );
        }
        let each: Vec<String> = self
            .faults()
            .into_iter()
            .map(|fault| {
                let many = self.fates().filter(|f| *f == fault).count();
                format!("{many} {}", fault.word())
            })
            .collect();
        format!(
            "Not as it was written: {}, of {} and {}.",
            each.join(", "),
            count(lines, "line"),
            count(files, "file")
        )
    }

    fn fates(&self) -> impl Iterator<Item = Fate> {
        let lines = self.lines.iter().map(|l| l.fate);
        lines.chain(self.files.iter().map(|f| f.fate))
    }
}

fn count(n: usize, what: &str) -> String {
    match n {
        1 => format!("one {what}"),
        n => format!("{n} {what}s"),
    }
}

fn about(event: &Event) -> String {
    format!(
        "event {}, {}, {}",
        event.number,
        event.body.word().replace('-', " "),
        day(event)
    )
}

fn line_fate(fate: LineFate) -> Fate {
    match fate {
        LineFate::Intact => Fate::Intact,
        LineFate::Last => Fate::Last,
        LineFate::Edited => Fate::Edited,
        LineFate::Torn => Fate::Torn,
    }
}

fn file_fate(fate: LogFate) -> Fate {
    match fate {
        LogFate::Intact => Fate::Intact,
        LogFate::Edited { .. } => Fate::Edited,
        LogFate::Missing => Fate::Missing,
    }
}
