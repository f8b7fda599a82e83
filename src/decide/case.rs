//! What a decision is made from: the facts, the events by the hour they happened, and the findings.

use crate::check::{Finding, Outcome, Stage};
use crate::fluid::Refrigerant;
use crate::record::{
    Answer, Event, EventBody, LineSet, Position, ReleaseEnd, RepairMethod, Route, ServiceValve,
    TechnicianVisit,
};

/// A line set as the rules see it.
#[derive(Debug, Clone, Copy)]
pub struct Case<'a> {
    /// The facts.
    pub lineset: &'a LineSet,
    /// The way it takes through the stages.
    pub route: Route,
    /// The events, in the order in which they happened.
    pub events: &'a [&'a Event],
    /// The finding of every stage.
    pub findings: &'a [Finding],
}

/// The place, as far as the law on refrigerants differs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// United States.
    Us,
    /// European Union.
    Eu,
    /// Anywhere else.
    Elsewhere,
}

impl Place {
    /// The place of a country as it is typed.
    pub fn of(country: &str) -> Place {
        match country.trim().to_ascii_uppercase().as_str() {
            "US" | "USA" | "UNITED STATES" => Place::Us,
            "EU" => Place::Eu,
            _ => Place::Elsewhere,
        }
    }
}

impl<'a> Case<'a> {
    /// The finding of a stage.
    pub fn finding(&self, stage: Stage) -> Option<&'a Finding> {
        self.findings.iter().find(|f| f.stage == stage)
    }

    /// The outcome of a stage; not done when there is none.
    pub fn outcome(&self, stage: Stage) -> Outcome {
        self.finding(stage).map_or(Outcome::NotDone, |f| f.outcome)
    }

    /// Whether any check says a code.
    pub fn says(&self, code: &str) -> Option<&'a str> {
        self.findings
            .iter()
            .flat_map(|f| &f.reasons)
            .find(|r| r.code == code)
            .map(|r| r.text.as_str())
    }

    /// The place.
    pub fn place(&self) -> Place {
        Place::of(&self.lineset.place.country)
    }

    /// Whether the refrigerant can burn; yes when it is not known.
    pub fn may_burn(&self) -> bool {
        let named = self
            .lineset
            .equipment
            .refrigerant
            .as_deref()
            .and_then(|name| name.parse::<Refrigerant>().ok());
        named.is_none_or(Refrigerant::flammable)
    }

    /// Events after the last technician's visit that closes a kind of trouble.
    pub fn since(&self, closes: impl Fn(&TechnicianVisit) -> bool) -> &'a [&'a Event] {
        let closed = self
            .events
            .iter()
            .rposition(|e| matches!(&e.body, EventBody::TechnicianVisit(v) if closes(v)));
        &self.events[closed.map_or(0, |i| i + 1)..]
    }

    /// Events after the circuit was last evacuated and charged by a technician.
    pub fn since_recharge(&self) -> &'a [&'a Event] {
        self.since(|v| v.evacuated_to.is_some() && v.charged.is_some())
    }

    /// Events after a technician last charged.
    pub fn since_charge(&self) -> &'a [&'a Event] {
        self.since(|v| v.charged.is_some())
    }

    /// The event that opened a circuit which held refrigerant, not put right since.
    pub fn opened_after_refrigerant(&self) -> Option<&'a Event> {
        if self.route != Route::Opened {
            return None;
        }
        self.since_recharge()
            .iter()
            .copied()
            .find(|e| match &e.body {
                EventBody::Opened(opened) => opened.held_refrigerant != Answer::No,
                EventBody::Repaired(repaired) => repaired.method != RepairMethod::Tightened,
                EventBody::Released(released) => released.ended == ReleaseEnd::Silent,
                _ => false,
            })
    }

    /// Where the service valves stood after an event, as far as events say: liquid, vapour.
    pub fn valves_at(&self, upto: usize) -> (Option<Position>, Option<Position>) {
        let mut valves = (None, None);
        for event in &self.events[..upto] {
            match &event.body {
                EventBody::ValveMoved(moved) => match moved.valve {
                    ServiceValve::LiquidService => valves.0 = Some(moved.to),
                    ServiceValve::VapourService => valves.1 = Some(moved.to),
                },
                EventBody::Released(released) => {
                    if let Some(stood) = released.valves {
                        valves = (Some(stood.liquid_service), Some(stood.vapour_service));
                    }
                }
                EventBody::TechnicianVisit(_) => valves = (None, None),
                _ => {}
            }
        }
        valves
    }

    /// The position of the last start that nobody ended.
    pub fn running_since(&self) -> Option<usize> {
        let last = self
            .events
            .iter()
            .rposition(|e| matches!(e.body, EventBody::Started(_)))?;
        let ended = self.events[last..].iter().any(|e| {
            matches!(
                e.body,
                EventBody::Stopped(_) | EventBody::TechnicianVisit(_)
            )
        });
        (!ended).then_some(last)
    }
}
