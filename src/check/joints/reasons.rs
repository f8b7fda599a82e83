//! Everything *joints* can say.

use super::{Criteria, Method};
use crate::check::{Outcome, Reason};
use crate::physics::tube::TorqueRange;
use crate::quantity::{Quantity, Torque, both};
use crate::source::SourceId;

/// Every code with its meaning.
pub const CODES: &[(&str, &str)] = &[
    (
        NO_LEAK_SEEN,
        "every joint was looked at and no leak was seen",
    ),
    (LEAKING, "a joint leaks"),
    (FACTORY_LEAKING, "a factory joint leaks"),
    (UNPROVEN, "joints that nothing has proven"),
    (FACTORY_UNPROVEN, "factory joints that nothing has proven"),
    (NO_JOINTS, "no joint is recorded"),
    (UNDER_TORQUED, "a joint was tightened below its range"),
    (OVER_TORQUED, "a joint was tightened above its range"),
    (
        TORQUE_AT_THE_EDGE,
        "the wrench cannot tell on which side of an end of the range a joint is",
    ),
    (
        TORQUE_NOT_RECORDED,
        "no torque is recorded for a joint that has one",
    ),
    (NO_TORQUE_RANGE, "no torque range is known for a joint"),
    (ADAPTER_COUNTED, "the adapter on the wrench was counted"),
];

/// Every joint was looked at and no leak was seen.
pub const NO_LEAK_SEEN: &str = "no-leak-seen";
/// A joint leaks.
pub const LEAKING: &str = "joint-leaking";
/// A factory joint leaks.
pub const FACTORY_LEAKING: &str = "factory-joint-leaking";
/// Joints that nothing has proven.
pub const UNPROVEN: &str = "joints-unproven";
/// Factory joints that nothing has proven.
pub const FACTORY_UNPROVEN: &str = "factory-joints-unproven";
/// No joint is recorded.
pub const NO_JOINTS: &str = "no-joints";
/// Tightened below the range.
pub const UNDER_TORQUED: &str = "under-torqued";
/// Tightened above the range.
pub const OVER_TORQUED: &str = "over-torqued";
/// At an end of the range.
pub const TORQUE_AT_THE_EDGE: &str = "torque-at-the-edge";
/// No torque recorded.
pub const TORQUE_NOT_RECORDED: &str = "torque-not-recorded";
/// No range known.
pub const NO_TORQUE_RANGE: &str = "no-torque-range";
/// The adapter was counted.
pub const ADAPTER_COUNTED: &str = "adapter-counted";

fn range_text(range: TorqueRange) -> String {
    format!("{} to {}", both(range.low), both(range.high))
}

pub(super) fn sight(method: Method, criteria: &Criteria) -> String {
    match method {
        Method::Bubbles => format!(
            "bubbles show {:.0e} Pa m3/s or more, where the solution wets the joint",
            criteria.bubbles_show.si()
        ),
        Method::Detector => format!(
            "a detector shows {} or more, in still air",
            both(criteria.detector_shows)
        ),
    }
}

pub(super) fn sight_source(method: Method, criteria: &Criteria) -> SourceId {
    match method {
        Method::Bubbles => criteria.bubbles_source,
        Method::Detector => criteria.detector_source,
    }
}

pub(super) fn no_leak_seen(count: usize, coarsest: Method, criteria: &Criteria) -> Reason {
    let source = sight_source(coarsest, criteria);
    Reason::new(
        NO_LEAK_SEEN,
        source,
        format!(
            "{count} joint{} looked at, no leak seen; {}",
            if count == 1 { "" } else { "s" },
            sight(coarsest, criteria)
        ),
    )
}

pub(super) fn leaking(id: &str, method: Method, criteria: &Criteria) -> Reason {
    Reason::new(
        LEAKING,
        sight_source(method, criteria),
        format!(
            "joint {id} leaks, seen by {}: let the pressure off before remaking it; with refrigerant inside that is certified work",
            method.word()
        ),
    )
}

pub(super) fn factory_leaking(id: &str, method: Method, criteria: &Criteria) -> Reason {
    Reason::new(
        FACTORY_LEAKING,
        sight_source(method, criteria),
        format!(
            "factory joint {id} leaks, seen by {}: photograph it and call the warranty desk before touching it",
            method.word()
        ),
    )
}

pub(super) fn unproven(ids: &[&str]) -> Reason {
    Reason::new(
        UNPROVEN,
        SourceId::CommonPractice,
        format!("proven by nothing: {}", ids.join(", ")),
    )
}

pub(super) fn factory_unproven(ids: &[&str]) -> Reason {
    Reason::new(
        FACTORY_UNPROVEN,
        SourceId::CommonPractice,
        format!(
            "factory joints proven by nothing: {}; where they can be reached, look at them with the same bubbles or detector",
            ids.join(", ")
        ),
    )
}

pub(super) fn no_joints() -> Reason {
    Reason::new(
        NO_JOINTS,
        SourceId::CommonPractice,
        format!(
            "no joint is recorded, so the outcome is {}: list every joint between the coils, the factory's included",
            Outcome::NotDone.words()
        ),
    )
}

pub(super) fn under_torqued(
    id: &str,
    at_nut: Torque,
    range: TorqueRange,
    source: SourceId,
) -> Reason {
    Reason::new(
        UNDER_TORQUED,
        source,
        format!(
            "joint {id}: {} at the nut is below {}; without refrigerant inside, tighten it with two wrenches",
            both(at_nut),
            range_text(range)
        ),
    )
}

pub(super) fn over_torqued(
    id: &str,
    at_nut: Torque,
    range: TorqueRange,
    source: SourceId,
) -> Reason {
    Reason::new(
        OVER_TORQUED,
        source,
        format!(
            "joint {id}: {} at the nut is above {}; the flare may be thinned or cracked: cut it off and make a new one",
            both(at_nut),
            range_text(range)
        ),
    )
}

pub(super) fn torque_at_the_edge(
    id: &str,
    at_nut: Torque,
    range: TorqueRange,
    source: SourceId,
) -> Reason {
    Reason::new(
        TORQUE_AT_THE_EDGE,
        source,
        format!(
            "joint {id}: {} at the nut is too close to an end of {} for this wrench to tell",
            both(at_nut),
            range_text(range)
        ),
    )
}

pub(super) fn torque_not_recorded(ids: &[&str]) -> Reason {
    Reason::new(
        TORQUE_NOT_RECORDED,
        SourceId::CommonPractice,
        format!("no torque recorded: {}", ids.join(", ")),
    )
}

pub(super) fn no_torque_range(ids: &[&str]) -> Reason {
    Reason::new(
        NO_TORQUE_RANGE,
        SourceId::UnitInstructions,
        format!(
            "no torque range known: {}; it stands in the unit's or the coupling's instructions",
            ids.join(", ")
        ),
    )
}

pub(super) fn adapter_counted(id: &str, setting: Torque, at_nut: Torque) -> Reason {
    Reason::new(
        ADAPTER_COUNTED,
        SourceId::Tm9254,
        format!(
            "joint {id}: {} on the wrench with the adapter is {} at the nut",
            both(setting),
            both(at_nut)
        ),
    )
}
