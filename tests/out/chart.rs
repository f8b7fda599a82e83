//! The page to print: everything on it, nothing loaded from elsewhere, no more rows than can be read.

use lineproof::fluid::{Refrigerant, Saturation};
use lineproof::out::figure::PressureEnthalpy;
use lineproof::out::html::{self, ChartError};
use lineproof::out::table::{SaturationTable, Steps};
use lineproof::quantity::{
    Barometer, Length, Quantity, Temperature, TemperatureDiff, UnitSystem, unit,
};

fn table(refrigerant: Refrigerant, rows: usize) -> SaturationTable {
    let from = Temperature::of(-40.0, unit::FAHRENHEIT);
    let step = TemperatureDiff::of(190.0 / rows as f64, unit::FAHRENHEIT_DIFF);
    let steps = Steps {
        from,
        to: from + TemperatureDiff::from_si(step.si() * (rows as f64 - 0.5)),
        step,
    };
    let high = Barometer::at_altitude(Length::of(6000.0, unit::FOOT_LENGTH)).unwrap();
    let saturation = Saturation::of(refrigerant);
    SaturationTable::by_temperature(saturation, &steps, high, UnitSystem::Us).unwrap()
}

#[test]
fn every_row_its_gauge_zero_and_the_caution_stand_on_it() {
    let table = table(Refrigerant::R454B, 38);
    let page = html::chart(&table, None).unwrap();
    for cells in table.cells() {
        for cell in cells {
            let shown = format!(">{}<", cell.replace('-', "\u{2212}"));
            assert!(page.contains(&shown), "{shown}");
        }
    }
    for words in [
        "R-454B",
        "psig",
        "6000\u{a0}ft",
        "Not a charging instruction.",
        "for subcooling",
        "for superheat",
        "1.0\u{a0}% of the pressure",
        "J. Phys. Chem. Ref. Data",
    ] {
        assert!(page.contains(words), "{words}");
    }
    crate::words::has_no_inside_word(&page[page.find("<body").unwrap()..]);
}

#[test]
fn it_loads_nothing() {
    let diagram = PressureEnthalpy::of(Refrigerant::R32, UnitSystem::Us, &[]);
    let page = html::chart(&table(Refrigerant::R32, 30), Some(&diagram)).unwrap();
    for never in [
        "<script", "http:", "https:", "url(", "@import", "src=", "<link",
    ] {
        assert!(!page.contains(never), "{never}");
    }
    assert!(page.contains("<figure") && page.len() < 300_000);
}

#[test]
fn more_rows_than_can_be_read_are_refused_with_their_number() {
    assert!(html::chart(&table(Refrigerant::R454B, 120), None).is_ok());
    assert!(html::chart(&table(Refrigerant::R32, 160), None).is_ok());
    let error = html::chart(&table(Refrigerant::R454B, 121), None).unwrap_err();
    let refused = ChartError::TooManyRows {
        refrigerant: "R-454B",
        rows: 121,
        most: 120,
    };
    assert_eq!(error, refused);
}
