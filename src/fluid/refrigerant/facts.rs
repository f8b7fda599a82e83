//! Facts about refrigerants, each as good as its status says. What was not found stays unknown.

use std::collections::HashMap;
use std::fmt;
use std::sync::OnceLock;

use serde::Deserialize;

use super::Refrigerant;
use crate::quantity::{Density, PressureAbs, Quantity, Temperature, TemperatureDiff, both, unit};
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

/// A limit in air, and whether it may be calculated with.
///
/// A limit that was read in a source may; one that is only remembered, or was not found, is asked for first. Printed,
/// it says which.
///
/// ```
/// use lineproof::fluid::{Refrigerant, refrigerant::Limit};
/// assert_eq!(
///     Refrigerant::R454B.facts().lfl().to_string(),
///     "ask for the value on the unit's label (0.01848 lb/ft3 (0.2960 kg/m3) is remembered only)"
/// );
/// assert!(matches!(Refrigerant::R32.facts().lfl(), Limit::Read(_)));
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit<'a> {
    /// Read in a source: a calculation may use it.
    Read(&'a Stated<Density>),
    /// To be asked from the label before anything is calculated, with the value that is remembered, if any.
    AskTheLabel(Option<&'a Stated<Density>>),
    /// There is no such limit: the vapour does not burn.
    DoesNotApply,
}

impl<'a> Limit<'a> {
    fn of(stated: Option<&'a Stated<Density>>) -> Self {
        match stated {
            Some(found) if found.status.starts_with("read") => Limit::Read(found),
            remembered => Limit::AskTheLabel(remembered),
        }
    }

    /// The value to calculate with: the one on the label, else one that was read, else none.
    ///
    /// ```
    /// use lineproof::fluid::Refrigerant;
    /// use lineproof::quantity::{Density, Quantity};
    /// let label = Density::from_si(0.297);
    /// let lfl = Refrigerant::R454B.facts().lfl();
    /// assert_eq!(lfl.to_calculate_with(Some(label)), Some(label));
    /// assert_eq!(lfl.to_calculate_with(None), None);
    /// ```
    pub fn to_calculate_with(self, label: Option<Density>) -> Option<Density> {
        match self {
            Limit::Read(found) => Some(label.unwrap_or(found.value)),
            Limit::AskTheLabel(_) => label,
            Limit::DoesNotApply => None,
        }
    }

    /// The value to show, with the words that say how well it is known; to calculate, see
    /// [`Limit::to_calculate_with`].
    pub fn stated(self) -> Option<&'a Stated<Density>> {
        match self {
            Limit::Read(stated) => Some(stated),
            Limit::AskTheLabel(remembered) => remembered,
            Limit::DoesNotApply => None,
        }
    }
}

impl fmt::Display for Limit<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Limit::Read(found) => f.write_str(&both(found.value)),
            Limit::AskTheLabel(Some(remembered)) => write!(
                f,
                "ask for the value on the unit's label ({} is remembered only)",
                both(remembered.value)
            ),
            Limit::AskTheLabel(None) => {
                f.write_str("not known; ask for the value on the unit's label")
            }
            Limit::DoesNotApply => f.write_str("does not apply"),
        }
    }
}

/// What is known about a refrigerant.
///
/// The limits in air are behind [`Facts::lfl`] and [`Facts::rcl`], so that nothing calculates with a remembered one
/// unasked.
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
    /// Warming of a kilogram against a kilogram of carbon dioxide over 100 years, by the 4th, 5th, 6th IPCC report.
    pub gwp: [Option<f64>; 3],
    /// Where the warming was found.
    pub gwp_status: String,
    lfl: Option<Stated<Density>>,
    rcl: Option<Stated<Density>>,
}

impl Facts {
    /// Where these facts are collected.
    pub const SOURCE: SourceId = SourceId::RefrigerantFacts;

    /// Lower flammable limit as mass of vapour per volume of air.
    pub fn lfl(&self) -> Limit<'_> {
        if self.class.flammable() {
            Limit::of(self.lfl.as_ref())
        } else {
            Limit::DoesNotApply
        }
    }

    /// Refrigerant concentration limit as mass of vapour per volume of air.
    pub fn rcl(&self) -> Limit<'_> {
        Limit::of(self.rcl.as_ref())
    }

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
    #[serde(rename = "GWP_status")]
    gwp_status: String,
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
            gwp_status: row.gwp_status,
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
    fn molar_masses_follow_from_the_composition() {
        // R-125 and R-143a are parts only; from their formulas
        let of = |name: &str| match name {
            "R125" => 120.021,
            "R143a" => 84.041,
            other => other.parse::<Refrigerant>().unwrap().facts().molar_mass,
        };
        for refrigerant in Refrigerant::ALL {
            let facts = refrigerant.facts();
            if facts.mass_percent.is_empty() {
                continue;
            }
            let moles = facts
                .mass_percent
                .iter()
                .map(|(name, percent)| percent / of(name));
            let average = 100.0 / moles.sum::<f64>();
            // printed to 0.001
            assert!(
                (facts.molar_mass - average).abs() < 2e-3,
                "{refrigerant}: {average}"
            );
        }
    }

    #[test]
    fn what_was_not_found_stays_unknown() {
        let facts = Refrigerant::R454B.facts();
        assert_eq!(facts.rcl(), Limit::AskTheLabel(None));
        assert_eq!(
            facts.rcl().to_string(),
            "not known; ask for the value on the unit's label"
        );
        assert_eq!(Refrigerant::R744.facts().normal_boiling, None);
        let propane = Refrigerant::R290.facts();
        assert_eq!(propane.gwp, [Some(3.0), None, Some(0.02)]);
    }

    #[test]
    fn every_fact_says_how_well_it_is_known() {
        let known = |status: &str| {
            ["read", "memory", "AR6 read", "average by mass"]
                .iter()
                .any(|w| status.starts_with(w))
        };
        for refrigerant in Refrigerant::ALL {
            let facts = refrigerant.facts();
            assert!(
                known(&facts.class_status),
                "{refrigerant}: {}",
                facts.class_status
            );
            assert!(
                known(&facts.gwp_status),
                "{refrigerant}: {}",
                facts.gwp_status
            );
            for stated in [facts.lfl().stated(), facts.rcl().stated()]
                .into_iter()
                .flatten()
            {
                assert!(known(&stated.status), "{refrigerant}: {}", stated.status);
            }
        }
    }

    #[test]
    fn only_a_limit_that_was_read_is_calculated_with_unasked() {
        let unasked = |limit: fn(&Facts) -> Limit<'_>| -> Vec<&str> {
            let known = Refrigerant::ALL.iter();
            known
                .filter(|r| limit(r.facts()).to_calculate_with(None).is_some())
                .map(|r| r.name())
                .collect()
        };
        assert_eq!(unasked(Facts::lfl), ["R-32", "R-290"]);
        assert_eq!(unasked(Facts::rcl), ["R-22", "R-32", "R-134a"]);
        let label = Some(Density::from_si(0.3));
        for refrigerant in Refrigerant::ALL {
            let used = refrigerant.facts().lfl().to_calculate_with(label);
            // the label wins over everything, where the vapour burns
            assert_eq!(
                used,
                label.filter(|_| refrigerant.flammable()),
                "{refrigerant}"
            );
        }
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
            let applies = facts.lfl() != Limit::DoesNotApply;
            assert_eq!(applies, refrigerant.flammable(), "{refrigerant}");
        }
        assert_eq!(Refrigerant::R32.class(), SafetyClass::A2L);
        assert_eq!(Refrigerant::R290.class(), SafetyClass::A3);
        assert!(!Refrigerant::R410A.flammable());
        assert_eq!(
            Refrigerant::R410A.facts().lfl().to_string(),
            "does not apply"
        );
    }
}
