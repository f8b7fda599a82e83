//! What is in the line: refrigerants, the dry gas of the pressure test, water; and the air around it.
//!
//! Pure functions with a range and a source each. Outside its range a function gives an error that says the range;
//! nothing is extrapolated.

pub mod air;
pub mod dry_gas;
pub mod refrigerant;
pub mod water;

pub use dry_gas::{DryGas, DryGasError};
pub use refrigerant::{Refrigerant, SafetyClass, Saturation};
