//! Superheated vapour and subcooled liquid.

use std::sync::OnceLock;

use super::Refrigerant;
use super::grid::Bicubic;
use super::saturation::{RangeError, Saturation, Side};
use super::table::{self, Tables};
use crate::quantity::{
    Density, HeatCapacity, PressureAbs, Quantity, SpecificEnthalpy, SpecificEntropy, Temperature,
    TemperatureDiff, both,
};

/// All vapour or all liquid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Phase {
    /// At or above dew.
    Vapour,
    /// At or below bubble.
    Liquid,
}

impl Phase {
    /// Where the phase begins.
    pub fn side(self) -> Side {
        match self {
            Phase::Vapour => Side::Dew,
            Phase::Liquid => Side::Bubble,
        }
    }

    /// "vapour" or "liquid".
    pub fn word(self) -> &'static str {
        match self {
            Phase::Vapour => "vapour",
            Phase::Liquid => "liquid",
        }
    }

    /// "superheated vapour" or "subcooled liquid".
    pub fn words(self) -> &'static str {
        match self {
            Phase::Vapour => "superheated vapour",
            Phase::Liquid => "subcooled liquid",
        }
    }
}

/// A refrigerant at one pressure and temperature, all vapour or all liquid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// Vapour or liquid.
    pub phase: Phase,
    /// Pressure.
    pub pressure: PressureAbs,
    /// Temperature.
    pub temperature: Temperature,
    /// How far above dew, or below bubble, at the same pressure.
    pub from_saturation: TemperatureDiff,
    /// Density.
    pub density: Density,
    /// Enthalpy; bubble liquid at 0 °C has 200 kJ/kg.
    pub enthalpy: SpecificEnthalpy,
    /// Entropy; bubble liquid at 0 °C has 1 kJ/(kg K).
    pub entropy: SpecificEntropy,
    /// Heat capacity at constant pressure.
    pub heat_capacity: HeatCapacity,
}

/// A state that the tables do not give.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum StateError {
    /// The pressure has no saturation in the table.
    #[error(transparent)]
    Range(#[from] RangeError),
    /// Liquid and vapour stand together there.
    #[error(
        "{refrigerant} at {} and {} is between bubble ({}) and dew ({}): pressure and temperature do not say how much of it is vapour; give one of the two alone for both saturated states",
        both(*pressure), both(*temperature), both(*bubble), both(*dew)
    )]
    Between {
        /// The refrigerant.
        refrigerant: Refrigerant,
        /// What was given.
        pressure: PressureAbs,
        /// What was given.
        temperature: Temperature,
        /// Bubble temperature at that pressure.
        bubble: Temperature,
        /// Dew temperature at that pressure.
        dew: Temperature,
    },
    /// Not of the phase that was asked for.
    #[error(
        "{refrigerant} at {} and {} is no {}: {side} is at {}; check both readings",
        both(*pressure), both(*temperature), phase.words(), both(*saturation), side = phase.side()
    )]
    OtherPhase {
        /// The refrigerant.
        refrigerant: Refrigerant,
        /// What was asked for.
        phase: Phase,
        /// What was given.
        pressure: PressureAbs,
        /// What was given.
        temperature: Temperature,
        /// Dew temperature for vapour, bubble temperature for liquid.
        saturation: Temperature,
    },
    /// Further from saturation than the table.
    #[error(
        "{refrigerant} at {} and {}, {} from {side}: the table of {} runs to {} from {side} there; check the unit of the temperature and whether the pressure is gauge or absolute",
        both(*pressure), both(*temperature), both(*from_saturation), phase.words(), both(*furthest), side = phase.side()
    )]
    TooFar {
        /// The refrigerant.
        refrigerant: Refrigerant,
        /// Vapour or liquid.
        phase: Phase,
        /// What was given.
        pressure: PressureAbs,
        /// What was given.
        temperature: Temperature,
        /// Superheat or subcooling.
        from_saturation: TemperatureDiff,
        /// The largest at that pressure.
        furthest: TemperatureDiff,
    },
    /// Nearer to the critical point than the table.
    #[error(
        "{refrigerant} at {}: {side} is at {}, and the table of {} runs to {side} at {}; nearer to the critical point there are no dependable properties here",
        both(*pressure), both(*saturation), phase.words(), both(*last), side = phase.side()
    )]
    NearCritical {
        /// The refrigerant.
        refrigerant: Refrigerant,
        /// Vapour or liquid.
        phase: Phase,
        /// What was given.
        pressure: PressureAbs,
        /// Saturation temperature at that pressure.
        saturation: Temperature,
        /// That of the last row.
        last: Temperature,
    },
    /// No superheated vapour of the table has this entropy at this pressure.
    #[error(
        "{refrigerant} at {}: no superheated vapour of the table has {}; there it has {} to {}",
        both(*pressure), both(*entropy), both(*low), both(*high)
    )]
    Entropy {
        /// The refrigerant.
        refrigerant: Refrigerant,
        /// What was given.
        pressure: PressureAbs,
        /// What was given.
        entropy: SpecificEntropy,
        /// That of dew vapour.
        low: SpecificEntropy,
        /// That of the hottest vapour of the table.
        high: SpecificEntropy,
    },
}

impl Refrigerant {
    /// The state at a pressure and a temperature, vapour or liquid.
    ///
    /// Range, source and departures: those of [`Superheated`] and [`Subcooled`].
    ///
    /// ```
    /// use lineproof::fluid::{Refrigerant, refrigerant::Phase};
    /// use lineproof::quantity::{PressureAbs, Quantity, Temperature, unit};
    /// let pressure = PressureAbs::of(370.0, unit::PSIA);
    /// let state = Refrigerant::R410A.state(pressure, Temperature::of(95.0, unit::FAHRENHEIT))?;
    /// assert_eq!(state.phase, Phase::Liquid);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn state(
        self,
        pressure: PressureAbs,
        temperature: Temperature,
    ) -> Result<State, StateError> {
        let saturation = Saturation::of(self);
        let dew = saturation.dew_temperature(pressure)?;
        if temperature >= dew {
            return Superheated::of(self).at(pressure, temperature);
        }
        let bubble = saturation.bubble_temperature(pressure)?;
        if temperature <= bubble {
            return Subcooled::of(self).at(pressure, temperature);
        }
        Err(StateError::Between {
            refrigerant: self,
            pressure,
            temperature,
            bubble,
            dew,
        })
    }
}

/// Superheated vapour of one refrigerant, read between the nodes of a table.
///
/// Nodes stand every 2.5 K of dew temperature and at superheats from 0 to 120 K. Between them a bicubic in
/// `-(T_c - T_dew)^(1/2)` and `(superheat + 0.2 K)^(1/4)` gives p/(rho T), enthalpy, entropy and heat capacity.
///
/// Range: dew pressures of the saturation table up to 1.5 K below the critical point; superheat 0 to 120 K.
///
/// Departures from the equation of state at 2,000 random states of each refrigerant: `docs/VALIDATION.md`.
///
/// Source: [`Saturation::source`]; tables made by `tables/generate`.
///
/// ```
/// use lineproof::fluid::{Refrigerant, refrigerant::Superheated};
/// use lineproof::quantity::{PressureAbs, Quantity, TemperatureDiff, unit};
/// let suction = PressureAbs::of(132.7, unit::PSIA);
/// let gas = Superheated::of(Refrigerant::R410A).at_superheat(suction, TemperatureDiff::from_si(7.0))?;
/// assert!((gas.density.si() - 33.43).abs() < 0.02);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug)]
pub struct Superheated(Field);

/// Subcooled liquid of one refrigerant, read between the nodes of a table.
///
/// Nodes stand every 2.5 K of bubble temperature and at subcoolings from 0 to 80 K. Between them a bicubic in
/// `-(T_c - T_bubble)^(1/2)` and `(subcooling + 0.2 K)^(1/4)` gives p/(rho T), enthalpy, entropy and heat capacity.
///
/// Range: bubble pressures of the saturation table up to 1.5 K below the critical point; subcooling 0 to 80 K (R-744: 65 K), but no liquid colder than the saturation
/// table's first row, and near that row less, where a piece of the table has no fourth corner.
///
/// Departures, source: as for [`Superheated`].
///
/// ```
/// use lineproof::fluid::{Refrigerant, refrigerant::Subcooled};
/// use lineproof::quantity::{PressureAbs, Quantity, TemperatureDiff, unit};
/// let liquid_line = PressureAbs::of(369.7, unit::PSIA);
/// let liquid = Subcooled::of(Refrigerant::R410A).at_subcooling(liquid_line, TemperatureDiff::from_si(5.0))?;
/// assert!((liquid.density.si() - 997.9).abs() < 0.2);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug)]
pub struct Subcooled(Field);

impl Superheated {
    /// The table of a refrigerant; read once, then kept.
    pub fn of(refrigerant: Refrigerant) -> &'static Superheated {
        static READ: [OnceLock<Superheated>; Refrigerant::ALL.len()] =
            [const { OnceLock::new() }; Refrigerant::ALL.len()];
        READ[refrigerant as usize]
            .get_or_init(|| Superheated(Field::read(refrigerant, Phase::Vapour)))
    }

    /// The state at a pressure and a temperature.
    pub fn at(&self, pressure: PressureAbs, temperature: Temperature) -> Result<State, StateError> {
        self.0.at(pressure, temperature)
    }

    /// The state at a pressure and a superheat.
    pub fn at_superheat(
        &self,
        pressure: PressureAbs,
        superheat: TemperatureDiff,
    ) -> Result<State, StateError> {
        self.0.away(pressure, superheat)
    }

    /// The state at a pressure and an entropy: where an ideal compressor would arrive.
    ///
    /// Found by false position between dew and the end of the table.
    pub fn at_entropy(
        &self,
        pressure: PressureAbs,
        entropy: SpecificEntropy,
    ) -> Result<State, StateError> {
        let furthest = TemperatureDiff::from_si(self.0.furthest_offset());
        let ends = [TemperatureDiff::from_si(0.0), furthest];
        let [dew, hottest] = ends.map(|superheat| self.at_superheat(pressure, superheat));
        let (dew, hottest) = (dew?, hottest?);
        if !(dew.entropy..=hottest.entropy).contains(&entropy) {
            return Err(StateError::Entropy {
                refrigerant: self.0.saturation.refrigerant(),
                pressure,
                entropy,
                low: dew.entropy,
                high: hottest.entropy,
            });
        }
        // regula falsi, halving the weight of an end that stays (Illinois): entropy rises with superheat
        let miss = |state: &State| (state.entropy - entropy).si();
        let (mut low, mut high) = ((0.0, miss(&dew)), (furthest.si(), miss(&hottest)));
        let mut state = dew;
        while high.0 - low.0 > 1e-9 && miss(&state) != 0.0 {
            let at = low.0 - low.1 * (high.0 - low.0) / (high.1 - low.1);
            let before = state.from_saturation.si();
            state = self.at_superheat(pressure, TemperatureDiff::from_si(at))?;
            let found = miss(&state);
            if found > 0.0 {
                high = (at, found);
                low.1 *= 0.5;
            } else {
                low = (at, found);
                high.1 *= 0.5;
            }
            if (at - before).abs() < 1e-9 {
                break;
            }
        }
        Ok(state)
    }
}

impl Subcooled {
    /// The table of a refrigerant; read once, then kept.
    pub fn of(refrigerant: Refrigerant) -> &'static Subcooled {
        static READ: [OnceLock<Subcooled>; Refrigerant::ALL.len()] =
            [const { OnceLock::new() }; Refrigerant::ALL.len()];
        READ[refrigerant as usize]
            .get_or_init(|| Subcooled(Field::read(refrigerant, Phase::Liquid)))
    }

    /// The state at a pressure and a temperature.
    pub fn at(&self, pressure: PressureAbs, temperature: Temperature) -> Result<State, StateError> {
        self.0.at(pressure, temperature)
    }

    /// The state at a pressure and a subcooling.
    pub fn at_subcooling(
        &self,
        pressure: PressureAbs,
        subcooling: TemperatureDiff,
    ) -> Result<State, StateError> {
        self.0.away(pressure, subcooling)
    }
}

/// The rows' coordinate at a saturation temperature in K: it straightens what bends near the critical point, and a
/// square root is quicker than the cube root that saturation itself needs.
fn nearness(critical: f64, kelvin: f64) -> f64 {
    -(critical - kelvin).sqrt()
}

/// The columns' coordinate at a distance from saturation in K: beside saturation properties bend most.
fn stretched(kelvin: f64) -> f64 {
    (kelvin + 0.2).sqrt().sqrt()
}

/// A rounding error's width at saturation and at the table's end, K.
const END_SLACK: f64 = 1e-9;

/// One phase, against saturation temperature and the distance from it.
#[derive(Debug)]
struct Field {
    phase: Phase,
    saturation: &'static Saturation,
    /// Critical temperature of the equation, K.
    critical: f64,
    /// Saturation temperature of the first row, K.
    first: f64,
    /// Saturation temperature of the last row, K.
    last: f64,
    /// K between rows; only the last may be nearer.
    step: f64,
    /// p/(rho T), enthalpy, entropy, heat capacity.
    grid: Bicubic<4>,
    /// Distances from saturation at which columns stand, K.
    offsets: Vec<f64>,
    /// For each half K from saturation, the column at or below it.
    guide: Vec<u8>,
}

impl Field {
    fn read(refrigerant: Refrigerant, phase: Phase) -> Field {
        let tables = Tables::of(refrigerant);
        let (text, away) = match phase {
            Phase::Vapour => (tables.vapour, 1.0),
            Phase::Liquid => (tables.liquid, -1.0),
        };
        let saturation = Saturation::of(refrigerant);
        let critical = table::number(text, "critical point");
        let [kelvin, offset, density, enthalpy, entropy, heat] = table::columns::<6>(text);
        let mut rows: Vec<f64> = kelvin.clone();
        rows.dedup();
        let mut offsets: Vec<f64> = offset.clone();
        offsets.sort_by(f64::total_cmp);
        offsets.dedup();
        let mut values: Vec<Vec<[f64; 4]>> = vec![Vec::new(); rows.len()];
        let mut row = 0;
        for i in 0..kelvin.len() {
            if kelvin[i] != rows[row] {
                row += 1;
            }
            let pressure = saturation.pressure(phase.side(), Temperature::from_si(kelvin[i]));
            let pressure = pressure.expect("both tables have the same ends").si();
            let at = kelvin[i] + away * offset[i];
            values[row].push([
                pressure / (density[i] * at),
                enthalpy[i],
                entropy[i],
                heat[i],
            ]);
        }
        let guide = (0..=(2.0 * offsets[offsets.len() - 1]) as usize)
            .map(|half| offsets.partition_point(|o| 2.0 * o <= half as f64) - 1)
            .map(|column| column.min(offsets.len() - 2) as u8)
            .collect();
        let columns = offsets.iter().map(|o| stretched(*o)).collect();
        let nearness = rows.iter().map(|t| nearness(critical, *t)).collect();
        Field {
            phase,
            saturation,
            critical,
            first: rows[0],
            last: rows[rows.len() - 1],
            step: rows[1] - rows[0],
            grid: Bicubic::through(nearness, columns, &values),
            offsets,
            guide,
        }
    }

    fn at(&self, pressure: PressureAbs, temperature: Temperature) -> Result<State, StateError> {
        let saturation = self.saturation.temperature(self.phase.side(), pressure)?;
        let offset = match self.phase {
            Phase::Vapour => temperature - saturation,
            Phase::Liquid => saturation - temperature,
        };
        self.state(pressure, saturation, temperature, offset)
    }

    fn away(&self, pressure: PressureAbs, offset: TemperatureDiff) -> Result<State, StateError> {
        let saturation = self.saturation.temperature(self.phase.side(), pressure)?;
        let temperature = match self.phase {
            Phase::Vapour => saturation + offset,
            Phase::Liquid => saturation + TemperatureDiff::from_si(-offset.si()),
        };
        self.state(pressure, saturation, temperature, offset)
    }

    fn state(
        &self,
        pressure: PressureAbs,
        saturation: Temperature,
        temperature: Temperature,
        offset: TemperatureDiff,
    ) -> Result<State, StateError> {
        let kelvin = offset.si();
        if kelvin.is_nan() || kelvin < -END_SLACK {
            return Err(StateError::OtherPhase {
                refrigerant: self.saturation.refrigerant(),
                phase: self.phase,
                pressure,
                temperature,
                saturation,
            });
        }
        if saturation.si() > self.last + END_SLACK {
            return Err(StateError::NearCritical {
                refrigerant: self.saturation.refrigerant(),
                phase: self.phase,
                pressure,
                saturation,
                last: Temperature::from_si(self.last),
            });
        }
        let row = ((saturation.si() - self.first) / self.step) as usize;
        let row = row.min(self.grid.rows() - 2);
        let column = self.column(kelvin);
        if kelvin > self.furthest_offset() + END_SLACK || !self.grid.holds(row, column) {
            return Err(StateError::TooFar {
                refrigerant: self.saturation.refrigerant(),
                phase: self.phase,
                pressure,
                temperature,
                from_saturation: offset,
                furthest: TemperatureDiff::from_si(self.reach(row)),
            });
        }
        let near = nearness(self.critical, saturation.si());
        let [ratio, enthalpy, entropy, heat] =
            self.grid.value(row, column, near, stretched(kelvin));
        Ok(State {
            phase: self.phase,
            pressure,
            temperature,
            from_saturation: offset,
            density: Density::from_si(pressure.si() / (ratio * temperature.si())),
            enthalpy: SpecificEnthalpy::from_si(enthalpy),
            entropy: SpecificEntropy::from_si(entropy),
            heat_capacity: HeatCapacity::from_si(heat),
        })
    }

    /// The column at or below a distance from saturation.
    fn column(&self, kelvin: f64) -> usize {
        // columns stand at half K, so the half K decides; a cast takes what rounding left below zero as zero
        usize::from(self.guide[((2.0 * kelvin) as usize).min(self.guide.len() - 1)])
    }

    fn furthest_offset(&self) -> f64 {
        self.offsets[self.offsets.len() - 1]
    }

    /// The largest distance from saturation that the pieces of a row reach.
    fn reach(&self, row: usize) -> f64 {
        let last = (0..self.offsets.len()).rfind(|&column| self.grid.holds(row, column));
        last.map_or(0.0, |column| self.offsets[column + 1])
    }
}

#[cfg(test)]
mod tests;
