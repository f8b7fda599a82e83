//! Whether a record is still the one that was written.

use std::fs;
use std::io;
use std::path::Path;

use super::error::RecordError;
use super::event::{EventBody, LogFile};
use super::{Record, Warning, line, store};

/// What became of a line of `events.jsonl`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LineFate {
    /// As it was written: the next line carries its digest.
    Intact,
    /// The last line: no later one carries its digest yet.
    Last,
    /// Not what the next line carries the digest of, or a line between them is gone.
    Edited,
    /// Cut short as it was written.
    Torn,
}

/// What became of a logger file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LogFate {
    /// Size and digest are those in the event.
    Intact,
    /// Size or digest differ.
    Edited {
        /// Size now.
        bytes: u64,
    },
    /// Not there.
    Missing,
}

/// A line and what became of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct VerifiedLine {
    /// The line, from 1.
    pub line: usize,
    /// The event's number; none for a torn line.
    pub number: Option<u64>,
    /// What became of it.
    pub fate: LineFate,
}

/// A logger file and what became of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VerifiedLog {
    /// The file in the record's folder.
    pub file: String,
    /// The number of the event that names it.
    pub number: u64,
    /// What became of it.
    pub fate: LogFate,
}

/// What became of a record's lines and logger files.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Verification {
    /// Every line.
    pub lines: Vec<VerifiedLine>,
    /// Every logger file that an event names.
    pub logs: Vec<VerifiedLog>,
}

impl Verification {
    /// Whether nothing is edited, torn or missing.
    pub fn intact(&self) -> bool {
        let lines = self.lines.iter().map(|l| l.fate);
        let logs = self.logs.iter().map(|l| l.fate);
        lines
            .into_iter()
            .all(|s| matches!(s, LineFate::Intact | LineFate::Last))
            && logs.into_iter().all(|s| s == LogFate::Intact)
    }
}

impl EventBody {
    /// The logger file it names.
    pub fn log(&self) -> Option<&LogFile> {
        match self {
            EventBody::PressureTest(test) => test.log.as_ref(),
            EventBody::Evacuation(evacuation) => evacuation.log.as_ref(),
            _ => None,
        }
    }
}

impl Record {
    /// Compares every line and every logger file with the digests that were written.
    ///
    /// It finds slips and disk faults, not forgery: who edits a line can compute the digests anew. An edit of the
    /// last line shows only once another line follows.
    pub fn verify(&self) -> Result<Verification, RecordError> {
        let path = store::events_path(&self.folder);
        let contents = store::read_events(&path, &store::locked_bytes(&path)?)?;
        let edited = |line| contents.warnings.contains(&Warning::Edited { line });
        let count = contents.events.len();
        let mut lines: Vec<VerifiedLine> = contents
            .events
            .iter()
            .zip(&contents.lines)
            .enumerate()
            .map(|(index, (event, &line))| VerifiedLine {
                line,
                number: Some(event.number),
                fate: match index + 1 == count {
                    _ if edited(line) => LineFate::Edited,
                    true => LineFate::Last,
                    false => LineFate::Intact,
                },
            })
            .collect();
        lines.extend(contents.warnings.iter().filter_map(|w| match w {
            Warning::Torn { line, .. } => Some(VerifiedLine {
                line: *line,
                number: None,
                fate: LineFate::Torn,
            }),
            _ => None,
        }));
        let mut logs = Vec::new();
        for event in &contents.events {
            if let Some(log) = event.body.log() {
                logs.push(VerifiedLog {
                    file: log.file.clone(),
                    number: event.number,
                    fate: log_fate(&self.log_path(log), log)?,
                });
            }
        }
        Ok(Verification { lines, logs })
    }
}

impl Record {
    /// The logger files that are not what was recorded, in words.
    pub fn logs_that_changed(&self) -> Vec<(&str, &'static str)> {
        let logs = self.events.iter().filter_map(|event| event.body.log());
        logs.filter_map(|log| match log_fate(&self.log_path(log), log) {
            Ok(LogFate::Edited { .. }) => Some((
                log.file.as_str(),
                "is not the file that was recorded: it was edited since, and the result rests on the edited text; restore it from a copy",
            )),
            Ok(LogFate::Missing) => Some((
                log.file.as_str(),
                "was recorded and is gone: restore it from a copy",
            )),
            Ok(LogFate::Intact) | Err(_) => None,
        })
        .collect()
    }
}

fn log_fate(path: &Path, log: &LogFile) -> Result<LogFate, RecordError> {
    match fs::read(path) {
        Ok(bytes) if line::digest(&bytes) == log.sha256 && bytes.len() as u64 == log.bytes => {
            Ok(LogFate::Intact)
        }
        Ok(bytes) => Ok(LogFate::Edited {
            bytes: bytes.len() as u64,
        }),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(LogFate::Missing),
        Err(error) => Err(super::disk::failed(path, "read it")(error)),
    }
}
