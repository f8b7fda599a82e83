//! `water`: when water left in the lines boils, or ice turns to vapour.

use std::process::ExitCode;

use super::args::{Atmosphere, Output, gauge_zero, typed};
use super::{Ran, print};
use crate::fluid::water::{self, Phase, TRIPLE_PRESSURE, TRIPLE_TEMPERATURE};
use crate::out::json;
use crate::quantity::{
    Barometer, PressureAbs, PressureReading, Quantity, Temperature, Typed, Unit, UnitSystem,
    parse_vacuum, unit,
};

/// Vacuum at which water of a temperature boils, or temperature at which it boils in a vacuum; ice is named.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES, group = clap::ArgGroup::new("at").required(true).args(["pressure", "temperature"]))]
pub(super) struct Args {
    /// The vacuum, e.g. 500micron, 2Torr or "29.5 inHg vacuum"
    #[arg(long, value_parser = parse_vacuum, allow_hyphen_values = true)]
    pressure: Option<Typed<PressureReading>>,
    /// The temperature of the wet spot, e.g. 40F
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true)]
    temperature: Option<Typed<Temperature>>,
    #[command(flatten)]
    atmosphere: Atmosphere,
    #[command(flatten)]
    output: Output,
}

const EXAMPLES: &str = "\
Examples:
  lineproof water --temperature 40F
  lineproof water --pressure 500micron
  lineproof water --pressure \"29.5 inHg vacuum\" --altitude 6000ft";

pub(super) fn run(args: Args) -> Ran {
    let barometer = args.atmosphere.barometer()?;
    let units = args.output.units();
    if let Some(typed) = &args.pressure {
        let pressure = typed.value.to_abs(barometer)?;
        let (temperature, phase) = water::boiling_temperature(pressure)?;
        print(&if args.output.json {
            json::document(&json::WaterAtPressure {
                temperature: temperature.si(),
                phase: phase.word(),
            })
        } else {
            at_pressure(typed, pressure, temperature, phase, barometer, units)
        });
    }
    if let Some(typed) = &args.temperature {
        let (pressure, phase) = water::vapour_pressure(typed.value)?;
        print(&if args.output.json {
            json::document(&json::WaterAtTemperature {
                vapour_pressure: pressure.si(),
                phase: phase.word(),
            })
        } else {
            at_temperature(typed, pressure, phase, barometer, units)
        });
    }
    Ok(ExitCode::SUCCESS)
}

fn at_pressure(
    typed: &Typed<PressureReading>,
    pressure: PressureAbs,
    temperature: Temperature,
    phase: Phase,
    barometer: Barometer,
    units: UnitSystem,
) -> String {
    let others = other_units(pressure, &typed.text).join(", ");
    let at = if typed.value.is_gauge() {
        format!("{} ({others} absolute)", typed.text)
    } else {
        format!("{} ({others})", typed.text)
    };
    let t = temperature.show(units);
    let mut out = match phase {
        Phase::Liquid => format!("At {at} water boils at {t}.\n"),
        Phase::Ice => format!("At {at} there is no liquid water: ice turns to vapour at {t}.\n"),
    };
    if typed.value.is_gauge() {
        out += &hangs_on_the_atmosphere(pressure, barometer, units);
    }
    out += &format!(
        "A wall colder than {t} keeps its {} at this vacuum, whatever the pump; a warmer one dries as fast as heat reaches it.\n",
        water_or_ice(phase)
    );
    out += &below_triple_point(units);
    if typed.value.is_gauge() {
        out += &format!("{}.\n", gauge_zero(barometer));
    }
    out + &source(phase)
}

fn at_temperature(
    typed: &Typed<Temperature>,
    pressure: PressureAbs,
    phase: Phase,
    barometer: Barometer,
    units: UnitSystem,
) -> String {
    let p = three_units(pressure, units);
    let mut out = match phase {
        Phase::Liquid => format!("Water at {} boils at {p}.\n", typed.text),
        Phase::Ice => format!(
            "Water at {} is ice, and turns to vapour at {p}.\n",
            typed.text
        ),
    };
    if pressure < barometer.pressure() {
        out += &format!(
            "The vacuum has to stay below {} until a spot that cold is dry; while any {} is left there, an isolated vacuum rises to that level and stays.\n",
            in_digits(pressure, unit::MICRON, 4),
            water_or_ice(phase),
        );
    }
    if phase == Phase::Ice {
        out += &below_triple_point(units);
    }
    out += &format!(
        "On a gauge that counts from the atmosphere that is {}. {}.\n",
        on_a_gauge(pressure, barometer, units),
        gauge_zero(barometer)
    );
    out + &source(phase)
}

fn water_or_ice(phase: Phase) -> &'static str {
    match phase {
        Phase::Liquid => "water",
        Phase::Ice => "ice",
    }
}

fn below_triple_point(units: UnitSystem) -> String {
    let temperature = Temperature::from_si(TRIPLE_TEMPERATURE).show(units);
    format!(
        "Below {} ({}) all water is ice.\n",
        in_digits(PressureAbs::from_si(TRIPLE_PRESSURE), unit::MICRON, 4),
        temperature.decimals(if units == UnitSystem::Us { 3 } else { 2 })
    )
}

/// What weather alone does to a reading against the atmosphere.
fn hangs_on_the_atmosphere(
    pressure: PressureAbs,
    barometer: Barometer,
    units: UnitSystem,
) -> String {
    let half = 1.96 * barometer.standard_uncertainty().si();
    let at =
        |p: f64| water::boiling_temperature(PressureAbs::from_si(p)).map(|(t, _)| t.show(units));
    let said = match (at(pressure.si() - half), at(pressure.si() + half)) {
        (Ok(low), Ok(high)) => format!("it could be {} to {high}", low.number()),
        (Err(_), Ok(high)) => format!("it could be anything up to {high}"),
        (_, Err(_)) => "it could be anything".to_string(),
    };
    format!(
        "The atmosphere here is known within {} only, so {said}. A vacuum gauge in micron needs no atmosphere.\n",
        in_digits(PressureAbs::from_si(half), unit::TORR_ABS, 2)
    )
}

/// What a compound gauge shows: inHg of vacuum where that is the custom, else bar.
fn on_a_gauge(pressure: PressureAbs, barometer: Barometer, units: UnitSystem) -> String {
    let gauge = pressure.to_gauge(barometer);
    if gauge.si() >= 0.0 {
        return gauge.show(units).to_string();
    }
    match units {
        UnitSystem::Us => {
            let all = barometer.pressure().in_unit(unit::INHG_ABS);
            format!(
                "{:.2} inHg vacuum, with {all:.2} for all of it",
                gauge.in_unit(unit::INHG_VACUUM)
            )
        }
        UnitSystem::Si => format!("{:.3} bar gauge", gauge.in_unit(unit::BAR_GAUGE)),
    }
}

/// "6296 micron (6.296 Torr, 839.3 Pa)"; above the atmosphere as any pressure.
fn three_units(pressure: PressureAbs, units: UnitSystem) -> String {
    if pressure > Barometer::standard().pressure() {
        return pressure.show(units).to_string();
    }
    let micron = in_digits(pressure, unit::MICRON, 4);
    format!("{micron} ({})", other_units(pressure, &micron).join(", "))
}

/// In the units of vacuum gauges, but the one that a text ends with.
fn other_units(pressure: PressureAbs, text: &str) -> Vec<String> {
    let text = text.to_lowercase();
    [unit::MICRON, unit::TORR_ABS, unit::PA]
        .into_iter()
        .filter(|unit| !text.ends_with(&unit.symbol.to_lowercase()))
        .map(|unit| in_digits(pressure, unit, 4))
        .collect()
}

/// So many digits of it, or all before the point.
fn in_digits(pressure: PressureAbs, unit: Unit<PressureAbs>, digits: i32) -> String {
    let value = pressure.in_unit(unit);
    let behind = f64::from(digits - 1) - value.abs().log10().floor();
    let decimals = behind.clamp(0.0, 8.0) as usize;
    format!("{value:.decimals$} {}", unit.symbol)
}

fn source(phase: Phase) -> String {
    format!("Source: {}.\n", phase.source().cite())
}
