//! What can be wrong with a time column.

use jiff::tz::Offset;

/// Why a time column cannot be read.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ClockError {
    /// A cell that is no time.
    #[error(
        "line {line}, column \"{column}\": \"{text}\" is not a date and time like {like}; repair the row or delete it, or say how all of them are written with --time-format, for example --time-format \"%d.%m.%Y %H:%M\""
    )]
    NotATime {
        /// Where.
        line: u64,
        /// The column.
        column: String,
        /// As written.
        text: String,
        /// What was expected.
        like: String,
    },
    /// A cell that does not fit the format asked for.
    #[error(
        "line {line}, column \"{column}\": \"{text}\" does not fit --time-format \"{format}\" ({why}); change the format, or repair the row"
    )]
    NotInFormat {
        /// Where.
        line: u64,
        /// The column.
        column: String,
        /// As written.
        text: String,
        /// As asked.
        format: String,
        /// What did not fit.
        why: String,
    },
    /// No format.
    #[error(
        "--time-format \"{format}\" is no format known here: write it with the letters of strftime, for example \"%d/%m/%Y %H:%M:%S\", or as one of s, min, h, d, ms, unix, unix-ms, excel"
    )]
    Format {
        /// As asked.
        format: String,
    },
    /// Numbers without a unit.
    #[error(
        "column \"{column}\" does not say its unit; is \"{text}\" {question}, or rename the column like t_s, t_min or t_h"
    )]
    Unit {
        /// The column.
        column: String,
        /// As written.
        text: String,
        /// What it could be, and how to say it.
        question: String,
    },
    /// Dates that can be read in more than one order, or in one that is never taken for granted.
    #[error(
        "line {line}, column \"{column}\": the order of day, month and year in \"{text}\" is not taken for granted; {proposal}"
    )]
    Order {
        /// Where.
        line: u64,
        /// The column.
        column: String,
        /// As written.
        text: String,
        /// The formats that fit.
        proposal: String,
    },
    /// No zone.
    #[error("--zone \"{text}\" is no time zone known here; use a name like {near}")]
    Zone {
        /// As asked.
        text: String,
        /// Names that are near.
        near: String,
    },
    /// An hour that the clocks of the zone did not show.
    #[error(
        "line {line}: {text} did not happen in {zone}, where the clocks were set forward from {before} to {after}; so the clock of this log was not set forward: leave --zone away"
    )]
    Skipped {
        /// Where.
        line: u64,
        /// As written.
        text: String,
        /// The zone.
        zone: String,
        /// Offset before.
        before: Offset,
        /// Offset after.
        after: Offset,
    },
    /// Rows in the doubled hour that could be the first or the second.
    #[error(
        "lines {from} to {to}: in {zone} the clocks showed that hour twice, and the steps of this log do not tell which one these rows are from; in a copy of the file write the offset behind each of them ({first} for the first, {second} for the second), or, where the logger's clock is never set, leave --zone away"
    )]
    Doubled {
        /// First line.
        from: u64,
        /// Last line.
        to: u64,
        /// The zone.
        zone: String,
        /// Offset of the first.
        first: Offset,
        /// Offset of the second.
        second: Offset,
    },
    /// A 12-hour clock without AM and PM.
    #[error(
        "line {line}: time goes from {before} back to {now}: this looks like a 12-hour clock without AM or PM; export the log with a 24-hour clock, or with AM and PM"
    )]
    TwelveHour {
        /// Where.
        line: u64,
        /// The time before.
        before: String,
        /// The time now.
        now: String,
    },
    /// Time goes back.
    #[error(
        "line {line}: time goes from {before} back to {now}; rows are never sorted silently{hint}. The log has {parts}"
    )]
    Backwards {
        /// Where.
        line: u64,
        /// The time before.
        before: String,
        /// The time now.
        now: String,
        /// What it could be.
        hint: &'static str,
        /// The parts between, and how to take one.
        parts: String,
    },
    /// The same time twice, with other readings.
    #[error(
        "line {line}: has the time of line {earlier} ({text}) but other readings{hint}; keep one of the two rows in a copy of the file, or export the time with more digits"
    )]
    Repeated {
        /// Where.
        line: u64,
        /// The line before.
        earlier: u64,
        /// As written.
        text: String,
        /// What it could be.
        hint: &'static str,
    },
    /// A part that is not there.
    #[error("--part {asked}: this log has {parts}")]
    Part {
        /// As asked, from 1.
        asked: usize,
        /// The parts there are.
        parts: String,
    },
}
