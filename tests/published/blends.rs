//! Blends against the generator's method, computed independently: the phases of the mixture followed by continuation.

use lineproof::fluid::refrigerant::Side;
use lineproof::fluid::{Refrigerant, Saturation};
use lineproof::quantity::{Quantity, Temperature, unit};

use crate::compare::{Compared, Comparison, half_last_digit};
use crate::data::{Row, rows};

/// Their tables come from another equation than the mixture's.
const PSEUDO_PURE: [&str; 4] = ["R-404A", "R-407C", "R-410A", "R-507A"];

/// The generator to 1e-7, and half a unit of a table's seventh digit, at most 5e-7.
const SHARE: f64 = 1e-7 + 5e-7;

struct Found {
    values: Vec<Compared>,
    left_out: usize,
    outside: Vec<String>,
}

fn all() -> Found {
    let mut found = Found {
        values: Vec::new(),
        left_out: 0,
        outside: Vec::new(),
    };
    for row in rows(include_str!("data/saturation_blends_coolprop8.csv")) {
        if PSEUDO_PURE.contains(&row.text("refrigerant")) {
            found.left_out += 1;
            continue;
        }
        match compared(&row) {
            Some(both) => found.values.extend(both),
            None => found.outside.push(format!(
                "{} {} {}",
                row.text("refrigerant"),
                row.text("side"),
                row.text("temperature_c")
            )),
        }
    }
    found
}

/// Pressure and the density of the fixed phase; nothing outside the table.
fn compared(row: &Row) -> Option<[Compared; 2]> {
    let refrigerant: Refrigerant = row.text("refrigerant").parse().unwrap();
    let table = Saturation::of(refrigerant);
    let temperature = Temperature::of(row.number("temperature_c").unwrap(), unit::CELSIUS);
    // the liquid column of a table belongs to the bubble side, the vapour column to the dew side
    let (side, column, phase, density) = match row.text("side") {
        "bubble" => (
            Side::Bubble,
            "rho_liquid_kg_m3",
            "liquid",
            table.liquid_density(temperature),
        ),
        "dew" => (
            Side::Dew,
            "rho_vapor_kg_m3",
            "vapour",
            table.vapour_density(temperature),
        ),
        other => panic!("{other}"),
    };
    let kpa = table
        .pressure(side, temperature)
        .ok()?
        .in_unit(unit::KPA_ABS);
    let value = |what: String, column: &str, ours: f64, unit| {
        let printed = row.text(column);
        let tolerance = half_last_digit(printed) + SHARE * ours;
        Compared::new(
            what,
            format!("{} degC", row.text("temperature_c")),
            printed,
            ours,
            tolerance,
            unit,
        )
    };
    Some([
        value(
            format!("{refrigerant} {side} pressure"),
            "pressure_kpa_abs_continuation",
            kpa,
            "kPa",
        ),
        value(
            format!("{refrigerant} {phase} density"),
            column,
            density.unwrap().si(),
            "kg/m3",
        ),
    ])
}

pub fn comparisons() -> Vec<Comparison> {
    let Found {
        values,
        left_out,
        outside,
    } = all();
    vec![Comparison {
        title: "Seven blends by continuation".into(),
        source: "computed with CoolProp 8.0.0 mixture fugacities by continuation, apart from the program that wrote \
                 our tables; every whole degree, both sides"
            .into(),
        tolerance: "the same equations: half a unit of the last printed digit, 1e-7 for the method and 5e-7 for the \
                    seventh digit of our tables. This checks how the tables were made, not the equations"
            .into(),
        notes: vec![
            format!(
                "{} ({left_out} rows) are left out: their tables come from the pseudo-pure equations, which agree \
                 with their paper's state points; the mixture computed here differs from them by up to 0.03 % in \
                 pressure.",
                PSEUDO_PURE.join(", ")
            ),
            format!(
                "{} rows lie nearer to the critical point than our tables go: {}.",
                outside.len(),
                outside.join(", ")
            ),
        ],
        values: Compared::worst_of_each(values),
    }]
}

#[test]
fn by_continuation() {
    let found = all();
    let total = found.values.len() / 2 + found.left_out + found.outside.len();
    assert_eq!((total, found.left_out), (3111, 266 + 293 + 264 + 262));
    for row in &found.outside {
        println!("outside: {row}");
    }
    comparisons()[0].holds(2 * (3111 - found.left_out - found.outside.len()));
}
