//! Numbers of a document: ten digits that count.
use std::io::{Result, Write};

use serde_json::ser::{Formatter, PrettyFormatter};

/// Indented, as [`PrettyFormatter`], with rounded numbers.
#[derive(Default)]
pub(super) struct TenDigits(PrettyFormatter<'static>);

/// The number of ten significant digits that is nearest.
fn rounded(value: f64) -> f64 {
    format!("{value:.9e}").parse().unwrap_or(value)
}

impl Formatter for TenDigits {
    fn write_f64<W: ?Sized + Write>(&mut self, writer: &mut W, value: f64) -> Result<()> {
        self.0.write_f64(writer, rounded(value))
    }

    fn begin_array<W: ?Sized + Write>(&mut self, writer: &mut W) -> Result<()> {
        self.0.begin_array(writer)
    }

    fn end_array<W: ?Sized + Write>(&mut self, writer: &mut W) -> Result<()> {
        self.0.end_array(writer)
    }

    fn begin_array_value<W: ?Sized + Write>(&mut self, writer: &mut W, first: bool) -> Result<()> {
        self.0.begin_array_value(writer, first)
    }

    fn end_array_value<W: ?Sized + Write>(&mut self, writer: &mut W) -> Result<()> {
        self.0.end_array_value(writer)
    }

    fn begin_object<W: ?Sized + Write>(&mut self, writer: &mut W) -> Result<()> {
        self.0.begin_object(writer)
    }

    fn end_object<W: ?Sized + Write>(&mut self, writer: &mut W) -> Result<()> {
        self.0.end_object(writer)
    }

    fn begin_object_key<W: ?Sized + Write>(&mut self, writer: &mut W, first: bool) -> Result<()> {
        self.0.begin_object_key(writer, first)
    }

    fn begin_object_value<W: ?Sized + Write>(&mut self, writer: &mut W) -> Result<()> {
        self.0.begin_object_value(writer)
    }

    fn end_object_value<W: ?Sized + Write>(&mut self, writer: &mut W) -> Result<()> {
        self.0.end_object_value(writer)
    }
}

#[cfg(test)]
mod tests {
    use super::rounded;

    #[test]
    fn the_last_bits_fall_away_and_short_numbers_stay() {
        assert_eq!(rounded(0.1 + 0.2), 0.3);
        assert_eq!(rounded(-7.527885172655769), -7.527885173);
        assert_eq!(rounded(3.134446275586922e-5), 3.134446276e-5);
        for short in [0.0, 24.0, 1_234_567.25, 1e300, -0.05] {
            assert_eq!(rounded(short), short);
        }
    }
}
