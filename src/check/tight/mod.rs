//! *tight*: the standing pressure test.
pub mod method;
