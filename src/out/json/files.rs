//! JSON of what a record's files are, and of what a report tells.

use serde::Serialize;

use super::Body;
use crate::out::personal::{PersonalLine, Preview};
use crate::out::verified::{Verified, VerifiedFile, VerifiedLine};

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
    rule: &'static str,
}

impl From<&Preview> for PreviewDocument {
    fn from(preview: &Preview) -> Self {
        PreviewDocument {
            personal: preview.personal.iter().map(Told::from).collect(),
            work: preview.work.iter().map(Told::from).collect(),
            rule: preview.rule,
        }
    }
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct Line {
    line: usize,
    event: Option<u64>,
    fate: &'static str,
    about: Option<String>,
}

impl From<&VerifiedLine> for Line {
    fn from(line: &VerifiedLine) -> Self {
        Line {
            line: line.line,
            event: line.event,
            fate: line.fate.word(),
            about: line.about.clone(),
        }
    }
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct File {
    file: String,
    event: Option<u64>,
    fate: &'static str,
}

impl From<&VerifiedFile> for File {
    fn from(file: &VerifiedFile) -> Self {
        File {
            file: file.file.clone(),
            event: file.event,
            fate: file.fate.word(),
        }
    }
}

/// Whether a record is the one that was written.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct VerifiedDocument {
    intact: bool,
    lines: Vec<Line>,
    files: Vec<File>,
}

impl From<&Verified> for VerifiedDocument {
    fn from(verified: &Verified) -> Self {
        VerifiedDocument {
            intact: verified.intact(),
            lines: verified.lines.iter().map(Line::from).collect(),
            files: verified.files.iter().map(File::from).collect(),
        }
    }
}

impl Body for PreviewDocument {}
impl Body for VerifiedDocument {}
