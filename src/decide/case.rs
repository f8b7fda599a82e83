//! What a decision is made from: the facts, the events by the hour they happened, and the findings.

use super::Place;
use crate::check::charge::Inside;
use crate::check::{Detail, Finding, Outcome, Segment, Stage};
use crate::fluid::Refrigerant;
use crate::record::{
    Answer, Connection, Direction, Event, EventBody, JointKind, JointResult, LineSet, LineState,
    Moment, Person, Position, ReleaseEnd, RepairMethod, Route, TechnicianVisit, coverage,
    valves_at,
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
    /// What each test and each look showed that still stands, the oldest first.
    pub shown: &'a [Shown],
}

/// What one piece of evidence showed that still stands: a test, or a look at a joint.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    /// The stage.
    pub stage: Stage,
    /// When it was taken.
    pub at: Moment,
    /// Whose it is.
    pub by: Person,
    /// The joint, where it is about one.
    pub joint: Option<String>,
    /// How it came out by itself.
    pub outcome: Outcome,
    /// The segments it still covers.
    pub covers: Vec<Segment>,
    /// Whether it still covers all it did.
    pub whole: bool,
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

    /// The mass inside after an incident, where the charge was reckoned with one.
    pub fn inside(&self) -> Option<&'a Inside> {
        match &self.finding(Stage::Charge)?.detail {
            Detail::Charge(detail) => detail.inside.as_deref(),
            _ => None,
        }
    }

    /// Whether so little could be gone that it may run until it is weighed; never once the charge is off or out of date.
    pub fn hardly_any_gone(&self) -> bool {
        self.outcome(Stage::Charge) == Outcome::Undecided
            && self.inside().is_some_and(Inside::may_be_left_so)
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
        valves_at(self.events, upto)
    }

    /// The position of the last start that nobody ended.
    pub fn running_since(&self) -> Option<usize> {
        self.running_at(self.events.len())
    }

    /// The position of the start that nobody had ended before an event.
    pub fn running_at(&self, upto: usize) -> Option<usize> {
        let before = &self.events[..upto];
        let last = before
            .iter()
            .rposition(|e| matches!(e.body, EventBody::Started(_)))?;
        let ended = before[last..].iter().any(|e| {
            matches!(
                e.body,
                EventBody::Stopped(_) | EventBody::TechnicianVisit(_)
            )
        });
        (!ended).then_some(last)
    }

    /// Where the events after the last full recharge begin.
    pub fn from_recharge(&self) -> usize {
        self.events.len() - self.since_recharge().len()
    }

    /// Whether refrigerant was inside before an event: from the start, or let in; until it was recovered.
    pub fn holds_refrigerant(&self, upto: usize) -> bool {
        let lines = &self.lineset.line_set;
        let from_the_start = lines.state == LineState::HeldRefrigerant
            || lines.connection == Connection::PreChargedCouplings;
        self.events[..upto]
            .iter()
            .fold(from_the_start, |holds, e| match &e.body {
                EventBody::ValveMoved(moved) => holds || moved.to == Position::Open,
                EventBody::Weighed(weighed) => holds || weighed.direction == Direction::In,
                EventBody::Started(_) | EventBody::Reading(_) | EventBody::Released(_) => true,
                EventBody::TechnicianVisit(v) if v.charged.is_some() => true,
                EventBody::TechnicianVisit(v) if v.recovered.is_some() => false,
                _ => holds,
            })
    }

    /// What let air in that no evacuation had taken out before an event.
    pub fn air_inside(&self, upto: usize) -> Option<Air<'a>> {
        let lines = &self.lineset.line_set;
        let made_here =
            lines.state == LineState::New && lines.connection != Connection::PreChargedCouplings;
        self.events[..upto]
            .iter()
            .copied()
            .fold(made_here.then_some(Air::NeverOut), |air, e| match &e.body {
                EventBody::Evacuation(evacuation) if in_the_circuit(&evacuation.covers) => None,
                EventBody::TechnicianVisit(v) if v.evacuated_to.is_some() => None,
                body if self.lets_air_in(body) => air.or(Some(Air::In(e))),
                _ => air,
            })
    }

    fn lets_air_in(&self, body: &EventBody) -> bool {
        match body {
            EventBody::Opened(opened) => in_the_circuit(&opened.segments),
            EventBody::Repaired(repaired) => repaired.method != RepairMethod::Tightened,
            EventBody::Released(released) => released.ended == ReleaseEnd::Silent,
            EventBody::JointMade(made) => self.lineset.joint(&made.joint).is_some_and(|j| {
                matches!(
                    j.kind,
                    JointKind::Flare | JointKind::Pressed | JointKind::Brazed | JointKind::Threaded
                )
            }),
            _ => false,
        }
    }

    /// Looks that saw a joint leak while refrigerant was inside, until it was mended and looked at again, or a
    /// technician dealt with it.
    pub fn leaks_of_refrigerant(&self) -> impl Iterator<Item = (&'a Event, &'a str)> {
        let from = self.events.len()
            - self
                .since(|v| v.repaired == Answer::Yes || v.leak_found != Answer::NotKnown)
                .len();
        let case = *self;
        (from..self.events.len()).filter_map(move |at| {
            let EventBody::JointChecked(checked) = &case.events[at].body else {
                return None;
            };
            let leaks = checked.result == JointResult::Leak && case.holds_refrigerant(at);
            (leaks && !case.mended(&checked.joint, at))
                .then_some((case.events[at], checked.joint.as_str()))
        })
    }

    /// Whether a joint was made anew after an event, and then looked at without a leak.
    fn mended(&self, joint: &str, after: usize) -> bool {
        let later = &self.events[after..];
        let anew = later.iter().position(|e| match &e.body {
            EventBody::JointMade(made) => made.joint == joint,
            EventBody::Repaired(repaired) => repaired.joint.as_deref() == Some(joint),
            _ => false,
        });
        anew.is_some_and(|anew| {
            later[anew..].iter().any(|e| {
                matches!(&e.body, EventBody::JointChecked(c) if c.joint == joint && c.result == JointResult::NoLeak)
            })
        })
    }
}

/// What let air in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Air<'a> {
    /// Lines made up in the field that were never evacuated.
    NeverOut,
    /// An event that opened them.
    In(&'a Event),
}

fn in_the_circuit(segments: &[Segment]) -> bool {
    segments.iter().any(|s| coverage::CIRCUIT.contains(s))
}
