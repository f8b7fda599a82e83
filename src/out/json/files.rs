//! JSON of what a record's files are, and of what a report tells.

use serde::Serialize;

use super::Body;
use crate::out::personal::{PersonalLine, Preview};
use crate::record::{Verification, VerifiedFile, VerifiedLine};

#[derive(Debug, Clone, PartialEq, Serialize)]
struct Told {
    event: Option<u64>,
    at: Option<String>,
    leave_out: Option<&'static str>,
    text: String,
}

impl From<&PersonalLine> for Told {
    fn from(line: &PersonalLine) -> Self {
        let (event, at) = line.event.clone().unzip();
        Told {
            event,
            at,
            leave_out: line.kind.map(|kind| kind.word()),
            text: line.text.clone(),
        }
    }
}

/// What a report tells of its owner, before it is written.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PreviewDocument {
    personal: Vec<Told>,
    work: Vec<Told>,
    rules: Vec<String>,
}

impl From<&Preview> for PreviewDocument {
    fn from(preview: &Preview) -> Self {
        PreviewDocument {
            personal: preview.personal.iter().map(Told::from).collect(),
            work: preview.work.iter().map(Told::from).collect(),
            rules: preview.rules.clone(),
        }
    }
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct Line {
    line: usize,
    number: Option<u64>,
    event: Option<String>,
    at: Option<String>,
    fate: &'static str,
    meaning: &'static str,
    next: Option<&'static str>,
}

impl From<&VerifiedLine> for Line {
    fn from(line: &VerifiedLine) -> Self {
        Line {
            line: line.line,
            number: line.number,
            event: line.event.clone(),
            at: line.at.map(|at| at.to_string()),
            fate: line.fate.word(),
            meaning: line.fate.meaning(),
            next: line.fate.next_step(),
        }
    }
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct File {
    file: String,
    number: u64,
    fate: &'static str,
    meaning: &'static str,
    next: Option<&'static str>,
}

impl From<&VerifiedFile> for File {
    fn from(file: &VerifiedFile) -> Self {
        File {
            file: file.file.clone(),
            number: file.number,
            fate: file.fate.word(),
            meaning: file.fate.meaning(),
            next: file.fate.next_step(),
        }
    }
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct Sealed {
    fate: &'static str,
    meaning: String,
    next: Option<&'static str>,
}

/// Whether a record is the one that was written.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct VerifiedDocument {
    whole: &'static str,
    lines: Vec<Line>,
    files: Vec<File>,
    seal: Sealed,
    facts: Vec<String>,
}

impl From<&Verification> for VerifiedDocument {
    fn from(found: &Verification) -> Self {
        VerifiedDocument {
            whole: found.whole().word(),
            lines: found.lines.iter().map(Line::from).collect(),
            files: found.files.iter().map(File::from).collect(),
            seal: Sealed {
                fate: found.seal.word(),
                meaning: found.seal.meaning(),
                next: found.seal.next_step(),
            },
            facts: found.facts.iter().map(|edit| edit.meaning()).collect(),
        }
    }
}

impl Body for PreviewDocument {}
impl Body for VerifiedDocument {}
