//! `properties`: what a refrigerant is, and what it is like at a pressure and a temperature.

use std::path::PathBuf;
use std::process::ExitCode;

use super::args::{Atmosphere, Output, gauge_zero, refrigerant, typed};
use super::{Ran, print, write};
use crate::fluid::Refrigerant;
use crate::out::figure::{self, PressureEnthalpy, Width, pressure_enthalpy};
use crate::out::json;
use crate::out::properties::{self, Properties};
use crate::quantity::{PressureReading, Quantity, Temperature, Typed, parse_pressure};

/// What is known about a refrigerant; with a pressure, a temperature or both, its state there.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// The refrigerant, e.g. R-410A
    #[arg(value_parser = refrigerant)]
    refrigerant: Refrigerant,
    /// The pressure, gauge or absolute said, e.g. 118psig; alone: both saturated phases at it
    #[arg(long, value_parser = parse_pressure, allow_hyphen_values = true)]
    pressure: Option<Typed<PressureReading>>,
    /// The temperature, e.g. 55F; alone: both saturated phases at it
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true)]
    temperature: Option<Typed<Temperature>>,
    #[command(flatten)]
    atmosphere: Atmosphere,
    #[command(flatten)]
    output: Output,
    /// Draw the pressure-enthalpy diagram, with the state marked on it, as an SVG file
    #[arg(long, value_name = "FILE.svg")]
    diagram: Option<PathBuf>,
}

const EXAMPLES: &str = "\
Examples:
  lineproof properties R-454B
  lineproof properties R-410A --pressure 118psig --temperature 55F
  lineproof properties R-32 --temperature 45C --units si
  lineproof properties R-410A --pressure 118psig --temperature 55F --diagram R-410A.svg";

pub(super) fn run(args: Args) -> Ran {
    let found = found(&args)?;
    // the file first: a command that could not do all prints nothing
    let drawn = draw(&args, found.as_ref())?;
    print(&match (&found, args.output.json) {
        (None, true) => json::document(&json::RefrigerantFacts::from(args.refrigerant)),
        (None, false) => properties::facts(args.refrigerant, args.output.units()) + &drawn,
        (Some(found), true) => json::document(&json::RefrigerantState::of(args.refrigerant, found)),
        (Some(found), false) => text(&args, found)? + &drawn,
    });
    Ok(ExitCode::SUCCESS)
}

fn found(args: &Args) -> Result<Option<Properties>, Box<dyn std::error::Error>> {
    let barometer = args.atmosphere.barometer()?;
    let pressure = args.pressure.as_ref().map(|p| p.value.to_abs(barometer));
    let found = match (pressure.transpose()?, &args.temperature) {
        (None, None) => return Ok(None),
        (Some(pressure), None) => Properties::at_pressure(args.refrigerant, pressure)?,
        (None, Some(typed)) => Properties::at_temperature(args.refrigerant, typed.value)?,
        (Some(pressure), Some(typed)) => Properties::at(args.refrigerant, pressure, typed.value)?,
    };
    Ok(Some(found))
}

fn text(args: &Args, found: &Properties) -> Result<String, Box<dyn std::error::Error>> {
    let units = args.output.units();
    let barometer = args.atmosphere.barometer()?;
    let mut given = format!("{} at", args.refrigerant);
    if let Some(typed) = &args.pressure {
        let absolute = typed.value.to_abs(barometer)?.show(units);
        given += &format!(" {} ({absolute})", typed.text);
    }
    if let Some(typed) = &args.temperature {
        let and = if args.pressure.is_some() { " and" } else { "" };
        given += &format!("{and} {}", typed.text);
    }
    let mut out = found.text(&given, units);
    if args.pressure.as_ref().is_some_and(|p| p.value.is_gauge()) {
        out += &format!("{}.\n", gauge_zero(barometer));
    }
    Ok(out + &found.sources(args.refrigerant))
}

/// Writes the diagram if one is wanted, and says where it is.
fn draw(args: &Args, found: Option<&Properties>) -> Result<String, Box<dyn std::error::Error>> {
    let Some(path) = &args.diagram else {
        return Ok(String::new());
    };
    let units = args.output.units();
    let marks = found.map(|f| f.marks(units)).unwrap_or_default();
    let diagram = PressureEnthalpy::of(args.refrigerant, units, &marks);
    let figure = pressure_enthalpy::draw(&diagram, Width::Wide, "diagram")?;
    write(path, &figure::standing_alone(&figure))?;
    Ok(format!("The diagram is in {}.\n", path.display()))
}
