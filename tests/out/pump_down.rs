//! The pump-down of a record beside the vacuum rise that it led to.

use lineproof::check::Segment;
use lineproof::decide::judge;
use lineproof::out::text::{self, Style};
use lineproof::out::{Sheet, html, json};
use lineproof::quantity::UnitSystem;
use lineproof::record::*;

/// An invented log: water at 10 °C boils until the twelfth minute; shut off at 25 min, it hardly rises.
fn log() -> String {
    let micron = |t: f64| match t {
        t if t < 2.2 => 760e3 * (-2.0 * t).exp(),
        t if t < 12.0 => 9200.0,
        t if t < 25.0 => 230.0 + 9000.0 * (-1.6 * (t - 12.0)).exp(),
        t => 232.0 + 45.0 * (1.0 - (-(t - 25.0) / 8.0).exp()),
    };
    let rows = (0..220).map(|i| f64::from(i) / 4.0);
    let rows = rows.map(|t| format!("{t},{:.0}\n", micron(t)));
    std::iter::once("t_min,p_micron\n".to_string())
        .chain(rows)
        .collect()
}

fn sheet(volume: Option<&str>) -> Sheet {
    let home = tempfile::tempdir().unwrap();
    let zone = Zone::named("Europe/Oslo").unwrap();
    let (connection, state) = (Connection::Flared, LineState::New);
    let mut lineset = LineSet::new("tram shed", "Norway", zone.clone(), connection, state);
    lineset.invented = true;
    lineset.line_set.volume = volume.map(|v| AsTyped::read(v).unwrap());
    let mut record = Record::create(&home.path().join("record"), lineset).unwrap();
    let source = home.path().join("evening.csv");
    std::fs::write(&source, log()).unwrap();
    let evacuation = Evacuation {
        covers: vec![
            Segment::LiquidLine,
            Segment::VapourLine,
            Segment::IndoorCoil,
        ],
        rule: None,
        gauge: None,
        valves: None,
        isolated_after: Some(AsTyped::read("25 min").unwrap()),
        coldest: None,
        ambient: None,
        until: None,
        log: Some(record.attach_log(&source).unwrap()),
        pump_down: None,
        readings: Vec::new(),
    };
    let at = Moment::typed("2026-05-04 18:00", &zone).unwrap();
    record.append(NewEvent::new(at, at, evacuation)).unwrap();
    let judgement = judge(&record, UnitSystem::Si).unwrap();
    Sheet::of(&record, &judgement, "2026-05-05".into(), UnitSystem::Si)
}

/// The numbers that need nothing, and what a volume and the pump's speed would buy.
#[test]
fn a_record_shows_what_its_log_shows_and_asks_for_nothing() {
    let sheet = sheet(None);
    let page = html::report(&sheet).unwrap();
    let told = text::sheet(&sheet, Style::Plain).replace("\n    ", " ");
    for said in [
        "The deepest while the pump ran is 232 micron",
        "that is where water boils at 10.0 °C",
        "each stretch would give the effective speed",
        "lineproof pump-down logs/evening.csv --volume VOLUME --pump SPEED",
        "Isolated from 25.0 min on, as was said",
    ] {
        let low = |text: &str| text.to_lowercase();
        assert!(low(&told).contains(&low(said)), "{said}: {told}");
    }
    assert!(!told.contains("effective speed 0"), "{told}");
    for said in ["pump-down", "lingers near 9200", "water boils at 10.0"] {
        assert!(page.contains(said), "{said}");
    }
    // the rise first, then how it came down
    let at = |id: &str| page.find(&format!("id=\"{id}")).expect(id);
    assert!(at("rise") < at("pump-down"));
}

#[test]
fn a_volume_turns_times_into_speeds_in_words_and_in_json() {
    let sheet = sheet(Some("2.9 L"));
    let told = text::sheet(&sheet, Style::Plain);
    assert!(told.contains("effective speed 0.0"), "{told}");
    assert!(!told.contains("each stretch would give"), "{told}");
    let document = json::document(&json::SheetDocument::from(&sheet));
    let document: serde_json::Value = serde_json::from_str(&document).unwrap();
    let pumped = &document["pump_down"];
    assert_eq!(pumped["lingers"]["phase"], "liquid");
    // 2.9 L and e-fold times of half a minute: 2.9 x 2/60 L/s
    let speed = pumped["stretches"][0]["l_per_s"][0].as_f64().unwrap();
    assert!((speed - 2.9 * 2.0 / 60.0).abs() < 0.005, "{speed}");
}
