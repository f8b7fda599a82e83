//! The card to tape to the unit during a hold: what a tight set's gauge reads, and room for readings.

use crate::check::Caution;
use crate::check::tight::CAUTIONS;
use crate::check::tight::plan::Card;
use crate::quantity::{PressureGauge, Quantity, Temperature, UnitSystem, unit};
use crate::source::SourceId;

/// The card in words; a renderer computes nothing.
#[derive(Debug, Clone, PartialEq)]
pub struct HoldCard {
    /// What the record calls the set, if there is one.
    pub record: Option<String>,
    /// Whether the record is an invented example.
    pub invented: bool,
    /// The gas and where it was begun.
    pub title: String,
    /// Symbols of temperature and gauge reading.
    pub symbols: [&'static str; 2],
    /// Temperature, gauge reading, and whether it is the row nearest to the start.
    pub rows: Vec<(String, String, bool)>,
    /// Short facts under the rows.
    pub facts: Vec<String>,
    /// How to read it.
    pub how: Vec<(&'static str, SourceId)>,
    /// What to mind.
    pub cautions: &'static [Caution],
    /// Heads of the columns that are filled in with a pen.
    pub blanks: [String; 4],
    /// Where the gas's behaviour comes from.
    pub sources: Vec<SourceId>,
}

/// Rows to write readings in.
pub const PEN_ROWS: usize = 8;

const HOW: [(&str, SourceId); 5] = [
    (
        "Read outdoors in the shade, gauge and thermometer too, and write down time and temperatures with every reading.",
        SourceId::CommonPractice,
    ),
    (
        "Find the row of the gas's temperature: between outdoors and indoors, as the volume is shared between them.",
        SourceId::TightMethod,
    ),
    (
        "Never judge by the needle alone: a cool night looks like a leak, and a warm morning hides one.",
        SourceId::CommonPractice,
    ),
    (
        "Let the gas come to the temperature of its walls, then shut the valve to the bottle and take the regulator off.",
        SourceId::CommonPractice,
    ),
    (
        "Soap the joints while it stands; touch no hose and no valve, or write down when.",
        SourceId::CommonPractice,
    ),
];

impl HoldCard {
    /// The card of a computed table.
    pub fn of(card: &Card, record: Option<(&str, bool)>) -> Self {
        let input = &card.input;
        let units = input.units;
        let (scale, gauge, symbols, decimals) = match units {
            UnitSystem::Us => (unit::FAHRENHEIT, unit::PSIG, ["°F", "psig"], 1),
            UnitSystem::Si => (unit::CELSIUS, unit::BAR_GAUGE, ["°C", "bar gauge"], 2),
        };
        let nearest = card
            .rows
            .iter()
            .map(|row| (row.temperature.si() - input.at.si()).abs())
            .fold(f64::INFINITY, f64::min);
        let temperature = |t: Temperature| format!("{:.0}", t.in_unit(scale) + 0.0);
        let reads = |p: PressureGauge| format!("{:.decimals$}", p.in_unit(gauge));
        HoldCard {
            record: record.map(|(name, _)| name.to_string()),
            invented: record.is_some_and(|(_, invented)| invented),
            title: format!(
                "{} pumped up to {} at {}",
                input.gas,
                input.start.show(units),
                input.at.show(units)
            ),
            symbols,
            rows: card
                .rows
                .iter()
                .map(|row| {
                    let here = (row.temperature.si() - input.at.si()).abs() <= nearest + 1e-6;
                    (temperature(row.temperature), reads(row.reads), here)
                })
                .collect(),
            facts: facts(card),
            how: HOW.to_vec(),
            cautions: CAUTIONS,
            blanks: [
                "time".into(),
                format!("gauge, {}", symbols[1]),
                format!("outdoors, {}", symbols[0]),
                format!("indoors, {}", symbols[0]),
            ],
            sources: std::iter::once(input.gas.source())
                .chain(input.barometer.source())
                .collect(),
        }
    }
}

fn facts(card: &Card) -> Vec<String> {
    let input = &card.input;
    let units = input.units;
    let degree = match units {
        UnitSystem::Us => "°F",
        UnitSystem::Si => "°C",
    };
    let mut facts = vec![format!(
        "about {} for each {degree} at this pressure; another pressure moves it by another amount",
        card.per_degree().show(units)
    )];
    facts.push(match (input.rated, card.rated_at) {
        (Some(rated), Some(at)) => format!(
            "the lowest rating, {}, is reached at {}: let gas out before it gets so hot, the sun counts",
            rated.show(units),
            at.show(units)
        ),
        (Some(rated), None) => format!(
            "the lowest rating is {}: no temperature of this card comes near it",
            rated.show(units)
        ),
        (None, _) => "lowest rating on the nameplates, never to be passed: ____________".into(),
    });
    facts.push(format!("gauge zero taken as {}", input.barometer.words()));
    facts
}
