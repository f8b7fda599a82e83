//! The readings as numbers, and the formulas that take them to pressures and enthalpies.

use super::Basis;
use crate::check::run::reading::{
    BEND_CONTACT, Part, RunError, bend_input, drop_input, glide_input, saturated,
};
use crate::check::run::valid::liquid_in_line;
use crate::check::run::{HighSide, Input, LowSide, Tap};
use crate::fluid::refrigerant::{RangeError, StateError, Subcooled, Superheated};
use crate::fluid::{Refrigerant, Saturation};
use crate::quantity::{
    Measured, PressureAbs, PressureGauge, Propagated, Quantity, SpecificEntropy, Temperature,
    TemperatureDiff, propagate,
};

/// Why a corner cannot be formed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CycleError {
    #[error(transparent)]
    Reading(#[from] RunError),
    #[error(transparent)]
    State(#[from] StateError),
}

impl From<RangeError> for CycleError {
    fn from(error: RangeError) -> Self {
        CycleError::Reading(error.into())
    }
}

// where each reading stands in the row that goes through the formulas
const LOW: usize = 0;
const LOW_BEND: usize = 1;
const HIGH: usize = 2;
const HIGH_BEND: usize = 3;
const DROP: usize = 4;
pub const SUCTION: usize = 5;
pub const DISCHARGE: usize = 6;
pub const LIQUID: usize = 7;
const BAROMETER: usize = 8;
const TABLE: usize = 9;

/// A low or high side as it enters: the reading, what a bend adds, and the glide at the bend.
struct Entered {
    reading: Part,
    bend: Part,
    glide: f64,
}

/// The readings as numbers, with what the formulas need beside them.
pub struct Readings<'a> {
    pub input: &'a Input,
    pub row: [Part; 10],
    /// Glide at a low bend and at a high bend, K.
    glides: [f64; 2],
    pub liquid: Basis,
    pub suction: Basis,
}

pub type Found<T> = Result<T, CycleError>;

impl<'a> Readings<'a> {
    pub fn of(input: &'a Input) -> Self {
        let line = |name, t: &Option<Measured<Temperature>>| {
            t.as_ref().map_or((name, 0.0, 0.0), |t| {
                (name, t.value.si(), t.standard_uncertainty.si())
            })
        };
        let low = entered_low(input);
        let high = entered_high(input);
        let none = ("pressure drop to the liquid line", 0.0, 0.0);
        let drop = match &input.high {
            Some(HighSide::Gauge { tap, .. }) => drop_input(tap).unwrap_or(none),
            _ => none,
        };
        let around = &input.surroundings;
        Readings {
            input,
            row: [
                low.reading,
                low.bend,
                high.reading,
                high.bend,
                drop,
                line("suction line temperature", &input.suction_line),
                line("discharge line temperature", &input.discharge_line),
                line("liquid line temperature", &input.liquid_line),
                (
                    "barometer",
                    around.barometer.pressure().si(),
                    around.barometer_uncertainty.si(),
                ),
                ("refrigerant table", 0.0, around.table_uncertainty.si()),
            ],
            glides: [low.glide, high.glide],
            liquid: Basis::Measured,
            suction: Basis::Measured,
        }
    }

    /// A formula of the readings; what stands in its way, with the corner named.
    pub fn by(
        &self,
        place: &str,
        formula: impl Fn(&[f64]) -> Found<f64>,
    ) -> Result<Propagated, String> {
        propagate(&self.row, formula).map_err(|error| format!("{place}: {error}"))
    }

    pub fn table(&self) -> &'static Saturation {
        Saturation::of(self.input.refrigerant)
    }

    pub fn dew(&self, pressure: PressureAbs) -> Found<f64> {
        Ok(self.table().dew_temperature(pressure)?.si())
    }

    pub fn bubble(&self, pressure: PressureAbs) -> Found<f64> {
        Ok(self.table().bubble_temperature(pressure)?.si())
    }

    /// Suction pressure as the table counts.
    pub fn low(&self, x: &[f64]) -> Found<PressureAbs> {
        if let Some(LowSide::CoilBend(_)) = self.input.low {
            let dew = x[LOW] + x[LOW_BEND] + self.glides[0] / 2.0;
            return Ok(self.table().dew_pressure(Temperature::from_si(dew))?);
        }
        Ok(saturated(x[LOW] + x[BAROMETER], x[TABLE]))
    }

    /// Discharge pressure as the table counts.
    pub fn high(&self, x: &[f64]) -> Found<PressureAbs> {
        if let Some(HighSide::CoilBend(_)) = self.input.high {
            let bubble = x[HIGH] + x[HIGH_BEND] - self.glides[1] / 2.0;
            return Ok(self.table().bubble_pressure(Temperature::from_si(bubble))?);
        }
        Ok(saturated(x[HIGH] + x[BAROMETER], x[TABLE]))
    }

    /// Pressure of the liquid line as the table counts.
    pub fn high_liquid(&self, x: &[f64]) -> Found<PressureAbs> {
        let drop = x[DROP] / (1.0 + x[TABLE]);
        Ok(PressureAbs::from_si(self.high(x)?.si() - drop))
    }

    /// The pressure that stands where the table counts another.
    pub fn true_pressure(&self, table: PressureAbs, x: &[f64]) -> Found<f64> {
        Ok(table.si() * (1.0 + x[TABLE]))
    }

    pub fn suction_state(&self, x: &[f64]) -> Found<(f64, SpecificEntropy)> {
        vapour(self.input.refrigerant, self.low(x)?, x[SUCTION])
    }

    pub fn discharge_state(&self, x: &[f64]) -> Found<(f64, SpecificEntropy)> {
        vapour(self.input.refrigerant, self.high(x)?, x[DISCHARGE])
    }

    pub fn without_losses(&self, x: &[f64]) -> Found<f64> {
        let (_, entropy) = self.suction_state(x)?;
        let vapour = Superheated::of(self.input.refrigerant);
        Ok(vapour.at_entropy(self.high(x)?, entropy)?.enthalpy.si())
    }

    pub fn liquid_enthalpy(&self, x: &[f64]) -> Found<f64> {
        let pressure = self.high_liquid(x)?;
        let bubble = self.bubble(pressure)?;
        if self.liquid == Basis::NotRead {
            let enthalpy = self.table().liquid_enthalpy(Temperature::from_si(bubble))?;
            return Ok(enthalpy.si());
        }
        let subcooling = bubble - x[LIQUID];
        let liquid = Subcooled::of(self.input.refrigerant);
        let state = liquid.at_subcooling(pressure, kelvin(subcooling.max(0.0)))?;
        // straight on beyond bubble, so that the uncertainty of liquid beside it comes out
        Ok(state.enthalpy.si() + state.heat_capacity.si() * (-subcooling).max(0.0))
    }

    /// A liquid-line port reads no condensing pressure when the metering device comes before it.
    pub fn high_is_behind_metering(&self) -> bool {
        let at_liquid = matches!(
            self.input.high,
            Some(HighSide::Gauge {
                tap: Tap::LiquidLine,
                ..
            })
        );
        at_liquid && self.input.machine.metering.is_some() && !liquid_in_line(self.input)
    }
}

fn kelvin(value: f64) -> TemperatureDiff {
    TemperatureDiff::from_si(value)
}

/// Enthalpy in J/kg and entropy of vapour; straight on below dew, so that the uncertainty of vapour beside it comes out.
fn vapour(
    refrigerant: Refrigerant,
    pressure: PressureAbs,
    temperature: f64,
) -> Found<(f64, SpecificEntropy)> {
    let dew = Saturation::of(refrigerant).dew_temperature(pressure)?.si();
    let superheat = temperature - dew;
    let state = Superheated::of(refrigerant).at_superheat(pressure, kelvin(superheat.max(0.0)))?;
    let below = superheat.min(0.0);
    let heat = state.heat_capacity.si();
    Ok((
        state.enthalpy.si() + heat * below,
        SpecificEntropy::from_si(state.entropy.si() + heat * below / dew),
    ))
}

fn entered_low(input: &Input) -> Entered {
    match &input.low {
        Some(LowSide::CoilBend(bend)) => entered_bend(Saturation::of(input.refrigerant), bend),
        Some(LowSide::Gauge(gauge)) => entered_gauge("suction pressure", gauge),
        None => Entered::nothing("suction pressure"),
    }
}

fn entered_high(input: &Input) -> Entered {
    match &input.high {
        Some(HighSide::CoilBend(bend)) => entered_bend(Saturation::of(input.refrigerant), bend),
        Some(HighSide::Gauge { pressure, .. }) => entered_gauge("condensing pressure", pressure),
        None => Entered::nothing("condensing pressure"),
    }
}

impl Entered {
    fn nothing(name: &'static str) -> Self {
        Entered {
            reading: (name, 0.0, 0.0),
            bend: (name, 0.0, 0.0),
            glide: 0.0,
        }
    }
}

fn entered_gauge(name: &'static str, gauge: &Measured<PressureGauge>) -> Entered {
    let (value, u) = (gauge.value.si(), gauge.standard_uncertainty.si());
    Entered {
        reading: (name, value, u),
        bend: (BEND_CONTACT.0, 0.0, 0.0),
        glide: 0.0,
    }
}

/// A bend stands somewhere in the glide, most likely in its middle.
fn entered_bend(table: &Saturation, bend: &Measured<Temperature>) -> Entered {
    let pressure = table.dew_pressure(bend.value);
    // without a pressure there the formulas say what is wrong with the bend
    let glide = pressure
        .and_then(|p| table.glide(p))
        .map_or(0.0, |g| g.si());
    let (name, _, contact) = BEND_CONTACT;
    Entered {
        reading: bend_input(bend),
        bend: (name, 0.0, contact.hypot(glide_input(glide).2)),
        glide,
    }
}
