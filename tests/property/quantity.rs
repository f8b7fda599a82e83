//! What is printed can be typed again; gauge and absolute pressures come back through the atmosphere.

use lineproof::quantity::*;
use proptest::prelude::*;

/// Prints in a unit system, types that again, prints once more: the same number.
fn comes_back<Q: Quantity>(si: f64, system: UnitSystem) -> Result<(), TestCaseError> {
    let shown = Q::from_si(si).show(system);
    let text = shown.to_string();
    let typed = parse::<Q>(&text);
    let typed = typed.map_err(|e| TestCaseError::fail(format!("{text}: {e}")))?;
    let unit = Q::units().iter().find(|u| u.symbol == shown.unit).unwrap();
    // half a step of the last digit printed
    let step = 0.5 * 10f64.powi(-(shown.decimals as i32));
    let back = typed.value.in_unit(*unit);
    prop_assert!(
        (back - shown.value).abs() <= step * (1.0 + 1e-9) + 1e-12 * shown.value.abs(),
        "{text} came back as {back}, was {}",
        shown.value
    );
    Ok(())
}

/// Values from `low` to `high` in SI, small ones as likely as large ones.
fn spread(low: f64, high: f64) -> impl Strategy<Value = f64> {
    (low.ln()..high.ln()).prop_map(f64::exp)
}

fn system() -> impl Strategy<Value = UnitSystem> {
    prop_oneof![Just(UnitSystem::Us), Just(UnitSystem::Si)]
}

macro_rules! typed_again {
    ($($name:ident: $quantity:ident, $values:expr;)*) => {
        proptest! {
            $(#[test]
            fn $name(si in $values, system in system()) {
                comes_back::<$quantity>(si, system)?;
            })*
        }
    };
}

typed_again! {
    absolute_pressures: PressureAbs, spread(1.0, 1e7);
    gauge_pressures: PressureGauge, -1e5..1e7;
    pressure_differences: PressureDiff, -1e6..1e6;
    temperatures: Temperature, 100.0..600.0;
    temperature_differences: TemperatureDiff, -100.0..100.0;
    masses: Mass, spread(1e-3, 100.0);
    lengths: Length, spread(1e-2, 1e3);
    areas: Area, spread(1e-2, 1e4);
    volumes: Volume, spread(1e-5, 1.0);
    durations: Duration, spread(1.0, 1e6);
    charges_per_length: MassPerLength, spread(1e-4, 1.0);
    densities: Density, spread(1e-3, 2e3);
    enthalpies: SpecificEnthalpy, -1e5..8e5;
    entropies: SpecificEntropy, -1e3..4e3;
    heat_capacities: HeatCapacity, spread(500.0, 5e3);
    viscosities: Viscosity, spread(5e-6, 1e-3);
    torques: Torque, spread(0.1, 500.0);
    pressure_rates: PressureRate, -10.0..10.0;
    leak_rates: LeakRate, spread(1e-9, 1.0);
    mass_rates: MassRate, -1e-6..1e-6;
    voltages: Voltage, spread(1.0, 1000.0);
    currents: Current, spread(0.1, 200.0);
    shares: Fraction, 0.0..1.0;
}

proptest! {
    /// 1e-12 of the larger of the two: one rounding of the sum.
    #[test]
    fn gauge_to_absolute_and_back(pa in -40e3..10e6f64, station in 50e3..110e3f64) {
        let barometer = Barometer::station(PressureAbs::from_si(station)).unwrap();
        let gauge = PressureGauge::from_si(pa);
        let back = gauge.to_abs(barometer).unwrap().to_gauge(barometer);
        prop_assert!((back.si() - pa).abs() <= 1e-12 * (pa.abs() + station));
    }

    #[test]
    fn an_altitude_and_its_barometer_agree(metres in -400.0..5000.0f64, pa in 0.0..5e6f64) {
        let altitude = Barometer::at_altitude(Length::from_si(metres)).unwrap();
        let station = Barometer::station(altitude.pressure()).unwrap();
        let gauge = PressureGauge::from_si(pa);
        prop_assert_eq!(gauge.to_abs(altitude).unwrap(), gauge.to_abs(station).unwrap());
    }

    #[test]
    fn higher_up_the_air_is_thinner(metres in -400.0..5000.0f64, more in 1.0..400.0f64) {
        let at = |h| Barometer::at_altitude(Length::from_si(h)).unwrap().pressure();
        prop_assert!(at(metres + more) < at(metres));
    }
}
