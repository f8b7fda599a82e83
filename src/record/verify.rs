//! Whether a record is still the one that was written, line by line and file by file.
//!
//! It finds slips and disk faults, not forgery: who edits a line can compute all digests anew.

use std::fs;
use std::io;
use std::path::Path;

use serde_json::{Map, Value};

use super::disk::failed;
use super::error::RecordError;
use super::event::{EventBody, LogFile};
use super::seal::{Found, Seal};
use super::{Moment, Photo, Record, line, store};

/// What became of a line of `events.jsonl`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LineFate {
    /// As it was written: the next line, or the seal, holds its digest.
    Intact,
    /// Nothing holds its digest: the last line of a record without a seal, or one before a broken line.
    Unproven,
    /// Not what was written, or the line after it is gone.
    Edited,
    /// Cut short as it was written, and never reported as written.
    Torn,
    /// Of a newer version: not read, and left as it is.
    Newer,
}

/// What became of a logger file or a photograph.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileFate {
    /// Size and digest are those in the event.
    Intact,
    /// Size or digest differ.
    Edited {
        /// Size now.
        bytes: u64,
    },
    /// Not there.
    Missing,
    /// It is there, and its event has no digest of it, as in an older record.
    Unproven,
}

/// What became of the seal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SealFate {
    /// It counts every line.
    Intact,
    /// The program was stopped before it had sealed the last lines; they count, and the next event seals them.
    Behind {
        /// Lines sealed.
        sealed: usize,
    },
    /// There is none, as in an older record; the next event makes one.
    None,
    /// It is not what was written.
    Edited,
    /// It counts more lines than there are.
    LinesMissing {
        /// Lines sealed.
        sealed: usize,
        /// Lines left.
        left: usize,
    },
}

/// A line and what became of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VerifiedLine {
    /// The line, from 1.
    pub line: usize,
    /// The event's number, where it can be read.
    pub number: Option<u64>,
    /// The event's word, where it can be read.
    pub event: Option<String>,
    /// When it happened, where it can be read.
    pub at: Option<Moment>,
    /// What became of it.
    pub fate: LineFate,
}

/// A logger file or a photograph and what became of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VerifiedFile {
    /// The file in the record's folder.
    pub file: String,
    /// The number of the event that names it.
    pub number: u64,
    /// What became of it.
    pub fate: FileFate,
}

/// `lineset.toml` was edited outside the record: everybody is invited to complete it, so this is a note and no fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FactsEdit {
    /// Lines that were written before the edit was met; none for an edit that no event has followed yet.
    pub met_after: Option<usize>,
}

/// The word for the whole record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Whole {
    /// Everything is what was written.
    Intact,
    /// A write was cut short, and nothing else is wrong.
    Torn,
    /// Something is not what was written, or is gone.
    Edited,
}

/// What became of a record's lines, logger files and photographs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Verification {
    /// Every line.
    pub lines: Vec<VerifiedLine>,
    /// Every logger file and photograph that an event names.
    pub files: Vec<VerifiedFile>,
    /// The seal.
    pub seal: SealFate,
    /// Edits of `lineset.toml` that no event tells of.
    pub facts: Vec<FactsEdit>,
}

impl LineFate {
    /// The word.
    pub fn word(self) -> &'static str {
        match self {
            LineFate::Intact => "intact",
            LineFate::Unproven => "unproven",
            LineFate::Edited => "edited",
            LineFate::Torn => "torn",
            LineFate::Newer => "newer",
        }
    }

    /// What it means.
    pub fn meaning(self) -> &'static str {
        match self {
            LineFate::Intact => "as it was written",
            LineFate::Unproven => "readable, and no later line and no seal holds its digest",
            LineFate::Edited => "not what was written, or the line after it is gone",
            LineFate::Torn => "cut short as it was written; it was never reported as recorded",
            LineFate::Newer => "written by a newer program; this one does not read it",
        }
    }

    /// What to do, where there is something to do.
    pub fn next_step(self) -> Option<&'static str> {
        match self {
            LineFate::Intact => None,
            LineFate::Unproven => Some("the next event written seals it"),
            LineFate::Edited => Some(
                "compare it with a copy and restore the line as it was; what rests on it is in doubt",
            ),
            LineFate::Torn => Some("record that event again"),
            LineFate::Newer => Some("use a newer lineproof"),
        }
    }
}

impl FileFate {
    /// The word.
    pub fn word(self) -> &'static str {
        match self {
            FileFate::Intact => "intact",
            FileFate::Edited { .. } => "edited",
            FileFate::Missing => "missing",
            FileFate::Unproven => "unproven",
        }
    }

    /// What it means.
    pub fn meaning(self) -> &'static str {
        match self {
            FileFate::Intact => "as it was taken in",
            FileFate::Edited { .. } => "not the file that was taken in",
            FileFate::Missing => "was taken in and is gone",
            FileFate::Unproven => "there, and its event holds no digest of it",
        }
    }

    /// What to do, where there is something to do.
    pub fn next_step(self) -> Option<&'static str> {
        match self {
            FileFate::Intact | FileFate::Unproven => None,
            FileFate::Edited { .. } | FileFate::Missing => Some("restore it from a copy"),
        }
    }
}

impl SealFate {
    /// The word.
    pub fn word(self) -> &'static str {
        match self {
            SealFate::Intact => "intact",
            SealFate::Behind { .. } => "behind",
            SealFate::None => "none",
            SealFate::Edited => "edited",
            SealFate::LinesMissing { .. } => "lines missing",
        }
    }

    /// What it means.
    pub fn meaning(self) -> String {
        match self {
            SealFate::Intact => "it counts every line".into(),
            SealFate::Behind { sealed } => format!(
                "it counts {sealed} lines: the program was stopped before it had sealed what follows"
            ),
            SealFate::None => {
                "the record is older than seals, and nothing holds the digest of its last line"
                    .into()
            }
            SealFate::Edited => "it is not what was written".into(),
            SealFate::LinesMissing { sealed, left } => {
                format!("it counts {sealed} lines, and {left} are left")
            }
        }
    }

    /// What to do, where there is something to do.
    pub fn next_step(self) -> Option<&'static str> {
        match self {
            SealFate::Intact => None,
            SealFate::Behind { .. } | SealFate::None => {
                Some("the next event written seals every line")
            }
            SealFate::Edited => Some("restore events.sum from a copy"),
            SealFate::LinesMissing { .. } => Some("restore events.jsonl from a copy"),
        }
    }
}

impl FactsEdit {
    /// What it means.
    pub fn meaning(self) -> String {
        match self.met_after {
            Some(0) => "lineset.toml was completed by hand before the first event".into(),
            Some(lines) => {
                format!("lineset.toml was edited by hand between event {lines} and the next one")
            }
            None => "lineset.toml was edited by hand since the last event".into(),
        }
    }
}

impl Whole {
    /// The word.
    pub fn word(self) -> &'static str {
        match self {
            Whole::Intact => "intact",
            Whole::Torn => "torn",
            Whole::Edited => "edited",
        }
    }
}

impl Verification {
    /// The word for the whole record; an edit of the facts by hand does not change it.
    pub fn whole(&self) -> Whole {
        let lines = self.lines.iter().map(|l| match l.fate {
            LineFate::Edited => Whole::Edited,
            LineFate::Torn => Whole::Torn,
            LineFate::Intact | LineFate::Unproven | LineFate::Newer => Whole::Intact,
        });
        let files = self.files.iter().map(|f| match f.fate {
            FileFate::Edited { .. } | FileFate::Missing => Whole::Edited,
            FileFate::Intact | FileFate::Unproven => Whole::Intact,
        });
        let seal = match self.seal {
            SealFate::Edited | SealFate::LinesMissing { .. } => Whole::Edited,
            SealFate::Intact | SealFate::Behind { .. } | SealFate::None => Whole::Intact,
        };
        lines.chain(files).fold(seal, Whole::max)
    }

    /// Whether nothing is edited, torn or missing.
    pub fn intact(&self) -> bool {
        self.whole() == Whole::Intact
    }
}

impl EventBody {
    /// The files that it names: of a logger, or the unit's charging table.
    pub fn logs(&self) -> Vec<&LogFile> {
        let named = match self {
            EventBody::PressureTest(test) => [&test.log, &None],
            EventBody::Evacuation(evacuation) => [&evacuation.log, &evacuation.pump_down],
            EventBody::Reading(reading) => [&reading.log, &reading.charging_table],
            _ => [&None, &None],
        };
        named.into_iter().flatten().collect()
    }
}

/// Compares every line, logger file and photograph of a folder with the digests that were written.
///
/// It reads a record that cannot be opened, too: one broken line is told and the others are still compared. A record
/// is *closed* when its seal counts every line; then no byte of a line, a logger file or a photograph that was taken
/// in with its digest can differ unseen.
pub fn verify(folder: &Path) -> Result<Verification, RecordError> {
    let facts = store::facts_path(folder);
    let facts = match fs::read(&facts) {
        Ok(bytes) => bytes,
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            return Err(RecordError::NotARecord {
                folder: folder.to_path_buf(),
            });
        }
        Err(error) => return Err(failed(&facts, "read it")(error)),
    };
    let (bytes, found) = store::locked(folder)?;
    let lines: Vec<Line> = store::lines(&bytes)
        .into_iter()
        .map(|(number, _, text)| Line::read(number, text))
        .collect();
    let mut files = Vec::new();
    for line in &lines {
        line.files(folder, &mut files)?;
    }
    Ok(Verification {
        seal: seal_fate(&found, &lines),
        facts: facts_edits(found.whole(), &line::digest(&facts)),
        lines: (0..lines.len())
            .map(|index| VerifiedLine {
                fate: line_fate(&lines, index, found.whole()),
                ..lines[index].verified()
            })
            .collect(),
        files,
    })
}

/// A line as far as it can be read.
struct Line {
    line: usize,
    digest: String,
    object: Option<Map<String, Value>>,
    newer: bool,
    readable: bool,
}

impl Line {
    fn read(line: usize, text: &[u8]) -> Line {
        let object = line::object(text).ok();
        let version = object.as_ref().and_then(|o| o.get("v")?.as_u64());
        let newer = version.is_some_and(|v| v > line::LINE_VERSION);
        let read = |object| line::read(Path::new(""), line, object).is_ok();
        Line {
            line,
            digest: line::digest(text),
            newer,
            readable: newer || object.clone().is_some_and(read),
            object,
        }
    }

    fn text(&self, key: &str) -> Option<&str> {
        self.object.as_ref()?.get(key)?.as_str()
    }

    fn number(&self) -> Option<u64> {
        self.object.as_ref()?.get("n")?.as_u64()
    }

    fn verified(&self) -> VerifiedLine {
        let at = self.text("at").map(|at| Value::String(at.into()));
        VerifiedLine {
            line: self.line,
            number: self.number(),
            event: self.text("event").map(String::from),
            at: at.and_then(|at| serde_json::from_value(at).ok()),
            fate: LineFate::Unproven,
        }
    }

    fn files(&self, folder: &Path, into: &mut Vec<VerifiedFile>) -> Result<(), RecordError> {
        let (Some(object), true) = (&self.object, self.readable && !self.newer) else {
            return Ok(());
        };
        let (event, _) = line::read(Path::new(""), self.line, object.clone())?;
        for log in event.body.logs() {
            into.push(VerifiedFile {
                file: log.file.clone(),
                number: event.number,
                fate: log_fate(folder, log)?,
            });
        }
        for photo in &event.photos {
            into.push(VerifiedFile {
                file: photo.file.clone(),
                number: event.number,
                fate: photo_fate(folder, photo)?,
            });
        }
        Ok(())
    }
}

fn line_fate(lines: &[Line], index: usize, seal: Option<&Seal>) -> LineFate {
    let line = &lines[index];
    let last = index + 1 == lines.len();
    let sealed = seal.is_some_and(|seal| index < seal.lines);
    if line.newer {
        return LineFate::Newer;
    }
    if line.object.is_none() && last && !sealed {
        return LineFate::Torn;
    }
    if !line.readable {
        return LineFate::Edited;
    }
    let mut holds = Vec::new();
    if index == 0 {
        holds.push(line.text("prev") == Some(&line::first_digest()));
    }
    if let Some(prev) = lines.get(index + 1).and_then(|next| next.text("prev")) {
        holds.push(prev == line.digest);
    }
    let proven_by_next = lines.get(index + 1).is_some_and(|next| next.readable);
    if let Some(seal) = seal.filter(|seal| seal.lines == index + 1) {
        holds.push(seal.last == line.digest);
    }
    let proven_by_seal = seal.is_some_and(|seal| seal.lines == index + 1);
    match holds.into_iter().all(|held| held) {
        false => LineFate::Edited,
        true if proven_by_next || proven_by_seal => LineFate::Intact,
        true => LineFate::Unproven,
    }
}

fn seal_fate(found: &Found, lines: &[Line]) -> SealFate {
    // a torn line is none that was written
    let written = lines
        .iter()
        .enumerate()
        .filter(|(index, line)| {
            line.object.is_some()
                || index + 1 < lines.len()
                || found.whole().is_some_and(|seal| *index < seal.lines)
        })
        .count();
    match found {
        Found::None => SealFate::None,
        Found::Damaged => SealFate::Edited,
        Found::Whole(seal) if seal.lines == written => SealFate::Intact,
        Found::Whole(seal) if seal.lines < written => SealFate::Behind { sealed: seal.lines },
        Found::Whole(seal) => SealFate::LinesMissing {
            sealed: seal.lines,
            left: written,
        },
    }
}

fn facts_edits(seal: Option<&Seal>, now: &str) -> Vec<FactsEdit> {
    let Some(seal) = seal else {
        return Vec::new();
    };
    let mut edits: Vec<FactsEdit> = seal
        .facts
        .iter()
        .filter(|facts| !facts.by_program)
        .map(|facts| FactsEdit {
            met_after: Some(facts.since),
        })
        .collect();
    if seal.facts.last().is_some_and(|facts| facts.sum != now) {
        edits.push(FactsEdit { met_after: None });
    }
    edits
}

impl Record {
    /// Compares every line, logger file and photograph with the digests that were written; see [`verify`].
    pub fn verify(&self) -> Result<Verification, RecordError> {
        verify(&self.folder)
    }

    /// The logger files and photographs that are not what was recorded, in words.
    pub fn files_that_changed(&self) -> Vec<(String, &'static str)> {
        let logs = self.events.iter().flat_map(|event| event.body.logs());
        let logs = logs.map(|log| (&log.file, log_fate(&self.folder, log)));
        let photos = self.events.iter().flat_map(|event| &event.photos);
        let photos = photos.map(|photo| (&photo.file, photo_fate(&self.folder, photo)));
        logs.chain(photos)
            .filter_map(|(file, fate)| match fate {
                Ok(FileFate::Edited { .. }) => Some((
                    file.clone(),
                    "is not the file that was recorded: it was edited since, and the result rests on the edited text; restore it from a copy",
                )),
                Ok(FileFate::Missing) => Some((
                    file.clone(),
                    "was recorded and is gone: restore it from a copy",
                )),
                Ok(FileFate::Intact | FileFate::Unproven) | Err(_) => None,
            })
            .collect()
    }
}

fn log_fate(folder: &Path, log: &LogFile) -> Result<FileFate, RecordError> {
    let path = store::log_path(folder, log);
    file_fate(&path, Some((log.bytes, &log.sha256)))
}

fn photo_fate(folder: &Path, photo: &Photo) -> Result<FileFate, RecordError> {
    let taken_in = photo.taken_in.as_ref();
    file_fate(
        &store::photo_path(folder, photo),
        taken_in.map(|taken| (taken.bytes, taken.sha256.as_str())),
    )
}

fn file_fate(path: &Path, was: Option<(u64, &str)>) -> Result<FileFate, RecordError> {
    match (fs::read(path), was) {
        (Ok(_), None) => Ok(FileFate::Unproven),
        (Ok(bytes), Some((size, sha256))) => {
            let now = bytes.len() as u64;
            if now == size && line::digest(&bytes) == sha256 {
                Ok(FileFate::Intact)
            } else {
                Ok(FileFate::Edited { bytes: now })
            }
        }
        (Err(error), _) if error.kind() == io::ErrorKind::NotFound => Ok(FileFate::Missing),
        (Err(error), _) => Err(failed(path, "read it")(error)),
    }
}
