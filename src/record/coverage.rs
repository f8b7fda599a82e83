//! What evidence covers, and which later event voids it.
//!
//! A test covers segments. An event that comes after it *by the time it happened* voids exactly what it touched: a
//! joint, the segments named, everything the gas there could reach, or the circuit. An event noted late still voids
//! by when it happened. Adding an event never brings evidence back.
//!
//! `at` of a test is its start, so whatever happens to its segments during the test voids it too.
//!
//! A corrected event voids by each of its wordings, and is evidence from the earliest of their times and for what
//! each of them covers: so a correction changes what was read, and never brings back what was void.
//!
//! Source: this program's own rules, [`EVIDENCE_SOURCE`].

use super::event::{Event, EventBody, Released, Repaired, TechnicianVisit, Valves};
use super::lineset::LineSet;
use super::words::{
    Answer, JointKind, LineState, Person, Position, RepairMethod, ServiceValve, TestGas,
};
use super::{Moment, Record};
use crate::check::{Segment, Stage};
use crate::quantity::Quantity;
use crate::source::SourceId;

/// Where the rules of this module come from.
pub const EVIDENCE_SOURCE: SourceId = SourceId::EvidenceRules;

/// The segments of the circuit: all but the test rig's hoses.
pub const CIRCUIT: [Segment; 4] = [
    Segment::OutdoorUnit,
    Segment::LiquidLine,
    Segment::VapourLine,
    Segment::IndoorCoil,
];

/// Lines and indoor coil are one volume whatever the service valves do.
const LINE_SIDE: [Segment; 3] = [
    Segment::LiquidLine,
    Segment::VapourLine,
    Segment::IndoorCoil,
];

/// What an event touches of a stage's evidence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Touch {
    /// One joint.
    Joint(String),
    /// The segments named.
    Segments(Vec<Segment>),
    /// The segments named and every one the gas reaches from there, by where the service valves stood.
    Gas(Vec<Segment>),
    /// The whole circuit.
    Circuit,
    /// The test that is under way.
    UnderWay,
}

/// A stage whose evidence an event voids, and what of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Void {
    /// The stage.
    pub stage: Stage,
    /// What of its evidence.
    pub touches: Touch,
}

/// What an event voids of the evidence before it: the whole table of rules.
pub fn voids(body: &EventBody, lineset: &LineSet) -> Vec<Void> {
    match body {
        EventBody::JointMade(made) => joint_made(&made.joint, lineset),
        EventBody::PressureTest(test) if test.gas == TestGas::Refrigerant => Vec::new(),
        EventBody::PressureTest(test) => filled(&test.covers),
        EventBody::Evacuation(evacuation) => emptied(&evacuation.covers),
        EventBody::ValveMoved(_) => vec![
            void(Stage::Tight, Touch::UnderWay),
            void(Stage::Dry, Touch::UnderWay),
            void(Stage::Start, Touch::Circuit),
            void(Stage::Run, Touch::Circuit),
        ],
        EventBody::Opened(opened) => {
            let mut list = joints_touched(&opened.joints, &opened.segments);
            list.extend(opening(&opened.segments));
            list
        }
        EventBody::Repaired(repaired) => repair(repaired),
        EventBody::Released(released) => release(released),
        EventBody::Weighed(_) => circuit(&[Stage::Run, Stage::Watch]),
        EventBody::TechnicianVisit(visit) => technician(visit),
        // looked at, switched, shut off from the pump or corrected: nothing of the circuit changes, and results are computed anew
        EventBody::JointChecked(_)
        | EventBody::PumpValveMoved(_)
        | EventBody::StartChecked(_)
        | EventBody::Started(_)
        | EventBody::Stopped(_)
        | EventBody::Reading(_)
        | EventBody::Changed(_)
        | EventBody::Corrected(_) => Vec::new(),
    }
}

fn void(stage: Stage, touches: Touch) -> Void {
    Void { stage, touches }
}

fn circuit(stages: &[Stage]) -> Vec<Void> {
    stages.iter().map(|&s| void(s, Touch::Circuit)).collect()
}

const CHARGED: [Stage; 4] = [Stage::Charge, Stage::Start, Stage::Run, Stage::Watch];

/// The circuit was open to the air somewhere.
fn opening(segments: &[Segment]) -> Vec<Void> {
    let mut list = vec![
        void(Stage::Tight, Touch::Segments(segments.to_vec())),
        void(Stage::Dry, Touch::Gas(segments.to_vec())),
    ];
    list.extend(of_the_charge(segments));
    list
}

/// Test gas came in.
fn filled(segments: &[Segment]) -> Vec<Void> {
    let mut list = vec![void(Stage::Dry, Touch::Gas(segments.to_vec()))];
    list.extend(of_the_charge(segments));
    list
}

/// What was in was pumped out.
fn emptied(segments: &[Segment]) -> Vec<Void> {
    of_the_charge(segments)
}

/// What rests on the charge, unless only hoses were touched.
fn of_the_charge(segments: &[Segment]) -> Vec<Void> {
    if segments.iter().any(|s| CIRCUIT.contains(s)) {
        circuit(&CHARGED)
    } else {
        Vec::new()
    }
}

fn joints_touched(joints: &[String], segments: &[Segment]) -> Vec<Void> {
    if joints.is_empty() {
        return vec![void(Stage::Joints, Touch::Segments(segments.to_vec()))];
    }
    joints
        .iter()
        .map(|id| void(Stage::Joints, Touch::Joint(id.clone())))
        .collect()
}

fn joint_made(id: &str, lineset: &LineSet) -> Vec<Void> {
    let mut list = vec![void(Stage::Joints, Touch::Joint(id.into()))];
    match lineset.joint(id) {
        // a cap closes what a valve or core holds already
        Some(joint) if joint.kind == JointKind::ValveCap => {}
        Some(joint) => list.extend(opening(&[joint.segment])),
        None => list.extend(opening(&CIRCUIT)),
    }
    list
}

fn repair(repaired: &Repaired) -> Vec<Void> {
    let joints: Vec<String> = repaired.joint.iter().cloned().collect();
    let mut list = joints_touched(&joints, &repaired.segments);
    match repaired.method {
        RepairMethod::Tightened => list.push(void(
            Stage::Tight,
            Touch::Segments(repaired.segments.clone()),
        )),
        _ => list.extend(opening(&repaired.segments)),
    }
    list
}

fn release(released: &Released) -> Vec<Void> {
    let joints: Vec<String> = released.joint.iter().cloned().collect();
    let mut list = joints_touched(&joints, &released.segments);
    list.extend(opening(&released.segments));
    list
}

fn technician(visit: &TechnicianVisit) -> Vec<Void> {
    let opened = visit.drier == Answer::Yes || visit.repaired == Answer::Yes;
    let emptied = opened
        || visit.recovered.is_some()
        || visit.evacuated_to.is_some()
        || visit.pressure_held == Answer::Yes;
    let mut list = Vec::new();
    if visit.repaired == Answer::Yes {
        list.push(void(Stage::Joints, Touch::Circuit));
    }
    if opened {
        list.push(void(Stage::Tight, Touch::Circuit));
    }
    if emptied {
        list.push(void(Stage::Dry, Touch::Circuit));
        list.extend(circuit(&CHARGED));
    } else if visit.charged.is_some() {
        list.extend(circuit(&[Stage::Run, Stage::Watch]));
    }
    list
}

/// A piece of evidence for a stage, with what of it still stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Evidence {
    /// The stage.
    pub stage: Stage,
    /// Index of its event.
    pub event: usize,
    /// Whose it is: a technician's stands beside the owner's tests, never for them.
    pub by: Person,
    /// The joint, where it is about one.
    pub joint: Option<String>,
    /// The segments it covered when it was taken.
    pub covers: Vec<Segment>,
    /// The segments it does not cover any more, each with the index of the first event that touched it.
    pub voided: Vec<(Segment, usize)>,
}

impl Evidence {
    /// The segments it still covers.
    pub fn standing(&self) -> Vec<Segment> {
        let gone = |s: &Segment| self.voided.iter().any(|(segment, _)| segment == s);
        self.covers.iter().copied().filter(|s| !gone(s)).collect()
    }

    /// The first event that voided any of it.
    pub fn voided_by(&self) -> Option<usize> {
        self.voided.first().map(|(_, event)| *event)
    }

    /// Whether it still covers all it did.
    pub fn whole(&self) -> bool {
        self.voided.is_empty()
    }
}

/// One wording of an event: what was said to have happened, when, and the number that brought it on record.
struct Statement<'a> {
    event: usize,
    number: u64,
    at: Moment,
    body: &'a EventBody,
}

/// Every wording of every event, by when it is said to have happened.
fn statements(events: &[Event]) -> Vec<Statement<'_>> {
    let mut list: Vec<Statement> = events
        .iter()
        .enumerate()
        .flat_map(|(event, of)| {
            let wordings = of.wordings().into_iter();
            wordings.map(move |(number, at, body)| Statement {
                event,
                number,
                at,
                body,
            })
        })
        .collect();
    list.sort_by_key(|said| (said.at, said.number));
    list
}

/// All evidence for a stage in the order it was taken.
pub fn evidence(stage: Stage, lineset: &LineSet, events: &[Event]) -> Vec<Evidence> {
    let said = statements(events);
    let mut found: Vec<Evidence> = in_order(events)
        .into_iter()
        .filter_map(|index| taken(stage, index, lineset, &events[index]))
        .collect();
    for evidence in &mut found {
        for what in &said {
            strike(evidence, what, lineset, events, &said);
        }
    }
    found
}

/// Indices of the events by when they happened; those of one moment by their number.
pub fn in_order(events: &[Event]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..events.len()).collect();
    order.sort_by_key(|&index| (events[index].at, events[index].number));
    order
}

/// The evidence an event is for a stage: what it says now, as far as each earlier wording covers it too.
fn taken(stage: Stage, index: usize, lineset: &LineSet, event: &Event) -> Option<Evidence> {
    let mut evidence = shown(stage, index, lineset, &event.body)?;
    for before in &event.before {
        if let Some(before) = shown(stage, index, lineset, &before.body) {
            evidence.covers.retain(|s| before.covers.contains(s));
        }
    }
    Some(evidence)
}

/// The evidence that a wording is for a stage.
fn shown(stage: Stage, event: usize, lineset: &LineSet, body: &EventBody) -> Option<Evidence> {
    let mut by = Person::Owner;
    let mut joint = None;
    let covers = match (stage, body) {
        (Stage::Joints, EventBody::JointMade(made)) => {
            joint = Some(made.joint.clone());
            joint_segment(lineset, &made.joint)
        }
        (Stage::Joints, EventBody::JointChecked(checked)) => {
            joint = Some(checked.joint.clone());
            joint_segment(lineset, &checked.joint)
        }
        (Stage::Tight, EventBody::PressureTest(test)) => within(&test.covers, test.valves),
        (Stage::Dry, EventBody::Evacuation(evacuation)) => {
            within(&evacuation.covers, evacuation.valves)
        }
        (Stage::Charge, EventBody::Weighed(weighed)) => {
            by = weighed.by;
            CIRCUIT.to_vec()
        }
        (Stage::Start, EventBody::StartChecked(_))
        | (Stage::Run | Stage::Watch, EventBody::Reading(_)) => CIRCUIT.to_vec(),
        (_, EventBody::TechnicianVisit(visit)) if shows(visit, stage) => {
            by = Person::Technician;
            CIRCUIT.to_vec()
        }
        _ => return None,
    };
    Some(Evidence {
        stage,
        event,
        by,
        joint,
        covers,
        voided: Vec::new(),
    })
}

/// Whether gas or vacuum in the lines cannot reach the outdoor unit, by where the valves stood.
pub(super) fn shut_off(covers: &[Segment], valves: Option<Valves>) -> bool {
    let both_shut = valves.is_some_and(|valves| {
        valves.liquid_service == Position::Shut && valves.vapour_service == Position::Shut
    });
    both_shut && covers.iter().any(|s| LINE_SIDE.contains(s))
}

/// What of the segments a test could cover; an older record may say more than its valves let through.
pub(super) fn within(covers: &[Segment], valves: Option<Valves>) -> Vec<Segment> {
    let shut_off = shut_off(covers, valves);
    let covered = |s: &Segment| !(shut_off && *s == Segment::OutdoorUnit);
    covers.iter().copied().filter(covered).collect()
}

fn joint_segment(lineset: &LineSet, id: &str) -> Vec<Segment> {
    lineset
        .joint(id)
        .map_or(CIRCUIT.to_vec(), |j| vec![j.segment])
}

fn shows(visit: &TechnicianVisit, stage: Stage) -> bool {
    match stage {
        Stage::Tight => visit.pressure_held == Answer::Yes,
        Stage::Dry => visit.evacuated_to.is_some(),
        Stage::Charge => visit.charged.is_some(),
        _ => false,
    }
}

/// Takes from evidence what an event touched.
fn strike(
    evidence: &mut Evidence,
    what: &Statement,
    lineset: &LineSet,
    events: &[Event],
    said: &[Statement],
) {
    let taken = &events[evidence.event];
    let wordings = taken.wordings();
    let since = wordings
        .iter()
        .map(|(_, at, _)| *at)
        .fold(taken.at, Moment::min);
    let number = events[what.event].number;
    if what.event == evidence.event || (what.at, number) <= (since, taken.number) {
        return;
    }
    let ended = wordings
        .iter()
        .filter_map(|(_, at, body)| ended(*at, body))
        .max();
    for void in voids(what.body, lineset) {
        if void.stage != evidence.stage {
            continue;
        }
        let touched = match void.touches {
            Touch::Joint(id) if evidence.joint.as_ref() == Some(&id) => evidence.covers.clone(),
            Touch::Joint(_) => Vec::new(),
            Touch::Segments(segments) => segments,
            Touch::Gas(segments) => reached(&segments, what, lineset, said),
            Touch::Circuit => CIRCUIT.to_vec(),
            Touch::UnderWay if ended.is_some_and(|end| what.at < end) => evidence.covers.clone(),
            Touch::UnderWay => Vec::new(),
        };
        for segment in evidence.standing() {
            if touched.contains(&segment) {
                evidence.voided.push((segment, what.event));
            }
        }
    }
}

/// When a test ended, as far as the event says; a logger file may say more.
pub fn ends(event: &Event) -> Option<Moment> {
    ended(event.at, &event.body)
}

fn ended(at: Moment, body: &EventBody) -> Option<Moment> {
    let (until, last) = match body {
        EventBody::PressureTest(test) => {
            (test.until, test.readings.last().and_then(|r| r.seconds(at)))
        }
        EventBody::Evacuation(evacuation) => (
            evacuation.until,
            evacuation.readings.last().and_then(|r| r.seconds(at)),
        ),
        _ => (None, None),
    };
    until.or_else(|| at.later_by(last?))
}

/// The first service valve moved between two moments: a test that runs then has no one volume.
pub fn valve_moved_between(events: &[Event], from: Moment, to: Moment) -> Option<usize> {
    in_order(events).into_iter().find(|&index| {
        let event = &events[index];
        matches!(event.body, EventBody::ValveMoved(_)) && event.at > from && event.at < to
    })
}

/// Where the gas of the segments reaches at the time of an event.
fn reached(
    segments: &[Segment],
    what: &Statement,
    lineset: &LineSet,
    said: &[Statement],
) -> Vec<Segment> {
    let mut reached = segments.to_vec();
    let circuit = segments.iter().any(|s| CIRCUIT.contains(s));
    if circuit && could_be_open(what, lineset, said) {
        reached.extend(CIRCUIT);
    } else if segments.iter().any(|s| LINE_SIDE.contains(s)) {
        reached.extend(LINE_SIDE);
    }
    reached
}

/// Whether a service valve could have been open at the time of an event.
///
/// A valve is taken as shut only if that was on record before the event was: so a later note never brings evidence
/// back.
fn could_be_open(what: &Statement, lineset: &LineSet, said: &[Statement]) -> bool {
    let start = match lineset.line_set.state {
        LineState::New => Position::Shut,
        LineState::HeldRefrigerant => Position::Open,
    };
    [ServiceValve::LiquidService, ServiceValve::VapourService]
        .into_iter()
        .any(|valve| {
            let last = said
                .iter()
                .take_while(|s| (s.at, s.number) < (what.at, what.number))
                .filter_map(|s| Some((s.number, stands(s.body, valve)?)))
                .filter(|(number, to)| *to == Position::Open || *number < what.number)
                .last();
            last.map_or(start, |(_, to)| to) == Position::Open
        })
}

/// Where an event says that a valve stands.
fn stands(body: &EventBody, valve: ServiceValve) -> Option<Position> {
    let of = |valves: &Valves| match valve {
        ServiceValve::LiquidService => valves.liquid_service,
        ServiceValve::VapourService => valves.vapour_service,
    };
    match body {
        EventBody::ValveMoved(moved) if moved.valve == valve => Some(moved.to),
        EventBody::PressureTest(test) => test.valves.as_ref().map(of),
        EventBody::Evacuation(evacuation) => evacuation.valves.as_ref().map(of),
        EventBody::Released(released) => released.valves.as_ref().map(of),
        EventBody::StartChecked(start) if start.valves_open == Answer::Yes => Some(Position::Open),
        EventBody::Started(_) | EventBody::Reading(_) => Some(Position::Open),
        EventBody::TechnicianVisit(visit) if visit.charged.is_some() => Some(Position::Open),
        _ => None,
    }
}

/// Seconds from a test's start, by clock time or by time passed.
fn seconds_from(
    start: Moment,
    at: Option<Moment>,
    after: Option<&super::AsTyped<crate::quantity::Duration>>,
) -> Option<f64> {
    at.map(|at| at.seconds_after(start))
        .or_else(|| after.map(|after| after.value().si()))
}

impl super::TestReading {
    /// Seconds since the start of the test.
    pub fn seconds(&self, start: Moment) -> Option<f64> {
        seconds_from(start, self.at, self.after.as_ref())
    }
}

impl super::VacuumReading {
    /// Seconds since the start of the evacuation.
    pub fn seconds(&self, start: Moment) -> Option<f64> {
        seconds_from(start, self.at, self.after.as_ref())
    }
}

impl Record {
    /// All evidence for a stage in the order it was taken.
    pub fn evidence(&self, stage: Stage) -> Vec<Evidence> {
        evidence(stage, &self.lineset, &self.events)
    }

    /// The evidence for a stage that was taken last.
    pub fn latest_evidence(&self, stage: Stage) -> Option<Evidence> {
        self.evidence(stage).pop()
    }

    /// The segments that any evidence for a stage still covers, in the order of [`Segment::ALL`].
    pub fn covered(&self, stage: Stage) -> Vec<Segment> {
        let standing: Vec<Segment> = self
            .evidence(stage)
            .iter()
            .flat_map(Evidence::standing)
            .collect();
        Segment::ALL
            .into_iter()
            .filter(|s| standing.contains(s))
            .collect()
    }

    /// The route, after what has happened.
    pub fn route(&self) -> super::Route {
        super::Route::of(&self.lineset, &self.events)
    }
}
