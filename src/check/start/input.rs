//! What *start* is given.

use crate::quantity::{Current, Duration, Measured, Voltage};

/// An answer to a question of the gate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Answer {
    /// It is so.
    Yes,
    /// It is not so.
    No,
    /// Nobody looked.
    #[default]
    NotKnown,
}

/// What *start* is given; the default knows nothing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Input {
    /// The crankcase heater.
    pub heater: CrankcaseHeater,
    /// Both service valves fully open.
    pub service_valves_open: Answer,
    /// Valve stems and service ports capped, caps tight.
    pub caps_on: Answer,
    /// The indoor blower moves air with nothing in its way.
    pub airflow_clear: Answer,
    /// The filter is in and clean.
    pub filter_clean: Answer,
    /// Condensate runs away.
    pub drain_runs: Answer,
    /// The clearances of the unit's instructions are kept.
    pub clearances_kept: Answer,
    /// A disconnect within sight of the outdoor unit.
    pub disconnect_in_sight: Answer,
    /// The voltage at the unit.
    pub supply: Supply,
    /// Breaker and wire.
    pub wiring: Wiring,
}

/// What is known of the crankcase heater.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum CrankcaseHeater {
    /// The unit has none, or its instructions ask for no time.
    NotNeeded,
    /// Fitted, with the power on for so long.
    PowerOnFor {
        /// How long the power has been on.
        so_far: Duration,
        /// What the unit's instructions ask for, when they say.
        unit_asks: Option<Duration>,
    },
    /// Nobody looked.
    #[default]
    NotKnown,
}

/// The supply voltage, as far as it is known.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Supply {
    /// As measured at the unit.
    pub measured: Option<Measured<Voltage>>,
    /// What the nameplate allows.
    pub limits: Option<SupplyLimits>,
}

/// What the nameplate says of the supply.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SupplyLimits {
    /// One rated voltage, or two ("208/230"): the default tolerance goes around the lowest and the highest.
    Rated {
        /// The lowest rated voltage.
        lowest: Voltage,
        /// The highest; the same when there is one.
        highest: Voltage,
    },
    /// The limits themselves, as printed by the maker.
    Printed {
        /// The lowest voltage allowed.
        low: Voltage,
        /// The highest voltage allowed.
        high: Voltage,
    },
}

/// Breaker and wire against the nameplate.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wiring {
    /// Size of the breaker or fuse.
    pub breaker: Option<Current>,
    /// What the wire may carry, by the local code's table.
    pub wire_ampacity: Option<Current>,
    /// Minimum circuit ampacity on the nameplate.
    pub minimum_ampacity: Option<Current>,
    /// Largest breaker or fuse on the nameplate.
    pub largest_breaker: Option<Current>,
}
