//! The example records as their owners see them: one screen, nothing told unasked, nothing hidden.

use std::path::{Path, PathBuf};

use lineproof::decide::{Judgement, judge};
use lineproof::out::personal::{self, PersonalKind, Preview};
use lineproof::out::text::{self, Style};
use lineproof::out::{Proof, Sheet, html};
use lineproof::quantity::UnitSystem;
use lineproof::record::Record;

use crate::words;

fn examples() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let entries = std::fs::read_dir(folder).unwrap();
    let mut found: Vec<PathBuf> = entries.map(|e| e.unwrap().path()).collect();
    found.sort();
    found
}

fn judged(folder: &Path) -> (Record, Judgement) {
    let record = Record::open(folder).unwrap();
    let judgement = judge(&record, UnitSystem::Si).unwrap();
    (record, judgement)
}

fn sheet(record: &Record, judgement: &Judgement) -> Sheet {
    Sheet::of(record, judgement, "2026-07-10 12:00".into(), UnitSystem::Si)
}

/// A terminal of 80 columns shows it; a command is never wrapped, as it is there to be copied.
#[test]
fn every_example_is_summed_up_on_one_screen() {
    for folder in examples() {
        let (record, judgement) = judged(&folder);
        let shown = text::summary(&sheet(&record, &judgement), Style::Plain);
        let lines: Vec<&str> = shown.lines().collect();
        assert!(lines.len() <= 34, "{} lines:\n{shown}", lines.len());
        for line in lines.iter().filter(|line| !line.contains("lineproof ")) {
            assert!(line.chars().count() <= 80, "{line}");
        }
        let answer = judgement.decision.verdict.words();
        assert!(lines[0].to_lowercase().starts_with(answer), "{shown}");
        for stage in lineproof::check::Stage::ALL {
            assert!(
                shown.contains(&format!("\n  {:<8}", stage.word())),
                "{shown}"
            );
        }
        assert!(shown.contains("--all"), "{shown}");
        words::has_no_inside_word(&shown);
    }
}

/// What may be left out is gone from the page, the page says so, and every event is still there.
#[test]
fn what_is_left_out_is_gone_and_said_and_no_event_is() {
    for folder in examples() {
        let (record, judgement) = judged(&folder);
        let told = Preview::of(&record);
        let kept = personal::without(&record, &PersonalKind::ALL);
        let page = Sheet {
            left_out: PersonalKind::ALL.to_vec(),
            ..sheet(&kept, &judgement)
        };
        assert_eq!(page.events.len(), record.events.len());
        let html = html::report(&page).unwrap();
        assert!(
            html.contains("eft out at the owner"),
            "{}",
            folder.display()
        );
        for line in &told.personal {
            let bare = line.text.trim_matches('"');
            let bare = bare.split_once(": ").map_or(bare, |(_, text)| text);
            assert!(!html.contains(bare), "{bare} is still in the report");
        }
        let left = Preview::of(&kept);
        assert_eq!(left.work.len(), told.work.len());
        assert!(
            left.personal
                .iter()
                .all(|l| l.kind == Some(PersonalKind::Name))
        );
    }
}

#[test]
fn a_report_says_nothing_of_what_is_left_out_when_nothing_is() {
    let (record, judgement) = judged(&examples()[0]);
    let html = html::report(&sheet(&record, &judgement)).unwrap();
    assert!(!html.contains("eft out at the owner"));
}

/// Whatever the report shows of a person's work and words stands in the preview, with its event.
#[test]
fn the_preview_lists_notes_photographs_and_reserved_work() {
    let find = |name: &str| {
        let all = examples();
        let folder = all.iter().find(|f| f.ends_with(name)).unwrap().clone();
        Preview::of(&Record::open(&folder).unwrap())
    };
    let told = find("courtyard-opened");
    let numbers: Vec<u64> = told
        .work
        .iter()
        .filter_map(|l| Some(l.event.as_ref()?.0))
        .collect();
    assert_eq!(numbers, [3, 4], "{told:#?}");
    let told = find("cottage-visited");
    let has = |kind| told.personal.iter().any(|l| l.kind == Some(kind));
    assert!(has(PersonalKind::Serials) && has(PersonalKind::Photos) && has(PersonalKind::Notes));
    let told = find("snow-country-flared");
    assert!(told.work.is_empty(), "{told:#?}");
}

#[test]
fn a_joint_is_proven_by_a_look_by_a_test_or_by_nothing() {
    let proof = |name: &str, id: &str| {
        let all = examples();
        let folder = all.iter().find(|f| f.ends_with(name)).unwrap();
        let (record, judgement) = judged(folder);
        let sheet = sheet(&record, &judgement);
        sheet.joints.iter().find(|j| j.id == id).unwrap().proof
    };
    assert_eq!(proof("harbour-retested", "vapour-indoor"), Proof::Looked);
    assert_eq!(proof("theatre-ducted", "distributor"), Proof::Nothing);
    assert_eq!(
        proof("theatre-ducted", "vapour-coupling-coil"),
        Proof::OutOfDate
    );
    assert_eq!(proof("courtyard-opened", "liquid-indoor"), Proof::Nothing);
}

#[test]
fn every_example_verifies_as_intact_in_words() {
    for folder in examples() {
        let found = lineproof::record::verify(&folder).unwrap();
        assert!(found.intact(), "{found:#?}");
        let shown = text::verification(&found, Style::Plain);
        assert!(shown.starts_with("Intact: "), "{shown}");
        words::has_no_inside_word(&shown);
    }
}

/// One sheet in big letters that loads nothing.
#[test]
fn the_card_is_one_small_page_with_every_act() {
    let card = html::hissing_card();
    for never in [
        "<script", "http://", "https://", "url(", "@import", "src=", "<link",
    ] {
        assert!(!card.contains(never), "{never}");
    }
    let acts = lineproof::decide::hissing::CARD;
    for act in &acts[..acts.len() - 1] {
        let start = act.text.split(['\'', '"']).next().unwrap();
        assert!(card.contains(start), "{}", act.text);
    }
    // the foot of the page and the card's last act name the same command
    let command = acts[acts.len() - 1].text.split_once(": ").unwrap().1;
    for word in command.split_whitespace() {
        assert!(card.contains(word), "{word} of {command}");
    }
    assert!(card.len() < 20_000);
}
