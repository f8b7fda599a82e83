//! The card to tape to the unit: text, JSON and page say the same; a practice log says what it is.

use lineproof::check::tight::plan::{Card, CardInput, card};
use lineproof::check::tight::rehearse::{Leak, Setup, rehearse};
use lineproof::fluid::DryGas;
use lineproof::out::hold_card::HoldCard;
use lineproof::out::text::Style;
use lineproof::out::{html, json, planned, text};
use lineproof::quantity::{
    Barometer, PressureDiff, PressureGauge, Quantity, Temperature, UnitSystem, unit,
};
use lineproof::record::logger::{self, Asked};

fn made(units: UnitSystem, rated: Option<f64>) -> Card {
    let celsius = |t| Temperature::of(t, unit::CELSIUS);
    card(&CardInput {
        gas: DryGas::Nitrogen,
        start: PressureGauge::of(31.0, unit::BAR_GAUGE),
        at: celsius(20.0),
        coldest: celsius(8.0),
        hottest: celsius(36.0),
        barometer: Barometer::standard(),
        rated: rated.map(|bar| PressureGauge::of(bar, unit::BAR_GAUGE)),
        units,
    })
    .unwrap()
}

#[test]
fn the_card_says_the_same_in_every_form() {
    let card = made(UnitSystem::Si, Some(41.0));
    let sheet = HoldCard::of(&card, Some(("mill <by> the weir", true)));
    let (text, page) = (
        text::hold_card(&sheet, Style::Plain),
        html::hold_card(&sheet),
    );
    for (temperature, reads, _) in &sheet.rows {
        assert!(text.contains(reads), "{reads}");
        assert!(
            page.contains(&format!("{temperature}</th><td>{reads}</td>")),
            "{temperature} {reads}"
        );
    }
    let here: Vec<_> = sheet.rows.iter().filter(|row| row.2).collect();
    assert_eq!(here.len(), 1);
    assert_eq!((here[0].0.as_str(), here[0].1.as_str()), ("20", "31.00"));
    assert!(page.contains("mill &lt;by&gt; the weir") && !page.contains("<script"));
    let json: serde_json::Value =
        serde_json::from_str(&json::document(&json::HoldCardDocument::from(&card))).unwrap();
    assert_eq!(json["rows"].as_array().unwrap().len(), sheet.rows.len());
}

#[test]
fn without_a_rating_there_is_room_to_write_it() {
    let sheet = HoldCard::of(&made(UnitSystem::Us, None), None);
    let text = text::hold_card(&sheet, Style::Plain);
    assert!(text.contains("never to be passed: ____"), "{text}");
    assert_eq!(sheet.symbols, ["°F", "psig"]);
}

#[test]
fn a_practice_log_is_read_back_as_it_was_rehearsed() {
    for (units, step) in [
        (UnitSystem::Us, PressureDiff::of(0.5, unit::PSI_DIFF)),
        (UnitSystem::Si, PressureDiff::of(0.05, unit::BAR_DIFF)),
    ] {
        let setup = Setup {
            units,
            ..Setup::of(PressureGauge::of(450.0, unit::PSIG), step)
        };
        let rehearsal = rehearse(&setup, Leak::Small, None, 3).unwrap();
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("practice.csv");
        std::fs::write(&file, planned::csv(&rehearsal)).unwrap();
        assert!(logger::is_rehearsal(&file));
        let read = logger::read_hold(&file, &Asked::default(), setup.barometer).unwrap();
        let input = &rehearsal.input;
        assert_eq!(read.pressure.len(), input.pressure.len());
        for (read, made) in read.pressure.iter().zip(&input.pressure) {
            assert!((read.si() - made.si()).abs() < 0.01 * step.si());
        }
        for (read, made) in [
            (&read.outdoor, &input.outdoor),
            (&read.indoor, &input.indoor),
        ] {
            for (read, made) in read.iter().flatten().zip(made.iter().flatten()) {
                assert!((read.si() - made.si()).abs() < 1e-6);
            }
        }
    }
}
