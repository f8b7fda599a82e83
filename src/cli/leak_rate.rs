//! `leak-rate`: a loss of pressure in ounces and grams of refrigerant a year, and back.

use std::process::ExitCode;

use super::args::{Atmosphere, Output, gauge, gauge_zero, refrigerant, typed};
use super::{Ran, print};
use crate::check::tight::TestGas;
use crate::check::tight::mass::{Condition, Hole};
use crate::fluid::Refrigerant;
use crate::out::leak::{Asked, leak_told, shows_told};
use crate::out::text::{self, Style};
use crate::out::{json, told::Told};
use crate::physics::leak::reference;
use crate::quantity::{
    Mass, MassRate, PressureGauge, PressureRate, Quantity, Temperature, Typed, Volume,
};

/// What a loss of test gas would be in refrigerant a year, or what a loss of refrigerant would show on the gauge.
///
/// Nobody sees which law of flow a hole follows, so the answer is a range over three.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// The loss of pressure with temperature taken out, e.g. 0.02psi/h
    #[arg(long, value_parser = typed::<PressureRate>, allow_hyphen_values = true, required_unless_present = "mass", conflicts_with = "mass")]
    loss: Option<Typed<PressureRate>>,
    /// The other way: refrigerant lost, e.g. 5g/yr or 0.2oz/yr
    #[arg(long, value_parser = typed::<MassRate>, allow_hyphen_values = true)]
    mass: Option<Typed<MassRate>>,
    /// The test pressure, e.g. 500psig
    #[arg(long, value_parser = gauge, allow_hyphen_values = true)]
    at: Typed<PressureGauge>,
    /// The volume under test, e.g. 2L
    #[arg(long, value_parser = typed::<Volume>, allow_hyphen_values = true)]
    volume: Typed<Volume>,
    /// The refrigerant to come, e.g. R-410A
    #[arg(long, value_parser = refrigerant)]
    refrigerant: Refrigerant,
    /// The test gas: nitrogen, argon or helium
    #[arg(long, default_value = "nitrogen", value_parser = test_gas)]
    gas: TestGas,
    /// The temperature of the test gas, e.g. 70F; 68 °F when not given
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true)]
    temperature: Option<Typed<Temperature>>,
    /// The charge, e.g. 3kg: gives the share of it a year
    #[arg(long, value_parser = typed::<Mass>, allow_hyphen_values = true)]
    charge: Option<Typed<Mass>>,
    /// With --mass: when it is lost, running or idle
    #[arg(long, default_value = "running", value_parser = condition)]
    when: Condition,
    #[command(flatten)]
    atmosphere: Atmosphere,
    #[command(flatten)]
    output: Output,
}

const EXAMPLES: &str = "\
Examples:
  lineproof leak-rate --loss 0.02psi/h --at 500psig --volume 2L --refrigerant R-410A --charge 3kg
  lineproof leak-rate --mass 5g/yr --at 500psig --volume 2L --refrigerant R-410A";

fn test_gas(name: &str) -> Result<TestGas, String> {
    match TestGas::parse(name) {
        Some(gas) if gas.is_allowed() => Ok(gas),
        Some(gas) => Err(format!(
            "{} is forbidden as a test gas: nitrogen, argon or helium, dry",
            gas.word()
        )),
        None => Err(format!(
            "\"{name}\" is no test gas known here: nitrogen, argon or helium"
        )),
    }
}

fn condition(word: &str) -> Result<Condition, String> {
    match word {
        "idle" => Ok(Condition::Idle),
        "running" => Ok(Condition::Running),
        _ => Err(super::new::one_of(word, &["idle", "running"])),
    }
}

/// Above zero, or an error that says what it would have to be.
pub(super) fn positive<Q: Quantity>(name: &str, typed: &Typed<Q>) -> Result<Q, String> {
    if typed.value.si() > 0.0 {
        Ok(typed.value)
    } else {
        Err(format!(
            "{name} {}: it has to be above zero; type it without a sign",
            typed.text
        ))
    }
}

pub(super) fn run(args: Args) -> Ran {
    let units = args.output.units();
    let barometer = args.atmosphere.barometer()?;
    let asked = Asked {
        hole: Hole {
            gas: args.gas.computed_as(),
            pressure: args.at.value.to_abs(barometer)?,
            temperature: args.temperature.as_ref().map_or(reference(), |t| t.value),
            outside: barometer.pressure(),
        },
        volume: positive("--volume", &args.volume)?,
        refrigerant: args.refrigerant,
        charge: args
            .charge
            .as_ref()
            .map(|charge| positive("--charge", charge))
            .transpose()?,
    };
    let mut rests_on = args.rests_on();
    rests_on.push(gauge_zero(barometer));
    let say = |told: Told| print(&text::told(&told, Style::Plain));
    if let Some(mass) = &args.mass {
        let loss = positive("--mass", mass)?;
        let shows = asked.shows(loss, args.when)?;
        if args.output.json {
            print(&json::document(&json::LeakShowsDocument::from(&shows)));
        } else {
            say(shows_told(&asked, loss, &shows, &rests_on, units));
        }
        return Ok(ExitCode::SUCCESS);
    }
    let loss = args.loss.as_ref().expect("one of both is required");
    let leak = asked.leak(positive("--loss", loss)?)?;
    if args.output.json {
        print(&json::document(&json::LeakDocument::of(
            &leak,
            asked.charge,
        )));
    } else {
        say(leak_told(&asked, &leak, &rests_on, units));
    }
    Ok(ExitCode::SUCCESS)
}

impl Args {
    fn rests_on(&self) -> Vec<String> {
        let typed = self.mass.as_ref().map(|m| format!("{} lost", m.text));
        let typed = typed.or(self.loss.as_ref().map(|l| format!("{} lost", l.text)));
        let temperature = self.temperature.as_ref().map_or_else(
            || {
                format!(
                    "{}, as no --temperature was given",
                    reference().show(self.output.units())
                )
            },
            |t| t.text.clone(),
        );
        let mut lines = vec![format!(
            "{} from {} at {} and {temperature}, {}",
            typed.unwrap_or_default(),
            self.volume.text,
            self.at.text,
            self.gas.word()
        )];
        lines.extend(self.at.echo.clone());
        lines
    }
}
