//! What a follower sees of a log: growth, half lines, emptying, replacing, absence.

use std::fs;
use std::io::Write;
use std::path::PathBuf;

use lineproof::record::logger::{Follower, LoggerError, Look};

struct Log(tempfile::TempDir, PathBuf);

impl Log {
    fn of(text: &str) -> (Self, Follower) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("log.csv");
        fs::write(&path, text).unwrap();
        let follower = Follower::new(&path);
        (Log(folder, path), follower)
    }

    fn add(&self, text: &[u8]) {
        let mut file = fs::OpenOptions::new().append(true).open(&self.1).unwrap();
        file.write_all(text).unwrap();
    }
}

#[test]
fn a_half_written_line_waits_for_its_end() {
    let (log, mut follower) = Log::of("t_h,p_psig\n0,450.0\n1,44");
    assert_eq!(follower.look().unwrap(), Look::Grew);
    assert_eq!(follower.whole(), 19);
    log.add(b"9");
    assert_eq!(follower.look().unwrap(), Look::Unchanged);
    log.add(b".5\n");
    assert_eq!(follower.look().unwrap(), Look::Grew);
    assert_eq!(follower.whole(), 27);
}

#[test]
fn an_emptied_file_begins_anew() {
    let (log, mut follower) = Log::of("t_h,p_psig\n0,450\n1,449\n");
    follower.look().unwrap();
    fs::write(&log.1, "").unwrap();
    assert_eq!(follower.look().unwrap(), Look::BeganAnew);
    assert_eq!(
        (follower.whole(), follower.look().unwrap()),
        (0, Look::Unchanged)
    );
    log.add(b"t_h,p_psig\n");
    assert_eq!(follower.look().unwrap(), Look::Grew);
}

#[test]
fn a_file_that_was_emptied_and_filled_beyond_its_length_between_two_looks_begins_anew() {
    let (log, mut follower) = Log::of("t_h,p_psig\n0,450\n1,449\n");
    follower.look().unwrap();
    fs::write(&log.1, "t_h,p_psig\n0,300\n1,300\n2,300\n3,300\n").unwrap();
    assert_eq!(follower.look().unwrap(), Look::BeganAnew);
    assert_eq!(follower.whole(), 35);
}

#[test]
fn a_rotated_file_is_gone_and_begins_anew() {
    let (log, mut follower) = Log::of("t_h,p_psig\n0,450\n1,449\n");
    follower.look().unwrap();
    fs::rename(&log.1, log.1.with_extension("1")).unwrap();
    assert_eq!(follower.look().unwrap(), Look::Gone);
    assert_eq!(follower.look().unwrap(), Look::Gone);
    fs::write(&log.1, "t_h,p_psig\n0,200\n").unwrap();
    assert_eq!(follower.look().unwrap(), Look::BeganAnew);
}

#[test]
fn a_file_that_was_away_and_came_back_goes_on() {
    let (log, mut follower) = Log::of("t_h,p_psig\n0,450\n");
    follower.look().unwrap();
    let away = log.1.with_extension("away");
    fs::rename(&log.1, &away).unwrap();
    assert_eq!(follower.look().unwrap(), Look::Gone);
    fs::rename(&away, &log.1).unwrap();
    assert_eq!(follower.look().unwrap(), Look::Unchanged);
    log.add(b"1,449\n");
    assert_eq!(follower.look().unwrap(), Look::Grew);
}

#[test]
fn a_long_file_is_known_by_its_first_and_last_bytes() {
    let rows: String = (0..2000).map(|i| format!("{i},450.0\n")).collect();
    let (log, mut follower) = Log::of(&rows);
    follower.look().unwrap();
    log.add(b"2000,450.0\n");
    assert_eq!(follower.look().unwrap(), Look::Grew);
    assert_eq!(follower.whole(), fs::metadata(&log.1).unwrap().len());
    // another last line of the same length
    let other = fs::read_to_string(&log.1)
        .unwrap()
        .replace("\n1999,450.0\n", "\n1999,333.0\n");
    fs::write(&log.1, other).unwrap();
    assert_eq!(follower.look().unwrap(), Look::BeganAnew);
}

#[test]
fn lines_of_two_byte_letters_end_behind_their_zero() {
    let text = "t_h,p_psig\n0,450\n1";
    let bytes: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let (log, mut follower) = Log::of("");
    log.add(b"\xff\xfe");
    log.add(&bytes);
    assert_eq!(follower.look().unwrap(), Look::Grew);
    assert_eq!(follower.whole(), 2 + 2 * 17);
}

#[test]
fn a_workbook_and_a_folder_are_refused() {
    let (log, mut follower) = Log::of("");
    log.add(b"PK\x03\x04");
    assert!(matches!(
        follower.look(),
        Err(LoggerError::NotFollowed { .. })
    ));
    let mut folder = Follower::new(log.0.path());
    assert!(matches!(folder.look(), Err(LoggerError::Unreadable { .. })));
}
