//! Equations without a refrigerant's tables: where the metering device sits, tube, torque.

pub mod cycle;
pub mod torque;
pub mod tube;
