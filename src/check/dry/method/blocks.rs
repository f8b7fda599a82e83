//! Readings averaged, each row divided by its pressure so that the wander of the gauge is the same everywhere.
use super::Rise;

/// Most blocks the readings are averaged into: with it all eight reference rises agree (see `tests/statistics/vacuum_rise`).
const MOST_BLOCKS: usize = 80;

/// Steps that differ by less are the same, min: rounding of the times, and no more than 1e-7 of the curve in a million rows.
const SAME_STEP_MIN: f64 = 1e-12;

/// What rises beside the steady leak: columns of the regression with a coefficient each.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Sources {
    /// Time constants of the vapour terms, the slowest last, min.
    pub(super) taus: Vec<f64>,
    /// When a source starts that was not there before, min since the first reading.
    pub(super) onset: Option<f64>,
}

impl Sources {
    pub(super) fn count(&self) -> usize {
        self.taus.len() + usize::from(self.onset.is_some())
    }

    /// Value of every source with coefficient one, `t` minutes after the first reading.
    pub(super) fn at(&self, t: f64) -> impl Iterator<Item = f64> {
        let vapour = self.taus.iter().map(move |tau| -(-t / tau).exp_m1());
        vapour.chain(self.onset.map(|start| (t - start).max(0.0)))
    }
}

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

    /// Vapour of one time constant at level one, averaged over each block.
    pub(super) fn vapour(&self, tau: f64) -> Vec<f64> {
        // most logs are read at even steps: one exponential per length of step, not per reading
        let (mut usual, mut kept, mut left) = (f64::INFINITY, 1.0, 1.0);
        let mut before = 0.0;
        let mut given_off = Vec::with_capacity(self.minutes.len());
        for edge in self.edges.windows(2) {
            let mut sum = 0.0;
            for &t in &self.since[edge[0]..edge[1]] {
                let step = t - before;
                before = t;
                if (step - usual).abs() > SAME_STEP_MIN {
                    (usual, kept) = (step, (-step / tau).exp());
                }
                left *= kept;
                sum += 1.0 - left;
            }
            given_off.push(sum / (edge[1] - edge[0]) as f64);
        }
        given_off
    }

    /// A source of one micron/min that starts late, averaged over each block.
    pub(super) fn late(&self, start: f64) -> Vec<f64> {
        average(&self.edges, |i| (self.since[i] - start).max(0.0))
    }

    /// Every value over the pressure of its block.
    pub(super) fn relative(&self, mut column: Vec<f64>) -> Vec<f64> {
        for (value, micron) in column.iter_mut().zip(&self.micron) {
            *value /= micron;
        }
        column
    }
}

fn average(edges: &[usize], value: impl Fn(usize) -> f64) -> Vec<f64> {
    edges
        .windows(2)
        .map(|edge| (edge[0]..edge[1]).map(&value).sum::<f64>() / (edge[1] - edge[0]) as f64)
        .collect()
}
