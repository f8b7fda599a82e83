//! The table of a logger file, and which column has which role.

use std::path::{Path, PathBuf};

use super::cells::Cells;
use super::clock;
use super::column::{Asked, Kind, Reads};
use super::error::LoggerError;
use super::header::{self, Layout, Top, blanks_to_tabs};
use super::name::time_unit;
use super::number::{self, Decimal, NoNumber, Style, Unclear};
use super::source::{self, Source};
use crate::quantity::Barometer;

/// A logger file as columns of text.
pub(super) struct Table {
    pub file: PathBuf,
    pub layout: Layout,
    /// How the file was written, and the sheet of a workbook.
    pub written: &'static str,
    pub sheet: Option<String>,
    /// The cells of the columns that were kept.
    pub columns: Vec<Option<Cells>>,
    /// The line each row stands on.
    pub lines: Vec<u64>,
    pub left_out: Vec<String>,
    /// How the clock was read, where that is not plain.
    pub notes: Vec<String>,
    /// Seconds since the first row that is kept.
    pub seconds: Vec<f64>,
    pub style: Style,
    pub asked: Asked,
    pub kind: Kind,
    pub barometer: Barometer,
}

/// Which columns are kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Keep {
    /// Those with a role.
    Used,
    All,
}

/// A last line that has fewer cells than there are columns.
type CutShort = Option<(u64, usize)>;

impl Table {
    /// Reads a file; blank lines and lines with `#` are passed over, a byte-order mark is dropped.
    pub fn read(
        path: &Path,
        kind: Kind,
        asked: &Asked,
        barometer: Barometer,
    ) -> Result<Table, LoggerError> {
        let mut table = Table::open(path, kind, asked, barometer, Keep::Used)?;
        table.settle_style()?;
        table.skip_missing()?;
        table.enough()?;
        table.tell_time()?;
        Ok(table)
    }

    /// The same before the decimal sign is settled and rows without a reading are left out.
    pub fn open(
        path: &Path,
        kind: Kind,
        asked: &Asked,
        barometer: Barometer,
        keep: Keep,
    ) -> Result<Table, LoggerError> {
        let mut source = source::read(path, asked)?;
        let layout = top(path, &mut source, kind, asked)?;
        let mut table = Table {
            file: path.into(),
            columns: layout.names.iter().map(|_| None).collect(),
            layout,
            written: source.written,
            sheet: source.sheet.take(),
            lines: Vec::new(),
            left_out: Vec::new(),
            notes: Vec::new(),
            seconds: Vec::new(),
            style: Style {
                decimal: Decimal::Point,
                thousands: false,
            },
            asked: asked.clone(),
            kind,
            barometer,
        };
        for column in table.used(keep)? {
            table.columns[column] = Some(Cells::default());
        }
        if let Some((line, cells)) = table.fill(&source.text)? {
            table.left_out.push(format!(
                "line {line}: the file ends in the middle of it, after {cells} of {} cells",
                table.layout.names.len()
            ));
        } else {
            table.leave_out_torn(&source.text);
        }
        Ok(table)
    }

    pub fn settle_style(&mut self) -> Result<(), LoggerError> {
        self.style = self.style_of_numbers()?;
        Ok(())
    }

    pub fn enough(&self) -> Result<(), LoggerError> {
        if self.lines.len() >= 2 {
            return Ok(());
        }
        Err(LoggerError::TooFew {
            file: self.file.clone(),
            rows: self.lines.len(),
            left_out: match self.left_out.as_slice() {
                [] => String::new(),
                [first, ..] => format!(" (rows were left out: {first}, ...)"),
            },
        })
    }

    /// The columns that some role could be read from.
    fn used(&self, keep: Keep) -> Result<Vec<usize>, LoggerError> {
        if keep == Keep::All {
            return Ok((0..self.layout.names.len()).collect());
        }
        let mut used = Vec::new();
        for role in self.kind.roles() {
            used.extend(self.candidates(role)?);
        }
        Ok(used)
    }

    /// Takes the cells of the rows; the last line may be cut short.
    fn fill(&mut self, text: &str) -> Result<CutShort, LoggerError> {
        let Layout {
            separator,
            quotes,
            start,
            start_line,
            ..
        } = self.layout;
        let width = self.layout.names.len();
        let mut kept: Vec<(usize, Cells)> = Vec::new();
        for (at, column) in self.columns.iter_mut().enumerate() {
            kept.extend(column.take().map(|cells| (at, cells)));
        }
        // a workbook has no cells behind the last one with something in it
        let ragged = self.sheet.is_some();
        let text = &text[start..];
        let mut reader = header::reader(text, separator, quotes, true);
        let mut record = csv::StringRecord::new();
        let mut short: CutShort = None;
        loop {
            match reader.read_record(&mut record) {
                Ok(true) => {}
                Ok(false) => break,
                Err(e) => {
                    return Err(LoggerError::Unreadable {
                        file: self.file.clone(),
                        why: e.to_string(),
                    });
                }
            }
            if record.iter().all(|cell| cell.trim().is_empty()) {
                continue;
            }
            if let Some((line, cells)) = short {
                return Err(self.cells_error(line, cells));
            }
            let line = start_line - 1 + header::line_of(text, &record, true);
            if record.len() < width && !ragged {
                short = Some((line, record.len()));
                continue;
            }
            if record.len() > width && record.iter().skip(width).any(|c| !c.trim().is_empty()) {
                return Err(self.cells_error(line, record.len()));
            }
            for (at, cells) in &mut kept {
                cells.push(trimmed(record.get(*at).unwrap_or_default()));
            }
            self.lines.push(line);
        }
        for (at, cells) in kept {
            self.columns[at] = Some(cells);
        }
        Ok(short)
    }

    fn cells_error(&self, line: u64, cells: usize) -> LoggerError {
        LoggerError::Cells {
            file: self.file.clone(),
            line,
            cells,
            columns: self.layout.names.len(),
        }
    }

    /// The decimal sign: as asked, else as all numbers that are used agree on.
    fn style_of_numbers(&self) -> Result<Style, LoggerError> {
        if let Some(decimal) = self.asked.decimal {
            let thousands = true;
            return Ok(Style { decimal, thousands });
        }
        let mut numbers = Vec::new();
        for role in self.kind.roles() {
            for column in self.candidates(role)? {
                let plain = match role.reads() {
                    Reads::Words => false,
                    Reads::Time => time_unit(&self.full_name(column)).is_some(),
                    _ => true,
                };
                if plain {
                    numbers.push(column);
                }
            }
        }
        if !numbers.iter().any(|column| self.kept(*column).contain(',')) {
            return Ok(self.style);
        }
        let cells = numbers.iter().flat_map(|column| {
            let cells = self.cells(*column);
            cells.map(|(line, text)| (*column, line, text))
        });
        number::style(cells).map_err(|unclear| match unclear {
            Unclear::Mixed(point, comma) => LoggerError::MixedDecimals {
                file: self.file.clone(),
                line: point.line,
                point: point.text,
                other_line: comma.line,
                comma: comma.text,
            },
            Unclear::Either(at) => LoggerError::Cell {
                file: self.file.clone(),
                line: at.line,
                column: self.layout.names[at.column].clone(),
                why: comma_question(&at.text),
            },
        })
    }

    pub fn cell_error(&self, row: usize, column: usize, why: String) -> LoggerError {
        LoggerError::Cell {
            file: self.file.clone(),
            line: self.lines[row],
            column: self.layout.names[column].clone(),
            why,
        }
    }

    /// The cells of a column that was kept.
    pub fn kept(&self, column: usize) -> &Cells {
        self.columns[column]
            .as_ref()
            .expect("every column with a role is kept")
    }

    pub fn cell(&self, row: usize, column: usize) -> &str {
        self.kept(column).get(row)
    }

    /// The cells of a column with the line each stands on.
    pub fn cells(&self, column: usize) -> impl Iterator<Item = (u64, &str)> {
        self.lines.iter().copied().zip(self.kept(column).iter())
    }

    /// A plain number; words, commas and nothing are refused with what to do.
    pub fn number(&self, row: usize, column: usize) -> Result<f64, LoggerError> {
        let text = self.cell(row, column);
        number::read(text, self.style).map_err(|no| self.no_number(row, column, text, no))
    }

    pub fn no_number(&self, row: usize, column: usize, text: &str, no: NoNumber) -> LoggerError {
        let delete = format!(
            "delete the row ({} such rows out with --skip-missing)",
            self.kind.commands()
        );
        let why = match no {
            NoNumber::NoReading => format!("\"{text}\" is no reading; {delete}"),
            NoNumber::Overload => format!("\"{text}\" is an overload, not a reading; {delete}"),
            NoNumber::Lost => {
                format!("\"{text}\" stands for a lost sensor, not for a reading; {delete}")
            }
            NoNumber::Comma => comma_question(text),
            NoNumber::Point => format!(
                "\"{text}\" has a point where the decimal sign of the file is a comma; write all numbers of a copy in one way"
            ),
            NoNumber::Word => format!("\"{text}\" is not a number; delete the row or repair it"),
        };
        self.cell_error(row, column, why)
    }

    /// Reads the time column, and keeps the rows of the part of the log that is asked for.
    pub fn tell_time(&mut self) -> Result<(), LoggerError> {
        let (name, columns) = self.time_columns()?;
        let apart: Vec<String> = match columns[..] {
            [date, time] => (0..self.lines.len())
                .map(|row| format!("{} {}", self.cell(row, date), self.cell(row, time)))
                .collect(),
            _ => Vec::new(),
        };
        let text = |row: usize| match apart.get(row) {
            Some(both) => both.as_str(),
            None => self.cell(row, columns[0]),
        };
        let refuse = |why| LoggerError::Clock {
            file: self.file.clone(),
            why: Box::new(why),
        };
        let is_number = clock::is_number(&name, text(0), &self.asked).map_err(refuse)?;
        let mut cells = Vec::with_capacity(self.lines.len());
        for (row, &line) in self.lines.iter().enumerate() {
            let number = is_number.then(|| self.number(row, columns[0]));
            cells.push(clock::Cell {
                line,
                text: text(row),
                number: number.transpose()?,
            });
        }
        let same_row = |a: usize, b: usize| {
            let mut kept = self.columns.iter().flatten();
            kept.all(|cells| cells.get(a) == cells.get(b))
        };
        let times = clock::read(&cells, &name, &self.asked, &same_row).map_err(refuse)?;
        if times.kept.len() < self.lines.len() {
            let mut keep = vec![false; self.lines.len()];
            for &row in &times.kept {
                keep[row] = true;
            }
            self.keep(&keep);
        }
        (self.seconds, self.notes) = (times.seconds, times.notes);
        self.enough()
    }

    /// Drops the rows for which `keep` is false.
    pub fn keep(&mut self, keep: &[bool]) {
        for cells in self.columns.iter_mut().flatten() {
            *cells = cells.kept(keep);
        }
        let mut keep = keep.iter();
        self.lines.retain(|_| *keep.next().unwrap_or(&true));
    }
}

/// Without blanks at its ends, which few cells have.
fn trimmed(cell: &str) -> &str {
    let visible = |byte: Option<&u8>| byte.is_some_and(u8::is_ascii_graphic);
    let bytes = cell.as_bytes();
    if visible(bytes.first()) && visible(bytes.last()) {
        cell
    } else {
        cell.trim()
    }
}

fn comma_question(text: &str) -> String {
    format!(
        "\"{text}\" has a comma: is it a decimal or a thousand? say --decimal comma or --decimal point, or write the numbers of a copy with a point and without separators"
    )
}

/// Where the names stand; cells separated by blanks become cells separated by tabs.
fn top(path: &Path, source: &mut Source, kind: Kind, asked: &Asked) -> Result<Layout, LoggerError> {
    let quotes = source.sheet.is_none();
    let separators: &[u8] = if quotes { b"\t;," } else { b"\t" };
    let mut top = header::find(&source.text, separators, quotes, kind, asked);
    if quotes && matches!(top, Top::First(_)) {
        let tabs = blanks_to_tabs(&source.text);
        let blanks = header::find(&tabs, b"\t", false, kind, asked);
        if matches!(blanks, Top::Names(_)) {
            source.text = tabs;
            top = blanks;
        }
    }
    match (top, asked.header_line) {
        (Top::Names(layout), _) | (Top::First(layout), None) if !layout.names.is_empty() => {
            Ok(layout)
        }
        (Top::Names(_) | Top::First(_), None) => Err(LoggerError::TooFew {
            file: path.into(),
            rows: 0,
            left_out: String::new(),
        }),
        (Top::Names(_) | Top::First(_), Some(line)) => Err(LoggerError::HeaderLine {
            file: path.into(),
            line,
        }),
        (Top::Several(first, second), _) => Err(LoggerError::TwoHeaders {
            file: path.into(),
            first,
            second,
        }),
    }
}
