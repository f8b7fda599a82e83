//! A standing pressure test as its figures show it.

use super::figure::{Hold, HoldResiduals, HoldStep, LossAhead, LossLimit};
use crate::check::tight::{Detail, Point};
use crate::check::{Finding, Outcome, tight};
use crate::quantity::{
    Dimension, Interval, PressureAbs, PressureDiff, PressureRate, Quantity, Shown, Temperature,
    UnitSystem, unit,
};

/// A difference of pressure in the unit that a loss per hour counts.
fn difference(value: PressureDiff, units: UnitSystem) -> f64 {
    match units {
        UnitSystem::Us => value.in_unit(unit::PSI_DIFF),
        UnitSystem::Si => value.in_unit(unit::KPA_DIFF),
    }
}

fn difference_unit(units: UnitSystem) -> &'static str {
    match units {
        UnitSystem::Us => "psi",
        UnitSystem::Si => "kPa",
    }
}

/// The loss with its range: "0.04, could be 0.02 to 0.06 psi/h".
fn loss_words(loss: [PressureRate; 3], units: UnitSystem) -> String {
    let [estimate, low, high] = loss.map(Quantity::si);
    let dimension = Dimension::PressureRate;
    Interval {
        estimate,
        low,
        high,
        dimension,
    }
    .show(units)
}

fn steps(detail: &Detail, units: UnitSystem) -> Vec<HoldStep> {
    let step = |step: &tight::Step| HoldStep {
        hours: step.hours,
        words: step.words(units),
    };
    detail.steps.iter().map(step).collect()
}

/// Where a tight line would read at a time between two points.
fn expected_at(points: &[Point], hours: f64) -> Option<PressureAbs> {
    let after = points.partition_point(|p| p.hours < hours);
    let (before, after) = (
        after.saturating_sub(1),
        after.min(points.len().checked_sub(1)?),
    );
    let (a, b) = (&points[before], &points[after]);
    let span = b.hours - a.hours;
    let share = if span > 0.0 {
        ((hours - a.hours) / span).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let rise = share * (b.expected - a.expected).si();
    Some(a.expected + PressureDiff::from_si(rise))
}

impl Hold {
    /// The gauge, the fit and where a tight line would read, in the units of a reader.
    ///
    /// `began` says in words when the test began. None without a reading.
    pub fn of(detail: &Detail, began: &str, units: UnitSystem) -> Option<Self> {
        let gauge = |p: PressureAbs| -> Shown { p.to_gauge(detail.barometer).show(units) };
        let column = |of: fn(&Point) -> PressureAbs| -> Vec<f64> {
            detail.points.iter().map(|p| gauge(of(p)).value).collect()
        };
        let beside = |logged: &[(f64, f64)]| -> Option<Vec<f64>> {
            let at = |p: &Point| nearest(logged, p.hours);
            (!logged.is_empty()).then(|| detail.points.iter().map(at).collect())
        };
        let outdoor: Vec<(f64, f64)> = detail
            .outdoor
            .iter()
            .map(|(hours, t)| (*hours, t.show(units).value))
            .collect();
        let witness: Vec<(f64, f64)> = detail
            .witness
            .iter()
            .map(|(hours, p)| (*hours, gauge(*p).value))
            .collect();
        Some(Hold {
            began: began.into(),
            hours: detail.points.iter().map(|p| p.hours).collect(),
            gauge: column(|p| p.read),
            expected: column(|p| p.expected),
            band_low: column(|p| p.low),
            band_high: column(|p| p.high),
            fitted: column(|p| p.read + PressureDiff::from_si(-p.residual.si())),
            steps: steps(detail, units),
            outliers: detail
                .outliers
                .iter()
                .map(|o| (o.hours, gauge(o.read).value))
                .collect(),
            witness: beside(&witness),
            outdoor: beside(&outdoor),
            pressure_unit: gauge(detail.points.first()?.read).unit,
            temperature_unit: Temperature::from_si(300.0).show(units).unit,
        })
    }
}

fn nearest(logged: &[(f64, f64)], hours: f64) -> f64 {
    let after = logged
        .partition_point(|(h, _)| *h < hours)
        .min(logged.len() - 1);
    let before = after.saturating_sub(1);
    let closer = if hours - logged[before].0 < logged[after].0 - hours {
        before
    } else {
        after
    };
    logged[closer].1
}

impl HoldResiduals {
    /// What is left of a test's readings with temperature taken out, in the units of a reader.
    ///
    /// `began` says in words when the test began. None without a reading.
    pub fn of(detail: &Detail, began: &str, units: UnitSystem) -> Option<Self> {
        detail.points.first()?;
        let off = |read: PressureAbs, expected: PressureAbs| difference(read - expected, units);
        Some(HoldResiduals {
            began: began.into(),
            hours: detail.points.iter().map(|p| p.hours).collect(),
            corrected: detail
                .points
                .iter()
                .map(|p| off(p.read, p.expected))
                .collect(),
            fitted: detail
                .points
                .iter()
                .map(|p| off(p.read, p.expected) - difference(p.residual, units))
                .collect(),
            loss: detail.loss.map(|rate| rate.show(units).value),
            limit: detail.limit.show(units).value,
            words: loss_words(detail.loss, units),
            steps: steps(detail, units),
            outliers: detail
                .outliers
                .iter()
                .filter_map(|o| {
                    let expected = expected_at(&detail.points, o.hours)?;
                    Some((o.hours, off(o.read, expected)))
                })
                .collect(),
            unit: difference_unit(units),
        })
    }
}

impl LossLimit {
    /// The loss of a test against its limit, in the units of a reader.
    pub fn of(detail: &Detail, outcome: Outcome, units: UnitSystem) -> Self {
        let limit = detail.limit.show(units);
        LossLimit {
            loss: detail.loss.map(|rate| rate.show(units).value),
            words: loss_words(detail.loss, units),
            limit: limit.value,
            limit_words: format!("limit {limit}: {}", detail.limit_name),
            above_limit: detail.above_limit,
            outcome: outcome.words(),
            ahead: detail.planned.map(|ahead| LossAhead {
                more_hours: ahead.more_hours,
                low: ahead.low.show(units).value,
                high: ahead.high.show(units).value,
                given: if ahead.tight {
                    "if it is tight"
                } else {
                    "if it goes on like this"
                },
            }),
            unit: limit.unit,
        }
    }
}

/// The figures of a test that stood: the gauge, what is left of it, the loss.
pub(crate) type Held = (Hold, HoldResiduals, LossLimit);

/// All figures of a finding; none when it is no standing pressure test.
pub(crate) fn figures(finding: &Finding, began: &str, units: UnitSystem) -> Option<Held> {
    let crate::check::Detail::Tight(detail) = &finding.detail else {
        return None;
    };
    Some((
        Hold::of(detail, began, units)?,
        HoldResiduals::of(detail, began, units)?,
        LossLimit::of(detail, finding.outcome, units),
    ))
}
