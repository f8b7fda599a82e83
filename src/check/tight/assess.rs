//! The verdict of the standing pressure test.

use super::code_rule;
use super::criteria::{Criteria, Limit};
use super::detail::{Detail, HoldLonger, Outlier, Planned, Point, Step};
use super::input::{Input, TestGas};
use super::mass;
use super::method::{
    self, Assumptions, Fit, FitError, Gauge, HoursNeeded, Judged, Kappa, Series, Share, Swung,
    Unseen, WhyNot,
};
use super::rating;
use super::rig::{self, Rig};
use super::sentences::{Beside, reasons_of};
use super::unseen::unseen;
use super::witness::{self, Moved};
use crate::check::{Finding, NamedInterval, Outcome, Stage};
use crate::fluid::{DryGas, DryGasError};
use crate::quantity::{
    Dimension, Interval, PressureAbs, PressureDiff, PressureRate, Quantity, Temperature,
    TemperatureDiff,
};
use crate::source::SourceId;
use crate::stats::decision::{SURE, Verdict};
use crate::stats::mixture::Mixture;

/// Why readings cannot be judged at all.
#[derive(Debug, thiserror::Error)]
pub enum TightError {
    /// The regression refuses them.
    #[error(transparent)]
    Fit(#[from] FitError),
    /// Two readings at one time.
    #[error("standing pressure test: {0}")]
    Order(#[from] super::SameTime),
    /// Outside the use of the gas's equation here.
    #[error("standing pressure test: {0}")]
    Gas(#[from] DryGasError),
}

/// Judges a standing pressure test.
///
/// `ln p = a + b t + sum_i w_i integral(kappa d ln T_i)` with the real gas's `kappa = (T/p)(dp/dT)_rho`; the loss is
/// `-b p`. One rule: *fail* P(loss > L) > 0.95, *pass* P(loss < L) > 0.95, else *undecided*; beside it whether a loss
/// above zero is seen. A verdict in less than a day has to survive a daily swing of 1 K that no thermometer saw. A known-
/// tight volume logged beside the line takes the thermometers' place. A rig that leaks by itself makes a *fail* void.
///
/// The readings may come in any order.
///
/// Departures: air and oxygen are computed as nitrogen, under a reason that stops the test; so are refrigerant and a gas
/// that nobody noted, which never pass.
///
/// Source: method of this program; verdict rule JCGM 106:2012; the gas by its reference equation ([`DryGas`]).
pub fn assess(input: &Input, criteria: &Criteria) -> Result<Finding, TightError> {
    let in_order = input.in_order()?;
    let input = in_order.as_ref();
    let ln_p: Vec<f64> = input.pressure.iter().map(|p| p.si().ln()).collect();
    let kelvin = |column: &Option<Vec<Temperature>>| {
        column
            .as_ref()
            .map(|c| c.iter().map(|t| t.si()).collect::<Vec<_>>())
    };
    let (outdoor, indoor) = (kelvin(&input.outdoor), kelvin(&input.indoor));
    let (first, last) = (input.pressure[0], input.pressure[input.pressure.len() - 1]);
    let thermometer = outdoor.as_deref().or(indoor.as_deref());
    let of = |p: PressureAbs| kappa(input.gas.computed_as(), p, thermometer);
    let line = of(first)?;
    let assumed = assumptions(input, criteria);
    let mut series = Series {
        outdoor_k: outdoor.as_deref(),
        indoor_k: indoor.as_deref(),
        ..Series::pressure_only(&input.hours, &ln_p, line)
    };
    let mut moved = Moved::No;
    let stretched;
    if let Some(beside) = &input.witness {
        let ln_w: Vec<f64> = beside.iter().map(|p| p.si().ln()).collect();
        let own = of(beside[0])?;
        moved = witness::moved(&series, own, &ln_w, &assumed)?;
        stretched = witness::at_the_lines_pressure(&ln_w, own, line, line.at_k);
        series.witness_ln_p = Some(&stretched);
    }
    let fit = method::fit(&series, &assumed)?;

    // the pressure of the middle of the test turns a relative loss into a loss of pressure
    let level = (0.5 * (ln_p[0] + ln_p[ln_p.len() - 1])).exp();
    let middle = PressureAbs::from_si(level);
    let criteria = &Criteria {
        limit: criteria.limit.of(input, middle),
        ..*criteria
    };
    let limit = criteria.limit.at(middle);
    let relative_limit = limit.si() * 3600.0 / level;
    let counted = |loss: &Mixture| match (criteria.limit, &input.volume) {
        (Limit::Mass(_), Some(volume)) => mass::with_volume(loss, volume),
        _ => loss.clone(),
    };
    let swung = Swung {
        series: &series,
        assumptions: &assumed,
        wave_k: criteria.short_test_swing.si(),
    };
    let Judged {
        decision: judged,
        undone,
    } = swung.judge(&fit, relative_limit, counted)?;

    let rate = |relative: f64| PressureRate::from_si(relative * level / 3600.0);
    let range = fit.loss.interval(0.95);
    let loss = [
        rate(fit.loss.quantile(0.5)),
        rate(range.low),
        rate(range.high),
    ];
    let points = points(&fit);
    let against_expected = points.last().map_or(0.0, |p| p.read.si() - p.expected.si());
    let few = fit.all_differ(input.hours.len());
    let longer = match (judged.verdict, undone) {
        (Verdict::Undecided, None) => {
            hold_longer(&fit, swung.hours_needed(&fit, relative_limit)?, few)
        }
        (Verdict::Undecided, Some(_)) => HoldLonger::Hours(24.0 - fit.hours),
        _ => HoldLonger::Decided,
    };
    let detail = Detail {
        loss,
        limit,
        limit_name: criteria.limit.name(input.units),
        above_limit: judged.above_limit,
        leak_seen: judged.leak_seen(),
        hold_longer: longer.clone(),
        planned: planned(&fit, &longer, undone.is_some(), level),
        code_rule: code_rule::judged(input, &loss, criteria.code_rule),
        change: last - first,
        against_expected: PressureDiff::from_si(against_expected),
        per_day: loss.map(|rate| rate.si() * 86_400.0 / level),
        mass: mass::detail(input, &loss, middle),
        points,
        steps: fit
            .steps
            .iter()
            .map(|s| Step {
                hours: s.hours,
                size: step_size(input, s),
            })
            .collect(),
        outliers: fit
            .outliers
            .iter()
            .map(|&i| Outlier {
                hours: input.hours[i],
                read: input.pressure[i],
            })
            .collect(),
        outdoor: input
            .outdoor
            .iter()
            .flatten()
            .zip(&input.hours)
            .map(|(t, h)| (*h, *t))
            .collect(),
        witness: input
            .witness
            .iter()
            .flatten()
            .zip(&input.hours)
            .map(|(p, h)| (*h, *p))
            .collect(),
        barometer: input.barometer,
    };
    let rig = rig::against(input, &loss, limit);
    let outcome = outcome(input, &fit, judged.verdict, moved, rig);
    let beside = Beside {
        undone,
        moved,
        rig: (judged.verdict == Verdict::Fail).then_some(rig),
        later: rating::above_later(input)?,
    };
    let mut reasons = reasons_of(input, criteria, &fit, &detail, outcome, &beside);
    let passes_to = [Some(&fit.loss), fit.late_loss.as_ref()]
        .into_iter()
        .flatten()
        .map(|loss| counted(loss).quantile(SURE))
        .fold(f64::NEG_INFINITY, f64::max);
    let passes_to = rate(passes_to);
    reasons.extend(mass::reasons_of(
        input, criteria, &detail, outcome, passes_to, middle,
    ));
    Ok(Finding {
        stage: Stage::Tight,
        covers: input.covers.clone(),
        outcome,
        reasons,
        figures: vec![
            figure(
                "pressure loss",
                loss.map(Quantity::si),
                Dimension::PressureRate,
            ),
            figure("part of the gas a day", detail.per_day, Dimension::Fraction),
        ],
        unseen: unseen(
            input,
            &detail,
            TemperatureDiff::from_si(assumed.unseen.daily_wave_k),
        )
        .into_iter()
        .chain(mass::unseen(&detail))
        .collect(),
        detail: crate::check::Detail::Tight(Box::new(detail)),
    })
}

fn figure(
    name: &'static str,
    [estimate, low, high]: [f64; 3],
    dimension: Dimension,
) -> NamedInterval {
    NamedInterval {
        name,
        interval: Interval {
            estimate,
            low,
            high,
            dimension,
        },
        source: SourceId::TightMethod,
    }
}

/// A step of ln p as a change of the reading before it.
fn step_size(input: &Input, step: &method::Step) -> PressureDiff {
    let before = input.hours.partition_point(|h| *h < step.hours).max(1) - 1;
    PressureDiff::from_si(input.pressure[before].si() * step.size.exp_m1())
}

/// The gas's answer to temperature along the density of the first reading, as a straight line: the fit asks for it at
/// every reading and lag. Over 20 K either way its integral is within 3e-5 of the equation's, 0.015 psi at 500 psig.
fn kappa(gas: DryGas, first: PressureAbs, column: Option<&[f64]>) -> Result<Kappa, DryGasError> {
    const HALF_SPAN_K: f64 = 10.0;
    let start = column.map_or(293.15, |c| c[0]);
    let middle = column.map_or(start, |c| c.iter().sum::<f64>() / c.len() as f64);
    let along = |kelvin: f64| {
        let at = Temperature::from_si(kelvin);
        let pressure = gas.sealed_pressure(first, Temperature::from_si(start), at)?;
        gas.kappa(pressure, at).map(|k| (kelvin, k))
    };
    Ok(Kappa::through(
        along(middle - HALF_SPAN_K)?,
        along(middle + HALF_SPAN_K)?,
    ))
}

fn assumptions(input: &Input, criteria: &Criteria) -> Assumptions {
    let share = input
        .outdoor_share
        .map_or(Share::unknown(), |s| Share::stated(s.si()));
    Assumptions {
        unseen: unseen_part(input, criteria),
        share,
        gauge: Gauge {
            resolution_pa: input.gauge_resolution.si(),
            drift_pa_per_k: input.gauge_drift_per_kelvin.map_or(0.0, Quantity::si),
        },
    }
}

/// What no column shows: a part that was placed where no thermometer hangs, or that nobody placed, and oil.
fn unseen_part(input: &Input, criteria: &Criteria) -> Unseen {
    let stated = match (input.unlogged, &input.witness) {
        (Some(part), _) => Some(part.share.si() * part.half_swing.si()),
        (None, Some(_)) => witness::elsewhere_k(input),
        (None, None) => input.outdoor_share.map(|_| 0.0),
    };
    // a part of the volume that nobody placed may lie where no thermometer hangs, as in an attic
    let unseen = Unseen::of_field_test(1.0, stated.unwrap_or(criteria.unseen_swing.si()));
    if input.compressor {
        unseen.with_compressor()
    } else {
        unseen
    }
}

fn points(fit: &Fit) -> Vec<Point> {
    let pressure = |ln_p: f64| PressureAbs::from_si(ln_p.exp());
    fit.line
        .iter()
        .map(|p| Point {
            hours: p.hours,
            read: pressure(p.read),
            expected: pressure(p.expected),
            low: pressure(p.expected - 1.96 * p.sd),
            high: pressure(p.expected + 1.96 * p.sd),
            residual: PressureDiff::from_si(p.residual * p.read.exp()),
        })
        .collect()
}

fn hold_longer(fit: &Fit, needed: HoursNeeded, few: bool) -> HoldLonger {
    match needed {
        HoursNeeded::Decided => HoldLonger::Decided,
        HoursNeeded::Total(total) => HoldLonger::Hours((total - fit.hours).max(0.0)),
        HoursNeeded::Never(why) => HoldLonger::Never(
            match why {
                WhyNot::MoreThan72Hours => "it would take more than 72 h with these instruments: a finer gauge or a second thermometer helps more than time",
                WhyNot::GaugeTooCoarse if few => "so few readings do not tell how they scatter: read it more often, or log it",
                WhyNot::GaugeTooCoarse => "the gauge shows too few different values: read one with a finer scale",
                WhyNot::TooNearTheLimit => "the loss is too near the limit to fall on one side of it",
                WhyNot::TooManySteps => "the line set was disturbed too often during the test: start again and leave it alone",
            }
            .into(),
        ),
    }
}

/// The interval after the hours still needed; a test that only has to fill its day is not narrowed by a plan.
fn planned(fit: &Fit, longer: &HoldLonger, needs_a_day: bool, level: f64) -> Option<Planned> {
    let HoldLonger::Hours(more_hours) = *longer else {
        return None;
    };
    if needs_a_day || more_hours <= 0.0 {
        return None;
    }
    let (likely, sd) = fit.after(fit.hours + more_hours)?;
    let rate = |relative: f64| PressureRate::from_si(relative * level / 3600.0);
    Some(Planned {
        more_hours,
        low: rate(likely - 1.96 * sd),
        high: rate(likely + 1.96 * sd),
        tight: likely == 0.0,
    })
}

fn outcome(input: &Input, fit: &Fit, verdict: Verdict, moved: Moved, rig: Rig) -> Outcome {
    let emptied = fit.steps.iter().any(|s| s.size > 0.0) || fit.ignores_temperature();
    match verdict {
        Verdict::Pass if emptied || moved == Moved::Lost => Outcome::Undecided,
        // no pass, whatever the numbers say, for a test that must not be repeated like this
        Verdict::Pass if input.above_rating() || !input.gas.is_allowed() => Outcome::Undecided,
        Verdict::Pass => Outcome::Pass,
        Verdict::Fail if fit.ignores_temperature() || moved == Moved::Gained => Outcome::Undecided,
        // refrigerant follows its saturation, not the gas equation
        Verdict::Fail if input.gas == TestGas::Refrigerant => Outcome::Undecided,
        Verdict::Fail if rig == Rig::Explains => Outcome::Undecided,
        Verdict::Fail => Outcome::Fail,
        Verdict::Undecided => Outcome::Undecided,
    }
}

#[cfg(test)]
mod tests;
