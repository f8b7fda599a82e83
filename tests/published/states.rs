//! Random states computed with the equations themselves: what the reading between the nodes of the tables adds.

use std::fs;
use std::path::Path;

use lineproof::fluid::refrigerant::{Side, Subcooled, Superheated};
use lineproof::fluid::{Refrigerant, Saturation};
use lineproof::quantity::{PressureAbs, Quantity, Temperature};

use crate::compare::{Compared, Comparison};
use crate::data::{Row, rows};

/// What the tables have to keep: K of saturation, share of density, J/kg, J/(kg K), share of heat capacity.
const KELVIN: f64 = 0.001;
pub const DENSITY: f64 = 2e-4;
const ENTHALPY: f64 = 30.0;
const ENTROPY: f64 = 0.1;
/// Beside the critical point the heat capacity has no bound.
const HEAT_CAPACITY: f64 = 0.03;

fn states(refrigerant: Refrigerant) -> Vec<Row> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/data/states");
    rows(&fs::read_to_string(folder.join(format!("{refrigerant}.csv"))).unwrap())
}

/// What a table gives for a state, in SI.
struct Ours {
    density: f64,
    enthalpy: f64,
    entropy: f64,
    /// Off saturation only.
    heat_capacity: Option<f64>,
}

fn compared(refrigerant: Refrigerant, row: &Row) -> Vec<Compared> {
    let number = |column: &str| row.number(column).unwrap();
    let temperature = Temperature::from_si(number("T_K"));
    let pressure = PressureAbs::from_si(number("p_Pa"));
    let table = Saturation::of(refrigerant);
    let at = format!("{} Pa, {} K", row.text("p_Pa"), row.text("T_K"));
    let value = |what: &str, column, ours, tolerance, unit| {
        let what = format!("{refrigerant} {what}");
        Compared::new(what, &at[..], row.text(column), ours, tolerance, unit)
    };
    let mut values = Vec::new();
    let (phase, ours) = match row.text("phase") {
        "bubble" => {
            let ours = table.temperature(Side::Bubble, pressure).unwrap().si();
            values.push(value("saturation temperature", "T_K", ours, KELVIN, "K"));
            let ours = Ours {
                density: table.liquid_density(temperature).unwrap().si(),
                enthalpy: table.liquid_enthalpy(temperature).unwrap().si(),
                entropy: table.liquid_entropy(temperature).unwrap().si(),
                heat_capacity: None,
            };
            ("saturated", ours)
        }
        "dew" => {
            let ours = table.temperature(Side::Dew, pressure).unwrap().si();
            values.push(value("saturation temperature", "T_K", ours, KELVIN, "K"));
            let ours = Ours {
                density: table.vapour_density(temperature).unwrap().si(),
                enthalpy: table.vapour_enthalpy(temperature).unwrap().si(),
                entropy: table.vapour_entropy(temperature).unwrap().si(),
                heat_capacity: None,
            };
            ("saturated", ours)
        }
        one_phase => {
            let state = match one_phase {
                "vapour" => Superheated::of(refrigerant).at(pressure, temperature),
                "liquid" => Subcooled::of(refrigerant).at(pressure, temperature),
                other => panic!("{other}"),
            };
            let state = state.unwrap();
            let ours = Ours {
                density: state.density.si(),
                enthalpy: state.enthalpy.si(),
                entropy: state.entropy.si(),
                heat_capacity: Some(state.heat_capacity.si()),
            };
            (one_phase, ours)
        }
    };
    let Ours {
        density,
        enthalpy,
        entropy,
        heat_capacity,
    } = ours;
    let named = |what: &str| format!("{phase} {what}");
    values.push(value(
        &named("density"),
        "rho_kg_m3",
        density,
        DENSITY * density,
        "kg/m3",
    ));
    values.push(value(
        &named("enthalpy"),
        "h_J_kg",
        enthalpy,
        ENTHALPY,
        "J/kg",
    ));
    values.push(value(
        &named("entropy"),
        "s_J_kgK",
        entropy,
        ENTROPY,
        "J/(kg K)",
    ));
    values.extend(heat_capacity.map(|ours| {
        let tolerance = HEAT_CAPACITY * ours;
        value(
            &named("heat capacity"),
            "cp_J_kgK",
            ours,
            tolerance,
            "J/(kg K)",
        )
    }));
    values
}

pub fn comparisons() -> Vec<Comparison> {
    let all = Refrigerant::ALL.iter().flat_map(|refrigerant| {
        let values = states(*refrigerant);
        let compared = values.iter().flat_map(|row| compared(*refrigerant, row));
        Compared::worst_of_each(compared.collect())
    });
    vec![Comparison {
        title: "Random states of all nineteen refrigerants".into(),
        source: "2000 states of each refrigerant at random inside its tables, 200 of bubble liquid, 200 of dew \
                 vapour, 600 of subcooled liquid and 1000 of superheated vapour, computed with CoolProp 8.0.0 by the \
                 program that wrote the tables"
            .into(),
        tolerance: "what reading between the nodes may cost: 0.001 K, 0.02 % of density, 30 J/kg, 0.1 J/(kg K); 3 % \
                    of heat capacity, which has no bound beside the critical point. This checks the reading, not the \
                    equations"
            .into(),
        notes: vec!["Shown is the worst of each kind.".into()],
        values: all.collect(),
    }]
}

#[test]
fn two_thousand_random_states_of_each_refrigerant() {
    for refrigerant in Refrigerant::ALL {
        assert_eq!(states(*refrigerant).len(), 2000, "{refrigerant}");
    }
    // temperature at saturation, heat capacity off it, and three more of each
    comparisons()[0].holds(19 * 2000 * 4);
}
