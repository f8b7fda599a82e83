//! Practice logs, which must never be taken for a measurement.

use std::io::{BufRead, BufReader};
use std::path::Path;

/// The first line of a practice log.
pub const REHEARSAL: &str = "# rehearsal: not a measurement";

/// Whether a file is a practice log; a file that cannot be read is none.
pub fn is_rehearsal(path: &Path) -> bool {
    let Ok(file) = std::fs::File::open(path) else {
        return false;
    };
    let mut first = Vec::new();
    let read = std::io::Read::take(BufReader::new(file), 256).read_until(b'\n', &mut first);
    let line = String::from_utf8_lossy(&first);
    read.is_ok() && line.trim_start_matches('\u{feff}').trim_end() == REHEARSAL
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_line_tells() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("log.csv");
        for (text, is) in [
            ("# rehearsal: not a measurement\nt_h,p_psig\n", true),
            (
                "\u{feff}# rehearsal: not a measurement\r\nt_h,p_psig\r\n",
                true,
            ),
            ("t_h,p_psig\n# rehearsal: not a measurement\n", false),
            ("", false),
        ] {
            std::fs::write(&file, text).unwrap();
            assert_eq!(is_rehearsal(&file), is, "{text}");
        }
        assert!(!is_rehearsal(&folder.path().join("none.csv")));
    }
}
