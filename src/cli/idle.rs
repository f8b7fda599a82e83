//! `idle`: how much air could be inside, from the pressure at rest.

use std::process::ExitCode;
use std::sync::LazyLock;

use super::args::{
    Atmosphere, Output, gauge, gauge_zero, reading, refrigerant, thermometer_limit, typed, word,
};
use super::{Ran, print};
use crate::check::charge::idle::{Idle, Rest, idle};
use crate::check::run::instruments;
use crate::fluid::Refrigerant;
use crate::out::text::{self, Style};
use crate::out::{json, told};
use crate::quantity::{
    Duration, Fraction, Measured, PressureAbs, PressureDiff, PressureGauge, Quantity, Temperature,
    TemperatureDiff, Typed, Volume, unit,
};
use crate::record::{Answer, Position};

/// Air at rest: what stands above saturation at the coil's temperature could be air.
///
/// It gives the most air that could be inside; it never clears. Never after a pump-down, and an opening without
/// evacuation afterwards decides by itself.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// The refrigerant on the nameplate, e.g. R-410A
    #[arg(value_parser = refrigerant)]
    refrigerant: Refrigerant,
    /// Was the refrigerant pumped down into the outdoor unit? yes, no, not-known (counts as yes)
    #[arg(long, value_parser = word!(Answer))]
    after_pump_down: Answer,
    /// Since the circuit was last opened, was it evacuated? yes, no, never-opened, not-known (counts as no)
    #[arg(long, value_parser = Opening::read)]
    evacuated_since_opened: Opening,
    /// The gauge at rest, e.g. 243psig; who may attach one to a charged circuit is the place's law
    #[arg(long, value_parser = gauge, allow_hyphen_values = true)]
    pressure: Option<Typed<PressureGauge>>,
    /// The outdoor coil, by a probe on a bend out of the sun, e.g. 81F
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true, required_unless_present = "outdoor")]
    coil: Option<Typed<Temperature>>,
    /// The air that its fan draws, in the shade, e.g. 80F
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true)]
    outdoor: Option<Typed<Temperature>>,
    /// Compressor off, and only the outdoor fan runs: yes, no, not-known
    #[arg(long, default_value = "not-known", value_parser = word!(Answer))]
    fan_only: Answer,
    /// Both service valves: open or shut; not known when not given
    #[arg(long, value_parser = word!(Position))]
    valves: Option<Position>,
    /// For how long nothing has moved, e.g. 30min
    #[arg(long, value_parser = typed::<Duration>, allow_hyphen_values = true)]
    settled_for: Option<Typed<Duration>>,
    /// Volume that vapour fills, e.g. 4L: turns pressure into grams of air
    #[arg(long, value_parser = typed::<Volume>, allow_hyphen_values = true)]
    volume: Option<Typed<Volume>>,
    /// Limit of error of that volume, as a share of it
    #[arg(long, value_parser = typed::<Fraction>, allow_hyphen_values = true, default_value = "25 %")]
    volume_limit: Typed<Fraction>,
    /// Limit of error of the gauge
    #[arg(long, value_parser = typed::<PressureDiff>, allow_hyphen_values = true, default_value = gauge_limit())]
    gauge_limit: Typed<PressureDiff>,
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
  lineproof idle R-410A --after-pump-down no --evacuated-since-opened yes --pressure 243psig \\
    --coil 81F --outdoor 80F --fan-only yes --valves open --settled-for 30min --volume 4L
  lineproof idle R-410A --after-pump-down no --evacuated-since-opened no --outdoor 80F

Exit codes: 1 air must be assumed, or the pressure is above saturation: call a technician;
3 it proves nothing, or is not valid now; never 0, as it never clears; 2 could not run.";

/// The limit of error of a gauge when none is given, as it would be typed.
fn gauge_limit() -> &'static str {
    static TYPED: LazyLock<String> = LazyLock::new(|| {
        let limit = instruments::suction_gauge_limit().in_unit(unit::PSI_DIFF);
        format!("{limit:.1}psi")
    });
    &TYPED
}

/// Least time at rest; the program's own choice.
fn least_settled() -> Duration {
    Duration::of(30.0, unit::MINUTE)
}

/// Whether air came in and was taken out again.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Opening {
    Evacuated,
    NotEvacuated,
    NeverOpened,
    NotKnown,
}

impl Opening {
    fn read(word: &str) -> Result<Self, String> {
        match word {
            "yes" => Ok(Opening::Evacuated),
            "no" => Ok(Opening::NotEvacuated),
            "never-opened" => Ok(Opening::NeverOpened),
            "not-known" => Ok(Opening::NotKnown),
            _ => Err(super::new::one_of(
                word,
                &["yes", "no", "never-opened", "not-known"],
            )),
        }
    }
}

pub(super) fn run(args: Args) -> Ran {
    let units = args.output.units();
    let barometer = args.atmosphere.barometer()?;
    let pressure = args
        .pressure
        .as_ref()
        .map(|read| read.value.to_abs(barometer))
        .transpose()?;
    let rest = args.rest(pressure);
    let found = idle(&rest)?;
    print(&if args.output.json {
        json::document(&json::IdleDocument::from(&found))
    } else {
        let mut notes = args.notes();
        if pressure.is_some() {
            notes.push(gauge_zero(barometer));
        }
        text::told(
            &told::idle_told(&rest, &found, &notes, barometer, units),
            Style::Plain,
        )
    });
    Ok(match found {
        Idle::AirAssumed | Idle::Excess(_) => ExitCode::from(1),
        Idle::NotValidNow(_) | Idle::ProvesNothing(_) | Idle::BelowSaturation(_) => {
            ExitCode::from(3)
        }
    })
}

impl Args {
    fn rest(&self, pressure: Option<PressureAbs>) -> Rest {
        let limit = Volume::from_si(
            self.volume_limit.value.si() * self.volume.as_ref().map_or(0.0, |v| v.value.si()),
        );
        Rest {
            refrigerant: self.refrigerant,
            outdoor_fan_only: self.fan_only == Answer::Yes,
            valves_open: self.valves == Some(Position::Open),
            settled: self.rested() && self.apart().is_none(),
            after_pump_down: self.after_pump_down != Answer::No,
            opened_without_evacuation: self.opened(),
            pressure: pressure.map(|p| reading("gauge", self.gauge_limit.value, p)),
            coil: self.coil_or_air(),
            vapour_volume: self
                .volume
                .as_ref()
                .map(|v| reading("volume", limit, v.value)),
        }
    }

    /// The coil's probe, else the air that its fan draws.
    fn coil_or_air(&self) -> Measured<Temperature> {
        let read = self.coil.as_ref().or(self.outdoor.as_ref());
        let read = read.expect("one of both is required").value;
        reading("thermometer", self.thermometer_limit.value, read)
    }

    /// Opened, and not known to be evacuated afterwards.
    fn opened(&self) -> bool {
        matches!(
            self.evacuated_since_opened,
            Opening::NotEvacuated | Opening::NotKnown
        )
    }

    fn rested(&self) -> bool {
        let least = least_settled();
        self.settled_for.as_ref().is_some_and(|t| t.value >= least)
    }

    /// How far coil and air are apart, when that is more than both thermometers can be off.
    fn apart(&self) -> Option<TemperatureDiff> {
        let (coil, air) = (self.coil.as_ref()?, self.outdoor.as_ref()?);
        let apart = (coil.value - air.value).si().abs();
        (apart > 2.0 * self.thermometer_limit.value.si()).then(|| TemperatureDiff::from_si(apart))
    }

    fn notes(&self) -> Vec<String> {
        let units = self.output.units();
        let mut notes = Vec::new();
        if self.after_pump_down == Answer::NotKnown {
            notes.push("whether it was pumped down is not known: that counts as yes".into());
        }
        if self.evacuated_since_opened == Opening::NotKnown {
            notes.push(
                "whether it was opened and not evacuated is not known: that counts as air let in"
                    .into(),
            );
        }
        if self.opened() {
            return notes;
        }
        if !self.rested() {
            let said = self
                .settled_for
                .as_ref()
                .map_or("it is not said how long", |t| &t.text);
            notes.push(format!(
                "at rest for at least {} ({said}): --settled-for",
                least_settled().show(units)
            ));
        }
        if let Some(apart) = self.apart() {
            notes.push(format!(
                "coil and air are {} apart, more than two thermometers of {} can be: it has not settled, or the sun shines on one",
                apart.show(units),
                self.thermometer_limit.text
            ));
        }
        if let Some(echo) = self.pressure.as_ref().and_then(|p| p.echo.clone()) {
            notes.push(echo);
        }
        notes
    }
}
