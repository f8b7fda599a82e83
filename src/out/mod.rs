//! What a reader gets: one [`Sheet`] of results, drawn as text, JSON or an HTML report.
//!
//! A renderer computes nothing: what it shows stands in the sheet.

mod assemble;
pub mod figure;
#[cfg(feature = "report")]
pub mod html;
pub mod json;
mod narrate;
mod sheet;
pub mod text;

pub use sheet::{EventLine, JointLine, Sheet, Sources, StageSheet};

/// A sentence as it stands on a page: first letter large, a full stop at the end.
fn sentence(text: &str) -> String {
    let text = text.trim();
    let mut letters = text.chars();
    let Some(first) = letters.next() else {
        return String::new();
    };
    let stop = if text.ends_with(['.', '?', '!', ':']) {
        ""
    } else {
        "."
    };
    format!("{}{}{stop}", first.to_uppercase(), letters.as_str())
}
