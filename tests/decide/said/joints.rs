use lineproof::check::joints::{
    Criteria, Input, Joint, JointCheck, JointKind, MadeUp, Method, Seen, assess, reasons,
};
use lineproof::check::{Finding, Segment};
use lineproof::physics::torque::Adapter;
use lineproof::physics::tube::Tube;
use lineproof::quantity::{Length, Measured, Origin, Quantity, Torque, unit};

use super::Table;

fn nm(value: f64) -> Torque {
    Torque::of(value, unit::NEWTON_METRE)
}

fn joint(kind: JointKind, seen: Option<Seen>) -> Joint {
    Joint {
        id: kind.word().into(),
        segment: Segment::LiquidLine,
        kind,
        tube: Some(Tube::annealed("3/8").unwrap()),
        made_up: None,
        unit_torque: None,
        checks: seen
            .map(|seen| JointCheck {
                method: Method::Bubbles,
                seen,
            })
            .into_iter()
            .collect(),
    }
}

/// A 3/8 flare at a torque, no leak seen. Its range is 32.7 to 39.9 N m (JIS B 8607).
fn at_torque(kind: JointKind, setting: f64, adapter: Option<Adapter>) -> Joint {
    Joint {
        made_up: Some(MadeUp {
            setting: Measured {
                value: nm(setting),
                standard_uncertainty: nm(0.6),
                origin: Origin::Reading("wrench".into()),
            },
            adapter,
        }),
        ..joint(kind, Some(Seen::NoLeak))
    }
}

fn judged(joints: Vec<Joint>) -> Finding {
    assess(&Input { joints }, &Criteria::default())
}

/// Inputs that say every code.
pub fn table() -> Table {
    use JointKind::{Brazed, Coupling, Factory, Flare};
    let mm = |v| Length::of(v, unit::MILLIMETRE);
    let straight = Adapter::new(mm(250.0), mm(35.0), 0.0).unwrap();
    let (leak, clear) = (Some(Seen::Leak), Some(Seen::NoLeak));
    vec![
        ("no joints", judged(Vec::new()), &[reasons::NO_JOINTS]),
        (
            "a joint looked at",
            judged(vec![joint(Brazed, clear)]),
            &[reasons::NO_LEAK_SEEN],
        ),
        (
            "two that leak",
            judged(vec![joint(Flare, leak), joint(Factory, leak)]),
            &[
                reasons::LEAKING,
                reasons::FACTORY_LEAKING,
                reasons::TORQUE_NOT_RECORDED,
            ],
        ),
        (
            "two that nobody looked at",
            judged(vec![joint(Flare, None), joint(Factory, None)]),
            &[reasons::UNPROVEN, reasons::FACTORY_UNPROVEN],
        ),
        (
            "too loose",
            judged(vec![at_torque(Flare, 20.0, None)]),
            &[reasons::UNDER_TORQUED],
        ),
        (
            "too tight, with an adapter",
            judged(vec![at_torque(Flare, 60.0, Some(straight))]),
            &[reasons::OVER_TORQUED, reasons::ADAPTER_COUNTED],
        ),
        (
            "at the end of the range",
            judged(vec![at_torque(Flare, 39.9, None)]),
            &[reasons::TORQUE_AT_THE_EDGE],
        ),
        (
            "a coupling without a figure",
            judged(vec![at_torque(Coupling, 45.0, None)]),
            &[reasons::NO_TORQUE_RANGE],
        ),
    ]
}
