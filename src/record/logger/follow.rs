//! A log that still grows: looked at again and again, whole lines only.
//!
//! A [`Follower`] reads what was added since the last look and nothing else. It notices when the file was emptied,
//! replaced or taken away, and leaves a half-written last line for the next look. It starts no thread and never waits.

use std::fs::File;
use std::io::{ErrorKind, Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};

use super::LoggerError;

/// What a look showed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Look {
    /// No whole line more.
    Unchanged,
    /// Whole lines were added.
    Grew,
    /// The file is another one, or was emptied: what was read before is no part of it.
    BeganAnew,
    /// There is no such file at present.
    Gone,
}

/// Follows one log.
///
/// ```
/// use lineproof::record::logger::{Follower, Look};
/// # let folder = tempfile::tempdir().unwrap();
/// # let path = folder.path().join("night.csv");
/// std::fs::write(&path, "t_h,p_psig\n0,450\n1,44")?;
/// let mut follower = Follower::new(&path);
/// assert_eq!(follower.look()?, Look::Grew);
/// // the half-written line waits
/// assert_eq!(follower.whole(), 17);
/// assert_eq!(follower.look()?, Look::Unchanged);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug)]
pub struct Follower {
    path: PathBuf,
    /// Bytes in whole lines.
    whole: u64,
    /// The first of them, to know the file again.
    head: Vec<u8>,
    /// The last of them.
    tail: Vec<u8>,
    workbook: bool,
}

const HEAD: usize = 4096;
const TAIL: usize = 512;

impl Follower {
    /// Of a file that need not be there yet.
    pub fn new(path: &Path) -> Self {
        Follower {
            path: path.into(),
            whole: 0,
            head: Vec::new(),
            tail: Vec::new(),
            workbook: false,
        }
    }

    /// How many bytes of the file are whole lines, as of the last look.
    pub fn whole(&self) -> u64 {
        self.whole
    }

    /// Looks at the file.
    pub fn look(&mut self) -> Result<Look, LoggerError> {
        let mut file = match File::open(&self.path) {
            Ok(file) => file,
            Err(e) if e.kind() == ErrorKind::NotFound => return Ok(Look::Gone),
            Err(e) => return Err(self.unreadable(&e)),
        };
        let look = self.compare(&mut file).map_err(|e| self.unreadable(&e))?;
        if self.workbook {
            return Err(LoggerError::NotFollowed {
                file: self.path.clone(),
            });
        }
        Ok(look)
    }

    fn compare(&mut self, file: &mut File) -> std::io::Result<Look> {
        let same = self.is_same(file)?;
        if !same {
            *self = Follower::new(&self.path);
        }
        let grew = self.take(file)?;
        Ok(match (same, grew) {
            (false, _) => Look::BeganAnew,
            (true, true) => Look::Grew,
            (true, false) => Look::Unchanged,
        })
    }

    /// Whether what was read before still stands where it stood.
    fn is_same(&self, file: &mut File) -> std::io::Result<bool> {
        if file.metadata()?.len() < self.whole {
            return Ok(false);
        }
        let holds = |file: &mut File, at: u64, bytes: &[u8]| -> std::io::Result<bool> {
            let mut found = Vec::with_capacity(bytes.len());
            file.seek(SeekFrom::Start(at))?;
            file.take(bytes.len() as u64).read_to_end(&mut found)?;
            Ok(found == bytes)
        };
        Ok(holds(file, 0, &self.head)?
            && holds(file, self.whole - self.tail.len() as u64, &self.tail)?)
    }

    /// Takes the whole lines behind those that were read; says whether there were any.
    fn take(&mut self, file: &mut File) -> std::io::Result<bool> {
        let mut more = Vec::new();
        file.seek(SeekFrom::Start(self.whole))?;
        file.read_to_end(&mut more)?;
        if self.whole == 0 {
            self.workbook = more.starts_with(b"PK\x03\x04");
        }
        let Some(newline) = more.iter().rposition(|b| *b == b'\n') else {
            return Ok(false);
        };
        // in UTF-16 with the low byte first, a zero belongs to the newline
        let low_first = |head: &[u8]| head.starts_with(b"\xff\xfe");
        let low_first = low_first(if self.whole == 0 { &more } else { &self.head });
        let end = newline + 1 + usize::from(low_first && more.get(newline + 1) == Some(&0));
        let lines = &more[..end];
        self.whole += end as u64;
        let room = HEAD - self.head.len();
        self.head.extend_from_slice(&lines[..room.min(end)]);
        self.tail
            .extend_from_slice(&lines[end.saturating_sub(TAIL)..]);
        self.tail.drain(..self.tail.len().saturating_sub(TAIL));
        Ok(true)
    }

    fn unreadable(&self, error: &std::io::Error) -> LoggerError {
        LoggerError::Unreadable {
            file: self.path.clone(),
            why: error.to_string(),
        }
    }
}
