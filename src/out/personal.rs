//! What a report tells of its owner, listed before it is written, and what can be left out of it.
//!
//! Facts of a person, a place or a thing may be left out; an event never is, and a report that lacks something says so
//! on its first page.

use super::assemble::day;
use super::narrate::narrate;
use crate::decide::Place;
use crate::decide::place::{self, Activity};
use crate::record::{
    Answer, Direction, Event, EventBody, LineSet, Person, Record, Warranty, coverage,
};
use jiff::civil::Date;

/// A kind of personal facts, left out together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PersonalKind {
    /// What the owner calls the line set.
    Name,
    /// Address.
    Address,
    /// Serial numbers.
    Serials,
    /// Who sold it, when, and what was promised.
    Warranty,
    /// Names of photographs.
    Photos,
    /// Words typed freely with events.
    Notes,
}

impl PersonalKind {
    /// All kinds.
    pub const ALL: [PersonalKind; 6] = [
        PersonalKind::Name,
        PersonalKind::Address,
        PersonalKind::Serials,
        PersonalKind::Warranty,
        PersonalKind::Photos,
        PersonalKind::Notes,
    ];

    /// The word to type.
    pub fn word(self) -> &'static str {
        match self {
            PersonalKind::Name => "name",
            PersonalKind::Address => "address",
            PersonalKind::Serials => "serials",
            PersonalKind::Warranty => "warranty",
            PersonalKind::Photos => "photos",
            PersonalKind::Notes => "notes",
        }
    }

    /// The kind on the page that lacks it.
    pub fn words(self) -> &'static str {
        match self {
            PersonalKind::Name => "the record's name",
            PersonalKind::Address => "the address",
            PersonalKind::Serials => "serial numbers",
            PersonalKind::Warranty => "seller and warranty",
            PersonalKind::Photos => "names of photographs",
            PersonalKind::Notes => "notes and reasons typed with events",
        }
    }
}

/// A line of the report that says something of its owner.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PersonalLine {
    /// The event's number and day; none for a fact of the line set.
    pub event: Option<(u64, String)>,
    /// The kind that leaves it out; none for work, which is never left out.
    pub kind: Option<PersonalKind>,
    /// What stands there.
    pub text: String,
}

/// Every such line, and what the place says of such work.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Preview {
    /// Names, places, serial numbers, photographs, notes.
    pub personal: Vec<PersonalLine>,
    /// Work that the place leaves to certified people, or that a reader may hold against the owner.
    pub work: Vec<PersonalLine>,
    /// Who may do such work at the place, each rule once.
    pub rules: Vec<String>,
}

impl Preview {
    /// What the report of a record would tell.
    pub fn of(record: &Record) -> Preview {
        let place = Place::of(&record.lineset.place.country);
        let mut personal: Vec<PersonalLine> = of_facts(&record.lineset);
        let mut work = Vec::new();
        let mut rules = Vec::new();
        for index in coverage::in_order(&record.events) {
            let event = &record.events[index];
            personal.extend(of_event(event));
            let Some(activity) = activity(&event.body) else {
                continue;
            };
            work.push(PersonalLine {
                event: Some((event.number, day(event))),
                kind: None,
                text: narrate(event),
            });
            let rule = place::rule(place, activity).cite();
            if !rules.contains(&rule) {
                rules.push(rule);
            }
        }
        Preview {
            personal,
            work,
            rules,
        }
    }

    /// The kinds that have a line.
    pub fn kinds(&self) -> Vec<PersonalKind> {
        let has = |kind: &PersonalKind| self.personal.iter().any(|l| l.kind == Some(*kind));
        PersonalKind::ALL.into_iter().filter(has).collect()
    }
}

/// A record without some kinds of personal facts; every event stays.
pub fn without(record: &Record, kinds: &[PersonalKind]) -> Record {
    let mut kept = record.clone();
    for kind in kinds {
        leave_out(&mut kept, *kind);
    }
    kept
}

fn leave_out(record: &mut Record, kind: PersonalKind) {
    let lineset = &mut record.lineset;
    match kind {
        PersonalKind::Name => lineset.name = "a line set".into(),
        PersonalKind::Address => lineset.place.address = None,
        PersonalKind::Serials => {
            lineset.equipment.outdoor_serial = None;
            lineset.equipment.indoor_serial = None;
        }
        PersonalKind::Warranty => lineset.warranty = Warranty::default(),
        PersonalKind::Photos => record.events.iter_mut().for_each(|e| e.photos.clear()),
        PersonalKind::Notes => {
            for event in &mut record.events {
                event.note = None;
                event.before.clear();
                if let EventBody::Corrected(corrected) = &mut event.body
                    && is_free_text(&corrected.field)
                {
                    corrected.from = None;
                    corrected.to = None;
                }
                if let Some(why) = reason(&mut event.body) {
                    *why = None;
                }
            }
        }
    }
}

/// The reason typed freely with an event.
fn reason(body: &mut EventBody) -> Option<&mut Option<String>> {
    match body {
        EventBody::Opened(opened) => Some(&mut opened.why),
        EventBody::Stopped(stopped) => Some(&mut stopped.why),
        EventBody::Changed(changed) => Some(&mut changed.why),
        EventBody::Corrected(corrected) => Some(&mut corrected.why),
        _ => None,
    }
}

/// Whether a corrected field holds words typed freely.
fn is_free_text(field: &str) -> bool {
    matches!(field, "note" | "why")
}

/// What the report names of owner and equipment, with its label.
pub(super) fn facts(lineset: &LineSet) -> Vec<(&'static str, String)> {
    fact_lines(lineset)
        .into_iter()
        .map(|(_, label, text)| (label, text))
        .collect()
}

fn fact_lines(lineset: &LineSet) -> Vec<(PersonalKind, &'static str, String)> {
    let (place, equipment) = (&lineset.place, &lineset.equipment);
    let warranty = &lineset.warranty;
    let day = |date: Option<Date>| date.map(|d| d.to_string());
    let facts = [
        (PersonalKind::Address, "address", place.address.clone()),
        (
            PersonalKind::Serials,
            "outdoor unit's serial number",
            equipment.outdoor_serial.clone(),
        ),
        (
            PersonalKind::Serials,
            "indoor unit's serial number",
            equipment.indoor_serial.clone(),
        ),
        (PersonalKind::Warranty, "sold by", warranty.supplier.clone()),
        (PersonalKind::Warranty, "bought", day(warranty.bought)),
        (PersonalKind::Warranty, "installed", day(warranty.installed)),
        (
            PersonalKind::Warranty,
            "warranty until",
            day(warranty.until),
        ),
        (
            PersonalKind::Warranty,
            "warranty terms",
            warranty.terms.clone(),
        ),
        (
            PersonalKind::Warranty,
            "warranty desk",
            warranty.phone.clone(),
        ),
    ];
    facts
        .into_iter()
        .filter_map(|(kind, label, text)| Some((kind, label, text?)))
        .collect()
}

fn of_facts(lineset: &LineSet) -> Vec<PersonalLine> {
    let name = (PersonalKind::Name, "name", lineset.name.clone());
    std::iter::once(name)
        .chain(fact_lines(lineset))
        .map(|(kind, label, text)| PersonalLine {
            event: None,
            kind: Some(kind),
            text: format!("{label}: {text}"),
        })
        .collect()
}

fn of_event(event: &Event) -> Vec<PersonalLine> {
    let line = |kind, text: String| PersonalLine {
        event: Some((event.number, day(event))),
        kind: Some(kind),
        text,
    };
    let mut body = event.body.clone();
    let why = reason(&mut body).and_then(Option::take);
    let notes = event.note.clone().into_iter().chain(why);
    let photos = event.photos.iter().map(|p| p.file.clone());
    notes
        .map(|note| line(PersonalKind::Notes, format!("\"{note}\"")))
        .chain(photos.map(|photo| line(PersonalKind::Photos, photo)))
        .collect()
}

/// The work on a circuit with refrigerant in it that an event tells of, done by the owner or by nobody named.
fn activity(body: &EventBody) -> Option<Activity> {
    match body {
        EventBody::Weighed(weighed) if weighed.by == Person::Owner => {
            Some(match weighed.direction {
                Direction::In => Activity::Charge,
                Direction::Out => Activity::Recover,
            })
        }
        EventBody::Reading(reading) => {
            let gauges = reading.suction_pressure.is_some() || reading.liquid_pressure.is_some();
            (gauges && reading.read_by != Some(Person::Technician))
                .then_some(Activity::AttachGauges)
        }
        EventBody::Opened(opened) => {
            (opened.held_refrigerant != Answer::No).then_some(Activity::OpenCircuit)
        }
        EventBody::Repaired(repaired) => {
            (repaired.refrigerant_present == Answer::Yes).then_some(Activity::BrazeCharged)
        }
        EventBody::Released(_) => Some(Activity::ReleaseToAir),
        _ => None,
    }
}
