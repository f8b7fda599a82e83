//! `lineset.toml`: what it may leave out, and how it is refused.

use std::fs;

use lineproof::quantity::{Accuracy, PressureAbs, PressureGauge, Quantity, Temperature, unit};
use lineproof::record::*;

use super::minute;

const SMALLEST: &str = r#"version = 1
name = "garden wall"

[place]
country = "US"
zone = "America/Denver"

[line_set]
connection = "flared"
state = "new"
"#;

const FULL: &str = r#"version = 1
name = "garden wall"
invented = true

[place]
country = "US"
zone = "America/Denver"
altitude = "6000 ft"

[equipment]
kind = "heat-pump"
refrigerant = "R-410A"
nameplate_charge = "6 lb 10 oz"
included_length = "15 ft"
charge_factor = "0.6 oz/ft"
target_subcooling = "10 F"
design_pressure_high = "550 psi"
voltage_min = "197 V"
mca = "19.9 A"
mocp = "30 A"
crankcase_heater = "12 h"
compressor = "two-stage"
ducted = "yes"

[line_set]
connection = "flared"
state = "new"
metering_device = "indoors-txv"
liquid = { od = "3/8 in", length = "40 ft" }
vapour = { od = "7/8 in", length = "40 ft" }
shares = { outdoors = "30 %", attic = "20 %" }

[instructions]
vacuum = "500 micron"

[warranty]
supplier = "the merchant at the bridge"
installed = "2026-05-04"
until = "2036-05-03"
terms = "registered within 60 days"
phone = "555 0100"

[[joint]]
id = "liquid-out"
segment = "liquid-line"
kind = "flare"
torque = "24 ft lb"
torque_max = "30 ft lb"

[[joint]]
id = "coil"
segment = "indoor-coil"
kind = "brazed"
factory = true

[[instrument]]
id = "g"
kind = "gauge"
accuracy = "1 % of full scale"
resolution = "0.5 psi"
full_scale = "800 psi"

[[instrument]]
id = "v"
kind = "vacuum-gauge"
accuracy = "± 10 % of reading"
"#;

fn opened(text: &str) -> Result<Record, String> {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("lineset.toml"), text).unwrap();
    Record::open(folder.path()).map_err(|error| {
        error
            .to_string()
            .replace(&format!("{}/", folder.path().display()), "")
    })
}

#[test]
fn little_is_required_and_the_rest_is_not_known() {
    let record = opened(SMALLEST).unwrap();
    assert_eq!(
        record.lineset.line_set.metering_device,
        MeteringDevice::NotKnown
    );
    assert_eq!(record.lineset.equipment.ducted, Answer::NotKnown);
    assert!(record.lineset.equipment.nameplate_charge.is_none());
    assert!(record.barometer().unwrap().words().contains("no altitude"));
    for line in SMALLEST.lines().filter(|l| l.contains('=')) {
        let key = line.split_once(" =").unwrap().0;
        let error = opened(&SMALLEST.replace(&format!("{line}\n"), "")).unwrap_err();
        assert!(
            error.contains(&format!("\"{key}\" is missing")),
            "{key}: {error}"
        );
    }
}

#[test]
fn facts_are_kept_as_typed_and_written_back_the_same() {
    let record = opened(FULL).unwrap();
    let equipment = &record.lineset.equipment;
    let charge = equipment.nameplate_charge.as_ref().unwrap();
    assert_eq!(charge.text(), "6 lb 10 oz");
    assert!((charge.value().in_unit(unit::OUNCE_MASS) - 106.0).abs() < 1e-9);
    assert_eq!(
        equipment.design_pressure_high.as_ref().unwrap().echo(),
        Some("550 psi read as 550 psig")
    );

    let folder = tempfile::tempdir().unwrap();
    let created = Record::create(folder.path(), record.lineset.clone()).unwrap();
    assert_eq!(created.lineset, record.lineset);
    assert_eq!(Record::open(folder.path()).unwrap(), created);
}

#[test]
fn an_instrument_gives_what_its_data_sheet_states() {
    let record = opened(FULL).unwrap();
    let gauge = record.instrument("g").unwrap();
    let near = gauge.near(PressureGauge::of(350.0, unit::PSIG)).unwrap();
    let Accuracy::Limit(limit) = near.accuracy[0] else {
        panic!("{near:?}")
    };
    assert!((limit.in_unit(unit::PSI_DIFF) - 8.0).abs() < 1e-9);
    // 0.04 % of 800 psi per K
    assert!((near.zero_drift_per_kelvin / 6894.757 - 0.32).abs() < 1e-6);

    let vacuum = record.instrument("v").unwrap();
    let near = vacuum.near(PressureAbs::of(400.0, unit::MICRON)).unwrap();
    let Accuracy::Limit(limit) = near.accuracy[0] else {
        panic!("{near:?}")
    };
    assert!((limit.in_unit(unit::MICRON_DIFF) - 40.0).abs() < 1e-9);
    let error = gauge
        .near(Temperature::of(50.0, unit::FAHRENHEIT))
        .unwrap_err();
    assert!(
        error.to_string().contains("does not measure a temperature"),
        "{error}"
    );
}

#[test]
fn wrong_facts_name_line_field_and_next_step() {
    let cases = [
        (
            "nameplate_charge = \"6 lb 10 oz\"",
            "nameplate_chrge = \"6 lb\"",
            "lineset.toml line LINE, equipment.nameplate_chrge: there is no field \"nameplate_chrge\" here; did you mean \"nameplate_charge\"?",
        ),
        (
            "\"6 lb 10 oz\"",
            "\"6,10 lb\"",
            "lineset.toml line LINE, equipment.nameplate_charge: \"6,10 lb\" has a comma",
        ),
        (
            "\"6 lb 10 oz\"",
            "6.6",
            "lineset.toml line LINE, equipment.nameplate_charge: invalid type: floating point `6.6`, expected a string; write it as text in quotes",
        ),
        (
            "America/Denver",
            "Denver",
            "lineset.toml line LINE, place.zone: \"Denver\" is not a time zone: use a name like America/Chicago",
        ),
        (
            "connection = \"flared\"",
            "connection = \"flare\"",
            "lineset.toml line LINE, line_set.connection: \"flare\" is none of the choices; did you mean \"flared\"? choose one of pre-charged-couplings",
        ),
        (
            "\"6000 ft\"",
            "\"6000 m\"",
            "lineset.toml line LINE, place.altitude: altitude 6000 m (19685 ft): the standard atmosphere is used here from -430 to 5,500 m (-1,400 to 18,000 ft); check the unit",
        ),
        (
            "outdoors = \"30 %\"",
            "outdoors = \"90 %\"",
            "lineset.toml line LINE, line_set.shares: the shares of the volume add up to 110 %",
        ),
        (
            "id = \"coil\"",
            "id = \"liquid-out\"",
            "lineset.toml line LINE, joint.id: \"liquid-out\" names a second joint; give every one its own id",
        ),
        (
            "1 % of full scale",
            "1 %",
            "lineset.toml line LINE, instrument.accuracy: accuracy \"1 %\": of full scale or of reading?",
        ),
        (
            "\"500 micron\"",
            "\"29.9 inHg\"",
            "lineset.toml line LINE, instructions.vacuum: \"29.9 inHg\": gauge or absolute?",
        ),
        (
            "version = 1",
            "version = 3",
            "lineset.toml line LINE, version: version 3 is newer than 1",
        ),
        ("[equipment]", "[equipment", "lineset.toml line LINE"),
    ];
    for (good, bad, expected) in cases {
        // the second joint's id is the one that is found fault with
        let text = FULL.replacen(good, bad, 1);
        let line = text
            .lines()
            .zip(1..)
            .filter(|(line, _)| line.contains(bad))
            .last();
        let expected = expected.replace("LINE", &line.unwrap().1.to_string());
        let error = opened(&text).unwrap_err();
        assert!(
            error.starts_with(&expected),
            "\n got: {error}\nwant: {expected}"
        );
    }
}

#[test]
fn a_fact_is_changed_on_its_line_and_the_event_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("lineset.toml");
    let text = format!("# the label is inside the cover\n{FULL}");
    fs::write(&path, &text).unwrap();
    let mut record = Record::open(folder.path()).unwrap();
    let (at, noted) = (minute(0), minute(1));
    let mut change = |field: &str, to: Option<&str>| {
        record
            .change(field, to, Some("read again".into()), at, noted)
            .map(|event| event.body.clone())
            .map_err(|error| error.to_string())
    };
    let EventBody::Changed(changed) =
        change("equipment.nameplate_charge", Some("6 lb 12 oz")).unwrap()
    else {
        panic!("another event")
    };
    assert_eq!(changed.from.as_deref(), Some("6 lb 10 oz"));
    assert_eq!(changed.to.as_deref(), Some("6 lb 12 oz"));
    change("joint.coil.factory", Some("false")).unwrap();
    change("place.altitude", None).unwrap();
    change("instructions.test_pressure", Some("500 psig")).unwrap();
    let expected = text
        .replace("6 lb 10 oz", "6 lb 12 oz")
        .replace("factory = true", "factory = false")
        .replace("altitude = \"6000 ft\"\n", "")
        .replace(
            "[instructions]\n",
            "[instructions]\ntest_pressure = \"500 psig\"\n",
        );
    assert_eq!(fs::read_to_string(&path).unwrap(), expected);

    for (field, to, message) in [
        (
            "equipment.nameplate",
            Some("1 lb"),
            "there is no field \"nameplate\" here",
        ),
        ("equipment.nameplate_charge", Some("6"), "has no unit"),
        (
            "joint.cool.kind",
            Some("flare"),
            "there is no joint \"cool\"; did you mean \"coil\"?",
        ),
        (
            "line_set.liquid.length",
            Some("41 ft"),
            "does not stand on a line of its own; edit it by hand",
        ),
        ("place.zone", None, "\"zone\" is missing"),
    ] {
        let error = change(field, to).unwrap_err();
        assert!(error.contains(message), "{field}: {error}");
    }
    assert_eq!(fs::read_to_string(&path).unwrap(), expected);
    assert_eq!(record.events.len(), 4);
    assert_eq!(Record::open(folder.path()).unwrap(), record);
}
