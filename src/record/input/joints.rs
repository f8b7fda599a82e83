//! The input of *joints*: the ledger of the facts with what events say of each joint.

use super::InputError;
use crate::check::Segment;
use crate::check::joints::{self, MadeUp, Method, Seen, UnitTorque};
use crate::physics::torque::Adapter;
use crate::physics::tube::{TorqueRange, Tube};
use crate::quantity::{Quantity, Torque, unit};
use crate::record::coverage::Evidence;
use crate::record::{
    AsTyped, Event, EventBody, Joint, JointKind, JointMethod, JointResult, Record,
};

/// Limit of error assumed for a wrench that nothing is stated about, as a share of its setting (ISO 6789 class, from
/// memory: 4 to 6 %).
const WRENCH_LIMIT: f64 = 0.06;

impl Record {
    /// What *joints* is judged from: every joint of the facts, with the evidence that still stands.
    pub fn joints_input(&self, evidence: &[Evidence]) -> Result<joints::Input, InputError> {
        let joints = self
            .lineset
            .joints
            .iter()
            .map(|joint| self.ledger_joint(joint, evidence))
            .collect::<Result<_, _>>()?;
        Ok(joints::Input { joints })
    }

    fn ledger_joint(
        &self,
        joint: &Joint,
        evidence: &[Evidence],
    ) -> Result<joints::Joint, InputError> {
        let standing = evidence
            .iter()
            .filter(|e| e.joint.as_deref() == Some(joint.id.as_str()) && e.whole());
        let events: Vec<&Event> = standing.map(|e| &self.events[e.event]).collect();
        let mut made_up = None;
        let mut checks = Vec::new();
        for event in events {
            match &event.body {
                EventBody::JointMade(made) => made_up = self.made_up(event, made)?.or(made_up),
                EventBody::JointChecked(checked) => checks.push(joints::JointCheck {
                    method: match checked.method {
                        JointMethod::Bubbles => Method::Bubbles,
                        JointMethod::Detector => Method::Detector,
                    },
                    seen: match checked.result {
                        JointResult::NoLeak => Seen::NoLeak,
                        JointResult::Leak => Seen::Leak,
                    },
                }),
                _ => {}
            }
        }
        Ok(joints::Joint {
            id: joint.id.clone(),
            segment: joint.segment,
            kind: if joint.factory {
                joints::JointKind::Factory
            } else {
                kind(joint.kind)
            },
            tube: self.tube_at(joint)?,
            made_up,
            unit_torque: unit_torque(joint),
            checks,
        })
    }

    fn made_up(
        &self,
        event: &Event,
        made: &crate::record::JointMade,
    ) -> Result<Option<MadeUp>, InputError> {
        let Some(torque) = &made.torque else {
            return Ok(None);
        };
        let setting = torque.value();
        let assumed = Torque::from_si(WRENCH_LIMIT * setting.si());
        let adapter = made.adapter.as_ref().map(|a| {
            Adapter::new(
                a.wrench_length.value(),
                a.adapter_length.value(),
                a.angle_degrees.unwrap_or(0.0),
            )
        });
        Ok(Some(MadeUp {
            setting: self.measured(event, made.wrench.as_deref(), setting, assumed)?,
            adapter: adapter.transpose().map_err(|error| InputError::Adapter {
                number: event.number,
                error,
            })?,
        }))
    }

    /// The tube a joint is on: its own diameter, else its line's.
    fn tube_at(&self, joint: &Joint) -> Result<Option<Tube>, InputError> {
        let lines = &self.lineset.line_set;
        let line = match joint.segment {
            Segment::LiquidLine => lines.liquid.as_ref(),
            Segment::VapourLine => lines.vapour.as_ref(),
            _ => None,
        };
        let od = joint
            .od
            .as_ref()
            .or(line.map(|l| &l.od))
            .map(AsTyped::value);
        let wall = line.and_then(|l| l.wall.as_ref()).map(AsTyped::value);
        od.map(|od| tube(od, wall)).transpose()
    }
}

/// A tube by its outside diameter; the usual wall when none is given.
pub(super) fn tube(
    od: crate::quantity::Length,
    wall: Option<crate::quantity::Length>,
) -> Result<Tube, InputError> {
    if let Some(wall) = wall {
        return Ok(Tube::new(od, wall)?);
    }
    let near = crate::physics::tube::tube_rows()
        .iter()
        .find(|row| (row.tube.outer().si() - od.si()).abs() < 0.2e-3);
    match near {
        Some(row) => Ok(row.tube),
        None => Ok(Tube::annealed(&format!(
            "{:.3}",
            od.in_unit(unit::INCH_LENGTH)
        ))?),
    }
}

fn kind(kind: JointKind) -> joints::JointKind {
    match kind {
        JointKind::Flare => joints::JointKind::Flare,
        JointKind::Pressed => joints::JointKind::Pressed,
        JointKind::Brazed => joints::JointKind::Brazed,
        JointKind::Coupling => joints::JointKind::Coupling,
        JointKind::ValveCap | JointKind::AccessCore | JointKind::Threaded => {
            joints::JointKind::Threaded
        }
    }
}

fn unit_torque(joint: &Joint) -> Option<UnitTorque> {
    let low = joint.torque.as_ref()?.value();
    Some(match &joint.torque_max {
        Some(high) => UnitTorque::Range(TorqueRange {
            low,
            high: high.value(),
        }),
        None => UnitTorque::Figure(low),
    })
}
