//! Between the rows of a table the curve has to meet the equations themselves.

use lineproof::fluid::refrigerant::Side;
use lineproof::fluid::{Refrigerant, Saturation};
use lineproof::quantity::{PressureAbs, Quantity, Temperature, unit};

use crate::compare::{Compared, Comparison};
use crate::data::{Row, rows};

fn compared(row: &Row) -> Vec<Compared> {
    let refrigerant: Refrigerant = row.text("refrigerant").parse().unwrap();
    let table = Saturation::of(refrigerant);
    let kelvin = row.text("T_K");
    let t = Temperature::from_si(kelvin.parse().unwrap());
    let temperature = |side: Side, column| {
        let pressure = PressureAbs::from_si(row.number(column).unwrap());
        let ours = table.temperature(side, pressure).unwrap().si();
        let at = format!("{refrigerant}, {:.3} kPa", pressure.in_unit(unit::KPA_ABS));
        Compared::new(format!("{side} temperature"), at, kelvin, ours, 8e-5, "K")
    };
    let value = |what: &str, column, ours: f64, tolerance, unit| {
        let at = format!("{refrigerant}, {kelvin} K");
        Compared::new(what, at, row.text(column), ours, tolerance, unit)
    };
    let density = |what, column, ours: f64| value(what, column, ours, 1.5e-4 * ours, "kg/m3");
    let enthalpy = |what, column, ours| value(what, column, ours, 20.0, "J/kg");
    let entropy = |what, column, ours| value(what, column, ours, 0.05, "J/(kg K)");
    vec![
        temperature(Side::Bubble, "p_bubble_Pa"),
        temperature(Side::Dew, "p_dew_Pa"),
        density(
            "liquid density",
            "rho_l_kg_m3",
            table.liquid_density(t).unwrap().si(),
        ),
        density(
            "vapour density",
            "rho_v_kg_m3",
            table.vapour_density(t).unwrap().si(),
        ),
        enthalpy(
            "liquid enthalpy",
            "h_l_J_kg",
            table.liquid_enthalpy(t).unwrap().si(),
        ),
        enthalpy(
            "vapour enthalpy",
            "h_v_J_kg",
            table.vapour_enthalpy(t).unwrap().si(),
        ),
        entropy(
            "liquid entropy",
            "s_l_J_kgK",
            table.liquid_entropy(t).unwrap().si(),
        ),
        entropy(
            "vapour entropy",
            "s_v_J_kgK",
            table.vapour_entropy(t).unwrap().si(),
        ),
    ]
}

fn all() -> Vec<Row> {
    rows(include_str!("data/saturation_between_rows.csv"))
}

pub fn comparisons() -> Vec<Comparison> {
    vec![Comparison {
        title: "Half-way between the rows of six tables".into(),
        source: "the equations of state at temperatures that have no row, computed with CoolProp 8.0.0 by the \
                 program that wrote the tables"
            .into(),
        tolerance: "what a cubic between rows 1 K apart may cost: 0.00008 K; 0.015 % of density, 20 J/kg and \
                    0.05 J/(kg K), which bend hard in the last degrees below the critical point. This checks the \
                    curve, not the equations"
            .into(),
        notes: Vec::new(),
        values: Compared::worst_of_each(all().iter().flat_map(compared).collect()),
    }]
}

#[test]
fn half_way_between_rows() {
    let rows = all();
    let with_rows = |r: &&Refrigerant| rows.iter().any(|row| row.text("refrigerant") == r.name());
    assert_eq!(Refrigerant::ALL.iter().filter(with_rows).count(), 6);
    comparisons()[0].holds(8 * rows.len());
}
