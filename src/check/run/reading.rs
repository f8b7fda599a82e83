//! Superheat and subcooling, each with the uncertainty of everything that went in.

use super::{HighSide, LowSide, Tap};
use crate::fluid::refrigerant::RangeError;
use crate::fluid::{Refrigerant, Saturation};
use crate::quantity::{
    Barometer, Fraction, Measured, PressureAbs, PressureDiff, Propagated, Quantity, Temperature,
    TemperatureDiff, propagate, unit,
};

/// Limit for contact and for the pressure drop along the coil when a probe on a bend stands for saturation.
///
/// The program's own choice ([`crate::source::SourceId::CoilBend`]).
pub(super) const COIL_BEND_LIMIT_KELVIN: f64 = 1.5;

/// Why superheat or subcooling cannot be computed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RunError {
    /// A pressure or temperature outside the table.
    #[error(transparent)]
    Range(#[from] RangeError),
    /// A gauge reading below a perfect vacuum.
    #[error(
        "gauge pressure {:.1} psi: at an atmosphere of {:.2} psi that is below a perfect vacuum; check the sign and the unit", gauge.in_unit(unit::PSIG), atmosphere.in_unit(unit::PSIA)
    )]
    BelowVacuum {
        /// The gauge reading.
        gauge: crate::quantity::PressureGauge,
        /// The atmosphere used.
        atmosphere: PressureAbs,
    },
    /// A reading outside the table that a slip would explain.
    #[error("{question}")]
    Asked {
        /// What is outside which range, and what is asked.
        question: String,
    },
    /// Subcooling from a tap whose distance to the liquid line is not known.
    #[error(
        "the pressure drop from the discharge tap to the liquid line is not given: without it subcooling comes out too large; give the drop, or read at the liquid line"
    )]
    DropNotKnown,
}

/// The atmosphere and the refrigerant table, with their own uncertainties.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surroundings {
    /// The local atmosphere.
    pub barometer: Barometer,
    /// Standard uncertainty of its pressure.
    pub barometer_uncertainty: PressureDiff,
    /// Standard uncertainty of the table, as a share of pressure.
    pub table_uncertainty: Fraction,
}

impl Surroundings {
    /// The atmosphere as it is known, and the table as it states itself (a limit, so over sqrt 3).
    pub fn at(barometer: Barometer, refrigerant: Refrigerant) -> Self {
        let limit = Saturation::of(refrigerant).model_uncertainty();
        Surroundings {
            barometer,
            barometer_uncertainty: barometer.standard_uncertainty(),
            table_uncertainty: Fraction::from_si(limit.si() / 3f64.sqrt()),
        }
    }

    /// The atmosphere and the table taken as exact.
    pub fn exact(barometer: Barometer) -> Self {
        Surroundings {
            barometer,
            barometer_uncertainty: PressureDiff::from_si(0.0),
            table_uncertainty: Fraction::from_si(0.0),
        }
    }
}

/// Superheat or subcooling; signed.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The value.
    pub value: TemperatureDiff,
    /// Its standard uncertainty.
    pub standard_uncertainty: TemperatureDiff,
    /// What each input adds to the uncertainty, largest first.
    pub parts: Vec<(&'static str, TemperatureDiff)>,
    /// Dew (superheat) or bubble (subcooling) temperature used.
    pub saturation: Temperature,
    /// The absolute pressure it belongs to; `None` for a coil bend.
    pub pressure: Option<PressureAbs>,
}

impl Reading {
    /// The input that matters most, with its share of the variance.
    pub fn dominant(&self) -> Option<(&'static str, f64)> {
        let (name, part) = *self.parts.first()?;
        let variance = self.standard_uncertainty.si().powi(2);
        (variance > 0.0).then(|| (name, part.si().powi(2) / variance))
    }

    pub(super) fn from(
        propagated: Propagated,
        saturation: Temperature,
        pressure: Option<PressureAbs>,
    ) -> Self {
        let kelvin = TemperatureDiff::from_si;
        Reading {
            value: kelvin(propagated.value),
            standard_uncertainty: kelvin(propagated.standard_uncertainty),
            parts: propagated
                .parts
                .into_iter()
                .map(|(name, part)| (name, kelvin(part)))
                .collect(),
            saturation,
            pressure,
        }
    }
}

/// Superheat: suction line less dew.
///
/// `low`: gauge at the suction port or probe on an evaporator bend; `suction_line`: surface temperature of the vapour
/// line. `SH = T_line - T_dew(p_gauge + p_atm)`; signed. A bend counts as the middle of the glide, so half the glide is
/// added, with the glide over sqrt 12 and 1.5 K over sqrt 3 as further standard uncertainties. Valid inside the
/// saturation table. Uncertainty by [`propagate`].
///
/// ```
/// use lineproof::check::run::{LowSide, Surroundings, superheat};
/// use lineproof::fluid::Refrigerant;
/// use lineproof::quantity::{
///     Barometer, Measured, Origin, PressureDiff, PressureGauge, Quantity, Temperature, TemperatureDiff, unit,
/// };
/// let gauge = Measured {
///     value: PressureGauge::of(76.0, unit::PSIG),
///     standard_uncertainty: PressureDiff::of(2.0, unit::PSI_DIFF),
///     origin: Origin::Reading("suction gauge".into()),
/// };
/// let line = Measured {
///     value: Temperature::of(65.0, unit::FAHRENHEIT),
///     standard_uncertainty: TemperatureDiff::of(1.0, unit::FAHRENHEIT_DIFF),
///     origin: Origin::Reading("pipe probe".into()),
/// };
/// let around = Surroundings::at(Barometer::standard(), Refrigerant::R22);
/// let reading = superheat(Refrigerant::R22, &LowSide::Gauge(gauge), &line, &around).unwrap();
/// assert!((reading.value.in_unit(unit::FAHRENHEIT_DIFF) - 20.0).abs() < 0.1);
/// ```
pub fn superheat(
    refrigerant: Refrigerant,
    low: &LowSide,
    suction_line: &Measured<Temperature>,
    around: &Surroundings,
) -> Result<Reading, RunError> {
    let table = Saturation::of(refrigerant);
    let line = (
        "suction line temperature",
        suction_line.value.si(),
        suction_line.standard_uncertainty.si(),
    );
    match low {
        LowSide::Gauge(gauge) => {
            let pressure = absolute(gauge.value, around)?;
            let inputs = [
                line,
                pressure_input(gauge),
                barometer_input(around),
                table_input(around),
            ];
            let propagated = propagate(&inputs, |x| {
                let dew = table.dew_temperature(saturated(x[1] + x[2], x[3]))?;
                Ok::<_, RunError>(x[0] - dew.si())
            })?;
            let dew = table.dew_temperature(pressure)?;
            Ok(Reading::from(propagated, dew, Some(pressure)))
        }
        LowSide::CoilBend(bend) => {
            let glide = table.glide(table.dew_pressure(bend.value)?)?.si();
            let inputs = [line, bend_input(bend), BEND_CONTACT, glide_input(glide)];
            let propagated = propagate(&inputs, |x| {
                Ok::<_, RunError>(x[0] - (x[1] + x[2] + glide / 2.0 + x[3]))
            })?;
            let dew = bend.value + TemperatureDiff::from_si(glide / 2.0);
            Ok(Reading::from(propagated, dew, None))
        }
    }
}

/// Subcooling: bubble less liquid line.
///
/// `high`: gauge at the liquid line, or at the discharge with the pressure drop between, or probe on a condenser bend;
/// `liquid_line`: surface temperature of the liquid line. `SC = T_bubble(p_gauge + p_atm - drop) - T_line`; signed. A bend
/// counts as the middle of the glide, so half the glide comes off, with the same further uncertainties as in
/// [`superheat`]. Valid inside the saturation table, where the line carries liquid.
///
/// ```
/// use lineproof::check::run::{HighSide, Surroundings, Tap, subcooling};
/// use lineproof::fluid::Refrigerant;
/// use lineproof::quantity::{
///     Barometer, Measured, Origin, PressureDiff, PressureGauge, Quantity, Temperature, TemperatureDiff, unit,
/// };
/// let gauge = Measured {
///     value: PressureGauge::of(260.0, unit::PSIG),
///     standard_uncertainty: PressureDiff::of(4.0, unit::PSI_DIFF),
///     origin: Origin::Reading("liquid gauge".into()),
/// };
/// let line = Measured {
///     value: Temperature::of(108.0, unit::FAHRENHEIT),
///     standard_uncertainty: TemperatureDiff::of(1.0, unit::FAHRENHEIT_DIFF),
///     origin: Origin::Reading("pipe probe".into()),
/// };
/// let around = Surroundings::at(Barometer::standard(), Refrigerant::R22);
/// let high = HighSide::Gauge { pressure: gauge, tap: Tap::LiquidLine };
/// let reading = subcooling(Refrigerant::R22, &high, &line, &around).unwrap();
/// assert!((reading.value.in_unit(unit::FAHRENHEIT_DIFF) - 12.0).abs() < 0.1);
/// ```
pub fn subcooling(
    refrigerant: Refrigerant,
    high: &HighSide,
    liquid_line: &Measured<Temperature>,
    around: &Surroundings,
) -> Result<Reading, RunError> {
    let table = Saturation::of(refrigerant);
    let line = (
        "liquid line temperature",
        liquid_line.value.si(),
        liquid_line.standard_uncertainty.si(),
    );
    match high {
        HighSide::Gauge { pressure, tap } => {
            let drop = drop_input(tap)?;
            let inputs = [
                line,
                pressure_input(pressure),
                barometer_input(around),
                table_input(around),
                drop,
            ];
            let at_line = absolute(pressure.value, around)?.si() - drop.1;
            let bubble = table.bubble_temperature(PressureAbs::from_si(at_line))?;
            let propagated = propagate(&inputs, |x| {
                let at_line = saturated(x[1] + x[2] - x[4], x[3]);
                Ok::<_, RunError>(table.bubble_temperature(at_line)?.si() - x[0])
            })?;
            Ok(Reading::from(
                propagated,
                bubble,
                Some(PressureAbs::from_si(at_line)),
            ))
        }
        HighSide::CoilBend(bend) => {
            let glide = table.glide(table.bubble_pressure(bend.value)?)?.si();
            let inputs = [line, bend_input(bend), BEND_CONTACT, glide_input(glide)];
            let propagated = propagate(&inputs, |x| {
                Ok::<_, RunError>(x[1] + x[2] - glide / 2.0 + x[3] - x[0])
            })?;
            let bubble = bend.value + TemperatureDiff::from_si(-glide / 2.0);
            Ok(Reading::from(propagated, bubble, None))
        }
    }
}

/// Condensing temperature where the vapour begins to condense: what the outdoor air is held against.
pub(super) fn condensing(
    refrigerant: Refrigerant,
    high: &HighSide,
    around: &Surroundings,
) -> Result<Temperature, RunError> {
    match high {
        HighSide::CoilBend(bend) => Ok(bend.value),
        HighSide::Gauge { pressure, .. } => {
            let pressure = absolute(pressure.value, around)?;
            Ok(Saturation::of(refrigerant).dew_temperature(pressure)?)
        }
    }
}

pub(super) type Part = (&'static str, f64, f64);

/// Contact of the probe and pressure drop along the coil.
pub(super) const BEND_CONTACT: Part = (
    "coil bend standing for saturation",
    0.0,
    // 1.5 K over sqrt 3
    COIL_BEND_LIMIT_KELVIN * 0.577_350_269_189_625_8,
);

fn absolute(
    gauge: crate::quantity::PressureGauge,
    around: &Surroundings,
) -> Result<PressureAbs, RunError> {
    gauge
        .to_abs(around.barometer)
        .map_err(|_| RunError::BelowVacuum {
            gauge,
            atmosphere: around.barometer.pressure(),
        })
}

/// The table's pressure is taken too high by the share `off`.
pub(super) fn saturated(pressure: f64, off: f64) -> PressureAbs {
    PressureAbs::from_si(pressure / (1.0 + off))
}

fn pressure_input(gauge: &Measured<crate::quantity::PressureGauge>) -> Part {
    (
        "pressure",
        gauge.value.si(),
        gauge.standard_uncertainty.si(),
    )
}

fn barometer_input(around: &Surroundings) -> Part {
    let at = around.barometer.pressure().si();
    ("barometer", at, around.barometer_uncertainty.si())
}

fn table_input(around: &Surroundings) -> Part {
    ("refrigerant table", 0.0, around.table_uncertainty.si())
}

pub(super) fn bend_input(bend: &Measured<Temperature>) -> Part {
    (
        "coil bend temperature",
        bend.value.si(),
        bend.standard_uncertainty.si(),
    )
}

pub(super) fn glide_input(glide: f64) -> Part {
    ("place in the glide", 0.0, glide.abs() / 12f64.sqrt())
}

pub(super) fn drop_input(tap: &Tap) -> Result<Part, RunError> {
    let name = "pressure drop to the liquid line";
    match tap {
        Tap::LiquidLine => Ok((name, 0.0, 0.0)),
        Tap::Discharge { drop: Some(drop) } => {
            Ok((name, drop.value.si(), drop.standard_uncertainty.si()))
        }
        Tap::Discharge { drop: None } | Tap::NotKnown => Err(RunError::DropNotKnown),
    }
}
