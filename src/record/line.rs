//! One line of `events.jsonl`: version, number, times, the event's own fields, and the digest of the line before.

use std::path::Path;

use serde::de::DeserializeOwned;
use serde_json::{Map, Value};
use sha2::{Digest, Sha256};

use super::error::{RecordError, Spot};
use super::event::{Event, EventBody};
use super::faults;

/// The version of the lines this program writes, and the newest it reads.
pub const LINE_VERSION: u64 = 1;

/// What the first line's digest is taken of.
const BEFORE_THE_FIRST: &[u8] = b"lineproof events";

/// SHA-256 as hexadecimal text.
pub(crate) fn digest(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// The digest that the first line carries.
pub(crate) fn first_digest() -> String {
    digest(BEFORE_THE_FIRST)
}

/// The text of a line, without its end.
pub(crate) fn write(event: &Event, prev: &str) -> serde_json::Result<String> {
    let mut head = Map::new();
    head.insert("v".into(), LINE_VERSION.into());
    head.insert("n".into(), event.number.into());
    head.insert("at".into(), event.at.to_string().into());
    head.insert("noted".into(), event.noted.to_string().into());
    head.insert("event".into(), event.body.word().into());
    if let Some(note) = &event.note {
        head.insert("note".into(), note.clone().into());
    }
    if !event.photos.is_empty() {
        head.insert("photos".into(), serde_json::to_value(&event.photos)?);
    }
    if let Value::Object(fields) = without_nulls(event.body.to_json()?) {
        head.extend(fields);
    }
    head.insert("prev".into(), prev.into());
    serde_json::to_string(&head)
}

fn without_nulls(value: Value) -> Value {
    match value {
        Value::Object(map) => map
            .into_iter()
            .filter(|(_, value)| !value.is_null())
            .map(|(key, value)| (key, without_nulls(value)))
            .collect(),
        Value::Array(list) => list.into_iter().map(without_nulls).collect(),
        other => other,
    }
}

/// The object on a line, or what the reader met; such a line is torn if it is the last, broken otherwise.
pub(crate) fn object(bytes: &[u8]) -> Result<Map<String, Value>, String> {
    serde_json::from_slice(bytes).map_err(|error| error.to_string())
}

/// The event on a line, and the digest it carries.
pub(crate) fn read(
    file: &Path,
    line: usize,
    mut object: Map<String, Value>,
) -> Result<(Event, String), RecordError> {
    let head = Head { file, line };
    let version: u64 = head.take(&mut object, "v")?;
    if version > LINE_VERSION {
        return Err(RecordError::Newer {
            spot: head.spot("v"),
            found: version,
            known: LINE_VERSION,
        });
    }
    let number = head.take(&mut object, "n")?;
    let at = head.take(&mut object, "at")?;
    let noted = head.take(&mut object, "noted")?;
    let word: String = head.take(&mut object, "event")?;
    let prev = head.take(&mut object, "prev")?;
    let note = head.take_if_there(&mut object, "note")?;
    let photos = head
        .take_if_there(&mut object, "photos")?
        .unwrap_or_default();
    let fields = Value::Object(object).to_string();
    let body = match EventBody::from_json(&word, &fields) {
        Some(read) => read.map_err(|error| faults::in_event(file, line, &fields, &error))?,
        None => {
            return Err(RecordError::Field {
                spot: head.spot("event"),
                what: format!("there is no event \"{word}\""),
                next: faults::choose(&word, EventBody::WORDS, "known events are"),
            });
        }
    };
    let event = Event {
        number,
        at,
        noted,
        body,
        note,
        photos,
        before: Vec::new(),
    };
    Ok((event, prev))
}

/// Reads the fields that every line has.
struct Head<'a> {
    file: &'a Path,
    line: usize,
}

impl Head<'_> {
    fn spot(&self, field: &str) -> Spot {
        Spot {
            file: self.file.to_path_buf(),
            line: self.line,
            field: Some(field.into()),
        }
    }

    fn take<T: DeserializeOwned>(
        &self,
        object: &mut Map<String, Value>,
        field: &str,
    ) -> Result<T, RecordError> {
        self.take_if_there(object, field)?
            .ok_or_else(|| RecordError::Field {
                spot: self.spot(field),
                what: format!("\"{field}\" is missing"),
                next: "restore the line from a copy".into(),
            })
    }

    fn take_if_there<T: DeserializeOwned>(
        &self,
        object: &mut Map<String, Value>,
        field: &str,
    ) -> Result<Option<T>, RecordError> {
        let Some(value) = object.remove(field) else {
            return Ok(None);
        };
        serde_json::from_value(value)
            .map(Some)
            .map_err(|error| RecordError::Field {
                spot: self.spot(field),
                what: error.to_string(),
                next: "restore the line from a copy".into(),
            })
    }
}
