//! Everything that can be said is said by some input, and nothing is said that is not on the list.

use super::said;

#[test]
fn every_code_is_said_by_some_input() {
    for (list, codes, table) in said::all() {
        let table = table();
        for (name, finding, expected) in &table {
            let said: Vec<&str> = finding.reasons.iter().map(|r| r.code).collect();
            for code in *expected {
                assert!(said.contains(code), "{list}, {name}: no {code} in {said:?}");
            }
        }
        let silent: Vec<&str> = codes
            .iter()
            .map(|(code, _)| *code)
            .filter(|code| !table.iter().any(|(_, _, expected)| expected.contains(code)))
            .collect();
        assert!(silent.is_empty(), "{list}: no input here says {silent:?}");
    }
}

#[test]
fn nothing_is_said_that_is_not_on_a_list() {
    let lists = said::all();
    let known = |code: &str| {
        lists
            .iter()
            .any(|(_, codes, _)| codes.iter().any(|(c, _)| *c == code))
    };
    for (list, _, table) in &lists {
        for (name, finding, _) in table() {
            for reason in &finding.reasons {
                assert!(known(reason.code), "{list}, {name}: {}", reason.code);
            }
        }
    }
}
