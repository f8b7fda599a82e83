//! What other makers print, beside the unit's own factor.

use std::sync::LazyLock;

use crate::fluid::Refrigerant;
use crate::physics::cycle::MeteringPlace;
use crate::physics::tube::Tube;
use crate::quantity::{MassPerLength, Quantity, unit};

/// Charge factors that makers print for one refrigerant, liquid line and place of the metering device.
#[derive(Debug, Clone, PartialEq)]
pub struct Printed {
    refrigerant: Option<Refrigerant>,
    size: String,
    place: MeteringPlace,
    /// The smallest.
    pub least: MassPerLength,
    /// The middle one.
    pub median: MassPerLength,
    /// The largest.
    pub most: MassPerLength,
    /// In how many documents.
    pub documents: usize,
}

/// What makers print for such a line; `None` when nothing was collected.
///
/// Not a standard: the unit's own factor wins. Source: [`crate::source::SourceId::LineChargePrinted`].
pub fn printed_for(
    refrigerant: Refrigerant,
    liquid: Tube,
    place: MeteringPlace,
) -> Option<&'static Printed> {
    let size = liquid.nominal()?;
    ROWS.iter()
        .find(|row| row.refrigerant == Some(refrigerant) && row.size == size && row.place == place)
}

static ROWS: LazyLock<Vec<Printed>> = LazyLock::new(|| {
    let table = include_str!("../../../tables/line_charge_printed.csv");
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(table.as_bytes())
        .into_records()
        .map(|row| {
            let row = row.expect("a shipped table has whole rows");
            let factor = |column: usize| {
                let number = row[column].parse().expect("a shipped table has numbers");
                MassPerLength::of(number, unit::GRAM_PER_METRE)
            };
            Printed {
                // rows for several refrigerants at once belong to none
                refrigerant: row[0].parse().ok(),
                size: row[1].to_string(),
                place: match &row[2] {
                    "outdoors" => MeteringPlace::Outdoors,
                    _ => MeteringPlace::Indoors,
                },
                least: factor(3),
                median: factor(4),
                most: factor(5),
                documents: row[6].parse().expect("a shipped table has numbers"),
            }
        })
        .collect()
});
