//! What a vacuum rise is judged from, as typed or logged.

use super::Args;
use crate::check::dry::standing::Standing;
use crate::check::dry::{Criteria, Input, Limit, isolate};
use crate::cli::tight::resolution;
use crate::quantity::{
    Barometer, BarometerError, LeakRate, MassRate, PressureAbs, PressureGauge, PressureRate,
    Quantity, RiseRate, parse, unit,
};
use crate::record::Vacuum;
use crate::record::logger::{self, Asked};
use crate::source::SourceId;

type Fails<T> = Result<T, Box<dyn std::error::Error>>;

/// A leak limit, before its gas is known.
#[derive(Debug, Clone, Copy)]
pub(in crate::cli) enum StatedLimit {
    Rise(RiseRate),
    Throughput(LeakRate),
    Mass(MassRate),
}

/// A rise, a leak or a mass a year.
pub(super) fn limit(text: &str) -> Result<StatedLimit, String> {
    let positive = |value: f64| match value > 0.0 {
        true => Ok(()),
        false => Err(format!(
            "{text}: a leak limit has to be above zero; type it without a sign"
        )),
    };
    if let Ok(rise) = parse::<RiseRate>(text) {
        positive(rise.value.si())?;
        return Ok(StatedLimit::Rise(rise.value));
    }
    if let Ok(leak) = parse::<LeakRate>(text) {
        positive(leak.value.si())?;
        return Ok(StatedLimit::Throughput(leak.value));
    }
    match parse::<MassRate>(text) {
        Ok(mass) => positive(mass.value.si()).map(|()| StatedLimit::Mass(mass.value)),
        Err(_) => Err(format!(
            "\"{text}\" is no leak limit; type a rise like 1micron/min, a leak like \"1e-5 Pa m3/s\" or a mass like 5g/yr"
        )),
    }
}

/// What a standing pressure test lost at most, and at what pressure.
#[derive(Debug, Clone, Copy)]
pub(in crate::cli) struct StandingTest {
    at_most: PressureRate,
    pressure: PressureGauge,
}

impl StandingTest {
    pub(super) fn of(self, barometer: Barometer) -> Result<Standing, BarometerError> {
        Ok(Standing {
            at_most: self.at_most,
            pressure: self.pressure.to_abs(barometer)?,
            outside: barometer.pressure(),
        })
    }
}

/// `LOSS@PRESSURE`.
pub(super) fn standing(text: &str) -> Result<StandingTest, String> {
    let (loss, pressure) = text.split_once('@').ok_or_else(|| {
        format!("\"{text}\" is no standing pressure test: type loss@pressure, for example 0.02psi/h@500psig")
    })?;
    let at_most = parse::<PressureRate>(loss)
        .map_err(|e| e.to_string())?
        .value;
    if at_most.si().is_nan() || at_most.si() <= 0.0 {
        return Err(format!(
            "a loss of {loss}: type the most that may have been lost, above zero"
        ));
    }
    let pressure = crate::cli::args::gauge(pressure)
        .map_err(|e| e.to_string())?
        .value;
    Ok(StandingTest { at_most, pressure })
}

/// Readings, and what to say beside the result.
pub(super) struct Readings {
    pub input: Input,
    pub notes: Vec<String>,
}

pub(super) fn readings(args: &Args, barometer: Barometer, upto: Option<u64>) -> Fails<Readings> {
    let stated = args.gauge_resolution.as_ref().map(|r| r.value);
    let shut_off = args
        .isolated_after
        .as_ref()
        .map(|t| t.value.in_unit(unit::MINUTE));
    let Some(path) = &args.log else {
        let (minutes, pressure) = typed(args, barometer)?;
        let step = resolution(stated, logger::smallest_step(&pressure))?;
        let mut notes = Vec::new();
        if stated.is_none() {
            notes.push(format!(
                "The gauge's smallest step is taken as {:.0} micron, the smallest difference between two readings: where it is finer, --gauge-resolution narrows the answer",
                step.in_unit(unit::MICRON_DIFF)
            ));
        }
        let input = Input::of(minutes, pressure, step);
        return Ok(Readings {
            input: match shut_off {
                Some(after) => from(input, after)?,
                None => input,
            },
            notes,
        });
    };
    let asked = Asked {
        upto,
        ..args.file.asked()
    };
    let log = logger::read_rise(path, &asked, barometer)?;
    let left_out = log.left_out.iter().map(|l| format!("left out: {l}"));
    let mut notes: Vec<_> = left_out.chain(log.notes).collect();
    let step = resolution(stated, log.smallest_step)?;
    let by_phase = log.phases.as_deref().and_then(|words| {
        let micron: Vec<f64> = log
            .pressure
            .iter()
            .map(|p| p.in_unit(unit::MICRON))
            .collect();
        let found = isolate::propose(&log.minutes, &micron, Some(words));
        found.into_iter().find(|p| p.by_phase)
    });
    let input = Input {
        second: log.second,
        ..Input::of(log.minutes, log.pressure, step)
    };
    let input = match (shut_off, by_phase) {
        (Some(after), _) => from(input, after)?,
        (None, Some(found)) => {
            notes.push(format!(
                "isolated from {:.2} min: {}; another time with --isolated-after",
                found.from_minute, found.why
            ));
            from(input, found.from_minute)?
        }
        (None, None) => input,
    };
    Ok(Readings { input, notes })
}

/// The readings from a time on, which becomes zero.
fn from(input: Input, after: f64) -> Result<Input, String> {
    let first = input.minutes.iter().position(|m| *m >= after - 1e-6);
    let last = input.minutes.last().copied().unwrap_or(0.0);
    let Some(first) = first.filter(|_| after >= 0.0) else {
        return Err(format!(
            "--isolated-after {after:.2} min lies outside the readings, 0 to {last:.2} min: count it from the first reading"
        ));
    };
    Ok(Input {
        minutes: input.minutes[first..].iter().map(|m| m - after).collect(),
        before_min: input.before_min + after,
        pressure: input.pressure[first..].to_vec(),
        second: input.second.map(|second| second[first..].to_vec()),
        ..input
    })
}

fn typed(args: &Args, barometer: Barometer) -> Fails<(Vec<f64>, Vec<PressureAbs>)> {
    let count = args.reading.len();
    if count < 4 {
        return Err(format!(
            "{count} readings: a vacuum rise needs --reading four times or more; from then on it says when to read next and what that buys"
        )
        .into());
    }
    let mut minutes = Vec::new();
    let mut pressure = Vec::new();
    for reading in &args.reading {
        let after = reading.after.as_ref().ok_or("a reading without a time")?;
        let Vacuum(vacuum) = reading.vacuum.value();
        minutes.push(after.value().in_unit(unit::MINUTE));
        pressure.push(vacuum.to_abs(barometer)?);
    }
    Ok((minutes, pressure))
}

/// The rules and the limit, with what there is to say about the limit.
pub(super) fn criteria(
    args: &Args,
    input: &Input,
    barometer: Barometer,
    notes: &mut Vec<String>,
) -> Fails<Criteria> {
    let mut criteria = Criteria::default();
    if let Some((rule, beside)) = args.rule.split_first() {
        (criteria.rule, criteria.beside) = (*rule, beside.to_vec());
    }
    if let Some(stated) = args.leak_limit {
        let limit = match (stated, args.refrigerant) {
            (StatedLimit::Rise(rise), _) => Limit::Rise(rise),
            (StatedLimit::Throughput(leak), _) => Limit::Throughput(leak),
            (StatedLimit::Mass(mass), Some(refrigerant)) => Limit::Refrigerant(mass, refrigerant),
            (StatedLimit::Mass(mass), None) => Limit::Air(mass),
        };
        criteria.leak_limit = limit.in_volume(input.volume, barometer.pressure())?;
        criteria.leak_source = SourceId::AsGiven;
        let rise = criteria.leak_limit.in_unit(unit::MICRON_PER_MINUTE);
        match limit {
            Limit::Rise(_) => {}
            Limit::Throughput(_) => notes.push(format!("The limit is {rise:.3} micron/min in this volume")),
            Limit::Air(_) => notes.push(format!(
                "The limit is {rise:.3} micron/min in this volume, as air that enters; with --refrigerant it would be of that"
            )),
            Limit::Refrigerant(_, refrigerant) => notes.push(format!(
                "The limit is {rise:.4} micron/min in this volume: the hole that lets so much {refrigerant} out at 45 °C, by the law of flow that makes the smallest rise"
            )),
        }
    }
    if input.volume.is_none() {
        notes.push(
            "Micron per minute are shown as read: without --volume they say nothing in grams"
                .into(),
        );
    }
    Ok(criteria)
}
