//! `airflow`: by the temperature rise of an electric heater.

use std::process::ExitCode;

use super::args::{Atmosphere, Output, reading, thermometer_limit, typed};
use super::{Ran, print};
use crate::check::run::Criteria;
use crate::fluid::air;
use crate::out::json;
use crate::physics::airside::{AirResult, airflow_by_rise};
use crate::quantity::{
    Barometer, Fraction, Interval, Power, Quantity, Temperature, TemperatureDiff, Typed,
    UnitSystem, VolumeFlow, unit,
};
use crate::source::SourceId;

/// Airflow from the power of an electric heater and the temperature rise that it makes.
///
/// Compressor off, the electric heater and the blower on, readings after they stand still.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// Electric power of heater and blower together, e.g. 9.6kW
    #[arg(long, value_parser = typed::<Power>, allow_hyphen_values = true)]
    power: Typed<Power>,
    /// Return air, e.g. 68F
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true)]
    return_air: Typed<Temperature>,
    /// Supply air, where the heater cannot shine on the thermometer, e.g. 97F
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true)]
    supply_air: Typed<Temperature>,
    /// Wet bulb of the return air; it matters little here
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true)]
    return_wet_bulb: Option<Typed<Temperature>>,
    /// Limit of error of the power, as a share of it
    #[arg(long, value_parser = typed::<Fraction>, allow_hyphen_values = true, default_value = "3 %")]
    power_limit: Typed<Fraction>,
    /// Limit of error of each thermometer
    #[arg(long, value_parser = typed::<TemperatureDiff>, allow_hyphen_values = true, default_value = thermometer_limit())]
    thermometer_limit: Typed<TemperatureDiff>,
    #[command(flatten)]
    atmosphere: Atmosphere,
    #[command(flatten)]
    output: Output,
}

const EXAMPLES: &str = "\
Examples:
  lineproof airflow --power 9.6kW --return-air 68F --supply-air 97F
  lineproof airflow --power 9.6kW --return-air 20C --supply-air 36C --altitude 1600m --units si";

pub(super) fn run(args: Args) -> Ran {
    let barometer = args.atmosphere.barometer()?;
    let thermometer = |typed: &Typed<Temperature>| {
        reading("thermometer", args.thermometer_limit.value, typed.value)
    };
    let power = args.power.value;
    let limit = Power::from_si(args.power_limit.value.si() * power.si());
    let wet = args.return_wet_bulb.as_ref().map(thermometer);
    let found = airflow_by_rise(
        &reading("power meter", limit, power),
        &thermometer(&args.return_air),
        &thermometer(&args.supply_air),
        wet.as_ref(),
        barometer,
    )?;
    print(&if args.output.json {
        json::document(&json::AirflowDocument::from(&found))
    } else {
        told(&args, &found, barometer)
    });
    Ok(ExitCode::SUCCESS)
}

fn told(args: &Args, found: &AirResult<VolumeFlow>, barometer: Barometer) -> String {
    let units = args.output.units();
    let range = Interval::normal(found.value, found.standard_uncertainty).show(units);
    let rise = (args.supply_air.value - args.return_air.value).show(units);
    let mut text = format!(
        "Airflow {range}.\nThat is {} warming return air of {} by {rise}.\n",
        args.power.text, args.return_air.text
    );
    if let Some((name, share)) = found.dominant {
        text += &format!(
            "{:.0} % of the range comes from the {name}.\n",
            100.0 * share
        );
    }
    text += &format!("{}.\n", enough_for(found.value, units));
    text += "It holds with the compressor off, for this blower speed and as dry as the coil is now; a wet coil lets less through. It says nothing about charge.\n";
    text += &format!(
        "{}.\nSource: {}; {}.\n",
        atmosphere(barometer),
        SourceId::AirflowByRise.cite(),
        air::SOURCE.cite()
    );
    text
}

/// The capacity that so much air is enough for.
fn enough_for(flow: VolumeFlow, units: UnitSystem) -> String {
    let criteria = Criteria::default();
    let tons = flow.si() / criteria.least_airflow_per_ton.si();
    let capacity = match units {
        UnitSystem::Us => format!("{tons:.1} tons"),
        UnitSystem::Si => Power::of(tons, unit::TON).show(units).to_string(),
    };
    format!(
        "At {} for each ton (12,000 Btu/h) that is enough for a rated capacity of {capacity}; {}",
        criteria.least_airflow_per_ton.show(units),
        criteria.charge_source.cite()
    )
}

fn atmosphere(barometer: Barometer) -> String {
    let source = barometer
        .source()
        .map(|s| format!("; {}", s.cite()))
        .unwrap_or_default();
    format!("Atmosphere taken as {}{source}", barometer.words())
}
