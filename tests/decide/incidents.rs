//! What a record with an incident comes to: the interval, and what may run.

use std::path::Path;

use lineproof::check::charge::lost::{Circuit, Ended, Escape, Holds, Part, Passed, Valves};
use lineproof::check::charge::{
    Before, Criteria, Incident, Input, Inside, Known, Shipped, assess_known,
};
use lineproof::check::{Detail, Finding, Outcome, Segment, Stage};
use lineproof::decide::{Judgement, Meanwhile, Verdict, judge};
use lineproof::fluid::Refrigerant;
use lineproof::quantity::{Mass, Measured, Origin, PressureAbs, Quantity, UnitSystem, unit};
use lineproof::record::{
    Answer, Event, EventBody, JointMethod, JointResult, Position, Record, ReleaseEnd, Released,
    ServiceValve, TechnicianVisit, Tube, Whereabouts,
};

use super::said::world::*;

/// 2 kg of R-410A, and a shut-off vapour line of 1 L that hissed until the nut was tightened.
pub fn hissed(air: bool) -> Finding {
    fn near<Q: Quantity>(value: f64, u: f64) -> Measured<Q> {
        Measured {
            value: Q::from_si(value),
            standard_uncertainty: Q::Diff::from_si(u),
            origin: Origin::Unit,
        }
    }
    let input = Input {
        refrigerant: Refrigerant::R410A,
        nameplate: Mass::from_si(2.0),
        shipped: Shipped::Charged,
        metering: None,
        runs: Vec::new(),
        accessories: Vec::new(),
        weighed_in: None,
        incidents: vec![Incident::Released {
            what: "2026-05-04".into(),
        }],
    };
    let escape = Escape {
        refrigerant: Refrigerant::R410A,
        temperature: near(293.15, 2.0),
        around: PressureAbs::of(1.0, unit::ATM),
        circuit: Circuit::of(near(2.0, 0.02)),
        isolated: vec![Part {
            segment: Segment::VapourLine,
            volume: near(1e-3, 5e-5),
            holds: Holds::Vapour,
        }],
        valves: Valves::Shut,
        hiss: None,
        ended: Ended::Tightened,
        passed: Passed::NotKnown,
        seen: Vec::new(),
        hole: None,
    };
    let known = Known {
        before: Before::AsWeighed,
        escapes: vec![escape],
        air,
        machine: None,
        void: None,
        readings: Vec::new(),
        recovered: None,
        assumed: Vec::new(),
    };
    assess_known(&input, &known, &Criteria::default())
}

/// A circuit that a technician charged by weight, with short lines of known volume.
fn charged_by_a_technician() -> Record {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/cottage-visited");
    let mut record = Record::open(&folder).unwrap();
    let lines = &mut record.lineset.line_set;
    let line = |od: &str| {
        Some(Tube {
            od: typed(od),
            wall: None,
            length: typed("3 m"),
        })
    };
    lines.liquid = line("1/4 in");
    lines.vapour = line("3/8 in");
    lines.volume = Some(typed("0.22 L"));
    // what belongs in stays 2.73 kg
    record.lineset.equipment.nameplate_charge = Some(typed("2.955 kg"));
    record
}

/// The record with more events, an hour apart.
fn with(record: &Record, bodies: Vec<EventBody>) -> Judgement {
    let mut record = record.clone();
    let last = record.events.last().unwrap().at;
    for (hours, body) in (1..).zip(bodies) {
        let number = record.events.len() as u64 + 1;
        record.events.push(Event {
            at: last.later_by(3600.0 * f64::from(hours)).unwrap(),
            ..event(number, 0, body)
        });
    }
    judge(&record, UnitSystem::Si).unwrap()
}

fn both_valves(to: Position) -> Vec<EventBody> {
    ServiceValve::ALL
        .iter()
        .map(|v| valve(*v, to).into())
        .collect()
}

/// Ten seconds at the vapour line's nut, then tightened.
fn hiss() -> EventBody {
    Released {
        segments: vec![Segment::VapourLine],
        lasted: Some(typed("10 s")),
        ..released(Whereabouts::Outdoors, ReleaseEnd::Tightened)
    }
    .into()
}

/// Every joint looked at again, and the gate gone through.
fn looked_at(record: &Record) -> Vec<EventBody> {
    let mut bodies = both_valves(Position::Open);
    for joint in &record.lineset.joints {
        bodies.push(look(&joint.id, JointMethod::Bubbles, JointResult::NoLeak).into());
    }
    let gate = record.events.iter().find_map(|e| match &e.body {
        EventBody::StartChecked(gate) => Some(gate.as_ref().clone()),
        _ => None,
    });
    bodies.push(gate.unwrap().into());
    bodies
}

fn charge(judgement: &Judgement) -> (&Finding, &Inside) {
    let found = judgement.findings.iter();
    let finding = found
        .into_iter()
        .find(|f| f.stage == Stage::Charge)
        .unwrap();
    let Detail::Charge(detail) = &finding.detail else {
        panic!("{finding:#?}")
    };
    (finding, detail.inside.as_deref().unwrap())
}

fn codes(judgement: &Judgement) -> Vec<&str> {
    judgement.decision.grounds.iter().map(|g| g.code).collect()
}

#[test]
fn hardly_any_gone_may_run_until_it_is_weighed() {
    let record = charged_by_a_technician();
    let mut bodies = both_valves(Position::Shut);
    bodies.push(hiss());
    bodies.extend(looked_at(&record));
    let judgement = with(&record, bodies);
    let (finding, inside) = charge(&judgement);
    assert_eq!(
        finding.outcome,
        Outcome::Undecided,
        "{:#?}",
        finding.reasons
    );
    assert!(inside.joined.low95.si() > 0.9, "{inside:#?}");
    assert!(inside.joined.high95.si() < 1.02, "{inside:#?}");
    let decision = &judgement.decision;
    assert_eq!(decision.verdict, Verdict::Call);
    assert_eq!(codes(&judgement)[0], "call-charge-lost-little");
    assert_eq!(
        decision.meanwhile,
        Meanwhile::RunWithStopSigns,
        "{decision:#?}"
    );
}

#[test]
fn the_same_hiss_with_open_valves_leaves_it_off() {
    let record = charged_by_a_technician();
    let mut bodies = both_valves(Position::Open);
    bodies.push(hiss());
    bodies.extend(looked_at(&record));
    let judgement = with(&record, bodies);
    let (_, inside) = charge(&judgement);
    assert!(inside.joined.low95.si() < 0.9, "{inside:#?}");
    assert!(codes(&judgement).contains(&"call-charge-lost"));
    assert_eq!(judgement.decision.meanwhile, Meanwhile::LeaveOff);
}

/// An evacuation after it takes out more than any interval knows, and an opening lets air in.
#[test]
fn what_is_not_reckoned_with_leaves_it_off() {
    let record = charged_by_a_technician();
    for more in [
        EventBody::from(evacuation()),
        opened(Answer::Yes).into(),
        opened(Answer::No).into(),
    ] {
        let mut bodies = both_valves(Position::Shut);
        bodies.extend([hiss(), more.clone()]);
        bodies.extend(looked_at(&record));
        let judgement = with(&record, bodies);
        assert_ne!(charge(&judgement).0.outcome, Outcome::Pass);
        assert!(
            judgement.decision.meanwhile >= Meanwhile::LeaveOff,
            "{more:?}"
        );
    }
}

/// What a technician recovered is the answer, whatever the hiss could have cost.
#[test]
fn a_recovered_mass_wins() {
    let record = charged_by_a_technician();
    let visit = TechnicianVisit {
        recovered: Some(typed("2.60 kg")),
        ..TechnicianVisit::default()
    };
    let judgement = with(&record, vec![hiss(), visit.into()]);
    let (finding, inside) = charge(&judgement);
    let share = inside.joined.estimate.si();
    assert!((share - 2.60 / 2.73).abs() < 1e-3, "{share}");
    assert_eq!(finding.outcome, Outcome::Undecided);
}
