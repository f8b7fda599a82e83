//! The way out where no regression holds: the first reading against the last.
use super::LinePoint;
use super::blocks::Blocks;
use super::breaks::TYPICAL_LAG_H;
use super::input::{Assumptions, Series};
use super::noise::{WANDER_K, WHITE, least_white};
use super::response::{base_response, response_at_share};
use super::terms;
use crate::stats::mixture::Mixture;

/// Scatter from one block to the next; what a slow curve or a late leak does to the level stays out of it.
fn scatter(read: &[f64], base: &[f64]) -> f64 {
    let corrected: Vec<f64> = read
        .iter()
        .zip(base)
        .map(|(read, base)| read - base)
        .collect();
    let changes: Vec<f64> = corrected.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let count = changes.len() as f64;
    let mean = changes.iter().sum::<f64>() / count;
    (changes
        .iter()
        .map(|change| (change - mean).powi(2))
        .sum::<f64>()
        / count
        / 2.0)
        .sqrt()
}

/// First against last reading with the temperature taken out and every spread at its widest.
pub(super) fn first_against_last(
    series: &Series,
    assumptions: &Assumptions,
) -> (Mixture, Vec<LinePoint>) {
    let base = base_response(series, assumptions, TYPICAL_LAG_H);
    let blocks = Blocks::of(series.hours);
    let first = series.ln_p[0];
    let last = series.ln_p.len() - 1;
    let hours = series.duration();
    let change = series.ln_p[last] - first - base[last];
    let per_kelvin = series.per_kelvin();
    let wave_k = assumptions
        .unseen
        .daily_wave_k
        .max(1.0)
        .hypot(terms::missing_swing_k(series, assumptions));
    let (read, base_in_blocks) = (blocks.average(series.ln_p), blocks.average(&base));
    let moved = |share: f64| response_at_share(series, share, TYPICAL_LAG_H)[last];
    let widest = [
        2.0_f64.sqrt() * WHITE[WHITE.len() - 1] * least_white(series, assumptions),
        2.0_f64.sqrt() * per_kelvin * WANDER_K[WANDER_K.len() - 1],
        2.0 * per_kelvin * wave_k,
        per_kelvin * assumptions.unseen.start_k,
        per_kelvin * assumptions.unseen.settling_k,
        assumptions.unseen.dissolving,
        assumptions.share.sd * (moved(1.0) - moved(0.0)),
        2.0_f64.sqrt() * scatter(&read, &base_in_blocks),
    ];
    let sd = widest.iter().map(|part| part * part).sum::<f64>().sqrt();
    let line = (0..blocks.len())
        .map(|row| {
            let since = blocks.hours[row] - series.hours[0];
            LinePoint {
                hours: blocks.hours[row],
                read: read[row],
                expected: first + base_in_blocks[row],
                sd,
                residual: read[row] - first - base_in_blocks[row] - change * since / hours,
            }
        })
        .collect();
    (Mixture::normal(-change / hours, sd / hours), line)
}
