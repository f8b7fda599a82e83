//! What can be wrong with a logger file.

use std::path::PathBuf;

/// Why a logger file cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum LoggerError {
    /// The file could not be opened or read.
    #[error("{}: cannot be read ({why}); check the name and that it is a file you may read", file.display())]
    Unreadable {
        /// The file.
        file: PathBuf,
        /// What the system said.
        why: String,
    },
    /// Not text.
    #[error("{}: line {line}: is not text; export the log as CSV text and try again", file.display())]
    NotText {
        /// The file.
        file: PathBuf,
        /// Where.
        line: u64,
    },
    /// Larger than what is read.
    #[error("{}: is {mib} MiB, at most {limit_mib} MiB are read; cut it into parts", file.display())]
    TooLarge {
        /// The file.
        file: PathBuf,
        /// Its size.
        mib: u64,
        /// The largest size.
        limit_mib: u64,
    },
    /// A workbook that cannot be read.
    #[error("{}: {why}", file.display())]
    Workbook {
        /// The file.
        file: PathBuf,
        /// What is wrong and what to do.
        why: String,
    },
    /// Two lines that could name the columns.
    #[error("{}: lines {first} and {second} could both be the names of the columns; say which with --header-line", file.display())]
    TwoHeaders {
        /// The file.
        file: PathBuf,
        /// One.
        first: u64,
        /// The other.
        second: u64,
    },
    /// A line of names that was asked for and is not there.
    #[error("{}: no names of columns stand in line {line}; open the file and count its lines", file.display())]
    HeaderLine {
        /// The file.
        file: PathBuf,
        /// As asked.
        line: u64,
    },
    /// Points and commas as the decimal sign.
    #[error("{}: \"{point}\" in line {line} has a point and \"{comma}\" in line {other_line} a comma for the decimals; write all numbers of a copy in one way", file.display())]
    MixedDecimals {
        /// The file.
        file: PathBuf,
        /// Where the point stands.
        line: u64,
        /// The number with it.
        point: String,
        /// Where the comma stands.
        other_line: u64,
        /// The number with it.
        comma: String,
    },
    /// A gauge and an absolute column that do not lie an atmosphere apart.
    #[error("{}: line {line}: {why}", file.display())]
    Atmospheres {
        /// The file.
        file: PathBuf,
        /// Where.
        line: u64,
        /// Which columns, how far apart, and what to do.
        why: String,
    },
    /// No rows.
    #[error("{}: readings in it: {rows}{left_out}, at least 2 are needed; check that it is the whole file and begins with a line of column names", file.display())]
    TooFew {
        /// The file.
        file: PathBuf,
        /// How many.
        rows: usize,
        /// What was left out, in brackets, or nothing.
        left_out: String,
    },
    /// A row with another number of cells.
    #[error("{}: line {line}: has {cells} cells where {columns} columns are named; a lost sensor or a comma inside a number shifts columns: repair the line or delete it", file.display())]
    Cells {
        /// The file.
        file: PathBuf,
        /// Where.
        line: u64,
        /// Cells found.
        cells: usize,
        /// Cells expected.
        columns: usize,
    },
    /// No column of a kind.
    #[error("{}: no {what} column among {found}; name one with {option}, or rename it like {example}", file.display())]
    MissingColumn {
        /// The file.
        file: PathBuf,
        /// Which kind.
        what: &'static str,
        /// The names found.
        found: String,
        /// The option that names it.
        option: String,
        /// A name that is understood.
        example: &'static str,
    },
    /// Two columns of a kind.
    #[error("{}: columns {first} and {second} could both be the {what}; name one with {option}", file.display())]
    TwoColumns {
        /// The file.
        file: PathBuf,
        /// Which kind.
        what: &'static str,
        /// One.
        first: String,
        /// The other.
        second: String,
        /// The option that settles it.
        option: String,
    },
    /// A column asked for that is not there.
    #[error("{}: there is no column \"{asked}\"; the columns are {found}", file.display())]
    NoSuchColumn {
        /// The file.
        file: PathBuf,
        /// As asked.
        asked: String,
        /// The names found.
        found: String,
    },
    /// A column whose name does not say the unit.
    #[error("{}: column \"{column}\" does not say its unit; {question}", file.display())]
    Unit {
        /// The file.
        file: PathBuf,
        /// The column.
        column: String,
        /// What to answer, and how.
        question: String,
    },
    /// A cell that is not a number.
    #[error("{}: line {line}, column \"{column}\": {why}", file.display())]
    Cell {
        /// The file.
        file: PathBuf,
        /// Where.
        line: u64,
        /// The column.
        column: String,
        /// What is wrong and what to do.
        why: String,
    },
    /// A value outside what can be.
    #[error("{}: line {line}, column \"{column}\": {value} is outside {limit}; check the unit, or leave the row out", file.display())]
    Impossible {
        /// The file.
        file: PathBuf,
        /// Where.
        line: u64,
        /// The column.
        column: String,
        /// As it stands.
        value: String,
        /// The limit.
        limit: &'static str,
    },
    /// The time column.
    #[error("{}: {why}", file.display())]
    Clock {
        /// The file.
        file: PathBuf,
        /// What is wrong and what to do.
        why: Box<super::clock::ClockError>,
    },
    /// A workbook cannot grow line by line.
    #[error("{}: is a workbook, which is written as a whole and cannot be followed; let the logger write CSV, or judge it without --follow", file.display())]
    NotFollowed {
        /// The file.
        file: PathBuf,
    },
    /// A mechanical gauge offered as proof of a deep vacuum.
    #[error("{}: line {line}: a gauge against the atmosphere cannot show a vacuum below 1,000 micron (one step of it is about 25,000 micron); read a micron gauge", file.display())]
    GaugeAsVacuum {
        /// The file.
        file: PathBuf,
        /// Where.
        line: u64,
    },
    /// A unit asked for that does not exist.
    #[error("{option}: {why}")]
    AskedUnit {
        /// The option.
        option: String,
        /// What is wrong and what to do.
        why: String,
    },
    /// Nothing of a running system.
    #[error("{}: no column of a running system among {found}; name one with --column ROLE=NAME, ROLE one of {roles}, or rename it like suction_line_F", file.display())]
    NothingRunning {
        /// The file.
        file: PathBuf,
        /// The names found.
        found: String,
        /// The roles.
        roles: String,
    },
}
