//! What must hold whatever the numbers.

use proptest::prelude::*;

use super::tests::{at_liquid_line, fahrenheit, psig};
use super::{LowSide, Surroundings, subcooling, superheat};
use crate::fluid::Refrigerant;
use crate::quantity::{
    Barometer, Length, Measured, Origin, PressureDiff, PressureGauge, Quantity, Temperature,
    TemperatureDiff, unit,
};

fn refrigerants() -> impl Strategy<Value = Refrigerant> {
    prop::sample::select(vec![
        Refrigerant::R22,
        Refrigerant::R32,
        Refrigerant::R410A,
        Refrigerant::R454B,
    ])
}

proptest! {
    #[test]
    fn a_warmer_line_raises_superheat_and_lowers_subcooling_by_as_much(
        refrigerant in refrigerants(), p in 60.0..160.0f64, line in 20.0..90.0f64, by in 0.0..40.0f64,
    ) {
        let around = Surroundings::at(Barometer::standard(), refrigerant);
        let low = LowSide::Gauge(psig(p, 1.0));
        let sh = |t| superheat(refrigerant, &low, &fahrenheit(t, 1.0), &around).unwrap().value.si();
        let kelvin = by * 5.0 / 9.0;
        prop_assert!((sh(line + by) - sh(line) - kelvin).abs() < 1e-9);
        let high = at_liquid_line(2.5 * p, 1.0);
        let sc = |t| subcooling(refrigerant, &high, &fahrenheit(t, 1.0), &around).unwrap().value.si();
        prop_assert!((sc(line) - sc(line + by) - kelvin).abs() < 1e-9);
    }

    #[test]
    fn altitude_and_the_equal_barometer_agree(
        refrigerant in refrigerants(), p in 60.0..160.0f64, metres in -300.0..5000.0f64,
    ) {
        let altitude = Barometer::at_altitude(Length::of(metres, unit::METRE)).unwrap();
        let station = Barometer::station(altitude.pressure()).unwrap();
        let low = LowSide::Gauge(psig(p, 1.0));
        let sh = |barometer| {
            let around = Surroundings::exact(barometer);
            superheat(refrigerant, &low, &fahrenheit(50.0, 1.0), &around).unwrap()
        };
        prop_assert_eq!(sh(altitude), sh(station));
    }

    #[test]
    fn units_change_nothing(refrigerant in refrigerants(), p in 60.0..160.0f64, line in 20.0..90.0f64) {
        let around = Surroundings::at(Barometer::standard(), refrigerant);
        let us = superheat(refrigerant, &LowSide::Gauge(psig(p, 1.0)), &fahrenheit(line, 1.0), &around).unwrap();
        let gauge = PressureGauge::of(p, unit::PSIG).in_unit(unit::BAR_GAUGE);
        let celsius = Temperature::of(line, unit::FAHRENHEIT).in_unit(unit::CELSIUS);
        let low = LowSide::Gauge(Measured {
            value: PressureGauge::of(gauge, unit::BAR_GAUGE),
            standard_uncertainty: PressureDiff::of(1.0 / 3f64.sqrt(), unit::PSI_DIFF),
            origin: Origin::Unit,
        });
        let line = Measured {
            value: Temperature::of(celsius, unit::CELSIUS),
            standard_uncertainty: TemperatureDiff::of(1.0 / 3f64.sqrt() / 1.8, unit::KELVIN_DIFF),
            origin: Origin::Unit,
        };
        let si = superheat(refrigerant, &low, &line, &around).unwrap();
        prop_assert!((us.value.si() - si.value.si()).abs() < 1e-8);
        prop_assert!((us.standard_uncertainty.si() - si.standard_uncertainty.si()).abs() < 1e-6);
    }

    #[test]
    fn a_wider_reading_never_narrows_the_result(p in 60.0..160.0f64, limit in 0.0..5.0f64, more in 0.0..5.0f64) {
        let around = Surroundings::at(Barometer::standard(), Refrigerant::R410A);
        let u = |limit| {
            let low = LowSide::Gauge(psig(p, limit));
            let reading = superheat(Refrigerant::R410A, &low, &fahrenheit(50.0, 1.0), &around).unwrap();
            reading.standard_uncertainty.si()
        };
        prop_assert!(u(limit + more) >= u(limit) - 1e-9);
    }
}
