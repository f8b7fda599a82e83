//! Nitrogen, argon and helium against their reference equations computed elsewhere.
//!
//! States printed in the papers are held in `src/fluid/dry_gas/equation.rs`: they lie outside the range used here.

use lineproof::fluid::DryGas;
use lineproof::quantity::{PressureAbs, Quantity, Temperature, unit};

use crate::compare::{Compared, Comparison};
use crate::data::{Row, rows};

fn temperature(row: &Row, column: &str) -> Temperature {
    Temperature::from_si(row.number(column).unwrap())
}

fn bar(row: &Row) -> PressureAbs {
    PressureAbs::of(row.number("pressure_bar_abs").unwrap(), unit::BAR_ABS)
}

fn compressibility_of_nitrogen() -> Comparison {
    let compared = |row: &Row| {
        let temperature = temperature(row, "temperature_k");
        let z = DryGas::Nitrogen.compressibility(bar(row), temperature);
        let at = format!(
            "{} bar, {} K",
            row.text("pressure_bar_abs"),
            row.text("temperature_k")
        );
        let printed = row.text("z_coolprop8_span2000");
        Compared::new("Z of nitrogen", at, printed, z.unwrap(), 1e-4, "")
    };
    Comparison {
        title: "Compressibility of nitrogen".into(),
        source: "the equation of Span and others (2000), computed with CoolProp 8.0.0".into(),
        tolerance: "the same equation; five digits are printed: 1e-4 leaves room for nothing but another equation".into(),
        notes: Vec::new(),
        values: rows(include_str!("data/nitrogen_z.csv")).iter().map(compared).collect(),
    }
}

fn nitrogen_in_a_fixed_volume() -> Comparison {
    let compared = |row: &Row| {
        let start = temperature(row, "T_K");
        // gauge zero of the table
        let pressure = PressureAbs::of(row.number("p_psig").unwrap() + 14.696, unit::PSIA);
        let at = format!("{} psig, {} K", row.text("p_psig"), row.text("T_K"));
        let value = |what, column, ours, tolerance, unit| {
            Compared::new(what, &at[..], row.text(column), ours, tolerance, unit)
        };
        let share = |column| 1e-3 * row.number(column).unwrap();
        let (kappa, slope) = ("kappa=(T/p)(dp/dT)_rho", "dpdT_real_psi_per_K");
        let sealed = |kelvin: f64| {
            let to = Temperature::from_si(start.si() + kelvin);
            DryGas::Nitrogen
                .sealed_pressure(pressure, start, to)
                .unwrap()
        };
        let rise = (sealed(0.5) - sealed(-0.5)).in_unit(unit::PSI_DIFF);
        let z = DryGas::Nitrogen.compressibility(pressure, start).unwrap();
        let ours = DryGas::Nitrogen.kappa(pressure, start).unwrap();
        [
            value("Z of nitrogen", "Z", z, 1e-4, ""),
            value("kappa of nitrogen", kappa, ours, share(kappa), ""),
            value(
                "rise of sealed nitrogen",
                slope,
                rise,
                share(slope),
                "psi/K",
            ),
        ]
    };
    Comparison {
        title: "Nitrogen in a fixed volume".into(),
        source: "the equation of Span and others (2000), computed with CoolProp 8.0.0".into(),
        tolerance: "the same equation: 1e-4 of Z; 0.1 % of the slopes, because the pressure is printed without decimals".into(),
        notes: Vec::new(),
        values: rows(include_str!("data/nitrogen_isochoric.csv")).iter().flat_map(compared).collect(),
    }
}

fn gas(row: &Row) -> DryGas {
    *DryGas::ALL
        .iter()
        .find(|gas| gas.name() == row.text("gas"))
        .unwrap()
}

const ARGON_AND_HELIUM: &str = "the equations named in tables/gas, computed with CoolProp 8.0.0";

fn argon_and_helium() -> Comparison {
    let compared = |row: &Row| {
        let (gas, at_k, pressure) = (gas(row), temperature(row, "temperature_k"), bar(row));
        let at = format!(
            "{} bar, {} K",
            row.text("pressure_bar_abs"),
            row.text("temperature_k")
        );
        let value = |what, column, ours, tolerance, unit| {
            let what = format!("{what} of {gas}");
            Compared::new(what, &at[..], row.text(column), ours, tolerance, unit)
        };
        let density = gas.density(pressure, at_k).unwrap().si();
        let z = gas.compressibility(pressure, at_k).unwrap();
        [
            value("density", "density_kg_m3", density, 5e-8 * density, "kg/m3"),
            value("Z", "z", z, 2e-8, ""),
            value(
                "kappa",
                "kappa",
                gas.kappa(pressure, at_k).unwrap(),
                2e-8,
                "",
            ),
        ]
    };
    let values = rows(include_str!("data/argon_helium.csv"))
        .iter()
        .flat_map(compared)
        .collect();
    Comparison {
        title: "Argon and helium".into(),
        source: ARGON_AND_HELIUM.into(),
        tolerance: "the same equations over the whole range: only rounding is left, eight digits are printed: 5e-8 of \
                    density, 2e-8 of Z and kappa"
            .into(),
        notes: Vec::new(),
        values: Compared::worst_of_each(values),
    }
}

fn argon_and_helium_in_a_fixed_volume() -> Comparison {
    let compared = |row: &Row| {
        let (gas, start) = (gas(row), bar(row));
        let (before, after) = (temperature(row, "before_k"), temperature(row, "after_k"));
        let at = format!(
            "{} bar, {} to {} K",
            row.text("pressure_bar_abs"),
            row.text("before_k"),
            row.text("after_k")
        );
        let value = |what, column, ours, tolerance, unit| {
            let what = format!("{what} of {gas}");
            Compared::new(what, &at[..], row.text(column), ours, tolerance, unit)
        };
        let pressure = gas
            .sealed_pressure(start, before, after)
            .unwrap()
            .in_unit(unit::BAR_ABS);
        let density = gas.density(start, before).unwrap();
        let integral = gas.kappa_integral(density, before, after).unwrap();
        [
            value(
                "sealed pressure",
                "after_bar_abs",
                pressure,
                5e-8 * pressure,
                "bar",
            ),
            value("integral of kappa d ln T", "ln_ratio", integral, 5e-9, ""),
        ]
    };
    let values = rows(include_str!("data/argon_helium_sealed.csv"))
        .iter()
        .flat_map(compared)
        .collect();
    Comparison {
        title: "Argon and helium in a fixed volume".into(),
        source: ARGON_AND_HELIUM.into(),
        tolerance: "the same equations, eight digits: 5e-8 of pressure, 5e-9 of the integral"
            .into(),
        notes: Vec::new(),
        values: Compared::worst_of_each(values),
    }
}

pub fn comparisons() -> Vec<Comparison> {
    vec![
        compressibility_of_nitrogen(),
        nitrogen_in_a_fixed_volume(),
        argon_and_helium(),
        argon_and_helium_in_a_fixed_volume(),
    ]
}

#[test]
fn nitrogen() {
    compressibility_of_nitrogen().holds(45);
    nitrogen_in_a_fixed_volume().holds(54 * 3);
}

#[test]
fn argon_and_helium_as_computed() {
    argon_and_helium().holds(384 * 3);
    argon_and_helium_in_a_fixed_volume().holds(71 * 2);
}
