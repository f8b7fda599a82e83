//! Water and ice in a vacuum.

use lineproof::check::dry::pumping::{self, Pumping};
use lineproof::fluid::water;
use lineproof::out::figure::PumpDownFigure;
use lineproof::out::pump_down::linger_words;
use lineproof::quantity::{PressureAbs, Quantity, Temperature, UnitSystem, unit};

use super::near;

/// C11 (a list in course notes, "500 micron = 12 degF"): 500 micron is -24.5 degC (-12.1 degF), and ice: below 611.7 Pa
/// (4,588 micron) there is no liquid water (IAPWS R14-08). The trap: printed boiling tables are 13 to 18 K off, and speak of
/// boiling where nothing boils.
#[test]
fn c11_five_hundred_micron_is_ice_and_not_12_fahrenheit() {
    let micron = |p: f64| PressureAbs::of(p, unit::MICRON);
    let twelve = Temperature::of(12.0, unit::FAHRENHEIT);
    let (t, phase) = water::boiling_temperature(micron(500.0)).unwrap();
    near(t.in_unit(unit::CELSIUS), -24.5, 0.05);
    near(t.in_unit(unit::FAHRENHEIT), -12.1, 0.05);
    assert_eq!(phase.word(), "ice");
    let off = (twelve - t).in_unit(unit::KELVIN_DIFF);
    assert!((13.0..18.0).contains(&off), "{off} K");
    // what the list's own temperature stands for is ice as well, at more than three times the pressure
    let (p, phase) = water::vapour_pressure(twelve).unwrap();
    assert!(p.in_unit(unit::MICRON) > 3.0 * 500.0 && phase.word() == "ice");
    // the border lies where the source has it
    near(water::TRIPLE_PRESSURE, 611.7, 0.05);
    let phase_at = |p| water::boiling_temperature(micron(p)).unwrap().1.word();
    assert_eq!((phase_at(4587.0), phase_at(4589.0)), ("ice", "liquid"));
}

/// C11 wherever the program speaks of 500 micron: a pump-down that lingers there, and the figure of it.
#[test]
fn c11_a_pump_down_that_lingers_at_500_micron_speaks_of_ice() {
    let minutes: Vec<f64> = (0..400).map(|i| f64::from(i) / 10.0).collect();
    let micron = |t: f64| 500.0 + 760e3 * (-2.0 * t).exp();
    let pressure: Vec<_> = minutes
        .iter()
        .map(|t| PressureAbs::of(micron(*t), unit::MICRON))
        .collect();
    let log = pumping::read(&Pumping {
        minutes: &minutes,
        pressure: &pressure,
    })
    .unwrap();
    let lingers = log.lingers.expect("it lingers");
    let said = linger_words(&lingers, UnitSystem::Us);
    assert!(
        said.contains("that is where ice at -12.1 °F turns to vapour") && !said.contains("boils"),
        "{said}"
    );
    let drawn = PumpDownFigure::of(&log, &minutes, &pressure, UnitSystem::Us);
    assert_eq!(drawn.lingers_words, "as ice at -12.1 °F");
}

/// C11 at the prompt.
#[cfg(feature = "cli")]
#[test]
fn c11_the_program_names_ice_at_500_micron() {
    let run = |arguments: &[&str]| {
        let program = std::process::Command::new(env!("CARGO_BIN_EXE_lineproof"))
            .args(arguments)
            .output()
            .unwrap();
        String::from_utf8(program.stdout).unwrap()
    };
    let said = run(&["water", "--pressure", "500micron"]);
    assert!(
        said.contains("there is no liquid water: ice turns to vapour at -12.1 °F")
            && !said.contains("boils"),
        "{said}"
    );
    let said = run(&["water", "--temperature", "12F"]);
    assert!(said.starts_with("Water at 12F is ice"), "{said}");
}
