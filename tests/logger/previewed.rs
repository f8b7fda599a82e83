//! What `--preview` says, and that nothing it needs is only said there.

use lineproof::out::json;
use lineproof::out::text::{Style, log_preview};
use lineproof::record::logger::{Asked, Decimal, Kind, Role};

use crate::{said, seen, skipping};

#[test]
fn a_clear_file_has_nothing_open() {
    let preview = seen("preamble.csv", Kind::Hold, &Asked::default());
    assert!(preview.open.is_empty(), "{:?}", preview.open);
    assert_eq!(
        (preview.header_line, preview.passed_over, preview.rows),
        (6, 4, 8)
    );
    let roles: Vec<_> = preview.columns.iter().map(|c| c.role).collect();
    assert_eq!(roles, [Some(Role::Time), Some(Role::Pressure)]);
    let pressure = &preview.columns[1];
    assert_eq!(pressure.unit.as_deref(), Some("psig"));
    assert_eq!(
        (pressure.first.as_str(), pressure.last.as_str()),
        ("450.0", "446.5")
    );
    let spacing = preview.spacing.unwrap();
    assert_eq!(
        (spacing.usual, spacing.seconds, spacing.gap_count),
        (3600.0, 7.0 * 3600.0, 0)
    );
}

#[test]
fn what_is_open_is_listed_and_not_an_error() {
    let preview = seen("not-labelled.csv", Kind::Hold, &Asked::default());
    assert_eq!(preview.open.len(), 1);
    assert!(preview.open[0].contains("gauge or absolute?"));
    let preview = seen("same-name-twice.csv", Kind::Hold, &Asked::default());
    assert!(preview.open[0].contains("(#3)"));
    let preview = seen("degf-beside-degc.csv", Kind::Rise, &Asked::default());
    assert!(preview.open.is_empty());
    assert!(preview.columns[2].why.contains("not used here"));
}

#[test]
fn units_decimal_sign_and_gaps_are_said() {
    let preview = seen("units-row.csv", Kind::Hold, &Asked::default());
    assert!(preview.units_row && preview.decimal == Decimal::Comma);
    assert_eq!(preview.separator, Some("semicolon"));
    assert_eq!(preview.columns[1].unit.as_deref(), Some("bar abs"));
    assert!(preview.columns[1].why.contains("the row below"));
    let spacing = seen("gap.csv", Kind::Hold, &Asked::default())
        .spacing
        .unwrap();
    assert_eq!(
        (
            spacing.gap_count,
            spacing.gaps[0].line,
            spacing.gaps[0].seconds
        ),
        (1, 7, 1800.0)
    );
    assert_eq!(
        seen("windows-1252.csv", Kind::Hold, &Asked::default()).written,
        "Windows-1252"
    );
}

#[test]
fn left_out_rows_are_said_with_line_and_reason() {
    let preview = seen("words.csv", Kind::Hold, &skipping(Asked::default()));
    assert_eq!((preview.rows, preview.left_out.len()), (3, 4));
    assert!(preview.open.is_empty());
    let preview = seen("words.csv", Kind::Hold, &Asked::default());
    assert!(
        preview.open[0].starts_with("line 4, column \"p_psig\""),
        "{:?}",
        preview.open
    );
}

#[test]
fn text_and_json_say_the_same() {
    let asked = said(&[(Role::Pressure, "#2")], &[(Role::Pressure, "bar gauge")]);
    let preview = seen("not-labelled.csv", Kind::Hold, &asked);
    let text = log_preview(&preview, Style::Plain);
    for words in [
        "is understood",
        "pressure in bar gauge",
        "--pressure-column \"#2\"",
        "3 rows over 2 h, usually 60 min apart",
    ] {
        assert!(text.contains(words), "\"{words}\" is not in {text}");
    }
    let json = json::document(&json::LogPreview::from(&preview));
    for words in [
        "\"unit\": \"bar gauge\"",
        "\"usual_step_s\": 3600.0",
        "\"open\": []",
    ] {
        assert!(json.contains(words), "{words} is not in {json}");
    }
}
