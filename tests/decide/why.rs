//! `why`: every code is explained, and a slip is recognised.

use std::collections::BTreeSet;

use lineproof::check::Stage;
use lineproof::decide::{Belongs, codes, nearest, rules, why};

use super::said;

#[test]
fn every_code_is_explained() {
    let mut seen = BTreeSet::new();
    for code in codes() {
        let why = why(code).unwrap_or_else(|| panic!("{code}"));
        assert_eq!(why.code, code);
        assert!(seen.insert(code), "{code} twice");
        assert!(!why.meaning.is_empty() && !why.undo.is_empty(), "{code}");
        assert!(!why.sources.is_empty(), "{code} has no source");
    }
    let said: usize = said::all().iter().map(|(_, codes, _)| codes.len()).sum();
    assert_eq!(seen.len(), said + rules::all().count());
}

#[test]
fn a_code_belongs_to_a_rule_or_to_a_stage() {
    let rule = why("call-charge-lost").unwrap();
    assert!(matches!(rule.belongs, Belongs::Rule { .. }));
    assert!(rule.bring.contains(&"scale"), "{:?}", rule.bring);
    let reason = why("tight-leak-seen").unwrap();
    assert_eq!(reason.belongs, Belongs::Reason(Stage::Tight));
    assert!(reason.undo.contains("pressure-test"), "{}", reason.undo);
    assert_eq!(why("evidence-none").unwrap().belongs, Belongs::Evidence);
}

#[test]
fn a_mistyped_code_has_a_suggestion() {
    assert_eq!(nearest("call-charge-los"), Some("call-charge-lost"));
    assert_eq!(nearest("tight_leak_seen"), Some("tight-leak-seen"));
    assert_eq!(nearest("weather"), None);
    assert_eq!(why("call-charge-los"), None);
}
