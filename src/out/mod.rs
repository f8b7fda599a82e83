//! What a reader gets: one [`Sheet`] of results, drawn as text, JSON or an HTML report.
//!
//! A renderer computes nothing: what it shows stands in the sheet.

pub mod figure;
pub mod json;
mod sheet;

pub use sheet::{EventLine, JointLine, Sheet, Sources, StageSheet};
