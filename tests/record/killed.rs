//! A program that is killed while it writes loses nothing that it reported as written.

use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use lineproof::record::*;

use super::{flared, minute};

/// Names the record for the program that appends; without it, [`appends_until_killed`] has nothing to do.
const FOLDER: &str = "LINEPROOF_TEST_APPEND_TO";

/// The program that is killed: this test's own executable, run with [`FOLDER`] set.
#[test]
fn appends_until_killed() {
    let Some(folder) = std::env::var_os(FOLDER) else {
        return;
    };
    let mut record = Record::open(Path::new(&folder)).unwrap();
    let mut out = std::io::stdout().lock();
    for count in 0..400 {
        let why = format!("process {} count {count}", std::process::id());
        let stopped = Stopped {
            why: Some(why.clone()),
        };
        let event = record
            .append(NewEvent::new(minute(count), minute(count), stopped))
            .unwrap();
        writeln!(out, "\nwritten {} {why}", event.number).unwrap();
        out.flush().unwrap();
    }
}

#[test]
fn nothing_that_was_reported_is_lost() {
    let folder = tempfile::tempdir().unwrap();
    Record::create(folder.path(), flared()).unwrap();
    let mut reported: Vec<(u64, String)> = Vec::new();
    let mut runs = 0u64;
    while reported.len() < 200 {
        runs += 1;
        let mut program = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "killed::appends_until_killed", "--nocapture"])
            .env(FOLDER, folder.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(program.stdout.take().unwrap()).lines();
        let mut take = |line: std::io::Result<String>| {
            let line = line.unwrap();
            let Some(rest) = line.strip_prefix("written ") else {
                return false;
            };
            if let Some((number, why)) = rest.split_once(' ') {
                reported.push((number.parse().unwrap(), why.into()));
            }
            true
        };
        // once it writes, let it write for a time that differs from run to run, and kill it in the middle
        for line in lines.by_ref() {
            if take(line) {
                break;
            }
        }
        std::thread::sleep(Duration::from_micros(3_000 + runs * 7_919 % 40_000));
        program.kill().unwrap();
        program.wait().unwrap();
        lines.for_each(|line| {
            take(line);
        });

        let record = Record::open(folder.path()).unwrap();
        let torn = |w: &Warning| matches!(w, Warning::Torn { .. });
        assert!(record.warnings.iter().all(torn), "{:?}", record.warnings);
        assert!(verify(folder.path()).unwrap().whole() <= Whole::Torn);
        assert!(runs < 400, "{} events in {runs} runs", reported.len());
    }
    let record = Record::open(folder.path()).unwrap();
    for (number, why) in &reported {
        let event = &record.events[*number as usize - 1];
        assert_eq!(event.number, *number);
        let stopped = Stopped {
            why: Some(why.clone()),
        };
        assert_eq!(event.body, stopped.into());
    }
    assert!(reported.is_sorted());
    assert!(record.events.len() <= reported.len() + runs as usize);
}
