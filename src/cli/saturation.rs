//! `saturation`: bubble and dew of a refrigerant.

use std::process::ExitCode;

use super::args::{Atmosphere, Output, refrigerant, typed};
use super::{Ran, print};
use crate::fluid::{Refrigerant, Saturation};
use crate::out::json;
use crate::quantity::{
    Barometer, PressureAbs, PressureReading, Quantity, Temperature, Typed, UnitSystem,
    parse_pressure,
};

/// Bubble and dew temperature at a pressure, or bubble and dew pressure at a temperature.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES, group = clap::ArgGroup::new("at").required(true).args(["pressure", "temperature"]))]
pub(super) struct Args {
    /// The refrigerant, e.g. R-410A
    #[arg(value_parser = refrigerant)]
    refrigerant: Refrigerant,
    /// The pressure, gauge or absolute said, e.g. 118psig or "8.1 bar abs"
    #[arg(long, value_parser = parse_pressure, allow_hyphen_values = true)]
    pressure: Option<Typed<PressureReading>>,
    /// The temperature, e.g. 40F
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true)]
    temperature: Option<Typed<Temperature>>,
    #[command(flatten)]
    atmosphere: Atmosphere,
    #[command(flatten)]
    output: Output,
}

const EXAMPLES: &str = "\
Examples:
  lineproof saturation R-410A --pressure 118psig
  lineproof saturation R-410A --pressure 118psig --altitude 6000ft
  lineproof saturation R-454B --temperature 5C --units si";

pub(super) fn run(args: Args) -> Ran {
    let table = Saturation::of(args.refrigerant);
    let barometer = args.atmosphere.barometer()?;
    let units = args.output.units();
    if let Some(typed) = &args.pressure {
        let pressure = typed.value.to_abs(barometer)?;
        let bubble = table.bubble_temperature(pressure)?;
        let dew = table.dew_temperature(pressure)?;
        print(&if args.output.json {
            json::document(&json::SaturationAtPressure {
                bubble: bubble.si(),
                dew: dew.si(),
            })
        } else {
            at_pressure(&args, table, typed, pressure, [bubble, dew], barometer)
        });
    }
    if let Some(typed) = &args.temperature {
        let bubble = table.bubble_pressure(typed.value)?;
        let dew = table.dew_pressure(typed.value)?;
        print(&if args.output.json {
            json::document(&json::SaturationAtTemperature {
                bubble: bubble.si(),
                dew: dew.si(),
            })
        } else {
            at_temperature(&args, table, typed, [bubble, dew], barometer, units)
        });
    }
    Ok(ExitCode::SUCCESS)
}

fn at_pressure(
    args: &Args,
    table: &Saturation,
    typed: &Typed<PressureReading>,
    pressure: PressureAbs,
    [bubble, dew]: [Temperature; 2],
    barometer: Barometer,
) -> String {
    let units = args.output.units();
    let name = args.refrigerant.name();
    let at = format!("{} ({})", typed.text, absolute(pressure, units));
    let mut out = if is_one(bubble.si(), dew.si(), 0.005) {
        format!("{name} boils at {} at {at}.\n", bubble.show(units))
    } else {
        format!(
            "{name} at {at}: bubble {}, dew {}, glide {}.\nSubcooling is counted from bubble, superheat from dew.\n",
            bubble.show(units),
            dew.show(units),
            (dew - bubble).show(units).decimals(2)
        )
    };
    if typed.value.is_gauge() {
        out += &format!("{}.\n", super::args::gauge_zero(barometer));
    }
    out + &foot(table)
}

fn at_temperature(
    args: &Args,
    table: &Saturation,
    typed: &Typed<Temperature>,
    [bubble, dew]: [PressureAbs; 2],
    barometer: Barometer,
    units: UnitSystem,
) -> String {
    let name = args.refrigerant.name();
    let both = |p: PressureAbs| {
        format!(
            "{} ({})",
            p.to_gauge(barometer).show(units),
            absolute(p, units)
        )
    };
    let mut out = if is_one(bubble.si(), dew.si(), 1.0) {
        format!(
            "{name} at {} is saturated at {}.\n",
            typed.text,
            both(bubble)
        )
    } else {
        format!(
            "{name} at {}: bubble {}, dew {}.\n",
            typed.text,
            both(bubble),
            both(dew)
        )
    };
    out += &format!("{}.\n", super::args::gauge_zero(barometer));
    out + &foot(table)
}

/// An absolute pressure with the word said, in every unit system.
fn absolute(pressure: PressureAbs, units: UnitSystem) -> String {
    pressure.show(units).to_string()
}

/// Pure fluids have one temperature at a pressure.
fn is_one(a: f64, b: f64, within: f64) -> bool {
    (a - b).abs() < within
}

fn foot(table: &Saturation) -> String {
    format!(
        "The table's own uncertainty is {:.1} % of the pressure. Source: {}.\n",
        100.0 * table.model_uncertainty().si(),
        table.source().cite()
    )
}
