//! Quantities in the record: kept as typed, read strictly.

use std::fmt;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::text::from_text;

use crate::check::charge::LineLabel;
use crate::quantity::{
    Area, Current, Duration, Fraction, Length, Mass, MassPerLength, ParseError, Power, PressureAbs,
    PressureDiff, PressureGauge, PressureReading, Quantity, Temperature, TemperatureDiff, Torque,
    Typed, Voltage, Volume, VolumeFlow, parse, parse_gauge, parse_pressure, parse_vacuum,
};

/// What a field of the record can hold, and how its text is read.
pub trait Field: Sized {
    /// Reads the text as typed.
    fn read(text: &str) -> Result<Typed<Self>, ParseError>;
}

/// A quantity with the text it was typed as; the file holds the text.
///
/// ```
/// use lineproof::quantity::{Mass, Quantity, unit};
/// use lineproof::record::AsTyped;
/// let charge = AsTyped::<Mass>::read("6 lb 10 oz").unwrap();
/// assert_eq!(charge.text(), "6 lb 10 oz");
/// assert!((charge.value().in_unit(unit::OUNCE_MASS) - 106.0).abs() < 1e-9);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct AsTyped<Q>(Typed<Q>);

impl<Q: Field> AsTyped<Q> {
    /// Reads the text as typed.
    pub fn read(text: &str) -> Result<Self, ParseError> {
        Q::read(text).map(AsTyped)
    }
}

impl<Q: Copy> AsTyped<Q> {
    /// The value.
    pub fn value(&self) -> Q {
        self.0.value
    }
}

impl<Q> AsTyped<Q> {
    /// The text as typed.
    pub fn text(&self) -> &str {
        &self.0.text
    }

    /// How it was understood, when that needs saying ("118 psi read as 118 psig").
    pub fn echo(&self) -> Option<&str> {
        self.0.echo.as_deref()
    }

    /// Value, text and echo.
    pub fn typed(&self) -> &Typed<Q> {
        &self.0
    }
}

impl<Q> From<Typed<Q>> for AsTyped<Q> {
    fn from(typed: Typed<Q>) -> Self {
        AsTyped(typed)
    }
}

impl<Q> fmt::Display for AsTyped<Q> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0.text)
    }
}

impl<Q> Serialize for AsTyped<Q> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0.text)
    }
}

impl<'de, Q: Field> Deserialize<'de> for AsTyped<Q> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        from_text(deserializer, AsTyped::read)
    }
}

macro_rules! plain_fields {
    ($($quantity:ty),* $(,)?) => { $(
        impl Field for $quantity {
            fn read(text: &str) -> Result<Typed<Self>, ParseError> {
                parse::<$quantity>(text)
            }
        }
    )* };
}
plain_fields! {
    Power, VolumeFlow,
    Area, Current, Duration, Fraction, Length, Mass, MassPerLength, PressureAbs, PressureDiff,
    Temperature, TemperatureDiff, Torque, Voltage, Volume,
}

/// A mass with its sign: what a part takes away, what a scale shows below zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SignedMass(pub Mass);

impl Field for SignedMass {
    fn read(text: &str) -> Result<Typed<Self>, ParseError> {
        let text = text.trim();
        let below = text.strip_prefix('-');
        let mass = parse::<Mass>(below.unwrap_or(text))?.value;
        let sign = if below.is_some() { -1.0 } else { 1.0 };
        Ok(Typed {
            value: SignedMass(Mass::from_si(sign * mass.si())),
            text: text.into(),
            echo: None,
        })
    }
}

/// A pre-charged line's own label: a mass, a charge per length, or the length that it was filled for.
impl Field for LineLabel {
    fn read(text: &str) -> Result<Typed<Self>, ParseError> {
        let value = match (parse::<MassPerLength>(text), parse::<Length>(text)) {
            (Ok(per_length), _) => LineLabel::PerLength(per_length.value),
            (_, Ok(length)) => LineLabel::ForLength(length.value),
            _ => LineLabel::Mass(parse::<Mass>(text)?.value),
        };
        Ok(Typed {
            value,
            text: text.trim().into(),
            echo: None,
        })
    }
}

impl Field for PressureGauge {
    fn read(text: &str) -> Result<Typed<Self>, ParseError> {
        parse_gauge(text)
    }
}

/// Read on a gauge unless the unit says absolute: `350 psi` is 350 psig, `365 psia` stays absolute.
impl Field for PressureReading {
    fn read(text: &str) -> Result<Typed<Self>, ParseError> {
        match parse_gauge(text) {
            Ok(gauge) => Ok(Typed {
                value: PressureReading::Gauge(gauge.value),
                text: gauge.text,
                echo: gauge.echo,
            }),
            Err(ParseError::NotGauge { .. }) => parse_pressure(text),
            Err(error) => Err(error),
        }
    }
}

/// A vacuum: absolute, or inHg below the local atmosphere.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vacuum(pub PressureReading);

impl Field for Vacuum {
    fn read(text: &str) -> Result<Typed<Self>, ParseError> {
        let typed = parse_vacuum(text)?;
        Ok(Typed {
            value: Vacuum(typed.value),
            text: typed.text,
            echo: typed.echo,
        })
    }
}

/// Height above the sea, negative below it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Altitude(pub Length);

impl Field for Altitude {
    fn read(text: &str) -> Result<Typed<Self>, ParseError> {
        let text = text.trim();
        let below = text.strip_prefix('-');
        let length = parse::<Length>(below.unwrap_or(text))?.value;
        let sign = if below.is_some() { -1.0 } else { 1.0 };
        Ok(Typed {
            value: Altitude(Length::from_si(sign * length.si())),
            text: text.into(),
            echo: None,
        })
    }
}
