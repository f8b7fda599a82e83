//! Whether a record is still the one that was written: every byte of a closed record, and the ends of a broken one.

use std::fs;
use std::path::Path;

use lineproof::check::Segment;
use lineproof::record::*;
use proptest::prelude::*;

use super::{flared, minute, new_event, quantity};

/// Two events, one with a log and a photograph; small, so that every byte can be flipped.
fn closed() -> (tempfile::TempDir, Record) {
    let folder = tempfile::tempdir().unwrap();
    let elsewhere = tempfile::tempdir().unwrap();
    let mut record = Record::create(folder.path(), flared()).unwrap();
    let (log, photo) = (
        elsewhere.path().join("a.csv"),
        elsewhere.path().join("a.jpg"),
    );
    fs::write(&log, "hours,psig\n0,350\n").unwrap();
    fs::write(&photo, [0xff, 0xd8, 0xff, 0x00, 0x0a]).unwrap();
    let mut test = new_event(
        0,
        PressureTest {
            covers: vec![Segment::LiquidLine],
            gas: TestGas::Nitrogen,
            test_pressure: Some(quantity("350 psig")),
            gauge: None,
            thermometer: None,
            valves: None,
            outdoor_share: None,
            unlogged_swing: None,
            volume: None,
            rule: None,
            until: None,
            log: Some(record.attach_log(&log).unwrap()),
            readings: Vec::new(),
        },
    );
    test.photos = vec![record.attach_photo(&photo).unwrap()];
    record.append(test).unwrap();
    record.append(new_event(5, Stopped::default())).unwrap();
    (folder, record)
}

fn fates(folder: &Path) -> Vec<LineFate> {
    let found = verify(folder).unwrap();
    found.lines.iter().map(|line| line.fate).collect()
}

/// Every byte of a file, flipped in a few ways: a bit, a line's end, another letter.
fn every_flip_is_found(folder: &Path, file: &str) {
    let path = folder.join(file);
    let whole = fs::read(&path).unwrap();
    for at in 0..whole.len() {
        for flipped in [whole[at] ^ 1, whole[at] ^ 0x20, b'\n'] {
            if flipped == whole[at] {
                continue;
            }
            let mut bytes = whole.clone();
            bytes[at] = flipped;
            fs::write(&path, &bytes).unwrap();
            let found = verify(folder).unwrap();
            assert!(!found.intact(), "{file} byte {at} as {flipped}: {found:?}");
        }
    }
    fs::write(&path, &whole).unwrap();
    assert!(verify(folder).unwrap().intact());
}

#[test]
fn any_byte_of_a_closed_record_that_differs_is_found() {
    let (folder, _) = closed();
    assert_eq!(verify(folder.path()).unwrap().seal, SealFate::Intact);
    assert_eq!(fates(folder.path()), [LineFate::Intact; 2]);
    for file in ["events.jsonl", "events.sum", "logs/a.csv", "photos/a.jpg"] {
        every_flip_is_found(folder.path(), file);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]
    #[test]
    fn any_bytes_that_differ_are_found(flips in prop::collection::vec((any::<prop::sample::Index>(), 1u8..), 1..4)) {
        let (folder, _) = closed();
        let path = folder.path().join("events.jsonl");
        let whole = fs::read(&path).unwrap();
        let mut bytes = whole.clone();
        for (at, by) in flips {
            let at = at.index(bytes.len());
            bytes[at] ^= by;
        }
        prop_assume!(bytes != whole);
        fs::write(&path, &bytes).unwrap();
        prop_assert!(!verify(folder.path()).unwrap().intact());
    }
}

#[test]
fn an_edited_last_line_stays_to_be_seen_behind_later_ones() {
    let (folder, _) = closed();
    let path = folder.path().join("events.jsonl");
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replace("12:05", "12:04")).unwrap();
    let seen = [LineFate::Intact, LineFate::Edited];
    assert_eq!(fates(folder.path()), seen);
    let mut record = Record::open(folder.path()).unwrap();
    assert_eq!(record.warnings, [Warning::Edited { line: 2 }]);
    record.append(new_event(9, Stopped::default())).unwrap();
    assert_eq!(fates(folder.path())[..2], seen);
    assert_eq!(fates(folder.path())[2], LineFate::Intact);
    assert_eq!(verify(folder.path()).unwrap().whole(), Whole::Edited);
}

#[test]
fn lines_cut_from_the_end_are_missed_and_stay_missed() {
    let (folder, _) = closed();
    let path = folder.path().join("events.jsonl");
    let text = fs::read_to_string(&path).unwrap();
    let first = text.lines().next().unwrap();
    fs::write(&path, format!("{first}\n")).unwrap();
    let found = verify(folder.path()).unwrap();
    assert_eq!(found.seal, SealFate::LinesMissing { sealed: 2, left: 1 });
    assert_eq!(found.whole(), Whole::Edited);
    let mut record = Record::open(folder.path()).unwrap();
    let event = record.append(new_event(9, Stopped::default())).unwrap();
    assert_eq!(event.number, 3);
    assert_eq!(fates(folder.path()), [LineFate::Edited, LineFate::Intact]);
    // a last line that was whole once is no torn one
    let (folder, _) = closed();
    let path = folder.path().join("events.jsonl");
    let bytes = fs::read(&path).unwrap();
    fs::write(&path, &bytes[..bytes.len() - 9]).unwrap();
    assert_eq!(fates(folder.path()), [LineFate::Unproven, LineFate::Edited]);
}

#[test]
fn a_stop_between_line_and_seal_is_no_edit() {
    let (folder, mut record) = closed();
    let seal = folder.path().join("events.sum");
    let before = fs::read(&seal).unwrap();
    record.append(new_event(9, Stopped::default())).unwrap();
    fs::write(&seal, &before).unwrap();
    let found = verify(folder.path()).unwrap();
    assert_eq!(found.seal, SealFate::Behind { sealed: 2 });
    assert_eq!(found.lines[2].fate, LineFate::Unproven);
    assert_eq!(found.whole(), Whole::Intact);
    // and cut short there, it is torn
    let path = folder.path().join("events.jsonl");
    let bytes = fs::read(&path).unwrap();
    fs::write(&path, &bytes[..bytes.len() - 9]).unwrap();
    let found = verify(folder.path()).unwrap();
    assert_eq!(found.lines[2].fate, LineFate::Torn);
    assert_eq!((found.seal, found.whole()), (SealFate::Intact, Whole::Torn));
    let mut record = Record::open(folder.path()).unwrap();
    record.append(new_event(9, Stopped::default())).unwrap();
    assert!(verify(folder.path()).unwrap().intact());
}

#[test]
fn a_record_that_cannot_be_opened_is_told_line_by_line() {
    let (folder, mut record) = closed();
    record.append(new_event(9, Stopped::default())).unwrap();
    let path = folder.path().join("events.jsonl");
    let text = fs::read_to_string(&path).unwrap();
    let lines: Vec<&str> = text.lines().collect();
    fs::write(
        &path,
        format!("{}\n{}\n{}\n", lines[0], &lines[1][..30], lines[2]),
    )
    .unwrap();
    assert!(Record::open(folder.path()).is_err());
    let found = verify(folder.path()).unwrap();
    let fates: Vec<LineFate> = found.lines.iter().map(|l| l.fate).collect();
    assert_eq!(
        fates,
        [LineFate::Unproven, LineFate::Edited, LineFate::Intact]
    );
    assert_eq!(found.lines[2].event.as_deref(), Some("stopped"));
    assert_eq!(found.lines[2].at, Some(minute(9)));
    assert_eq!(found.files.len(), 2);
}

#[test]
fn a_record_older_than_seals_is_read_and_sealed_by_its_next_event() {
    let (folder, _) = closed();
    fs::remove_file(folder.path().join("events.sum")).unwrap();
    let path = folder.path().join("events.jsonl");
    let found = verify(folder.path()).unwrap();
    assert_eq!(found.seal, SealFate::None);
    assert_eq!(found.lines[1].fate, LineFate::Unproven);
    assert!(found.intact());
    // a photograph by its path alone
    let text = fs::read_to_string(&path).unwrap();
    let mut first: serde_json::Value = serde_json::from_str(text.lines().next().unwrap()).unwrap();
    first["photos"] = serde_json::json!(["photos/a.jpg"]);
    fs::write(&path, format!("{first}\n")).unwrap();
    let mut record = Record::open(folder.path()).unwrap();
    assert_eq!(record.events[0].photos[0].taken_in, None);
    record.append(new_event(9, Stopped::default())).unwrap();
    let found = verify(folder.path()).unwrap();
    assert_eq!(found.seal, SealFate::Intact);
    let photo = found.files.iter().find(|f| f.file == "photos/a.jpg");
    assert_eq!(photo.unwrap().fate, FileFate::Unproven);
}

#[test]
fn facts_edited_by_hand_are_a_note_and_stay_one() {
    let (folder, mut record) = closed();
    let path = folder.path().join("lineset.toml");
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text + "\n# looked again\n").unwrap();
    let found = verify(folder.path()).unwrap();
    assert_eq!(found.facts, [FactsEdit { met_after: None }]);
    assert!(found.intact());
    record.append(new_event(9, Stopped::default())).unwrap();
    let met = [FactsEdit { met_after: Some(2) }];
    assert_eq!(verify(folder.path()).unwrap().facts, met);
    // a change through the record is none
    let mut record = Record::open(folder.path()).unwrap();
    record
        .change(
            "place.address",
            Some("7 Long Wall"),
            None,
            minute(9),
            minute(10),
        )
        .unwrap();
    assert_eq!(verify(folder.path()).unwrap().facts, met);
    assert!(verify(folder.path()).unwrap().intact());
}

#[test]
fn a_change_cut_off_after_its_event_is_finished_on_opening() {
    let (folder, mut record) = closed();
    let path = folder.path().join("lineset.toml");
    let before = fs::read(&path).unwrap();
    record
        .change(
            "place.address",
            Some("7 Long Wall"),
            None,
            minute(9),
            minute(10),
        )
        .unwrap();
    let after = fs::read(&path).unwrap();
    fs::write(&path, &before).unwrap();
    fs::write(folder.path().join("lineset.toml.next"), &after).unwrap();
    let again = Record::open(folder.path()).unwrap();
    assert_eq!(again.lineset.place.address.as_deref(), Some("7 Long Wall"));
    assert_eq!(fs::read(&path).unwrap(), after);
    assert!(!folder.path().join("lineset.toml.next").exists());
}
