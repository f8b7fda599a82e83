//! Equations of the trade: where the metering device sits, tube, torque, what is in a volume and what flows from a hole.

pub mod cycle;
pub mod flow;
pub mod inventory;
pub mod torque;
pub mod tube;
