//! ASTM B280 tube: bore, bore area and volume per length as printed.

use lineproof::physics::tube::{Tube, tube_rows};
use lineproof::quantity::{Length, Quantity, unit};

use crate::{number, rows};

#[test]
fn the_shipped_table_has_every_printed_row() {
    let printed = rows(include_str!("data/tube_b280.csv"));
    assert_eq!(printed.len(), tube_rows().len());
    for (printed, ours) in printed.iter().zip(tube_rows()) {
        assert_eq!(
            (&printed["size_in"], &printed["temper"]),
            (&ours.size, &ours.temper)
        );
        let inches = |name: &str| Length::of(number(&printed[name]), unit::INCH_LENGTH);
        assert!((ours.tube.outer().si() - inches("od_in").si()).abs() < 1e-9);
        assert!((ours.printed_bore.si() - inches("id_in").si()).abs() < 1e-9);
        let rated = |pressure: Option<lineproof::quantity::PressureGauge>| {
            pressure.map_or(String::new(), |p| format!("{:.0}", p.in_unit(unit::PSIG)))
        };
        assert_eq!(rated(ours.rated_at_150f), printed["max_psig_150F_read"]);
        assert_eq!(rated(ours.rated_at_100f), printed["max_psig_100F_computed"]);
        if printed["bore_area_in2"].is_empty() {
            continue;
        }
        let area = ours.tube.bore_area().si() / (0.0254 * 0.0254);
        let printed_area = number(&printed["bore_area_in2"]);
        // printed to three digits
        assert!(
            (area / printed_area - 1.0).abs() < 6e-3,
            "{}: {area}",
            ours.size
        );
    }
}

#[test]
fn volume_per_length() {
    for row in rows(include_str!("data/tube_volume.csv")) {
        let unit_of = if row["unit"] == "inch" {
            unit::INCH_LENGTH
        } else {
            unit::MILLIMETRE
        };
        let length = |name: &str| Length::of(number(&row[name]), unit_of);
        let tube = Tube::new(length("OD"), length("wall")).unwrap();
        let metre = tube
            .volume(Length::of(1.0, unit::METRE))
            .in_unit(unit::LITRE);
        let foot = tube
            .volume(Length::of(1.0, unit::FOOT_LENGTH))
            .in_unit(unit::MILLILITRE);
        // printed to 1e-5 L and 0.01 mL
        assert!(
            (metre - number(&row["litre_per_m"])).abs() < 6e-6,
            "{row:?}: {metre}"
        );
        assert!(
            (foot - number(&row["mL_per_ft"])).abs() < 6e-3,
            "{row:?}: {foot}"
        );
    }
}
