//! Random numbers that are the same on every machine.

/// SplitMix64 (Steele, Lea & Flood, OOPSLA 2014; constants from memory).
pub struct Random(u64);

impl Random {
    pub fn seeded(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Between two values, evenly.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * ((self.next() >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    /// Between two values, evenly in the logarithm.
    pub fn log_between(&mut self, low: f64, high: f64) -> f64 {
        self.between(low.ln(), high.ln()).exp()
    }

    /// Normal, by Box and Muller.
    pub fn normal(&mut self, sd: f64) -> f64 {
        let radius = (-2.0 * self.between(0.0, 1.0).ln()).sqrt();
        sd * radius * self.between(0.0, std::f64::consts::TAU).cos()
    }

    /// One of several.
    pub fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[(self.next() % from.len() as u64) as usize]
    }

    /// Noise that forgets exponentially, at even steps.
    pub fn wander(&mut self, count: usize, step: f64, sd: f64, time: f64) -> Vec<f64> {
        let kept = (-step / time).exp();
        let fresh = sd * (1.0 - kept * kept).sqrt();
        let mut value = self.normal(sd);
        (0..count)
            .map(|_| {
                let now = value;
                value = kept * value + self.normal(fresh);
                now
            })
            .collect()
    }
}

#[test]
fn the_spread_is_the_one_asked_for() {
    let mut random = Random::seeded(7);
    let values: Vec<f64> = (0..20_000).map(|_| random.normal(2.0)).collect();
    let mean = values.iter().sum::<f64>() / 20_000.0;
    let sd = (values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / 20_000.0).sqrt();
    assert!(mean.abs() < 0.05 && (sd - 2.0).abs() < 0.05, "{mean} {sd}");
}
