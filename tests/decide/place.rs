//! The table of who may do what: whole, dated, and never a permission by silence.

use std::collections::BTreeSet;

use lineproof::decide::place::{self, Activity, Place, Who};
use lineproof::source::Status;

#[test]
fn every_place_has_one_row_for_every_activity() {
    let rows: BTreeSet<_> = place::all()
        .iter()
        .map(|r| (r.place.word(), r.activity.word()))
        .collect();
    assert_eq!(rows.len(), place::all().len(), "a row twice");
    assert_eq!(rows.len(), Place::ALL.len() * Activity::ALL.len());
}

#[test]
fn a_rule_is_dated_and_a_place_not_known_asks() {
    for rule in place::all() {
        let cited = rule.cite();
        match rule.place {
            Place::Elsewhere => {
                assert_eq!(rule.who, Who::Ask, "{cited}");
                assert_eq!(rule.as_of, None, "{cited}");
                assert!(cited.contains("ask"), "{cited}");
            }
            _ => {
                assert_ne!(rule.who, Who::Ask, "{cited}");
                let date = rule.as_of.as_deref().unwrap();
                assert!(date.len() == 7 && date.starts_with("20"), "{date}");
                assert!(cited.contains("not legal advice"), "{cited}");
                assert_eq!(rule.source.status(), Status::Memory, "{cited}");
                assert!(cited.contains("from memory"), "{cited}");
            }
        }
    }
}

#[test]
fn a_country_is_read_as_typed() {
    for (typed, place) in [
        ("US", Place::Us),
        (" usa ", Place::Us),
        ("EU", Place::Eu),
        ("Norway", Place::Elsewhere),
        ("", Place::Elsewhere),
    ] {
        assert_eq!(Place::of(typed), place, "{typed}");
    }
}
