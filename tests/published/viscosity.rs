//! Viscosity against handbook correlations, which were fitted on their own.

use std::collections::BTreeMap;

use lineproof::fluid::Refrigerant;
use lineproof::fluid::refrigerant::Viscosities;
use lineproof::quantity::{Quantity, Temperature, unit};

use crate::data::{Worst, rows};

/// The table's own limit and 5 % for the handbook, whose correlations for one fluid differ by as much.
#[test]
fn handbook_correlations() {
    let mut worst: BTreeMap<String, Worst> = BTreeMap::new();
    let mut beyond = Vec::new();
    let mut count = 0;
    for row in rows(include_str!("data/viscosity_handbook.csv")) {
        let refrigerant: Refrigerant = row.text("refrigerant").parse().unwrap();
        let table = Viscosities::of(refrigerant);
        let temperature = Temperature::of(row.number("temperature_c").unwrap(), unit::CELSIUS);
        let ours = match row.text("phase") {
            "liquid" => table.liquid(temperature),
            "vapour" => table.vapour(temperature),
            other => panic!("{other}"),
        };
        let printed = row.number("viscosity_upas").unwrap();
        let share = ours.unwrap().in_unit(unit::MICROPASCAL_SECOND) / printed - 1.0;
        let key = format!("{refrigerant} {} {}", row.text("phase"), row.text("source"));
        worst
            .entry(key)
            .or_default()
            .see(share, row.text("temperature_c"));
        count += 1;
        if share.abs() > table.model_uncertainty().si() + 0.05 {
            beyond.push(format!("{share:+.3} {row:?}"));
        }
    }
    for (source, worst) in &worst {
        worst.say(source, "of viscosity");
    }
    assert!(beyond.is_empty(), "{beyond:#?}");
    assert_eq!(count, 47);
}
