//! The measured cycle: the corners of a pressure-enthalpy diagram that the readings give.

mod readings;

use super::Input;
use super::valid::liquid_in_line;
use crate::physics::cycle::Mode;
use crate::quantity::{
    PressureAbs, PressureDiff, Propagated, Quantity, SpecificEnthalpy, TemperatureDiff, both,
    propagate,
};
use readings::{DISCHARGE, Found, LIQUID, Readings, SUCTION};

/// The corners that the readings give, in the direction of flow, and what follows from them.
#[derive(Debug, Clone, PartialEq)]
pub struct Cycle {
    /// Suction, discharge, liquid, after metering: those that could be formed.
    pub corners: Vec<Corner>,
    /// Why the others could not.
    pub left_out: Vec<String>,
    /// Discharge pressure over suction pressure, both absolute.
    pub compression_ratio: Option<Propagated>,
    /// Enthalpy of the suction vapour less that of the liquid, J/kg.
    pub refrigerating_effect: Option<Propagated>,
    /// Work without losses over the work that the discharge temperature shows; heat lost on the way is left out.
    pub isentropic_efficiency: Option<Propagated>,
}

/// Where in the cycle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Place {
    /// Where the compressor draws in.
    Suction,
    /// Where it delivers.
    Discharge,
    /// Before the metering device.
    Liquid,
    /// Behind it.
    AfterMetering,
}

/// What a corner rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Basis {
    /// A pressure and a temperature were read.
    Measured,
    /// The line's temperature is saturation within its error, so it is drawn at saturation.
    SaturatedWithinError,
    /// The line's temperature was not read; drawn at saturation.
    NotRead,
    /// A compressor without losses would arrive here; the discharge line was not read.
    WithoutLosses,
}

/// A corner of the cycle with its standard uncertainties.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corner {
    /// Where.
    pub place: Place,
    /// What it rests on.
    pub basis: Basis,
    /// Pressure.
    pub pressure: PressureAbs,
    /// Its standard uncertainty.
    pub pressure_uncertainty: PressureDiff,
    /// Enthalpy.
    pub enthalpy: SpecificEnthalpy,
    /// Its standard uncertainty.
    pub enthalpy_uncertainty: SpecificEnthalpy,
}

impl Place {
    /// The trade's word.
    pub fn word(self) -> &'static str {
        match self {
            Place::Suction => "suction",
            Place::Discharge => "discharge",
            Place::Liquid => "liquid",
            Place::AfterMetering => "after metering",
        }
    }
}

impl Corner {
    /// Whether it was read: pressure and temperature, at this very place.
    pub fn is_read(&self) -> bool {
        self.place != Place::AfterMetering && self.basis == Basis::Measured
    }
}

impl Cycle {
    /// The cycle in cooling; `None` otherwise, and without a single corner.
    ///
    /// `h_1(p_low, T_suction)`, `h_2(p_high, T_discharge)` or without losses `h_2s(p_high, s_1)`,
    /// `h_3(p_high, T_liquid)`, `h_4 = h_3`; ratio `p_2/p_1`, effect `h_1 - h_3`, efficiency
    /// `(h_2s - h_1)/(h_2 - h_1)`. Pressure drops along coils and lines are left out, except one given for a
    /// discharge tap. In heating the vapour line between the units carries discharge gas, so there is no cycle.
    /// Uncertainties by [`propagate`]; both sides share the barometer and the refrigerant table.
    pub fn of(input: &Input) -> Option<Cycle> {
        if input.machine.mode != Some(Mode::Cooling) {
            return None;
        }
        let cycle = Readings::of(input).cycle();
        (!cycle.corners.is_empty()).then_some(cycle)
    }
}

/// How many standard uncertainties still count as within error: 95 %.
const WITHIN: f64 = 1.96;

impl Readings<'_> {
    fn cycle(mut self) -> Cycle {
        let mut left_out = Vec::new();
        let mut keep = |found: Result<Option<Corner>, String>| {
            found.unwrap_or_else(|why| {
                left_out.push(why);
                None
            })
        };
        let suction = keep(self.suction());
        let discharge = keep(self.discharge(suction.is_some()));
        let liquid = keep(self.liquid());
        let after = keep(self.after_metering(liquid.is_some()));
        let measured = |c: &Option<Corner>| c.is_some_and(|c| c.basis == Basis::Measured);
        let both_ends = suction.is_some() && discharge.is_some();
        let ratio = |x: &[f64]| Ok(self.high(x)?.si() / self.low(x)?.si());
        let effect = |x: &[f64]| Ok(self.suction_state(x)?.0 - self.liquid_enthalpy(x)?);
        let by = |wanted: bool, formula: &dyn Fn(&[f64]) -> Found<f64>| {
            wanted.then(|| propagate(&self.row, formula).ok()).flatten()
        };
        Cycle {
            compression_ratio: by(both_ends, &ratio),
            refrigerating_effect: by(suction.is_some() && liquid.is_some(), &effect),
            isentropic_efficiency: (suction.is_some() && measured(&discharge))
                .then(|| self.efficiency())
                .flatten(),
            corners: [suction, discharge, liquid, after]
                .into_iter()
                .flatten()
                .collect(),
            left_out,
        }
    }

    fn suction(&mut self) -> Result<Option<Corner>, String> {
        if self.input.low.is_none() || self.input.suction_line.is_none() {
            return Err("suction: pressure or bend and suction line were not both read".into());
        }
        let above = |x: &[f64]| Ok(x[SUCTION] - self.dew(self.low(x)?)?);
        let superheat = self.by("suction", above)?;
        if superheat.value < 0.0 {
            if superheat.value < -WITHIN * superheat.standard_uncertainty {
                return Err(format!(
                    "suction: the line is {} colder than dew, more than the instruments explain",
                    both(TemperatureDiff::from_si(-superheat.value))
                ));
            }
            self.row[SUCTION].1 -= superheat.value;
            self.suction = Basis::SaturatedWithinError;
        }
        let enthalpy = self.by("suction", |x| Ok(self.suction_state(x)?.0))?;
        let pressure = self.by("suction", |x| self.true_pressure(self.low(x)?, x))?;
        Ok(Some(corner(
            Place::Suction,
            self.suction,
            &pressure,
            &enthalpy,
        )))
    }

    fn discharge(&self, from_suction: bool) -> Result<Option<Corner>, String> {
        if self.input.high.is_none() {
            return Err("discharge: the high side was not read".into());
        }
        if self.high_is_behind_metering() {
            return Err(
                "discharge: the port at the liquid line lies behind the metering device, so the condensing pressure was not read"
                    .into(),
            );
        }
        let pressure = self.by("discharge", |x| self.true_pressure(self.high(x)?, x))?;
        if self.input.discharge_line.is_some() {
            let above = |x: &[f64]| Ok(x[DISCHARGE] - self.dew(self.high(x)?)?);
            let superheat = self.by("discharge", above)?;
            if superheat.value < 0.0 {
                return Err(format!(
                    "discharge: the line is {} colder than the vapour condenses at",
                    both(TemperatureDiff::from_si(-superheat.value))
                ));
            }
            let enthalpy = self.by("discharge", |x| Ok(self.discharge_state(x)?.0))?;
            let basis = Basis::Measured;
            return Ok(Some(corner(Place::Discharge, basis, &pressure, &enthalpy)));
        }
        if !from_suction {
            return Err("discharge: the discharge line was not read".into());
        }
        let ratio = self.by("discharge", |x| Ok(self.high(x)?.si() / self.low(x)?.si()))?;
        if ratio.value <= 1.0 {
            return Err("discharge: the high side is not above the low side".into());
        }
        let enthalpy = self.by("discharge", |x| self.without_losses(x))?;
        Ok(Some(corner(
            Place::Discharge,
            Basis::WithoutLosses,
            &pressure,
            &enthalpy,
        )))
    }

    fn liquid(&mut self) -> Result<Option<Corner>, String> {
        if !liquid_in_line(self.input) {
            let carries = match self.input.machine.metering {
                Some(_) => "the line behind a metering device outdoors carries liquid and vapour",
                None => "where the metering device sits is not known",
            };
            return Err(format!("liquid and after metering: {carries}"));
        }
        if self.input.high.is_none() {
            return Err("liquid and after metering: the high side was not read".into());
        }
        self.liquid = Basis::NotRead;
        if self.input.liquid_line.is_some() {
            self.liquid = Basis::Measured;
            let below = |x: &[f64]| Ok(self.bubble(self.high_liquid(x)?)? - x[LIQUID]);
            let subcooling = self.by("liquid", below)?;
            if subcooling.value < -WITHIN * subcooling.standard_uncertainty {
                return Err(format!(
                    "liquid and after metering: the line is {} warmer than bubble, more than the instruments explain",
                    both(TemperatureDiff::from_si(-subcooling.value))
                ));
            }
            if subcooling.value < 0.0 {
                self.row[LIQUID].1 += subcooling.value;
                self.liquid = Basis::SaturatedWithinError;
            }
        }
        let enthalpy = self.by("liquid", |x| self.liquid_enthalpy(x))?;
        let pressure = self.by("liquid", |x| self.true_pressure(self.high_liquid(x)?, x))?;
        Ok(Some(corner(
            Place::Liquid,
            self.liquid,
            &pressure,
            &enthalpy,
        )))
    }

    fn after_metering(&self, from_liquid: bool) -> Result<Option<Corner>, String> {
        if !from_liquid {
            // said already with the liquid
            return Ok(None);
        }
        if self.input.low.is_none() {
            return Err("after metering: the low side was not read".into());
        }
        let place = "after metering";
        let enthalpy = self.by(place, |x| self.liquid_enthalpy(x))?;
        let pressure = self.by(place, |x| self.true_pressure(self.low(x)?, x))?;
        Ok(Some(corner(
            Place::AfterMetering,
            self.liquid,
            &pressure,
            &enthalpy,
        )))
    }

    /// None where the discharge shows no work beyond its own uncertainty.
    fn efficiency(&self) -> Option<Propagated> {
        let work = |x: &[f64]| Ok(self.discharge_state(x)?.0 - self.suction_state(x)?.0);
        let shown = propagate(&self.row, |x| -> Found<f64> { work(x) }).ok()?;
        if shown.value <= WITHIN * shown.standard_uncertainty {
            return None;
        }
        let efficiency = |x: &[f64]| -> Found<f64> {
            Ok((self.without_losses(x)? - self.suction_state(x)?.0) / work(x)?)
        };
        propagate(&self.row, efficiency).ok()
    }
}

fn corner(place: Place, basis: Basis, pressure: &Propagated, enthalpy: &Propagated) -> Corner {
    Corner {
        place,
        basis,
        pressure: PressureAbs::from_si(pressure.value),
        pressure_uncertainty: PressureDiff::from_si(pressure.standard_uncertainty),
        enthalpy: SpecificEnthalpy::from_si(enthalpy.value),
        enthalpy_uncertainty: SpecificEnthalpy::from_si(enthalpy.standard_uncertainty),
    }
}

#[cfg(test)]
mod tests;
