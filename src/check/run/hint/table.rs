//! The faults and their signs.

use std::sync::OnceLock;

use super::feature::{Feature, Sign};
use crate::source::SourceId;

/// The fault that only subcooling tells from a restriction.
pub(super) const LOST: &str = "refrigerant lost";
/// The fault that only subcooling tells from lost refrigerant.
pub(super) const RESTRICTION: &str = "liquid-line restriction";

const READ: &str = include_str!("../../../../tables/symptom_signs.csv");
const OWN: &str = include_str!("../../../../tables/own_signs.csv");

/// A fault with the sign that it gives each feature.
#[derive(Debug)]
pub(super) struct Fault {
    pub name: &'static str,
    pub source: SourceId,
    signs: Vec<Option<Sign>>,
}

impl Fault {
    /// The sign that the fault gives a feature; `None` where none is claimed.
    pub fn sign(&self, feature: Feature) -> Option<Sign> {
        self.signs[feature as usize]
    }
}

/// The faults of both tables.
pub(super) fn faults() -> &'static [Fault] {
    static READ_ONCE: OnceLock<Vec<Fault>> = OnceLock::new();
    READ_ONCE.get_or_init(|| {
        let mut all = rows(READ, SourceId::SymptomSigns);
        all.extend(rows(OWN, SourceId::OwnSigns));
        all
    })
}

fn rows(text: &'static str, source: SourceId) -> Vec<Fault> {
    let rows = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    rows.map(|line| {
        let mut cells = line.split(',');
        Fault {
            name: cells.next().unwrap_or_default(),
            source,
            signs: cells
                .map(|cell| match cell {
                    "+" => Some(Sign::Above),
                    "-" => Some(Sign::Below),
                    _ => None,
                })
                .collect(),
        }
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_fault_has_a_cell_for_every_feature() {
        assert_eq!(faults().len(), 7);
        for fault in faults() {
            assert_eq!(fault.signs.len(), Feature::ALL.len(), "{}", fault.name);
        }
    }

    #[test]
    fn lost_and_restricted_differ_in_subcooling_alone() {
        let of = |name| faults().iter().find(|f| f.name == name).unwrap();
        for feature in Feature::ALL {
            let same = of(LOST).sign(feature) == of(RESTRICTION).sign(feature);
            assert_eq!(same, feature != Feature::Subcooling, "{feature:?}");
        }
    }
}
