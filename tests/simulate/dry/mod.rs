//! Simulated vacuum rises: a steady leak, something that gives off vapour, both, neither; a gauge that wanders and rounds.
//!
//! The bounds are those of long runs. With few tests a count may miss its share as far as chance takes it once in a hundred
//! (exact binomial tail).
mod door;
mod gauges;
mod method;
mod minutes;
mod shut_off;
mod truth;

/// Limit, micron/min: leaks above it may not pass.
const LIMIT: f64 = 2.0;

/// So many of so many.
#[derive(Debug, Clone, Copy, Default)]
struct Count {
    hits: usize,
    of: usize,
}

impl Count {
    fn add(&mut self, hit: bool) {
        self.hits += usize::from(hit);
        self.of += 1;
    }

    fn share(self) -> f64 {
        self.hits as f64 / self.of as f64
    }

    /// The share is at most `allowed`: as it stands from 250 tests on, below that unless chance would bring so many once in a
    /// hundred.
    fn at_most(self, allowed: f64, what: &str) {
        let by_chance = self.of < 250 && at_least(self.hits, self.of, allowed) > 0.01;
        assert!(
            self.of == 0 || self.share() <= allowed || by_chance,
            "{what}: {} of {}, allowed {allowed}",
            self.hits,
            self.of
        );
    }

    fn at_least(self, wanted: f64, what: &str) {
        let missed = Count {
            hits: self.of - self.hits,
            of: self.of,
        };
        missed.at_most(1.0 - wanted, what);
    }
}

/// Probability of `hits` or more in `of` trials, each a hit with probability `share`.
fn at_least(hits: usize, of: usize, share: f64) -> f64 {
    let mut term = of as f64 * (1.0 - share).ln();
    let mut fewer = 0.0;
    for k in 0..hits {
        fewer += term.exp();
        term += ((of - k) as f64 / (k + 1) as f64 * share / (1.0 - share)).ln();
    }
    1.0 - fewer
}

#[test]
fn chance_is_the_binomial() {
    assert!((at_least(1, 20, 0.05) - (1.0 - 0.95_f64.powi(20))).abs() < 1e-12);
    assert!((at_least(10, 10, 0.5) - 0.5_f64.powi(10)).abs() < 1e-12);
    assert_eq!(at_least(0, 10, 0.5), 1.0);
}
