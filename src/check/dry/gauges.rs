//! What the vacuum gauges themselves show: a ceiling, a second gauge that reads otherwise.

/// Repeated readings of one highest value that make it a ceiling (own choice).
const REPEATED: usize = 4;
/// Above this a reading can be a ceiling, micron: below, thermal gauges still read (own choice).
const CEILING_FROM: f64 = 5000.0;

/// A course that goes on freely would still have moved by this share of it, and by so many steps of the gauge (own
/// choice: of 500 rises that level off in steps of 1 to 500 micron fewer than 1 in 100 is then taken for a ceiling).
const WOULD_GO_ON: f64 = 0.03;
const STEPS: f64 = 3.0;
/// The error of a good vacuum gauge, as a limit: the class of thermal gauges in the range of a vacuum rise (from memory).
const GOOD_TO: f64 = 0.10;

/// The highest value, where the gauge stands still at the end or the beginning and can show no more.
///
/// Typical ceilings are an atmosphere as thermal gauges show it (1000.0 mbar) and what fits a sensor's range (171,470
/// micron); the number itself is not asked for. A rise that levels off stands still too, but not suddenly: of a leak and
/// whatever gives off vapour ever more slowly, a third of three equal times moves the pressure by at least `d1^2/d0`,
/// where `d0` and `d1` are the moves of the first two (sums of falling exponentials are convex in the logarithm). It is a
/// ceiling where that much did not come. `step`: the gauge's smallest step, micron.
///
/// Range: two readings or more on the way there.
///
/// ```
/// use lineproof::check::dry::gauges::ceiling;
/// let rise = |top: f64| (0..30).map(|i| (900.0 * f64::from(i)).min(top)).collect::<Vec<_>>();
/// assert_eq!(ceiling(&rise(20_000.0), 1.0), Some(20_000.0));
/// assert_eq!(ceiling(&rise(1e6), 1.0), None);
/// // water at 10 degC: it levels off at 9,200 micron
/// let wet: Vec<f64> = (0..90).map(|i| 10.0 * (920.0 * -(-f64::from(i) / 8.0).exp_m1()).round()).collect();
/// assert_eq!(ceiling(&wet, 10.0), None);
/// ```
pub fn ceiling(micron: &[f64], step: f64) -> Option<f64> {
    let highest = micron.iter().copied().fold(f64::MIN, f64::max);
    let backwards: Vec<f64> = micron.iter().rev().copied().collect();
    let least = (WOULD_GO_ON * highest).max(STEPS * step);
    let stopped = [micron, backwards.as_slice()]
        .iter()
        .any(|p| would_go_on(p, highest) > least);
    (highest >= CEILING_FROM && stopped).then_some(highest)
}

/// How much further readings that end at their highest value would have gone by the way they came there, micron.
fn would_go_on(micron: &[f64], highest: f64) -> f64 {
    let is_highest = |p: &&f64| **p >= highest * (1.0 - 1e-9);
    let there = micron.iter().rev().take_while(is_highest).count();
    let before = micron.len() - there;
    if there < REPEATED || before < 2 {
        return 0.0;
    }
    let rows = there.min(before / 2);
    let moved = |from: usize| micron[from + rows] - micron[from];
    let (first, last) = (moved(before - 2 * rows), moved(before - rows));
    // faster and faster: at least as far again
    last * last / first.max(last)
}

/// Where two gauges on one volume end, micron.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Apart {
    /// The last reading of the gauge that is named first.
    pub first: f64,
    /// The last reading of the other.
    pub second: f64,
}

impl Apart {
    /// Further apart than two good gauges are.
    ///
    /// `step` is their smallest step, micron. The difference of two errors inside `+-a` lies beyond `2a (1 - sqrt(0.05))`
    /// once in twenty: 15.5 % for gauges good to 10 %.
    pub fn matters(self, step: f64) -> bool {
        let seldom = 2.0 * GOOD_TO * (1.0 - 0.05_f64.sqrt());
        let between = 0.5 * (self.first + self.second);
        (self.first - self.second).abs() > 2.0 * step + seldom * between
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
        assert_eq!(ceiling(&at(5), 1.0), Some(171_470.0));
        assert_eq!(ceiling(&at(1), 1.0), None);
        assert_eq!(ceiling(&[400.0; 20], 1.0), None);
        assert_eq!(ceiling(&[6000.0; 20], 1.0), None);
    }
}
