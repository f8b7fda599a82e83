//! Changing a fact: one line of `lineset.toml`, and the event that says so.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use toml::{Table, Value};

use super::disk::{self, failed};
use super::error::{RecordError, Spot};
use super::event::{Changed, Event, EventBody, NewEvent};
use super::lineset::LineSet;
use super::{Moment, Record, faults, line, store};

/// The fact to be changed: a table, which of its kind, and a key.
struct Fact<'a> {
    table: &'a str,
    nth: usize,
    key: &'a str,
}

impl Record {
    /// Changes one fact and writes the event of it; what the fact was stays in the event.
    ///
    /// `field` is `equipment.nameplate_charge`, or with an id `joint.liquid-out.torque`; `to` is the text as typed, or
    /// none for "not known". Only that line of the file is touched. Refused before anything is written: a field that
    /// does not exist, a text that cannot be read, a fact that does not stand on a line of its own.
    pub fn change(
        &mut self,
        field: &str,
        to: Option<&str>,
        why: Option<String>,
        at: Moment,
        noted: Moment,
    ) -> Result<&Event, RecordError> {
        let path = store::facts_path(&self.folder);
        let text = fs::read_to_string(&path).map_err(failed(&path, "read it"))?;
        let fact = self.fact(&path, field)?;
        let value = to.map(|to| as_value(&fact, to));
        let edited = edit_line(&text, &fact, value.as_ref());
        let before = table(&text);
        let from = at_fact(&before, &fact).map(shown);
        if !only_changed(before, table(&edited), &fact, value.as_ref()) {
            return Err(wrong(
                &path,
                field,
                "it does not stand on a line of its own".into(),
                "edit it by hand in the file",
            ));
        }
        let lineset = store::read_facts(&path, &edited)?;
        let next = next_path(&self.folder);
        fs::File::create(&next)
            .and_then(|mut file| {
                file.write_all(edited.as_bytes())?;
                file.sync_all()
            })
            .map_err(failed(&next, "write it"))?;
        self.append(NewEvent::new(
            at,
            noted,
            Changed {
                field: field.into(),
                from,
                to: to.map(String::from),
                why,
                facts: Some(line::digest(edited.as_bytes())),
            },
        ))?;
        put_in_place(&self.folder)?;
        self.seal_facts(&edited)?;
        self.lineset = lineset;
        Ok(&self.events[self.events.len() - 1])
    }

    fn fact<'a>(&self, path: &Path, field: &'a str) -> Result<Fact<'a>, RecordError> {
        let (table, key) = field.rsplit_once('.').unwrap_or(("", field));
        for (name, ids) in ids(&self.lineset) {
            let Some(id) = table.strip_prefix(name).and_then(|t| t.strip_prefix('.')) else {
                continue;
            };
            let Some(nth) = ids.iter().position(|known| *known == id) else {
                let what = format!("there is no {name} \"{id}\"");
                let next = faults::choose(id, &ids, "known are");
                return Err(wrong(path, field, what, next));
            };
            return Ok(Fact {
                table: name,
                nth,
                key,
            });
        }
        Ok(Fact { table, nth: 0, key })
    }
}

fn next_path(folder: &Path) -> PathBuf {
    store::facts_path(folder).with_extension("toml.next")
}

fn put_in_place(folder: &Path) -> Result<(), RecordError> {
    let path = store::facts_path(folder);
    match fs::rename(next_path(folder), &path) {
        // another program that opened the record has done it already
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(()),
        renamed => renamed,
    }
    .map_err(failed(&path, "put the changed facts in place"))?;
    disk::sync_folder(folder)
}

/// Puts in place the facts of a change whose event was written before the program was stopped.
pub(super) fn finish(folder: &Path, events: &[Event]) -> Result<(), RecordError> {
    let last = events.iter().rev().find_map(|event| match &event.body {
        EventBody::Changed(changed) => changed.facts.as_deref(),
        _ => None,
    });
    match (last, fs::read(next_path(folder))) {
        (Some(sum), Ok(next)) if line::digest(&next) == sum => put_in_place(folder),
        _ => Ok(()),
    }
}

fn ids(lineset: &LineSet) -> [(&'static str, Vec<&str>); 4] {
    let runs = &lineset.line_set.runs;
    let parts = &lineset.equipment.named_accessories;
    [
        (
            "line_set.run",
            runs.iter().map(|r| r.name.as_str()).collect(),
        ),
        (
            "equipment.accessory",
            parts.iter().map(|a| a.name.as_str()).collect(),
        ),
        (
            "joint",
            lineset.joints.iter().map(|j| j.id.as_str()).collect(),
        ),
        (
            "instrument",
            lineset.instruments.iter().map(|i| i.id.as_str()).collect(),
        ),
    ]
}

fn wrong(path: &Path, field: &str, what: String, next: impl Into<String>) -> RecordError {
    RecordError::Field {
        spot: Spot {
            file: path.to_path_buf(),
            line: 0,
            field: Some(field.into()),
        },
        what,
        next: next.into(),
    }
}

/// Two facts are yes or no; all others are text.
fn as_value(fact: &Fact, to: &str) -> Value {
    match (fact.key, to.parse::<bool>()) {
        ("invented" | "factory", Ok(yes)) => Value::Boolean(yes),
        _ => Value::String(to.into()),
    }
}

fn shown(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        other => other.to_string(),
    }
}

fn edit_line(text: &str, fact: &Fact, value: Option<&Value>) -> String {
    let mut lines: Vec<String> = text.lines().map(String::from).collect();
    let line = match fact.table {
        "" => faults::key_line(text, fact.key),
        table => faults::toml_line(text, table, fact.nth, fact.key),
    };
    let written = value.map(|value| format!("{} = {value}", fact.key));
    let is_key = line > 0
        && lines[line - 1]
            .split_once('=')
            .is_some_and(|(key, _)| key.trim() == fact.key);
    match (written, line) {
        (Some(written), line) if is_key => lines[line - 1] = written,
        (None, line) if is_key => {
            lines.remove(line - 1);
        }
        (Some(written), 0) if fact.table.is_empty() => lines.insert(0, written),
        (Some(written), 0) => lines.extend([String::new(), format!("[{}]", fact.table), written]),
        (Some(written), line) => lines.insert(line, written),
        (None, _) => {}
    }
    lines.join("\n") + "\n"
}

fn table(text: &str) -> Table {
    text.parse().unwrap_or_default()
}

/// The table of a fact, made if it is not there.
fn home<'t>(root: &'t mut Table, fact: &Fact) -> Option<&'t mut Table> {
    let mut here = root;
    for step in fact.table.split('.').filter(|step| !step.is_empty()) {
        let next = here
            .entry(step)
            .or_insert_with(|| Value::Table(Table::new()));
        here = match next {
            Value::Array(list) => list.get_mut(fact.nth)?.as_table_mut()?,
            other => other.as_table_mut()?,
        };
    }
    Some(here)
}

fn at_fact<'t>(root: &'t Table, fact: &Fact) -> Option<&'t Value> {
    let mut here = root;
    for step in fact.table.split('.').filter(|step| !step.is_empty()) {
        here = match here.get(step)? {
            Value::Array(list) => list.get(fact.nth)?.as_table()?,
            other => other.as_table()?,
        };
    }
    here.get(fact.key)
}

/// Whether the edit did what was asked and nothing else.
fn only_changed(mut before: Table, mut after: Table, fact: &Fact, value: Option<&Value>) -> bool {
    if at_fact(&after, fact) != value {
        return false;
    }
    for root in [&mut before, &mut after] {
        if let Some(home) = home(root, fact) {
            home.remove(fact.key);
        }
    }
    before == after
}
