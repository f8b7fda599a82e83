//! What `tight` judges: a log, or readings by hand; and the rig alone.

use std::path::Path;

use super::{Args, detail, resolution};
use crate::check::Segment;
use crate::check::tight::{self, Criteria, Input, RigBlank, Unlogged};
use crate::cli::args::typed;
use crate::quantity::{
    Barometer, Fraction, PressureAbs, PressureDiff, Quantity, Temperature, TemperatureDiff, unit,
};
use crate::record::logger::{self, Asked};
use crate::record::{AsTyped, TestReading};

/// Readings, and what to say of their file.
pub(super) struct Readings {
    pub input: Input,
    pub notes: Vec<String>,
}

/// `SHARE=SWING`, the swing from the coolest to the warmest hour of a day.
pub(super) fn unlogged(text: &str) -> Result<Unlogged, String> {
    let (share, swing) = text.split_once('=').ok_or_else(|| {
        format!("\"{text}\" has no swing: type the share and the swing of a day from coolest to warmest, for example \"20 %=45F\"")
    })?;
    let share = typed::<Fraction>(share).map_err(|e| e.to_string())?;
    let swing = typed::<TemperatureDiff>(swing).map_err(|e| e.to_string())?;
    if !(0.0..=80.0).contains(&swing.value.si()) {
        return Err(format!(
            "\"{}\": a day's swing lies between 0 and 144 F (80 K); type it from the coolest to the warmest hour",
            swing.text
        ));
    }
    Ok(Unlogged {
        share: share.value,
        half_swing: TemperatureDiff::from_si(0.5 * swing.value.si()),
    })
}

/// Readings with what goes with them, from a file or as typed.
pub(super) fn readings(
    args: &Args,
    barometer: Barometer,
    upto: Option<u64>,
) -> Result<Readings, Box<dyn std::error::Error>> {
    let stated = args.gauge_resolution.as_ref().map(|r| r.value);
    let Some(path) = &args.log else {
        return Ok(Readings {
            input: by_hand(&args.reading, stated, barometer)?,
            notes: Vec::new(),
        });
    };
    let asked = Asked {
        upto,
        ..args.file.asked()
    };
    read(path, &asked, stated, barometer)
}

fn read(
    path: &Path,
    asked: &Asked,
    stated: Option<PressureDiff>,
    barometer: Barometer,
) -> Result<Readings, Box<dyn std::error::Error>> {
    let log = logger::read_hold(path, asked, barometer)?;
    let step = resolution(stated, log.smallest_step)?;
    let left_out = log.left_out.iter().map(|l| format!("left out: {l}"));
    let notes = left_out.chain(log.notes).collect();
    let input = Input {
        outdoor: log.outdoor,
        indoor: log.indoor,
        witness: log.witness,
        ..Input::of(log.hours, log.pressure, step)
    };
    Ok(Readings { input, notes })
}

/// Readings as typed; a temperature counts when every reading has it.
fn by_hand(
    readings: &[TestReading],
    stated: Option<PressureDiff>,
    barometer: Barometer,
) -> Result<Input, Box<dyn std::error::Error>> {
    if readings.len() < 2 {
        return Err("1 reading: a standing pressure test needs two or more, a time apart; give --reading again".into());
    }
    let hours = readings.iter().filter_map(|r| r.after.as_ref());
    let hours: Vec<f64> = hours
        .map(|after| after.value().in_unit(unit::HOUR_DURATION))
        .collect();
    if let Some(at) = hours.windows(2).position(|pair| pair[1] <= pair[0]) {
        return Err(format!(
            "--reading {}: its time, {} h, is not after the {} h of the one before; give readings in the order they were taken, each with a time of its own",
            at + 2, hours[at + 1], hours[at]
        )
        .into());
    }
    let pressure: Result<Vec<PressureAbs>, _> = readings
        .iter()
        .map(|r| r.pressure.value().to_abs(barometer))
        .collect();
    let step = stated.ok_or("readings by hand do not show the gauge's smallest step: state it with --gauge-resolution, for example 1psi")?;
    let column = |what: &str, of: fn(&TestReading) -> &Option<AsTyped<Temperature>>| {
        let read: Vec<Temperature> = readings
            .iter()
            .filter_map(|r| of(r).as_ref())
            .map(AsTyped::value)
            .collect();
        match read.len() {
            0 => Ok(None),
            all if all == readings.len() => Ok(Some(read)),
            some => Err(format!(
                "{some} of {} readings have {what} temperature: give it with every reading, or with none",
                readings.len()
            )),
        }
    };
    Ok(Input {
        outdoor: column("an outdoor", |r| &r.outdoor)?,
        indoor: column("an indoor", |r| &r.indoor)?,
        ..Input::of(hours, pressure?, step)
    })
}

/// What the rig lost alone, judged by the same method.
pub(super) fn rig(
    args: &Args,
    input: &Input,
) -> Result<Option<RigBlank>, Box<dyn std::error::Error>> {
    let Some(path) = &args.rig_blank else {
        return Ok(None);
    };
    let asked = args.file.asked();
    let own_step = read(path, &asked, None, input.barometer);
    let alone = own_step
        .or_else(|_| read(path, &asked, Some(input.gauge_resolution), input.barometer))?
        .input;
    let alone = Input {
        gauge_drift_per_kelvin: input.gauge_drift_per_kelvin,
        outdoor_share: input.outdoor_share,
        gas: input.gas,
        barometer: input.barometer,
        covers: vec![Segment::Hoses],
        ..alone
    };
    let found = tight::assess(&alone, &Criteria::default())
        .map_err(|error| format!("{}: {error}", path.display()))?;
    let detail = detail(&found);
    let share = args.rig_share.as_ref().map(|s| s.value);
    Ok(Some(RigBlank::scaled(
        detail.loss,
        alone.pressure[0],
        input.pressure[0],
        share,
    )))
}
