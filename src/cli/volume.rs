//! `volume`: the gas volume of a line set, from its tubes or by expansion.

use std::process::ExitCode;

use super::args::{Atmosphere, Output, gauge, typed};
use super::{Ran, print};
use crate::fluid::DryGas;
use crate::out::text::{self, Style};
use crate::out::volume::Found;
use crate::out::{json, volume as words};
use crate::physics::tube::Tube;
use crate::physics::volume::{self, Expansion, read_to};
use crate::quantity::{
    Fraction, Length, Measured, Origin, PressureDiff, PressureGauge, Quantity, Temperature, Typed,
    Volume,
};

/// Gas volume of a line set: from its tubes and its coil, or measured by letting gas expand into it.
///
/// The indoor coil is asked for, never assumed.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// Liquid line: nominal size in inches and length, e.g. 3/8,25ft; once for each run
    #[arg(long, value_name = "SIZE,LENGTH", value_parser = line)]
    liquid: Vec<(Tube, Length)>,
    /// Vapour line, e.g. 3/4,25ft; once for each run
    #[arg(long, value_name = "SIZE,LENGTH", value_parser = line)]
    vapour: Vec<(Tube, Length)>,
    /// Indoor coil, e.g. 1.1L
    #[arg(long, value_parser = typed::<Volume>, allow_hyphen_values = true)]
    coil: Option<Typed<Volume>>,
    /// Hoses and gauge, e.g. 0.08L
    #[arg(long, value_parser = typed::<Volume>, allow_hyphen_values = true)]
    hoses: Option<Typed<Volume>>,
    /// By expansion: the known volume, with its hose up to the valve, e.g. 1.0L
    #[arg(long, value_parser = typed::<Volume>, allow_hyphen_values = true, requires_all = ["from", "to"])]
    reference: Option<Typed<Volume>>,
    /// Limit of error of the known volume, as a share of it
    #[arg(long, default_value = "2 %", value_parser = typed::<Fraction>, allow_hyphen_values = true)]
    reference_limit: Typed<Fraction>,
    /// The pressure in it before, e.g. 300psig
    #[arg(long, value_parser = gauge, allow_hyphen_values = true, requires = "reference")]
    from: Option<Typed<PressureGauge>>,
    /// The pressure in both once the needle rests, e.g. 210psig
    #[arg(long, value_parser = gauge, allow_hyphen_values = true, requires = "reference")]
    to: Option<Typed<PressureGauge>>,
    /// The pressure in the line before
    #[arg(long, default_value = "0psig", value_parser = gauge, allow_hyphen_values = true)]
    line: Typed<PressureGauge>,
    /// The gauge's smallest step
    #[arg(long, default_value = "1psi", value_parser = typed::<PressureDiff>, allow_hyphen_values = true)]
    gauge_resolution: Typed<PressureDiff>,
    /// The temperature of both volumes
    #[arg(long, default_value = "68F", value_parser = typed::<Temperature>, allow_hyphen_values = true)]
    temperature: Typed<Temperature>,
    #[command(flatten)]
    atmosphere: Atmosphere,
    #[command(flatten)]
    output: Output,
}

const EXAMPLES: &str = "\
Examples:
  lineproof volume --liquid 3/8,25ft --vapour 3/4,25ft --coil 1.1L
  lineproof volume --reference 1.0L --from 300psig --to 210psig
  lineproof volume --reference 1.0L --from 300psig --to 60psig --liquid 3/8,25ft --vapour 3/4,25ft

Exit codes: 0 known; 3 the coil has to be known first; 2 could not run.";

/// `SIZE,LENGTH`.
fn line(text: &str) -> Result<(Tube, Length), String> {
    let (size, length) = text.split_once(',').ok_or_else(|| {
        format!("\"{text}\" has no length: type size and length, for example 3/8,25ft")
    })?;
    let tube = Tube::annealed(size.trim().trim_end_matches("in").trim());
    let tube = tube.map_err(|e| e.to_string())?;
    let length = typed::<Length>(length).map_err(|e| e.to_string())?;
    Ok((tube, length.value))
}

pub(super) fn run(args: Args) -> Ran {
    let barometer = args.atmosphere.barometer()?;
    let tubes: Vec<_> = args.liquid.iter().chain(&args.vapour).copied().collect();
    let expanded = match (&args.reference, &args.from, &args.to) {
        (Some(reference), Some(from), Some(to)) => {
            let step = args.gauge_resolution.value;
            let read = |p: &Typed<PressureGauge>| -> Result<_, Box<dyn std::error::Error>> {
                Ok(read_to(p.value.to_abs(barometer)?, step))
            };
            let limit = args.reference_limit.value.si() * reference.value.si();
            Some(volume::by_expansion(&Expansion {
                reference: Measured {
                    value: reference.value,
                    standard_uncertainty: Volume::from_si(limit / 3f64.sqrt()),
                    origin: Origin::Reading("reference".into()),
                },
                before: read(from)?,
                after: read(to)?,
                line: read(&args.line)?,
                gas: DryGas::Nitrogen,
                temperature: args.temperature.value,
            })?)
        }
        _ => None,
    };
    if tubes.is_empty() && expanded.is_none() {
        return Err("nothing to reckon with: give the lines like --liquid 3/8,25ft --vapour 3/4,25ft with --coil, or an expansion with --reference, --from and --to".into());
    }
    let found = Found {
        tubes: (!tubes.is_empty()).then(|| volume::of_tubes(&tubes)),
        coil: args.coil.as_ref().map(|v| volume::stated(v.value)),
        hoses: args.hoses.as_ref().map(|v| volume::stated(v.value)),
        expanded,
        temperature: args.temperature.value,
    };
    let units = args.output.units();
    if args.output.json {
        print(&json::document(&json::VolumeDocument::of(&found)));
    } else {
        print(&text::told(&words::told(&found, units), Style::Plain));
        if found.expanded.is_some() {
            print(&text::notes(&[super::args::gauge_zero(barometer)]));
        }
    }
    Ok(match found.volume() {
        Some(_) => ExitCode::SUCCESS,
        None => ExitCode::from(3),
    })
}
