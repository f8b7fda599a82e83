//! Correcting what an earlier event says: the correction is an event of its own, and both wordings stay.
//!
//! Results use the corrected wording. What is voided is never brought back by it: an event voids by each of its
//! wordings, and a test covers only what each of them says (see [`super::coverage`]).

use serde_json::Value;

use super::error::RecordError;
use super::event::{Corrected, Event, EventBody, NewEvent, Wording};
use super::{Moment, Record, faults, sound};

impl Record {
    /// Corrects one field of an earlier event and writes the event of it; what it said stays in the record.
    ///
    /// `field` is the event's own, as `torque` or `readings.2.pressure` (counted from 1), or `at` or `note`; `to` is
    /// the text as typed, segments and joints with commas between them, or none for "not known". Refused before
    /// anything is written: an event or field that is not there, and a wording that could not have been recorded.
    pub fn correct(
        &mut self,
        number: u64,
        field: &str,
        to: Option<&str>,
        why: Option<String>,
        at: Moment,
        noted: Moment,
    ) -> Result<&Event, RecordError> {
        let from = self
            .events
            .iter()
            .find(|event| event.number == number)
            .and_then(|event| said(event, field));
        self.append(NewEvent::new(
            at,
            noted,
            Corrected {
                number,
                field: field.into(),
                from,
                to: to.map(String::from),
                why,
            },
        ))
    }
}

impl Event {
    /// Each of its wordings with the number of the event that brought it on record, the oldest first.
    pub(super) fn wordings(&self) -> Vec<(u64, Moment, &EventBody)> {
        let mut number = self.number;
        let mut list = Vec::new();
        for before in &self.before {
            list.push((number, before.at, &before.body));
            number = before.corrected_by;
        }
        list.push((number, self.at, &self.body));
        list
    }
}

fn wrong(field: &'static str, what: String, next: impl Into<String>) -> RecordError {
    RecordError::Event {
        event: "corrected",
        field,
        what,
        next: next.into(),
    }
}

/// Puts a correction into effect among the events before it.
pub(super) fn put_into_effect(
    events: &mut [Event],
    by: u64,
    correction: &Corrected,
) -> Result<usize, RecordError> {
    let index = events
        .iter()
        .position(|event| event.number == correction.number && event.number < by)
        .ok_or_else(|| {
            wrong(
                "number",
                format!("there is no event {} before this one", correction.number),
                "lineproof check lists the events with their numbers",
            )
        })?;
    events[index] = corrected(&events[index], by, correction)?;
    Ok(index)
}

/// Whether a correction gives an event that could have been recorded.
pub(super) fn check(record: &Record, events: &[Event], new: &NewEvent) -> Result<(), RecordError> {
    let EventBody::Corrected(correction) = &new.body else {
        return Ok(());
    };
    let mut events = events.to_vec();
    let index = put_into_effect(&mut events, u64::MAX, correction)?;
    let event = &events[index];
    let whole = NewEvent {
        at: event.at,
        noted: new.noted,
        body: event.body.clone(),
        note: None,
        photos: Vec::new(),
    };
    sound::check(&record.lineset, &whole)
}

/// The event as a correction has it.
fn corrected(event: &Event, by: u64, correction: &Corrected) -> Result<Event, RecordError> {
    let mut next = event.clone();
    next.before.push(Wording {
        at: event.at,
        body: event.body.clone(),
        note: event.note.clone(),
        corrected_by: by,
    });
    match (correction.field.as_str(), &correction.to) {
        ("note", to) => next.note = to.clone(),
        ("at", Some(to)) => {
            next.at = serde_json::from_value(Value::String(to.clone()))
                .map_err(|error| wrong("to", error.to_string(), "correct that time"))?;
        }
        ("at", None) => {
            let next = "give the nearest time that is known";
            return Err(wrong("to", "an event has a time".into(), next));
        }
        (field, to) => next.body = with_field(&event.body, field, to.as_deref())?,
    }
    Ok(next)
}

fn with_field(body: &EventBody, field: &str, to: Option<&str>) -> Result<EventBody, RecordError> {
    if matches!(body, EventBody::Corrected(_) | EventBody::Changed(_)) {
        return Err(wrong(
            "number",
            format!("event \"{}\" is a correction itself", body.word()),
            "write another of its kind",
        ));
    }
    let of_a_file = |part: &str| matches!(part, "" | ".file" | ".bytes" | ".sha256");
    let mut files = ["log", "pump_down"].into_iter();
    if files.any(|file| field.strip_prefix(file).is_some_and(of_a_file)) {
        return Err(wrong(
            "field",
            "a logger file is not exchanged under its event".into(),
            "record the test again with the right file",
        ));
    }
    let mut fields = body
        .to_json()
        .map_err(|error| wrong("number", error.to_string(), "restore the event from a copy"))?;
    let known: Vec<String> = fields
        .as_object()
        .map(|map| map.keys().cloned().collect())
        .unwrap_or_default();
    let Some(place) = place(&mut fields, field) else {
        let known: Vec<&str> = known.iter().map(String::as_str).collect();
        return Err(wrong(
            "field",
            format!("\"{field}\" is no field of that {}", body.word()),
            faults::choose(field, &known, "its fields are"),
        ));
    };
    *place = to.map_or(Value::Null, |to| as_value(place, to));
    without_nulls(&mut fields);
    match EventBody::from_json(body.word(), &fields.to_string()) {
        Some(Ok(body)) => Ok(body),
        Some(Err(error)) => {
            let message = error.to_string();
            let (what, next) = faults::explain(&message);
            Err(wrong("to", what, next))
        }
        None => Err(wrong(
            "number",
            "it has no kind".into(),
            "restore it from a copy",
        )),
    }
}

/// A list is typed with commas, a number as a number, everything else as text.
fn as_value(before: &Value, to: &str) -> Value {
    match before {
        Value::Array(_) => to.split(',').map(|part| Value::from(part.trim())).collect(),
        Value::Number(_) => to
            .parse::<f64>()
            .map_or_else(|_| Value::String(to.into()), Value::from),
        _ => Value::String(to.into()),
    }
}

/// The value at a dotted path; places in lists count from 1, and a field that says nothing yet is made.
fn place<'v>(fields: &'v mut Value, path: &str) -> Option<&'v mut Value> {
    let mut here = fields;
    for step in path.split('.') {
        here = match here {
            Value::Object(map) => map.entry(step).or_insert(Value::Null),
            Value::Array(list) => list.get_mut(step.parse::<usize>().ok()?.checked_sub(1)?)?,
            _ => return None,
        };
    }
    Some(here)
}

fn without_nulls(value: &mut Value) {
    match value {
        Value::Object(map) => {
            map.retain(|_, value| !value.is_null());
            map.values_mut().for_each(without_nulls);
        }
        Value::Array(list) => list.iter_mut().for_each(without_nulls),
        _ => {}
    }
}

/// What an event says in a field, in words.
fn said(event: &Event, field: &str) -> Option<String> {
    match field {
        "at" => return Some(event.at.to_string()),
        "note" => return event.note.clone(),
        _ => {}
    }
    let mut fields = event.body.to_json().ok()?;
    match place(&mut fields, field)? {
        Value::Null => None,
        Value::String(text) => Some(text.clone()),
        Value::Array(list) => {
            let words: Vec<String> = list.iter().map(in_words).collect();
            Some(words.join(","))
        }
        other => Some(other.to_string()),
    }
}

fn in_words(value: &Value) -> String {
    value
        .as_str()
        .map_or_else(|| value.to_string(), String::from)
}
