//! Averages over blocks of time, so that a log every second and one every ten minutes count the same.

/// Shortest block, h; shorter ones only where a test would have fewer than [`FEWEST`].
const SHORTEST_H: f64 = 0.25;
/// Fewest and most blocks of a log; readings that come in a few bunches stay in fewer, since blocks shorter than a twentieth
/// of the test would count a bunch as often as it has readings.
const FEWEST: usize = 10;
const FEWEST_SPAN: f64 = 20.0;
const MOST: f64 = 120.0;
/// A clock that ticks 0.01 % too fast does not put one more reading into every block.
const CLOCK: f64 = 1.0 - 1e-3;

/// Which readings are averaged together.
#[derive(Debug, Clone)]
pub(super) struct Blocks {
    /// Position of the first reading of each block, then the position after the last block.
    edges: Vec<usize>,
    /// Mean time of each block, h.
    pub(super) hours: Vec<f64>,
    /// Readings in each block.
    pub(super) counts: Vec<usize>,
}

impl Blocks {
    /// Blocks from the first reading on, each at least 15 min long, 10 to 120 of them; fewer readings than ten are blocks
    /// of their own.
    ///
    /// A block that the log ends in the middle of is left out: it would weigh less than the noise of its few readings
    /// lets it. At most one block of the test is lost by it; readings after a gap are kept, however few.
    pub(super) fn of(hours: &[f64]) -> Self {
        let duration = hours[hours.len() - 1] - hours[0];
        let mut length = SHORTEST_H.max(duration / MOST);
        let mut edges = edges(hours, length);
        while edges.len() <= FEWEST.min(hours.len()) && length > duration / FEWEST_SPAN {
            length *= 0.5;
            edges = self::edges(hours, length);
        }
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

/// A block ends before the first reading that is `length` or more after its own first.
fn edges(hours: &[f64], length: f64) -> Vec<usize> {
    let enough = length * CLOCK;
    let mut edges = vec![0];
    let mut from = 0;
    for (index, time) in hours.iter().enumerate() {
        if time - hours[from] >= enough {
            edges.push(index);
            from = index;
        }
    }
    if from > 0 && is_cut_off(hours, from, enough) {
        return edges;
    }
    edges.push(hours.len());
    edges
}

/// Whether the log ends inside the block that starts at `from`; the last reading stands for as long as the one before it.
fn is_cut_off(hours: &[f64], from: usize, enough: f64) -> bool {
    let last = hours.len() - 1;
    let width = hours[last] - hours[last - 1];
    let follows_a_gap = hours[from] - hours[from - 1] >= enough;
    !follows_a_gap && hours[last] - hours[from] + width < enough
}

#[cfg(test)]
mod tests {
    use super::*;

    fn every(step_s: f64, count: usize) -> Vec<f64> {
        (0..count).map(|i| i as f64 * step_s / 3600.0).collect()
    }

    #[test]
    fn blocks_are_a_quarter_of_an_hour_or_longer() {
        let blocks = Blocks::of(&every(1.0, 86_400));
        assert_eq!(blocks.counts, vec![900; 96]);
        assert_eq!(Blocks::of(&every(600.0, 26)).counts, vec![2; 13]);
        // 72 h every 5 min: 36 min are 7.2 readings
        assert_eq!(Blocks::of(&every(300.0, 864)).counts, vec![8; 108]);
    }

    #[test]
    fn a_short_test_has_ten_and_typed_readings_stay_apart() {
        assert_eq!(Blocks::of(&every(60.0, 61)).counts[..2], [4, 4]);
        assert_eq!(Blocks::of(&every(600.0, 15)).counts, vec![1; 15]);
        let typed = Blocks::of(&[0.0, 1.0, 7.5, 24.0]);
        assert_eq!(typed.counts, vec![1; 4]);
        assert_eq!(typed.hours, vec![0.0, 1.0, 7.5, 24.0]);
    }

    #[test]
    fn a_block_cut_off_by_the_end_is_left_out_and_a_reading_after_a_gap_is_not() {
        let mut hours = every(120.0, 8 * 40 + 7);
        assert_eq!(Blocks::of(&hours).counts, vec![8; 40]);
        hours.push(24.0);
        let blocks = Blocks::of(&hours);
        assert_eq!(blocks.counts.last(), Some(&1));
        assert_eq!(blocks.counts.iter().sum::<usize>(), hours.len());
    }
}
