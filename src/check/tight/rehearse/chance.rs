//! Chance that is the same for the same seed, on every machine and in every version of the crate behind it.

use rand_pcg::Pcg64;
use rand_pcg::rand_core::{Rng, SeedableRng};
use statrs::distribution::{ContinuousCDF, Normal};

/// Numbers drawn from a seed.
pub(super) struct Chance {
    drawn: Pcg64,
    normal: Normal,
}

impl Chance {
    pub(super) fn seeded(seed: u64) -> Self {
        Chance {
            drawn: Pcg64::seed_from_u64(seed),
            normal: Normal::standard(),
        }
    }

    /// Evenly between two values, never one of them.
    pub(super) fn between(&mut self, low: f64, high: f64) -> f64 {
        // the upper 53 bits are what an f64 holds
        let unit = ((self.drawn.next_u64() >> 11) as f64 + 0.5) / (1_u64 << 53) as f64;
        low + (high - low) * unit
    }

    /// Evenly in the logarithm.
    pub(super) fn log_between(&mut self, low: f64, high: f64) -> f64 {
        self.between(low.ln(), high.ln()).exp()
    }

    /// Normal about zero.
    pub(super) fn normal(&mut self, sd: f64) -> f64 {
        let unit = self.between(0.0, 1.0);
        sd * self.normal.inverse_cdf(unit)
    }

    /// Noise that forgets exponentially over `memory_h`, at even steps.
    pub(super) fn wander(&mut self, count: usize, step_h: f64, sd: f64, memory_h: f64) -> Vec<f64> {
        let kept = (-step_h / memory_h).exp();
        let fresh = sd * (1.0 - kept * kept).sqrt();
        let mut value = self.normal(sd);
        let mut values = Vec::with_capacity(count);
        for _ in 0..count {
            values.push(value);
            value = kept * value + self.normal(fresh);
        }
        values
    }
}

#[cfg(test)]
mod tests {
    use super::Chance;

    #[test]
    fn the_same_seed_draws_the_same_and_another_does_not() {
        let draw = |seed| {
            let mut chance = Chance::seeded(seed);
            [
                chance.between(0.0, 1.0),
                chance.between(0.0, 1.0),
                chance.normal(1.0),
            ]
        };
        assert_eq!(draw(7), draw(7));
        assert_ne!(draw(7), draw(8));
    }

    #[test]
    fn the_spread_is_the_one_asked_for() {
        let mut chance = Chance::seeded(3);
        let values: Vec<f64> = (0..20_000).map(|_| chance.normal(2.0)).collect();
        let mean = values.iter().sum::<f64>() / 20_000.0;
        let sd = (values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / 20_000.0).sqrt();
        assert!(mean.abs() < 0.05 && (sd - 2.0).abs() < 0.05, "{mean} {sd}");
        let slow = chance.wander(200_000, 0.1, 1.5, 2.0);
        let sd = (slow.iter().map(|v| v * v).sum::<f64>() / slow.len() as f64).sqrt();
        assert!((sd - 1.5).abs() < 0.1, "{sd}");
    }
}
