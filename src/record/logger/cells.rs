//! The cells of the columns that are used, each column in one text: a million rows make no million strings.

/// The cells of one column.
#[derive(Debug, Default)]
pub(super) struct Cells {
    text: String,
    /// Where each cell ends.
    ends: Vec<u32>,
}

impl Cells {
    pub fn push(&mut self, cell: &str) {
        self.text.push_str(cell);
        // a file is at most 256 MiB
        self.ends.push(self.text.len() as u32);
    }

    pub fn get(&self, row: usize) -> &str {
        let start = row.checked_sub(1).map_or(0, |before| self.ends[before]);
        &self.text[start as usize..self.ends[row] as usize]
    }

    pub fn len(&self) -> usize {
        self.ends.len()
    }

    pub fn iter(&self) -> impl Iterator<Item = &str> {
        (0..self.len()).map(|row| self.get(row))
    }

    /// Whether a character stands in any cell.
    pub fn contain(&self, sign: char) -> bool {
        self.text.contains(sign)
    }

    /// The rows for which `keep` is true.
    pub fn kept(&self, keep: &[bool]) -> Cells {
        let mut kept = Cells::default();
        for (cell, keep) in self.iter().zip(keep) {
            if *keep {
                kept.push(cell);
            }
        }
        kept
    }
}
