//! What people type: a number and its unit, read strictly, refused with the question that settles it.

use super::{Length, Mass, PressureAbs, PressureGauge, Quantity, Unit, unit};
use crate::quantity::{Barometer, BarometerError};

/// A quantity and the text it was typed as.
#[derive(Debug, Clone, PartialEq)]
pub struct Typed<Q> {
    /// The value.
    pub value: Q,
    /// The text as typed.
    pub text: String,
    /// How it was understood, when that needs saying ("read as 118 psig").
    pub echo: Option<String>,
}

/// A pressure read on some instrument: against the atmosphere, or absolute.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PressureReading {
    /// Against the local atmosphere.
    Gauge(PressureGauge),
    /// Absolute.
    Abs(PressureAbs),
}

impl PressureReading {
    /// The absolute pressure, given the local atmosphere.
    pub fn to_abs(self, barometer: Barometer) -> Result<PressureAbs, BarometerError> {
        match self {
            PressureReading::Gauge(gauge) => gauge.to_abs(barometer),
            PressureReading::Abs(absolute) => Ok(absolute),
        }
    }
    /// Whether the local atmosphere matters to it.
    pub fn is_gauge(self) -> bool {
        matches!(self, PressureReading::Gauge(_))
    }
}

/// Why a typed text is not a quantity.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ParseError {
    /// Nothing was typed.
    #[error(
        "nothing typed where {what} belongs: type a number and its unit, for example {example}"
    )]
    Empty {
        /// The quantity.
        what: &'static str,
        /// A good input.
        example: &'static str,
    },
    /// An instrument's word for "no reading".
    #[error(
        "\"{text}\" is an instrument's word for no reading, not {what}: read it again, or leave it out"
    )]
    NoReading {
        /// As typed.
        text: String,
        /// The quantity.
        what: &'static str,
    },
    /// What an instrument prints when a reading is beyond its range, 9.9e37.
    #[error(
        "\"{text}\" is an instrument's overload, not {what}: read it again within its range, or leave it out"
    )]
    Overload {
        /// As typed.
        text: String,
        /// The quantity.
        what: &'static str,
    },
    /// A comma, which means a thousand here and a decimal there.
    #[error(
        "\"{text}\" has a comma: is it {without} or {point}? type the number with a point and without separators"
    )]
    Comma {
        /// As typed.
        text: String,
        /// The number without the comma.
        without: String,
        /// The number with a point.
        point: String,
    },
    /// No number in front.
    #[error(
        "\"{text}\" does not begin with a number: {what} is typed as a number and a unit, for example {example}"
    )]
    Number {
        /// As typed.
        text: String,
        /// The quantity.
        what: &'static str,
        /// A good input.
        example: &'static str,
    },
    /// A number alone.
    #[error("\"{text}\" has no unit: {what} is typed with one of {units}, for example {example}")]
    NoUnit {
        /// As typed.
        text: String,
        /// The quantity.
        what: &'static str,
        /// The units that can be typed.
        units: String,
        /// A good input.
        example: &'static str,
    },
    /// A unit of something else, or of nothing.
    #[error("\"{text}\": {what} is not measured in \"{unit}\"; type it in one of {units}")]
    UnknownUnit {
        /// As typed.
        text: String,
        /// The unit found.
        unit: String,
        /// The quantity.
        what: &'static str,
        /// The units that can be typed.
        units: String,
    },
    /// A pressure unit that leaves gauge or absolute open.
    #[error(
        "\"{text}\": gauge or absolute? type \"{number} {gauge}\" for a gauge reading or \"{number} {absolute}\" for an absolute one"
    )]
    GaugeOrAbsolute {
        /// As typed.
        text: String,
        /// The number.
        number: String,
        /// How to say gauge.
        gauge: &'static str,
        /// How to say absolute.
        absolute: &'static str,
    },
    /// A gauge field got an absolute pressure.
    #[error(
        "\"{text}\" is an absolute pressure, and this is read on a gauge: type what the gauge shows, for example 118 psig"
    )]
    NotGauge {
        /// As typed.
        text: String,
    },
    /// A vacuum field got a pressure above the atmosphere.
    #[error(
        "\"{text}\" is not a vacuum reading: type it absolute, in micron, Torr, mmHg, Pa or mbar, or as inHg vacuum"
    )]
    NotVacuum {
        /// As typed.
        text: String,
    },
    /// A share outside nothing to all.
    #[error(
        "\"{text}\": a share lies between 0 and 1, or 0 % and 100 %; type it like 0.8 or \"80 %\""
    )]
    Share {
        /// As typed.
        text: String,
    },
    /// Below the lowest value that exists.
    #[error("\"{text}\": {what} cannot be below {limit}; check the sign and the unit")]
    BelowZero {
        /// As typed.
        text: String,
        /// The quantity.
        what: &'static str,
        /// The lowest value.
        limit: &'static str,
    },
}

impl ParseError {
    /// The same refusal at a field that takes only some of the units.
    fn among(self, units: &str, example: &'static str) -> ParseError {
        match self {
            ParseError::NoUnit { text, what, .. } => ParseError::NoUnit {
                text,
                what,
                units: units.into(),
                example,
            },
            ParseError::UnknownUnit {
                text, unit, what, ..
            } => ParseError::UnknownUnit {
                text,
                unit,
                what,
                units: units.into(),
            },
            other => other,
        }
    }
}

const NO_READING: &[&str] = &[
    "ol", "o.l", "0l", "off", "---", "--", "-", "nan", "inf", "open", "err", "n/a", "na", "null",
];

/// No quantity in any of the units is as large; instruments print 9.9e37 for "beyond my range".
const OVERLOAD: f64 = 1e30;

/// What an instrument prints when it has no reading.
pub fn is_no_reading(text: &str) -> bool {
    NO_READING.contains(&text.trim().to_ascii_lowercase().as_str())
}

fn example<Q: Quantity>() -> &'static str {
    use super::Dimension as D;
    match Q::DIMENSION {
        D::PressureGauge => "118 psig",
        D::PressureAbs => "500 micron",
        D::PressureDiff => "0.5 psi",
        D::Temperature => "52.5 F",
        D::TemperatureDiff => "1.8 F",
        D::Mass => "5 lb 4 oz",
        D::Length => "25 ft",
        D::Area => "30 m2",
        D::Volume => "2.1 L",
        D::Duration => "15 min",
        D::MassPerLength => "0.6 oz/ft",
        D::Density => "1.2 kg/m3",
        D::SpecificEnthalpy => "280 kJ/kg",
        D::SpecificEntropy => "1.8 kJ/(kg K)",
        D::HeatCapacity => "1.2 kJ/(kg K)",
        D::Viscosity => "12 µPa s",
        D::Torque => "42 N m",
        D::PressureRate => "0.05 psi/h",
        D::RiseRate => "1 micron/min",
        D::LeakRate => "1e-5 Pa m3/s",
        D::MassRate => "5 g/yr",
        D::Voltage => "240 V",
        D::Current => "8.2 A",
        D::Power => "9.6 kW",
        D::VolumeFlow => "1150 cfm",
        D::Fraction => "80 %",
    }
}

fn fold(name: &str) -> String {
    name.chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '°' | '_' | '^'))
        .flat_map(char::to_lowercase)
        .collect()
}

fn find_unit<Q: Quantity>(name: &str) -> Option<Unit<Q>> {
    // mPa and MPa, as only the first letter's case tells them apart
    if name.trim().starts_with("mPa") {
        return None;
    }
    let folded = fold(name);
    Q::units()
        .iter()
        .copied()
        .find(|u| fold(u.symbol) == folded || u.names.iter().any(|n| fold(n) == folded))
}

fn unit_list<Q: Quantity>() -> String {
    Q::units()
        .iter()
        .map(|u| u.symbol)
        .collect::<Vec<_>>()
        .join(", ")
}

/// The number at the front of a text and the rest behind it. `3/8` and `1-1/8` are numbers; a comma is refused.
fn split_number<Q: Quantity>(text: &str) -> Result<(f64, &str), ParseError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(ParseError::Empty {
            what: Q::WHAT,
            example: example::<Q>(),
        });
    }
    if is_no_reading(text) {
        return Err(ParseError::NoReading {
            text: text.into(),
            what: Q::WHAT,
        });
    }
    let bytes = text.as_bytes();
    let mut end = 0;
    while end < bytes.len() {
        let c = bytes[end];
        let exponent = matches!(c, b'e' | b'E')
            && end > 0
            && bytes[end - 1].is_ascii_digit()
            && bytes
                .get(end + 1)
                .is_some_and(|n| n.is_ascii_digit() || matches!(n, b'-' | b'+'));
        let sign = matches!(c, b'-' | b'+')
            && (end == 0
                || bytes[end - 1].is_ascii_digit()
                || matches!(bytes[end - 1], b'e' | b'E'));
        if !(c.is_ascii_digit() || matches!(c, b'.' | b',' | b'/') || exponent || sign) {
            break;
        }
        end += 1;
    }
    let mut number = &text[..end];
    // "42 N-m": a sign that no digit follows belongs to the unit
    while number.ends_with(['-', '+', '/']) {
        number = &number[..number.len() - 1];
    }
    let rest = &text[number.len()..];
    let wrong = || ParseError::Number {
        text: text.into(),
        what: Q::WHAT,
        example: example::<Q>(),
    };
    if number.is_empty() {
        return Err(wrong());
    }
    if number.contains(',') {
        return Err(ParseError::Comma {
            text: text.into(),
            without: without_comma(number),
            point: number.replacen(',', ".", 1).replace(',', ""),
        });
    }
    let value = plain_or_fraction(number)
        .filter(|v| v.is_finite())
        .ok_or_else(wrong)?;
    if value.abs() >= OVERLOAD {
        return Err(ParseError::Overload {
            text: text.into(),
            what: Q::WHAT,
        });
    }
    Ok((value, rest.trim()))
}

/// The number if the comma were a thousand: `0,6` is `6`.
fn without_comma(number: &str) -> String {
    let plain = number.replace(',', "");
    match plain.trim_start_matches('0') {
        "" => "0".into(),
        significant => significant.into(),
    }
}

/// `118`, `-2.5`, `1e-5`, `3/8`, `1-1/8`.
fn plain_or_fraction(text: &str) -> Option<f64> {
    let Some((left, denominator)) = text.split_once('/') else {
        return text.parse().ok();
    };
    let denominator: u32 = denominator.parse().ok().filter(|d| *d > 0)?;
    let (whole, numerator) = match left.split_once('-') {
        Some((whole, numerator)) => (whole.parse::<u32>().ok()?, numerator.parse::<u32>().ok()?),
        None => (0, left.parse::<u32>().ok()?),
    };
    Some(f64::from(whole) + f64::from(numerator) / f64::from(denominator))
}

fn lowest_allowed<Q: Quantity>() -> Option<&'static str> {
    use super::Dimension as D;
    match Q::DIMENSION {
        D::Temperature => Some("absolute zero (-273.15 °C, -459.67 °F)"),
        D::PressureAbs => Some("a perfect vacuum"),
        D::Mass
        | D::Length
        | D::Area
        | D::Volume
        | D::Density
        | D::HeatCapacity
        | D::Viscosity
        | D::Duration
        | D::Voltage
        | D::Current
        | D::Power
        | D::VolumeFlow
        | D::Torque => Some("zero"),
        _ => None,
    }
}

/// Reads a number with its unit.
///
/// A comma is refused with a question, a missing unit with the list of units, an instrument's `OL` as no reading.
/// Masses and lengths may come in two parts.
///
/// ```
/// use lineproof::quantity::{Length, Mass, Quantity, parse, unit};
/// let charge = parse::<Mass>("5 lb 4 oz").unwrap();
/// assert!((charge.value.in_unit(unit::OUNCE_MASS) - 84.0).abs() < 1e-9);
/// let od = parse::<Length>("3/8 in").unwrap();
/// assert!((od.value.in_unit(unit::MILLIMETRE) - 9.525).abs() < 1e-9);
/// assert!(parse::<Length>("1,450 m").unwrap_err().to_string().contains("1450 or 1.450"));
/// ```
pub fn parse<Q: Quantity>(text: &str) -> Result<Typed<Q>, ParseError> {
    let (first, rest) = split_number::<Q>(text)?;
    let text = text.trim();
    let mut name = rest;
    let mut second = None;
    if (Q::DIMENSION == Mass::DIMENSION || Q::DIMENSION == Length::DIMENSION)
        && let Some(start) = rest.find(|c: char| c.is_ascii_digit())
    {
        name = rest[..start].trim();
        second = Some(split_number::<Q>(&rest[start..])?);
    }
    let mut si = one_part::<Q>(text, first, name)?;
    if let Some((number, name)) = second {
        si += one_part::<Q>(text, number, name)?;
    }
    if let Some(limit) = lowest_allowed::<Q>()
        && si < 0.0
    {
        return Err(ParseError::BelowZero {
            text: text.into(),
            what: Q::WHAT,
            limit,
        });
    }
    if Q::DIMENSION == super::Dimension::Fraction && !(0.0..=1.0).contains(&si) {
        return Err(ParseError::Share { text: text.into() });
    }
    Ok(Typed {
        value: Q::from_si(si),
        text: text.into(),
        echo: None,
    })
}

fn one_part<Q: Quantity>(text: &str, number: f64, name: &str) -> Result<f64, ParseError> {
    if name.is_empty() && Q::DIMENSION != super::Dimension::Fraction {
        return Err(ParseError::NoUnit {
            text: text.into(),
            what: Q::WHAT,
            units: unit_list::<Q>(),
            example: example::<Q>(),
        });
    }
    let unit = find_unit::<Q>(name).ok_or_else(|| ParseError::UnknownUnit {
        text: text.into(),
        unit: name.into(),
        what: Q::WHAT,
        units: unit_list::<Q>(),
    })?;
    Ok(unit.to_si(number))
}

/// What a pressure unit without "gauge" or "absolute" could mean.
fn ambiguous(name: &str) -> Option<(&'static str, &'static str)> {
    match fold(name).as_str() {
        "psi" | "lb/in2" | "pounds" => Some(("psig", "psia")),
        "bar" => Some(("bar gauge", "bar abs")),
        "kpa" => Some(("kPa gauge", "kPa abs")),
        "mpa" => Some(("MPa gauge", "MPa abs")),
        "cmhg" => Some(("cmHg vacuum", "cmHg absolute")),
        "inhg" | "\"hg" => Some(("inHg vacuum", "inHg absolute")),
        "kg/cm2" | "kgf/cm2" | "kg/cm²" | "kgf/cm²" => Some(("kgf/cm2 gauge", "kgf/cm2 abs")),
        _ => None,
    }
}

/// Reads a pressure where both gauge and absolute are plausible: the unit must say which.
///
/// ```
/// use lineproof::quantity::{parse_pressure, PressureReading};
/// assert!(matches!(parse_pressure("118 psig").unwrap().value, PressureReading::Gauge(_)));
/// assert!(parse_pressure("8.1 bar").unwrap_err().to_string().contains("gauge or absolute?"));
/// ```
pub fn parse_pressure(text: &str) -> Result<Typed<PressureReading>, ParseError> {
    let (number, name) = split_number::<PressureGauge>(text)?;
    let text = text.trim();
    if let Some((gauge, absolute)) = ambiguous(name) {
        return Err(ParseError::GaugeOrAbsolute {
            text: text.into(),
            number: number.to_string(),
            gauge,
            absolute,
        });
    }
    let Some(unit) = pressure_unit(name) else {
        let units = format!(
            "{}, {}",
            unit_list::<PressureGauge>(),
            unit_list::<PressureAbs>()
        );
        return Err(if name.is_empty() {
            ParseError::NoUnit {
                text: text.into(),
                what: "a pressure",
                units,
                example: "118 psig",
            }
        } else {
            ParseError::UnknownUnit {
                text: text.into(),
                unit: name.into(),
                what: "a pressure",
                units,
            }
        });
    };
    let value = unit.reading(number);
    if matches!(value, PressureReading::Abs(p) if p.si() < 0.0) {
        return Err(ParseError::BelowZero {
            text: text.into(),
            what: PressureAbs::WHAT,
            limit: "a perfect vacuum",
        });
    }
    Ok(Typed {
        value,
        text: text.into(),
        echo: None,
    })
}

/// A unit of pressure that says gauge or absolute.
#[derive(Debug, Clone, Copy)]
pub enum PressureUnit {
    /// Against the local atmosphere.
    Gauge(Unit<PressureGauge>),
    /// Absolute.
    Abs(Unit<PressureAbs>),
}

impl PressureUnit {
    /// A number in this unit.
    pub fn reading(self, number: f64) -> PressureReading {
        match self {
            PressureUnit::Gauge(unit) => PressureReading::Gauge(PressureGauge::of(number, unit)),
            PressureUnit::Abs(unit) => PressureReading::Abs(PressureAbs::of(number, unit)),
        }
    }
    /// The unit's symbol.
    pub fn symbol(self) -> &'static str {
        match self {
            PressureUnit::Gauge(unit) => unit.symbol,
            PressureUnit::Abs(unit) => unit.symbol,
        }
    }
}

/// The pressure unit of a name; none when it is unknown or leaves gauge or absolute open.
pub fn pressure_unit(name: &str) -> Option<PressureUnit> {
    if ambiguous(name).is_some() {
        return None;
    }
    find_unit(name)
        .map(PressureUnit::Gauge)
        .or_else(|| find_unit(name).map(PressureUnit::Abs))
}

/// Reads a pressure that can only have been read on a gauge: `psi` is taken as psig, and says so.
///
/// ```
/// use lineproof::quantity::parse_gauge;
/// assert_eq!(parse_gauge("118psi").unwrap().echo.unwrap(), "118 psi read as 118 psig");
/// assert!(parse_gauge("118 psia").is_err());
/// ```
pub fn parse_gauge(text: &str) -> Result<Typed<PressureGauge>, ParseError> {
    let (number, name) = split_number::<PressureGauge>(text)?;
    if fold(name) == "psi" {
        let value = PressureGauge::of(number, unit::PSIG);
        let echo = Some(format!("{number} psi read as {number} psig"));
        return Ok(Typed {
            value,
            text: text.trim().into(),
            echo,
        });
    }
    let units = unit_list::<PressureGauge>();
    let reading = parse_pressure(text).map_err(|e| e.among(&units, "118 psig"))?;
    match reading.value {
        PressureReading::Gauge(value) => Ok(Typed {
            value,
            text: reading.text,
            echo: None,
        }),
        PressureReading::Abs(_) => Err(ParseError::NotGauge { text: reading.text }),
    }
}

/// Reads a vacuum: absolute in micron, Torr, mmHg, Pa or mbar, or inHg below the local atmosphere.
///
/// ```
/// use lineproof::quantity::{Barometer, Quantity, parse_vacuum, unit};
/// let p = parse_vacuum("29.9 inHg vacuum").unwrap().value.to_abs(Barometer::standard()).unwrap();
/// assert!((p.in_unit(unit::MICRON) - 540.0).abs() < 20.0);
/// ```
pub fn parse_vacuum(text: &str) -> Result<Typed<PressureReading>, ParseError> {
    let units = "micron, Torr, mmHg, Pa, hPa, mbar, inHg vacuum";
    let (what, example) = ("a vacuum reading", "500 micron");
    let reading = parse_pressure(text).map_err(|e| match e {
        ParseError::Empty { .. } => ParseError::Empty { what, example },
        ParseError::NoReading { text, .. } => ParseError::NoReading { text, what },
        other => other.among(units, example),
    })?;
    match reading.value {
        PressureReading::Gauge(gauge) if gauge.si() >= 0.0 => {
            Err(ParseError::NotVacuum { text: reading.text })
        }
        PressureReading::Abs(absolute) if absolute.si() > 110e3 => {
            Err(ParseError::NotVacuum { text: reading.text })
        }
        _ => Ok(reading),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{MassPerLength, PressureDiff, Temperature, Torque};

    fn message<Q: Quantity>(text: &str) -> String {
        parse::<Q>(text).unwrap_err().to_string()
    }

    #[test]
    fn what_people_type_is_read() {
        let cases: &[(&str, f64)] = &[
            ("52.5F", 52.5),
            ("52.5 °F", 52.5),
            ("52.5 degF", 52.5),
            ("-4 f", -4.0),
            ("+12e0 F", 12.0),
        ];
        for (text, fahrenheit) in cases {
            let t = parse::<Temperature>(text).unwrap().value;
            assert!(
                (t.in_unit(unit::FAHRENHEIT) - fahrenheit).abs() < 1e-9,
                "{text}"
            );
        }
        assert!((parse::<Length>("25 ft 6 in").unwrap().value.si() - 25.5 * 0.3048).abs() < 1e-12);
        assert!((parse::<Length>("25' 6\"").unwrap().value.si() - 25.5 * 0.3048).abs() < 1e-12);
        assert!((parse::<Length>("1-1/8 in").unwrap().value.si() - 1.125 * 0.0254).abs() < 1e-12);
        assert!((parse::<Torque>("42 N m").unwrap().value.si() - 42.0).abs() < 1e-12);
        assert!((parse::<Torque>("31 ft-lb").unwrap().value.si() - 42.03).abs() < 0.01);
        assert!((parse::<MassPerLength>("0.6 oz/ft").unwrap().value.si() - 0.0558).abs() < 1e-4);
        assert!((parse::<PressureDiff>("0.5psi").unwrap().value.si() - 3447.38).abs() < 0.01);
    }

    #[test]
    fn gauge_absolute_and_vacuum_are_told_apart() {
        assert!((parse_gauge("8.1barg").unwrap().value.si() - 8.1e5).abs() < 1e-6);
        assert!(
            (parse_vacuum("500 micron")
                .unwrap()
                .value
                .to_abs(Barometer::standard())
                .unwrap()
                .si()
                - 66.661)
                .abs()
                < 1e-3
        );
        for bare in ["8.1 bar", "810 kPa", "0.81 MPa"] {
            assert!(
                parse_gauge(bare)
                    .unwrap_err()
                    .to_string()
                    .contains("gauge or absolute?"),
                "{bare}"
            );
        }
        assert!(parse_pressure("118 psi").is_err());
        assert!(
            parse_vacuum("29.9 inHg")
                .unwrap_err()
                .to_string()
                .contains("inHg vacuum")
        );
        assert!(
            parse_vacuum("-10 Pa")
                .unwrap_err()
                .to_string()
                .contains("perfect vacuum")
        );
        // case C09: a gauge pressure below minus one atmosphere
        let error = parse_vacuum("-1.0 MPa gauge")
            .unwrap()
            .value
            .to_abs(Barometer::standard())
            .unwrap_err();
        assert!(error.to_string().contains("perfect vacuum"));
    }

    #[test]
    fn refusals_name_the_value_and_the_next_step() {
        assert!(message::<Length>("1,450 m").contains("1450 or 1.450"));
        assert!(message::<Temperature>("OL").contains("no reading"));
        assert!(message::<Temperature>("52").contains("52.5 F"));
        assert!(message::<Temperature>("52 psig").contains("°F"));
        assert!(message::<Temperature>("warm").contains("does not begin with a number"));
        assert!(message::<Temperature>("-500 F").contains("absolute zero"));
        assert!(message::<Mass>("-3 oz").contains("zero"));
        assert!(message::<Mass>("").contains("5 lb 4 oz"));
    }
}
