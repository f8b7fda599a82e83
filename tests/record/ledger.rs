//! The joints of the factory, and the joints that nothing has proven.

use lineproof::check::Segment;
use lineproof::record::*;

use super::evidence::pressure_test;
use super::{flared, new_event};

fn ids(connection: Connection, metering: MeteringDevice, segment: Segment) -> Vec<String> {
    let joints = factory_joints(connection, metering);
    assert!(joints.iter().all(|joint| joint.factory));
    let here = joints.into_iter().filter(|joint| joint.segment == segment);
    here.map(|joint| joint.id).collect()
}

#[test]
fn every_kind_has_its_factory_joints() {
    for &connection in Connection::ALL {
        for &metering in MeteringDevice::ALL {
            let coil = ids(connection, metering, Segment::IndoorCoil);
            let outdoors = ids(connection, metering, Segment::OutdoorUnit);
            let device = |ids: &[String]| ids.iter().any(|id| id == "metering-device");
            assert!(coil.iter().any(|id| id == "distributor"));
            assert_eq!(device(&outdoors), metering == MeteringDevice::Outdoors);
            assert_eq!(device(&coil), metering != MeteringDevice::Outdoors);
            assert!(outdoors.iter().any(|id| id == "access-core"));
            let lines = ids(connection, metering, Segment::LiquidLine);
            let pre_charged = connection == Connection::PreChargedCouplings;
            assert_eq!(!lines.is_empty(), pre_charged);
        }
    }
    // a record takes them in as they are
    let mut lineset = flared();
    lineset.joints.extend(factory_joints(
        Connection::Flared,
        MeteringDevice::IndoorsTxv,
    ));
    let folder = tempfile::tempdir().unwrap();
    let record = Record::create(folder.path(), lineset.clone()).unwrap();
    assert_eq!(record.lineset, lineset);
}

#[test]
fn a_joint_is_proven_by_what_still_stands() {
    let mut lineset = flared();
    lineset.joints.extend(factory_joints(
        Connection::Flared,
        MeteringDevice::IndoorsTxv,
    ));
    let folder = tempfile::tempdir().unwrap();
    let mut record = Record::create(folder.path(), lineset).unwrap();
    let checked = |joint: &str, result| JointChecked {
        joint: joint.into(),
        method: JointMethod::Bubbles,
        result,
        watched: None,
        pressure: None,
    };
    let unproven = |record: &Record| -> Vec<String> {
        let all = record.joint_evidence();
        let open = all.iter().filter(|joint| joint.proven_by_nothing());
        open.map(|joint| joint.joint.clone()).collect()
    };
    assert_eq!(unproven(&record).len(), record.lineset.joints.len());
    record.append(new_event(0, pressure_test())).unwrap();
    let outdoors = [
        "cap",
        "liquid-valve-stem",
        "liquid-valve-cap",
        "vapour-valve-stem",
        "vapour-valve-cap",
        "access-core",
        "access-cap",
    ];
    assert_eq!(unproven(&record), outdoors);
    record
        .append(new_event(100, checked("access-core", JointResult::NoLeak)))
        .unwrap();
    record
        .append(new_event(101, checked("cap", JointResult::Leak)))
        .unwrap();
    let left = unproven(&record);
    assert!(!left.contains(&"access-core".into()) && !left.contains(&"cap".into()));
    let cap = record.joint_evidence()[2].clone();
    assert_eq!((cap.joint.as_str(), cap.leaks), ("cap", vec![2]));
    // and an opening ends what stood
    let opened = Opened {
        segments: vec![Segment::LiquidLine],
        joints: Vec::new(),
        held_refrigerant: Answer::No,
        why: None,
    };
    record.append(new_event(200, opened)).unwrap();
    assert!(unproven(&record).contains(&"liquid-out".into()));
    assert!(!unproven(&record).contains(&"vapour-out".into()));
}
