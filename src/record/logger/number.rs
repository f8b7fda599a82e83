//! Numbers as loggers write them: decimal sign, thousands, words and marks for no reading.

use serde::{Deserialize, Serialize};

use crate::quantity::is_no_reading;

/// The sign before the decimals.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Decimal {
    /// 24.8
    Point,
    /// 24,8
    Comma,
}

impl Decimal {
    /// As a word.
    pub fn word(self) -> &'static str {
        match self {
            Decimal::Point => "point",
            Decimal::Comma => "comma",
        }
    }
}

/// How the numbers of a file are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Style {
    pub decimal: Decimal,
    /// Whether the other sign separates thousands.
    pub thousands: bool,
}

/// Why a cell is no number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum NoNumber {
    /// Nothing, or an instrument's word for no reading.
    NoReading,
    /// 9.9e37 and the like.
    Overload,
    /// -9999 and the like.
    Lost,
    /// A comma that could be a decimal sign or a thousand.
    Comma,
    /// A point where the decimal sign is a comma.
    Point,
    /// Another word.
    Word,
}

/// The largest number that a reading can be; instruments write 9.9e37 for "beyond my range".
const OVERLOAD: f64 = 1e30;

/// Reads a cell.
pub(super) fn read(text: &str, style: Style) -> Result<f64, NoNumber> {
    let plain = match style.decimal {
        Decimal::Point => text.parse(),
        Decimal::Comma if !text.contains('.') => text.replacen(',', ".", 1).parse(),
        Decimal::Comma => "".parse(),
    };
    let value: f64 = match plain {
        Ok(value) => value,
        Err(_) => slowly(text, style)?,
    };
    match value {
        v if !v.is_finite() => Err(NoNumber::NoReading),
        v if v.abs() >= OVERLOAD => Err(NoNumber::Overload),
        v if v <= -999.0 && only_nines(text) => Err(NoNumber::Lost),
        v => Ok(v),
    }
}

fn slowly(text: &str, style: Style) -> Result<f64, NoNumber> {
    if text.is_empty() || is_no_reading(text) {
        return Err(NoNumber::NoReading);
    }
    let (other, refused) = match style.decimal {
        Decimal::Point => (',', NoNumber::Comma),
        Decimal::Comma => ('.', NoNumber::Point),
    };
    let looks = text.starts_with(|c: char| c.is_ascii_digit() || "+-.,".contains(c));
    if !looks || !text.contains(other) {
        return Err(NoNumber::Word);
    }
    let known = match mark(text) {
        Mark::Both(decimal) => decimal == style.decimal,
        Mark::Could(decimal) => decimal != style.decimal && style.thousands,
        _ => false,
    };
    let plain = text.replace(other, "").replace(',', ".");
    match plain.parse() {
        Ok(value) if known => Ok(value),
        Ok(_) => Err(refused),
        Err(_) => Err(NoNumber::Word),
    }
}

/// -9999, -999.9: what a logger writes for a sensor that is gone.
fn only_nines(text: &str) -> bool {
    let digits = text.trim_start_matches('-');
    let whole = digits.split(['.', ',']).next().unwrap_or_default();
    let rest = &digits[whole.len()..];
    whole.len() >= 3
        && whole.bytes().all(|b| b == b'9')
        && (rest.bytes().skip(1).all(|b| b == b'9') || rest.bytes().skip(1).all(|b| b == b'0'))
}

/// What a cell shows of the decimal sign.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Mark {
    Nothing,
    /// One sign that can only be a decimal sign.
    Sure(Decimal),
    /// Thousands and, after them, perhaps a decimal sign: 1.299,99 or 1,234,567.
    Both(Decimal),
    /// This sign before three digits: a decimal sign or a thousand.
    Could(Decimal),
}

fn mark(text: &str) -> Mark {
    let body = text.trim_start_matches(['-', '+']);
    let end = body
        .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ','))
        .unwrap_or(body.len());
    let body = &body[..end];
    let count = |sign: char| body.matches(sign).count();
    match (count(','), count('.')) {
        (0, 0) => Mark::Nothing,
        (1, 0) if grouped(body, ',') => Mark::Could(Decimal::Comma),
        (0, 1) if grouped(body, '.') => Mark::Could(Decimal::Point),
        (1, 0) => Mark::Sure(Decimal::Comma),
        (0, 1) => Mark::Sure(Decimal::Point),
        (_, 0) if grouped(body, ',') => Mark::Both(Decimal::Point),
        (0, _) if grouped(body, '.') => Mark::Both(Decimal::Comma),
        (_, 1)
            if body
                .rsplit_once('.')
                .is_some_and(|(w, d)| grouped(w, ',') && !d.contains(',')) =>
        {
            Mark::Both(Decimal::Point)
        }
        (1, _)
            if body
                .rsplit_once(',')
                .is_some_and(|(w, d)| grouped(w, '.') && !d.contains('.')) =>
        {
            Mark::Both(Decimal::Comma)
        }
        _ => Mark::Nothing,
    }
}

/// Whether a whole number is written in groups of three: 1,234 but not 0,234 or 12345,678.
fn grouped(whole: &str, sign: char) -> bool {
    let mut groups = whole.split(sign);
    let first = groups.next().unwrap_or_default();
    (1..=3).contains(&first.len())
        && !first.starts_with('0')
        && groups.all(|g| g.len() == 3 && g.bytes().all(|b| b.is_ascii_digit()))
}

/// Where a cell stands, and how it reads.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct At {
    pub column: usize,
    pub line: u64,
    pub text: String,
}

/// Why a file's decimal sign is not known.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Unclear {
    /// A point in one place and a comma in another.
    Mixed(At, At),
    /// A comma that could be either.
    Either(At),
}

/// The decimal sign of a file from all the numbers that are used.
pub(super) fn style<'a>(
    cells: impl Iterator<Item = (usize, u64, &'a str)>,
) -> Result<Style, Unclear> {
    let mut sure: [Option<At>; 2] = [None, None];
    let mut could: [Option<At>; 2] = [None, None];
    let mut thousands = false;
    for (column, line, text) in cells {
        let (seen, decimal) = match mark(text) {
            Mark::Nothing => continue,
            Mark::Could(decimal) => (&mut could, decimal),
            Mark::Sure(decimal) => (&mut sure, decimal),
            Mark::Both(decimal) => {
                thousands = true;
                (&mut sure, decimal)
            }
        };
        seen[decimal as usize].get_or_insert_with(|| At {
            column,
            line,
            text: text.into(),
        });
    }
    let [could_point, could_comma] = could;
    let style = |decimal| Style { decimal, thousands };
    match sure {
        [Some(point), Some(comma)] => Err(Unclear::Mixed(point, comma)),
        [Some(_), None] => match could_comma {
            Some(comma) if !thousands => Err(Unclear::Either(comma)),
            _ => Ok(style(Decimal::Point)),
        },
        [None, Some(comma)] => match could_point {
            Some(point) if !thousands => Err(Unclear::Mixed(point, comma)),
            _ => Ok(style(Decimal::Comma)),
        },
        [None, None] => match could_comma {
            Some(comma) => Err(Unclear::Either(comma)),
            None => Ok(style(Decimal::Point)),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const POINT: Style = Style {
        decimal: Decimal::Point,
        thousands: false,
    };

    fn of(cells: &[&str]) -> Result<Style, Unclear> {
        style(cells.iter().enumerate().map(|(i, c)| (0, i as u64 + 1, *c)))
    }

    #[test]
    fn the_decimal_sign_is_known_only_where_nothing_speaks_against_it() {
        let comma = |thousands| {
            Ok(Style {
                decimal: Decimal::Comma,
                thousands,
            })
        };
        assert_eq!(of(&["450.0", "1.299", "12"]), Ok(POINT));
        assert_eq!(of(&["24,8", "1,234", "-0,05"]), comma(false));
        assert_eq!(of(&["1.299,99", "1.299", "24,8"]), comma(true));
        assert!(matches!(of(&["1,234", "1,235"]), Err(Unclear::Either(_))));
        assert!(matches!(of(&["450.0", "1,450"]), Err(Unclear::Either(_))));
        assert!(matches!(of(&["24,8", "24.9"]), Err(Unclear::Mixed(..))));
        assert!(matches!(of(&["24,8", "1.299"]), Err(Unclear::Mixed(..))));
        assert_eq!(of(&["0,250", "12"]), comma(false));
    }

    #[test]
    fn thousands_are_read_where_they_can_be_nothing_else() {
        let style = of(&["1,450.0", "1,449"]).unwrap();
        assert_eq!(read("1,450.0", style), Ok(1450.0));
        assert_eq!(read("1,449", style), Ok(1449.0));
        assert_eq!(read("1,44", style), Err(NoNumber::Comma));
        let style = of(&["1.299,99", "950,5"]).unwrap();
        assert_eq!(read("1.299,99", style), Ok(1299.99));
        assert_eq!(read("1.299", style), Ok(1299.0));
        assert_eq!(read("950,5", style), Ok(950.5));
        assert_eq!(read("9.5", style), Err(NoNumber::Point));
    }

    #[test]
    fn no_reading_is_never_nought() {
        for (text, why) in [
            ("", NoNumber::NoReading),
            ("OL", NoNumber::NoReading),
            ("Off", NoNumber::NoReading),
            ("---", NoNumber::NoReading),
            ("NaN", NoNumber::NoReading),
            ("9.99999999e+37", NoNumber::Overload),
            ("-9999", NoNumber::Lost),
            ("-999.9", NoNumber::Lost),
            ("-9999.00", NoNumber::Lost),
            ("1,450", NoNumber::Comma),
            ("n.a.x", NoNumber::Word),
        ] {
            assert_eq!(read(text, POINT), Err(why), "{text}");
        }
        assert_eq!(read("0.30000000000000004", POINT), Ok(0.1 + 0.2));
        assert_eq!(read("-99", POINT), Ok(-99.0));
        assert_eq!(read("-998.5", POINT), Ok(-998.5));
    }
}
