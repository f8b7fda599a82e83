//! What a reader gets: one [`Sheet`] of results, drawn as text, JSON or an HTML report.
//!
//! A renderer computes nothing: what it shows stands in the sheet.

mod amounts;
mod assemble;
pub mod charge;
mod diagram;
pub mod figure;
pub(crate) mod held;
pub mod hold_card;
#[cfg(feature = "report")]
pub mod html;
pub mod json;
pub mod leak;
mod ledger;
pub(crate) mod logged;
mod measured_cycle;
mod narrate;
pub mod personal;
pub mod planned;
pub mod properties;
pub mod pump_down;
mod running;
mod sheet;
pub mod table;
pub mod text;
pub mod told;
pub mod volume;
pub mod weigh_in;

pub use diagram::NamedState;
pub use sheet::{EventLine, JointLine, Proof, Sheet, Sources, StageSheet};

/// A sentence as it stands on a page: first letter large unless the first word is a name, a full stop at the end.
fn sentence(text: &str) -> String {
    let text = text.trim();
    let first_word = text.split_whitespace().next().unwrap_or_default();
    let is_name =
        first_word.contains(['/', '_', '\\']) || first_word.trim_end_matches('.').contains('.');
    let mut letters = text.chars();
    let Some(first) = letters.next() else {
        return String::new();
    };
    let first = if is_name {
        first.to_string()
    } else {
        first.to_uppercase().to_string()
    };
    let stop = if text.ends_with(['.', '?', '!', ':']) {
        ""
    } else {
        "."
    };
    format!("{first}{}{stop}", letters.as_str())
}

/// The words of a text, a number and its unit as one.
fn words(text: &str) -> Vec<String> {
    let mut kept: Vec<String> = Vec::new();
    let mut number_before = false;
    for word in text.split_whitespace() {
        let bare = word.trim_end_matches(['.', ',', ';', ':', ')']);
        match kept.last_mut() {
            Some(last) if number_before && UNITS.contains(&bare) => {
                last.push(' ');
                last.push_str(word);
                number_before = false;
            }
            _ => {
                number_before = word.ends_with(|c: char| c.is_ascii_digit());
                kept.push(word.to_string());
            }
        }
    }
    kept
}

/// Unit symbols that stay with their number.
const UNITS: [&str; 26] = [
    "psig", "psia", "psi", "psi/h", "bar", "Pa", "kPa", "kPa/h", "micron", "°F", "°C", "K", "lb",
    "oz", "oz/yr", "kg", "g", "g/yr", "ft", "in", "m", "h", "min", "s", "%", "V",
];

#[cfg(test)]
mod tests {
    use super::{sentence, words};

    #[test]
    fn a_sentence_keeps_the_name_of_a_file() {
        assert_eq!(sentence("no loss seen"), "No loss seen.");
        assert_eq!(
            sentence("logs/hold.csv has changed."),
            "logs/hold.csv has changed."
        );
        assert_eq!(sentence("hold.csv has changed"), "hold.csv has changed.");
        assert_eq!(sentence(" "), "");
    }

    #[test]
    fn a_number_stays_with_its_unit() {
        assert_eq!(
            words("5.0 to 7.1 °F, then 4 joints"),
            ["5.0", "to", "7.1 °F,", "then", "4", "joints"]
        );
    }
}
