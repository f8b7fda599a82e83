//! What the vacuum gauges themselves show: a ceiling, a second gauge that reads otherwise.

/// Repeated readings of one highest value that make it a ceiling (own choice).
const REPEATED: usize = 4;
/// Above this a reading can be a ceiling, micron: below, thermal gauges still read (own choice).
const CEILING_FROM: f64 = 5000.0;

/// The highest value, where it comes so often in a row at the end or the beginning that the gauge can show no more.
///
/// Typical ceilings are an atmosphere as thermal gauges show it (1000.0 mbar) and what fits a sensor's range (171,470
/// micron); the number itself is not asked for, only that it does not move.
pub(super) fn ceiling(micron: &[f64]) -> Option<f64> {
    let highest = micron.iter().copied().fold(f64::MIN, f64::max);
    let stands = |p: &f64| *p >= highest * (1.0 - 1e-9);
    let first = micron.iter().take_while(|p| stands(p)).count();
    let last = micron.iter().rev().take_while(|p| stands(p)).count();
    let moved = first < micron.len();
    (moved && highest >= CEILING_FROM && first.max(last) >= REPEATED).then_some(highest)
}

/// How far two gauges lie apart at the end, micron, and which is the higher.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Apart {
    /// The last reading of the gauge that is judged by the record or log.
    pub first: f64,
    /// The last reading of the other.
    pub second: f64,
}

impl Apart {
    /// Further apart than their steps and 10 % (own choice: what two good gauges differ by).
    pub fn matters(self, step: f64) -> bool {
        let lower = self.first.min(self.second);
        (self.first - self.second).abs() > 2.0 * step + 0.1 * lower
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_highest_value_that_stands_is_a_ceiling() {
        let at = |tail: usize| -> Vec<f64> {
            (0..10)
                .map(|i| 20_000.0 * f64::from(i))
                .chain(std::iter::repeat_n(171_470.0, tail))
                .map(|p| p.min(171_470.0))
                .collect()
        };
        assert_eq!(ceiling(&at(5)), Some(171_470.0));
        assert_eq!(ceiling(&at(1)), None);
        assert_eq!(ceiling(&[400.0; 20]), None);
        assert_eq!(ceiling(&[6000.0; 20]), None);
    }
}
