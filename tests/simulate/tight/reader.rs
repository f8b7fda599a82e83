//! What a person states about a test, and what the method and the two-point rule make of the readings.
use lineproof::check::tight::method::{Assumptions, Fit, Gauge, Series, Share, Swung, Unseen, fit};
use lineproof::stats::decision::Decision;
use lineproof::stats::mixture::{Interval, Mixture};

use super::LIMIT;
use super::gas::{PSI, library_kappa};
use super::truth::{Log, Truth, Variant};
use crate::random::Random;

/// A judged test.
pub struct Judged {
    pub fit: Fit,
    pub decision: Decision,
    pub interval: Interval,
    /// The relative loss of `p T0/T`, first against last reading, with what a careful person allows for.
    pub two_point: Mixture,
}

/// The columns the method gets.
pub fn series(log: &Log) -> Series<'_> {
    let mean = log.outdoor.iter().sum::<f64>() / log.outdoor.len() as f64;
    let kappa = library_kappa(log.ln_p[0].exp(), log.outdoor[0], mean);
    Series {
        outdoor_k: Some(&log.outdoor),
        indoor_k: Some(&log.indoor),
        ..Series::pressure_only(&log.hours, &log.ln_p, kappa)
    }
}

/// What the tester knows: the share of the volume outdoors give or take 0.1, an attic and its half swing, the gauge.
pub fn assumptions(random: &mut Random, truth: &Truth) -> Assumptions {
    Assumptions {
        share: Share::stated((truth.outdoor_share() + random.normal(0.1)).clamp(0.0, 1.0)),
        gauge: Gauge {
            resolution_pa: truth.resolution_psi * PSI,
            drift_pa_per_k: truth.drift_psi_per_k.abs() * PSI,
        },
        unseen: Unseen::of_field_test(truth.attic, 12.5),
    }
}

/// A verdict in less than a day has to survive a daily wave of 1 K, as at the door.
pub fn swung<'a>(series: &'a Series, assumptions: &'a Assumptions) -> Swung<'a> {
    Swung {
        series,
        assumptions,
        wave_k: 1.0,
    }
}

pub fn judged(series: &Series, assumptions: &Assumptions) -> Judged {
    let fitted = fit(series, assumptions).unwrap();
    let decision = swung(series, assumptions)
        .judge(&fitted, LIMIT, Mixture::clone)
        .unwrap()
        .decision;
    Judged {
        interval: fitted.loss.interval(0.95),
        two_point: two_point(series, assumptions),
        fit: fitted,
        decision,
    }
}

/// `p T0/T`, first against last, with both readings' rounding and half a kelvin of limit on each temperature.
fn two_point(series: &Series, assumptions: &Assumptions) -> Mixture {
    let last = series.ln_p.len() - 1;
    let change = |column: Option<&[f64]>| column.map_or(0.0, |k| (k[last] / k[0]).ln());
    let share = assumptions.share.outdoors;
    let warmed = share * change(series.outdoor_k) + (1.0 - share) * change(series.indoor_k);
    let hours = series.hours[last] - series.hours[0];
    let rounding = assumptions.gauge.resolution_pa / series.ln_p[0].exp() / 12_f64.sqrt();
    let thermometer = 0.5 / 293.15 / 3_f64.sqrt();
    let sd = 2_f64.sqrt() * rounding.hypot(thermometer);
    Mixture::normal(
        (series.ln_p[0] - series.ln_p[last] + warmed) / hours,
        sd / hours,
    )
}

/// One test from the weather to the verdict.
pub fn one(random: &mut Random, variant: Variant) -> (Truth, Judged) {
    let truth = Truth::drawn(random, variant);
    let log = super::truth::log(random, &truth);
    let assumptions = assumptions(random, &truth);
    let judged = judged(&series(&log), &assumptions);
    (truth, judged)
}

/// Half the interval over the whole hold, psi.
pub fn half_width_psi(truth: &Truth, interval: &Interval) -> f64 {
    0.5 * (interval.high - interval.low) * truth.hours * (truth.psia - 0.5 * truth.lost_psi)
}
