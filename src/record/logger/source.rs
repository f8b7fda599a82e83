//! The bytes of a logger file as text: size, encoding, workbook.

use std::borrow::Cow;
use std::fs::File;
use std::io::Read;
use std::path::Path;

use encoding_rs::{Encoding, UTF_8, WINDOWS_1252};

use super::column::Asked;
use super::error::LoggerError;

/// The largest text that is read: a year of seconds with four columns is about as much.
const LARGEST_TEXT: u64 = 256 << 20;
/// The largest workbook that is read, packed.
const LARGEST_PACKED: u64 = 32 << 20;

/// A logger file as text.
pub(super) struct Source {
    pub text: String,
    /// How it was written, in words.
    pub written: &'static str,
    /// The sheet of a workbook; its text is separated by tabs, a line for each row, without quotes.
    pub sheet: Option<String>,
}

pub(super) fn read(path: &Path, asked: &Asked) -> Result<Source, LoggerError> {
    let unreadable = |e: std::io::Error| LoggerError::Unreadable {
        file: path.into(),
        why: e.to_string(),
    };
    let too_large = |bytes: u64, limit: u64| LoggerError::TooLarge {
        file: path.into(),
        mib: bytes.div_ceil(1 << 20),
        limit_mib: limit >> 20,
    };
    let mut file = File::open(path).map_err(unreadable)?;
    let size = file.metadata().map_err(unreadable)?.len();
    if size > LARGEST_TEXT {
        return Err(too_large(size, LARGEST_TEXT));
    }
    let mut bytes = Vec::with_capacity(size as usize + 1);
    // a pipe or a growing file has no size to trust
    let most = LARGEST_TEXT + 1;
    let read = Read::by_ref(&mut file).take(most).read_to_end(&mut bytes);
    read.map_err(unreadable)?;
    if let Some(upto) = asked.upto {
        bytes.truncate(usize::try_from(upto).unwrap_or(usize::MAX));
    }
    let size = bytes.len() as u64;
    if size > LARGEST_TEXT {
        return Err(too_large(size, LARGEST_TEXT));
    }
    if bytes.starts_with(b"PK\x03\x04") {
        if size > LARGEST_PACKED {
            return Err(too_large(size, LARGEST_PACKED));
        }
        return workbook(path, bytes, asked);
    }
    if bytes.starts_with(b"\xd0\xcf\x11\xe0") {
        return Err(LoggerError::Workbook {
            file: path.into(),
            why: "it is a workbook of the old kind (.xls); save it as .xlsx or export it as CSV"
                .into(),
        });
    }
    if let Some(sheet) = &asked.sheet {
        return Err(LoggerError::Workbook {
            file: path.into(),
            why: format!("it is text and has no sheet \"{sheet}\"; leave --sheet out"),
        });
    }
    decoded(path, bytes)
}

#[cfg(feature = "xlsx")]
fn workbook(path: &Path, bytes: Vec<u8>, asked: &Asked) -> Result<Source, LoggerError> {
    let wrong = |why| LoggerError::Workbook {
        file: path.into(),
        why,
    };
    let (sheet, text) =
        super::sheet::as_text(bytes, asked.sheet.as_deref(), LARGEST_TEXT).map_err(wrong)?;
    Ok(Source {
        text,
        written: "XLSX workbook",
        sheet: Some(sheet),
    })
}

#[cfg(not(feature = "xlsx"))]
fn workbook(path: &Path, _: Vec<u8>, _: &Asked) -> Result<Source, LoggerError> {
    Err(LoggerError::Workbook {
        file: path.into(),
        why: "it is a workbook or another packed file, and this program was built without the feature xlsx; export the sheet as CSV".into(),
    })
}

/// UTF-8, or UTF-16 with a byte-order mark, or else Windows-1252, whose degree sign is no UTF-8.
fn decoded(path: &Path, bytes: Vec<u8>) -> Result<Source, LoggerError> {
    let mark = Encoding::for_bom(&bytes);
    if let Some((encoding, _)) = mark
        && encoding != UTF_8
    {
        let (text, _, broken) = encoding.decode(&bytes);
        if broken {
            return Err(not_text(path, 1));
        }
        return Ok(text_of(text.into_owned(), "UTF-16"));
    }
    match String::from_utf8(bytes) {
        Ok(mut text) => {
            if mark.is_some() {
                text.drain(..'\u{feff}'.len_utf8());
            }
            match text.find('\0') {
                None => Ok(text_of(text, "UTF-8")),
                Some(at) => Err(not_text(path, line_of(&text.as_bytes()[..at]))),
            }
        }
        Err(e) => {
            let upto = e.utf8_error().valid_up_to();
            let bytes = e.into_bytes();
            let (text, _) = WINDOWS_1252.decode_without_bom_handling(&bytes);
            let odd = |c: char| c.is_control() && !matches!(c, '\t' | '\r' | '\n' | '\x0c');
            if text.contains(odd) || matches!(text, Cow::Borrowed(_)) {
                return Err(not_text(path, line_of(&bytes[..upto])));
            }
            Ok(text_of(text.into_owned(), "Windows-1252"))
        }
    }
}

fn text_of(text: String, written: &'static str) -> Source {
    Source {
        text,
        written,
        sheet: None,
    }
}

fn line_of(before: &[u8]) -> u64 {
    1 + before.iter().filter(|b| **b == b'\n').count() as u64
}

fn not_text(path: &Path, line: u64) -> LoggerError {
    LoggerError::NotText {
        file: path.into(),
        line,
    }
}
