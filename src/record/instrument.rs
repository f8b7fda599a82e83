//! From what is stated about an instrument to the uncertainty of its readings.

use super::lineset::InstrumentFacts;
use super::words::InstrumentKind;
use crate::quantity::{
    Accuracy, BOURDON_DRIFT_PER_KELVIN, Dimension, Fraction, Instrument, Mass, ParseError,
    PressureAbs, PressureGauge, Quantity, Temperature, Torque, Voltage, parse, parse_gauge,
};

/// Why an instrument cannot be used for a reading.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum InstrumentError {
    /// It measures something else.
    #[error("\"{id}\" is a {kind} and does not measure {what}; name another instrument", kind = kind.word())]
    Measures {
        /// The instrument.
        id: String,
        /// What it is.
        kind: InstrumentKind,
        /// The quantity wanted.
        what: &'static str,
    },
    /// Not a quantity.
    #[error(transparent)]
    Parse(#[from] ParseError),
    /// A share of full scale without the full scale.
    #[error("accuracy \"{text}\" is a share of full scale, and full_scale is not given")]
    NoFullScale {
        /// As typed.
        text: String,
    },
    /// A bare percentage.
    #[error(
        "accuracy \"{text}\": of full scale or of reading? write \"{text} of full scale\" or \"{text} of reading\""
    )]
    OfWhat {
        /// As typed.
        text: String,
    },
}

impl InstrumentKind {
    /// What it measures.
    pub fn dimension(self) -> Dimension {
        match self {
            InstrumentKind::Gauge => Dimension::PressureGauge,
            InstrumentKind::VacuumGauge => Dimension::PressureAbs,
            InstrumentKind::Thermometer => Dimension::Temperature,
            InstrumentKind::Scale => Dimension::Mass,
            InstrumentKind::TorqueWrench => Dimension::Torque,
            InstrumentKind::Voltmeter => Dimension::Voltage,
        }
    }
}

impl InstrumentFacts {
    /// The instrument as it reads near a value: a share of reading becomes a limit there.
    ///
    /// A gauge with a full scale drifts as a Bourdon gauge does (EN 837-1, from memory).
    pub fn near<Q: Quantity>(&self, value: Q) -> Result<Instrument<Q>, InstrumentError> {
        if self.kind.dimension() != Q::DIMENSION {
            return Err(InstrumentError::Measures {
                id: self.id.clone(),
                kind: self.kind,
                what: Q::WHAT,
            });
        }
        let mut accuracy = Vec::new();
        if let Some(text) = &self.accuracy {
            accuracy.push(Accuracy::Limit(self.limit(text, value)?));
        }
        if let Some(text) = &self.resolution {
            accuracy.push(Accuracy::Resolution(parse::<Q::Diff>(text)?.value));
        }
        let drift = match (self.kind, self.full_scale_in::<Q>()?) {
            (InstrumentKind::Gauge, Some(full_scale)) => BOURDON_DRIFT_PER_KELVIN * full_scale,
            _ => 0.0,
        };
        Ok(Instrument {
            name: self.id.clone(),
            accuracy,
            zero_drift_per_kelvin: drift,
        })
    }

    pub(super) fn full_scale_in<Q: Quantity>(&self) -> Result<Option<f64>, InstrumentError> {
        let Some(text) = &self.full_scale else {
            return Ok(None);
        };
        let si = match Q::DIMENSION {
            Dimension::PressureGauge => parse_gauge(text)?.value.si(),
            _ => parse::<Q>(text)?.value.si(),
        };
        Ok(Some(si))
    }

    fn limit<Q: Quantity>(&self, text: &str, value: Q) -> Result<Q::Diff, InstrumentError> {
        let text = text.trim().trim_start_matches(['±', '+', '-']).trim();
        let Some((share, of)) = text.split_once('%') else {
            return Ok(parse::<Q::Diff>(text)?.value);
        };
        let share = parse::<Fraction>(&format!("{share}%"))?.value.si();
        let of_what = match of.trim() {
            "of full scale" | "FS" | "of FS" => self
                .full_scale_in::<Q>()?
                .ok_or_else(|| InstrumentError::NoFullScale { text: text.into() })?,
            "of reading" => value.si(),
            _ => return Err(InstrumentError::OfWhat { text: text.into() }),
        };
        Ok(Q::Diff::from_si(share * of_what.abs()))
    }
}

/// Whether everything stated can be read; the key that cannot, and why.
pub(crate) fn check(facts: &InstrumentFacts) -> Result<(), (&'static str, InstrumentError)> {
    match facts.kind {
        InstrumentKind::Gauge => check_as::<PressureGauge>(facts),
        InstrumentKind::VacuumGauge => check_as::<PressureAbs>(facts),
        InstrumentKind::Thermometer => check_as::<Temperature>(facts),
        InstrumentKind::Scale => check_as::<Mass>(facts),
        InstrumentKind::TorqueWrench => check_as::<Torque>(facts),
        InstrumentKind::Voltmeter => check_as::<Voltage>(facts),
    }
}

fn check_as<Q: Quantity>(facts: &InstrumentFacts) -> Result<(), (&'static str, InstrumentError)> {
    facts
        .full_scale_in::<Q>()
        .map_err(|error| ("full_scale", error))?;
    if let Some(text) = &facts.resolution {
        parse::<Q::Diff>(text).map_err(|error| ("resolution", error.into()))?;
    }
    facts
        .near(Q::from_si(0.0))
        .map_err(|error| ("accuracy", error))?;
    Ok(())
}
