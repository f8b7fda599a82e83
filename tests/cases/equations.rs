//! The equations behind the cases: nitrogen, water, saturation. Values computed with CoolProp 8.0.0.

use lineproof::fluid::{DryGas, Refrigerant, Saturation, water};
use lineproof::quantity::{
    Barometer, Length, PressureAbs, PressureGauge, Quantity, Temperature, unit,
};

fn table(refrigerant: Refrigerant) -> &'static Saturation {
    Saturation::of(refrigerant)
}

fn at_sea(psig: f64) -> PressureAbs {
    PressureGauge::of(psig, unit::PSIG)
        .to_abs(Barometer::standard())
        .unwrap()
}

fn fahrenheit(value: f64) -> Temperature {
    Temperature::of(value, unit::FAHRENHEIT)
}

fn near(ours: f64, right: f64, tolerance: f64) {
    assert!((ours - right).abs() <= tolerance, "{ours} against {right}");
}

/// C01: the ratio on gauge pressure gives 144.6, on degF 118.4.
#[test]
fn nitrogen_cools_overnight() {
    let after = DryGas::Nitrogen
        .sealed_pressure(at_sea(150.0), fahrenheit(95.0), fahrenheit(75.0))
        .unwrap();
    near(
        after.to_gauge(Barometer::standard()).in_unit(unit::PSIG),
        143.92,
        0.005,
    );
}

/// C02: a needle that did not move while it warmed has lost 4 %. C03: 0.013 to 0.015 MPa per 1 K at
/// 3.73 MPa gauge (from 35 to 10 degC), not 0.001.
#[test]
fn nitrogen_warms() {
    let sea = Barometer::standard();
    let celsius = |t| Temperature::of(t, unit::CELSIUS);
    let before = PressureGauge::of(24.8, unit::BAR_GAUGE)
        .to_abs(sea)
        .unwrap();
    let expected = DryGas::Nitrogen
        .sealed_pressure(before, celsius(7.0), celsius(18.0))
        .unwrap();
    near(
        expected.to_gauge(sea).in_unit(unit::BAR_GAUGE),
        25.88,
        0.005,
    );
    let before = PressureGauge::of(3.73, unit::MPA_GAUGE)
        .to_abs(sea)
        .unwrap();
    for t in [10.0, 20.0, 35.0] {
        let after = DryGas::Nitrogen
            .sealed_pressure(before, celsius(t), celsius(t + 1.0))
            .unwrap();
        near((after - before).in_unit(unit::MPA_DIFF), 0.014, 0.001);
    }
}

/// C05: no constant psi-per-degree exists.
#[test]
fn psi_per_degree_grows_with_pressure() {
    for (psig, right) in [(150.0, 0.32), (300.0, 0.63), (500.0, 1.05)] {
        let (before, room) = (at_sea(psig), fahrenheit(70.0));
        let after = DryGas::Nitrogen
            .sealed_pressure(before, room, fahrenheit(71.0))
            .unwrap();
        near((after - before).in_unit(unit::PSI_DIFF), right, 0.011);
    }
}

/// C11: 500 micron is -24.5 degC, and ice; printed boiling tables are 13 to 18 K off.
#[test]
fn five_hundred_micron_is_ice() {
    let (t, phase) = water::boiling_temperature(PressureAbs::of(500.0, unit::MICRON)).unwrap();
    near(t.in_unit(unit::CELSIUS), -24.5, 0.05);
    near(t.in_unit(unit::FAHRENHEIT), -12.1, 0.05);
    assert_eq!(phase.word(), "ice");
}

/// C19: subcooling needs the pressure where the liquid is, 33 psi below the discharge tap.
#[test]
fn subcooling_after_the_pressure_drop() {
    let bubble = table(Refrigerant::R410A)
        .bubble_temperature(at_sea(388.0 - 33.0))
        .unwrap();
    near(bubble.in_unit(unit::FAHRENHEIT), 107.7, 0.05);
    near(
        (bubble - fahrenheit(95.0)).in_unit(unit::FAHRENHEIT_DIFF),
        12.7,
        0.05,
    );
    let without = table(Refrigerant::R410A)
        .bubble_temperature(at_sea(388.0))
        .unwrap();
    near(
        (without - fahrenheit(95.0)).in_unit(unit::FAHRENHEIT_DIFF),
        19.2,
        0.05,
    );
}

/// C20, C21: R-22.
#[test]
fn superheat_subcooling_and_condensing_of_r22() {
    let r22 = table(Refrigerant::R22);
    let superheat = fahrenheit(65.0) - r22.dew_temperature(at_sea(76.0)).unwrap();
    near(superheat.in_unit(unit::FAHRENHEIT_DIFF), 20.0, 0.05);
    let subcooling = r22.bubble_temperature(at_sea(260.0)).unwrap() - fahrenheit(108.0);
    near(subcooling.in_unit(unit::FAHRENHEIT_DIFF), 12.0, 0.05);
    let condensing = r22.bubble_temperature(at_sea(170.0)).unwrap();
    near(condensing.in_unit(unit::FAHRENHEIT), 90.6, 0.05);
}

/// C22: a mixture solver has a hole just here.
#[test]
fn c22_no_hole_in_the_condensing_range() {
    let r410a = table(Refrigerant::R410A);
    let right = [
        (2.58, 42.562, 42.681),
        (2.60, 42.885, 43.004),
        (2.70, 44.474, 44.593),
    ];
    for (mpa, bubble, dew) in right {
        let p = PressureAbs::of(mpa, unit::MPA_ABS);
        near(
            r410a.bubble_temperature(p).unwrap().in_unit(unit::CELSIUS),
            bubble,
            0.0006,
        );
        near(
            r410a.dew_temperature(p).unwrap().in_unit(unit::CELSIUS),
            dew,
            0.0006,
        );
    }
}

/// C23: 50/50 at 273 K has 796,880 Pa by mass and 771,733 Pa by mole.
#[test]
fn c23_blends_are_by_mass() {
    let r410a = table(Refrigerant::R410A);
    let pressure = r410a.bubble_pressure(Temperature::from_si(273.0)).unwrap();
    // five digits are printed; by mole it would be 3 % less
    near(pressure.si(), 796_880.0, 5.0);
    let parts = &Refrigerant::R410A.facts().mass_percent;
    assert_eq!(
        parts[..],
        [("R32".to_string(), 50.0), ("R125".to_string(), 50.0)]
    );
}

/// C24: R-404A at 1.01325 bar has -46.22 and -45.47 degC. The trap: with the gauge's zero taken as 1.000 bar the same
/// reading is 0.3 K colder, so the atmosphere that was used is named.
#[test]
fn c24_the_atmosphere_of_the_gauges_zero() {
    let r404a = table(Refrigerant::R404A);
    let open = PressureGauge::of(0.0, unit::BAR_GAUGE);
    let at = |barometer| {
        let pressure = open.to_abs(barometer).unwrap();
        let (bubble, dew) = (
            r404a.bubble_temperature(pressure),
            r404a.dew_temperature(pressure),
        );
        (
            bubble.unwrap().in_unit(unit::CELSIUS),
            dew.unwrap().in_unit(unit::CELSIUS),
        )
    };
    let (bubble, dew) = at(Barometer::standard());
    // printed to 0.01 K
    near(bubble, -46.22, 0.005);
    near(dew, -45.47, 0.005);
    let one_bar = Barometer::station(PressureAbs::of(1.0, unit::BAR_ABS)).unwrap();
    let (wrong_bubble, wrong_dew) = at(one_bar);
    near(bubble - wrong_bubble, 0.3, 0.05);
    near(dew - wrong_dew, 0.3, 0.05);
}

/// C25: the altitude's correction has a sign.
#[test]
fn evaporating_at_altitude() {
    let r410a = table(Refrigerant::R410A);
    let mountain = Barometer::at_altitude(Length::of(6000.0, unit::FOOT_LENGTH)).unwrap();
    let gauge = PressureGauge::of(118.0, unit::PSIG);
    let dew = |barometer| {
        r410a
            .dew_temperature(gauge.to_abs(barometer).unwrap())
            .unwrap()
    };
    near(dew(mountain).in_unit(unit::FAHRENHEIT), 38.55, 0.01);
    near(
        dew(Barometer::standard()).in_unit(unit::FAHRENHEIT),
        39.84,
        0.01,
    );
}

/// C27, C32: what an idle cylinder or condenser of pure refrigerant shows.
#[test]
fn c27_pressure_at_rest() {
    let psig = |refrigerant, f| {
        let pressure = table(refrigerant).bubble_pressure(fahrenheit(f)).unwrap();
        pressure.to_gauge(Barometer::standard()).in_unit(unit::PSIG)
    };
    near(psig(Refrigerant::R410A, 90.0), 275.3, 0.05);
    near(psig(Refrigerant::R22, 75.0), 132.2, 0.05);
    near(psig(Refrigerant::R410A, 80.0), 236.5, 0.05);
    near(psig(Refrigerant::R410A, 85.0), 255.4, 0.05);
}
