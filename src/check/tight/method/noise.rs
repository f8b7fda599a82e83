//! The noises that are summed over: what a gauge rounds off, and what temperature nobody saw.
use super::input::{Assumptions, Series};
use super::terms;
use crate::stats::noise::Wander;

/// White noise of one reading as multiples of the larger of resolution / sqrt(12) and [`LEAST_WHITE_PA`].
pub(super) const WHITE: [f64; 6] = [0.7, 1.0, 1.5, 2.5, 4.0, 7.0];
/// Least white noise of a gauge reading, Pa (0.03 psi).
const LEAST_WHITE_PA: f64 = 206.84;
/// Unexplained temperature of the gas with thermometers, K: log-normal, median 0.2 K, factor 2.
pub(super) const WANDER_K: [f64; 7] = [0.05, 0.08, 0.13, 0.22, 0.36, 0.6, 1.0];
const WANDER_MEDIAN_K: f64 = 0.2;
/// How long it stays, h.
const WANDER_H: [f64; 5] = [0.25, 0.5, 1.0, 2.0, 4.0];
/// Without a thermometer the weather itself is unexplained: swings of kelvins over hours and days.
const WEATHER_K: [f64; 5] = [0.5, 1.0, 2.0, 4.0, 8.0];
const WEATHER_MEDIAN_K: f64 = 2.0;
const WEATHER_H: [f64; 6] = [1.0, 3.0, 8.0, 24.0, 48.0, 96.0];
/// From this much unlogged daily swing (K) on, the weather is taken as unexplained.
const WEATHER_FROM_K: f64 = 1.0;

/// One point of the noise grid.
#[derive(Debug, Clone, Copy)]
pub(super) struct NoiseNode {
    /// White noise of one reading, in ln p.
    pub(super) white_sd: f64,
    /// Slow noise, in ln p over hours.
    pub(super) wander: Wander,
    pub(super) log_prior: f64,
}

pub(super) fn noise_grid(series: &Series, assumptions: &Assumptions) -> Vec<NoiseNode> {
    let unit = least_white(series, assumptions);
    let per_kelvin = series.per_kelvin();
    let weather = terms::missing_swing_k(series, assumptions) > WEATHER_FROM_K;
    let (sizes, median, times): (&[f64], f64, &[f64]) = if weather {
        (&WEATHER_K, WEATHER_MEDIAN_K, &WEATHER_H)
    } else {
        (&WANDER_K, WANDER_MEDIAN_K, &WANDER_H)
    };
    let mut nodes = Vec::with_capacity(WHITE.len() * sizes.len() * times.len());
    for &time in times {
        for &kelvin in sizes {
            let away = (kelvin / median).ln() / std::f64::consts::LN_2;
            nodes.extend(WHITE.iter().map(|multiple| NoiseNode {
                white_sd: multiple * unit,
                wander: Wander {
                    sd: kelvin * per_kelvin,
                    time,
                },
                log_prior: -0.5 * away * away,
            }));
        }
    }
    nodes
}

pub(super) fn least_white(series: &Series, assumptions: &Assumptions) -> f64 {
    (assumptions.gauge.resolution_pa / 12.0_f64.sqrt()).max(LEAST_WHITE_PA) / series.mean_pressure()
}
