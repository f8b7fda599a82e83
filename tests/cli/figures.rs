//! The figures that a command writes: whole files, for a desk and for a phone.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

fn tight(figures: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lineproof"))
        .args(["tight", "tests/cli/logs/short-evening.csv"])
        .args(["--outdoor-share", "0.8", "--figures"])
        .arg(figures)
        .output()
        .expect("the program runs")
}

#[test]
fn a_standing_pressure_test_is_drawn_into_a_folder_that_is_made_for_it() {
    let home = tempfile::tempdir().expect("a folder");
    let folder = home.path().join("of/one/night");
    let said = tight(&folder);
    assert_eq!(said.status.code(), Some(3), "undecided");
    let text = String::from_utf8(said.stdout).expect("text");
    assert!(
        text.contains("the figures are in") || text.contains("The figures are in"),
        "{text}"
    );
    for name in ["hold", "residuals", "loss-limit"] {
        for end in ["", "-phone"] {
            let path = folder.join(format!("{name}{end}.svg"));
            let svg = fs::read_to_string(&path).expect("a drawing");
            assert!(svg.starts_with("<svg xmlns=") && svg.trim_end().ends_with("</svg>"));
            // a file of its own leans on no page
            assert!(
                !svg.contains("var(--") && !svg.contains("inherit"),
                "{name}{end}"
            );
        }
    }
}

#[test]
fn a_folder_that_cannot_be_made_stops_the_command_before_it_says_anything() {
    let home = tempfile::tempdir().expect("a folder");
    let file = home.path().join("taken");
    fs::write(&file, "kept").expect("a file");
    let said = tight(&file.join("figures"));
    assert_eq!(said.status.code(), Some(2));
    assert!(said.stdout.is_empty());
    let error = String::from_utf8(said.stderr).expect("text");
    assert!(error.contains("cannot be written"), "{error}");
    assert_eq!(fs::read_to_string(&file).expect("a file"), "kept");
}

/// The answer for a script stays JSON alone, and is the same with the figures and without.
#[test]
fn a_vacuum_rise_is_drawn_beside_its_json() {
    let home = tempfile::tempdir().expect("a folder");
    let folder = home.path().join("rise");
    let said = |figures: &[&Path]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_lineproof"));
        command.args(["dry", "tests/cli/logs/levels-off.csv", "--json"]);
        for folder in figures {
            command.arg("--figures").arg(folder);
        }
        command.output().expect("the program runs")
    };
    let (plain, drawn) = (said(&[]), said(&[&folder]));
    assert_eq!(drawn.status.code(), plain.status.code());
    assert_eq!(drawn.stdout, plain.stdout);
    let json: serde_json::Value = serde_json::from_slice(&drawn.stdout).expect("JSON alone");
    assert!(json["leak_micron_per_min"]["estimate"].is_number());
    for name in ["rise.svg", "rise-phone.svg"] {
        let svg = fs::read_to_string(folder.join(name)).expect("a drawing");
        assert!(
            svg.starts_with("<svg xmlns=") && !svg.contains("var(--"),
            "{name}"
        );
    }
}
