//! What can be wrong with a record on disk.

use std::fmt;
use std::io;
use std::path::PathBuf;

use super::Moment;

/// A place in one of the record's files.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spot {
    /// The file.
    pub file: PathBuf,
    /// The line, from 1; 0 where no line can be named.
    pub line: usize,
    /// The field.
    pub field: Option<String>,
}

impl fmt::Display for Spot {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.file.display())?;
        if self.line > 0 {
            write!(f, " line {}", self.line)?;
        }
        match &self.field {
            Some(field) => write!(f, ", {field}"),
            None => Ok(()),
        }
    }
}

/// What to do about the system's refusal.
fn next_step(source: &io::Error) -> &'static str {
    match source.kind() {
        io::ErrorKind::NotFound => "check the name and the folder",
        io::ErrorKind::NotADirectory => "name a folder, not a file",
        io::ErrorKind::IsADirectory => "name a file, not a folder",
        io::ErrorKind::InvalidData => "save it as plain text in UTF-8",
        _ => "check the rights to the folder and the space on the disk",
    }
}

/// What can be wrong with a record on disk.
#[derive(Debug, thiserror::Error)]
pub enum RecordError {
    /// No record in the folder.
    #[error("{}: not a folder with a lineset.toml, so no line set record; check the folder, or begin a record with lineproof new", folder.display())]
    NotARecord {
        /// The folder.
        folder: PathBuf,
    },
    /// There is a record already.
    #[error("{}: there is a line set record already, and it was left as it is; open it, or choose another folder", folder.display())]
    Exists {
        /// The folder.
        folder: PathBuf,
    },
    /// The system refused.
    #[error("{}: cannot {doing}: {source}; {}", path.display(), next_step(source))]
    File {
        /// The file or folder.
        path: PathBuf,
        /// What was tried: "read it".
        doing: &'static str,
        /// The system's reason.
        source: io::Error,
    },
    /// Another program holds the lock.
    #[error("{}: another program has been writing to it for {seconds} s; wait until it is done and try again", path.display())]
    Locked {
        /// The file.
        path: PathBuf,
        /// How long was waited.
        seconds: u64,
    },
    /// A field that is wrong.
    #[error("{spot}: {what}; {next}")]
    Field {
        /// Where.
        spot: Spot,
        /// What is wrong, with the value.
        what: String,
        /// What to do.
        next: String,
    },
    /// Written by a newer program.
    #[error(
        "{spot}: version {found} is newer than {known}, the newest this program reads; nothing was changed; use a newer lineproof"
    )]
    Newer {
        /// Where.
        spot: Spot,
        /// The version found.
        found: u64,
        /// The newest version known.
        known: u64,
    },
    /// A line in the middle that is no JSON.
    #[error(
        "{spot}: the line is broken ({what}), and lines follow it; restore it from a copy, as the program never drops a line by itself"
    )]
    Broken {
        /// Where.
        spot: Spot,
        /// What the reader met.
        what: String,
    },
    /// An event that has not happened yet.
    #[error(
        "{at} is later than now ({noted}): an event is noted after it happened; check the date"
    )]
    NotYet {
        /// When it is said to have happened.
        at: Moment,
        /// When it was noted.
        noted: Moment,
    },
    /// An event whose fields do not fit each other or the facts.
    #[error("{event}, {field}: {what}; {next}")]
    Event {
        /// The event's word.
        event: &'static str,
        /// The field.
        field: &'static str,
        /// What is wrong.
        what: String,
        /// What to do.
        next: String,
    },
}

/// What opening a record noticed, without being stopped by it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Warning {
    /// The last line was cut short as it was written.
    Torn {
        /// The line, from 1.
        line: usize,
        /// What is left of it.
        text: String,
    },
    /// A line is not the one that was written.
    Edited {
        /// The line, from 1.
        line: usize,
    },
    /// Lines at the end that are gone.
    Missing {
        /// Lines sealed.
        sealed: usize,
        /// Lines left.
        left: usize,
    },
    /// A correction that finds no event it could correct.
    NotCorrected {
        /// The line, from 1.
        line: usize,
        /// The event it names.
        number: u64,
    },
    /// A number that does not follow the one before.
    Number {
        /// The line, from 1.
        line: usize,
        /// The number expected.
        expected: u64,
        /// The number found.
        found: u64,
    },
}

impl fmt::Display for Warning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Warning::Torn { line, text } => write!(
                f,
                "events.jsonl line {line} was cut short ({} bytes are left) and does not count; record that event again; the rest is kept in events.torn when the next event is written",
                text.len()
            ),
            Warning::Edited { line } => write!(
                f,
                "events.jsonl line {line} was edited, or a line beside it is missing; what follows rests on the edited text"
            ),
            Warning::Missing { sealed, left } => write!(
                f,
                "events.jsonl had {sealed} whole lines and {left} are left; restore it from a copy"
            ),
            Warning::NotCorrected { line, number } => write!(
                f,
                "events.jsonl line {line} corrects event {number}, and that cannot be done; both stay as they are"
            ),
            Warning::Number {
                line,
                expected,
                found,
            } => write!(
                f,
                "events.jsonl line {line} has number {found} where {expected} follows; a line may be missing"
            ),
        }
    }
}
