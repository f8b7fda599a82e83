use super::*;
use crate::check::{Detail as AnyDetail, Finding, Outcome};
use crate::physics::torque::Adapter;
use crate::physics::tube::Tube;
use crate::quantity::{Length, Measured, Origin, Quantity, unit};
use crate::source::SourceId;

fn nm(value: f64) -> Torque {
    Torque::of(value, unit::NEWTON_METRE)
}

fn made_up(setting: f64) -> Option<MadeUp> {
    Some(MadeUp {
        setting: Measured {
            value: nm(setting),
            standard_uncertainty: nm(0.6),
            origin: Origin::Reading("wrench".into()),
        },
        adapter: None,
    })
}

const NO_LEAK: JointCheck = JointCheck {
    method: Method::Bubbles,
    seen: Seen::NoLeak,
};
const LEAK: JointCheck = JointCheck {
    method: Method::Detector,
    seen: Seen::Leak,
};

fn flare(id: &str, setting: f64, checks: &[JointCheck]) -> Joint {
    Joint {
        id: id.into(),
        segment: Segment::LiquidLine,
        kind: JointKind::Flare,
        tube: Some(Tube::annealed("3/8").unwrap()),
        made_up: made_up(setting),
        unit_torque: None,
        checks: checks.to_vec(),
    }
}

fn factory(id: &str, checks: &[JointCheck]) -> Joint {
    Joint {
        id: id.into(),
        segment: Segment::OutdoorUnit,
        kind: JointKind::Factory,
        tube: None,
        made_up: None,
        unit_torque: None,
        checks: checks.to_vec(),
    }
}

fn judged(joints: Vec<Joint>) -> Finding {
    assess(&Input { joints }, &Criteria::default())
}

#[test]
fn looked_at_everywhere_passes_and_says_what_bubbles_miss() {
    let finding = judged(vec![flare("a", 36.0, &[NO_LEAK]), factory("f", &[NO_LEAK])]);
    assert_eq!(finding.outcome, Outcome::Pass);
    assert!(finding.says(reasons::NO_LEAK_SEEN));
    assert!(
        finding.unseen[0].contains("1e-5 Pa m3/s"),
        "{:?}",
        finding.unseen
    );
    assert_eq!(finding.covers, [Segment::OutdoorUnit, Segment::LiquidLine]);
}

#[test]
fn a_factory_joint_that_nobody_looked_at_is_listed() {
    let finding = judged(vec![flare("a", 36.0, &[NO_LEAK]), factory("f", &[])]);
    // what cannot be reached holds nothing back, and is never left unsaid
    assert_eq!(finding.outcome, Outcome::Pass);
    assert!(
        finding.reasons[0].text.starts_with("1 joint looked at"),
        "{:?}",
        finding.reasons
    );
    assert!(finding.says(reasons::FACTORY_UNPROVEN));
    assert!(
        finding
            .unseen
            .iter()
            .any(|u| u.ends_with("nobody looked at: f"))
    );
    let untouched = judged(vec![factory("f", &[])]);
    assert_eq!(untouched.outcome, Outcome::NotDone);
    let AnyDetail::Joints(detail) = finding.detail else {
        panic!("joints gives its own detail")
    };
    assert_eq!(detail.unproven().count(), 1);
}

#[test]
fn a_leak_fails_and_a_factory_leak_comes_first() {
    let finding = judged(vec![
        flare("a", 36.0, &[NO_LEAK, LEAK]),
        factory("f", &[LEAK]),
    ]);
    assert_eq!(finding.outcome, Outcome::Fail);
    assert_eq!(finding.reasons[0].code, reasons::FACTORY_LEAKING);
    assert!(finding.reasons[0].text.contains("before touching it"));
    assert!(finding.says(reasons::LEAKING));
}

#[test]
fn nothing_looked_at_is_not_done() {
    assert_eq!(
        judged(vec![flare("a", 36.0, &[])]).outcome,
        Outcome::NotDone
    );
    assert!(judged(vec![flare("a", 36.0, &[])]).says(reasons::UNPROVEN));
    assert!(judged(Vec::new()).says(reasons::NO_JOINTS));
    let unclear = JointCheck {
        method: Method::Bubbles,
        seen: Seen::Unclear,
    };
    assert_eq!(
        judged(vec![flare("a", 36.0, &[unclear])]).outcome,
        Outcome::NotDone
    );
}

#[test]
fn torque_has_its_own_answers() {
    // JIS B 8607, 3/8: 32.7 to 39.9 N m
    for (setting, outcome, code) in [
        (28.0, Outcome::Fail, reasons::UNDER_TORQUED),
        (45.0, Outcome::Fail, reasons::OVER_TORQUED),
        (32.9, Outcome::Pass, reasons::TORQUE_AT_THE_EDGE),
    ] {
        let finding = judged(vec![flare("a", setting, &[NO_LEAK])]);
        assert_eq!(finding.outcome, outcome, "{setting} N m");
        let reason = finding.reasons.iter().find(|r| r.code == code).unwrap();
        assert_eq!(reason.source, SourceId::JisB8607);
    }
}

#[test]
fn the_adapter_is_counted_and_square_it_changes_nothing() {
    let mm = |v| Length::of(v, unit::MILLIMETRE);
    let with = |angle| {
        let mut joint = flare("a", 36.84, &[NO_LEAK]);
        let made_up = joint.made_up.as_mut().unwrap();
        made_up.adapter = Some(Adapter::new(mm(250.0), mm(35.0), angle).unwrap());
        judged(vec![joint])
    };
    // 36.8 on the wrench in line is 42.0 at the nut: above the range of 3/8
    assert!(with(0.0).says(reasons::OVER_TORQUED));
    assert!(with(0.0).says(reasons::ADAPTER_COUNTED));
    assert_eq!(with(90.0).outcome, Outcome::Pass);
}

#[test]
fn the_units_torque_wins() {
    let mut joint = flare("a", 45.0, &[NO_LEAK]);
    joint.unit_torque = Some(UnitTorque::Figure(nm(45.0)));
    assert_eq!(judged(vec![joint.clone()]).outcome, Outcome::Pass);
    joint.unit_torque = Some(UnitTorque::Range(TorqueRange {
        low: nm(30.0),
        high: nm(35.0),
    }));
    let finding = judged(vec![joint]);
    let reason = finding
        .reasons
        .iter()
        .find(|r| r.code == reasons::OVER_TORQUED);
    assert_eq!(reason.unwrap().source, SourceId::UnitInstructions);
}

#[test]
fn a_coupling_without_torque_says_where_to_find_it() {
    let mut joint = flare("a", 30.0, &[NO_LEAK]);
    joint.kind = JointKind::Coupling;
    assert!(judged(vec![joint.clone()]).says(reasons::NO_TORQUE_RANGE));
    joint.made_up = None;
    assert!(judged(vec![joint]).says(reasons::TORQUE_NOT_RECORDED));
}
