//! What belongs in, as the facts and the weighings say it.

use std::fs;

use lineproof::check::charge::{Criteria, Shipped as Came, adjustment, came_in_lines, plan};
use lineproof::quantity::{Mass, Quantity, unit};
use lineproof::record::*;

use super::{event, minute, quantity};

const HEADS: &str = r#"version = 1
name = "bakery with two ovens"

[place]
country = "EU"
zone = "Europe/Lisbon"

[equipment]
refrigerant = "R-32"
nameplate_charge = "2.4 kg"
charge_factor = "12 g/m"

[[equipment.accessory]]
name = "branch box"
mass = "120 g"

[[equipment.accessory]]
name = "small coil"
mass = "-30 g"

[line_set]
connection = "flared"
state = "new"

[[line_set.run]]
name = "shop"
length = "12 m"
included_length = "8 m"
liquid_od = "1/4 in"
vapour_od = "1/2 in"

[[line_set.run]]
name = "store"
head = "none"
included_length = "8 m"

[[line_set.run]]
name = "ovens"
length = "14 m"
included_length = "8 m"
charge_factor = "24 g/m"
label = "40 g"
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

fn grams(mass: Mass) -> f64 {
    (10.0 * mass.in_unit(unit::GRAM)).round() / 10.0
}

#[test]
fn heads_ports_accessories_and_labels_reach_the_check() {
    let input = opened(HEADS).unwrap().charge_input(&[]).unwrap().unwrap();
    let sum = adjustment(&input.runs, &input.accessories);
    let each: Vec<(&str, f64)> = sum
        .lines
        .iter()
        .map(|l| (l.label.as_str(), grams(l.mass)))
        .collect();
    assert_eq!(
        each,
        [
            ("shop", 48.0),
            ("store (no head)", -96.0),
            ("ovens", 144.0),
            ("branch box", 120.0),
            ("small coil", -30.0),
        ]
    );
    assert_eq!(grams(sum.total), 186.0);
    assert_eq!(grams(came_in_lines(&input.runs).total), 40.0);
    assert!(input.runs[0].tubes.is_some() && input.runs[2].tubes.is_none());
    assert_eq!(input.shipped, Came::Charged);
}

#[test]
fn one_included_length_may_serve_all_runs() {
    let text = HEADS
        .replace("included_length = \"8 m\"\n", "")
        .replace("charge_factor = \"24 g/m\"\n", "")
        .replace(
            "nameplate_charge",
            "included_length = \"30 m\"\nnameplate_charge",
        );
    let input = opened(&text).unwrap().charge_input(&[]).unwrap().unwrap();
    // 12 m and 14 m less 30 m, at 12 g/m, and 90 g of accessories
    assert_eq!(
        grams(adjustment(&input.runs, &input.accessories).total),
        -48.0 + 90.0
    );
    assert_eq!(
        input.accessories[0].name,
        "30 m included for all runs together"
    );
    // without it nobody knows what the nameplate charge serves
    let text = text.replace("included_length = \"30 m\"\n", "");
    assert!(opened(&text).unwrap().charge_input(&[]).unwrap().is_none());
}

#[test]
fn a_unit_may_come_empty() {
    let text = HEADS.replace(
        "[[equipment.accessory]]\nname = \"branch",
        "shipped = \"empty\"\n\n[[equipment.accessory]]\nname = \"branch",
    );
    let input = opened(&text).unwrap().charge_input(&[]).unwrap().unwrap();
    assert_eq!(input.shipped, Came::Empty);
    let plan = plan(&input, &Criteria::default(), None, None).unwrap();
    assert_eq!(grams(plan.still), 2400.0 + 186.0 - 40.0);
}

#[test]
fn runs_are_written_back_the_same_and_changed_by_their_name() {
    let record = opened(HEADS).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let mut created = Record::create(folder.path(), record.lineset.clone()).unwrap();
    assert_eq!(created.lineset, record.lineset);
    let mut change = |field: &str, to: &str| {
        created
            .change(field, Some(to), None, minute(0), minute(1))
            .map(|_| ())
            .map_err(|error| error.to_string())
    };
    change("line_set.run.ovens.length", "15 m").unwrap();
    change("equipment.accessory.small coil.mass", "-25 g").unwrap();
    let error = change("line_set.run.oven.length", "15 m").unwrap_err();
    assert!(
        error.contains("there is no line_set.run \"oven\"; did you mean \"ovens\"?"),
        "{error}"
    );
    let input = created.charge_input(&[]).unwrap().unwrap();
    assert_eq!(
        grams(adjustment(&input.runs, &input.accessories).total),
        186.0 + 24.0 + 5.0
    );
}

#[test]
fn runs_that_do_not_fit_are_refused_with_their_line() {
    for (good, bad, expected) in [
        (
            "length = \"12 m\"\n",
            "",
            "run \"shop\" has no length; add its length as installed, or head = \"none\"",
        ),
        (
            "head = \"none\"\n",
            "head = \"none\"\nlength = \"3 m\"\n",
            "run \"store\" has 3 m of line and no head",
        ),
        (
            "name = \"store\"",
            "name = \"shop\"",
            "\"shop\" names a second line_set.run; give every one its own name",
        ),
        (
            "name = \"small coil\"",
            "name = \"branch box\"",
            "\"branch box\" names a second equipment.accessory",
        ),
        (
            "length = \"12 m\"\nincluded_length = \"8 m\"\n",
            "length = \"12 m\"\n",
            "run \"shop\" has no included length, and others have",
        ),
        (
            "head = \"none\"\n",
            "head = \"none\"\nlabel = \"40 g\"\n",
            "run \"store\" has a line's label and no head",
        ),
        (
            "state = \"new\"\n",
            "state = \"new\"\nlabel = \"40 g\"\n",
            "line_set.label: it is the label of a single line, and there are runs",
        ),
        (
            "label = \"40 g\"",
            "label = \"40\"",
            "line_set.run.label: \"40\" has no unit",
        ),
        (
            "head = \"none\"",
            "head = \"no\"",
            "line_set.run.head: \"no\" is none of the choices",
        ),
        (
            "mass = \"-30 g\"",
            "mass = \"-30\"",
            "equipment.accessory.mass: \"30\" has no unit",
        ),
    ] {
        assert!(HEADS.contains(good), "{good}");
        let error = opened(&HEADS.replacen(good, bad, 1)).unwrap_err();
        assert!(
            error.starts_with("lineset.toml line ") && error.contains(expected),
            "\n got: {error}\nwant: {expected}"
        );
    }
    let shared = HEADS.replace("included_length = \"8 m\"\n", "").replace(
        "nameplate_charge",
        "included_length = \"30 m\"\nnameplate_charge",
    );
    let error = opened(&shared).unwrap_err();
    assert!(
        error.contains("equipment.included_length: it serves runs with different charge factors"),
        "{error}"
    );
}

fn by_cylinder() -> Weighed {
    Weighed {
        mass: None,
        cylinder_before: Some(quantity("9.84 kg")),
        cylinder_after: Some(quantity("9.60 kg")),
        zero_after: Some(quantity("-4 g")),
        hose: Some(HoseLeftFull {
            length: quantity("1.5 m"),
            bore: quantity("5 mm"),
        }),
        direction: Direction::In,
        by: Person::Technician,
        scale: None,
    }
}

#[test]
fn a_weighing_by_the_cylinder_counts_with_drift_and_hose() {
    let record = opened(HEADS).unwrap();
    let event = event(1, 0, by_cylinder());
    let input = record.charge_input(&[&event]).unwrap().unwrap();
    let weighed = input.weighed_in.unwrap();
    // 240 g by the cylinder, half of 4 g of drift, 29.45 mL of liquid R-32 at 981 kg/m3 in the hose
    assert!(
        (grams(weighed.mass.value) - (240.0 - 2.0 - 28.9)).abs() < 0.2,
        "{weighed:?}"
    );
    // two readings within 0.5 oz, 4 g of drift, 25 % of the hose
    let u = (2.0 * 14.175f64.powi(2) / 3.0 + 16.0 / 12.0 + (0.25 * 28.9f64).powi(2) / 3.0).sqrt();
    assert!((weighed.mass.standard_uncertainty.in_unit(unit::GRAM) - u).abs() < 0.05);
    assert_eq!(weighed.dominant().unwrap().0, "the scale");
}

#[test]
fn a_weighing_states_one_way_or_the_other() {
    let record = opened(HEADS).unwrap();
    let refused = |weighed: Weighed| {
        let new = NewEvent::new(minute(0), minute(1), weighed);
        record.fits(&new).unwrap_err().to_string()
    };
    for (weighed, says) in [
        (
            Weighed {
                mass: Some(quantity("240 g")),
                ..by_cylinder()
            },
            "weighed, mass: there is a mass and a reading of the cylinder as well",
        ),
        (
            Weighed {
                cylinder_after: None,
                ..by_cylinder()
            },
            "weighed, cylinder_after: the cylinder was weighed before only",
        ),
        (
            Weighed {
                cylinder_before: None,
                ..by_cylinder()
            },
            "weighed, cylinder_before: the cylinder was weighed afterwards only",
        ),
        (
            Weighed {
                cylinder_before: None,
                cylinder_after: None,
                ..by_cylinder()
            },
            "weighed, mass: there is neither a mass nor the cylinder's readings",
        ),
    ] {
        let error = refused(weighed);
        assert!(error.starts_with(says), "\n got: {error}\nwant: {says}");
    }
}
