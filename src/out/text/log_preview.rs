//! How a logger file is understood.

use super::Style;
use super::page::Page;
use crate::out::sentence;
use crate::record::logger::{ColumnPreview, Gap, Preview, Spacing};

/// Every column, the rows in time, what is left out, and what has to be answered first.
pub fn log_preview(preview: &Preview, style: Style) -> String {
    let mut page = Page::new(style);
    page.strong(&sentence(&answer(preview)));
    for question in &preview.open {
        page.item(&sentence(question));
    }
    page.heading("Columns");
    for column in &preview.columns {
        let head = format!("  #{:<3}", column.number);
        page.paragraph(&head, "      ", &understood(column));
    }
    page.heading("Rows");
    page.item(&sentence(&written(preview)));
    if let Some(names) = names(preview) {
        page.item(&sentence(&names));
    }
    match &preview.spacing {
        Some(spacing) => {
            page.item(&sentence(&rows(preview.rows, spacing)));
            gaps(&mut page, spacing);
        }
        None => page.item(&format!("{} rows.", preview.rows)),
    }
    if !preview.left_out.is_empty() {
        page.heading("Left out");
        page.list(preview.left_out.iter().map(String::as_str));
    }
    if !preview.notes.is_empty() {
        page.heading("Notes");
        page.list(preview.notes.iter().map(String::as_str));
    }
    page.text
}

fn answer(preview: &Preview) -> String {
    let file = preview.file.display();
    match preview.open.len() {
        0 => format!("{file} is understood"),
        1 => format!("{file} cannot be judged before one thing is settled"),
        n => format!("{file} cannot be judged before {n} things are settled"),
    }
}

fn understood(column: &ColumnPreview) -> String {
    let name = match column.name.as_str() {
        "" => "without a name".to_string(),
        name => format!("\"{name}\""),
    };
    let role = match (&column.role, &column.unit) {
        (None, _) => format!("not used ({})", column.why),
        (Some(role), None) => format!("{} ({})", role.what(), column.why),
        (Some(role), Some(unit)) => format!("{} in {unit} ({})", role.what(), column.why),
    };
    let cell = |text: &str| match text {
        "" => "nothing".to_string(),
        text => text.to_string(),
    };
    format!(
        "{name}: {role}; first {}, last {}",
        cell(&column.first),
        cell(&column.last)
    )
}

fn written(preview: &Preview) -> String {
    let decimal = format!("decimal {}", preview.decimal.word());
    match (&preview.sheet, preview.separator) {
        (Some(sheet), _) => format!("{}, sheet \"{sheet}\", {decimal}", preview.written),
        (None, Some(separator)) => {
            format!(
                "{} text, cells separated by {separator}, {decimal}",
                preview.written
            )
        }
        (None, None) => format!("{}, {decimal}", preview.written),
    }
}

fn names(preview: &Preview) -> Option<String> {
    let passed = match preview.passed_over {
        0 => String::new(),
        1 => ", 1 line above them passed over".into(),
        n => format!(", {n} lines above them passed over"),
    };
    let units = if preview.units_row {
        ", units below them"
    } else {
        ""
    };
    (!passed.is_empty() || !units.is_empty()).then(|| {
        format!(
            "names of columns in line {}{passed}{units}",
            preview.header_line
        )
    })
}

fn rows(rows: usize, spacing: &Spacing) -> String {
    format!(
        "{rows} rows over {}, usually {} apart",
        lasting(spacing.seconds),
        lasting(spacing.usual)
    )
}

fn gaps(page: &mut Page, spacing: &Spacing) {
    let more = spacing.gap_count - spacing.gaps.len();
    for Gap { line, seconds } in &spacing.gaps {
        page.item(&format!(
            "A gap of {} before line {line}.",
            lasting(*seconds)
        ));
    }
    if more > 0 {
        page.item(&format!("{more} more gaps."));
    }
}

fn lasting(seconds: f64) -> String {
    let digits = |x: f64| {
        let text = format!("{x:.1}");
        text.strip_suffix(".0").unwrap_or(&text).to_string()
    };
    match seconds {
        s if s < 120.0 => format!("{} s", digits(s)),
        s if s < 7200.0 => format!("{} min", digits(s / 60.0)),
        s => format!("{} h", digits(s / 3600.0)),
    }
}
