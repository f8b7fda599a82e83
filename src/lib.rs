//! From made-up joints to a proven charge: what a self-installed refrigerant line set has shown, with honest intervals.
//!
//! A floor uses floors below it, never above: [`quantity`] and [`source`]; [`fluid`] and `physics`; [`stats`];
//! [`check`]; [`record`]; [`decide`]; [`out`]; `cli`.

pub mod check;
#[cfg(feature = "cli")]
pub mod cli;
pub mod decide;
pub mod fluid;
pub mod out;
pub mod physics;
pub mod quantity;
pub mod record;
pub mod source;
pub mod stats;
