//! Everything *start* can say.

use crate::check::Reason;
use crate::quantity::{Current, Duration, Interval, UnitSystem, Voltage, both};
use crate::source::SourceId;

/// Every code with its meaning.
pub const CODES: &[(&str, &str)] = &[
    (READY, "every question of the gate is answered well"),
    (NOT_ANSWERED, "a question of the gate is open"),
    (
        HEATER_TOO_SHORT,
        "the crankcase heater has not been on long enough",
    ),
    (HEATER_DONE, "the crankcase heater has been on long enough"),
    (VALVES_SHUT, "a service valve is not fully open"),
    (CAPS_OFF, "a stem or port cap is missing"),
    (AIRFLOW_BLOCKED, "something is in the way of the indoor air"),
    (FILTER_WRONG, "the filter is missing or dirty"),
    (DRAIN_BLOCKED, "condensate does not run away"),
    (
        CLEARANCES_SHORT,
        "a clearance of the unit's instructions is not kept",
    ),
    (
        DISCONNECT_MISSING,
        "no disconnect within sight of the outdoor unit",
    ),
    (
        VOLTAGE_OUTSIDE,
        "the supply is outside the limits of the nameplate",
    ),
    (
        VOLTAGE_AT_THE_EDGE,
        "the meter cannot tell whether the supply is inside the limits",
    ),
    (
        BREAKER_TOO_LARGE,
        "the breaker is larger than the nameplate allows",
    ),
    (
        BREAKER_TOO_SMALL,
        "the breaker is smaller than the minimum circuit ampacity",
    ),
    (
        WIRE_TOO_THIN,
        "the wire may carry less than the minimum circuit ampacity",
    ),
];

/// Every question is answered well.
pub const READY: &str = "ready-to-start";
/// A question is open.
pub const NOT_ANSWERED: &str = "not-answered";
/// The heater has not been on long enough.
pub const HEATER_TOO_SHORT: &str = "heater-too-short";
/// The heater has been on long enough.
pub const HEATER_DONE: &str = "heater-done";
/// A service valve is not fully open.
pub const VALVES_SHUT: &str = "valves-not-open";
/// A cap is missing.
pub const CAPS_OFF: &str = "caps-missing";
/// Something is in the way of the indoor air.
pub const AIRFLOW_BLOCKED: &str = "airflow-blocked";
/// The filter is missing or dirty.
pub const FILTER_WRONG: &str = "filter-wrong";
/// Condensate does not run away.
pub const DRAIN_BLOCKED: &str = "drain-blocked";
/// A clearance is not kept.
pub const CLEARANCES_SHORT: &str = "clearances-short";
/// No disconnect within sight.
pub const DISCONNECT_MISSING: &str = "disconnect-missing";
/// The supply is outside its limits.
pub const VOLTAGE_OUTSIDE: &str = "voltage-outside";
/// The meter cannot tell.
pub const VOLTAGE_AT_THE_EDGE: &str = "voltage-at-the-edge";
/// The breaker is too large.
pub const BREAKER_TOO_LARGE: &str = "breaker-too-large";
/// The breaker is too small.
pub const BREAKER_TOO_SMALL: &str = "breaker-too-small";
/// The wire is too thin.
pub const WIRE_TOO_THIN: &str = "wire-too-thin";

pub(super) fn ready() -> Reason {
    Reason::new(
        READY,
        SourceId::CommonPractice,
        "every question of the start-up gate is answered well",
    )
}

pub(super) fn not_answered(question: &str, source: SourceId) -> Reason {
    Reason::new(NOT_ANSWERED, source, format!("still open: {question}"))
}

pub(super) fn heater_too_short(so_far: Duration, asked: Duration, source: SourceId) -> Reason {
    let left = asked - so_far;
    Reason::new(
        HEATER_TOO_SHORT,
        source,
        format!(
            "the crankcase heater has been on for {} of {}: leave the power on, thermostat off, for another {}",
            both(so_far),
            both(asked),
            both(left)
        ),
    )
}

pub(super) fn heater_done(so_far: Duration, asked: Duration, source: SourceId) -> Reason {
    Reason::new(
        HEATER_DONE,
        source,
        format!(
            "the crankcase heater has been on for {}, {} asked",
            both(so_far),
            both(asked)
        ),
    )
}

pub(super) fn valves_shut() -> Reason {
    Reason::new(
        VALVES_SHUT,
        SourceId::UnitInstructions,
        "a service valve is not fully open: running against a shut valve ruins the compressor",
    )
}

pub(super) fn caps_off() -> Reason {
    Reason::new(
        CAPS_OFF,
        SourceId::CommonPractice,
        "a stem or port cap is missing: the cap is part of the seal",
    )
}

pub(super) fn airflow_blocked() -> Reason {
    Reason::new(
        AIRFLOW_BLOCKED,
        SourceId::CommonPractice,
        "something is in the way of the indoor air: liquid would come back to the compressor",
    )
}

pub(super) fn filter_wrong() -> Reason {
    Reason::new(
        FILTER_WRONG,
        SourceId::CommonPractice,
        "the filter is missing or dirty: put a clean one in",
    )
}

pub(super) fn drain_blocked() -> Reason {
    Reason::new(
        DRAIN_BLOCKED,
        SourceId::CommonPractice,
        "condensate does not run away: clear the drain and pour a cup of water through it",
    )
}

pub(super) fn clearances_short() -> Reason {
    Reason::new(
        CLEARANCES_SHORT,
        SourceId::UnitInstructions,
        "a clearance of the unit's instructions is not kept",
    )
}

pub(super) fn disconnect_missing() -> Reason {
    Reason::new(
        DISCONNECT_MISSING,
        SourceId::CommonPractice,
        "no disconnect within sight of the outdoor unit: an electrician fits one before the unit runs",
    )
}

pub(super) fn voltage_outside(
    reading: Interval,
    range: (Voltage, Voltage),
    source: SourceId,
) -> Reason {
    Reason::new(
        VOLTAGE_OUTSIDE,
        source,
        format!(
            "supply {}: the limits are {} to {}; an electrician finds out why",
            reading.show(UnitSystem::Us),
            both(range.0),
            both(range.1)
        ),
    )
}

pub(super) fn voltage_at_the_edge(
    reading: Interval,
    range: (Voltage, Voltage),
    source: SourceId,
) -> Reason {
    Reason::new(
        VOLTAGE_AT_THE_EDGE,
        source,
        format!(
            "supply {}: the meter cannot tell whether it is inside {} to {}; measure with a better one, under load",
            reading.show(UnitSystem::Us),
            both(range.0),
            both(range.1)
        ),
    )
}

pub(super) fn breaker_too_large(breaker: Current, largest: Current) -> Reason {
    Reason::new(
        BREAKER_TOO_LARGE,
        SourceId::UnitInstructions,
        format!(
            "breaker {}: the nameplate allows at most {}",
            both(breaker),
            both(largest)
        ),
    )
}

pub(super) fn breaker_too_small(breaker: Current, least: Current) -> Reason {
    Reason::new(
        BREAKER_TOO_SMALL,
        SourceId::UnitInstructions,
        format!(
            "breaker {}: the minimum circuit ampacity on the nameplate is {}; it would trip",
            both(breaker),
            both(least)
        ),
    )
}

pub(super) fn wire_too_thin(wire: Current, least: Current) -> Reason {
    Reason::new(
        WIRE_TOO_THIN,
        SourceId::UnitInstructions,
        format!(
            "the wire may carry {}: the minimum circuit ampacity on the nameplate is {}",
            both(wire),
            both(least)
        ),
    )
}
