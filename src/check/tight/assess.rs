//! The verdict of the standing pressure test.

use super::criteria::{CodeRule, Criteria, Limit};
use super::detail::{CodeRuleResult, Detail, HoldLonger, Outlier, Point, Step};
use super::input::Input;
use super::mass;
use super::method::{
    self, Assumptions, Fit, FitError, Gauge, HoursNeeded, Kappa, Series, Share, Unseen, WhyNot,
};
use super::sentences::{reasons_of, unseen};
use crate::check::{Finding, NamedInterval, Outcome, Stage};
use crate::fluid::{DryGas, DryGasError};
use crate::quantity::{
    Dimension, Interval, PressureAbs, PressureDiff, PressureRate, Quantity, Temperature,
    TemperatureDiff, unit,
};
use crate::source::SourceId;
use crate::stats::decision::{self, Verdict};
use crate::stats::mixture::Mixture;

/// Why readings cannot be judged at all.
#[derive(Debug, thiserror::Error)]
pub enum TightError {
    /// The regression refuses them.
    #[error(transparent)]
    Fit(#[from] FitError),
    /// Outside the use of the gas's equation here.
    #[error("standing pressure test: {0}")]
    Gas(#[from] DryGasError),
}

/// Judges a standing pressure test.
///
/// `ln p = a + b t + sum_i w_i integral(kappa d ln T_i)` with the real gas's `kappa = (T/p)(dp/dT)_rho`; the loss is
/// `-b p`. One rule: *fail* P(loss > L) > 0.95, *pass* P(loss < L) > 0.95, else *undecided*; beside it whether a loss
/// above zero is seen. A *fail* in less than a day has to survive a daily swing of 1 K that no thermometer saw.
///
/// Departures: air and oxygen are computed as nitrogen, under a reason that stops the test.
///
/// Source: method of this program; verdict rule JCGM 106:2012; the gas by its reference equation ([`DryGas`]).
pub fn assess(input: &Input, criteria: &Criteria) -> Result<Finding, TightError> {
    let ln_p: Vec<f64> = input.pressure.iter().map(|p| p.si().ln()).collect();
    let kelvin = |column: &Option<Vec<Temperature>>| {
        column
            .as_ref()
            .map(|c| c.iter().map(|t| t.si()).collect::<Vec<_>>())
    };
    let (outdoor, indoor) = (kelvin(&input.outdoor), kelvin(&input.indoor));
    let (first, last) = (input.pressure[0], input.pressure[input.pressure.len() - 1]);
    let series = Series {
        outdoor_k: outdoor.as_deref(),
        indoor_k: indoor.as_deref(),
        ..Series::pressure_only(
            &input.hours,
            &ln_p,
            kappa(
                input.gas.computed_as(),
                first,
                outdoor.as_deref().or(indoor.as_deref()),
            )?,
        )
    };
    let assumed = assumptions(input, criteria);
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
    let against_limit = |loss: &Mixture| match (criteria.limit, &input.volume) {
        (Limit::Mass(_), Some(volume)) => mass::with_volume(loss, volume),
        _ => loss.clone(),
    };
    let counted = against_limit(&fit.loss);
    let mut judged = decision::judge(&counted, relative_limit);
    let mut needs_a_day = false;
    if judged.verdict == Verdict::Fail && fit.hours < 24.0 {
        let unseen = assumed.unseen.with_daily_wave(
            assumed
                .unseen
                .daily_wave_k
                .max(criteria.short_test_swing.si()),
        );
        let wide = method::fit(&series, &Assumptions { unseen, ..assumed })?;
        if decision::judge(&against_limit(&wide.loss), relative_limit).verdict != Verdict::Fail {
            judged.verdict = Verdict::Undecided;
            needs_a_day = true;
        }
    }

    let rate = |relative: f64| PressureRate::from_si(relative * level / 3600.0);
    let range = fit.loss.interval(0.95);
    let loss = [
        rate(fit.loss.quantile(0.5)),
        rate(range.low),
        rate(range.high),
    ];
    let points = points(&fit);
    let against_expected = points.last().map_or(0.0, |p| p.read.si() - p.expected.si());
    let detail = Detail {
        loss,
        limit,
        above_limit: judged.above_limit,
        leak_seen: judged.leak_seen(),
        hold_longer: hold_longer(&fit, relative_limit, judged.verdict, needs_a_day),
        code_rule: code_rule(input, &loss, criteria.code_rule),
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
                size: PressureDiff::from_si(s.size * level),
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
        barometer: input.barometer,
    };
    let outcome = outcome(input, &fit, judged.verdict);
    let mut reasons = reasons_of(input, criteria, &fit, &detail, outcome, needs_a_day);
    let passes_to = rate(counted.quantile(decision::SURE));
    reasons.extend(mass::reasons_of(
        input, criteria, &detail, outcome, passes_to, middle,
    ));
    Ok(Finding {
        stage: Stage::Tight,
        covers: input.covers.clone(),
        outcome,
        reasons,
        figures: vec![NamedInterval {
            name: "pressure loss",
            interval: Interval {
                estimate: loss[0].si(),
                low: loss[1].si(),
                high: loss[2].si(),
                dimension: Dimension::PressureRate,
            },
            source: SourceId::TightMethod,
        }],
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
    // a part of the volume that nobody placed may lie where no thermometer hangs, as in an attic
    let swing = if input.outdoor_share.is_some() {
        0.0
    } else {
        criteria.unseen_swing.si()
    };
    Assumptions {
        share,
        gauge: Gauge {
            resolution_pa: input.gauge_resolution.si(),
            drift_pa_per_k: input.gauge_drift_per_kelvin.map_or(0.0, Quantity::si),
        },
        unseen: Unseen::of_field_test(1.0, swing),
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

fn hold_longer(fit: &Fit, relative_limit: f64, verdict: Verdict, needs_a_day: bool) -> HoldLonger {
    if verdict != Verdict::Undecided {
        return HoldLonger::Decided;
    }
    if needs_a_day {
        return HoldLonger::Hours(24.0 - fit.hours);
    }
    match fit.hours_needed(relative_limit) {
        HoursNeeded::Decided => HoldLonger::Decided,
        HoursNeeded::Total(total) => HoldLonger::Hours((total - fit.hours).max(0.0)),
        HoursNeeded::Never(why) => HoldLonger::Never(
            match why {
                WhyNot::MoreThan72Hours => "it would take more than 72 h with these instruments: a finer gauge or a second thermometer helps more than time",
                WhyNot::GaugeTooCoarse => "the gauge shows too few different values: read one with a finer scale",
                WhyNot::TooNearTheLimit => "the loss is too near the limit to fall on one side of it",
                WhyNot::TooManySteps => "the line set was disturbed too often during the test: start again and leave it alone",
            }
            .into(),
        ),
    }
}

/// The first reading against the reading at the rule's time, in steps of the gauge; corrected, against the fitted loss.
fn code_rule(input: &Input, loss: &[PressureRate; 3], rule: CodeRule) -> CodeRuleResult {
    let hold_h = rule.hold.in_unit(unit::HOUR_DURATION);
    let Some(at) = input
        .hours
        .iter()
        .position(|h| h - input.hours[0] >= hold_h - 1e-6)
    else {
        return CodeRuleResult {
            as_written: None,
            corrected: None,
        };
    };
    let half_step = 0.5 * input.gauge_resolution.si();
    let drop = input.pressure[0].si() - input.pressure[at].si();
    let surely_lost = loss[1].si() * rule.hold.si();
    CodeRuleResult {
        as_written: Some(drop < half_step),
        corrected: Some(surely_lost < half_step),
    }
}

fn outcome(input: &Input, fit: &Fit, verdict: Verdict) -> Outcome {
    let emptied = fit.steps.iter().any(|s| s.size > 0.0) || fit.ignores_temperature();
    match verdict {
        Verdict::Pass if emptied => Outcome::Undecided,
        // no pass, whatever the numbers say, for a test that must not be repeated like this
        Verdict::Pass if input.above_rating() || !input.gas.is_allowed() => Outcome::Undecided,
        Verdict::Pass => Outcome::Pass,
        Verdict::Fail if fit.ignores_temperature() => Outcome::Undecided,
        Verdict::Fail => Outcome::Fail,
        Verdict::Undecided => Outcome::Undecided,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::tight::TestGas;
    use crate::quantity::Fraction;

    fn kelvin(t: f64) -> Temperature {
        Temperature::from_si(t)
    }

    #[test]
    fn the_line_stands_for_the_equation() {
        for gas in DryGas::ALL {
            for (bar, middle) in [
                (11.3, 293.15),
                (35.5, 293.15),
                (35.5, 258.15),
                (50.0, 308.15),
            ] {
                let first = PressureAbs::of(bar, unit::BAR_ABS);
                let line = kappa(gas, first, Some(&[middle])).unwrap();
                let density = gas.density(first, kelvin(middle)).unwrap();
                for away in [-20.0, -5.0, 10.0, 20.0] {
                    let exact = gas
                        .kappa_integral(density, kelvin(middle), kelvin(middle + away))
                        .unwrap();
                    let off = line.integral(middle, middle + away) - exact;
                    assert!(
                        off.abs() < 3e-5,
                        "{gas} {bar} bar {middle} K {away} K: {off}"
                    );
                }
            }
        }
    }

    /// A tight day, with every gas's own answer to a swing of 16 K.
    fn day(gas: TestGas, behaves: DryGas) -> Finding {
        let hours: Vec<f64> = (0..=72).map(|i| f64::from(i) / 3.0).collect();
        let temperatures: Vec<Temperature> = hours
            .iter()
            .map(|h| kelvin(293.15 + 8.0 * (h * std::f64::consts::TAU / 24.0).sin()))
            .collect();
        let first = PressureAbs::of(35.5, unit::BAR_ABS);
        let pressure = temperatures
            .iter()
            .map(|t| behaves.sealed_pressure(first, temperatures[0], *t).unwrap())
            .collect();
        let input = Input {
            outdoor: Some(temperatures.clone()),
            indoor: Some(temperatures),
            outdoor_share: Some(Fraction::from_si(1.0)),
            gas,
            ..Input::of(hours, pressure, PressureDiff::of(0.1, unit::PSI_DIFF))
        };
        assess(&input, &Criteria::default()).unwrap()
    }

    #[test]
    fn each_dry_gas_passes_by_its_own_equation() {
        for (gas, behaves) in [
            (TestGas::Nitrogen, DryGas::Nitrogen),
            (TestGas::Argon, DryGas::Argon),
            (TestGas::Helium, DryGas::Helium),
        ] {
            let finding = day(gas, behaves);
            assert_eq!(finding.outcome, Outcome::Pass, "{behaves}");
            assert!(finding.reasons.iter().any(|r| r.source == behaves.source()));
        }
    }

    #[test]
    fn air_and_oxygen_never_pass() {
        for gas in [TestGas::Air, TestGas::Oxygen] {
            assert_eq!(day(gas, DryGas::Nitrogen).outcome, Outcome::Undecided);
        }
    }
}
