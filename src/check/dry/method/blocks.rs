//! Readings averaged, each row divided by its pressure so that the wander of the gauge is the same everywhere.
use super::Rise;
use crate::stats::noise::Rows;

/// Most blocks the readings are averaged into.
const MOST_BLOCKS: usize = 120;

pub(super) struct Blocks {
    /// Position of the first reading of each block, then the number of readings.
    edges: Vec<usize>,
    /// Every reading's time since the first, min.
    since: Vec<f64>,
    /// Mean time of each block since the first reading, min.
    pub(super) minutes: Vec<f64>,
    /// Mean pressure of each block, micron.
    pub(super) micron: Vec<f64>,
    /// Variance of the rounding over the square of the pressure.
    pub(super) white: Vec<f64>,
}

impl Blocks {
    pub(super) fn of(rise: &Rise) -> Self {
        let count = rise.minutes.len();
        let mut edges: Vec<usize> = (0..count).step_by(count.div_ceil(MOST_BLOCKS)).collect();
        edges.push(count);
        let since: Vec<f64> = rise.minutes.iter().map(|t| t - rise.minutes[0]).collect();
        let minutes = average(&edges, |i| since[i]);
        let micron = average(&edges, |i| rise.micron[i]);
        let rounding = rise.resolution_micron.powi(2) / 12.0;
        let white = edges
            .windows(2)
            .zip(&micron)
            .map(|(edge, micron)| rounding / (edge[1] - edge[0]) as f64 / (micron * micron))
            .collect();
        Self {
            edges,
            since,
            minutes,
            micron,
            white,
        }
    }

    /// Columns 1, t, one per time constant, and the pressure.
    pub(super) fn rows(&self, taus: &[f64]) -> Rows {
        let mut columns = vec![vec![1.0; self.minutes.len()], self.minutes.clone()];
        columns.extend(
            taus.iter()
                .map(|tau| average(&self.edges, |i| -(-self.since[i] / tau).exp_m1())),
        );
        columns.push(self.micron.clone());
        for column in &mut columns {
            for (value, micron) in column.iter_mut().zip(&self.micron) {
                *value /= micron;
            }
        }
        Rows::from_columns(&columns)
    }
}

fn average(edges: &[usize], value: impl Fn(usize) -> f64) -> Vec<f64> {
    edges
        .windows(2)
        .map(|edge| (edge[0]..edge[1]).map(&value).sum::<f64>() / (edge[1] - edge[0]) as f64)
        .collect()
}
