//! `tight --follow` and `dry --follow`: the program beside a log that grows, is emptied, is taken away, and ends half a line short.
#![cfg(all(feature = "cli", unix))]

mod looks;

use std::fs::{self, OpenOptions};
use std::io::{BufRead, BufReader, Read, Write};
use std::path::PathBuf;
use std::process::{Child, ChildStdout, Command, Output, Stdio};

/// An invented hold of a tight line, every quarter of an hour: pressure follows the outdoor air.
fn rows(from: usize, to: usize) -> String {
    let row = |i: usize| {
        let hours = i as f64 / 4.0;
        let outdoor = 50.0 - 10.0 * (hours * std::f64::consts::TAU / 24.0).sin();
        let gauge = 450.0 + 0.8 * (outdoor - 50.0);
        // a gauge's own crumbs
        let crumbs = [0.0, 0.1, -0.1, 0.0, 0.1][i % 5];
        format!("{hours},{:.1},{outdoor:.1},68.0\n", gauge + crumbs)
    };
    (from..to).map(row).collect()
}

const NAMES: &str = "t_h,p_psig,T_outdoor_F,T_indoor_F\n";

/// An invented rise from 300 micron that levels off at 900, every half minute.
fn rise(from: usize, to: usize) -> String {
    let row = |i: usize| {
        let minutes = i as f64 / 2.0;
        let vapour = 600.0 * (1.0 - (-minutes / 4.0).exp());
        // a gauge's own crumbs
        let crumbs = [0.0, 1.0, -1.0, 0.0, 1.0][i % 5];
        format!("{minutes},{:.0}\n", 300.0 + vapour + crumbs)
    };
    (from..to).map(row).collect()
}

const HOLD: &[&str] = &["tight", "--outdoor-share", "0.8"];
const RISE: &[&str] = &["dry"];

struct Followed {
    how: &'static [&'static str],
    folder: tempfile::TempDir,
    child: Child,
    out: BufReader<ChildStdout>,
}

impl Followed {
    fn of(text: &str, how: &'static [&'static str]) -> Self {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("night.csv"), text).unwrap();
        let mut child = command(&folder, how)
            .args(["night.csv", "--follow", "--every", "0.2s"])
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let out = BufReader::new(child.stdout.take().unwrap());
        Followed {
            how,
            folder,
            child,
            out,
        }
    }

    fn log(&self) -> PathBuf {
        self.folder.path().join("night.csv")
    }

    fn add(&self, text: &str) {
        let mut log = OpenOptions::new()
            .append(true)
            .create(true)
            .open(self.log())
            .unwrap();
        log.write_all(text.as_bytes()).unwrap();
    }

    fn line(&mut self) -> String {
        let mut line = String::new();
        self.out.read_line(&mut line).unwrap();
        line
    }

    /// Ends it as Ctrl-C does; the rest of what it said, and its exit code.
    fn end(mut self) -> (String, Option<i32>) {
        let id = self.child.id().to_string();
        assert!(
            Command::new("kill")
                .args(["-INT", &id])
                .status()
                .unwrap()
                .success()
        );
        let mut rest = String::new();
        self.out.read_to_string(&mut rest).unwrap();
        (rest, self.child.wait().unwrap().code())
    }

    /// What the program says of the same file without following it.
    fn without(&self) -> Output {
        command(&self.folder, self.how)
            .arg("night.csv")
            .output()
            .unwrap()
    }
}

fn command(folder: &tempfile::TempDir, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_lineproof"));
    command.current_dir(folder.path()).args(arguments);
    command
}

#[test]
fn ctrl_c_ends_with_the_answer_in_full_and_its_exit_code() {
    let mut followed = Followed::of(&(NAMES.to_string() + &rows(0, 40)), HOLD);
    let first = followed.line();
    assert!(first.contains("  undecided; gauge now "), "{first}");
    for words in [
        "a tight line ",
        "could be ",
        "loss ",
        "still needed about ",
        "9.8 of about ",
    ] {
        assert!(first.contains(words), "{words}: {first}");
    }
    followed.add(&rows(40, 80));
    let second = followed.line();
    assert!(
        second.contains("20 of about ") || second.contains("20 h, decided"),
        "{second}"
    );
    let alone = followed.without();
    let (rest, code) = followed.end();
    assert_eq!(rest, String::from_utf8(alone.stdout).unwrap());
    assert_eq!(code, alone.status.code());
}

#[test]
fn a_log_that_is_emptied_replaced_or_away_is_started_over() {
    let mut followed = Followed::of(NAMES, HOLD);
    let waiting = followed.line();
    assert!(waiting.starts_with("Waiting for readings: "), "{waiting}");
    followed.add(&rows(0, 12));
    assert!(followed.line().contains("gauge now 4"));
    fs::write(followed.log(), "").unwrap();
    assert!(followed.line().contains("the log began anew, waiting"));
    assert!(followed.line().contains("began anew at "));
    assert!(
        followed
            .line()
            .starts_with("Waiting for readings: the log is empty.")
    );
    followed.add(&(NAMES.to_string() + &rows(0, 8)));
    assert!(followed.line().contains("1.8 "), "7 quarters of an hour");
    fs::rename(followed.log(), followed.log().with_extension("1")).unwrap();
    assert!(followed.line().contains("the log is gone, waiting"));
    fs::write(followed.log(), NAMES.to_string() + &rows(20, 26)).unwrap();
    assert!(followed.line().contains("the log began anew, waiting"));
    assert!(followed.line().contains("gauge now 4"));
    let (_, code) = followed.end();
    assert_eq!(code, Some(3));
}

#[test]
fn a_half_written_last_line_is_left_out_of_the_last_answer_too() {
    let mut followed = Followed::of(&(NAMES.to_string() + &rows(0, 12) + "3.0,45"), HOLD);
    assert!(followed.line().contains("gauge now 4"));
    let (said, code) = followed.end();
    let words = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.contains("The last line of the log has no end yet and is left out"),
        "{said}"
    );
    assert_eq!(code, Some(3));
}

#[test]
fn a_name_that_is_wrong_and_a_column_without_a_unit_end_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let said = command(&folder, HOLD)
        .args(["nosuch.csv", "--follow"])
        .output()
        .unwrap();
    assert_eq!(said.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&said.stderr).contains("nosuch.csv: cannot be read"));
    fs::write(
        folder.path().join("bare.csv"),
        "t_h,p_bar\n0,30.0\n1,30.1\n",
    )
    .unwrap();
    let said = command(&folder, HOLD)
        .args(["bare.csv", "--follow"])
        .output()
        .unwrap();
    assert_eq!(said.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&said.stderr).contains("gauge or absolute?"));
}

#[test]
fn a_rise_leads_with_what_it_tells_so_far_and_ends_with_the_answer_in_full() {
    let mut followed = Followed::of(&("t_min,p_micron\n".to_string() + &rise(0, 1)), RISE);
    let waiting = followed.line();
    assert!(waiting.starts_with("Waiting for readings: "), "{waiting}");
    followed.add(&rise(1, 14));
    let early = followed.line();
    assert!(early.contains("  undecided: "), "{early}");
    for words in [
        " min more should tell a leak from water; gauge now ",
        "steady rise ",
        "6.5 of about ",
    ] {
        assert!(early.contains(words), "{words}: {early}");
    }
    assert!(!early.contains("still needed"), "said once: {early}");
    followed.add(&rise(14, 80));
    let late = followed.line();
    assert!(late.contains("levels off near "), "{late}");
    let alone = followed.without();
    let (rest, code) = followed.end();
    assert_eq!(rest, String::from_utf8(alone.stdout).unwrap());
    assert_eq!(code, alone.status.code());
}
