//! Equations of the trade: where the metering device sits, tube, torque, what is in a volume, what flows from a hole, and
//! the indoor air.

pub mod airside;
pub mod cycle;
pub mod field_rules;
pub mod flow;
pub mod inventory;
pub mod leak;
pub mod torque;
pub mod tube;
pub mod vacuum;
pub mod volume;
