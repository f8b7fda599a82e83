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

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;
    use std::io::Write;

    struct Log(tempfile::TempDir, PathBuf);

    impl Log {
        fn of(text: &str) -> (Self, Follower) {
            let folder = tempfile::tempdir().unwrap();
            let path = folder.path().join("log.csv");
            fs::write(&path, text).unwrap();
            let follower = Follower::new(&path);
            (Log(folder, path), follower)
        }

        fn add(&self, text: &[u8]) {
            let mut file = fs::OpenOptions::new().append(true).open(&self.1).unwrap();
            file.write_all(text).unwrap();
        }
    }

    #[test]
    fn a_half_written_line_waits_for_its_end() {
        let (log, mut follower) = Log::of("t_h,p_psig\n0,450.0\n1,44");
        assert_eq!(follower.look().unwrap(), Look::Grew);
        assert_eq!(follower.whole(), 19);
        log.add(b"9");
        assert_eq!(follower.look().unwrap(), Look::Unchanged);
        log.add(b".5\n");
        assert_eq!(follower.look().unwrap(), Look::Grew);
        assert_eq!(follower.whole(), 27);
    }

    #[test]
    fn an_emptied_file_begins_anew() {
        let (log, mut follower) = Log::of("t_h,p_psig\n0,450\n1,449\n");
        follower.look().unwrap();
        fs::write(&log.1, "").unwrap();
        assert_eq!(follower.look().unwrap(), Look::BeganAnew);
        assert_eq!(
            (follower.whole(), follower.look().unwrap()),
            (0, Look::Unchanged)
        );
        log.add(b"t_h,p_psig\n");
        assert_eq!(follower.look().unwrap(), Look::Grew);
    }

    #[test]
    fn a_file_that_was_emptied_and_filled_beyond_its_length_between_two_looks_begins_anew() {
        let (log, mut follower) = Log::of("t_h,p_psig\n0,450\n1,449\n");
        follower.look().unwrap();
        fs::write(&log.1, "t_h,p_psig\n0,300\n1,300\n2,300\n3,300\n").unwrap();
        assert_eq!(follower.look().unwrap(), Look::BeganAnew);
        assert_eq!(follower.whole(), 35);
    }

    #[test]
    fn a_rotated_file_is_gone_and_begins_anew() {
        let (log, mut follower) = Log::of("t_h,p_psig\n0,450\n1,449\n");
        follower.look().unwrap();
        fs::rename(&log.1, log.1.with_extension("1")).unwrap();
        assert_eq!(follower.look().unwrap(), Look::Gone);
        assert_eq!(follower.look().unwrap(), Look::Gone);
        fs::write(&log.1, "t_h,p_psig\n0,200\n").unwrap();
        assert_eq!(follower.look().unwrap(), Look::BeganAnew);
    }

    #[test]
    fn a_file_that_was_away_and_came_back_goes_on() {
        let (log, mut follower) = Log::of("t_h,p_psig\n0,450\n");
        follower.look().unwrap();
        let away = log.1.with_extension("away");
        fs::rename(&log.1, &away).unwrap();
        assert_eq!(follower.look().unwrap(), Look::Gone);
        fs::rename(&away, &log.1).unwrap();
        assert_eq!(follower.look().unwrap(), Look::Unchanged);
        log.add(b"1,449\n");
        assert_eq!(follower.look().unwrap(), Look::Grew);
    }

    #[test]
    fn a_long_file_is_known_by_its_first_and_last_bytes() {
        let rows: String = (0..2000).map(|i| format!("{i},450.0\n")).collect();
        let (log, mut follower) = Log::of(&rows);
        follower.look().unwrap();
        log.add(b"2000,450.0\n");
        assert_eq!(follower.look().unwrap(), Look::Grew);
        assert_eq!(follower.whole(), fs::metadata(&log.1).unwrap().len());
        // another last line of the same length
        let other = fs::read_to_string(&log.1)
            .unwrap()
            .replace("\n1999,450.0\n", "\n1999,333.0\n");
        fs::write(&log.1, other).unwrap();
        assert_eq!(follower.look().unwrap(), Look::BeganAnew);
    }

    #[test]
    fn lines_of_two_byte_letters_end_behind_their_zero() {
        let text = "t_h,p_psig\n0,450\n1";
        let bytes: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
        let (log, mut follower) = Log::of("");
        log.add(b"\xff\xfe");
        log.add(&bytes);
        assert_eq!(follower.look().unwrap(), Look::Grew);
        assert_eq!(follower.whole(), 2 + 2 * 17);
    }

    #[test]
    fn a_workbook_and_a_folder_are_refused() {
        let (log, mut follower) = Log::of("");
        log.add(b"PK\x03\x04");
        assert!(matches!(
            follower.look(),
            Err(LoggerError::NotFollowed { .. })
        ));
        let mut folder = Follower::new(log.0.path());
        assert!(matches!(folder.look(), Err(LoggerError::Unreadable { .. })));
    }
}
