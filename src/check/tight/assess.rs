//! The verdict of the standing pressure test.

use super::criteria::{CodeRule, Criteria};
use super::detail::{CodeRuleResult, Detail, HoldLonger, Point};
use super::input::{Input, TestGas};
use super::method::{
    self, Assumptions, Fit, FitError, Gauge, HoursNeeded, Kappa, Series, Share, Unseen, WhyNot,
};
use super::reasons::{self, method as says};
use crate::check::{Finding, NamedInterval, Outcome, Reason, Stage};
use crate::fluid::nitrogen::{self, NitrogenError};
use crate::quantity::{
    Dimension, Interval, PressureAbs, PressureDiff, PressureRate, Quantity, Temperature, unit,
};
use crate::source::SourceId;
use crate::stats::decision::{self, Verdict};

/// Why readings cannot be judged at all.
#[derive(Debug, thiserror::Error)]
pub enum TightError {
    /// The regression refuses them.
    #[error(transparent)]
    Fit(#[from] FitError),
    /// Outside the nitrogen equation's use here.
    #[error("standing pressure test: {0}")]
    Nitrogen(#[from] NitrogenError),
}

/// Below this gauge pressure the weather's change of the atmosphere is more than a thousandth of it.
const LOW_GAUGE_PRESSURE: f64 = 10e5;
/// Half of a usual day's swing outdoors, for lines whose outdoor temperature nobody read (common practice, no source).
const OUTDOOR_HALF_SWING_K: f64 = 5.0;

/// Judges a standing pressure test.
///
/// `ln p = a + b t + sum_i w_i integral(kappa d ln T_i)` with real nitrogen's `kappa = (T/p)(dp/dT)_rho`; the loss is
/// `-b p`. One rule: *fail* P(loss > L) > 0.95, *pass* P(loss < L) > 0.95, else *undecided*; beside it whether a loss
/// above zero is seen. A *fail* in less than a day has to survive a daily swing of 1 K that no thermometer saw.
///
/// Departures: air and oxygen are computed as nitrogen, under a reason that stops the test.
///
/// Source: method of this program; verdict rule JCGM 106:2012; nitrogen by Span et al. 2000.
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
            kappa(first, outdoor.as_deref().or(indoor.as_deref()))?,
        )
    };
    let assumed = assumptions(input, criteria);
    let fit = method::fit(&series, &assumed)?;

    // the pressure of the middle of the test turns a relative loss into a loss of pressure
    let level = (0.5 * (ln_p[0] + ln_p[ln_p.len() - 1])).exp();
    let limit = criteria.limit.at(PressureAbs::from_si(level));
    let relative_limit = limit.si() * 3600.0 / level;
    let mut judged = decision::judge(&fit.loss, relative_limit);
    let mut needs_a_day = false;
    if judged.verdict == Verdict::Fail && fit.hours < 24.0 {
        let unseen = assumed.unseen.with_daily_wave(
            assumed
                .unseen
                .daily_wave_k
                .max(criteria.short_test_swing.si()),
        );
        let wide = method::fit(&series, &Assumptions { unseen, ..assumed })?;
        if decision::judge(&wide.loss, relative_limit).verdict != Verdict::Fail {
            judged.verdict = Verdict::Undecided;
            needs_a_day = true;
        }
    }

    let rate = |relative: f64| PressureRate::from_si(relative * level / 3600.0);
    let range = fit.loss.interval(0.95);
    let loss = [rate(fit.loss.mean()), rate(range.low), rate(range.high)];
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
        points,
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
    let reasons = reasons_of(input, criteria, &fit, &detail, outcome, needs_a_day);
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
        unseen: unseen(input, &detail, criteria),
        detail: crate::check::Detail::Tight(Box::new(detail)),
    })
}

/// Nitrogen's answer to temperature at the density of the first reading, as a straight line about its temperature.
fn kappa(first: PressureAbs, column: Option<&[f64]>) -> Result<Kappa, NitrogenError> {
    let middle = column.map_or(293.15, |c| c.iter().sum::<f64>() / c.len() as f64);
    let at = |t: f64| nitrogen::kappa(first, Temperature::from_si(t)).map(|k| (t, k));
    Ok(Kappa::through(
        at((middle - 10.0).max(233.0))?,
        at((middle + 10.0).min(343.0))?,
    ))
}

fn assumptions(input: &Input, criteria: &Criteria) -> Assumptions {
    let share = input
        .outdoor_share
        .map_or(Share::unknown(), |s| Share::stated(s.si()));
    let swing = criteria.unseen_swing.si();
    let outdoors = if input.outdoor.is_none() {
        share.outdoors * OUTDOOR_HALF_SWING_K
    } else {
        0.0
    };
    let indoors = if input.indoor.is_none() {
        (1.0 - share.outdoors) * swing
    } else {
        0.0
    };
    let where_unknown = if input.outdoor_share.is_none() {
        swing
    } else {
        0.0
    };
    let wave = (outdoors + indoors).max(where_unknown);
    Assumptions {
        share,
        gauge: Gauge {
            resolution_pa: input.gauge_resolution.si(),
            drift_pa_per_k: input.gauge_drift_per_kelvin.map_or(0.0, Quantity::si),
        },
        unseen: Unseen::of_field_test(1.0, wave),
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
        Verdict::Pass if over_rating(input) => Outcome::Undecided,
        Verdict::Pass => Outcome::Pass,
        Verdict::Fail if fit.ignores_temperature() => Outcome::Undecided,
        Verdict::Fail => Outcome::Fail,
        Verdict::Undecided => Outcome::Undecided,
    }
}

fn over_rating(input: &Input) -> bool {
    input.rated.is_some_and(|rated| {
        input
            .pressure
            .iter()
            .any(|p| p.to_gauge(input.barometer) > rated)
    })
}

fn reasons_of(
    input: &Input,
    criteria: &Criteria,
    fit: &Fit,
    detail: &Detail,
    outcome: Outcome,
    needs_a_day: bool,
) -> Vec<Reason> {
    let units = input.units;
    let rate = |r: PressureRate| r.show(units).to_string();
    let range = Interval {
        estimate: detail.loss[0].si(),
        low: detail.loss[1].si(),
        high: detail.loss[2].si(),
        dimension: Dimension::PressureRate,
    }
    .show(units);
    let limit = format!("{} ({})", rate(detail.limit), criteria.limit.name());
    let mut out = Vec::new();
    if input.gas != TestGas::Nitrogen {
        let text = format!(
            "{} was used as the test gas: it is forbidden, let it out slowly and do not go on",
            input.gas.word()
        );
        out.push(Reason::new(reasons::WRONG_GAS, SourceId::Ashrae15Gas, text));
    }
    if over_rating(input)
        && let Some(rated) = input.rated
    {
        let text = format!(
            "the test pressure went above the lowest rating, {}: let it down",
            rated.show(units)
        );
        out.push(Reason::new(
            reasons::OVER_RATING,
            SourceId::UnitInstructions,
            text,
        ));
    }
    if fit.ignores_temperature() {
        let text = "the temperature moved and the pressure did not follow: this was no closed volume, or the gauge was not connected to it".into();
        out.push(says(reasons::NOT_FOLLOWING, text));
    }
    out.push(match outcome {
        Outcome::Pass => says(
            reasons::WITHIN_LIMIT,
            format!("loss {range}: below the limit of {limit}"),
        ),
        Outcome::Fail => says(
            reasons::ABOVE_LIMIT,
            format!("loss {range}: above the limit of {limit}"),
        ),
        _ => says(
            reasons::NOT_PROVEN,
            format!("not proven yet: loss {range}; the limit is {limit}"),
        ),
    });
    if needs_a_day {
        let text = format!(
            "it looks like a loss, but a swing of {} with the day in gas that no thermometer saw could do the same: hold a full day",
            criteria.short_test_swing.show(units)
        );
        out.push(says(reasons::NEEDS_A_DAY, text));
    }
    if detail.leak_seen && outcome != Outcome::Fail {
        let text = format!(
            "a leak is seen all the same, about {}: soap every joint again",
            rate(detail.loss[0])
        );
        out.push(says(reasons::LEAK_SEEN, text));
    }
    match &detail.hold_longer {
        HoldLonger::Hours(h) => out.push(says(
            reasons::HOLD_LONGER,
            format!("about {h:.0} h more should decide"),
        )),
        HoldLonger::Never(why) => out.push(says(
            reasons::HOLD_LONGER,
            format!("holding longer would not decide: {why}"),
        )),
        HoldLonger::Decided => {}
    }
    if input.outdoor.is_some() || input.indoor.is_some() {
        let text = format!(
            "the reading moved by {}; temperature explains all but {} of it",
            detail.change.show(units),
            detail.against_expected.show(units)
        );
        out.push(Reason::new(
            reasons::TEMPERATURE_EXPLAINS,
            SourceId::Span2000,
            text,
        ));
    } else {
        let text = "no temperature was read: the loss could be hidden or imitated by the day's swing; log the temperature where the lines run".into();
        out.push(says(reasons::NO_TEMPERATURE, text));
    }
    out.extend(disturbances(input, fit));
    out.push(code_reason(criteria.code_rule, detail.code_rule));
    out
}

fn disturbances(input: &Input, fit: &Fit) -> Vec<Reason> {
    let mut out = Vec::new();
    for step in &fit.steps {
        let size = PressureDiff::from_si(step.size * input.pressure[0].si()).show(input.units);
        out.push(if step.size > 0.0 {
            says(reasons::ROSE, format!("at {:.1} h the pressure rose by {size} at once: was gas added? start the test again", step.hours))
        } else {
            says(reasons::STEP, format!("at {:.1} h the pressure changed by {size} at once: a valve or a hose was moved; that part is left out of the loss", step.hours))
        });
    }
    if fit.coarse_gauge {
        let text = format!(
            "the gauge showed {} different values in all: too coarse, the interval is widened for it",
            fit.distinct_readings
        );
        out.push(says(reasons::COARSE_GAUGE, text));
    }
    if !fit.outliers.is_empty() {
        out.push(says(
            reasons::OUTLIERS,
            format!(
                "{} readings that stand alone were left out",
                fit.outliers.len()
            ),
        ));
    }
    if fit
        .late_change
        .as_ref()
        .is_some_and(|change| change.above(0.0) > 0.99 && fit.loss.above(0.0) > 0.95)
    {
        out.push(says(
            reasons::LATE_LEAK,
            "the second half loses more than the first: something may have opened during the test"
                .into(),
        ));
    }
    if input.pressure[0].to_gauge(input.barometer).si() < LOW_GAUGE_PRESSURE {
        let text = "at such a low pressure the weather moves the gauge as much as a small leak does; test higher, up to the nameplate's test pressure".into();
        out.push(says(reasons::LOW_PRESSURE, text));
    }
    out
}

fn code_reason(rule: CodeRule, result: CodeRuleResult) -> Reason {
    let minutes = rule.hold.in_unit(unit::MINUTE);
    let asks = format!(
        "{} (no decrease on the gauge in {minutes:.0} min)",
        rule.name
    );
    let (code, text) = match (result.as_written, result.corrected) {
        (Some(true), Some(true)) => (
            reasons::CODE_RULE_MET,
            format!("{asks} is met as written and with temperature taken out"),
        ),
        (Some(false), Some(true)) => (
            reasons::CODE_RULE_MET,
            format!(
                "{asks} is met with temperature taken out; as written it is not, since the gas cooled"
            ),
        ),
        (_, Some(false)) => (
            reasons::CODE_RULE_NOT_MET,
            format!("{asks} is not met, also with temperature taken out"),
        ),
        _ => (
            reasons::CODE_RULE_SHORT,
            format!("{asks} cannot be judged: the test was shorter"),
        ),
    };
    Reason::new(code, rule.source, text)
}

fn unseen(input: &Input, detail: &Detail, criteria: &Criteria) -> Vec<String> {
    let mut out = vec![
        format!(
            "A loss below {} would not have been seen.",
            detail.loss[2].show(input.units)
        ),
        "A leak that opens only at running temperature, under vibration or with the fan on.".into(),
        "Which joint it is: soap and a detector find the place, this test only the sum.".into(),
    ];
    if !input.covers.is_empty() {
        let left: Vec<_> = crate::check::Segment::ALL
            .iter()
            .filter(|s| **s != crate::check::Segment::Hoses && !input.covers.contains(s))
            .map(|s| s.word())
            .collect();
        if !left.is_empty() {
            out.push(format!(
                "Anything in {}: it was not under pressure.",
                left.join(", ")
            ));
        }
    }
    if input.gauge_drift_per_kelvin.is_none() {
        out.push("The gauge's own drift with temperature, as its full scale was not given.".into());
    }
    let allowed = assumptions(input, criteria).unseen.daily_wave_k;
    out.push(format!(
        "A part of the volume that swings with the day by much more than {} where no thermometer hung.",
        crate::quantity::TemperatureDiff::from_si(allowed).show(input.units)
    ));
    out
}
