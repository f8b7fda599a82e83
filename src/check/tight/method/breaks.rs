//! Sudden changes and readings that stand alone, found before anything is averaged.
use crate::stats::robust::{MAD_TO_SD, mad, median};

/// A sudden change of level between two neighbouring readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// Time of the first reading after it, h.
    pub hours: f64,
    /// Change of ln p with the temperature taken out: above zero for a rise.
    pub size: f64,
}

/// What was found.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Breaks {
    pub(super) steps: Vec<Step>,
    pub(super) outliers: Vec<usize>,
}

/// Fewer readings than this cannot tell a sudden change from a slow one.
pub(super) const FEWEST_TO_SEARCH: usize = 10;
/// More steps than this are not a test that was held.
const MOST_STEPS: usize = 3;
/// A step stays: the middles of five readings before and after differ by this part of it.
const STAYING: f64 = 0.5;
/// Fewest readings on either side of a step: the gas settles in the first minutes, and that is a term of the regression.
const BESIDE: usize = 3;
/// Lag used to take the temperature out before steps are looked for, h: the middle of the grid in logarithm.
pub(super) const TYPICAL_LAG_H: f64 = 0.25;

impl Breaks {
    pub(super) fn too_many_steps(&self) -> bool {
        self.steps.len() > MOST_STEPS
    }
}

/// Steps and outliers of readings with the temperature taken out.
pub(super) fn find(hours: &[f64], corrected: &[f64], relative_resolution: f64) -> Breaks {
    if hours.len() < FEWEST_TO_SEARCH {
        return Breaks::default();
    }
    let outliers = standing_alone(corrected, relative_resolution);
    let kept: Vec<usize> = (0..hours.len())
        .filter(|i| outliers.binary_search(i).is_err())
        .collect();
    let hours: Vec<f64> = kept.iter().map(|&i| hours[i]).collect();
    let corrected: Vec<f64> = kept.iter().map(|&i| corrected[i]).collect();
    Breaks {
        steps: steps(&hours, &corrected, relative_resolution),
        outliers,
    }
}

/// Readings more than five robust standard deviations, and 2.5 divisions, away from both their neighbours.
fn standing_alone(corrected: &[f64], relative_resolution: f64) -> Vec<usize> {
    let from_both: Vec<(f64, f64)> = corrected
        .windows(3)
        .map(|three| (three[1] - three[0], three[1] - three[2]))
        .collect();
    let away: Vec<f64> = from_both
        .iter()
        .map(|(before, after)| 0.5 * (before + after))
        .collect();
    let spread = mad(&away).unwrap_or(0.0) * MAD_TO_SD;
    let limit = (5.0 * spread).max(2.5 * relative_resolution);
    let alone = |(before, after): &(f64, f64)| {
        before * after > 0.0 && before.abs().min(after.abs()) > limit
    };
    (0..from_both.len())
        .filter(|&i| alone(&from_both[i]))
        .map(|i| i + 1)
        .collect()
}

fn steps(hours: &[f64], corrected: &[f64], relative_resolution: f64) -> Vec<Step> {
    let changes: Vec<f64> = corrected.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let widths: Vec<f64> = hours.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let (Some(middle), Some(spread), Some(usual_width)) =
        (median(&changes), mad(&changes), median(&widths))
    else {
        return Vec::new();
    };
    let limit = (6.0 * MAD_TO_SD * spread).max(2.5 * relative_resolution);
    let stays = |index: usize, size: f64| {
        if index + 1 < BESIDE || index + 1 + BESIDE > corrected.len() {
            return false;
        }
        let after = median(&corrected[index + 1..(index + 6).min(corrected.len())]);
        let before = median(&corrected[(index + 1).saturating_sub(5)..=index]);
        after
            .zip(before)
            .is_some_and(|(after, before)| (after - before) / size > STAYING)
    };
    let mut found: Vec<Step> = Vec::new();
    let mut before = None;
    for (index, (change, width)) in changes.iter().zip(&widths).enumerate() {
        // a change across a gap in the log need not have been sudden
        if (change - middle).abs() <= limit || *width > 3.0 * usual_width {
            continue;
        }
        let size = change - middle;
        if !stays(index, size) {
            continue;
        }
        match found.last_mut() {
            // one step can spread over neighbouring readings
            Some(step) if before == Some(index.wrapping_sub(1)) && step.size * size > 0.0 => {
                step.size += size
            }
            _ => found.push(Step {
                hours: hours[index + 1],
                size,
            }),
        }
        before = Some(index);
    }
    found
}

/// Number of different readings, equal ones being closer than a fifth of a division.
pub(super) fn distinct(ln_p: &[f64], relative_resolution: f64) -> usize {
    let mut sorted = ln_p.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    1 + sorted
        .windows(2)
        .filter(|pair| pair[1] - pair[0] > 0.2 * relative_resolution)
        .count()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hours(n: usize) -> Vec<f64> {
        (0..n).map(|i| i as f64 / 6.0).collect()
    }

    #[test]
    fn a_fast_even_fall_has_no_steps() {
        let falling: Vec<f64> = (0..60).map(|i| -0.05 * i as f64).collect();
        assert_eq!(find(&hours(60), &falling, 1e-3), Breaks::default());
    }

    #[test]
    fn a_step_and_a_lone_reading_are_told_apart() {
        let mut level: Vec<f64> = (0..60)
            .map(|i| 1e-4 * ((i * i * 37) % 23) as f64 + if i >= 30 { 0.02 } else { 0.0 })
            .collect();
        level[12] += 0.05;
        let found = find(&hours(60), &level, 2e-4);
        assert_eq!(found.outliers, vec![12]);
        assert_eq!(found.steps.len(), 1);
        assert!((found.steps[0].hours - 5.0).abs() < 1e-9);
        assert!((found.steps[0].size - 0.02).abs() < 2e-3);
    }

    #[test]
    fn readings_within_a_division_count_once() {
        assert_eq!(distinct(&[1.0, 1.0, 1.001, 1.0], 0.001), 2);
    }
}
