use lineproof::check::dry::Cause;
use lineproof::check::{Caution, Finding, Outcome, Reason, Stage};
use lineproof::out::json::{self, Decide, Dry, Estimate, SheetDocument, Tight};
use lineproof::out::text::{self, Style};
use lineproof::quantity::UnitSystem;
use lineproof::source::SourceId;

use crate::sheets;

/// Words that never stand on a screen.
const NEVER: [&str; 10] = [
    "posterior",
    "prior",
    "mixture",
    "gum",
    "guard band",
    "ornstein",
    "score",
    "health",
    "diagnostic",
    "wizard",
];

pub fn has_no_inside_word(text: &str) {
    let lower = text.to_lowercase();
    let plain = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric());
    for word in NEVER {
        let alone = lower.match_indices(word).any(|(at, _)| {
            plain(lower[..at].chars().next_back()) && plain(lower[at + word.len()..].chars().next())
        });
        assert!(!alone, "\"{word}\" stands on a screen");
    }
}

#[test]
fn a_sheet_to_go_on_as_text() {
    insta::assert_snapshot!("go-on", text::sheet(&sheets::go_on(), Style::Plain));
}

#[test]
fn a_sheet_to_call_as_text() {
    insta::assert_snapshot!("call", text::sheet(&sheets::call(), Style::Plain));
}

#[test]
fn a_summary_as_text() {
    insta::assert_snapshot!("summary", text::summary(&sheets::call(), Style::Plain));
}

#[test]
fn a_decision_as_text() {
    insta::assert_snapshot!(
        "decision",
        text::decision(&sheets::call().decision, Style::Plain)
    );
}

#[test]
fn a_finding_as_text() {
    let sheet = sheets::go_on();
    let tight = &sheet.stages[1];
    let shown = text::finding(
        &tight.finding,
        &tight.cautions,
        UnitSystem::Si,
        Style::Plain,
    );
    insta::assert_snapshot!("finding", shown);
}

#[test]
fn a_sheet_as_json() {
    insta::assert_snapshot!(
        "call-json",
        json::document(&SheetDocument::from(&sheets::call()))
    );
}

#[test]
fn a_decision_as_json() {
    insta::assert_snapshot!(
        "decide-json",
        json::document(&Decide::from(&sheets::go_on().decision))
    );
}

#[test]
fn one_off_commands_as_json_have_null_for_what_is_not_a_number() {
    let tight = Tight {
        outcome: Outcome::Undecided,
        stop: None,
        leak_seen: false,
        refrigerant: None,
        loss_psi_per_h: Some(Estimate {
            estimate: 0.006,
            low95: -0.009,
            high95: f64::INFINITY,
        }),
        limit_psi_per_h: Some(0.05),
        hold_longer_h: Some(24.0),
        loss_percent_per_day: Some(Estimate {
            estimate: 0.03,
            low95: -0.05,
            high95: f64::NAN,
        }),
    };
    let dry = Dry {
        outcome: Outcome::Fail,
        cause: Cause::Moisture,
        leak_micron_per_min: None,
        p_leak_above_limit: Some(0.01),
        p_moisture: Some(0.98),
        levels_off_micron: Some(f64::NAN),
        hold_longer_min: None,
        starts_late_min: None,
        steps: vec![json::RiseStep {
            at_min: 20.0,
            from_micron: 380.0,
            to_micron: f64::INFINITY,
        }],
        fitted_min: Some([0.0, 19.5]),
    };
    insta::assert_snapshot!(
        "one-off-json",
        json::document(&tight) + &json::document(&dry)
    );
}

#[test]
fn no_word_from_inside_stands_on_a_screen() {
    for sheet in [sheets::go_on(), sheets::call()] {
        has_no_inside_word(&text::sheet(&sheet, Style::Plain));
        has_no_inside_word(&text::summary(&sheet, Style::Plain));
        has_no_inside_word(&json::document(&SheetDocument::from(&sheet)));
    }
}

#[test]
fn a_typed_name_cannot_move_the_cursor() {
    let mut sheet = sheets::go_on();
    sheet.record = "lake\x1b[2J\u{7}shop".into();
    let shown = text::sheet(&sheet, Style::Plain);
    assert!(
        shown.chars().all(|c| c == '\n' || !c.is_control()),
        "{shown:?}"
    );
}

#[test]
fn lines_are_short_and_headings_bold_only_when_asked() {
    let plain = text::sheet(&sheets::call(), Style::Plain);
    for line in plain.lines().filter(|line| !line.contains("lineproof ")) {
        assert!(line.chars().count() <= 88, "{line}");
        assert_eq!(line, line.trim_end());
    }
    let bold = text::sheet(&sheets::call(), Style::Ansi);
    assert!(bold.contains("\x1b[1mNext\x1b[0m"));
    let stripped = bold.replace("\x1b[1m", "").replace("\x1b[0m", "");
    assert_eq!(stripped, plain);
}

#[test]
fn every_source_behind_a_sheet_is_in_its_list_once() {
    let sheet = sheets::call();
    let sources = sheet.sources();
    let listed: Vec<_> = sources.numbered().map(|(_, source)| source).collect();
    for stage in &sheet.stages {
        let reasons = stage.finding.reasons.iter().map(|r| r.source);
        let figures = stage.finding.figures.iter().map(|f| f.source);
        let cautions = stage.cautions.iter().map(|c| c.source);
        for source in reasons.chain(figures).chain(cautions) {
            assert_eq!(
                listed.iter().filter(|&&s| s == source).count(),
                1,
                "{}",
                source.key()
            );
        }
    }
    for ground in &sheet.decision.grounds {
        assert!(listed.contains(&ground.source));
    }
}

#[test]
fn a_finding_without_numbers_still_reads() {
    let finding = Finding::plain(
        Stage::Tight,
        Outcome::NotValidNow,
        vec![Reason::new(
            "not-closed",
            SourceId::TightMethod,
            "the gauge does not follow the temperature",
        )],
    );
    let caution = Caution {
        text: "let no liquid be trapped between shut valves",
        source: SourceId::Owner,
    };
    let shown = text::finding(&finding, &[caution], UnitSystem::Us, Style::Plain);
    assert!(
        shown.starts_with(
            "Not valid now. The gauge does not follow the temperature.\n  (not-closed) [1]\n"
        ),
        "{shown}"
    );
    assert!(shown.contains("[2]  This program's own rule"), "{shown}");
}
