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
    /// Not held to anything: pressures of the four, as shares.
    left_out: Vec<(Refrigerant, f64)>,
    outside: Vec<String>,
}

fn all() -> Found {
    let mut found = Found {
        values: Vec::new(),
        left_out: Vec::new(),
        outside: Vec::new(),
    };
    for row in rows(include_str!("data/saturation_blends_coolprop8.csv")) {
        if PSEUDO_PURE.contains(&row.text("refrigerant")) {
            found.left_out.extend(mixture_less_pseudo_pure(&row));
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

fn side(row: &Row) -> Side {
    match row.text("side") {
        "bubble" => Side::Bubble,
        "dew" => Side::Dew,
        other => panic!("{other}"),
    }
}

/// How far the mixture of the components is from our table, as a share of pressure; nothing outside the table.
fn mixture_less_pseudo_pure(row: &Row) -> Option<(Refrigerant, f64)> {
    let refrigerant: Refrigerant = row.text("refrigerant").parse().unwrap();
    let temperature = Temperature::of(row.number("temperature_c").unwrap(), unit::CELSIUS);
    let ours = Saturation::of(refrigerant)
        .pressure(side(row), temperature)
        .ok()?;
    let mixture = row.number("pressure_kpa_abs_continuation").unwrap();
    Some((refrigerant, mixture / ours.in_unit(unit::KPA_ABS) - 1.0))
}

/// "R-404A by 0.1 %, ...".
fn left_out(rows: &[(Refrigerant, f64)]) -> String {
    let worst = |name: &&str| {
        let own = rows
            .iter()
            .filter(|(refrigerant, _)| refrigerant.name() == *name);
        let share = own.map(|(_, share)| share.abs()).fold(0.0, f64::max);
        format!("{name} by {:.2} %", 100.0 * share)
    };
    PSEUDO_PURE.iter().map(worst).collect::<Vec<_>>().join(", ")
}

/// Pressure and the density of the fixed phase; nothing outside the table.
fn compared(row: &Row) -> Option<[Compared; 2]> {
    let refrigerant: Refrigerant = row.text("refrigerant").parse().unwrap();
    let table = Saturation::of(refrigerant);
    let temperature = Temperature::of(row.number("temperature_c").unwrap(), unit::CELSIUS);
    // the liquid column of a table belongs to the bubble side, the vapour column to the dew side
    let side = side(row);
    let (column, phase, density) = match side {
        Side::Bubble => (
            "rho_liquid_kg_m3",
            "liquid",
            table.liquid_density(temperature),
        ),
        Side::Dew => (
            "rho_vapor_kg_m3",
            "vapour",
            table.vapour_density(temperature),
        ),
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
                "Left out are the four whose tables come from the pseudo-pure equations, which agree with their \
                 paper's state points. The mixture computed here differs from them in pressure, at most {}.",
                self::left_out(&left_out)
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
    let values = 2 * (3111 - 1085 - 22);
    // the four's own rows beyond the end of their tables
    assert_eq!((found.left_out.len(), found.outside.len()), (1085 - 13, 22));
    comparisons()[0].holds(values);
}
