use super::*;

fn shipped() -> impl Iterator<Item = &'static Saturation> {
    Refrigerant::ALL.iter().map(|r| Saturation::of(*r))
}

/// Temperatures from end to end, 0.01 K apart, rows included.
fn steps(saturation: &Saturation) -> impl Iterator<Item = Temperature> {
    let (low, high) = saturation.temperature_range();
    let count = ((high.si() - low.si()) * 100.0).round() as usize;
    (0..=count).map(move |i| Temperature::from_si(low.si() + i as f64 / 100.0))
}

#[test]
fn nineteen_tables_are_shipped_with_rows_one_kelvin_apart() {
    assert_eq!(shipped().count(), 19);
    for saturation in shipped() {
        let refrigerant = saturation.refrigerant();
        let text = Tables::of(refrigerant).saturation;
        let columns = table::columns::<9>(text);
        for column in &columns {
            assert_eq!(column.len(), saturation.rows);
        }
        let kelvin = &columns[0];
        let regular = kelvin.len() - usize::from(refrigerant == Refrigerant::R744);
        for (row, t) in kelvin[..regular].iter().enumerate() {
            assert!((t - kelvin[0] - row as f64).abs() < 1e-9);
        }
        assert!(text.starts_with(&format!("# refrigerant: {}\n", refrigerant.name())));
        let below_critical = saturation.critical - saturation.last;
        let due = if refrigerant == Refrigerant::R744 {
            0.1..0.12
        } else {
            1.5..2.5
        };
        assert!(
            due.contains(&below_critical),
            "{refrigerant}: {below_critical}"
        );
    }
}

#[test]
fn a_round_trip_returns_within_a_millionth_of_a_kelvin() {
    for saturation in shipped() {
        let mut worst: f64 = 0.0;
        for side in [Side::Bubble, Side::Dew] {
            for t in steps(saturation) {
                let p = saturation.pressure(side, t).unwrap();
                let back = saturation.temperature(side, p).unwrap();
                worst = worst.max((back - t).si().abs());
            }
        }
        assert!(worst < 1e-9, "{}: {worst} K", saturation.refrigerant());
    }
}

#[test]
fn bubble_is_never_below_dew_and_everything_rises_or_falls() {
    for saturation in shipped() {
        let mut before: Option<[f64; 5]> = None;
        for t in steps(saturation) {
            let (bubble, dew) = (
                saturation.bubble_pressure(t).unwrap().si(),
                saturation.dew_pressure(t).unwrap().si(),
            );
            // seven digits are tabulated; at an azeotrope the two touch
            let slack = 5e-7 * dew;
            assert!(
                bubble >= dew - slack,
                "{} at {t:?}",
                saturation.refrigerant()
            );
            let now = [
                bubble,
                dew,
                saturation.vapour_density(t).unwrap().si(),
                saturation.liquid_enthalpy(t).unwrap().si(),
                -saturation.liquid_density(t).unwrap().si(),
            ];
            if let Some(before) = before {
                let rises = now.iter().zip(before).all(|(now, before)| *now > before);
                assert!(rises, "{} at {t:?}", saturation.refrigerant());
            }
            before = Some(now);
        }
    }
}

#[test]
fn the_slope_is_that_of_the_curve() {
    for saturation in shipped() {
        for side in [Side::Bubble, Side::Dew] {
            let (low, high) = saturation.pressure_range(side);
            let p = (low.si() * high.si()).sqrt();
            let at = |p| {
                saturation
                    .temperature(side, PressureAbs::from_si(p))
                    .unwrap()
                    .si()
            };
            let measured = (at(p * 1.0001) - at(p * 0.9999)) / (p * 0.0002);
            let slope = saturation.slope(side, PressureAbs::from_si(p)).unwrap();
            assert!(
                (slope / measured - 1.0).abs() < 1e-5,
                "{}",
                saturation.refrigerant()
            );
        }
    }
}

#[test]
fn the_ends_belong_to_the_table_and_nothing_beyond() {
    for saturation in shipped() {
        let (low, high) = saturation.temperature_range();
        for side in [Side::Bubble, Side::Dew] {
            let (p_low, p_high) = saturation.pressure_range(side);
            for p in [p_low, p_high] {
                assert!(saturation.temperature(side, p).is_ok());
            }
            let outside = [
                p_low.si() * 0.999,
                p_high.si() * 1.001,
                0.0,
                -1.0,
                f64::NAN,
                f64::INFINITY,
            ];
            for p in outside.map(PressureAbs::from_si) {
                assert!(matches!(
                    saturation.temperature(side, p),
                    Err(RangeError::Pressure { .. })
                ));
                assert!(saturation.slope(side, p).is_err());
            }
            for t in [low.si() - 0.01, high.si() + 0.01, f64::NAN].map(Temperature::from_si) {
                assert!(matches!(
                    saturation.pressure(side, t),
                    Err(RangeError::Temperature { .. })
                ));
                assert!(saturation.liquid_density(t).is_err());
                assert!(saturation.vapour_density(t).is_err());
                assert!(saturation.vapour_enthalpy(t).is_err());
            }
        }
    }
}

#[test]
fn errors_name_the_value_the_range_and_the_next_step() {
    let r410a = Saturation::of(Refrigerant::R410A);
    let error = r410a
        .dew_temperature(PressureAbs::of(2.0, unit::PSIA))
        .unwrap_err();
    assert_eq!(
        error.to_string(),
        "R-410A dew pressure 2.0 psia (0.14 bar abs): the table runs from 9.3 psia (0.64 bar abs) to 676.0 psia (46.61 bar abs); check the unit, whether the reading is gauge or absolute, and the refrigerant"
    );
    let error = r410a
        .bubble_pressure(Temperature::of(75.0, unit::CELSIUS))
        .unwrap_err();
    assert_eq!(
        error.to_string(),
        "R-410A saturation at 167.0 °F (75.0 °C): the table runs from -76.0 °F (-60.0 °C) to 156.2 °F (69.0 °C); check the unit and the refrigerant (above the critical point there is no saturation)"
    );
}

#[test]
fn glide_and_model_uncertainty_are_the_refrigerants_own() {
    let share = |r| Saturation::of(r).model_uncertainty().in_unit(unit::PERCENT);
    assert!((share(Refrigerant::R410A) - 0.5).abs() < 1e-12);
    assert!((share(Refrigerant::R454B) - 1.0).abs() < 1e-12);
    let glide = |r| {
        let pressure = PressureAbs::of(1.0, unit::ATM);
        Saturation::of(r).glide(pressure).unwrap().si()
    };
    assert_eq!(glide(Refrigerant::R32), 0.0);
    for saturation in shipped() {
        let refrigerant = saturation.refrigerant();
        let Some(fact) = refrigerant.facts().normal_glide() else {
            assert_eq!(refrigerant, Refrigerant::R744);
            continue;
        };
        let fact = fact.si();
        assert!((glide(refrigerant) - fact).abs() < 0.011, "{refrigerant}");
    }
}
