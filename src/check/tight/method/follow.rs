//! Does the pressure follow the temperature at all?
use super::blocks::Blocks;
use super::input::{Assumptions, Series, Share};
use super::noise::NoiseNode;
use super::response::{drift_column, response_at_share};
use super::terms::{Kind, without_data};
use super::ways;
use crate::stats::linear::one_with_known_terms;
use crate::stats::mixture::Mixture;
use crate::stats::noise::{Shared, SharedProducts};

/// Lags tried, h.
const LAGS_H: [f64; 3] = [0.0, 0.25, 0.75];

/// Probability that the pressure takes no part in the temperature, against a closed volume: an exponent of 0 against one of
/// 1, give or take what the share may be off.
///
/// Neither is favoured beforehand, so it stays near 1/2 where the temperature moved too little to tell; a closed volume is taken
/// for none above 0.95 in at most one test of twenty (Markov's inequality), in practice far less often.
///
/// Source: Bayes' rule for two hypotheses, as in Gelman et al., Bayesian Data Analysis, 3rd ed., section 7.4.
pub(super) fn not_following(exponent: &Mixture, share: Share) -> f64 {
    let off = share.sd / share.outdoors.max(share.sd);
    let ignored = exponent.density(0.0);
    let followed = exponent.widened(off).density(1.0);
    if ignored > 0.0 {
        ignored / (ignored + followed)
    } else {
        0.0
    }
}

/// How much of the expected response the pressure shows, left free: 1 for a closed volume, 0 for none.
///
/// `ln p = a + b t + e r(t) + start offset + gauge drift + a leak that opens half-way + noise`, `e` and the loss free: a gauge
/// whose zero moves with the temperature, or a late leak, is not taken for a volume that ignores it.
///
/// `None` without a thermometer, with a witness in its place, or when the temperature did not move.
pub(super) fn exponent(
    series: &Series,
    assumptions: &Assumptions,
    blocks: &Blocks,
    noise: &[NoiseNode],
) -> Option<Mixture> {
    series.outdoor_k.or(series.indoor_k)?;
    if series.witness_ln_p.is_some() {
        return None;
    }
    let start = series.hours[0];
    let hours: Vec<f64> = series.hours.iter().map(|t| t - start).collect();
    let first = series.ln_p[0];
    let ln_p: Vec<f64> = series.ln_p.iter().map(|ln_p| ln_p - first).collect();
    let drift = assumptions.gauge.drift_pa_per_k / series.mean_pressure();
    let (opening, opening_sd) = ways::opening(&hours, 0.5);
    let mut own = Vec::with_capacity(LAGS_H.len());
    for lag_h in LAGS_H {
        let response = response_at_share(series, assumptions.share.outdoors, lag_h);
        if response.iter().all(|moved| *moved == 0.0) {
            return None;
        }
        let offset: Vec<f64> = hours
            .iter()
            .filter_map(|&t| without_data(Kind::Start, t, lag_h))
            .collect();
        own.push([blocks.average(&offset), blocks.average(&response)]);
    }
    let hours = blocks.average(&hours);
    let own: Vec<Vec<&[f64]>> = own
        .iter()
        .map(|columns| columns.iter().map(Vec::as_slice).collect())
        .collect();
    let common = [
        vec![1.0; hours.len()],
        blocks.average(&ln_p),
        blocks.average(&drift_column(series)),
        blocks.average(&opening),
    ];
    let shared = Shared::new(
        &[&common[0], &hours, &common[1], &common[2], &common[3]],
        &own,
    );
    // level, time, start offset, drift, late opening, the response to temperature, and ln p
    let order = [0, 1, 5, 3, 4, 6, 2];
    let start_precision = (series.per_kelvin() * assumptions.unseen.start_k)
        .powi(-2)
        .min(1e12);
    let precision = [
        0.0,
        0.0,
        start_precision,
        drift.powi(-2).min(1e12),
        opening_sd.powi(-2),
        0.0,
    ];
    let mut parts = Vec::with_capacity(LAGS_H.len() * noise.len());
    let (mut products, mut factor) = (SharedProducts::default(), Vec::new());
    for node in noise {
        let white: Vec<f64> = blocks
            .counts
            .iter()
            .map(|&n| node.white_sd.powi(2) / n.min(10) as f64)
            .collect();
        products.fill(&hours, &white, node.wander, &shared);
        parts.extend((0..LAGS_H.len()).filter_map(|lag| {
            let product = |i, j| products.at(lag, i, j);
            let solved =
                one_with_known_terms(product, products.log_det(), &order, &precision, &mut factor)?;
            Some((solved.log_evidence + node.log_prior, solved.mean, solved.sd))
        }));
    }
    Mixture::from_log_weights(parts)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_an_exponent_near_zero_that_excludes_one_is_not_following() {
        let of = |mean, sd, share| not_following(&Mixture::normal(mean, sd), share);
        let stated = Share::stated(1.0);
        assert!(of(0.0, 0.1, stated) > 0.99);
        // half of the volume was somewhere else
        assert!(of(0.5, 0.05, stated) < 1e-6);
        // the temperature hardly moved
        assert!((of(0.4, 30.0, stated) - 0.5).abs() < 1e-3);
        // nobody knows where the volume is
        assert!(of(0.1, 0.2, Share::unknown()) < 0.95);
    }

    /// The exponent of 16 h on a morning that warms, with something done to ln p.
    fn exponent_of(drift_pa_per_k: f64, ln_p: impl Fn(f64, f64) -> f64) -> Mixture {
        let hours: Vec<f64> = (0..97).map(|i| f64::from(i) / 6.0).collect();
        let outdoor: Vec<f64> = hours
            .iter()
            .map(|t| 285.0 + 6.0 * (t / 8.0).sin())
            .collect();
        let ln_p: Vec<f64> = hours
            .iter()
            .zip(&outdoor)
            .map(|(t, kelvin)| 15.0 + ln_p(*t, *kelvin) + 1e-4 * (t * 40.0).sin())
            .collect();
        let series = Series {
            outdoor_k: Some(&outdoor),
            ..Series::pressure_only(&hours, &ln_p, super::super::Kappa::constant(1.0))
        };
        let assumptions = Assumptions {
            share: Share::stated(1.0),
            gauge: super::super::Gauge {
                resolution_pa: 700.0,
                drift_pa_per_k,
            },
            unseen: super::super::Unseen::of_field_test(0.0, 0.0),
        };
        let noise = super::super::noise::noise_grid(&series, &assumptions);
        exponent(&series, &assumptions, &Blocks::of(&hours), &noise).unwrap()
    }

    #[test]
    fn a_gauge_that_drifts_or_a_late_leak_is_not_a_volume_that_ignores_the_temperature() {
        let closed = |kelvin: f64| (kelvin / 285.0).ln();
        let good = exponent_of(0.0, |_, k| closed(k));
        assert!(
            good.interval(0.95).contains(1.0),
            "{:?}",
            good.interval(0.95)
        );
        // nothing follows, and nothing is wrong with the gauge
        assert!(exponent_of(0.0, |_, _| 0.0).above(0.3) < 0.05);
        // three quarters of the answer eaten by a zero that may move that much
        let per_k = 0.75 / 285.0 * 15.0_f64.exp();
        let drifting = exponent_of(per_k, |_, k| 0.25 * closed(k));
        assert!(drifting.above(0.3) > 0.05);
        let late = exponent_of(0.0, |t, k| closed(k) - 0.002 * (t - 8.0).max(0.0));
        assert!(
            late.cdf(0.3) < 0.95 && late.above(3.0) < 0.95,
            "{:?}",
            late.interval(0.95)
        );
    }
}
