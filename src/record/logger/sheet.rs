//! A sheet of an XLSX workbook as text separated by tabs, a line for each row.

use std::io::{Cursor, Read};

use calamine::{DataRef, ExcelDateTime, Reader, SheetType, SheetVisible, Xlsx};
use zip::ZipArchive;

/// More columns than any logger has; a cell far to the right would make every line as long.
const MOST_COLUMNS: u32 = 1_000;

/// The name of the sheet that was read, and its text.
pub(super) fn as_text(
    bytes: Vec<u8>,
    asked: Option<&str>,
    largest: u64,
) -> Result<(String, String), String> {
    let large = || {
        format!(
            "it unpacks to more than {} MiB; export the sheet as CSV and cut it into parts",
            largest >> 20
        )
    };
    let broken = |e: &dyn std::fmt::Display| {
        format!(
            "it is no workbook that can be read ({e}); save it as .xlsx again or export it as CSV"
        )
    };
    let bytes = Cursor::new(bytes);
    unpacks_within(bytes.clone(), largest)
        .map_err(|e| broken(&e))?
        .then_some(())
        .ok_or_else(large)?;
    let mut book: Xlsx<_> = Xlsx::new(bytes).map_err(|e| broken(&e))?;
    let name = chosen(&mut book, asked).map_err(|e| e.unwrap_or_else(|e| broken(&e)))?;
    let mut cells = book.worksheet_cells_reader(&name).map_err(|e| broken(&e))?;
    let mut text = String::new();
    let (mut row, mut column) = (0, 0);
    while let Some(cell) = cells.next_cell().map_err(|e| broken(&e))? {
        let (r, c) = cell.get_position();
        if r < row || (r == row && c < column) {
            return Err(broken(&format!("row {} is out of order", r + 1)));
        }
        if c >= MOST_COLUMNS {
            return Err(format!(
                "row {} has a cell in column {}, more than {MOST_COLUMNS} are not read; keep the log's own columns only",
                r + 1,
                c + 1
            ));
        }
        while row < r {
            text.push('\n');
            (row, column) = (row + 1, 0);
        }
        while column < c {
            text.push('\t');
            column += 1;
        }
        write(&mut text, cell.get_value());
        if text.len() as u64 > largest {
            return Err(large());
        }
    }
    text.push('\n');
    Ok((name, text))
}

/// Whether all entries together stay below a size, as they say and as they are: a packed file can grow a thousandfold.
fn unpacks_within(bytes: Cursor<Vec<u8>>, largest: u64) -> zip::result::ZipResult<bool> {
    let mut archive = ZipArchive::new(bytes)?;
    let mut left = largest;
    for i in 0..archive.len() {
        let entry = archive.by_index(i)?;
        if entry.size() > left {
            return Ok(false);
        }
        // what an entry says of its size need not be true
        let real = std::io::copy(&mut entry.take(left + 1), &mut std::io::sink())?;
        let Some(rest) = left.checked_sub(real) else {
            return Ok(false);
        };
        left = rest;
    }
    Ok(true)
}

/// The sheet to read: as asked, else the only one with something in it.
fn chosen(
    book: &mut Xlsx<Cursor<Vec<u8>>>,
    asked: Option<&str>,
) -> Result<String, Result<String, calamine::XlsxError>> {
    let sheets = book.sheets_metadata().iter();
    let mut names: Vec<String> = sheets
        .filter(|s| s.typ == SheetType::WorkSheet)
        .filter(|s| s.visible == SheetVisible::Visible || asked == Some(s.name.as_str()))
        .map(|s| s.name.clone())
        .collect();
    let list = |names: &[String]| {
        let quoted: Vec<_> = names.iter().map(|n| format!("\"{n}\"")).collect();
        quoted.join(", ")
    };
    if let Some(asked) = asked {
        return names.iter().find(|n| *n == asked).cloned().ok_or_else(|| {
            Ok(format!(
                "there is no sheet \"{asked}\"; the sheets are {}",
                list(&names)
            ))
        });
    }
    if names.len() > 1 {
        let mut filled = Vec::new();
        for name in names {
            let mut cells = book.worksheet_cells_reader(&name).map_err(Err)?;
            if cells.next_cell().map_err(Err)?.is_some() {
                filled.push(name);
            }
        }
        names = filled;
    }
    match names.as_slice() {
        [only] => Ok(only.clone()),
        [] => Err(Ok(
            "it has no sheet with anything in it; check that it is the right file".into(),
        )),
        several => Err(Ok(format!(
            "it has several sheets: {}; name one with --sheet",
            list(several)
        ))),
    }
}

fn write(text: &mut String, value: &DataRef) {
    use std::fmt::Write;
    let written = match value {
        DataRef::Int(number) => write!(text, "{number}"),
        DataRef::Float(number) => write!(text, "{number}"),
        DataRef::Bool(yes) => write!(text, "{yes}"),
        DataRef::String(words) | DataRef::DateTimeIso(words) | DataRef::DurationIso(words) => {
            in_one_cell(text, words);
            Ok(())
        }
        DataRef::SharedString(words) => {
            in_one_cell(text, words);
            Ok(())
        }
        DataRef::DateTime(moment) => {
            *text += &clock(moment);
            Ok(())
        }
        DataRef::Error(error) => write!(text, "{error}"),
        DataRef::Empty => Ok(()),
    };
    written.expect("a String takes all text");
}

fn in_one_cell(text: &mut String, words: &str) {
    text.extend(words.chars().map(|c| if c.is_control() { ' ' } else { c }));
}

/// A date as year-month-day with the time; a time of day or a length of time as hours:minutes:seconds.
fn clock(moment: &ExcelDateTime) -> String {
    let days = moment.as_f64();
    if moment.is_duration() || (0.0..1.0).contains(&days) {
        let milli = (days * 86_400e3).round() as i64;
        let (sign, milli) = (if milli < 0 { "-" } else { "" }, milli.abs());
        let (seconds, rest) = (milli / 1000, milli % 1000);
        let clock = format!(
            "{sign}{:02}:{:02}:{:02}",
            seconds / 3600,
            seconds / 60 % 60,
            seconds % 60
        );
        return with_milli(clock, rest as u16);
    }
    let (year, month, day, hour, minute, second, milli) = moment.to_ymd_hms_milli();
    let clock = format!("{year:04}-{month:02}-{day:02} {hour:02}:{minute:02}:{second:02}");
    with_milli(clock, milli)
}

fn with_milli(clock: String, milli: u16) -> String {
    match milli {
        0 => clock,
        milli => format!("{clock}.{milli:03}"),
    }
}
