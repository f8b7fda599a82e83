//! Nitrogen, argon and helium against their reference equations computed elsewhere.
//!
//! States printed in the papers are held in `src/fluid/dry_gas/equation.rs`: they lie outside the range used here.

use lineproof::fluid::DryGas;
use lineproof::quantity::{PressureAbs, Quantity, Temperature, unit};

use crate::data::{Row, Worst, rows};

/// Five digits are printed: 1e-4 leaves room for nothing but another equation.
#[test]
fn compressibility_of_nitrogen() {
    let mut worst = Worst::default();
    for row in rows(include_str!("data/nitrogen_z.csv")) {
        let number = |column: &str| row.number(column).unwrap();
        let temperature = Temperature::from_si(number("temperature_k"));
        let pressure = PressureAbs::of(number("pressure_bar_abs"), unit::BAR_ABS);
        let z = DryGas::Nitrogen
            .compressibility(pressure, temperature)
            .unwrap();
        worst.see(z - number("z_coolprop8_span2000"), format!("{row:?}"));
    }
    worst.say("Z of nitrogen (CoolProp 8.0.0)", "");
    assert_eq!(worst.count, 45);
    assert!(worst.difference.abs() < 1e-4);
}

/// Slopes at constant volume: 1e-3, because the pressure is printed without decimals.
#[test]
fn nitrogen_in_a_fixed_volume() {
    let (mut z, mut kappa, mut slope) = (Worst::default(), Worst::default(), Worst::default());
    for row in rows(include_str!("data/nitrogen_isochoric.csv")) {
        let number = |column: &str| row.number(column).unwrap();
        let place = format!("{} psig, {} K", row.text("p_psig"), row.text("T_K"));
        let kelvin = number("T_K");
        let temperature = Temperature::from_si(kelvin);
        // gauge zero of the table
        let pressure = PressureAbs::of(number("p_psig") + 14.696, unit::PSIA);
        let ours = DryGas::Nitrogen
            .compressibility(pressure, temperature)
            .unwrap();
        z.see(ours - number("Z"), &place);
        let ours = DryGas::Nitrogen.kappa(pressure, temperature).unwrap();
        kappa.see(ours / number("kappa=(T/p)(dp/dT)_rho") - 1.0, &place);
        let at = |t: f64| {
            DryGas::Nitrogen
                .sealed_pressure(pressure, temperature, Temperature::from_si(t))
                .unwrap()
        };
        let ours = (at(kelvin + 0.5) - at(kelvin - 0.5)).in_unit(unit::PSI_DIFF);
        slope.see(ours / number("dpdT_real_psi_per_K") - 1.0, &place);
    }
    z.say("Z of nitrogen in a fixed volume (CoolProp 8.0.0)", "");
    kappa.say("kappa of nitrogen (CoolProp 8.0.0)", "of it");
    slope.say("psi per K of sealed nitrogen (CoolProp 8.0.0)", "of it");
    assert_eq!(kappa.count, 54);
    assert!(z.difference.abs() < 1e-4);
    assert!(kappa.difference.abs() < 1e-3);
    assert!(slope.difference.abs() < 1e-3);
}

fn gas(row: &Row) -> DryGas {
    *DryGas::ALL
        .iter()
        .find(|gas| gas.name() == row.text("gas"))
        .unwrap()
}

/// The same equations over the whole range: only rounding is left, eight digits are printed. The reducing density of
/// argon has ten digits in the table.
#[test]
fn argon_and_helium() {
    let (mut density, mut z, mut kappa) = (Worst::default(), Worst::default(), Worst::default());
    for row in rows(include_str!("data/argon_helium.csv")) {
        let (gas, number) = (gas(&row), |column: &str| row.number(column).unwrap());
        let place = format!(
            "{gas} {} K, {} bar",
            row.text("temperature_k"),
            row.text("pressure_bar_abs")
        );
        let temperature = Temperature::from_si(number("temperature_k"));
        let pressure = PressureAbs::of(number("pressure_bar_abs"), unit::BAR_ABS);
        let ours = gas.density(pressure, temperature).unwrap().si();
        density.see(ours / number("density_kg_m3") - 1.0, &place);
        let ours = gas.compressibility(pressure, temperature).unwrap();
        z.see(ours - number("z"), &place);
        let ours = gas.kappa(pressure, temperature).unwrap();
        kappa.see(ours - number("kappa"), &place);
    }
    density.say("density of argon and helium (CoolProp 8.0.0)", "of it");
    z.say("Z of argon and helium (CoolProp 8.0.0)", "");
    kappa.say("kappa of argon and helium (CoolProp 8.0.0)", "");
    assert_eq!(kappa.count, 384);
    assert!(density.difference.abs() < 5e-8);
    assert!(z.difference.abs() < 2e-8);
    assert!(kappa.difference.abs() < 2e-8);
}

/// A sealed volume warmed and cooled: pressure and the integral of kappa d ln T, eight digits.
#[test]
fn argon_and_helium_in_a_fixed_volume() {
    let (mut pressure, mut integral) = (Worst::default(), Worst::default());
    for row in rows(include_str!("data/argon_helium_sealed.csv")) {
        let (gas, number) = (gas(&row), |column: &str| row.number(column).unwrap());
        let place = format!("{row:?}");
        let start = PressureAbs::of(number("pressure_bar_abs"), unit::BAR_ABS);
        let [before, after] = ["before_k", "after_k"].map(|t| Temperature::from_si(number(t)));
        let ours = gas.sealed_pressure(start, before, after).unwrap();
        pressure.see(
            ours.in_unit(unit::BAR_ABS) / number("after_bar_abs") - 1.0,
            &place,
        );
        let density = gas.density(start, before).unwrap();
        let ours = gas.kappa_integral(density, before, after).unwrap();
        integral.see(ours - number("ln_ratio"), &place);
    }
    pressure.say("sealed argon and helium (CoolProp 8.0.0)", "of it");
    integral.say("integral of kappa d ln T (CoolProp 8.0.0)", "");
    assert!(integral.count > 60, "{}", integral.count);
    assert!(pressure.difference.abs() < 5e-8);
    assert!(integral.difference.abs() < 5e-9);
}
