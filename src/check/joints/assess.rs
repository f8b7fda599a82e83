//! The ledger of joints.

use super::reasons;
use super::{
    Criteria, Detail, Entry, Input, Joint, JointKind, MadeUp, Method, Seen, Tightened, Tightness,
    UnitTorque,
};
use crate::check::{Detail as AnyDetail, Finding, Outcome, Reason, Segment, Stage};
use crate::physics::tube::{TorqueRange, flare_for};
use crate::quantity::{Quantity, Torque};
use crate::source::SourceId;
use crate::stats::within::{Within, judge_within};

use super::criteria::FlareTable;

/// Judges every joint: *fail* when one leaks or was tightened outside its range, *pass* when every joint made on site
/// was looked at and shows no leak, *undecided* while some were not, *not done* when none was.
///
/// A factory's joint that nobody looked at does not hold a pass back, as much of it cannot be reached; it is named, and
/// stands under what was not seen.
pub fn assess(input: &Input, criteria: &Criteria) -> Finding {
    let ledger: Vec<Entry> = input.joints.iter().map(|j| entry(j, criteria)).collect();
    let (tight, tightness) = tightness_reasons(&ledger, criteria);
    let (wrong, torque) = torque_reasons(input, &ledger, criteria);
    let outcome = if wrong.is_empty() {
        tight
    } else {
        Outcome::Fail
    };
    // what fails a stage leads: a leak before a wrong torque, a wrong torque before what is well
    let reasons = match tight {
        Outcome::Fail => [tightness, wrong, torque].concat(),
        _ => [wrong, tightness, torque].concat(),
    };

    let mut covers: Vec<Segment> = ledger
        .iter()
        .filter(|e| e.tightness != Tightness::NotChecked)
        .map(|e| e.segment)
        .collect();
    covers.sort();
    covers.dedup();
    Finding {
        covers,
        unseen: unseen(&ledger, criteria),
        detail: AnyDetail::Joints(Detail { ledger }),
        ..Finding::plain(Stage::Joints, outcome, reasons)
    }
}

fn entry(joint: &Joint, criteria: &Criteria) -> Entry {
    Entry {
        id: joint.id.clone(),
        segment: joint.segment,
        kind: joint.kind,
        tightness: tightness(joint),
        tightened: tightened(joint, criteria),
    }
}

/// A leak seen by anybody counts; otherwise the finest method that could tell.
fn tightness(joint: &Joint) -> Tightness {
    if let Some(check) = joint.checks.iter().find(|c| c.seen == Seen::Leak) {
        return Tightness::Leaking(check.method);
    }
    let clear = joint.checks.iter().filter(|c| c.seen == Seen::NoLeak);
    // 5 g of refrigerant a year is about 2e-6 Pa m3/s: the detector is the finer of the two
    match clear
        .map(|c| c.method)
        .max_by_key(|m| *m == Method::Detector)
    {
        Some(method) => Tightness::NoLeakSeen(method),
        None => Tightness::NotChecked,
    }
}

/// The range that counts for a joint, and where it comes from.
fn range_for(joint: &Joint, criteria: &Criteria) -> Option<(TorqueRange, SourceId)> {
    match joint.unit_torque {
        Some(UnitTorque::Range(range)) => return Some((range, SourceId::UnitInstructions)),
        Some(UnitTorque::Figure(torque)) => {
            let part = criteria.figure_tolerance.si();
            let range = TorqueRange {
                low: Torque::from_si(torque.si() * (1.0 - part)),
                high: Torque::from_si(torque.si() * (1.0 + part)),
            };
            return Some((range, criteria.figure_tolerance_source));
        }
        None => {}
    }
    if joint.kind != JointKind::Flare {
        return None;
    }
    let row = flare_for(joint.tube?)?;
    let range = match criteria.flare_table {
        FlareTable::Jis => row.jis,
        FlareTable::Common => row.common,
    };
    Some((range, criteria.flare_table.source()))
}

fn at_nut(made_up: &MadeUp) -> (Torque, f64) {
    let (value, u) = (
        made_up.setting.value,
        made_up.setting.standard_uncertainty.si(),
    );
    match made_up.adapter {
        Some(adapter) => (adapter.at_nut(value), u * adapter.ratio()),
        None => (value, u),
    }
}

fn tightened(joint: &Joint, criteria: &Criteria) -> Tightened {
    let made_up = match (&joint.made_up, joint.kind) {
        (_, JointKind::Brazed | JointKind::Pressed | JointKind::Factory) => {
            return Tightened::DoesNotApply;
        }
        (Some(made_up), _) => made_up,
        (None, kind) if kind.is_tightened() => return Tightened::NotRecorded,
        (None, _) => return Tightened::DoesNotApply,
    };
    let (torque, u) = at_nut(made_up);
    let Some((range, _)) = range_for(joint, criteria) else {
        return Tightened::NoRange(torque);
    };
    match judge_within(torque.si(), u, range.low.si(), range.high.si()) {
        Within::Inside => Tightened::Right(torque, range),
        Within::Undecided => Tightened::AtTheEdge(torque, range),
        Within::Outside if torque < range.low => Tightened::Under(torque, range),
        Within::Outside => Tightened::Over(torque, range),
    }
}

fn tightness_reasons(ledger: &[Entry], criteria: &Criteria) -> (Outcome, Vec<Reason>) {
    if ledger.is_empty() {
        return (Outcome::NotDone, vec![reasons::no_joints()]);
    }
    let mut said = Vec::new();
    for joint in ledger {
        if let Tightness::Leaking(method) = joint.tightness {
            said.push(match joint.kind {
                JointKind::Factory => reasons::factory_leaking(&joint.id, method, criteria),
                _ => reasons::leaking(&joint.id, method, criteria),
            });
        }
    }
    // a factory joint comes first: nobody may touch it before the warranty desk knows
    said.sort_by_key(|r| r.code != reasons::FACTORY_LEAKING);
    let leaks = !said.is_empty();

    let open = |factory: bool| -> Vec<&str> {
        ledger
            .iter()
            .filter(|e| e.tightness == Tightness::NotChecked)
            .filter(|e| (e.kind == JointKind::Factory) == factory)
            .map(|e| e.id.as_str())
            .collect()
    };
    let (own, factory) = (open(false), open(true));
    if !own.is_empty() {
        said.push(reasons::unproven(&own));
    }
    if !factory.is_empty() {
        said.push(reasons::factory_unproven(&factory));
    }
    let outcome = if leaks {
        Outcome::Fail
    } else if own.len() + factory.len() == ledger.len() {
        Outcome::NotDone
    } else if own.is_empty() {
        Outcome::Pass
    } else {
        Outcome::Undecided
    };
    if outcome == Outcome::Pass {
        let coarsest = coarsest_method(ledger).unwrap_or(Method::Bubbles);
        let looked_at = ledger.len() - factory.len();
        said.insert(0, reasons::no_leak_seen(looked_at, coarsest, criteria));
    }
    (outcome, said)
}

/// The method that decides what could have been missed on some joint.
fn coarsest_method(ledger: &[Entry]) -> Option<Method> {
    ledger
        .iter()
        .filter_map(|e| match e.tightness {
            Tightness::NoLeakSeen(method) => Some(method),
            _ => None,
        })
        .max_by_key(|m| *m == Method::Bubbles)
}

/// What fails a joint by its torque, and what else torque has to say.
fn torque_reasons(
    input: &Input,
    ledger: &[Entry],
    criteria: &Criteria,
) -> (Vec<Reason>, Vec<Reason>) {
    let mut said = Vec::new();
    let mut wrong = Vec::new();
    for (joint, entry) in input.joints.iter().zip(ledger) {
        let source = range_for(joint, criteria).map_or(SourceId::UnitInstructions, |r| r.1);
        match entry.tightened {
            Tightened::Under(t, range) => {
                wrong.push(reasons::under_torqued(&joint.id, t, range, source));
            }
            Tightened::Over(t, range) => {
                wrong.push(reasons::over_torqued(&joint.id, t, range, source));
            }
            Tightened::AtTheEdge(t, range) => {
                said.push(reasons::torque_at_the_edge(&joint.id, t, range, source));
            }
            _ => {}
        }
        if let Some(made_up) = &joint.made_up
            && made_up.adapter.is_some()
        {
            let (torque, _) = at_nut(made_up);
            said.push(reasons::adapter_counted(
                &joint.id,
                made_up.setting.value,
                torque,
            ));
        }
    }
    let named = |wanted: fn(&Tightened) -> bool| -> Vec<&str> {
        ledger
            .iter()
            .filter(|e| wanted(&e.tightened))
            .map(|e| e.id.as_str())
            .collect()
    };
    let missing = named(|t| matches!(t, Tightened::NotRecorded));
    if !missing.is_empty() {
        said.push(reasons::torque_not_recorded(&missing));
    }
    let no_range = named(|t| matches!(t, Tightened::NoRange(_)));
    if !no_range.is_empty() {
        said.push(reasons::no_torque_range(&no_range));
    }
    (wrong, said)
}

fn unseen(ledger: &[Entry], criteria: &Criteria) -> Vec<String> {
    let mut unseen: Vec<String> = [Method::Bubbles, Method::Detector]
        .into_iter()
        .filter(|m| {
            ledger
                .iter()
                .any(|e| e.tightness == Tightness::NoLeakSeen(*m))
        })
        .map(|m| format!("smaller leaks: {}", reasons::sight(m, criteria)))
        .collect();
    if !unseen.is_empty() {
        unseen.push("joints that are not on the list, and tube between the joints".to_string());
        let untouched =
            |e: &&Entry| e.kind == JointKind::Factory && e.tightness == Tightness::NotChecked;
        let factory: Vec<&str> = ledger
            .iter()
            .filter(untouched)
            .map(|e| e.id.as_str())
            .collect();
        if !factory.is_empty() {
            unseen.push(format!(
                "the factory's joints that nobody looked at: {}",
                factory.join(", ")
            ));
        }
    }
    unseen
}
