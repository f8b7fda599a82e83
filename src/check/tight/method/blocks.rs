//! Averages over blocks of time, so that a log every second and one every ten minutes count the same.

/// Shortest block, h.
const SHORTEST_H: f64 = 0.25;
/// Fewest and most blocks of a log.
const FEWEST: usize = 10;
const MOST: usize = 120;

/// Which readings are averaged together.
#[derive(Debug, Clone)]
pub(super) struct Blocks {
    /// Position of the first reading of each block, then the number of readings.
    edges: Vec<usize>,
    /// Mean time of each block, h.
    pub(super) hours: Vec<f64>,
    /// Readings in each block.
    pub(super) counts: Vec<usize>,
}

impl Blocks {
    /// Blocks of equal length of time: at least 15 min each, 10 to 120 of them; empty ones are left out.
    pub(super) fn of(hours: &[f64]) -> Self {
        let start = hours[0];
        let duration = hours[hours.len() - 1] - start;
        let wanted = ((duration / SHORTEST_H) as usize).clamp(FEWEST, MOST);
        let block_of =
            |time: f64| (((time - start) / duration * wanted as f64) as usize).min(wanted - 1);
        let mut edges = vec![0];
        edges.extend((1..hours.len()).filter(|&i| block_of(hours[i]) != block_of(hours[i - 1])));
        edges.push(hours.len());
        let counts = edges.windows(2).map(|edge| edge[1] - edge[0]).collect();
        let mut blocks = Self {
            edges,
            hours: Vec::new(),
            counts,
        };
        blocks.hours = blocks.average(hours);
        blocks
    }

    /// Number of blocks.
    pub(super) fn len(&self) -> usize {
        self.counts.len()
    }

    /// Mean of a column over each block.
    pub(super) fn average(&self, column: &[f64]) -> Vec<f64> {
        self.edges
            .windows(2)
            .map(|edge| column[edge[0]..edge[1]].iter().sum::<f64>() / (edge[1] - edge[0]) as f64)
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_reading_falls_into_one_block() {
        let hours: Vec<f64> = (0..86_400).map(|s| f64::from(s) / 3600.0).collect();
        let blocks = Blocks::of(&hours);
        assert_eq!(blocks.len(), 95);
        assert_eq!(blocks.counts.iter().sum::<usize>(), 86_400);
        let typed = Blocks::of(&[0.0, 1.0, 7.5, 24.0]);
        assert_eq!(typed.counts, vec![1; 4]);
        assert_eq!(typed.hours, vec![0.0, 1.0, 7.5, 24.0]);
    }
}
