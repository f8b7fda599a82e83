//! Saturation: what a refrigerant's pressure says about its temperature, and back.

use std::fmt;
use std::sync::OnceLock;

use super::Refrigerant;
use super::curve::{MonotoneCubic, PressureCurve, logarithms};
use super::table::{self, Tables};
use crate::quantity::{
    Density, Fraction, PressureAbs, Quantity, SpecificEnthalpy, SpecificEntropy, Temperature,
    TemperatureDiff, both, unit,
};
use crate::source::SourceId;

/// The saturation table of one refrigerant, read between its rows.
///
/// Rows stand every 1 K from -60 °C (or the triple point) to 1.5 K below the critical point (R-744: to 0.1 K below).
/// Between them a monotone cubic in ln p against 1/T; densities, enthalpies and entropies against
/// `-(T_c - T)^(1/3)`, which straightens them near the critical point. Back from pressure to temperature the same
/// cubic is solved, so that a round trip returns.
///
/// Range: the table's own ([`Saturation::temperature_range`]); beyond it every function gives a [`RangeError`].
///
/// Source: [`Saturation::source`]; tables made by `tables/generate`.
///
/// ```
/// use lineproof::fluid::{Refrigerant, Saturation};
/// use lineproof::quantity::{Barometer, PressureGauge, Quantity, unit};
/// let r410a = Saturation::of(Refrigerant::R410A);
/// let pressure = PressureGauge::of(118.0, unit::PSIG).to_abs(Barometer::standard())?;
/// let dew = r410a.dew_temperature(pressure)?;
/// assert!((dew.in_unit(unit::FAHRENHEIT) - 39.84).abs() < 0.01);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug)]
pub struct Saturation {
    refrigerant: Refrigerant,
    source: SourceId,
    model_uncertainty: Fraction,
    /// Critical temperature of the equation, K.
    critical: f64,
    /// Temperature of the first row, K.
    first: f64,
    /// Temperature of the last row, K.
    last: f64,
    rows: usize,
    bubble: PressureCurve,
    dew: PressureCurve,
    /// kg/m3 against nearness to the critical point.
    liquid_density: MonotoneCubic,
    /// ln(kg/m3) likewise.
    vapour_density: MonotoneCubic,
    /// J/kg and J/(kg K) likewise: liquid enthalpy, vapour enthalpy, liquid entropy, vapour entropy.
    energies: [MonotoneCubic; 4],
}

/// Which end of condensing or boiling.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Side {
    /// Liquid with its first vapour.
    Bubble,
    /// Vapour with its first liquid.
    Dew,
}

impl Side {
    /// The trade's word.
    pub fn word(self) -> &'static str {
        match self {
            Side::Bubble => "bubble",
            Side::Dew => "dew",
        }
    }
}

impl fmt::Display for Side {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// A pressure or temperature outside a refrigerant's table.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum RangeError {
    /// Pressure outside the table.
    #[error(
        "{refrigerant} {side} pressure {}: the table runs from {} to {}; check the unit, whether the reading is gauge or absolute, and the refrigerant",
        both(*pressure), both(*low), both(*high)
    )]
    Pressure {
        /// The refrigerant.
        refrigerant: Refrigerant,
        /// Bubble or dew.
        side: Side,
        /// What was given.
        pressure: PressureAbs,
        /// Lowest pressure of the table.
        low: PressureAbs,
        /// Highest pressure of the table.
        high: PressureAbs,
    },
    /// Temperature outside the table.
    #[error(
        "{refrigerant} saturation at {}: the table runs from {} to {}; check the unit and the refrigerant (above the critical point there is no saturation)",
        both(*temperature), both(*low), both(*high)
    )]
    Temperature {
        /// The refrigerant.
        refrigerant: Refrigerant,
        /// What was given.
        temperature: Temperature,
        /// Lowest temperature of the table.
        low: Temperature,
        /// Highest temperature of the table.
        high: Temperature,
    },
}

/// A rounding error's width at the ends of the range, K.
const END_SLACK: f64 = 1e-9;

impl Saturation {
    /// Where [`Saturation::model_uncertainty`] comes from.
    pub const UNCERTAINTY_SOURCE: SourceId = SourceId::SaturationUncertainty;

    /// The table of a refrigerant; read once, then kept.
    pub fn of(refrigerant: Refrigerant) -> &'static Saturation {
        static READ: [OnceLock<Saturation>; Refrigerant::ALL.len()] =
            [const { OnceLock::new() }; Refrigerant::ALL.len()];
        READ[refrigerant as usize].get_or_init(|| Saturation::read(refrigerant))
    }

    /// The refrigerant.
    pub fn refrigerant(&self) -> Refrigerant {
        self.refrigerant
    }

    /// The equation of state behind the table.
    pub fn source(&self) -> SourceId {
        self.source
    }

    /// Lowest and highest temperature of the table.
    pub fn temperature_range(&self) -> (Temperature, Temperature) {
        (
            Temperature::from_si(self.first),
            Temperature::from_si(self.last),
        )
    }

    /// Lowest and highest pressure of the table.
    pub fn pressure_range(&self, side: Side) -> (PressureAbs, PressureAbs) {
        let (low, high) = self.curve(side).ends();
        (PressureAbs::from_si(low), PressureAbs::from_si(high))
    }

    /// How far the equation of state may be off in pressure, as a share of it.
    ///
    /// A limit, so the standard uncertainty is this over sqrt(3). Source: [`Saturation::UNCERTAINTY_SOURCE`].
    pub fn model_uncertainty(&self) -> Fraction {
        self.model_uncertainty
    }

    /// Temperature at which liquid begins to boil at a pressure.
    pub fn bubble_temperature(&self, pressure: PressureAbs) -> Result<Temperature, RangeError> {
        self.temperature(Side::Bubble, pressure)
    }

    /// Temperature at which vapour begins to condense at a pressure.
    pub fn dew_temperature(&self, pressure: PressureAbs) -> Result<Temperature, RangeError> {
        self.temperature(Side::Dew, pressure)
    }

    /// Bubble or dew temperature at a pressure.
    pub fn temperature(
        &self,
        side: Side,
        pressure: PressureAbs,
    ) -> Result<Temperature, RangeError> {
        self.solve(side, pressure)
            .map(|(x, _)| Temperature::from_si(-1.0 / x))
    }

    /// How much bubble or dew temperature moves with pressure: dT/dp in K/Pa.
    ///
    /// A share `u` of pressure moves it by `u p dT/dp`.
    pub fn slope(&self, side: Side, pressure: PressureAbs) -> Result<f64, RangeError> {
        let (x, dx_dlnp) = self.solve(side, pressure)?;
        // T = -1/x
        Ok(dx_dlnp / (x * x * pressure.si()))
    }

    /// Dew less bubble temperature at a pressure.
    pub fn glide(&self, pressure: PressureAbs) -> Result<TemperatureDiff, RangeError> {
        Ok(self.dew_temperature(pressure)? - self.bubble_temperature(pressure)?)
    }

    /// Pressure at which liquid begins to boil at a temperature.
    pub fn bubble_pressure(&self, temperature: Temperature) -> Result<PressureAbs, RangeError> {
        self.pressure(Side::Bubble, temperature)
    }

    /// Pressure at which vapour begins to condense at a temperature.
    pub fn dew_pressure(&self, temperature: Temperature) -> Result<PressureAbs, RangeError> {
        self.pressure(Side::Dew, temperature)
    }

    /// Bubble or dew pressure at a temperature.
    pub fn pressure(
        &self,
        side: Side,
        temperature: Temperature,
    ) -> Result<PressureAbs, RangeError> {
        let row = self.row(temperature)?;
        let pressure = self.curve(side).pressure(row, -1.0 / temperature.si());
        Ok(PressureAbs::from_si(pressure))
    }

    /// Density of bubble liquid at a temperature.
    pub fn liquid_density(&self, temperature: Temperature) -> Result<Density, RangeError> {
        self.against_nearness(&self.liquid_density, temperature)
            .map(Density::from_si)
    }

    /// Density of dew vapour at a temperature.
    pub fn vapour_density(&self, temperature: Temperature) -> Result<Density, RangeError> {
        self.against_nearness(&self.vapour_density, temperature)
            .map(|ln_rho| Density::from_si(ln_rho.exp()))
    }

    /// Enthalpy of bubble liquid at a temperature; 200 kJ/kg at 0 °C.
    pub fn liquid_enthalpy(
        &self,
        temperature: Temperature,
    ) -> Result<SpecificEnthalpy, RangeError> {
        self.against_nearness(&self.energies[0], temperature)
            .map(SpecificEnthalpy::from_si)
    }

    /// Enthalpy of dew vapour at a temperature.
    pub fn vapour_enthalpy(
        &self,
        temperature: Temperature,
    ) -> Result<SpecificEnthalpy, RangeError> {
        self.against_nearness(&self.energies[1], temperature)
            .map(SpecificEnthalpy::from_si)
    }

    /// Entropy of bubble liquid at a temperature; 1 kJ/(kg K) at 0 °C.
    pub fn liquid_entropy(&self, temperature: Temperature) -> Result<SpecificEntropy, RangeError> {
        self.against_nearness(&self.energies[2], temperature)
            .map(SpecificEntropy::from_si)
    }

    /// Entropy of dew vapour at a temperature.
    pub fn vapour_entropy(&self, temperature: Temperature) -> Result<SpecificEntropy, RangeError> {
        self.against_nearness(&self.energies[3], temperature)
            .map(SpecificEntropy::from_si)
    }

    fn curve(&self, side: Side) -> &PressureCurve {
        match side {
            Side::Bubble => &self.bubble,
            Side::Dew => &self.dew,
        }
    }

    fn against_nearness(
        &self,
        curve: &MonotoneCubic,
        temperature: Temperature,
    ) -> Result<f64, RangeError> {
        let row = self.row(temperature)?;
        Ok(curve.value(row, nearness(self.critical, temperature.si())))
    }

    /// The row at or below a temperature; rows are 1 K apart, only the last may be nearer.
    fn row(&self, temperature: Temperature) -> Result<usize, RangeError> {
        self.check_temperature(temperature)?;
        // a conversion to usize takes what rounding left below zero as zero
        Ok(((temperature.si() - self.first) as usize).min(self.rows - 2))
    }

    /// An error outside the table.
    pub(super) fn check_temperature(&self, temperature: Temperature) -> Result<(), RangeError> {
        let (low, high) = self.temperature_range();
        if (self.first - END_SLACK..=self.last + END_SLACK).contains(&temperature.si()) {
            return Ok(());
        }
        Err(RangeError::Temperature {
            refrigerant: self.refrigerant,
            temperature,
            low,
            high,
        })
    }

    /// `x = -1/T` at a pressure, and dx/d(ln p).
    fn solve(&self, side: Side, pressure: PressureAbs) -> Result<(f64, f64), RangeError> {
        self.curve(side).solve(pressure.si()).ok_or_else(|| {
            let (low, high) = self.pressure_range(side);
            RangeError::Pressure {
                refrigerant: self.refrigerant,
                side,
                pressure,
                low,
                high,
            }
        })
    }

    fn read(refrigerant: Refrigerant) -> Saturation {
        let tables = Tables::of(refrigerant);
        let text = tables.saturation;
        let columns = table::columns::<9>(text);
        let column = |index: usize| &columns[index][..];
        let kelvin = column(0);
        let x: Vec<f64> = kelvin.iter().map(|t| -1.0 / t).collect();
        let critical = table::number(text, "critical point");
        let nearness: Vec<f64> = kelvin.iter().map(|t| nearness(critical, *t)).collect();
        let by_nearness = |index| MonotoneCubic::through(&nearness, column(index));
        let uncertainty = table::number(text, "model uncertainty in pressure");
        Saturation {
            refrigerant,
            source: tables.equation,
            model_uncertainty: Fraction::of(uncertainty, unit::PERCENT),
            critical,
            first: kelvin[0],
            last: kelvin[kelvin.len() - 1],
            rows: kelvin.len(),
            bubble: PressureCurve::through(&x, column(1)),
            dew: PressureCurve::through(&x, column(2)),
            liquid_density: by_nearness(3),
            vapour_density: MonotoneCubic::through(&nearness, &logarithms(column(4))),
            energies: [5, 6, 7, 8].map(by_nearness),
        }
    }
}

/// `-(T_c - T)^(1/3)`: against it, what bends without limit against T at the critical point goes nearly straight.
pub(super) fn nearness(critical: f64, kelvin: f64) -> f64 {
    -(critical - kelvin).cbrt()
}

#[cfg(test)]
mod tests;
