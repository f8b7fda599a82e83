//! How much is in a volume, by phase, and what a standing pressure can say about it.

use crate::fluid::refrigerant::{RangeError, StateError, Superheated};
use crate::fluid::{Refrigerant, Saturation};
use crate::quantity::{
    Fraction, Mass, Measured, Origin, PressureAbs, PressureDiff, Quantity, Temperature, Volume,
    propagate,
};
use crate::source::SourceId;

/// Where the masses come from.
pub const SOURCE: SourceId = SourceId::InventoryByPhase;

/// Mass of dew vapour that fills a volume: `m = V rho_v(T)`.
///
/// `volume`; `temperature` of the vapour. Range: the saturation table. Source: [`SOURCE`].
///
/// ```
/// use lineproof::fluid::Refrigerant;
/// use lineproof::physics::{inventory::vapour_mass, tube::Tube};
/// use lineproof::quantity::{Length, Quantity, Temperature, unit};
/// let line = |size| Tube::annealed(size).unwrap().volume(Length::of(25.0, unit::FOOT_LENGTH));
/// let room = Temperature::of(25.0, unit::CELSIUS);
/// let both = ["3/8", "5/8"].map(|size| vapour_mass(Refrigerant::R410A, line(size), room).unwrap().si());
/// assert!((both[0] + both[1] - 0.103).abs() < 5e-4);
/// ```
pub fn vapour_mass(
    refrigerant: Refrigerant,
    volume: Volume,
    temperature: Temperature,
) -> Result<Mass, RangeError> {
    let density = Saturation::of(refrigerant).vapour_density(temperature)?;
    Ok(Mass::from_si(volume.si() * density.si()))
}

/// Mass of bubble liquid that fills a volume: `m = V rho_l(T)`.
///
/// Arguments, range and source: as for [`vapour_mass`].
pub fn liquid_mass(
    refrigerant: Refrigerant,
    volume: Volume,
    temperature: Temperature,
) -> Result<Mass, RangeError> {
    let density = Saturation::of(refrigerant).liquid_density(temperature)?;
    Ok(Mass::from_si(volume.si() * density.si()))
}

/// The share of a charge that can be gone before the standing pressure falls: `1 - V rho_v(T)/m`, at least 0.
///
/// `mass`: the charge; `volume`: of the whole circuit; `temperature`: of all of it. Until then liquid is left, and the
/// pressure is that of saturation. Zero when the charge never made liquid. Range: the saturation table.
///
/// ```
/// use lineproof::fluid::Refrigerant;
/// use lineproof::physics::inventory::unseen_share;
/// use lineproof::quantity::{Mass, Quantity, Temperature, Volume, unit};
/// let volume = Volume::of(6.0, unit::LITRE);
/// let share = unseen_share(Refrigerant::R410A, Mass::from_si(3.0), volume, Temperature::of(25.0, unit::CELSIUS))?;
/// assert!((share.in_unit(unit::PERCENT) - 87.0).abs() < 0.5);
/// # Ok::<(), lineproof::fluid::refrigerant::RangeError>(())
/// ```
pub fn unseen_share(
    refrigerant: Refrigerant,
    mass: Mass,
    volume: Volume,
    temperature: Temperature,
) -> Result<Fraction, RangeError> {
    let vapour = vapour_mass(refrigerant, volume, temperature)?;
    Ok(Fraction::from_si((1.0 - vapour.si() / mass.si()).max(0.0)))
}

/// What stands in a circuit at rest.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// The refrigerant.
    pub refrigerant: Refrigerant,
    /// Volume of all that the gauge is open to.
    pub volume: Measured<Volume>,
    /// The pressure, everything settled.
    pub pressure: Measured<PressureAbs>,
    /// The one temperature of all of it.
    pub temperature: Measured<Temperature>,
    /// What belongs in.
    pub charge: Mass,
}

/// What a standing pressure says about mass.
#[derive(Debug, Clone, PartialEq)]
pub enum StandingMass {
    /// Below saturation there is vapour alone, and the pressure weighs it.
    Vapour(Measured<Mass>),
    /// At saturation liquid is left, and how much cannot be told.
    WouldReadTheSame {
        /// Until this share of the charge is gone.
        until: Fraction,
    },
    /// Above saturation: air, or liquid that is warmer somewhere.
    AboveSaturation {
        /// By how much.
        excess: PressureDiff,
    },
}

/// What a standing pressure says about the mass inside.
///
/// Below saturation by more than two standard uncertainties: `m = V rho(p, T)`, its uncertainty from volume, pressure,
/// temperature and the table's model; within them the pressure would read the same until a share is gone; above them
/// there is air, or a warmer liquid.
///
/// Range: superheated vapour's table. Departures: one temperature for all of the circuit. Source: [`SOURCE`].
///
/// ```
/// use lineproof::fluid::Refrigerant;
/// use lineproof::physics::inventory::{Standing, StandingMass, standing_mass};
/// use lineproof::quantity::*;
/// let origin = || Origin::Assumed("example".into());
/// let standing = Standing {
///     refrigerant: Refrigerant::R410A,
///     volume: Measured { value: Volume::from_si(6e-3), standard_uncertainty: Volume::from_si(6e-4), origin: origin() },
///     pressure: Measured { value: PressureAbs::of(100.0, unit::PSIA), standard_uncertainty: PressureDiff::of(1.0, unit::PSI_DIFF), origin: origin() },
///     temperature: Measured { value: Temperature::of(25.0, unit::CELSIUS), standard_uncertainty: TemperatureDiff::from_si(1.0), origin: origin() },
///     charge: Mass::from_si(3.0),
/// };
/// let StandingMass::Vapour(mass) = standing_mass(&standing)? else { panic!("far below saturation") };
/// assert!(mass.value.si() < 0.15);
/// # Ok::<(), lineproof::fluid::refrigerant::StateError>(())
/// ```
pub fn standing_mass(standing: &Standing) -> Result<StandingMass, StateError> {
    let refrigerant = standing.refrigerant;
    let saturation = Saturation::of(refrigerant);
    let (p, t) = (standing.pressure.value, standing.temperature.value);
    let dew = saturation.dew_pressure(t)?;
    let bubble = saturation.bubble_pressure(t)?;
    let per_kelvin = 1.0 / saturation.slope(crate::fluid::refrigerant::Side::Dew, dew)?;
    let model = saturation.model_uncertainty().si() / 3f64.sqrt();
    let u = [
        standing.pressure.standard_uncertainty.si(),
        standing.temperature.standard_uncertainty.si() * per_kelvin,
        model * dew.si(),
    ];
    let u = u.iter().map(|part| part * part).sum::<f64>().sqrt();
    if p.si() > bubble.si() + 2.0 * u {
        return Ok(StandingMass::AboveSaturation { excess: p - bubble });
    }
    if p.si() > dew.si() - 2.0 * u {
        let until = unseen_share(refrigerant, standing.charge, standing.volume.value, t)?;
        return Ok(StandingMass::WouldReadTheSame { until });
    }
    let inputs = [
        (
            "volume",
            standing.volume.value.si(),
            standing.volume.standard_uncertainty.si(),
        ),
        (
            "pressure",
            p.si(),
            standing.pressure.standard_uncertainty.si(),
        ),
        (
            "temperature",
            t.si(),
            standing.temperature.standard_uncertainty.si(),
        ),
        ("equation of state", 1.0, model),
    ];
    let mass = propagate(&inputs, |x| {
        let (p, t) = (PressureAbs::from_si(x[1]), Temperature::from_si(x[2]));
        let state = Superheated::of(refrigerant).at(p, t)?;
        Ok::<f64, StateError>(x[0] * state.density.si() * x[3])
    })?;
    Ok(StandingMass::Vapour(Measured {
        value: Mass::from_si(mass.value),
        standard_uncertainty: Mass::from_si(mass.standard_uncertainty),
        origin: Origin::Assumed("volume times density at pressure and temperature".into()),
    }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::tube::Tube;
    use crate::quantity::{Length, TemperatureDiff, unit};

    fn line(size: &str) -> Volume {
        Tube::annealed(size)
            .unwrap()
            .volume(Length::of(25.0, unit::FOOT_LENGTH))
    }

    /// 25 ft of 3/8 and 5/8 with R-410A at 25 °C; computed with CoolProp 8.0.0.
    #[test]
    fn a_line_full_of_liquid_holds_far_more() {
        let room = Temperature::of(25.0, unit::CELSIUS);
        let vapour = |size| {
            vapour_mass(Refrigerant::R410A, line(size), room)
                .unwrap()
                .si()
        };
        let liquid = liquid_mass(Refrigerant::R410A, line("3/8"), room)
            .unwrap()
            .si();
        assert!((vapour("3/8") + vapour("5/8") - 0.103).abs() < 5e-4);
        assert!(
            (liquid + vapour("5/8") - 0.474).abs() < 5e-4,
            "{}",
            liquid + vapour("5/8")
        );
    }

    fn standing(psia: f64) -> StandingMass {
        let origin = Origin::Unit;
        standing_mass(&Standing {
            refrigerant: Refrigerant::R410A,
            volume: Measured {
                value: Volume::from_si(6e-3),
                standard_uncertainty: Volume::from_si(3e-4),
                origin: origin.clone(),
            },
            pressure: Measured {
                value: PressureAbs::of(psia, unit::PSIA),
                standard_uncertainty: PressureDiff::of(1.0, unit::PSI_DIFF),
                origin: origin.clone(),
            },
            temperature: Measured {
                value: Temperature::of(25.0, unit::CELSIUS),
                standard_uncertainty: TemperatureDiff::from_si(0.5),
                origin,
            },
            charge: Mass::from_si(3.0),
        })
        .unwrap()
    }

    #[test]
    fn three_kilograms_in_six_litres_read_the_same_until_most_is_gone() {
        let StandingMass::WouldReadTheSame { until } = standing(240.0) else {
            panic!("240 psia is saturation at 25 °C")
        };
        assert!((until.si() - 0.87).abs() < 0.005);
        assert!(matches!(
            standing(260.0),
            StandingMass::AboveSaturation { .. }
        ));
    }

    #[test]
    fn below_saturation_the_pressure_weighs_the_vapour() {
        let StandingMass::Vapour(mass) = standing(120.0) else {
            panic!("120 psia is far below saturation")
        };
        let ideal = 120.0 * 6894.757 * 6e-3 / (8.314_463 / 0.072_585 * 298.15);
        // a real vapour is denser than an ideal one
        assert!(mass.value.si() > ideal && mass.value.si() < 1.2 * ideal);
        // the volume's 5 % is the most of it
        let share = mass.standard_uncertainty.si() / mass.value.si();
        assert!(share > 0.05 && share < 0.055, "{share}");
    }
}
