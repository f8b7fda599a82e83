//! The pressure-enthalpy diagram: its lines are what they say, and every refrigerant can be drawn.

use std::path::Path;

use lineproof::fluid::Refrigerant;
use lineproof::fluid::refrigerant::Superheated;
use lineproof::out::NamedState;
use lineproof::out::figure::{
    DrawError, PressureEnthalpy, Width, pressure_enthalpy, standing_alone,
};
use lineproof::quantity::{
    PressureAbs, Quantity, SpecificEnthalpy, TemperatureDiff, UnitSystem, unit,
};

fn diagram(refrigerant: Refrigerant) -> PressureEnthalpy {
    PressureEnthalpy::of(refrigerant, UnitSystem::Si, &[])
}

/// An invented cycle of R-410A: 10 bar and 28 bar, 8 K superheat, 6 K subcooling.
fn cycle() -> Vec<NamedState> {
    let corner = |label: &str, bar, kj_per_kg| NamedState {
        label: label.to_string(),
        pressure: PressureAbs::of(bar, unit::BAR_ABS),
        enthalpy: SpecificEnthalpy::from_si(kj_per_kg * 1e3),
    };
    vec![
        corner("suction", 10.0, 433.0),
        corner("discharge", 28.0, 466.0),
        corner("liquid line", 28.0, 265.0),
        corner("after metering", 10.0, 265.0),
    ]
}

/// Leaves the figure in the build's own temporary folder, for a look.
fn leave(name: &str, svg: &str) {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}.svg"));
    std::fs::write(path, svg).unwrap();
}

#[test]
fn every_refrigerant_is_drawn_in_both_widths() {
    for &refrigerant in Refrigerant::ALL {
        for units in [UnitSystem::Us, UnitSystem::Si] {
            let diagram = PressureEnthalpy::of(refrigerant, units, &[]);
            assert!(diagram.isotherms.len() > 8, "{refrigerant}");
            assert!(diagram.isentropes.len() > 3, "{refrigerant}");
            for width in [Width::Wide, Width::Narrow] {
                let svg = pressure_enthalpy::draw(&diagram, width, "d").unwrap();
                assert!(svg.contains(refrigerant.name()) && svg.len() < 200_000);
                assert!(!svg.contains("NaN"), "{refrigerant}");
            }
        }
    }
}

#[test]
fn an_isotherm_is_level_across_the_dome_of_one_component_and_falls_in_a_blend() {
    for (refrigerant, level) in [(Refrigerant::R32, true), (Refrigerant::R454B, false)] {
        let diagram = diagram(refrigerant);
        for isotherm in &diagram.isotherms {
            let Some([bubble, dew]) = isotherm.across else {
                continue;
            };
            assert!(bubble.0 < dew.0);
            assert_eq!((bubble.1 - dew.1).abs() < 1e-6 * dew.1, level);
            assert!(bubble.1 >= dew.1 - 1e-6);
        }
    }
}

#[test]
fn pressure_falls_along_an_isotherm_and_rises_along_an_isentrope() {
    for &refrigerant in Refrigerant::ALL {
        let diagram = diagram(refrigerant);
        for isotherm in &diagram.isotherms {
            let falls = isotherm.points.is_sorted_by(|a, b| a.1 >= b.1 - 1e-9);
            assert!(falls, "{refrigerant} {}", isotherm.label);
        }
        for isentrope in &diagram.isentropes {
            let rises = isentrope.points.is_sorted_by(|a, b| a.1 <= b.1 + 1e-9);
            assert!(rises, "{refrigerant} {}", isentrope.label);
        }
    }
}

#[test]
fn an_isentrope_has_one_entropy() {
    let vapour = Superheated::of(Refrigerant::R410A);
    let isentropes = diagram(Refrigerant::R410A).isentropes;
    let isentrope = isentropes.iter().find(|i| i.label == "1.90").unwrap();
    for &(enthalpy, bar) in &isentrope.points {
        // enthalpy rises with superheat: find the state by halving, and read its entropy
        let (mut low, mut high) = (0.0, 120.0);
        let at = |k: f64| {
            let pressure = PressureAbs::of(bar, unit::BAR_ABS);
            vapour
                .at_superheat(pressure, TemperatureDiff::from_si(k))
                .unwrap()
        };
        for _ in 0..50 {
            let middle = 0.5 * (low + high);
            if at(middle).enthalpy.si() < enthalpy * 1e3 {
                low = middle;
            } else {
                high = middle;
            }
        }
        assert!((at(low).entropy.si() - 1900.0).abs() < 0.1, "{bar} bar");
    }
}

#[test]
fn a_cycle_is_named_at_its_corners() {
    let diagram = PressureEnthalpy::of(Refrigerant::R410A, UnitSystem::Si, &cycle());
    for width in [Width::Wide, Width::Narrow] {
        let svg = pressure_enthalpy::draw(&diagram, width, "cycle").unwrap();
        for corner in cycle() {
            assert!(
                // once in the description, where a sentence begins with it
                svg.to_lowercase().matches(&corner.label).count() > 1,
                "{} stands nowhere",
                corner.label
            );
        }
        leave(&format!("cycle-{}", width.word()), &standing_alone(&svg));
    }
}

#[test]
fn a_state_outside_the_usual_frame_widens_it() {
    let far = NamedState {
        label: "far".to_string(),
        pressure: PressureAbs::of(1.0, unit::BAR_ABS),
        enthalpy: SpecificEnthalpy::from_si(540e3),
    };
    let diagram = PressureEnthalpy::of(Refrigerant::R410A, UnitSystem::Si, &[far]);
    assert!(diagram.pressures.0 < 1.0 && diagram.enthalpies.1 > 540.0);
}

#[test]
fn a_file_of_its_own_needs_no_page() {
    let svg = pressure_enthalpy::draw(&diagram(Refrigerant::R32), Width::Wide, "d").unwrap();
    let alone = standing_alone(&svg);
    assert!(alone.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\""));
    assert!(!alone.contains("var(--") && !alone.contains("inherit"));
}

#[test]
fn nothing_to_draw_is_said() {
    let mut empty = diagram(Refrigerant::R32);
    empty.dew.clear();
    let error = pressure_enthalpy::draw(&empty, Width::Wide, "d").unwrap_err();
    let figure = "pressure-enthalpy";
    assert_eq!(error, DrawError::NothingToDraw { figure });
}
