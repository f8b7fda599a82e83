//! Every joint with the evidence that stands for it, and the joints that a factory made.

use super::lineset::Joint;
use super::words::{Connection, JointKind, JointResult, MeteringDevice, TestGas};
use super::{EventBody, Record};
use crate::check::{Segment, Stage};

/// The joints that come ready-made, to be listed as a record is made.
///
/// Nobody has proven them for this line set: shipping cracks brazed stubs, and a core or a cap may leak from the
/// first day. Where the metering device sits indoors or nobody knows, it is listed at the indoor coil; the caps and
/// cores of the service valves count as the outdoor unit's, so that a test of the lines alone does not prove them.
///
/// Source: common practice, no source.
pub fn factory_joints(connection: Connection, metering: MeteringDevice) -> Vec<Joint> {
    use JointKind::{AccessCore, Brazed, Threaded, ValveCap};
    use Segment::{IndoorCoil, LiquidLine, OutdoorUnit, VapourLine};
    let mut list = vec![
        ("coil-stubs", IndoorCoil, Brazed),
        ("distributor", IndoorCoil, Brazed),
    ];
    list.push(match metering {
        MeteringDevice::Outdoors => ("metering-device", OutdoorUnit, Brazed),
        MeteringDevice::IndoorsTxv
        | MeteringDevice::IndoorsOrifice
        | MeteringDevice::IndoorsEev
        | MeteringDevice::NotKnown => ("metering-device", IndoorCoil, Threaded),
    });
    if connection == Connection::PreChargedCouplings {
        list.push(("liquid-line-ends", LiquidLine, Brazed));
        list.push(("vapour-line-ends", VapourLine, Brazed));
    }
    list.extend([
        ("liquid-valve-stem", OutdoorUnit, Threaded),
        ("liquid-valve-cap", OutdoorUnit, ValveCap),
        ("vapour-valve-stem", OutdoorUnit, Threaded),
        ("vapour-valve-cap", OutdoorUnit, ValveCap),
        ("access-core", OutdoorUnit, AccessCore),
        ("access-cap", OutdoorUnit, ValveCap),
    ]);
    list.into_iter()
        .map(|(id, segment, kind)| Joint {
            id: id.into(),
            segment,
            kind,
            factory: true,
            od: None,
            torque: None,
            torque_max: None,
        })
        .collect()
}

/// A joint with the evidence that stands for it, each as an index into the record's events.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JointEvidence {
    /// The joint's id.
    pub joint: String,
    /// The segment it closes.
    pub segment: Segment,
    /// Whether the factory made it.
    pub factory: bool,
    /// When it was made up last; that proves nothing about its tightness.
    pub made: Option<usize>,
    /// Looks that saw nothing, with bubbles or a detector.
    pub looked_at: Vec<usize>,
    /// Looks that saw a leak.
    pub leaks: Vec<usize>,
    /// Standing pressure tests that covered its segment, and technicians' visits in which one held. Whether a test
    /// passed is for its check to say.
    pub under_pressure: Vec<usize>,
}

impl JointEvidence {
    /// Whether no look and no pressure test stands for it.
    pub fn proven_by_nothing(&self) -> bool {
        self.looked_at.is_empty() && self.leaks.is_empty() && self.under_pressure.is_empty()
    }
}

impl Record {
    /// Every joint of the facts, in their order, with the evidence that still stands for it.
    pub fn joint_evidence(&self) -> Vec<JointEvidence> {
        let looks = self.evidence(Stage::Joints);
        let tests = self.evidence(Stage::Tight);
        let of = |joint: &Joint| {
            let mut found = JointEvidence {
                joint: joint.id.clone(),
                segment: joint.segment,
                factory: joint.factory,
                made: None,
                looked_at: Vec::new(),
                leaks: Vec::new(),
                under_pressure: Vec::new(),
            };
            let about = |id: &Option<String>| id.as_deref() == Some(joint.id.as_str());
            for look in looks.iter().filter(|e| about(&e.joint) && e.whole()) {
                match &self.events[look.event].body {
                    EventBody::JointChecked(checked) => match checked.result {
                        JointResult::NoLeak => found.looked_at.push(look.event),
                        JointResult::Leak => found.leaks.push(look.event),
                    },
                    _ => found.made = Some(look.event),
                }
            }
            let covered = tests
                .iter()
                .filter(|e| e.standing().contains(&joint.segment));
            found.under_pressure = covered
                .map(|e| e.event)
                .filter(|&event| !self.filled_with_refrigerant(event))
                .collect();
            found
        };
        self.lineset.joints.iter().map(of).collect()
    }

    fn filled_with_refrigerant(&self, event: usize) -> bool {
        matches!(&self.events[event].body, EventBody::PressureTest(t) if t.gas == TestGas::Refrigerant)
    }
}
