//! *dry*: evacuation and vacuum rise.
pub mod method;
