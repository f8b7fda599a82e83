//! Everything *charge* can say.

pub mod amounts;
mod belongs;

pub(super) use belongs::belongs;
pub use belongs::{CAME_IN_LINE, NO_HEAD, SHIPPED_EMPTY, WEIGHED_IN};

use super::{BesideFactor, Criteria, Incident, Printed};
use crate::check::Reason;
use crate::quantity::{Interval, Mass, Quantity, both, unit};
use crate::source::SourceId;

/// Every code with its meaning.
pub const CODES: &[(&str, &str)] = &[
    (ADJUSTMENT, "the line-length adjustment"),
    (CHARGE_RIGHT, "what was weighed in is what had to be"),
    (
        REMAINDER_LEFT,
        "a small remainder is left as it is and noted on the label",
    ),
    (
        WITHIN_THE_SCALE,
        "the scale cannot tell the remainder from a small one",
    ),
    (TO_WEIGH_IN, "charge is still to be weighed in"),
    (SHORT_OF_CHARGE, "less was weighed in than had to be"),
    (TOO_MUCH_CHARGE, "more is in than has to be"),
    (RELEASED, "refrigerant got out: how much is not known"),
    (
        OPENED,
        "the circuit was opened after it held refrigerant: how much is gone is not known",
    ),
    (
        IMPOSSIBLE,
        "the adjustment would take away more than the nameplate charge",
    ),
    (
        FACTOR_OFF,
        "the maker's factor is far from bore and density",
    ),
    (PRINTED_BESIDE, "what other makers print for such a line"),
    (NO_PHYSICS, "physics beside the factor is not available"),
    (
        METERING_ASKED,
        "the place of the metering device decides which factor is right",
    ),
    (
        NOT_FOR_R744,
        "R-744 is charged by its unit's own instructions only",
    ),
    (SHIPPED_EMPTY, "the nameplate charge is weighed in too"),
    (
        NO_HEAD,
        "a port has no head, so its included length counts as not installed",
    ),
    (
        CAME_IN_LINE,
        "the charge that came in a pre-charged line counts as already in",
    ),
    (
        WEIGHED_IN,
        "the sum of what was weighed in, and what its range comes from most",
    ),
    (COULD_BE_GONE, "what an incident could have cost"),
    (
        WOULD_NARROW,
        "what would narrow what an incident could have cost",
    ),
    (
        ONLY_VAPOUR,
        "below saturation the pressure weighs the vapour",
    ),
    (
        READS_THE_SAME,
        "the pressure at rest says nothing about mass while liquid is left",
    ),
    (
        ABOVE_SATURATION,
        "at rest the pressure is above saturation: air, or a warmer liquid",
    ),
    (
        AIR_ASSUMED,
        "opened and not evacuated: air must be assumed inside",
    ),
    (
        IDLE_PROVES_NOTHING,
        "the excess at rest is too small to tell of air; it never clears",
    ),
    (IDLE_BELOW, "at rest the pressure is below saturation"),
    (IDLE_NOT_VALID, "the check at rest means nothing now"),
    (
        CHARGE_FROM_READINGS,
        "the charge that running readings look like",
    ),
    (
        NO_SUBCOOLING,
        "without subcooling the charge is low, possibly by far more",
    ),
    (
        READINGS_VOID,
        "running readings say nothing about the charge of this machine now",
    ),
    (
        WORTH_ASKING,
        "what running readings would change, before any is taken",
    ),
    (CHARGE_INSIDE, "the mass inside from all evidence"),
    (
        TECHNICIAN_WEIGHED,
        "a technician's mass replaces everything else",
    ),
    (
        CHARGE_CONFLICT,
        "evidence of the mass inside does not fit together",
    ),
    (CHARGE_COSTS, "what the charge costs in capacity and COP"),
    (
        AMOUNTS_ASSUMED,
        "what was assumed for the cost of an incident, as nobody said it",
    ),
    (NOT_TOLD, "why the mass inside cannot be told"),
    (ROOM_FREE, "no room size is asked for"),
    (ROOM_ASKED, "a question comes before any room size"),
    (ROOM_ENOUGH, "the room is large enough for the charge"),
    (ROOM_TOO_SMALL, "the room is too small for the charge"),
    (
        ROOM_AIRFLOW,
        "the airflow is below what the instructions ask for",
    ),
];

/// The line-length adjustment.
pub const ADJUSTMENT: &str = "line-length-adjustment";
/// What was weighed in is what had to be.
pub const CHARGE_RIGHT: &str = "charge-right";
/// A small remainder is left as it is.
pub const REMAINDER_LEFT: &str = "remainder-left";
/// The scale cannot tell.
pub const WITHIN_THE_SCALE: &str = "within-the-scale";
/// Charge is still to be weighed in.
pub const TO_WEIGH_IN: &str = "to-weigh-in";
/// Less was weighed in than had to be.
pub const SHORT_OF_CHARGE: &str = "short-of-charge";
/// More is in than has to be.
pub const TOO_MUCH_CHARGE: &str = "too-much-charge";
/// Refrigerant got out.
pub const RELEASED: &str = "released-mass-not-known";
/// The circuit was opened after it held refrigerant.
pub const OPENED: &str = "opened-mass-not-known";
/// The adjustment cannot be.
pub const IMPOSSIBLE: &str = "adjustment-impossible";
/// The maker's factor is far from physics.
pub const FACTOR_OFF: &str = "factor-off-physics";
/// What other makers print.
pub const PRINTED_BESIDE: &str = "printed-beside";
/// Physics is not available.
pub const NO_PHYSICS: &str = "physics-not-available";
/// The place of the metering device is asked.
pub const METERING_ASKED: &str = "metering-place-asked";
/// R-744 is charged by its unit's own instructions only.
pub const NOT_FOR_R744: &str = "no-liquid-to-fill-lines";
/// What an incident could have cost.
pub const COULD_BE_GONE: &str = "mass-could-be-gone";
/// What would narrow what an incident could have cost.
pub const WOULD_NARROW: &str = "loss-would-narrow";
/// Below saturation the pressure weighs the vapour.
pub const ONLY_VAPOUR: &str = "only-vapour-left";
/// The pressure at rest says nothing about mass while liquid is left.
pub const READS_THE_SAME: &str = "would-read-the-same";
/// At rest the pressure is above saturation: air, or a warmer liquid.
pub const ABOVE_SATURATION: &str = "above-saturation-at-rest";
/// Opened and not evacuated: air must be assumed inside.
pub const AIR_ASSUMED: &str = "air-assumed-inside";
/// The excess at rest is too small to tell of air; it never clears.
pub const IDLE_PROVES_NOTHING: &str = "idle-proves-nothing";
/// At rest the pressure is below saturation.
pub const IDLE_BELOW: &str = "below-saturation-at-rest";
/// The check at rest means nothing now.
pub const IDLE_NOT_VALID: &str = "idle-not-valid";
/// The charge that running readings look like.
pub const CHARGE_FROM_READINGS: &str = "charge-from-readings";
/// Without subcooling the charge is low, possibly by far more.
pub const NO_SUBCOOLING: &str = "no-subcooling-left";
/// Running readings say nothing about the charge of this machine now.
pub const READINGS_VOID: &str = "readings-say-no-charge";
/// What running readings would change, before any is taken.
pub const WORTH_ASKING: &str = "readings-worth-asking";
/// The mass inside from all evidence.
pub const CHARGE_INSIDE: &str = "charge-inside";
/// A technician's mass replaces everything else.
pub const TECHNICIAN_WEIGHED: &str = "technician-weighed";
/// Evidence of the mass inside does not fit together.
pub const CHARGE_CONFLICT: &str = "charge-evidence-conflict";
/// What the charge costs in capacity and COP.
pub const CHARGE_COSTS: &str = "charge-costs";
/// What was assumed for the cost of an incident.
pub const AMOUNTS_ASSUMED: &str = "amounts-assumed";
/// Why the mass inside cannot be told.
pub const NOT_TOLD: &str = "mass-inside-not-told";
/// No room size is asked for.
pub const ROOM_FREE: &str = "room-size-not-asked";
/// A question comes before any room size.
pub const ROOM_ASKED: &str = "room-question";
/// The room is large enough for the charge.
pub const ROOM_ENOUGH: &str = "room-large-enough";
/// The room is too small for the charge.
pub const ROOM_TOO_SMALL: &str = "room-too-small";
/// The airflow is below what the instructions ask for.
pub const ROOM_AIRFLOW: &str = "airflow-below-instructions";

pub(super) fn adjustment(mass: Mass) -> Reason {
    Reason::new(
        ADJUSTMENT,
        SourceId::UnitInstructions,
        format!("line-length adjustment with accessories: {}", both(mass)),
    )
}

pub(super) fn charge_right(remainder: Interval) -> Reason {
    Reason::new(
        CHARGE_RIGHT,
        SourceId::Jcgm106,
        format!(
            "what was weighed in is what had to be: {} over",
            remainder.show_both()
        ),
    )
}

pub(super) fn remainder_left(remainder: Mass, left: Mass, criteria: &Criteria) -> Reason {
    let side = if remainder.si() > 0.0 {
        "over"
    } else {
        "under"
    };
    let mass = Mass::from_si(remainder.si().abs());
    Reason::new(
        REMAINDER_LEFT,
        criteria.small_remainder_source,
        format!(
            "{} {side}: within {}, leave it and note it on the label",
            both(mass),
            both(left)
        ),
    )
}

pub(super) fn within_the_scale(remainder: Interval, left: Mass) -> Reason {
    Reason::new(
        WITHIN_THE_SCALE,
        SourceId::Jcgm106,
        format!(
            "{} over: the scale cannot tell it from a remainder within {}; leave it, note it on the label; a finer scale would decide",
            remainder.show_both(),
            both(left)
        ),
    )
}

pub(super) fn to_weigh_in(mass: Mass) -> Reason {
    Reason::new(
        TO_WEIGH_IN,
        SourceId::Cfr82F,
        format!(
            "{} is still to be weighed in, by a certified technician where the law reserves it",
            both(mass)
        ),
    )
}

pub(super) fn short_of_charge(remainder: Interval) -> Reason {
    Reason::new(
        SHORT_OF_CHARGE,
        SourceId::Jcgm106,
        format!(
            "less was weighed in than had to be: {} short; a certified technician weighs in the rest",
            remainder.negated().show_both()
        ),
    )
}

pub(super) fn too_much_charge(remainder: Interval) -> Reason {
    Reason::new(
        TOO_MUCH_CHARGE,
        SourceId::Jcgm106,
        format!(
            "more is in than has to be: {} over; taking it out is recovery by a certified technician",
            remainder.show_both()
        ),
    )
}

pub(super) fn incident(incident: &Incident) -> Reason {
    match incident {
        Incident::Released { what } => Reason::new(
            RELEASED,
            SourceId::Cfr82F,
            format!("{what}: how much is gone is not known until a certified technician weighs it"),
        ),
        Incident::Opened { what } => Reason::new(
            OPENED,
            SourceId::Cfr82F,
            format!(
                "{what}: the circuit was opened after it held refrigerant, so how much is gone is not known until a certified technician weighs it, and air must be assumed inside"
            ),
        ),
    }
}

pub(super) fn impossible(adjustment: Mass, nameplate: Mass) -> Reason {
    Reason::new(
        IMPOSSIBLE,
        SourceId::UnitInstructions,
        format!(
            "an adjustment of {} would take away more than the nameplate charge of {}: check lengths, factor and units",
            both(adjustment),
            both(nameplate)
        ),
    )
}

pub(super) fn factor_off(beside: &BesideFactor, criteria: &Criteria) -> Reason {
    Reason::new(
        FACTOR_OFF,
        criteria.factor_spread_source,
        format!(
            "{}: the factor {} is {:+.0} % from {}, what bore and density ask for: check the tube, the unit of the factor and where the metering device sits",
            beside.run,
            both(beside.factor),
            beside.differs.in_unit(unit::PERCENT),
            both(beside.expected)
        ),
    )
}

pub(super) fn printed_beside(run: &str, printed: &Printed) -> Reason {
    let documents = match printed.documents {
        1 => "1 document".to_string(),
        n => format!("{n} documents"),
    };
    Reason::new(
        PRINTED_BESIDE,
        SourceId::LineChargePrinted,
        format!(
            "{run}: others print {} to {}, mostly {} ({documents}); the unit's own figure wins",
            both(printed.least),
            both(printed.most),
            both(printed.median)
        ),
    )
}

pub(super) fn no_physics(why: &str, criteria: &Criteria) -> Reason {
    Reason::new(
        NO_PHYSICS,
        criteria.line_density_source,
        format!("no physics beside the factor: {why}"),
    )
}

pub(super) fn metering_asked() -> Reason {
    Reason::new(
        METERING_ASKED,
        SourceId::LineChargePrinted,
        "where does the metering device sit, indoors or outdoors? the factor about doubles with it indoors",
    )
}

pub(super) fn not_for_r744() -> Reason {
    Reason::new(
        NOT_FOR_R744,
        SourceId::EosR744,
        "R-744 has no liquid above 88 °F (31 °C), so no charge per length of line holds: a technician charges it by the unit's own instructions",
    )
}
