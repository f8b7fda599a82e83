//! The folder: `lineset.toml`, `events.jsonl`, `events.sum`, `logs/`, `photos/`.
//!
//! Rules of the versions: a file or line of a newer version is refused and never rewritten; a line once written is
//! never changed; a line torn by a power cut loses only itself, and what is left of it is kept aside.

use std::fs::{self, File, OpenOptions};
use std::io::{Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use super::disk::{self, Lock, failed};
use super::error::{RecordError, Spot, Warning};
use super::event::{Event, EventBody, LogFile, NewEvent};
use super::lineset::{FACTS_VERSION, LineSet};
use super::seal::{self, Found, Seal};
use super::{Photo, Record, TakenIn, change, correct, faults, line, sound};

const FACTS: &str = "lineset.toml";
const EVENTS: &str = "events.jsonl";
const TORN: &str = "events.torn";
const LOGS: &str = "logs";
const PHOTOS: &str = "photos";

/// What stands at the end of new facts, for the person who completes them.
const TEMPLATE: &str = r#"
# Joints and instruments stand below, one table each. Take the leading # away, fill in, repeat.
#
# [[joint]]
# id = "liquid-outdoor"          # your name for it; events use it
# segment = "liquid-line"        # outdoor-unit, liquid-line, vapour-line, indoor-coil, hoses
# kind = "flare"                 # flare, pressed, brazed, coupling, valve-cap, access-core, threaded
# torque = "42 N m"              # from the unit's own instructions
#
# [[instrument]]
# id = "test-gauge"
# kind = "gauge"                 # gauge, vacuum-gauge, thermometer, scale, torque-wrench, voltmeter
# accuracy = "1 % of full scale" # or "1 % of reading", or "2 psi"
# resolution = "0.5 psi"         # the smallest step it shows
# full_scale = "800 psig"
"#;

/// What `events.jsonl` holds.
struct Contents {
    events: Vec<Event>,
    /// Lines found whole.
    lines: usize,
    warnings: Vec<Warning>,
    /// Digest of the last line as it was written: what the seal says of it counts before what it is now.
    last_digest: String,
    /// Lines that were written: those found, or more where the seal counts more.
    written: usize,
    /// Bytes up to the end of the last whole line.
    whole: usize,
    /// Whether that line still lacks its end.
    open_end: bool,
    /// What a torn last line left.
    torn: Vec<u8>,
}

impl Record {
    /// Begins a record in a folder, which is made if need be; refuses a folder that holds one.
    pub fn create(folder: &Path, lineset: LineSet) -> Result<Record, RecordError> {
        let (facts, events) = (facts_path(folder), events_path(folder));
        if facts.exists() || events.exists() {
            return Err(RecordError::Exists {
                folder: folder.to_path_buf(),
            });
        }
        let text = toml::to_string(&lineset).map_err(|error| RecordError::Field {
            spot: spot(&facts, 0, None),
            what: error.to_string(),
            next: "correct that fact".into(),
        })?;
        let text = text + TEMPLATE;
        // what is written can be read again, or is refused before anything is on the disk
        let lineset = read_facts(&facts, &text)?;
        for part in [LOGS, PHOTOS] {
            let path = folder.join(part);
            fs::create_dir_all(&path).map_err(failed(&path, "make it"))?;
        }
        disk::write_new(&events, b"").map_err(failed(&events, "write it"))?;
        disk::write_new(&facts, text.as_bytes()).map_err(failed(&facts, "write it"))?;
        Seal::begun(text.as_bytes()).write(folder)?;
        Ok(Record {
            folder: folder.to_path_buf(),
            lineset,
            events: Vec::new(),
            warnings: Vec::new(),
        })
    }

    /// Opens the record in a folder.
    ///
    /// A torn last line, an edited line or a gap in the numbers is a [`Warning`], not an error.
    pub fn open(folder: &Path) -> Result<Record, RecordError> {
        let facts = facts_path(folder);
        if !facts.is_file() {
            return Err(RecordError::NotARecord {
                folder: folder.to_path_buf(),
            });
        }
        let (bytes, found) = locked(folder)?;
        let contents = read_events(&events_path(folder), &bytes, found.whole())?;
        change::finish(folder, &contents.events)?;
        let text = fs::read_to_string(&facts).map_err(failed(&facts, "read it"))?;
        let lineset = read_facts(&facts, &text)?;
        Ok(Record {
            folder: folder.to_path_buf(),
            lineset,
            events: contents.events,
            warnings: contents.warnings,
        })
    }

    /// Whether an event fits the facts and itself; [`Record::append`] asks it too.
    pub fn fits(&self, new: &NewEvent) -> Result<(), RecordError> {
        sound::check(&self.lineset, new)?;
        correct::check(self, &self.events, new)
    }

    /// Writes an event behind the others and through to the disk, alone under a lock, and seals it.
    ///
    /// Events that another program wrote in the meantime are read first. Refused: an event later than it is noted,
    /// one that names a joint or instrument that is not in the facts, a test without readings, a correction that
    /// gives no event. Behind a last line that was edited, or is gone, the new line holds the digest of what was
    /// written, so that the edit stays to be seen.
    pub fn append(&mut self, new: NewEvent) -> Result<&Event, RecordError> {
        sound::check(&self.lineset, &new)?;
        self.attached(&new)?;
        let path = events_path(&self.folder);
        let mut file = OpenOptions::new()
            .read(true)
            .write(true)
            .create(true)
            .truncate(false)
            .open(&path)
            .map_err(failed(&path, "open it"))?;
        disk::lock(&file, &path, Lock::Alone)?;
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes)
            .map_err(failed(&path, "read it"))?;
        let found = seal::find(&self.folder)?;
        let mut contents = read_events(&path, &bytes, found.whole())?;
        correct::check(self, &contents.events, &new)?;
        self.put_aside(&contents.torn)?;
        let last = contents.events.last().map_or(0, |last| last.number);
        let event = Event {
            number: last.max(contents.written as u64) + 1,
            at: new.at,
            noted: new.noted,
            body: new.body,
            note: new.note,
            photos: new.photos,
            before: Vec::new(),
        };
        let text =
            line::write(&event, &contents.last_digest).map_err(|error| RecordError::Field {
                spot: spot(&path, 0, None),
                what: error.to_string(),
                next: "correct that field".into(),
            })?;
        let start = if contents.open_end { "\n" } else { "" };
        write_line(&mut file, contents.whole, &format!("{start}{text}\n"))
            .map_err(failed(&path, "write the event"))?;
        self.warnings = contents.warnings;
        self.warnings.retain(|w| !matches!(w, Warning::Torn { .. }));
        if let EventBody::Corrected(correction) = &event.body {
            correct::put_into_effect(&mut contents.events, event.number, correction)?;
        }
        self.events = contents.events;
        self.events.push(event);
        self.seal(found, contents.lines + 1, line::digest(text.as_bytes()))?;
        Ok(&self.events[self.events.len() - 1])
    }

    /// Seals what is written.
    fn seal(&self, found: Found, lines: usize, last: String) -> Result<(), RecordError> {
        let path = facts_path(&self.folder);
        let facts = fs::read(&path).map_err(failed(&path, "read it"))?;
        let mut seal = match found {
            Found::Whole(seal) => seal,
            // nothing says who wrote the facts that stand now
            Found::None | Found::Damaged => Seal::begun(&facts),
        };
        seal.note_facts(line::digest(&facts), false);
        (seal.lines, seal.last) = (lines, last);
        seal.write(&self.folder)
    }

    /// Takes down in the seal that the program has written the facts.
    pub(super) fn seal_facts(&self, facts: &str) -> Result<(), RecordError> {
        match seal::find(&self.folder)? {
            Found::Whole(mut seal) => {
                seal.note_facts(line::digest(facts.as_bytes()), true);
                seal.write(&self.folder)
            }
            Found::None | Found::Damaged => Ok(()),
        }
    }

    /// Copies a raw logger file into the record; an equal file is used again, an unequal one is never overwritten.
    pub fn attach_log(&self, source: &Path) -> Result<LogFile, RecordError> {
        let (file, bytes) = self.attach(source, LOGS, "log.csv")?;
        Ok(LogFile {
            file,
            bytes: bytes.len() as u64,
            sha256: line::digest(&bytes),
            columns: Vec::new(),
            sheet: None,
            decimal: None,
            header_line: None,
            skip_missing: false,
            time_format: None,
            zone: None,
            part: None,
        })
    }

    /// Copies a photograph into the record, with its size and digest; it never leaves the folder.
    pub fn attach_photo(&self, source: &Path) -> Result<Photo, RecordError> {
        let (file, bytes) = self.attach(source, PHOTOS, "photo.jpg")?;
        Ok(Photo {
            file,
            taken_in: Some(TakenIn {
                bytes: bytes.len() as u64,
                sha256: line::digest(&bytes),
            }),
        })
    }

    /// Where a logger file of the record lies.
    pub fn log_path(&self, log: &LogFile) -> PathBuf {
        log_path(&self.folder, log)
    }

    /// The logger files that lie in the record, named by an event or not.
    pub fn kept_logs(&self) -> Vec<PathBuf> {
        let listed = fs::read_dir(self.folder.join(LOGS)).into_iter().flatten();
        listed
            .filter_map(|entry| Some(entry.ok()?.path()))
            .collect()
    }

    fn attach(
        &self,
        source: &Path,
        part: &str,
        name: &str,
    ) -> Result<(String, Vec<u8>), RecordError> {
        let bytes = fs::read(source).map_err(failed(source, "read it"))?;
        let name = source
            .file_name()
            .map_or(name.into(), |n| n.to_string_lossy());
        let kept = disk::keep(&self.folder.join(part), &name, &bytes)?;
        let kept = kept.file_name().map_or(name, |n| n.to_string_lossy());
        Ok((format!("{part}/{kept}"), bytes))
    }

    /// Whether the files that an event names are in the record.
    fn attached(&self, new: &NewEvent) -> Result<(), RecordError> {
        let mut logs = new.body.logs().into_iter();
        let missing = |field, file: &str| RecordError::Event {
            event: new.body.word(),
            field,
            what: format!("\"{file}\" is not in the record"),
            next: "copy the file into the record first".into(),
        };
        if let Some(log) = logs.find(|log| !self.log_path(log).is_file()) {
            return Err(missing("log", &log.file));
        }
        let absent = |photo: &&Photo| {
            let inside = Path::new(&photo.file).parent() == Some(Path::new(PHOTOS));
            !(inside && photo_path(&self.folder, photo).is_file())
        };
        match new.photos.iter().find(absent) {
            Some(photo) => Err(missing("photos", &photo.file)),
            None => Ok(()),
        }
    }

    /// Keeps what a torn line left, so that nothing is ever destroyed.
    fn put_aside(&self, torn: &[u8]) -> Result<(), RecordError> {
        if torn.is_empty() {
            return Ok(());
        }
        let path = self.folder.join(TORN);
        OpenOptions::new()
            .append(true)
            .create(true)
            .open(&path)
            .and_then(|mut file| {
                file.write_all(torn)?;
                file.write_all(b"\n")?;
                file.sync_all()
            })
            .map_err(failed(&path, "keep the torn line"))
    }
}

/// Cuts the file to its whole lines and writes one more; after a failure the whole lines alone are left.
fn write_line(file: &mut File, whole: usize, text: &str) -> std::io::Result<()> {
    file.set_len(whole as u64)?;
    let written = file
        .seek(SeekFrom::Start(whole as u64))
        .and_then(|_| file.write_all(text.as_bytes()))
        .and_then(|()| file.flush())
        .and_then(|()| file.sync_all());
    if written.is_err() {
        file.set_len(whole as u64)?;
    }
    written
}

fn spot(file: &Path, line: usize, field: Option<&str>) -> Spot {
    Spot {
        file: file.to_path_buf(),
        line,
        field: field.map(str::to_string),
    }
}

/// The bytes of the events with their seal, under one lock; a record without the file has none yet.
pub(super) fn locked(folder: &Path) -> Result<(Vec<u8>, Found), RecordError> {
    let path = events_path(folder);
    let mut file = match File::open(&path) {
        Ok(file) => file,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            return Ok((Vec::new(), seal::find(folder)?));
        }
        Err(error) => return Err(failed(&path, "open it")(error)),
    };
    disk::lock(&file, &path, Lock::Shared)?;
    let mut bytes = Vec::new();
    file.read_to_end(&mut bytes)
        .map_err(failed(&path, "read it"))?;
    Ok((bytes, seal::find(folder)?))
}

/// Where a logger file lies; only its name counts, so that no record leads out of its folder.
pub(super) fn log_path(folder: &Path, log: &LogFile) -> PathBuf {
    let name = Path::new(&log.file).file_name().unwrap_or_default();
    folder.join(LOGS).join(name)
}

/// Where a photograph lies; likewise.
pub(super) fn photo_path(folder: &Path, photo: &Photo) -> PathBuf {
    let name = Path::new(&photo.file).file_name().unwrap_or_default();
    folder.join(PHOTOS).join(name)
}

/// Where the events of a folder are.
pub(super) fn events_path(folder: &Path) -> PathBuf {
    folder.join(EVENTS)
}

/// Where the facts of a folder are.
pub(super) fn facts_path(folder: &Path) -> PathBuf {
    folder.join(FACTS)
}

pub(super) fn read_facts(path: &Path, text: &str) -> Result<LineSet, RecordError> {
    let table: toml::Table =
        toml::from_str(text).map_err(|error| faults::in_facts(path, text, &error))?;
    if let Some(found) = table.get("version").and_then(toml::Value::as_integer)
        && found > i64::from(FACTS_VERSION)
    {
        return Err(RecordError::Newer {
            spot: spot(path, faults::key_line(text, "version"), Some("version")),
            found: found.unsigned_abs(),
            known: u64::from(FACTS_VERSION),
        });
    }
    let lineset: LineSet =
        toml::from_str(text).map_err(|error| faults::in_facts(path, text, &error))?;
    match lineset.misfits().into_iter().next() {
        None => Ok(lineset),
        Some(misfit) => Err(RecordError::Field {
            spot: spot(
                path,
                faults::toml_line(text, misfit.table, misfit.nth, misfit.key),
                Some(format!("{}.{}", misfit.table, misfit.key).trim_end_matches('.')),
            ),
            what: misfit.what,
            next: misfit.next.into(),
        }),
    }
}

/// Reads all lines; only the last may be torn. If the seal counts it, it is missing, and stays so to be seen.
fn read_events(path: &Path, bytes: &[u8], seal: Option<&Seal>) -> Result<Contents, RecordError> {
    let mut contents = Contents {
        events: Vec::new(),
        lines: 0,
        warnings: Vec::new(),
        last_digest: line::first_digest(),
        written: 0,
        whole: 0,
        open_end: false,
        torn: Vec::new(),
    };
    let mut before = 1;
    let lines = lines(bytes);
    for (index, (number, start, text)) in lines.iter().enumerate() {
        let object = match line::object(text) {
            Ok(object) => object,
            Err(_) if index + 1 == lines.len() => {
                contents.torn = text.to_vec();
                contents.warnings.push(Warning::Torn {
                    line: *number,
                    text: String::from_utf8_lossy(text).into_owned(),
                });
                break;
            }
            Err(what) => {
                return Err(RecordError::Broken {
                    spot: spot(path, *number, None),
                    what,
                });
            }
        };
        let (event, prev) = line::read(path, *number, object)?;
        if prev != contents.last_digest {
            contents.warnings.push(Warning::Edited { line: before });
        }
        let expected = contents.events.last().map_or(1, |last| last.number + 1);
        if event.number != expected {
            contents.warnings.push(Warning::Number {
                line: *number,
                expected,
                found: event.number,
            });
        }
        before = *number;
        contents.last_digest = line::digest(text);
        let end = start + text.len();
        contents.open_end = end == bytes.len();
        contents.whole = (end + 1).min(bytes.len());
        contents.lines += 1;
        if let EventBody::Corrected(correction) = &event.body {
            let done = correct::put_into_effect(&mut contents.events, event.number, correction);
            if done.is_err() {
                contents.warnings.push(Warning::NotCorrected {
                    line: *number,
                    number: correction.number,
                });
            }
        }
        contents.events.push(event);
    }
    contents.hold_against(seal, before);
    Ok(contents)
}

impl Contents {
    /// Holds what was found against the seal; `last` is the last line's place in the file.
    fn hold_against(&mut self, seal: Option<&Seal>, last: usize) {
        self.written = self.lines;
        let Some(seal) = seal.filter(|seal| seal.lines >= self.lines) else {
            return;
        };
        if seal.lines > self.lines {
            self.warnings.push(Warning::Missing {
                sealed: seal.lines,
                left: self.lines,
            });
        } else if seal.last != self.last_digest {
            self.warnings.push(Warning::Edited { line: last });
        }
        self.written = seal.lines;
        self.last_digest = seal.last.clone();
    }
}

/// The lines that are not blank: number from 1, first byte, text without its end.
pub(super) fn lines(bytes: &[u8]) -> Vec<(usize, usize, &[u8])> {
    let mut found = Vec::new();
    let mut start = 0;
    for (index, text) in bytes.split(|b| *b == b'\n').enumerate() {
        if !text.trim_ascii().is_empty() {
            found.push((index + 1, start, text));
        }
        start += text.len() + 1;
    }
    found
}
