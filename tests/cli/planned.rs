//! What a typed argument and a record say together.

use std::process::{Command, Output};

fn plan(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lineproof"))
        .arg("plan")
        .args(words)
        .output()
        .expect("the program runs")
}

/// The refrigerant stands in the record: a typed volume needs no typed refrigerant.
#[test]
fn a_typed_volume_takes_the_refrigerant_of_the_record() {
    let record = "tests/cli/guide/plan.in/boathouse";
    let said = plan(&[record, "--at", "450psig", "--volume", "2.1L", "--card", "-"]);
    let error = String::from_utf8_lossy(&said.stderr);
    assert_eq!(said.status.code(), Some(0), "{error}");
}

#[test]
fn a_volume_alone_asks_for_the_refrigerant() {
    let gauge = ["--at", "450psig", "--gauge-resolution", "1psi"];
    let said = plan(&[&gauge[..], &["--volume", "2.1L"]].concat());
    assert_eq!(said.status.code(), Some(2));
    let error = String::from_utf8_lossy(&said.stderr);
    assert!(
        error.contains("--volume says nothing without the refrigerant"),
        "{error}"
    );
}
