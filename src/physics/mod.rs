//! Equations without a refrigerant's tables: where the metering device sits, tube, torque, and the
//! indoor air.

pub mod airside;
pub mod cycle;
pub mod torque;
pub mod tube;
