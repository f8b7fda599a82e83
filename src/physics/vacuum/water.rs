//! Water in the line: it boils at its vapour pressure and the vacuum waits there until it is gone.

use super::path::{PumpDown, Vessel};
use super::{GAS_CONSTANT, ThinGas, latent_heat};
use crate::fluid::water::{self, Phase, TRIPLE_TEMPERATURE, WaterError};
use crate::quantity::{Duration, Mass, MassRate, Power, PressureAbs, Quantity, Temperature};

/// Molar mass of water, kg/mol.
const MOLAR_MASS: f64 = 18.015_268e-3;
/// Heat capacity of liquid water, J/(kg K), and heat of melting, J/kg; from memory, known to 0.2 %.
const LIQUID_HEAT: f64 = 4186.0;
const MELTING: f64 = 333_600.0;

/// Water that boils, or ice that turns to vapour, as fast as the pump takes its vapour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Boiling {
    /// Temperature of the water.
    pub temperature: Temperature,
    /// Where the vacuum lingers: its vapour pressure.
    pub plateau: PressureAbs,
    /// Liquid or ice.
    pub phase: Phase,
    /// How fast it goes: `M p S(p)/(R T)`.
    pub rate: MassRate,
    /// Heat that has to reach it to keep that up.
    pub heat: Power,
}

impl Boiling {
    /// Time for a mass: `t = m R T/(M p S)`.
    pub fn time(self, mass: Mass) -> Duration {
        Duration::from_si(mass.si() / self.rate.si())
    }
}

/// How fast water of one temperature boils away through a way to the pump; none where the pump does not reach its
/// vapour pressure.
///
/// `vessel`: the pump and the way to it; `temperature`: of the water, held by the heat of its surroundings.
///
/// Departures: less heat than [`Boiling::heat`] lets the water cool, boil at a lower pressure and slower, at last as ice.
pub fn boiling(vessel: &Vessel, temperature: Temperature) -> Result<Option<Boiling>, WaterError> {
    let (plateau, phase) = water::vapour_pressure(temperature)?;
    let curve = PumpDown::of(vessel, ThinGas::water(temperature));
    let Some(at) = curve.at(plateau) else {
        return Ok(None);
    };
    let rate = MOLAR_MASS * plateau.si() * at.speed.si() / (GAS_CONSTANT * temperature.si());
    Ok(Some(Boiling {
        temperature,
        plateau,
        phase,
        rate: MassRate::from_si(rate),
        heat: Power::from_si(rate * latent_heat(temperature)?),
    }))
}

/// The share of liquid water that boils away before the rest is ice, when no heat reaches it.
///
/// `x L = (1 - x) (c (T - T0) + melting)`, with the latent heat at the mean temperature.
pub fn freezes_the_rest(temperature: Temperature) -> Result<Option<f64>, WaterError> {
    let t = temperature.si();
    if t <= TRIPLE_TEMPERATURE {
        return Ok(None);
    }
    let latent = latent_heat(Temperature::from_si(0.5 * (t + TRIPLE_TEMPERATURE)))?;
    let cold = LIQUID_HEAT * (t - TRIPLE_TEMPERATURE) + MELTING;
    Ok(Some(cold / (latent + cold)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::vacuum::{Path, PumpCurve};
    use crate::quantity::{Volume, VolumeFlow, unit};

    #[test]
    fn a_gram_of_water_is_58_litres_of_vapour() {
        // m R T/(M p) at the plateau: 1 g at 20 degC is 57.8 L of vapour (steam tables: 57.76 m3/kg)
        let vessel = Vessel {
            volume: Volume::of(2.0, unit::LITRE),
            pump: PumpCurve {
                speed: VolumeFlow::of(1.0, unit::LITRE_PER_SECOND),
                ultimate: PressureAbs::from_si(0.0),
            },
            path: Path {
                elements: Vec::new(),
                side_by_side: 1,
            },
            temperature: Temperature::of(20.0, unit::CELSIUS),
        };
        let boiling = boiling(&vessel, vessel.temperature).unwrap().unwrap();
        let time = boiling.time(Mass::of(1.0, unit::GRAM));
        assert!((time.si() / 57.76 - 1.0).abs() < 0.003, "{}", time.si());
        // 1 g each 57.8 s at 2453.5 J/g
        assert!((boiling.heat.si() / 42.4 - 1.0).abs() < 0.01);
    }

    #[test]
    fn a_seventh_boils_away_and_the_rest_is_ice() {
        let share = freezes_the_rest(Temperature::of(20.0, unit::CELSIUS)).unwrap();
        assert!((share.unwrap() - 0.144).abs() < 0.002, "{share:?}");
        assert_eq!(freezes_the_rest(Temperature::from_si(270.0)).unwrap(), None);
    }
}
