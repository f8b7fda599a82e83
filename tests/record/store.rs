//! Writing, reading again, and what happens to torn, broken, edited and newer lines.

use std::fs;
use std::path::Path;

use lineproof::check::Segment;
use lineproof::record::*;
use proptest::prelude::*;

use super::{bodies, flared, new_event, quantity};

fn begun() -> (tempfile::TempDir, Record) {
    let folder = tempfile::tempdir().unwrap();
    let record = Record::create(folder.path(), flared()).unwrap();
    (folder, record)
}

fn with_three_events() -> (tempfile::TempDir, Record) {
    let (folder, mut record) = begun();
    for minutes in 0..3 {
        record
            .append(new_event(
                minutes,
                Started {
                    mode: Mode::Cooling,
                },
            ))
            .unwrap();
    }
    (folder, record)
}

/// As a program leaves it that was stopped before it had sealed the third event.
fn stopped_at_the_third() -> (tempfile::TempDir, Record) {
    let (folder, mut record) = begun();
    let seal = folder.path().join("events.sum");
    let mut before = Vec::new();
    for minutes in 0..3 {
        before = fs::read(&seal).unwrap();
        let started = Started {
            mode: Mode::Cooling,
        };
        record.append(new_event(minutes, started)).unwrap();
    }
    fs::write(seal, before).unwrap();
    (folder, record)
}

fn lines(folder: &Path) -> Vec<String> {
    let text = fs::read_to_string(folder.join("events.jsonl")).unwrap();
    text.lines().map(String::from).collect()
}

fn rewrite(folder: &Path, lines: &[String]) {
    fs::write(folder.join("events.jsonl"), lines.join("\n") + "\n").unwrap();
}

/// The message without the folder's name, which differs from run to run.
fn message(folder: &Path) -> String {
    let error = Record::open(folder).unwrap_err().to_string();
    error.replace(&format!("{}/", folder.display()), "")
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn what_is_written_is_read(bodies in prop::collection::vec(bodies::body(), 1..5), note in prop::option::of("\\PC*")) {
        let (folder, mut record) = begun();
        for (minutes, body) in bodies.into_iter().enumerate() {
            let mut new = new_event(minutes as i64, body);
            new.note = note.clone();
            record.append(new).unwrap();
        }
        let again = Record::open(folder.path()).unwrap();
        prop_assert_eq!(&again, &record);
        prop_assert!(again.verify().unwrap().intact());
    }
}

#[test]
fn a_line_looks_like_this() {
    let (folder, mut record) = begun();
    let mut made = new_event(
        0,
        JointMade {
            joint: "liquid-out".into(),
            torque: Some(quantity("42 N m")),
            adapter: None,
            wrench: None,
            oiled: Answer::Yes,
        },
    );
    made.note = Some("second try".into());
    record.append(made).unwrap();
    let line = lines(folder.path()).remove(0);
    let (before, prev) = line.split_once("\"prev\":\"").unwrap();
    assert!(prev.len() > 64);
    for part in [
        r#""v":1"#,
        r#""n":1"#,
        r#""at":"2026-05-04T12:00:00-05:00""#,
        r#""event":"joint-made""#,
        r#""torque":"42 N m""#,
        r#""oiled":"yes""#,
        r#""note":"second try""#,
    ] {
        assert!(line.contains(part), "{part} in {before}");
    }
    assert!(!line.contains("null"));
}

#[test]
fn a_folder_with_a_record_is_left_alone() {
    let (folder, _) = begun();
    let before = fs::read(folder.path().join("lineset.toml")).unwrap();
    let error = Record::create(folder.path(), flared()).unwrap_err();
    assert!(matches!(error, RecordError::Exists { .. }), "{error}");
    assert_eq!(
        before,
        fs::read(folder.path().join("lineset.toml")).unwrap()
    );
    let empty = tempfile::tempdir().unwrap();
    assert!(matches!(
        Record::open(empty.path()),
        Err(RecordError::NotARecord { .. })
    ));
}

#[test]
fn a_torn_last_line_loses_only_itself_and_is_kept_aside() {
    let (folder, record) = stopped_at_the_third();
    let path = folder.path().join("events.jsonl");
    let whole = fs::read(&path).unwrap();
    let last = lines(folder.path())[2].len();
    for left in 1..last {
        // cut anywhere inside the third line
        let cut = whole.len() - 1 - last + left;
        fs::write(&path, &whole[..cut]).unwrap();
        let opened = Record::open(folder.path()).unwrap();
        assert_eq!(opened.events, record.events[..2]);
        assert!(matches!(
            &opened.warnings[..],
            [Warning::Torn { line: 3, .. }]
        ));
    }
    let mut opened = Record::open(folder.path()).unwrap();
    assert!(!opened.verify().unwrap().intact());
    let event = opened.append(new_event(9, Stopped::default())).unwrap();
    assert_eq!(event.number, 3);
    assert!(opened.warnings.is_empty());
    let torn = fs::read_to_string(folder.path().join("events.torn")).unwrap();
    assert_eq!(
        torn.trim_end(),
        String::from_utf8_lossy(&whole[whole.len() - 1 - last..whole.len() - 2])
    );
    let again = Record::open(folder.path()).unwrap();
    assert_eq!(again.events.len(), 3);
    assert!(again.verify().unwrap().intact());
}

#[test]
fn a_torn_line_of_noise_counts_as_torn_too() {
    let (folder, _) = with_three_events();
    let path = folder.path().join("events.jsonl");
    let mut bytes = fs::read(&path).unwrap();
    bytes.extend([0, 0, 0, 0xff, b'\n']);
    fs::write(&path, bytes).unwrap();
    let mut opened = Record::open(folder.path()).unwrap();
    assert!(matches!(
        &opened.warnings[..],
        [Warning::Torn { line: 4, .. }]
    ));
    opened.append(new_event(9, Stopped::default())).unwrap();
    assert_eq!(Record::open(folder.path()).unwrap().events.len(), 4);
}

#[test]
fn a_whole_last_line_without_its_end_is_not_lost() {
    let (folder, record) = with_three_events();
    let path = folder.path().join("events.jsonl");
    let bytes = fs::read(&path).unwrap();
    fs::write(&path, &bytes[..bytes.len() - 1]).unwrap();
    let mut opened = Record::open(folder.path()).unwrap();
    assert_eq!(opened.events, record.events);
    opened.append(new_event(9, Stopped::default())).unwrap();
    let again = Record::open(folder.path()).unwrap();
    assert_eq!(again.events.len(), 4);
    assert!(again.verify().unwrap().intact());
}

#[test]
fn a_broken_line_in_the_middle_is_an_error() {
    let (folder, _) = with_three_events();
    let mut broken = lines(folder.path());
    broken[1].truncate(20);
    rewrite(folder.path(), &broken);
    let text = message(folder.path());
    assert!(
        text.starts_with("events.jsonl line 2: the line is broken"),
        "{text}"
    );
    assert!(text.contains("restore it from a copy"), "{text}");
}

#[test]
fn wrong_fields_name_file_line_field_and_next_step() {
    let good = |fields: &str| {
        format!(
            r#"{{"v":1,"n":1,"at":"2026-05-04T12:00:00-05:00","noted":"2026-05-04T12:00:00-05:00","prev":"",{fields}}}"#
        )
    };
    let cases = [
        (
            good(r#""event":"joint-made","joint":"a","torqe":"42 N m""#),
            "events.jsonl line 1, torqe: there is no field \"torqe\" here; did you mean \"torque\"? known fields are joint, torque, adapter, wrench, oiled",
        ),
        (
            good(r#""event":"joint-mad","joint":"a""#),
            "events.jsonl line 1, event: there is no event \"joint-mad\"; did you mean \"joint-made\"? known events are joint-made, joint-checked",
        ),
        (
            good(r#""event":"joint-made","joint":"a","torque":"42""#),
            "events.jsonl line 1, torque: \"42\" has no unit: a torque is typed with one of N m, ft lb, in lb",
        ),
        (
            good(r#""event":"joint-made","joint":"a","torque":42"#),
            "events.jsonl line 1, torque: invalid type: integer `42`, expected a string; write it as text in quotes",
        ),
        (
            good(r#""event":"opened","segments":["liquid-line","vapor-line"]"#),
            "events.jsonl line 1, segments 2: \"vapor-line\" is none of the choices; did you mean \"vapour-line\"? choose one of outdoor-unit",
        ),
        (
            good(
                r#""event":"pressure-test","covers":["hoses"],"readings":[{"after":"0 h","pressure":"350 psi"},{"after":"2 h","pressure":"1,350 psig"}]"#,
            ),
            "events.jsonl line 1, readings 2, pressure: \"1,350 psig\" has a comma",
        ),
        (
            good(r#""event":"joint-made""#),
            "events.jsonl line 1: \"joint\" is missing; add \"joint\"",
        ),
        (
            good(r#""event":"started","mode":"cooling""#).replace("-05:00\",\"noted", "\",\"noted"),
            "events.jsonl line 1, at: \"2026-05-04T12:00:00\" has no offset from UTC",
        ),
        (
            good(r#""event":"started","mode":"cooling""#).replace("\"v\":1", "\"v\":7"),
            "events.jsonl line 1, v: version 7 is newer than 1, the newest this program reads; nothing was changed; use a newer lineproof",
        ),
    ];
    for (line, expected) in cases {
        let (folder, _) = begun();
        rewrite(folder.path(), &[line]);
        let text = message(folder.path());
        assert!(
            text.starts_with(expected),
            "\n got: {text}\nwant: {expected}"
        );
    }
}

#[test]
fn a_newer_line_is_never_written_behind() {
    let (folder, mut record) = with_three_events();
    let mut newer = lines(folder.path());
    newer[2] = newer[2].replace("\"v\":1", "\"v\":2");
    rewrite(folder.path(), &newer);
    let error = record.append(new_event(9, Stopped::default())).unwrap_err();
    assert!(
        matches!(error, RecordError::Newer { found: 2, .. }),
        "{error}"
    );
    assert_eq!(lines(folder.path()), newer);
}

#[test]
fn an_edited_line_is_found() {
    let (folder, _) = with_three_events();
    let mut edited = lines(folder.path());
    edited[1] = edited[1].replace("cooling", "heating");
    rewrite(folder.path(), &edited);
    let record = Record::open(folder.path()).unwrap();
    assert_eq!(record.warnings, [Warning::Edited { line: 2 }]);
    let states: Vec<_> = record
        .verify()
        .unwrap()
        .lines
        .iter()
        .map(|l| l.fate)
        .collect();
    assert_eq!(
        states,
        [LineFate::Intact, LineFate::Edited, LineFate::Intact]
    );
}

#[test]
fn a_missing_line_is_found() {
    let (folder, _) = with_three_events();
    let mut short = lines(folder.path());
    short.remove(1);
    rewrite(folder.path(), &short);
    let record = Record::open(folder.path()).unwrap();
    assert!(record.warnings.contains(&Warning::Number {
        line: 2,
        expected: 2,
        found: 3
    }));
    assert!(!record.verify().unwrap().intact());
}

#[test]
fn two_programs_write_one_after_the_other() {
    let (folder, mut first) = begun();
    let mut second = Record::open(folder.path()).unwrap();
    first.append(new_event(0, Stopped::default())).unwrap();
    let event = second.append(new_event(1, Stopped::default())).unwrap();
    assert_eq!(event.number, 2);
    assert_eq!(second.events.len(), 2);

    let path = folder.path().to_path_buf();
    std::thread::scope(|scope| {
        for writer in 0..4 {
            let path = &path;
            scope.spawn(move || {
                let mut record = Record::open(path).unwrap();
                for minutes in 0..5 {
                    record
                        .append(new_event(10 * writer + minutes, Stopped::default()))
                        .unwrap();
                }
            });
        }
    });
    let all = Record::open(&path).unwrap();
    assert_eq!(all.events.len(), 22);
    assert!(all.warnings.is_empty(), "{:?}", all.warnings);
}

#[test]
fn a_lock_that_is_held_is_waited_for_and_then_said() {
    let (folder, mut record) = begun();
    let holder = fs::File::open(folder.path().join("events.jsonl")).unwrap();
    holder.lock().unwrap();
    let error = record.append(new_event(0, Stopped::default())).unwrap_err();
    assert!(matches!(error, RecordError::Locked { .. }), "{error}");
    holder.unlock().unwrap();
    record.append(new_event(0, Stopped::default())).unwrap();
}

#[test]
fn events_that_do_not_fit_are_refused_and_not_written() {
    let (folder, mut record) = begun();
    let made = |joint: &str| JointMade {
        joint: joint.into(),
        torque: None,
        adapter: None,
        wrench: None,
        oiled: Answer::NotKnown,
    };
    let no_readings = PressureTest {
        covers: vec![Segment::LiquidLine],
        gas: TestGas::Nitrogen,
        test_pressure: None,
        gauge: None,
        thermometer: None,
        valves: None,
        outdoor_share: None,
        unlogged_swing: None,
        volume: None,
        rule: None,
        until: None,
        log: None,
        readings: Vec::new(),
    };
    let cases = [
        (
            new_event(0, made("liquid-ot")),
            "joint-made, joint: lineset.toml has no joint \"liquid-ot\"; did you mean \"liquid-out\"?",
        ),
        (new_event(200_000, made("cap")), "is later than now"),
        (
            new_event(0, no_readings.clone()),
            "pressure-test, readings: there is neither a log nor a reading; give one of them",
        ),
        (
            new_event(
                0,
                PressureTest {
                    gauge: Some("g".into()),
                    ..no_readings
                },
            ),
            "pressure-test, gauge: lineset.toml has no instrument \"g\"; add a [[instrument]] table with that id",
        ),
    ];
    let mut photographed = new_event(0, Stopped::default());
    photographed.photos = vec![Photo {
        file: "../lineset.toml".into(),
        taken_in: None,
    }];
    let error = record.append(photographed).unwrap_err().to_string();
    assert!(error.contains("is not in the record"), "{error}");
    for (new, expected) in cases {
        let error = record.append(new).unwrap_err().to_string();
        assert!(
            error.contains(expected),
            "\n got: {error}\nwant: {expected}"
        );
    }
    assert!(lines(folder.path()).is_empty());
}

#[test]
fn logger_files_are_copied_once_and_checked() {
    let (folder, mut record) = begun();
    let elsewhere = tempfile::tempdir().unwrap();
    let source = elsewhere.path().join("hold.csv");
    fs::write(&source, "hours,psig\n0,350\n").unwrap();
    let log = record.attach_log(&source).unwrap();
    assert_eq!((log.file.as_str(), log.bytes), ("logs/hold.csv", 17));
    assert_eq!(record.attach_log(&source).unwrap().file, "logs/hold.csv");
    fs::write(&source, "hours,psig\n0,351\n").unwrap();
    assert_eq!(record.attach_log(&source).unwrap().file, "logs/hold-2.csv");

    let kept = record.log_path(&log);
    record
        .append(new_event(
            0,
            PressureTest {
                covers: vec![Segment::LiquidLine],
                gas: TestGas::Nitrogen,
                test_pressure: None,
                gauge: None,
                thermometer: None,
                valves: None,
                outdoor_share: None,
                unlogged_swing: None,
                volume: None,
                rule: None,
                until: None,
                log: Some(log),
                readings: Vec::new(),
            },
        ))
        .unwrap();
    assert!(record.verify().unwrap().intact());
    fs::write(&kept, "hours,psig\n0,352\n").unwrap();
    assert_eq!(
        record.verify().unwrap().files[0].fate,
        FileFate::Edited { bytes: 17 }
    );
    fs::remove_file(&kept).unwrap();
    assert_eq!(record.verify().unwrap().files[0].fate, FileFate::Missing);
    assert!(folder.path().join("logs/hold-2.csv").exists());
}
