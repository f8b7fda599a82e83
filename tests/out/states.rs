//! A refrigerant's facts and states: which phase it is, and what is not known.

use lineproof::fluid::Refrigerant;
use lineproof::fluid::refrigerant::Phase;
use lineproof::out::json::{self, RefrigerantFacts, RefrigerantState};
use lineproof::out::properties::{self, Properties};
use lineproof::quantity::{PressureAbs, Quantity, Temperature, UnitSystem, unit};

fn at(refrigerant: Refrigerant, bar: f64, celsius: f64) -> Properties {
    let pressure = PressureAbs::of(bar, unit::BAR_ABS);
    Properties::at(
        refrigerant,
        pressure,
        Temperature::of(celsius, unit::CELSIUS),
    )
    .unwrap()
}

#[test]
fn hot_is_vapour_cold_is_liquid_and_a_blend_can_be_between() {
    for (celsius, phase) in [(30.0, Phase::Vapour), (-10.0, Phase::Liquid)] {
        let Properties::OnePhase { state, .. } = at(Refrigerant::R454B, 8.0, celsius) else {
            panic!("one phase at {celsius} °C");
        };
        assert_eq!(state.phase, phase);
    }
    let Properties::Saturated {
        between,
        bubble,
        dew,
    } = at(Refrigerant::R454B, 8.0, 2.0)
    else {
        panic!("between bubble and dew");
    };
    assert!(between);
    assert!(bubble.temperature.si() < 275.15 && 275.15 < dew.temperature.si());
    assert_eq!(bubble.pressure, dew.pressure);
}

#[test]
fn one_temperature_has_two_pressures_in_a_blend_and_one_pressure_two_temperatures() {
    let found = Properties::at_temperature(Refrigerant::R454B, Temperature::of(5.0, unit::CELSIUS));
    let Properties::Saturated {
        between,
        bubble,
        dew,
    } = found.unwrap()
    else {
        panic!("saturated");
    };
    assert!(!between && bubble.temperature == dew.temperature && bubble.pressure > dew.pressure);
    assert!(bubble.density > dew.density && bubble.enthalpy < dew.enthalpy);
    assert!(bubble.viscosity > dew.viscosity && bubble.entropy < dew.entropy);
}

#[test]
fn next_to_saturation_the_table_cannot_tell() {
    // dew of R-32 at 10 bar is 6.6 °C by the same table, known to 0.5 % of the pressure or about 0.15 K
    let text = at(Refrigerant::R32, 10.0, 6.7).text("R-32 there", UnitSystem::Si);
    assert!(text.contains("may as well be saturated"), "{text}");
    let text = at(Refrigerant::R32, 10.0, 12.0).text("R-32 there", UnitSystem::Si);
    assert!(!text.contains("may as well"), "{text}");
}

#[test]
fn every_refrigerant_has_facts_and_what_was_not_found_is_not_known() {
    for &refrigerant in Refrigerant::ALL {
        let text = properties::facts(refrigerant, UnitSystem::Us);
        assert!(text.starts_with(refrigerant.name()));
        crate::words::has_no_inside_word(&text);
    }
    let text = properties::facts(Refrigerant::R454B, UnitSystem::Us);
    assert!(
        text.contains("concentration limit    not known; read the unit's label"),
        "{text}"
    );
    let text = properties::facts(Refrigerant::R410A, UnitSystem::Si);
    assert!(
        text.contains("lower flammable limit  does not apply"),
        "{text}"
    );
    let text = properties::facts(Refrigerant::R744, UnitSystem::Si);
    assert!(text.contains("no liquid at 1 atm"), "{text}");
}

#[test]
fn json_has_one_state_or_two() {
    let one = RefrigerantState::of(Refrigerant::R32, &at(Refrigerant::R32, 10.0, 20.0));
    assert_eq!((one.phase, one.states.len()), ("superheated vapour", 1));
    assert!(json::document(&one).contains("\"viscosity_Pa_s\": null"));
    let two = RefrigerantState::of(Refrigerant::R454B, &at(Refrigerant::R454B, 8.0, 2.0));
    assert_eq!((two.phase, two.states.len()), ("between bubble and dew", 2));
    assert_eq!(two.from_saturation, None);
}

#[test]
fn a_script_does_not_get_a_remembered_limit_to_calculate_with() {
    let blend = RefrigerantFacts::from(Refrigerant::R454B);
    let limit = blend.lower_flammable_limit.unwrap();
    assert_eq!((limit.value, limit.remembered), (None, Some(0.296)));
    let read = RefrigerantFacts::from(Refrigerant::R32);
    assert_eq!(read.lower_flammable_limit.unwrap().value, Some(0.307));
    let never_burns = RefrigerantFacts::from(Refrigerant::R410A);
    assert_eq!(never_burns.lower_flammable_limit, None);
}
