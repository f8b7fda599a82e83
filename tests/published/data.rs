//! Rows of a data file.

use std::collections::HashMap;

/// A row by column name; numbers keep the digits they were printed with.
#[derive(Debug)]
pub struct Row(HashMap<String, String>);

/// The rows of a CSV text; lines that begin with `#` say where it comes from.
pub fn rows(text: &str) -> Vec<Row> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let rows = reader.deserialize::<HashMap<String, String>>();
    rows.map(|row| Row(row.unwrap())).collect()
}

impl Row {
    pub fn text(&self, column: &str) -> &str {
        &self.0[column]
    }

    /// The number in a column, unless the cell is empty.
    pub fn number(&self, column: &str) -> Option<f64> {
        let text = self.text(column);
        (!text.is_empty()).then(|| text.parse().unwrap())
    }
}
