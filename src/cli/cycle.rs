//! `superheat` and `subcooling`: one reading with its uncertainty.

use std::process::ExitCode;

use super::args::{Atmosphere, Output, gauge, reading, refrigerant, typed};
use super::{Ran, print};
use crate::check::run::{self, HighSide, LowSide, Reading, Surroundings, Tap, instruments};
use crate::fluid::{Refrigerant, Saturation};
use crate::out::json;
use crate::quantity::{
    Barometer, Interval, Measured, PressureAbs, PressureDiff, PressureGauge, Quantity, Temperature,
    TemperatureDiff, Typed, UnitSystem,
};

/// How good the readings are.
#[derive(Debug, clap::Args)]
struct Instruments {
    /// Limit of error of the thermometer, e.g. 1.8F
    #[arg(long, value_parser = typed::<TemperatureDiff>, allow_hyphen_values = true, default_value = super::args::thermometer_limit())]
    thermometer_limit: Typed<TemperatureDiff>,
    /// Limit of error of the gauge, e.g. 3.5psi
    #[arg(long, value_parser = typed::<PressureDiff>, allow_hyphen_values = true)]
    gauge_limit: Option<Typed<PressureDiff>>,
}

/// Superheat: suction line less dew.
///
/// Negative is a real finding: liquid returns to the compressor.
#[derive(Debug, clap::Args)]
#[command(after_help = SUPERHEAT_EXAMPLES)]
pub(super) struct SuperheatArgs {
    /// The refrigerant, e.g. R-410A
    #[arg(value_parser = refrigerant)]
    refrigerant: Refrigerant,
    /// Gauge at the suction port, e.g. 118psig
    #[arg(long, value_parser = gauge, allow_hyphen_values = true)]
    suction_pressure: Typed<PressureGauge>,
    /// Surface temperature of the suction line, e.g. 52F
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true)]
    suction_line: Typed<Temperature>,
    #[command(flatten)]
    instruments: Instruments,
    #[command(flatten)]
    atmosphere: Atmosphere,
    #[command(flatten)]
    output: Output,
}

const SUPERHEAT_EXAMPLES: &str = "\
Examples:
  lineproof superheat R-410A --suction-pressure 118psig --suction-line 52F
  lineproof superheat R-454B --suction-pressure 7.9barg --suction-line 11C --altitude 1450m --units si

In the United States attaching gauges to a charged circuit is work for certified people;
pipe probes on coil bends go into a record with: lineproof add DIR reading";

/// Subcooling: bubble less liquid line.
///
/// Means nothing when the metering device is outdoors and the unit cools: the line then carries vapour too.
#[derive(Debug, clap::Args)]
#[command(after_help = SUBCOOLING_EXAMPLES)]
pub(super) struct SubcoolingArgs {
    /// The refrigerant, e.g. R-410A
    #[arg(value_parser = refrigerant)]
    refrigerant: Refrigerant,
    /// Gauge on the high side, e.g. 355psig
    #[arg(long, value_parser = gauge, allow_hyphen_values = true)]
    liquid_pressure: Typed<PressureGauge>,
    /// Surface temperature of the liquid line, e.g. 95F
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true)]
    liquid_line: Typed<Temperature>,
    /// Pressure drop from the gauge's tap to the liquid line, e.g. 33psi when the tap is at the discharge
    #[arg(long, value_parser = typed::<PressureDiff>, allow_hyphen_values = true)]
    tap_drop: Option<Typed<PressureDiff>>,
    #[command(flatten)]
    instruments: Instruments,
    #[command(flatten)]
    atmosphere: Atmosphere,
    #[command(flatten)]
    output: Output,
}

const SUBCOOLING_EXAMPLES: &str = "\
Examples:
  lineproof subcooling R-410A --liquid-pressure 355psig --liquid-line 95F
  lineproof subcooling R-410A --liquid-pressure 388psig --tap-drop 33psi --liquid-line 95F";

impl Instruments {
    fn temperature(&self, typed: &Typed<Temperature>) -> Measured<Temperature> {
        reading("thermometer", self.thermometer_limit.value, typed.value)
    }

    fn pressure(
        &self,
        typed: &Typed<PressureGauge>,
        default: PressureDiff,
    ) -> Measured<PressureGauge> {
        reading(
            "gauge",
            self.gauge_limit.as_ref().map_or(default, |l| l.value),
            typed.value,
        )
    }
}

pub(super) fn superheat(args: SuperheatArgs) -> Ran {
    let barometer = args.atmosphere.barometer()?;
    let low = LowSide::Gauge(
        args.instruments
            .pressure(&args.suction_pressure, instruments::suction_gauge_limit()),
    );
    let line = args.instruments.temperature(&args.suction_line);
    let around = Surroundings::at(barometer, args.refrigerant);
    let found = run::superheat(args.refrigerant, &low, &line, &around)?;
    if args.output.json {
        print(&json::document(&json::Superheat {
            superheat: found.value.si(),
            standard_uncertainty: found.standard_uncertainty.si(),
        }));
    } else {
        let echo = [&args.suction_pressure.echo, &args.suction_line.echo];
        let sum = |dew: &str| format!("suction line {} less dew {dew}", args.suction_line.text);
        let mut text = told(
            "Superheat",
            sum,
            &found,
            args.output.units(),
            barometer,
            echo,
        );
        if found.value.si() < 0.0 {
            text += "Below zero: liquid may be returning to the compressor. Switch off and look at airflow and probes first.\n";
        }
        print(&(text + &advice(args.refrigerant)?));
    }
    Ok(ExitCode::SUCCESS)
}

pub(super) fn subcooling(args: SubcoolingArgs) -> Ran {
    let barometer = args.atmosphere.barometer()?;
    let tap = match &args.tap_drop {
        Some(drop) => Tap::Discharge {
            drop: Some(reading(
                "stated drop",
                PressureDiff::from_si(0.1 * drop.value.si()),
                drop.value,
            )),
        },
        None => Tap::LiquidLine,
    };
    let high = HighSide::Gauge {
        pressure: args
            .instruments
            .pressure(&args.liquid_pressure, instruments::liquid_gauge_limit()),
        tap,
    };
    let line = args.instruments.temperature(&args.liquid_line);
    let around = Surroundings::at(barometer, args.refrigerant);
    let found = run::subcooling(args.refrigerant, &high, &line, &around)?;
    if args.output.json {
        print(&json::document(&json::Subcooling {
            subcooling: found.value.si(),
            standard_uncertainty: found.standard_uncertainty.si(),
        }));
    } else {
        let echo = [&args.liquid_pressure.echo, &args.liquid_line.echo];
        let sum =
            |bubble: &str| format!("bubble {bubble} less liquid line {}", args.liquid_line.text);
        let mut text = told(
            "Subcooling",
            sum,
            &found,
            args.output.units(),
            barometer,
            echo,
        );
        if args.tap_drop.is_none() {
            text += "Taken as read at the liquid line; at a discharge tap give --tap-drop, or it comes out too large.\n";
        }
        text += "Means nothing when the metering device is outdoors and the unit cools.\n";
        print(&(text + &advice(args.refrigerant)?));
    }
    Ok(ExitCode::SUCCESS)
}

fn told(
    name: &str,
    sum: impl Fn(&str) -> String,
    found: &Reading,
    units: UnitSystem,
    barometer: Barometer,
    echoes: [&Option<String>; 2],
) -> String {
    let range = Interval::normal(found.value, found.standard_uncertainty).show(units);
    let at = found
        .pressure
        .map(|p: PressureAbs| format!(" at {}", p.show(units)))
        .unwrap_or_default();
    let saturation = format!("{}{at}", found.saturation.show(units));
    let mut text = format!("{name} {range}.\nThat is {}.\n", sum(&saturation));
    if let Some((part, share)) = found.dominant() {
        text += &format!(
            "{:.0} % of the range comes from the {part}.\n",
            100.0 * share
        );
    }
    for echo in echoes.into_iter().flatten() {
        text += &format!("{echo}.\n");
    }
    text + &format!("{}.\n", super::args::gauge_zero(barometer))
}

/// What no single reading can tell, and the table's source.
fn advice(refrigerant: Refrigerant) -> Result<String, Box<dyn std::error::Error>> {
    Ok(format!(
        "One reading says nothing about charge by itself: airflow, weather and running time come first.\nSource: {}.\n",
        Saturation::of(refrigerant).source().cite()
    ))
}
