//! Published acceptance rules for pressure and vacuum tests, from `tables/field_test_criteria.csv`.
//!
//! They differ by a factor of more than ten: a rule is always a named input, never a hidden constant; the unit's own
//! instructions and the local code win.

use std::sync::LazyLock;

use crate::quantity::{Duration, Quantity, unit};
use crate::source::SourceId;

/// What a rule is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// The standing pressure test.
    Pressure,
    /// The evacuation and its vacuum rise.
    Vacuum,
    /// A single joint.
    Joint,
    /// Pressure and vacuum.
    Both,
}

/// A published rule, in the words of its table.
#[derive(Debug, Clone, PartialEq)]
pub struct FieldRule {
    /// Its name, as typed.
    pub id: String,
    /// What it is for.
    pub kind: Kind,
    /// The pressure or vacuum it asks for, in its own words; empty where it asks for none.
    pub target: String,
    /// How long it is held, in its own words; empty where it does not say.
    pub hold: String,
    /// What is allowed in that time, in its own words.
    pub allowed: String,
    /// What else it asks for.
    pub notes: String,
    /// Where it comes from.
    pub source: SourceId,
}

impl FieldRule {
    /// Every rule of the table.
    pub fn all() -> &'static [FieldRule] {
        &RULES
    }

    /// The rule of a name.
    ///
    /// ```
    /// use lineproof::physics::field_rules::FieldRule;
    /// use lineproof::quantity::{Quantity, unit};
    /// let rule = FieldRule::named("ufgs-23-pressure").unwrap();
    /// assert_eq!(rule.hold_time().unwrap().in_unit(unit::HOUR_DURATION), 24.0);
    /// ```
    pub fn named(id: &str) -> Option<&'static FieldRule> {
        RULES.iter().find(|rule| rule.id == id)
    }

    /// How long it is held: the number and the unit that its words begin with.
    pub fn hold_time(&self) -> Option<Duration> {
        let mut words = self.hold.split_whitespace();
        let number: f64 = words.next()?.parse().ok()?;
        match words.next()? {
            "min" => Some(Duration::of(number, unit::MINUTE)),
            "h" => Some(Duration::of(number, unit::HOUR_DURATION)),
            _ => None,
        }
    }
}

static RULES: LazyLock<Vec<FieldRule>> = LazyLock::new(|| {
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(include_str!("../../tables/field_test_criteria.csv").as_bytes())
        .into_records()
        .map(|row| row.expect("a shipped table has whole rows"))
        .map(|row| FieldRule {
            id: row[0].into(),
            kind: kind(&row[1]),
            target: row[2].into(),
            hold: row[3].into(),
            allowed: row[4].into(),
            notes: row[5].into(),
            source: source(&row[0]),
        })
        .collect()
});

fn kind(word: &str) -> Kind {
    match word {
        "pressure" => Kind::Pressure,
        "vacuum" => Kind::Vacuum,
        "joint" => Kind::Joint,
        "both" => Kind::Both,
        other => panic!("a shipped table has no rule for \"{other}\""),
    }
}

fn source(id: &str) -> SourceId {
    match id {
        "iec-60335-2-40-pressure" | "iec-60335-2-40-vacuum" | "iec-60335-2-40-joint" => {
            SourceId::Iec60335FieldTest
        }
        "ashrae-journal-2021-pressure" => SourceId::AshraeJournal2021,
        "ufgs-23-pressure" => SourceId::Ufgs23Pressure,
        "ufgs-23-vacuum" => SourceId::Ufgs23,
        "ashrae-15-gas" => SourceId::Ashrae15Gas,
        "umc-ashrae-15-pressure" => SourceId::UmcAshrae15,
        "en-378-2" => SourceId::En378,
        _ => SourceId::MakersVacuum,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_read() {
        assert_eq!(FieldRule::all().len(), 12);
        let makers = FieldRule::all()
            .iter()
            .filter(|r| r.source == SourceId::MakersVacuum);
        assert!(makers.clone().count() == 3 && makers.clone().all(|r| r.id.starts_with("makers-")));
        for rule in FieldRule::all() {
            assert_eq!(
                rule.hold.is_empty(),
                rule.hold_time().is_none(),
                "{}",
                rule.id
            );
        }
    }
}
