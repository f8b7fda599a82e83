//! Rows of a data file, and the summary of a comparison.

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

/// The largest difference seen, with the place where it stands.
#[derive(Default)]
pub struct Worst {
    pub count: usize,
    pub difference: f64,
    pub place: String,
}

impl Worst {
    pub fn see(&mut self, difference: f64, place: impl Into<String>) {
        self.count += 1;
        if self.count == 1 || difference.abs() > self.difference.abs() {
            self.difference = difference;
            self.place = place.into();
        }
    }

    /// One line of the summary, if anything was seen.
    pub fn say(&self, source: &str, unit: &str) {
        let Worst {
            count,
            difference,
            place,
        } = self;
        if *count > 0 {
            println!("{count:4} values, worst {difference:+.1e} {unit} at {place}: {source}");
        }
    }
}
