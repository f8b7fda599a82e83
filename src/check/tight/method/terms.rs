//! The linear terms: one column per effect, with what is known of its size beforehand.
use super::blocks::Blocks;
use super::breaks::Step;
use super::input::{Assumptions, Series};
use super::response::{
    Responses, base_of, drift_column, outdoor_response, responses, share_column,
};
use crate::stats::noise::Rows;

/// Lags of the gas behind the outdoor thermometer that are summed over, min.
const LAGS_MIN: [f64; 7] = [0.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0];
/// Times over which walls and insulation settle, h.
const SETTLING_H: [f64; 3] = [2.0, 4.0, 8.0];
/// Times over which oil takes up gas, h.
const DISSOLVING_H: [f64; 3] = [2.0, 6.0, 18.0];
/// Half a day's swing of a place without a thermometer, as the standard deviation of cosine and sine, K.
///
/// Outdoors 4 K: a mean day then swings by 10 K from low to high, as temperate summer days do (from memory).
/// Indoors 1 K: a thermostat holds the room.
pub(super) const UNLOGGED_OUTDOORS_K: f64 = 4.0;
const UNLOGGED_INDOORS_K: f64 = 1.0;

/// A witness beside the line has its own share outdoors: as much as the two differ, one standard deviation. Everything else that
/// the surroundings do, seen or not, it feels as the line does.
const WITNESS_SHARE: f64 = 0.05;

/// A step's own size is known from its two neighbours; this many sizes leave it as good as free, and still keep the loss
/// finite where a step stands between two short runs of readings.
const STEP_SIZES: f64 = 5.0;

/// What a column stands for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Kind {
    /// The level at the start.
    Level,
    /// Hours since the start: the loss.
    Time,
    /// The level after a step.
    After { hours: f64 },
    /// Error of the share of the volume outdoors.
    Share,
    /// Zero of the gauge per kelvin.
    Drift,
    /// A day, cosine.
    DayCosine,
    /// A day, sine.
    DaySine,
    /// Half a day, cosine: the sun's day is no plain wave.
    HalfDayCosine,
    /// Half a day, sine.
    HalfDaySine,
    /// Walls that settle: something that dies away.
    Settling { hours: f64 },
    /// Oil that takes up gas: the same, slower.
    Dissolving { hours: f64 },
    /// A leak that opens after this part of the hold.
    Opening { part: f64 },
    /// Gas warmer or colder than the wall at the start; dies away with the lag.
    Start,
}

/// A column and how large its coefficient may be; `None` is free.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Term {
    pub(super) kind: Kind,
    pub(super) sd: Option<f64>,
}

/// Position of the loss among the terms.
pub(super) const TIME: usize = 1;

/// All columns for one lag.
#[derive(Debug, Clone)]
pub(super) struct AtLag {
    pub(super) lag_h: f64,
    /// Block means, one column per term, then the response.
    pub(super) columns: Vec<Vec<f64>>,
    /// Block means of the expected temperature response that was taken off ln p.
    pub(super) base: Vec<f64>,
}

impl AtLag {
    pub(super) fn rows(&self) -> Rows {
        Rows::from_columns(&self.columns)
    }
}

/// The whole regression without its noise.
#[derive(Debug, Clone)]
pub(super) struct Design {
    pub(super) terms: Vec<Term>,
    pub(super) lags: Vec<AtLag>,
    /// Block times from the start, h.
    pub(super) hours: Vec<f64>,
    /// Variance of a block's white noise over that of one reading.
    pub(super) white_shape: Vec<f64>,
    /// ln p per kelvin.
    pub(super) per_kelvin: f64,
}

/// The most readings in a block whose white noise still averages out.
const INDEPENDENT_READINGS: usize = 10;

impl Design {
    pub(super) fn new(
        series: &Series,
        assumptions: &Assumptions,
        blocks: &Blocks,
        steps: &[Step],
    ) -> Self {
        let start = series.hours[0];
        let hours: Vec<f64> = series.hours.iter().map(|t| t - start).collect();
        let terms = terms(series, assumptions, steps);
        let mut lags: Vec<AtLag> = Vec::with_capacity(LAGS_MIN.len());
        let mut responses = responses(series, 0.0);
        for lag_min in LAGS_MIN {
            let lag_h = lag_min / 60.0;
            responses.outdoor = outdoor_response(series, lag_h);
            let readings = Readings {
                series,
                hours: &hours,
                responses: &responses,
            };
            let before = lags.first();
            let at = at_lag(&readings, assumptions, blocks, &terms, lag_h, before);
            lags.push(at);
        }
        Self {
            terms,
            lags,
            hours: blocks.average(&hours),
            white_shape: blocks
                .counts
                .iter()
                .map(|&n| 1.0 / n.min(INDEPENDENT_READINGS) as f64)
                .collect(),
            per_kelvin: series.per_kelvin(),
        }
    }

    /// The same on half of the lags, both ends kept.
    pub(super) fn with_every_other_lag(&self) -> Self {
        Self {
            lags: self.lags.iter().step_by(2).cloned().collect(),
            ..self.clone()
        }
    }

    /// One more column, the same at every lag.
    pub(super) fn add(&mut self, term: Term, column: Vec<f64>) {
        for lag in &mut self.lags {
            lag.columns.insert(self.terms.len(), column.clone());
        }
        self.terms.push(term);
    }

    pub(super) fn precision(&self) -> Vec<f64> {
        self.terms
            .iter()
            .map(|term| term.sd.map_or(0.0, |sd| 1.0 / (sd * sd)))
            .collect()
    }
}

/// Standard deviation of the daily swing that no thermometer sees because it is missing altogether, K.
pub(super) fn missing_swing_k(series: &Series, assumptions: &Assumptions) -> f64 {
    if series.witness_ln_p.is_some() {
        return 0.0;
    }
    let outdoors = assumptions.share.outdoors;
    match (series.outdoor_k, series.indoor_k) {
        (Some(_), Some(_)) => 0.0,
        (Some(_), None) => (1.0 - outdoors) * UNLOGGED_INDOORS_K,
        (None, Some(_)) => outdoors * UNLOGGED_OUTDOORS_K,
        // half the volume may well be outdoors even if less was stated
        (None, None) => outdoors.max(0.5) * UNLOGGED_OUTDOORS_K,
    }
}

fn terms(series: &Series, assumptions: &Assumptions, steps: &[Step]) -> Vec<Term> {
    let per_kelvin = series.per_kelvin();
    let unseen = assumptions.unseen;
    let drift = assumptions.gauge.drift_pa_per_k / series.mean_pressure();
    let thermometer = series.outdoor_k.or(series.indoor_k).is_some();
    let drift_as_wave_k = if thermometer {
        0.0
    } else {
        drift / per_kelvin * UNLOGGED_OUTDOORS_K
    };
    let wave_k = unseen
        .daily_wave_k
        .hypot(missing_swing_k(series, assumptions))
        .hypot(drift_as_wave_k);
    let witness = series.witness_ln_p.is_some();
    let (share_sd, wave_k) = match (witness, thermometer) {
        (true, true) => (WITNESS_SHARE, drift_as_wave_k),
        (true, false) => (
            0.0,
            drift_as_wave_k.hypot(WITNESS_SHARE * UNLOGGED_OUTDOORS_K),
        ),
        (false, true) => (assumptions.share.sd, wave_k),
        (false, false) => (0.0, wave_k),
    };
    let wave = per_kelvin * wave_k;
    let settling = per_kelvin * unseen.settling_k / (SETTLING_H.len() as f64).sqrt();
    let dissolving = unseen.dissolving / (DISSOLVING_H.len() as f64).sqrt();

    let mut terms = vec![
        Term {
            kind: Kind::Level,
            sd: None,
        },
        Term {
            kind: Kind::Time,
            sd: None,
        },
    ];
    let start = series.hours[0];
    terms.extend(steps.iter().map(|step| Term {
        kind: Kind::After {
            hours: step.hours - start,
        },
        sd: Some(STEP_SIZES * step.size.abs()),
    }));
    let known = [
        (Kind::Share, share_sd),
        (Kind::Drift, if thermometer { drift } else { 0.0 }),
        (Kind::Start, per_kelvin * unseen.start_k),
        (Kind::DayCosine, wave),
        (Kind::DaySine, wave),
    ];
    let settling = SETTLING_H.map(|hours| (Kind::Settling { hours }, settling));
    let dissolving = DISSOLVING_H.map(|hours| (Kind::Dissolving { hours }, dissolving));
    terms.extend(
        known
            .into_iter()
            .chain(settling)
            .chain(dissolving)
            .filter(|(_, sd)| *sd > 0.0)
            .map(|(kind, sd)| Term { kind, sd: Some(sd) }),
    );
    terms
}

/// The value of a column that needs no data, `hours` after the start; `None` for those that do.
pub(super) fn without_data(kind: Kind, hours: f64, lag_h: f64) -> Option<f64> {
    let day = hours * std::f64::consts::TAU / 24.0;
    match kind {
        Kind::Level => Some(1.0),
        Kind::Time => Some(hours),
        Kind::After { hours: at } => Some(if hours >= at { 1.0 } else { 0.0 }),
        Kind::DayCosine => Some(day.cos()),
        Kind::DaySine => Some(day.sin()),
        Kind::HalfDayCosine => Some((2.0 * day).cos()),
        Kind::HalfDaySine => Some((2.0 * day).sin()),
        Kind::Settling { hours: time } | Kind::Dissolving { hours: time } => {
            Some((-hours / time).exp())
        }
        Kind::Start if lag_h <= 0.0 => Some(0.0),
        Kind::Start => Some((-hours / lag_h).exp()),
        Kind::Share | Kind::Drift | Kind::Opening { .. } => None,
    }
}

/// What the columns of one lag are made from.
struct Readings<'a> {
    series: &'a Series<'a>,
    /// Times from the start, h.
    hours: &'a [f64],
    responses: &'a Responses,
}

fn at_lag(
    readings: &Readings,
    assumptions: &Assumptions,
    blocks: &Blocks,
    terms: &[Term],
    lag_h: f64,
    before: Option<&AtLag>,
) -> AtLag {
    let Readings {
        series,
        hours,
        responses,
    } = readings;
    let base = base_of(series, assumptions, responses);
    let column = |term: &Term| -> Vec<f64> {
        match term.kind {
            Kind::Share => share_column(series, responses, assumptions.share.smoothed_h),
            Kind::Drift => drift_column(series),
            kind => hours
                .iter()
                .filter_map(|&t| without_data(kind, t, lag_h))
                .collect(),
        }
    };
    let mut columns: Vec<Vec<f64>> = terms
        .iter()
        .enumerate()
        .map(|(index, term)| match before {
            // only these two depend on the lag
            Some(before) if !matches!(term.kind, Kind::Share | Kind::Start) => {
                before.columns[index].clone()
            }
            _ => blocks.average(&column(term)),
        })
        .collect();
    let first = series.ln_p[0];
    let response: Vec<f64> = series
        .ln_p
        .iter()
        .zip(&base)
        .map(|(ln_p, base)| ln_p - first - base)
        .collect();
    columns.push(blocks.average(&response));
    AtLag {
        lag_h,
        columns,
        base: blocks
            .average(&base)
            .iter()
            .map(|base| base + first)
            .collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Gauge, Kappa, Share, Unseen};
    use super::*;

    fn sd_of(series: &Series, drift_pa_per_k: f64, unseen: Unseen, kind: Kind) -> f64 {
        let assumptions = Assumptions {
            share: Share::stated(0.8),
            gauge: Gauge {
                resolution_pa: 700.0,
                drift_pa_per_k,
            },
            unseen,
        };
        terms(series, &assumptions, &[])
            .iter()
            .find(|term| term.kind == kind)
            .map_or(0.0, |term| term.sd.unwrap())
    }

    #[test]
    fn a_witness_takes_the_spread_of_thermometers_away() {
        let (hours, ln_p, kelvin) = ([0.0, 1.0, 2.0], [15.0; 3], [290.0, 291.0, 292.0]);
        let alone = Series::pressure_only(&hours, &ln_p, Kappa::constant(1.0));
        let thermometer = Series {
            outdoor_k: Some(&kelvin),
            ..alone
        };
        let with = |series| Series {
            witness_ln_p: Some(&ln_p),
            ..series
        };
        let attic = Unseen::of_field_test(0.2, 12.5);
        let sd = |series: &Series, kind| sd_of(series, 0.0, attic, kind);
        assert_eq!(sd(&thermometer, Kind::Share), 0.15);
        assert_eq!(sd(&with(thermometer), Kind::Share), WITNESS_SHARE);
        assert!(sd(&thermometer, Kind::DayCosine) > 2.0 / 290.0);
        assert_eq!(sd(&with(thermometer), Kind::DayCosine), 0.0);
        // nothing says how much the witness differs: a part of the weather stays
        assert!(sd(&with(alone), Kind::DayCosine) < 0.1 * sd(&alone, Kind::DayCosine));
        assert!(sd(&with(alone), Kind::DayCosine) > 0.0);
        // the gas of the line is warm from filling all the same
        assert_eq!(
            sd(&with(thermometer), Kind::Start),
            sd(&thermometer, Kind::Start)
        );
    }

    #[test]
    fn the_gauges_drift_goes_with_a_thermometer_and_becomes_a_wave_without() {
        let (hours, ln_p, kelvin) = ([0.0, 1.0, 2.0], [15.0; 3], [290.0, 291.0, 292.0]);
        let alone = Series::pressure_only(&hours, &ln_p, Kappa::constant(1.0));
        let thermometer = Series {
            outdoor_k: Some(&kelvin),
            ..alone
        };
        let unseen = Unseen::of_field_test(0.0, 0.0);
        let relative = 2206.0 / 15.0_f64.exp();
        let drift = sd_of(&thermometer, 2206.0, unseen, Kind::Drift);
        assert!((drift / relative - 1.0).abs() < 1e-9);
        assert_eq!(sd_of(&alone, 2206.0, unseen, Kind::Drift), 0.0);
        let wave = |drift| sd_of(&alone, drift, unseen, Kind::DaySine);
        assert!(wave(2206.0) > wave(0.0));
    }

    #[test]
    fn a_compressor_adds_slow_dissolving() {
        let series = Series::pressure_only(&[0.0, 9.0], &[15.0; 2], Kappa::constant(1.0));
        let oil = Unseen::of_field_test(0.0, 0.0).with_compressor();
        let total: f64 = DISSOLVING_H
            .map(|hours| sd_of(&series, 0.0, oil, Kind::Dissolving { hours }).powi(2))
            .iter()
            .sum();
        assert!((total.sqrt() - oil.dissolving).abs() < 1e-12);
    }
}
