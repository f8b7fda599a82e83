//! Nitrogen against the reference equation computed elsewhere.

use lineproof::fluid::nitrogen;
use lineproof::quantity::{PressureAbs, Quantity, Temperature, unit};

use crate::data::{Worst, rows};

/// Five digits are printed: 1e-4 leaves room for nothing but another equation.
#[test]
fn compressibility() {
    let mut worst = Worst::default();
    for row in rows(include_str!("data/nitrogen_z.csv")) {
        let number = |column: &str| row.number(column).unwrap();
        let temperature = Temperature::from_si(number("temperature_k"));
        let pressure = PressureAbs::of(number("pressure_bar_abs"), unit::BAR_ABS);
        let z = nitrogen::compressibility(pressure, temperature).unwrap();
        worst.see(z - number("z_coolprop8_span2000"), format!("{row:?}"));
    }
    worst.say("Z of nitrogen (CoolProp 8.0.0)", "");
    assert_eq!(worst.count, 45);
    assert!(worst.difference.abs() < 1e-4);
}

/// Slopes at constant volume: 1e-3, because the pressure is printed without decimals.
#[test]
fn pressure_of_a_fixed_volume() {
    let (mut z, mut kappa, mut slope) = (Worst::default(), Worst::default(), Worst::default());
    for row in rows(include_str!("data/nitrogen_isochoric.csv")) {
        let number = |column: &str| row.number(column).unwrap();
        let place = format!("{} psig, {} K", row.text("p_psig"), row.text("T_K"));
        let kelvin = number("T_K");
        let temperature = Temperature::from_si(kelvin);
        // gauge zero of the table
        let pressure = PressureAbs::of(number("p_psig") + 14.696, unit::PSIA);
        let ours = nitrogen::compressibility(pressure, temperature).unwrap();
        z.see(ours - number("Z"), &place);
        let ours = nitrogen::kappa(pressure, temperature).unwrap();
        kappa.see(ours / number("kappa=(T/p)(dp/dT)_rho") - 1.0, &place);
        let at = |t: f64| {
            nitrogen::sealed_pressure(pressure, temperature, Temperature::from_si(t)).unwrap()
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
