//! Saturation: what a refrigerant's pressure says about its temperature, and back.

use std::fmt;
use std::sync::OnceLock;

use super::Refrigerant;
use super::curve::{MonotoneCubic, PressureCurve, logarithms};
use crate::quantity::{
    Density, Fraction, PressureAbs, Quantity, SpecificEnthalpy, SpecificEntropy, Temperature,
    TemperatureDiff, UnitSystem, unit,
};
use crate::source::SourceId;

/// The saturation table of one refrigerant, read between its rows.
///
/// Rows stand every 1 K from -60 °C (or the triple point) to 1.5 K below the critical point. Between them a monotone
/// cubic in ln p against 1/T; in ln rho of the vapour against 1/T; the other properties against T. Back from pressure
/// to temperature the same cubic is solved, so that a round trip returns. Half-way between rows this differs from the
/// equation of state by at most 0.00006 K, 0.011 % of density and 15 J/kg, all in the last degrees before the end.
///
/// Range: the table's own ([`Saturation::temperature_range`]); beyond it every function gives a [`RangeError`].
///
/// Source: [`Saturation::source`]; tables made by `tables/generate`.
///
/// ```
/// use lineproof::fluid::{Refrigerant, Saturation};
/// use lineproof::quantity::{Barometer, PressureGauge, Quantity, unit};
/// let r410a = Saturation::of(Refrigerant::R410A)?;
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
    /// Temperature of the first row, K.
    first: f64,
    rows: usize,
    bubble: PressureCurve,
    dew: PressureCurve,
    /// kg/m3 against T.
    liquid_density: MonotoneCubic,
    /// ln(kg/m3) against -1/T.
    vapour_density: MonotoneCubic,
    /// J/kg and J/(kg K) against T: liquid enthalpy, vapour enthalpy, liquid entropy, vapour entropy.
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

/// A refrigerant that is known by name only.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error(
    "there is no saturation table for {refrigerant} yet: tables exist for {}; use the chart of the unit or of the refrigerant for this one",
    names_with_table()
)]
pub struct NoTable {
    /// The refrigerant.
    pub refrigerant: Refrigerant,
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

/// The value in both unit systems: the error does not know which one was typed.
fn both<Q: Quantity>(value: Q) -> String {
    let (us, si) = (value.show(UnitSystem::Us), value.show(UnitSystem::Si));
    if us.unit == si.unit {
        us.to_string()
    } else {
        format!("{us} ({si})")
    }
}

fn names_with_table() -> String {
    let shipped = Refrigerant::ALL.iter().filter(|r| table_of(**r).is_some());
    shipped.map(|r| r.name()).collect::<Vec<_>>().join(", ")
}

fn table_of(refrigerant: Refrigerant) -> Option<(&'static str, SourceId)> {
    macro_rules! file {
        ($name:literal) => {
            include_str!(concat!("../../../tables/saturation/", $name))
        };
    }
    let table = match refrigerant {
        Refrigerant::R22 => (file!("R-22.csv"), SourceId::EosR22),
        Refrigerant::R32 => (file!("R-32.csv"), SourceId::EosR32),
        Refrigerant::R134a => (file!("R-134a.csv"), SourceId::EosR134a),
        Refrigerant::R290 => (file!("R-290.csv"), SourceId::EosR290),
        Refrigerant::R410A => (file!("R-410A.csv"), SourceId::EosPseudoPure),
        Refrigerant::R454B => (file!("R-454B.csv"), SourceId::EosMixture),
        _ => return None,
    };
    Some(table)
}

/// A rounding error's width at the ends of the range, K.
const END_SLACK: f64 = 1e-9;

impl Saturation {
    /// Where [`Saturation::model_uncertainty`] comes from.
    pub const UNCERTAINTY_SOURCE: SourceId = SourceId::SaturationUncertainty;

    /// The table of a refrigerant; read once, then kept.
    pub fn of(refrigerant: Refrigerant) -> Result<&'static Saturation, NoTable> {
        static READ: [OnceLock<Saturation>; Refrigerant::ALL.len()] =
            [const { OnceLock::new() }; Refrigerant::ALL.len()];
        let read = &READ[refrigerant as usize];
        if let Some(saturation) = read.get() {
            return Ok(saturation);
        }
        let (text, source) = table_of(refrigerant).ok_or(NoTable { refrigerant })?;
        Ok(read.get_or_init(|| Saturation::read(refrigerant, text, source)))
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
        let last = self.first + (self.rows - 1) as f64;
        (Temperature::from_si(self.first), Temperature::from_si(last))
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
        self.against_temperature(&self.liquid_density, temperature)
            .map(Density::from_si)
    }

    /// Density of dew vapour at a temperature.
    pub fn vapour_density(&self, temperature: Temperature) -> Result<Density, RangeError> {
        let row = self.row(temperature)?;
        let ln_rho = self.vapour_density.value(row, -1.0 / temperature.si());
        Ok(Density::from_si(ln_rho.exp()))
    }

    /// Enthalpy of bubble liquid at a temperature; 200 kJ/kg at 0 °C.
    pub fn liquid_enthalpy(
        &self,
        temperature: Temperature,
    ) -> Result<SpecificEnthalpy, RangeError> {
        self.against_temperature(&self.energies[0], temperature)
            .map(SpecificEnthalpy::from_si)
    }

    /// Enthalpy of dew vapour at a temperature.
    pub fn vapour_enthalpy(
        &self,
        temperature: Temperature,
    ) -> Result<SpecificEnthalpy, RangeError> {
        self.against_temperature(&self.energies[1], temperature)
            .map(SpecificEnthalpy::from_si)
    }

    /// Entropy of bubble liquid at a temperature; 1 kJ/(kg K) at 0 °C.
    pub fn liquid_entropy(&self, temperature: Temperature) -> Result<SpecificEntropy, RangeError> {
        self.against_temperature(&self.energies[2], temperature)
            .map(SpecificEntropy::from_si)
    }

    /// Entropy of dew vapour at a temperature.
    pub fn vapour_entropy(&self, temperature: Temperature) -> Result<SpecificEntropy, RangeError> {
        self.against_temperature(&self.energies[3], temperature)
            .map(SpecificEntropy::from_si)
    }

    fn curve(&self, side: Side) -> &PressureCurve {
        match side {
            Side::Bubble => &self.bubble,
            Side::Dew => &self.dew,
        }
    }

    fn against_temperature(
        &self,
        curve: &MonotoneCubic,
        temperature: Temperature,
    ) -> Result<f64, RangeError> {
        Ok(curve.value(self.row(temperature)?, temperature.si()))
    }

    /// The row at or below a temperature; rows are 1 K apart.
    fn row(&self, temperature: Temperature) -> Result<usize, RangeError> {
        let above_first = temperature.si() - self.first;
        let last = (self.rows - 1) as f64;
        if !(-END_SLACK..=last + END_SLACK).contains(&above_first) {
            let (low, high) = self.temperature_range();
            return Err(RangeError::Temperature {
                refrigerant: self.refrigerant,
                temperature,
                low,
                high,
            });
        }
        Ok((above_first as usize).min(self.rows - 2))
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

    fn read(refrigerant: Refrigerant, text: &str, source: SourceId) -> Saturation {
        let columns = columns(text);
        let column = |index: usize| &columns[index][..];
        let kelvin = column(0);
        let x: Vec<f64> = kelvin.iter().map(|t| -1.0 / t).collect();
        let against_temperature = |index| MonotoneCubic::through(kelvin, column(index));
        Saturation {
            refrigerant,
            source,
            model_uncertainty: Fraction::of(
                percent_of(text, "model uncertainty in pressure"),
                unit::PERCENT,
            ),
            first: kelvin[0],
            rows: kelvin.len(),
            bubble: PressureCurve::through(&x, column(1)),
            dew: PressureCurve::through(&x, column(2)),
            liquid_density: against_temperature(3),
            vapour_density: MonotoneCubic::through(&x, &logarithms(column(4))),
            energies: [5, 6, 7, 8].map(against_temperature),
        }
    }
}

/// The nine columns of a table. Tables are compiled in, and a test reads each of them.
fn columns(text: &str) -> [Vec<f64>; 9] {
    let mut columns = [const { Vec::new() }; 9];
    let rows = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    for (number, row) in rows.enumerate() {
        let cells = row.split(',').map(|cell| cell.parse::<f64>());
        for (column, cell) in columns.iter_mut().zip(cells) {
            column.push(cell.unwrap_or_else(|e| panic!("row {number} of a saturation table: {e}")));
        }
    }
    columns
}

/// The number before "%" on the comment line with this title.
fn percent_of(text: &str, title: &str) -> f64 {
    text.lines()
        .filter_map(|line| {
            line.strip_prefix("# ")?
                .strip_prefix(title)?
                .strip_prefix(": ")
        })
        .find_map(|value| value.strip_suffix(" %")?.parse().ok())
        .unwrap_or_else(|| panic!("a saturation table has no line \"{title}\""))
}

#[cfg(test)]
mod tests;
