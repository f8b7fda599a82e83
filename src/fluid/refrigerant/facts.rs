//! Facts about refrigerants, each as good as its status says. What was not found stays unknown.

use std::collections::HashMap;
use std::sync::OnceLock;

use serde::Deserialize;

use super::Refrigerant;
use crate::quantity::{Density, PressureAbs, Quantity, Temperature, TemperatureDiff, unit};
use crate::source::SourceId;

/// Safety class of ASHRAE 34 and ISO 817.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SafetyClass {
    /// Does not burn.
    A1,
    /// Burns slowly.
    A2L,
    /// Burns fast.
    A3,
}

impl SafetyClass {
    /// The class as it is printed.
    pub fn word(self) -> &'static str {
        match self {
            SafetyClass::A1 => "A1",
            SafetyClass::A2L => "A2L",
            SafetyClass::A3 => "A3",
        }
    }

    /// Whether the vapour can burn in air.
    pub fn flammable(self) -> bool {
        self != SafetyClass::A1
    }
}

/// A value with the words that say how well it is known.
#[derive(Debug, Clone, PartialEq)]
pub struct Stated<T> {
    /// The value.
    pub value: T,
    /// How well it is known: "read ...", "memory".
    pub status: String,
}

/// What is known about a refrigerant.
#[derive(Debug, Clone, PartialEq)]
pub struct Facts {
    /// Safety class.
    pub class: SafetyClass,
    /// Where the class was found.
    pub class_status: String,
    /// Components and their mass percent; empty for one component.
    pub mass_percent: Vec<(String, f64)>,
    /// Molar mass in g/mol.
    pub molar_mass: f64,
    /// Critical temperature.
    pub critical_temperature: Temperature,
    /// Critical pressure.
    pub critical_pressure: PressureAbs,
    /// Bubble and dew temperature at 101.325 kPa; none where the liquid does not exist there.
    pub normal_boiling: Option<(Temperature, Temperature)>,
    /// Lower flammable limit as mass per volume of air.
    pub lfl: Option<Stated<Density>>,
    /// Refrigerant concentration limit.
    pub rcl: Option<Stated<Density>>,
    /// Warming of a kilogram against a kilogram of carbon dioxide over 100 years, by the 4th, 5th, 6th IPCC report.
    pub gwp: [Option<f64>; 3],
}

impl Facts {
    /// Where these facts are collected.
    pub const SOURCE: SourceId = SourceId::RefrigerantFacts;

    /// Dew less bubble temperature at 101.325 kPa.
    pub fn normal_glide(&self) -> Option<TemperatureDiff> {
        self.normal_boiling.map(|(bubble, dew)| dew - bubble)
    }
}

const TABLE: &str = include_str!("../../../tables/refrigerant_facts.csv");

/// The facts of one refrigerant.
pub(super) fn of(refrigerant: Refrigerant) -> &'static Facts {
    static FACTS: OnceLock<HashMap<String, Facts>> = OnceLock::new();
    &FACTS.get_or_init(read_table)[refrigerant.name()]
}

fn read_table() -> HashMap<String, Facts> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(TABLE.as_bytes());
    let rows = reader.deserialize::<Row>();
    // the table is compiled in, and a test reads it whole
    rows.map(|row| row.expect("refrigerant_facts.csv has its columns"))
        .map(|row| (row.refrigerant.clone(), row.into()))
        .collect()
}

#[derive(Deserialize)]
struct Row {
    refrigerant: String,
    class: String,
    class_status: String,
    mass_percent: String,
    #[serde(rename = "M_g_mol")]
    molar_mass: f64,
    #[serde(rename = "Tc_C")]
    critical_c: f64,
    #[serde(rename = "pc_MPa")]
    critical_mpa: f64,
    #[serde(rename = "bubble_C_1atm")]
    bubble_c: Option<f64>,
    #[serde(rename = "dew_C_1atm")]
    dew_c: Option<f64>,
    #[serde(rename = "LFL_kg_m3")]
    lfl: Option<f64>,
    #[serde(rename = "LFL_status")]
    lfl_status: String,
    #[serde(rename = "RCL_g_m3")]
    rcl: Option<f64>,
    #[serde(rename = "RCL_status")]
    rcl_status: String,
    #[serde(rename = "GWP_AR4")]
    gwp_ar4: Option<f64>,
    #[serde(rename = "GWP_AR5")]
    gwp_ar5: Option<f64>,
    #[serde(rename = "GWP_AR6")]
    gwp_ar6: Option<f64>,
}

impl From<Row> for Facts {
    fn from(row: Row) -> Facts {
        let celsius = |t| Temperature::of(t, unit::CELSIUS);
        let limit = |value: Option<f64>, in_si: f64, status: String| {
            let value = value.map(|v| Density::from_si(v * in_si))?;
            Some(Stated { value, status })
        };
        Facts {
            class: class(&row.class),
            class_status: row.class_status,
            mass_percent: composition(&row.mass_percent),
            molar_mass: row.molar_mass,
            critical_temperature: celsius(row.critical_c),
            critical_pressure: PressureAbs::of(row.critical_mpa, unit::MPA_ABS),
            normal_boiling: row.bubble_c.map(celsius).zip(row.dew_c.map(celsius)),
            lfl: limit(row.lfl, 1.0, row.lfl_status),
            rcl: limit(row.rcl, 1e-3, row.rcl_status),
            gwp: [row.gwp_ar4, row.gwp_ar5, row.gwp_ar6],
        }
    }
}

fn class(word: &str) -> SafetyClass {
    [SafetyClass::A1, SafetyClass::A2L, SafetyClass::A3]
        .into_iter()
        .find(|class| class.word() == word)
        .expect("refrigerant_facts.csv has the classes A1, A2L and A3")
}

/// "R32 50/R125 50" as names and mass percent.
fn composition(text: &str) -> Vec<(String, f64)> {
    let part = |part: &str| {
        let (name, percent) = part.split_once(' ')?;
        Some((name.to_string(), percent.parse().ok()?))
    };
    text.split('/').filter_map(part).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_refrigerant_has_facts_and_every_row_a_refrigerant() {
        let rows = read_table();
        assert_eq!(rows.len(), Refrigerant::ALL.len());
        for refrigerant in Refrigerant::ALL {
            assert!(rows.contains_key(refrigerant.name()), "{refrigerant}");
        }
    }

    #[test]
    fn compositions_by_mass_add_up() {
        for refrigerant in Refrigerant::ALL {
            let parts = &refrigerant.facts().mass_percent;
            let sum: f64 = parts.iter().map(|p| p.1).sum();
            assert!(
                parts.is_empty() || (sum - 100.0).abs() < 1e-9,
                "{refrigerant}: {sum}"
            );
        }
        let parts = &Refrigerant::R454B.facts().mass_percent;
        assert_eq!(
            parts[..],
            [("R32".to_string(), 68.9), ("R1234yf".to_string(), 31.1)]
        );
    }

    #[test]
    fn what_was_not_found_stays_unknown() {
        let facts = Refrigerant::R454B.facts();
        assert_eq!(facts.rcl, None);
        assert!(facts.lfl.as_ref().unwrap().status.starts_with("memory"));
        assert_eq!(Refrigerant::R744.facts().normal_boiling, None);
        assert_eq!(Refrigerant::R290.facts().gwp, [Some(3.0), None, Some(0.02)]);
    }

    #[test]
    fn flammable_ones_have_a_lower_limit_and_the_others_none() {
        for refrigerant in Refrigerant::ALL {
            let facts = refrigerant.facts();
            assert_eq!(
                facts.lfl.is_some(),
                refrigerant.flammable(),
                "{refrigerant}"
            );
        }
        assert_eq!(Refrigerant::R32.class(), SafetyClass::A2L);
        assert_eq!(Refrigerant::R290.class(), SafetyClass::A3);
        assert!(!Refrigerant::R410A.flammable());
    }
}
