use proptest::prelude::*;

use super::super::lost::{Hole, HoleFrom};
use super::*;
use crate::physics::cycle::Mode;
use crate::quantity::{Area, Origin, TemperatureDiff};

fn kilograms(value: f64, u: f64) -> Measured<Mass> {
    Measured {
        value: Mass::from_si(value),
        standard_uncertainty: Mass::from_si(u),
        origin: Origin::Unit,
    }
}

fn cost(low: f64, high: f64) -> Lost {
    let area = Area::from_si(1e-6);
    Lost {
        low: Mass::from_si(low),
        high: Mass::from_si(high),
        bounds: Vec::new(),
        hole: Hole {
            low: area,
            high: area,
            from: HoleFrom::Assumed,
        },
        narrows: Vec::new(),
    }
}

fn evidence(lost: Vec<Lost>, running: Vec<Shown>) -> Evidence {
    Evidence {
        due: Mass::from_si(2.0),
        before: kilograms(2.0, 0.01),
        lost,
        running,
        recovered: None,
    }
}

fn f(value: f64) -> Fraction {
    Fraction::from_si(value)
}

fn share(value: f64) -> Shown {
    Shown::Share {
        share: f(value),
        reading: f(0.02),
        model: f(0.10),
        above_zero: 8.0,
    }
}

fn no_subcooling() -> Shown {
    Shown::AtMost {
        share: f(0.8175),
        reading: f(0.02),
        model: f(0.10),
    }
}

#[test]
fn a_weighing_alone_is_its_own_normal() {
    let joined = joined(&evidence(vec![], vec![])).unwrap();
    assert!((joined.estimate.si() - 1.0).abs() < 1e-6);
    assert!(
        (joined.low95.si() - (1.0 - 1.96 * 0.005)).abs() < 1e-4,
        "{joined:?}"
    );
    assert!((joined.high95.si() - (1.0 + 1.96 * 0.005)).abs() < 1e-4);
    assert_eq!(joined.from, RestsOn::Weighing);
}

#[test]
fn an_incident_opens_the_interval_and_a_right_reading_narrows_it_little() {
    // 0 to 30 % could be gone
    let open = joined(&evidence(vec![cost(0.0, 0.6)], vec![])).unwrap();
    assert!((open.low95.si() - 0.69).abs() < 0.005 && open.high95.si() < 1.011);
    let read = joined(&evidence(vec![cost(0.0, 0.6)], vec![share(1.0)])).unwrap();
    // about 0 to 20 %: 1.96 times the equation's 10 %
    assert!((read.low95.si() - 0.80).abs() < 0.01, "{read:?}");
    assert_eq!(read.from, RestsOn::WeighingAndRunning);
    // many readings do not average the equation's error away
    let many = joined(&evidence(vec![cost(0.0, 0.6)], vec![share(1.0); 20])).unwrap();
    assert!((many.low95.si() - 0.804).abs() < 0.003, "{many:?}");
}

#[test]
fn without_subcooling_it_is_low_possibly_far() {
    let found = joined(&evidence(vec![cost(0.0, 1.6)], vec![no_subcooling()])).unwrap();
    assert!(
        found.low95.si() < 0.2 && found.high95.si() < 1.011,
        "{found:?}"
    );
    assert!(found.estimate.si() < 0.75);
    assert!(!found.conflict);
    let odd = joined(&evidence(vec![], vec![share(0.5)])).unwrap();
    assert!(odd.conflict);
}

#[test]
fn a_trace_of_subcooling_could_be_none() {
    let trace = |above_zero| Shown::Share {
        share: f(0.83),
        reading: f(0.02),
        model: f(0.10),
        above_zero,
    };
    let found = |above_zero| joined(&evidence(vec![cost(0.0, 2.0)], vec![trace(above_zero)]));
    // 1.2 standard uncertainties of it exclude nothing below, 4 do
    assert!(found(1.2).unwrap().low95.si() < 0.01);
    assert!(found(4.0).unwrap().low95.si() > 0.6);
}

#[test]
fn the_words_are_a_persons() {
    let words = |lost: Vec<Lost>, system| joined(&evidence(lost, vec![])).unwrap().words(system);
    assert_eq!(
        words(vec![cost(0.0, 0.4)], UnitSystem::Us),
        "0.4 lb low, could be 0 to 0.9 lb"
    );
    assert_eq!(
        words(vec![cost(0.1, 0.3)], UnitSystem::Si),
        "200 g low, could be 80 to 320 g"
    );
    let mut over = evidence(vec![], vec![]);
    over.before = kilograms(2.2, 0.01);
    assert_eq!(
        joined(&over).unwrap().words(UnitSystem::Si),
        "200 g over, could be 180 to 220 g"
    );
    over.before = kilograms(2.0, 0.05);
    assert_eq!(
        joined(&over).unwrap().words(UnitSystem::Us),
        "as much as belongs in, could be 0.2 lb over to 0.2 lb low"
    );
}

#[test]
fn the_cost_stops_where_the_equations_do() {
    let found = joined(&evidence(vec![cost(0.0, 0.8)], vec![])).unwrap();
    let cost = found.cost(Air::rated(Mode::Cooling));
    assert!(cost.low95.is_err());
    assert!(cost.estimate.unwrap().capacity.si() < 0.9);
}

#[test]
fn before_asking_it_says_what_readings_would_change() {
    let kelvin = TemperatureDiff::from_si;
    let machine = Machine::rated(kelvin(5.5), kelvin(6.0));
    let asked = worth_asking(
        &evidence(vec![cost(0.0, 0.6)], vec![]),
        &machine,
        kelvin(0.7),
        f(0.95),
    )
    .unwrap();
    assert!(!asked.could_decide);
    assert!(asked.words().ends_with("they will not change the decision"));
    assert!(
        asked.words().starts_with("now 1 % over to 31 % low; "),
        "{}",
        asked.words()
    );
}

#[test]
fn bad_masses_are_errors() {
    let mut none = evidence(vec![], vec![]);
    none.due = Mass::from_si(0.0);
    assert!(matches!(joined(&none), Err(JoinError::NothingDue { .. })));
    let mut pounds = evidence(vec![], vec![]);
    pounds.before = kilograms(4.4, 0.01);
    let error = joined(&pounds).unwrap_err().to_string();
    assert!(error.contains("check the unit of both"), "{error}");
}

proptest! {
    #[test]
    fn a_technicians_mass_always_wins(
        recovered in 0.1..2.8f64, low in 0.0..0.5f64, wide in 0.0..1.0f64, reading in 0.5..1.2f64,
    ) {
        let mut all = evidence(vec![cost(low, low + wide)], vec![share(reading), no_subcooling()]);
        all.recovered = Some(kilograms(recovered, 0.005));
        let mut alone = evidence(vec![], vec![]);
        alone.recovered = all.recovered.clone();
        let found = joined(&all).unwrap();
        prop_assert_eq!(found, joined(&alone).unwrap());
        prop_assert!((found.estimate.si() - recovered / 2.0).abs() < 1e-3);
    }

    #[test]
    fn losing_more_never_raises_the_interval(low in 0.0..0.5f64, wide in 0.0..1.0f64, more in 0.0..0.5f64) {
        let less = joined(&evidence(vec![cost(low, low + wide)], vec![])).unwrap();
        let gone = joined(&evidence(vec![cost(low, low + wide + more)], vec![])).unwrap();
        prop_assert!(gone.low95 <= less.low95 && gone.high95 == less.high95);
        prop_assert!(gone.low95 <= gone.estimate && gone.estimate <= gone.high95);
    }
}
