//! JSON of how a logger file is understood.

use serde::Serialize;

use super::Body;
use crate::record::logger::{ColumnPreview, Gap, Preview, Spacing};

#[derive(Debug, Clone, PartialEq, Serialize)]
struct Column {
    number: usize,
    name: String,
    /// `null` when it is not used.
    role: Option<&'static str>,
    unit: Option<String>,
    why: String,
    first: String,
    last: String,
}

impl From<&ColumnPreview> for Column {
    fn from(column: &ColumnPreview) -> Self {
        Column {
            number: column.number,
            name: column.name.clone(),
            role: column.role.map(|role| role.what()),
            unit: column.unit.clone(),
            why: column.why.clone(),
            first: column.first.clone(),
            last: column.last.clone(),
        }
    }
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct GapAt {
    line: u64,
    s: f64,
}

impl From<&Gap> for GapAt {
    fn from(gap: &Gap) -> Self {
        GapAt {
            line: gap.line,
            s: gap.seconds,
        }
    }
}

/// How a logger file is understood.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LogPreview {
    file: String,
    written: &'static str,
    sheet: Option<String>,
    separator: Option<&'static str>,
    decimal: &'static str,
    header_line: u64,
    lines_passed_over: usize,
    units_row: bool,
    columns: Vec<Column>,
    rows: usize,
    duration_s: Option<f64>,
    usual_step_s: Option<f64>,
    gaps: Vec<GapAt>,
    gap_count: usize,
    left_out: Vec<String>,
    notes: Vec<String>,
    open: Vec<String>,
}

impl From<&Preview> for LogPreview {
    fn from(preview: &Preview) -> Self {
        let spacing = preview.spacing.as_ref();
        let gaps = |s: &Spacing| s.gaps.iter().map(GapAt::from).collect();
        LogPreview {
            file: preview.file.display().to_string(),
            written: preview.written,
            sheet: preview.sheet.clone(),
            separator: preview.separator,
            decimal: preview.decimal.word(),
            header_line: preview.header_line,
            lines_passed_over: preview.passed_over,
            units_row: preview.units_row,
            columns: preview.columns.iter().map(Column::from).collect(),
            rows: preview.rows,
            duration_s: spacing.map(|s| s.seconds),
            usual_step_s: spacing.map(|s| s.usual),
            gaps: spacing.map(gaps).unwrap_or_default(),
            gap_count: spacing.map_or(0, |s| s.gap_count),
            left_out: preview.left_out.clone(),
            notes: preview.notes.clone(),
            open: preview.open.clone(),
        }
    }
}

impl Body for LogPreview {}
