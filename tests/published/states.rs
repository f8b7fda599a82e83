//! Random states computed with the equations themselves: what the reading between the nodes of the tables adds.

use std::fs;
use std::path::Path;

use lineproof::fluid::refrigerant::{Side, State, Subcooled, Superheated};
use lineproof::fluid::{Refrigerant, Saturation};
use lineproof::quantity::{PressureAbs, Quantity, Temperature};

use crate::data::{Row, Worst, rows};

/// What the tables have to keep: K of saturation, share of density, J/kg, J/(kg K), share of heat capacity.
const KELVIN: f64 = 0.001;
const DENSITY: f64 = 2e-4;
const ENTHALPY: f64 = 30.0;
const ENTROPY: f64 = 0.1;
/// Beside the critical point the heat capacity has no bound.
const HEAT_CAPACITY: f64 = 0.03;

#[derive(Default)]
struct Differences {
    kelvin: Worst,
    density: Worst,
    enthalpy: Worst,
    entropy: Worst,
    heat_capacity: Worst,
}

fn states(refrigerant: Refrigerant) -> Vec<Row> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/data/states");
    rows(&fs::read_to_string(folder.join(format!("{refrigerant}.csv"))).unwrap())
}

impl Differences {
    fn see(&mut self, refrigerant: Refrigerant, row: &Row) {
        let number = |column: &str| row.number(column).unwrap();
        let temperature = Temperature::from_si(number("T_K"));
        let pressure = PressureAbs::from_si(number("p_Pa"));
        let table = Saturation::of(refrigerant);
        let phase = row.text("phase");
        let place = format!(
            "{refrigerant} {phase} {} Pa {} K",
            pressure.si(),
            temperature.si()
        );
        match phase {
            "bubble" | "dew" => {
                let side = if phase == "dew" {
                    Side::Dew
                } else {
                    Side::Bubble
                };
                let miss = table.temperature(side, pressure).unwrap() - temperature;
                self.kelvin.see(miss.si(), &place);
                let (density, enthalpy, entropy) = match side {
                    Side::Bubble => (
                        table.liquid_density(temperature),
                        table.liquid_enthalpy(temperature),
                        table.liquid_entropy(temperature),
                    ),
                    Side::Dew => (
                        table.vapour_density(temperature),
                        table.vapour_enthalpy(temperature),
                        table.vapour_entropy(temperature),
                    ),
                };
                let share = density.unwrap().si() / number("rho_kg_m3") - 1.0;
                self.density.see(share, &place);
                self.enthalpy
                    .see(enthalpy.unwrap().si() - number("h_J_kg"), &place);
                self.entropy
                    .see(entropy.unwrap().si() - number("s_J_kgK"), &place);
            }
            "vapour" => self.one_phase(
                Superheated::of(refrigerant)
                    .at(pressure, temperature)
                    .unwrap(),
                row,
                &place,
            ),
            "liquid" => self.one_phase(
                Subcooled::of(refrigerant)
                    .at(pressure, temperature)
                    .unwrap(),
                row,
                &place,
            ),
            other => panic!("{other}"),
        }
    }

    fn one_phase(&mut self, state: State, row: &Row, place: &str) {
        let number = |column: &str| row.number(column).unwrap();
        self.density
            .see(state.density.si() / number("rho_kg_m3") - 1.0, place);
        self.enthalpy
            .see(state.enthalpy.si() - number("h_J_kg"), place);
        self.entropy
            .see(state.entropy.si() - number("s_J_kgK"), place);
        self.heat_capacity
            .see(state.heat_capacity.si() / number("cp_J_kgK") - 1.0, place);
    }
}

#[test]
fn two_thousand_random_states_of_each_refrigerant() {
    let mut beyond = Vec::new();
    for &refrigerant in Refrigerant::ALL {
        let mut worst = Differences::default();
        let states = states(refrigerant);
        assert_eq!(states.len(), 2000);
        for row in &states {
            worst.see(refrigerant, row);
        }
        let held = [
            (&worst.kelvin, KELVIN, "K of saturation"),
            (&worst.density, DENSITY, "of density"),
            (&worst.enthalpy, ENTHALPY, "J/kg"),
            (&worst.entropy, ENTROPY, "J/(kg K)"),
            (&worst.heat_capacity, HEAT_CAPACITY, "of heat capacity"),
        ];
        for (worst, limit, unit) in held {
            worst.say(refrigerant.name(), unit);
            if worst.difference.abs() > limit {
                beyond.push(format!("{} {unit} at {}", worst.difference, worst.place));
            }
        }
    }
    assert!(beyond.is_empty(), "{beyond:#?}");
}
