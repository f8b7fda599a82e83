//! What the gauge of a tight set reads at each temperature: a card to tape to the unit.

use crate::fluid::{DryGas, DryGasError};
use crate::quantity::{
    Barometer, PressureAbs, PressureDiff, PressureGauge, Quantity, Temperature, TemperatureDiff,
    UnitSystem, both, unit,
};

/// What a card is made from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CardInput {
    /// The gas.
    pub gas: DryGas,
    /// The test pressure on the gauge.
    pub start: PressureGauge,
    /// The temperature of the gas at that reading.
    pub at: Temperature,
    /// The coldest it may become.
    pub coldest: Temperature,
    /// The hottest it may become.
    pub hottest: Temperature,
    /// The local atmosphere.
    pub barometer: Barometer,
    /// The lowest rating of what is under pressure, if known.
    pub rated: Option<PressureGauge>,
    /// Rows in whole degrees of these.
    pub units: UnitSystem,
}

/// A row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CardRow {
    /// Temperature of the gas.
    pub temperature: Temperature,
    /// What a tight set's gauge reads.
    pub reads: PressureGauge,
}

/// What a tight set's gauge reads.
#[derive(Debug, Clone, PartialEq)]
pub struct Card {
    /// What it was made from.
    pub input: CardInput,
    /// Rows from the coldest to the hottest.
    pub rows: Vec<CardRow>,
    /// How far the gauge moves per kelvin at the test pressure.
    pub per_kelvin: PressureDiff,
    /// The temperature at which the rating is reached, where that lies in the gas equation's range.
    pub rated_at: Option<Temperature>,
}

/// Why no card can be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CardError {
    /// The rating would be passed.
    #[error(
        "pumped up to {} at {}, the gauge would read {} at {}, above the lowest rating of {}: pump up to {} at most, or read again what the nameplate allows",
        both(*start), both(*at), both(*reads), both(*hottest), both(*rated), both(*most)
    )]
    AboveRating {
        /// The test pressure.
        start: PressureGauge,
        /// Its temperature.
        at: Temperature,
        /// The reading at the hottest.
        reads: PressureGauge,
        /// The hottest.
        hottest: Temperature,
        /// The rating.
        rated: PressureGauge,
        /// The highest start.
        most: PressureGauge,
    },
    /// The coldest is not below the hottest.
    #[error(
        "the coldest, {coldest}, and the hottest, {hottest}, of the gas leave no row between them: give the coldest night and the hottest afternoon that may come"
    )]
    NoSpan {
        /// As asked.
        coldest: String,
        /// As asked.
        hottest: String,
    },
    /// More rows than a sheet holds.
    #[error(
        "from {coldest} to {hottest} the card has {rows} rows, and a sheet holds {most}: take the temperatures of these days, not of the year"
    )]
    TooManyRows {
        /// As asked.
        coldest: String,
        /// As asked.
        hottest: String,
        /// Rows.
        rows: usize,
        /// The most.
        most: usize,
    },
    /// No pressure to start with.
    #[error("a test pressure of {start}: it must be above zero; check the value")]
    NotPositive {
        /// As asked.
        start: String,
    },
    /// Outside the gas's equation.
    #[error("card: {0}")]
    Gas(#[from] DryGasError),
}

/// Rows that a sheet holds.
pub const MOST_ROWS: usize = 48;

/// The card: real gas shut in at the start, along whole degrees.
///
/// Range and uncertainty: [`DryGas`]. The whole of the gas is taken to be at the row's temperature.
///
/// ```
/// use lineproof::check::tight::plan::{CardInput, card};
/// use lineproof::fluid::DryGas;
/// use lineproof::quantity::{Barometer, PressureGauge, Quantity, Temperature, UnitSystem, unit};
/// let made = card(&CardInput {
///     gas: DryGas::Nitrogen,
///     start: PressureGauge::of(150.0, unit::PSIG),
///     at: Temperature::of(95.0, unit::FAHRENHEIT),
///     coldest: Temperature::of(74.0, unit::FAHRENHEIT),
///     hottest: Temperature::of(96.0, unit::FAHRENHEIT),
///     barometer: Barometer::standard(),
///     rated: None,
///     units: UnitSystem::Us,
/// })?;
/// assert_eq!(made.rows.len(), 12);
/// # Ok::<(), lineproof::check::tight::plan::CardError>(())
/// ```
pub fn card(input: &CardInput) -> Result<Card, CardError> {
    if input.start.si() <= 0.0 {
        return Err(CardError::NotPositive {
            start: both(input.start),
        });
    }
    let temperatures = temperatures(input)?;
    refuse_above_rating(input)?;
    let rows = temperatures
        .into_iter()
        .map(|temperature| {
            Ok(CardRow {
                temperature,
                reads: reads(input, temperature)?,
            })
        })
        .collect::<Result<_, DryGasError>>()?;
    let start = absolute(input.start, input.barometer);
    let per_kelvin = input.gas.kappa(start, input.at)? * start.si() / input.at.si();
    Ok(Card {
        input: *input,
        rows,
        per_kelvin: PressureDiff::from_si(per_kelvin),
        rated_at: rated_at(input)?,
    })
}

impl Card {
    /// How far the gauge moves per degree of the card's units.
    pub fn per_degree(&self) -> PressureDiff {
        let degree = match self.input.units {
            UnitSystem::Us => TemperatureDiff::of(1.0, unit::FAHRENHEIT_DIFF),
            UnitSystem::Si => TemperatureDiff::from_si(1.0),
        };
        PressureDiff::from_si(self.per_kelvin.si() * degree.si())
    }
}

fn absolute(gauge: PressureGauge, barometer: Barometer) -> PressureAbs {
    PressureAbs::from_si(gauge.si() + barometer.pressure().si())
}

/// What the gauge of a tight set reads with all of its gas at a temperature.
fn reads(input: &CardInput, at: Temperature) -> Result<PressureGauge, DryGasError> {
    let start = absolute(input.start, input.barometer);
    let pressure = input.gas.sealed_pressure(start, input.at, at)?;
    Ok(pressure.to_gauge(input.barometer))
}

fn temperatures(input: &CardInput) -> Result<Vec<Temperature>, CardError> {
    let (scale, step) = match input.units {
        UnitSystem::Us => (unit::FAHRENHEIT, 2.0),
        UnitSystem::Si => (unit::CELSIUS, 1.0),
    };
    // crumbs of a conversion must not add a row
    let first = (input.coldest.in_unit(scale) / step + 1e-6).floor() as i64;
    let last = (input.hottest.in_unit(scale) / step - 1e-6).ceil() as i64;
    if last <= first || input.hottest <= input.coldest {
        return Err(CardError::NoSpan {
            coldest: both(input.coldest),
            hottest: both(input.hottest),
        });
    }
    let rows = (last - first) as usize + 1;
    if rows > MOST_ROWS {
        return Err(CardError::TooManyRows {
            coldest: both(input.coldest),
            hottest: both(input.hottest),
            rows,
            most: MOST_ROWS,
        });
    }
    Ok((first..=last)
        .map(|n| Temperature::of(step * n as f64, scale))
        .collect())
}

fn refuse_above_rating(input: &CardInput) -> Result<(), CardError> {
    let Some(rated) = input.rated else {
        return Ok(());
    };
    let hottest = reads(input, input.hottest)?;
    if hottest <= rated && input.start <= rated {
        return Ok(());
    }
    let most =
        input
            .gas
            .sealed_pressure(absolute(rated, input.barometer), input.hottest, input.at)?;
    let most = most.to_gauge(input.barometer);
    Err(CardError::AboveRating {
        start: input.start,
        at: input.at,
        reads: hottest,
        hottest: input.hottest,
        rated,
        most: if most < rated { most } else { rated },
    })
}

/// Where the rating is reached: the reading rises with temperature, so halving finds it.
fn rated_at(input: &CardInput) -> Result<Option<Temperature>, DryGasError> {
    let Some(rated) = input.rated else {
        return Ok(None);
    };
    let (mut low, mut high) = (input.at.si(), crate::fluid::dry_gas::TEMPERATURES.1);
    match reads(input, Temperature::from_si(high)) {
        Ok(top) if top > rated => {}
        _ => return Ok(None),
    }
    while high - low > 0.01 {
        let middle = 0.5 * (low + high);
        if reads(input, Temperature::from_si(middle))? > rated {
            high = middle;
        } else {
            low = middle;
        }
    }
    Ok(Some(Temperature::from_si(low)))
}
