//! Arguments that several commands share.

use std::sync::LazyLock;

use clap::ValueEnum;

use crate::check::run::instruments;
use crate::decide::Place;
use crate::fluid::Refrigerant;
use crate::quantity::{
    self, Accuracy, Barometer, Instrument, Length, Measured, ParseError, PressureGauge,
    PressureReading, Quantity, Typed, UnitSystem, unit,
};

/// `us` or `si`.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum Units {
    /// psig, °F, lb and oz, ft
    Us,
    /// bar gauge, °C, kg, m
    Si,
}

/// How the result is printed.
#[derive(Debug, clap::Args)]
pub(super) struct Output {
    /// Print in US or SI units; for a record by its country when not given, else US
    #[arg(long, value_enum)]
    units: Option<Units>,
    /// Print JSON for scripts
    #[arg(long)]
    pub json: bool,
}

impl Output {
    /// The unit system asked for, US when nothing was said.
    pub fn units(&self) -> UnitSystem {
        self.asked().unwrap_or_default()
    }

    /// The unit system asked for, the usual one of a place when nothing was said.
    pub fn units_at(&self, place: Place) -> UnitSystem {
        let usual = if place == Place::Us {
            UnitSystem::Us
        } else {
            UnitSystem::Si
        };
        self.asked().unwrap_or(usual)
    }

    fn asked(&self) -> Option<UnitSystem> {
        self.units.map(|units| match units {
            Units::Us => UnitSystem::Us,
            Units::Si => UnitSystem::Si,
        })
    }
}

/// The local atmosphere.
#[derive(Debug, clap::Args)]
pub(super) struct Atmosphere {
    /// Altitude of the place, e.g. 6000ft: a gauge's zero is the local atmosphere
    #[arg(long, value_parser = typed::<Length>, allow_hyphen_values = true, conflicts_with = "barometer")]
    altitude: Option<Typed<Length>>,
    /// Barometer at the place (not reduced to sea level), e.g. "24.0 inHg absolute" or 813hPa
    #[arg(long, value_parser = quantity::parse_pressure)]
    barometer: Option<Typed<PressureReading>>,
}

impl Atmosphere {
    /// Whether anything was said.
    pub fn is_given(&self) -> bool {
        self.altitude.is_some() || self.barometer.is_some()
    }

    /// The barometer, sea level when nothing was said.
    pub fn barometer(&self) -> Result<Barometer, Box<dyn std::error::Error>> {
        match (&self.altitude, &self.barometer) {
            (Some(altitude), _) => Ok(Barometer::at_altitude(altitude.value)?),
            (None, Some(reading)) => match reading.value {
                PressureReading::Abs(pressure) => Ok(Barometer::station(pressure)?),
                PressureReading::Gauge(_) => Err(format!(
                    "--barometer \"{}\" is a gauge pressure: the atmosphere is absolute, type it like 813 hPa or \"24.0 inHg absolute\"",
                    reading.text
                )
                .into()),
            },
            (None, None) => Ok(Barometer::standard()),
        }
    }
}

/// What a gauge's zero was taken as, with the source of it.
pub(super) fn gauge_zero(barometer: Barometer) -> String {
    let source = barometer
        .source()
        .map(|s| format!("; {}", s.cite()))
        .unwrap_or_default();
    format!("Gauge zero taken as {}{source}", barometer.words())
}

/// A quantity as typed.
pub(super) fn typed<Q: Quantity>(text: &str) -> Result<Typed<Q>, ParseError> {
    quantity::parse(text)
}

/// A gauge reading as typed.
pub(super) fn gauge(text: &str) -> Result<Typed<PressureGauge>, ParseError> {
    quantity::parse_gauge(text)
}

/// The limit of error of a thermometer when none is given, as it would be typed.
pub(super) fn thermometer_limit() -> &'static str {
    static TYPED: LazyLock<String> = LazyLock::new(|| {
        let limit = instruments::thermometer_limit().in_unit(unit::FAHRENHEIT_DIFF);
        format!("{limit:.1}F")
    });
    &TYPED
}

/// A reading with its limit of error.
pub(super) fn reading<Q: Quantity>(name: &str, limit: Q::Diff, value: Q) -> Measured<Q> {
    let instrument = Instrument {
        name: name.into(),
        accuracy: vec![Accuracy::Limit(limit)],
        zero_drift_per_kelvin: 0.0,
    };
    instrument.reading(value)
}

/// A refrigerant's name.
pub(super) fn refrigerant(
    text: &str,
) -> Result<Refrigerant, crate::fluid::refrigerant::UnknownRefrigerant> {
    text.parse()
}

/// A fixed word of the record.
macro_rules! word {
    ($type:ident) => {
        |word: &str| {
            crate::record::$type::from_word(word)
                .ok_or_else(|| crate::cli::new::one_of(word, crate::record::$type::WORDS))
        }
    };
}
pub(super) use word;
