//! The weigh-in sheet: text, JSON and page say the same, and the page keeps its promises.

use std::fs;

use lineproof::check::charge::{Cylinder, Hose};
use lineproof::out::text::Style;
use lineproof::out::weigh_in::WeighInSheet;
use lineproof::out::{html, json, text};
use lineproof::quantity::{Length, Mass, Quantity, UnitSystem, unit};
use lineproof::record::Record;

const FACTS: &str = r#"version = 1
name = "dairy <at> the ford"
invented = true

[place]
country = "EU"
zone = "Europe/Vienna"

[equipment]
refrigerant = "R-454B"
nameplate_charge = "2.0 kg"
included_length = "8 m"
charge_factor = "30 g/m"

[line_set]
connection = "flared"
state = "new"

[line_set.liquid]
od = "3/8 in"
length = "20 m"
"#;

fn sheet(facts: &str, units: UnitSystem) -> WeighInSheet {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("lineset.toml"), facts).unwrap();
    let record = Record::open(folder.path()).unwrap();
    let input = record.charge_input(&[]).unwrap().unwrap();
    let cylinder = Cylinder {
        before: Mass::of(9.84, unit::KILOGRAM),
        empty: None,
    };
    let hose = Hose::new(
        Length::of(1.5, unit::METRE),
        Length::of(5.0, unit::MILLIMETRE),
    );
    WeighInSheet::of(&record, &input, Some(cylinder), hose.ok(), units).unwrap()
}

#[test]
fn the_rows_lead_from_the_label_to_the_scale() {
    let sheet = sheet(FACTS, UnitSystem::Si);
    let rows: Vec<(&str, &str)> = sheet
        .rows
        .iter()
        .map(|r| (r.label.as_str(), r.mass.as_str()))
        .collect();
    assert_eq!(
        rows,
        [
            ("nameplate charge", "+2000 g"),
            ("line", "+360 g"),
            ("belongs in", "2360 g"),
            ("came in the unit", "-2000 g"),
            ("still to be weighed in", "360 g"),
        ]
    );
    // 9840 g less 360 g less what 29.45 mL of liquid weigh
    let hose = sheet.plan.hose.unwrap().mass.in_unit(unit::GRAM);
    let stop = format!("{:.0} g", 9840.0 - 360.0 - hose);
    assert!(sheet.headline.ends_with(&format!("shows {stop}")));
    assert!(text::weigh_in(&sheet, Style::Plain).contains(&stop));
    let json = json::document(&json::WeighInDocument::from(&sheet));
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    let kg = json["stop_at_kg"].as_f64().unwrap();
    assert_eq!(format!("{:.0} g", 1000.0 * kg), stop);
    assert!((json["to_weigh_in_kg"].as_f64().unwrap() - 0.36).abs() < 1e-9);
}

#[test]
fn units_change_no_number() {
    let (si, us) = (sheet(FACTS, UnitSystem::Si), sheet(FACTS, UnitSystem::Us));
    assert_eq!(si.plan, us.plan);
    assert!(us.headline.contains("weigh in 12.7 oz"), "{}", us.headline);
}

#[test]
fn what_burns_and_what_is_a_blend_is_said() {
    let says = |facts: &str, words: &str| {
        let sheet = sheet(facts, UnitSystem::Si);
        sheet.cautions.iter().any(|(text, _)| text.contains(words))
    };
    assert!(says(FACTS, "R-454B is A2L and burns") && says(FACTS, "is a blend"));
    let pure = FACTS.replace("R-454B", "R-134a");
    assert!(!says(&pure, "burns") && says(&pure, "is no blend"));
    assert!(says(FACTS, "a certified natural person"));
}

#[test]
fn nothing_to_weigh_leaves_no_room_for_readings() {
    let facts = FACTS.replace("length = \"20 m\"", "length = \"7 m\"");
    let sheet = sheet(&facts, UnitSystem::Si);
    assert!(sheet.headline.contains("left as it is"));
    assert!(sheet.scale.is_empty() && sheet.command.is_none());
    assert!(!text::weigh_in(&sheet, Style::Plain).contains("____"));
}

#[test]
fn the_page_is_whole_and_escapes_what_it_is_given() {
    let page = html::weigh_in(&sheet(FACTS, UnitSystem::Si));
    assert!(page.contains("dairy &lt;at&gt; the ford"));
    assert!(page.contains("@page") && page.contains("Invented example"));
    for loaded in ["<script", "http://", "https://", "src=", "<link"] {
        assert!(!page.contains(loaded), "{loaded}");
    }
}
