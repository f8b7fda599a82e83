//! The joints ledger: every joint of the record, and what proves it.

use super::assemble::day;
use super::sheet::{JointLine, Proof};
use crate::check::joints::{Entry, Tightened, Tightness};
use crate::check::{Detail, Outcome, Stage};
use crate::decide::Judgement;
use crate::quantity::{Quantity, UnitSystem};
use crate::record::{EventBody, Evidence, Joint, JointResult, Record};

/// Every joint of the facts; what a later event touched is out of date, and what nothing shows is proven by nothing.
pub(super) fn ledger(record: &Record, judgement: &Judgement, units: UnitSystem) -> Vec<JointLine> {
    let joints = record.lineset.joints.iter();
    joints
        .map(|joint| {
            let (proof, seen) = proof(record, judgement, joint);
            let torque = entry(judgement, &joint.id).and_then(|e| torque(e, units));
            JointLine {
                id: joint.id.clone(),
                place: joint.segment.words().into(),
                kind: joint.kind.word().replace('-', " "),
                factory: joint.factory,
                proof,
                state: match torque {
                    Some(torque) => format!("{seen}; {torque}"),
                    None => seen,
                },
            }
        })
        .collect()
}

/// The entry of a joint in what *joints* found.
fn entry<'a>(judgement: &'a Judgement, id: &str) -> Option<&'a Entry> {
    judgement.findings.iter().find_map(|f| match &f.detail {
        Detail::Joints(detail) => detail.ledger.iter().find(|e| e.id == id),
        _ => None,
    })
}

fn proof(record: &Record, judgement: &Judgement, joint: &Joint) -> (Proof, String) {
    match entry(judgement, &joint.id).map(|e| e.tightness) {
        Some(Tightness::NoLeakSeen(method)) => {
            let seen = format!("no leak seen with {}", method.word());
            return (Proof::Looked, dated(record, judgement, joint, seen));
        }
        Some(Tightness::Leaking(method)) => {
            let seen = format!("leaks, seen with {}", method.word());
            return (Proof::Leaks, dated(record, judgement, joint, seen));
        }
        Some(Tightness::NotChecked) | None => {}
    }
    if let Some(test) = passed_test(judgement, joint) {
        let at = day(&record.events[test.event]);
        let text = format!("inside what the standing pressure test of {at} held");
        return (Proof::WithTheRest, text);
    }
    let last = looks(record, judgement, joint)
        .filter(|e| !e.whole())
        .last();
    match last.and_then(|look| Some((look, look.voided_by()?))) {
        Some((look, by)) => {
            let by = &record.events[by];
            let what = by.body.word().replace('-', " ");
            let seen = seen(&record.events[look.event].body);
            let text = format!("{seen}, and touched since ({what}, {})", day(by));
            (Proof::OutOfDate, text)
        }
        None => (Proof::Nothing, "nothing shows that it is tight".into()),
    }
}

/// What a look at a joint showed.
fn seen(body: &EventBody) -> &'static str {
    match body {
        EventBody::JointChecked(checked) if checked.result == JointResult::Leak => "it leaked",
        _ => "no leak was seen",
    }
}

/// What a joint showed, with the day of the last look that stands.
fn dated(record: &Record, judgement: &Judgement, joint: &Joint, seen: String) -> String {
    let standing = looks(record, judgement, joint).filter(|e| e.whole());
    match standing.last() {
        Some(look) => format!("{seen} on {}", record.events[look.event].at.civil().date()),
        None => seen,
    }
}

/// The times somebody looked at a joint.
fn looks<'a>(
    record: &'a Record,
    judgement: &'a Judgement,
    joint: &'a Joint,
) -> impl Iterator<Item = &'a Evidence> {
    taken(judgement, Stage::Joints).iter().filter(move |e| {
        e.joint.as_ref() == Some(&joint.id)
            && matches!(record.events[e.event].body, EventBody::JointChecked(_))
    })
}

/// The last standing pressure test that still covers a joint's segment, when the stage has passed.
fn passed_test<'a>(judgement: &'a Judgement, joint: &Joint) -> Option<&'a Evidence> {
    let passed = |f: &&crate::check::Finding| f.stage == Stage::Tight && f.outcome == Outcome::Pass;
    judgement.findings.iter().find(passed)?;
    let mut tests = taken(judgement, Stage::Tight).iter();
    tests.rfind(|e| e.standing().contains(&joint.segment))
}

fn taken(judgement: &Judgement, stage: Stage) -> &[Evidence] {
    let of_stage = judgement.evidence.iter().find(|(s, _)| *s == stage);
    of_stage.map_or(&[], |(_, taken)| taken)
}

fn torque(entry: &Entry, units: UnitSystem) -> Option<String> {
    Some(match entry.tightened {
        Tightened::DoesNotApply => return None,
        Tightened::NotRecorded => "torque not recorded".into(),
        Tightened::NoRange(at) => format!("{} at the nut, range not known", at.show(units)),
        Tightened::Right(at, _) => format!("{} at the nut, right", at.show(units)),
        Tightened::Under(at, range) => format!(
            "{} at the nut, under {}",
            at.show(units),
            range.low.show(units)
        ),
        Tightened::Over(at, range) => format!(
            "{} at the nut, over {}",
            at.show(units),
            range.high.show(units)
        ),
        Tightened::AtTheEdge(at, _) => {
            format!("{} at the nut, at the edge of its range", at.show(units))
        }
    })
}
