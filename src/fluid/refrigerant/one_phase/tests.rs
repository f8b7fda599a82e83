use super::*;
use crate::quantity::unit;

fn k(kelvin: f64) -> TemperatureDiff {
    TemperatureDiff::from_si(kelvin)
}

/// Pressures over the whole one-phase table of one side, evenly in ln p.
fn pressures(refrigerant: Refrigerant, side: Side) -> impl Iterator<Item = PressureAbs> {
    let saturation = Saturation::of(refrigerant);
    let low = saturation.pressure_range(side).0.si();
    let last = match side {
        Side::Dew => Superheated::of(refrigerant).0.last,
        Side::Bubble => Subcooled::of(refrigerant).0.last,
    };
    let high = saturation
        .pressure(side, Temperature::from_si(last))
        .unwrap()
        .si();
    (0..=40).map(move |i| {
        PressureAbs::from_si(low * (high / low).powf(f64::from(i) / 40.0 * 0.999_999))
    })
}

#[test]
fn every_table_is_read_and_begins_at_saturation() {
    for &refrigerant in Refrigerant::ALL {
        let saturation = Saturation::of(refrigerant);
        for pressure in pressures(refrigerant, Side::Dew) {
            let gas = Superheated::of(refrigerant)
                .at_superheat(pressure, k(0.0))
                .unwrap();
            let dew = saturation.dew_temperature(pressure).unwrap();
            let density = saturation.vapour_density(dew).unwrap();
            assert!(
                (gas.density.si() / density.si() - 1.0).abs() < 2e-4,
                "{refrigerant} {pressure:?}"
            );
            let enthalpy = saturation.vapour_enthalpy(dew).unwrap();
            assert!(
                (gas.enthalpy - enthalpy).si().abs() < 30.0,
                "{refrigerant} {pressure:?}"
            );
        }
        for pressure in pressures(refrigerant, Side::Bubble).skip(6) {
            let liquid = Subcooled::of(refrigerant)
                .at_subcooling(pressure, k(0.0))
                .unwrap();
            let bubble = saturation.bubble_temperature(pressure).unwrap();
            let density = saturation.liquid_density(bubble).unwrap();
            assert!(
                (liquid.density.si() / density.si() - 1.0).abs() < 2e-4,
                "{refrigerant} {pressure:?}"
            );
        }
    }
}

/// dh = T ds at constant pressure, and both give the heat capacity.
#[test]
fn enthalpy_entropy_and_heat_capacity_belong_together() {
    for &refrigerant in Refrigerant::ALL {
        let table = Superheated::of(refrigerant);
        // away from the critical point, where the heat capacity itself has no bound
        for pressure in pressures(refrigerant, Side::Dew).take(34) {
            for superheat in [3.0, 17.0, 60.0] {
                let at = |s| table.at_superheat(pressure, k(s)).unwrap();
                let (before, here, after) =
                    (at(superheat - 0.5), at(superheat), at(superheat + 0.5));
                let heat = (after.enthalpy - before.enthalpy).si();
                let by_entropy = (after.entropy - before.entropy).si() * here.temperature.si();
                let name = format!("{refrigerant} {} Pa, {superheat} K", pressure.si());
                assert!(
                    (heat / by_entropy - 1.0).abs() < 2e-3,
                    "{name}: {heat} {by_entropy}"
                );
                assert!(
                    (heat / here.heat_capacity.si() - 1.0).abs() < 5e-3,
                    "{name}: {heat}"
                );
            }
        }
    }
}

#[test]
fn an_entropy_is_found_again() {
    for &refrigerant in Refrigerant::ALL {
        let table = Superheated::of(refrigerant);
        for pressure in pressures(refrigerant, Side::Dew) {
            for superheat in [0.0, 0.3, 12.0, 77.7, 120.0] {
                let state = table.at_superheat(pressure, k(superheat)).unwrap();
                let again = table.at_entropy(pressure, state.entropy).unwrap();
                let miss = again.from_saturation.si() - superheat;
                assert!(
                    miss.abs() < 1e-5,
                    "{refrigerant} {} Pa {superheat} K: {miss}",
                    pressure.si()
                );
            }
        }
    }
}

#[test]
fn the_phase_is_found_from_pressure_and_temperature() {
    let pressure = PressureAbs::of(20.0, unit::BAR_ABS);
    let state = |c| Refrigerant::R454B.state(pressure, Temperature::of(c, unit::CELSIUS));
    assert_eq!(state(40.0).unwrap().phase, Phase::Vapour);
    assert_eq!(state(25.0).unwrap().phase, Phase::Liquid);
    let error = state(34.5).unwrap_err();
    assert!(matches!(error, StateError::Between { .. }));
    assert_eq!(
        error.to_string(),
        "R-454B at 290.1 psia (20.00 bar abs) and 94.1 °F (34.5 °C) is between bubble (93.3 °F (34.1 °C)) and dew (96.0 °F (35.6 °C)): pressure and temperature do not say how much of it is vapour; give one of the two alone for both saturated states"
    );
}

#[test]
fn outside_a_table_is_an_error_that_says_how_far_it_runs() {
    let pressure = PressureAbs::of(10.0, unit::BAR_ABS);
    let vapour = Superheated::of(Refrigerant::R32);
    assert!(vapour.at_superheat(pressure, k(120.0)).is_ok());
    let error = vapour.at_superheat(pressure, k(121.0)).unwrap_err();
    assert_eq!(
        error.to_string(),
        "R-32 at 145.0 psia (10.00 bar abs) and 261.7 °F (127.6 °C), 217.8 °F (121.0 K) from dew: the table of superheated vapour runs to 216.0 °F (120.0 K) from dew there; check the unit of the temperature and whether the pressure is gauge or absolute"
    );
    let error = vapour.at_superheat(pressure, k(-1.0)).unwrap_err();
    assert!(matches!(error, StateError::OtherPhase { .. }), "{error}");
    assert!(vapour.at_superheat(pressure, k(f64::NAN)).is_err());
    let liquid = Subcooled::of(Refrigerant::R32);
    assert!(
        liquid
            .at(pressure, Temperature::of(-56.0, unit::CELSIUS))
            .is_ok()
    );
    let error = liquid
        .at(pressure, Temperature::of(-70.0, unit::CELSIUS))
        .unwrap_err();
    assert!(matches!(error, StateError::TooFar { .. }), "{error}");
    let error = vapour.at(
        PressureAbs::of(70.0, unit::BAR_ABS),
        Temperature::of(90.0, unit::CELSIUS),
    );
    assert!(matches!(error, Err(StateError::Range(_))));
    let error = vapour
        .at_entropy(pressure, SpecificEntropy::from_si(900.0))
        .unwrap_err();
    assert!(matches!(error, StateError::Entropy { .. }), "{error}");
}
