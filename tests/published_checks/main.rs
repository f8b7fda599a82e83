//! The checks against published tables, one module per source; the data with their source lines are in `data/`.

mod airside;
mod charge_criteria;
mod line_charge;
mod targets;
mod torque_adapter;
mod tube;

/// The rows of a data file by column name.
fn rows(text: &str) -> Vec<std::collections::HashMap<String, String>> {
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes())
        .deserialize()
        .map(|row| row.expect("a whole row"))
        .collect()
}

fn number(text: &str) -> f64 {
    text.parse()
        .unwrap_or_else(|_| panic!("\"{text}\" is not a number"))
}
