//! What is in the line: refrigerants, dry nitrogen, water.
//!
//! Pure functions with a range and a source each. Outside its range a function gives an error that says the range;
//! nothing is extrapolated.

pub mod nitrogen;
pub mod refrigerant;
pub mod water;

pub use refrigerant::{Refrigerant, SafetyClass, Saturation};
