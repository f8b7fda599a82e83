//! How the contents of a volume leave through a hole: mass lost against area times time.

use crate::fluid::refrigerant::{Phase, RangeError, Superheated};
use crate::fluid::{Refrigerant, Saturation};
use crate::physics::flow::{Before, FlowError, late_flash, outflow};
use crate::quantity::{PressureAbs, Quantity, Temperature};

/// A hiss has died away at this many times the pressure around; the program's own choice.
const SILENCE: f64 = 1.2;

/// Nodes of each part of a curve; doubling them moves no mass by more than 1 %.
const NODES: usize = 24;

/// What fills a volume, in SI.
#[derive(Debug, Clone, Copy)]
pub(super) struct Contents {
    pub refrigerant: Refrigerant,
    pub volume: f64,
    pub mass: f64,
    pub kelvin: f64,
}

impl Contents {
    /// Whether there is more than vapour; what rounding leaves of it is none.
    pub fn has_liquid(&self) -> Result<bool, RangeError> {
        let vapour = self.volume * density(self, Phase::Vapour)?;
        Ok(self.mass > vapour * (1.0 + 1e-9))
    }
}

/// What goes through the hole while liquid is left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Draws {
    Vapour,
    /// Liquid that flashes in equilibrium.
    Liquid,
    /// Liquid that flashes behind the hole, the fastest there is.
    LateLiquid,
}

/// How much heat the walls give.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Walls {
    /// As much as keeps the temperature.
    Warm,
    /// None.
    Insulating,
}

/// Mass lost in kg against area times time in m2 s, from the start to silence.
#[derive(Debug, Clone)]
pub(super) struct Curve {
    points: Vec<(f64, f64)>,
}

impl Curve {
    /// How contents leave into the pressure around.
    ///
    /// Mass by mass: `d(A t) = dm/G`. Liquid and vapour together stay in equilibrium; insulated, `dU = h dm` with the
    /// enthalpy of what leaves cools them. What vapour is left at the end leaves at one temperature.
    pub fn of(
        contents: &Contents,
        around: PressureAbs,
        draws: Draws,
        walls: Walls,
    ) -> Result<Curve, FlowError> {
        let mut curve = Curve {
            points: vec![(0.0, 0.0)],
        };
        let silence = PressureAbs::from_si(SILENCE * around.si());
        let mut at = *contents;
        let boiling = Saturation::of(at.refrigerant).bubble_temperature(silence)?;
        if at.kelvin <= boiling.si() {
            return Ok(curve);
        }
        let full = at.mass / density(&at, Phase::Liquid)?;
        at.volume = at.volume.max(full);
        match walls {
            Walls::Warm => curve.boil_away(&mut at, around, draws)?,
            Walls::Insulating => curve.cool(&mut at, around, draws, boiling)?,
        }
        if at.kelvin > boiling.si() + 0.5 {
            curve.empty(&at, around, silence)?;
        }
        Ok(curve)
    }

    /// Mass lost after area times time.
    pub fn lost(&self, area_time: f64) -> f64 {
        let next = self.points.partition_point(|point| point.0 <= area_time);
        if next == self.points.len() {
            return self.total();
        }
        let (a, b) = (self.points[next - 1], self.points[next]);
        a.1 + (b.1 - a.1) * (area_time - a.0) / (b.0 - a.0)
    }

    /// Mass lost when it has gone silent.
    pub fn total(&self) -> f64 {
        self.points[self.points.len() - 1].1
    }

    /// Area times time until it has gone silent.
    pub fn to_silence(&self) -> f64 {
        self.points[self.points.len() - 1].0
    }

    fn add(&mut self, lost: f64, flux: f64) {
        let last = self.points[self.points.len() - 1];
        if lost > 0.0 {
            self.points.push((last.0 + lost / flux, last.1 + lost));
        }
    }

    /// Liquid leaves or boils away at one temperature.
    fn boil_away(
        &mut self,
        at: &mut Contents,
        around: PressureAbs,
        draws: Draws,
    ) -> Result<(), FlowError> {
        let vapour = at.volume * density(at, Phase::Vapour)?;
        if at.mass > vapour {
            self.add(at.mass - vapour, flux(at, around, draws)?);
            at.mass = vapour;
        }
        Ok(())
    }

    /// Liquid and vapour cool while some of it leaves, until the liquid is gone or boils at atmospheric pressure.
    fn cool(
        &mut self,
        at: &mut Contents,
        around: PressureAbs,
        draws: Draws,
        boiling: Temperature,
    ) -> Result<(), FlowError> {
        let step = (at.kelvin - boiling.si()) / NODES as f64;
        let mut before = flux(at, around, draws)?;
        for _ in 0..NODES {
            if at.mass <= at.volume * density(at, Phase::Vapour)? {
                return Ok(());
            }
            let energy = Energy::at(at)?;
            let leaving = match draws {
                Draws::Vapour => energy.vapour,
                Draws::Liquid | Draws::LateLiquid => energy.liquid,
            };
            let cooler = Energy::at(&Contents {
                kelvin: at.kelvin - step,
                ..*at
            })?;
            // U2(m2) = U1 - h (m1 - m2), linear in m2
            let mass =
                (energy.of(at.mass, at.volume) - leaving * at.mass - cooler.fixed(at.volume))
                    / (cooler.per_mass() - leaving);
            let mass = mass.clamp(0.0, at.mass);
            let lost = at.mass - mass;
            at.kelvin -= step;
            at.mass = mass;
            let after = flux(at, around, draws)?;
            self.add(lost, 0.5 * (before + after));
            before = after;
        }
        Ok(())
    }

    /// Vapour leaves at one temperature until it is silent.
    fn empty(
        &mut self,
        at: &Contents,
        around: PressureAbs,
        silence: PressureAbs,
    ) -> Result<(), FlowError> {
        let gas = Superheated::of(at.refrigerant);
        let kelvin = Temperature::from_si(at.kelvin);
        let saturation = Saturation::of(at.refrigerant).dew_pressure(kelvin)?;
        let step = (silence.si() / saturation.si()).ln() / NODES as f64;
        let state = |node: usize| {
            let pressure = saturation.si() * (step * node as f64).exp();
            // at dew the superheat may come out a hair below zero
            let pressure = PressureAbs::from_si(pressure * (1.0 - 1e-9));
            let density = gas.at(pressure, kelvin)?.density.si();
            let before = Before::Superheated(pressure, kelvin);
            Ok::<(f64, f64), FlowError>((
                density,
                outflow(at.refrigerant, before, around)?.flux.si(),
            ))
        };
        let mut mass = at.mass;
        let mut before = state(0)?;
        for node in 1..=NODES {
            let after = state(node)?;
            // vapour thinner than saturation begins further down
            let left = (at.volume * after.0).min(mass);
            self.add(mass - left, 0.5 * (before.1 + after.1));
            mass = left;
            before = after;
        }
        Ok(())
    }
}

fn density(at: &Contents, phase: Phase) -> Result<f64, RangeError> {
    let saturation = Saturation::of(at.refrigerant);
    let kelvin = Temperature::from_si(at.kelvin);
    match phase {
        Phase::Vapour => saturation.vapour_density(kelvin),
        Phase::Liquid => saturation.liquid_density(kelvin),
    }
    .map(Quantity::si)
}

fn flux(at: &Contents, around: PressureAbs, draws: Draws) -> Result<f64, FlowError> {
    let kelvin = Temperature::from_si(at.kelvin);
    let equilibrium = |phase| {
        outflow(at.refrigerant, Before::Saturated(phase, kelvin), around).map(|o| o.flux.si())
    };
    match draws {
        Draws::Vapour => equilibrium(Phase::Vapour),
        Draws::Liquid => equilibrium(Phase::Liquid),
        Draws::LateLiquid => {
            let late = late_flash(at.refrigerant, kelvin, around)?.si();
            Ok(late.max(equilibrium(Phase::Liquid)?))
        }
    }
}

/// Energy of liquid and vapour in a volume: `U = m_l h_l + m_v h_v - p V`, with the masses from the volume.
#[derive(Debug, Clone, Copy)]
struct Energy {
    liquid: f64,
    vapour: f64,
    liquid_volume: f64,
    vapour_volume: f64,
    pressure: f64,
}

impl Energy {
    fn at(at: &Contents) -> Result<Energy, RangeError> {
        let saturation = Saturation::of(at.refrigerant);
        let kelvin = Temperature::from_si(at.kelvin);
        Ok(Energy {
            liquid: saturation.liquid_enthalpy(kelvin)?.si(),
            vapour: saturation.vapour_enthalpy(kelvin)?.si(),
            liquid_volume: 1.0 / saturation.liquid_density(kelvin)?.si(),
            vapour_volume: 1.0 / saturation.vapour_density(kelvin)?.si(),
            pressure: saturation.bubble_pressure(kelvin)?.si(),
        })
    }

    /// Vapour enthalpy above liquid's, per volume that vapour gains on liquid.
    fn lift(&self) -> f64 {
        (self.vapour - self.liquid) / (self.vapour_volume - self.liquid_volume)
    }

    /// The part of U that a volume fixes.
    fn fixed(&self, volume: f64) -> f64 {
        volume * (self.lift() - self.pressure)
    }

    /// The part of U that each further kg adds.
    fn per_mass(&self) -> f64 {
        self.liquid - self.liquid_volume * self.lift()
    }

    fn of(&self, mass: f64, volume: f64) -> f64 {
        self.fixed(volume) + mass * self.per_mass()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::unit;

    fn atmosphere() -> PressureAbs {
        PressureAbs::of(1.0, unit::ATM)
    }

    fn litre(mass: f64) -> Contents {
        Contents {
            refrigerant: Refrigerant::R410A,
            volume: 1e-3,
            mass,
            kelvin: 293.15,
        }
    }

    #[test]
    fn vapour_leaves_as_by_hand() {
        // ideal gas, choked: A t = (V/a) ln(p0/p1), a = G RT/p
        let contents = litre(1e-3 * density(&litre(0.0), Phase::Vapour).unwrap());
        let curve = Curve::of(&contents, atmosphere(), Draws::Vapour, Walls::Warm).unwrap();
        let kept = contents.mass - curve.total();
        // 1.2 atm of R-410A at 20 °C by the ideal gas
        let ideal = 1.2 * 101_325.0 * 1e-3 * 0.072_585 / (8.314_463 * 293.15);
        assert!((kept / ideal - 1.0).abs() < 0.04, "{kept} {ideal}");
        let speed = 5_561.0 / (contents.mass / 1e-3);
        let by_hand = 1e-3 / speed * (14.5f64 / 1.2).ln();
        assert!(
            (curve.to_silence() / by_hand - 1.0).abs() < 0.25,
            "{} {by_hand}",
            curve.to_silence()
        );
    }

    #[test]
    fn insulated_liquid_leaves_cold_liquid_behind() {
        let contents = litre(0.8);
        let warm = Curve::of(&contents, atmosphere(), Draws::Vapour, Walls::Warm).unwrap();
        let cold = Curve::of(&contents, atmosphere(), Draws::Vapour, Walls::Insulating).unwrap();
        // the heat of the liquid from 20 to -48 °C boils about 40 % of it
        let share = cold.total() / contents.mass;
        assert!((0.33..0.45).contains(&share), "{share}");
        assert!(warm.total() > 0.99 * contents.mass);
        // a cooling one is never ahead
        for area_time in [1e-6, 1e-5, 5e-5, 2e-4] {
            assert!(cold.lost(area_time) <= warm.lost(area_time) + 1e-12);
        }
    }

    #[test]
    fn liquid_leaves_fastest() {
        let lost = |draws| {
            let curve = Curve::of(&litre(0.8), atmosphere(), draws, Walls::Warm).unwrap();
            curve.lost(1e-5)
        };
        let [vapour, liquid, late] = [Draws::Vapour, Draws::Liquid, Draws::LateLiquid].map(lost);
        assert!(vapour < liquid && liquid < late && late < 0.8);
    }
}
