//! Tables of numbers beside the tests.
use std::collections::HashMap;
use std::path::PathBuf;

/// A table with a header line; lines that start with `#` say where it comes from.
pub struct Table {
    names: HashMap<String, usize>,
    pub rows: Vec<Vec<String>>,
}

impl Table {
    pub fn read(file: &str) -> Self {
        let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
            .join("tests/statistics/data")
            .join(file);
        let mut reader = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .from_path(&path)
            .unwrap();
        let names = reader
            .headers()
            .unwrap()
            .iter()
            .enumerate()
            .map(|(i, name)| (name.to_string(), i))
            .collect();
        let rows = reader
            .records()
            .map(|row| row.unwrap().iter().map(str::to_string).collect())
            .collect();
        Self { names, rows }
    }

    pub fn text<'a>(&self, row: &'a [String], name: &str) -> &'a str {
        &row[self.names[name]]
    }

    pub fn number(&self, row: &[String], name: &str) -> f64 {
        self.text(row, name).parse().unwrap()
    }

    pub fn column(&self, name: &str) -> Vec<f64> {
        self.rows.iter().map(|row| self.number(row, name)).collect()
    }
}
