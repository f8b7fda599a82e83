//! From made-up joints to a proven charge: what a self-installed refrigerant line set has shown, with honest intervals.
pub mod check;
pub mod quantity;
pub mod stats;
