//! The line set record.
pub mod logger;
