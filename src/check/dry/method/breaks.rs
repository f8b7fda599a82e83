//! Sudden changes of an isolated pressure: a valve was moved, the pump came back, the gauge was touched.
use std::ops::Range;

use super::{Rise, Step};
use crate::stats::robust::{MAD_TO_SD, mad, median};

/// Fewer readings than this cannot tell a sudden change from a slow one.
const FEWEST_TO_SEARCH: usize = 10;
/// Neighbouring changes on either side that say what is usual there.
const BESIDE: usize = 5;
const FEWEST_BESIDE: usize = 3;
/// The wander of a gauge never jumps by so large a part of its reading.
const LEAST: f64 = 0.05;

/// A step and the readings beside it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Break {
    pub(super) step: Step,
    /// One past the last reading before it.
    end: usize,
    /// The first reading after it.
    start: usize,
}

/// Steps in increasing time.
///
/// A change between two readings is a step when it lies outside what is usual both before and after it, or when the
/// pressure suddenly falls: nothing but an opened valve takes gas out of an isolated volume.
pub(super) fn find(rise: &Rise) -> Vec<Break> {
    if rise.minutes.len() < FEWEST_TO_SEARCH {
        return Vec::new();
    }
    let widths: Vec<f64> = rise.minutes.windows(2).map(|t| t[1] - t[0]).collect();
    let rates: Vec<f64> = rise
        .micron
        .windows(2)
        .zip(&widths)
        .map(|(p, width)| (p[1] - p[0]) / width)
        .collect();
    let excess: Vec<f64> = (0..rates.len())
        .map(|i| widths[i] * outside(&rates, i) / rise.micron[i].min(rise.micron[i + 1]))
        .collect();
    let spread = 6.0 * MAD_TO_SD * mad(&excess).unwrap_or(0.0);
    let mut found: Vec<Break> = Vec::new();
    for (i, &excess) in excess.iter().enumerate() {
        let (before, after) = (rise.micron[i], rise.micron[i + 1]);
        let coarse = 2.5 * rise.resolution_micron / before.min(after);
        if excess.abs() <= spread.max(LEAST).max(coarse) || !stays(rise, i) {
            continue;
        }
        match found.last_mut() {
            // one step can spread over neighbouring readings
            Some(broken) if broken.start == i => {
                broken.start = i + 1;
                broken.step.to_micron = after;
                broken.step.until_minutes = rise.minutes[i + 1];
            }
            _ => found.push(Break {
                end: i + 1,
                start: i + 1,
                step: Step {
                    minutes: rise.minutes[i + 1],
                    until_minutes: rise.minutes[i + 1],
                    from_micron: before,
                    to_micron: after,
                },
            }),
        }
    }
    found
}

/// How far a change lies outside the usual ones beside it; 0 where too few are beside it.
fn outside(rates: &[f64], i: usize) -> f64 {
    let before = &rates[i.saturating_sub(BESIDE)..i];
    let after = &rates[i + 1..(i + 1 + BESIDE).min(rates.len())];
    let usual = |side: &[f64]| median(side).filter(|_| side.len() >= FEWEST_BESIDE);
    match (usual(before), usual(after)) {
        (Some(a), Some(b)) if rates[i] > a.max(b) => rates[i] - a.max(b),
        // falling: the readings before are enough, it may go on falling
        (Some(a), _) if rates[i] < a.min(0.0) => rates[i] - a.min(0.0),
        _ => 0.0,
    }
}

/// The level is another one afterwards, not a lone reading that is off.
fn stays(rise: &Rise, i: usize) -> bool {
    let (before, after) = (rise.micron[i], rise.micron[i + 1]);
    let later = median(&rise.micron[i + 1..(i + 1 + BESIDE).min(rise.micron.len())]);
    let earlier = median(&rise.micron[(i + 1).saturating_sub(BESIDE)..=i]);
    later
        .zip(earlier)
        .is_some_and(|(later, earlier)| (later - earlier) / (after - before) > 0.5)
}

/// The longest stretch without a step.
pub(super) fn longest_stretch(rise: &Rise, breaks: &[Break]) -> Range<usize> {
    let ends = breaks.iter().map(|b| b.end).chain([rise.minutes.len()]);
    let starts = [0].into_iter().chain(breaks.iter().map(|b| b.start));
    let length =
        |stretch: &Range<usize>| rise.minutes[stretch.end - 1] - rise.minutes[stretch.start];
    starts
        .zip(ends)
        .map(|(start, end)| start..end)
        .max_by(|a, b| length(a).total_cmp(&length(b)))
        .unwrap_or(0..rise.minutes.len())
}
