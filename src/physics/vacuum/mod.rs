//! Pumping a line set down: what tubes and hoses let through, what is left of the pump's speed, and how long it takes.
//!
//! Gas flows like a liquid at high pressure (viscous) and molecule by molecule in a deep vacuum (molecular), where a
//! narrow hose lets through a few hundredths of a litre a second whatever the pump could take.

mod path;
mod water;

pub use path::{Element, Path, PumpCurve, PumpDown, PumpError, SpeedAt, Vessel};
pub use water::{Boiling, boiling, freezes_the_rest};

use std::f64::consts::PI;

use crate::fluid::water as steam;
use crate::quantity::{Length, PressureAbs, Quantity, Temperature, VolumeFlow};
use crate::source::SourceId;

/// Where the conductance of a tube comes from.
pub const CONDUCTANCE_SOURCE: SourceId = SourceId::TubeConductance;
/// Where the viscosity of water vapour comes from.
pub const STEAM_SOURCE: SourceId = SourceId::SteamViscosity;

/// Gas constant, J/(mol K).
pub(super) const GAS_CONSTANT: f64 = 8.314_462_618;

/// A thin gas as a tube meets it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThinGas {
    /// Molar mass, kg/mol.
    molar_mass: f64,
    /// Viscosity, Pa s.
    viscosity: f64,
    /// Temperature, K.
    temperature: f64,
}

impl ThinGas {
    /// Dry air, and nitrogen near enough: viscosity by Sutherland's formula, 1.716e-5 Pa s at 0 °C (from memory).
    pub fn air(temperature: Temperature) -> Self {
        let t = temperature.si();
        let (zero, constant) = (273.15, 110.4);
        ThinGas {
            molar_mass: 28.9647e-3,
            viscosity: 1.716e-5 * (t / zero).powf(1.5) * (zero + constant) / (t + constant),
            temperature: t,
        }
    }

    /// Water vapour at low pressure: viscosity of the dilute gas by IAPWS R12-08.
    pub fn water(temperature: Temperature) -> Self {
        const H: [f64; 4] = [1.677_52, 2.204_62, 0.636_656_4, -0.241_605];
        let t = temperature.si() / 647.096;
        let sum: f64 = H
            .iter()
            .enumerate()
            .map(|(i, h)| h / t.powi(i as i32))
            .sum();
        ThinGas {
            molar_mass: 18.015_268e-3,
            viscosity: 1e-4 * t.sqrt() / sum,
            temperature: temperature.si(),
        }
    }

    /// Its viscosity, Pa s.
    pub fn viscosity(self) -> f64 {
        self.viscosity
    }

    /// Mean speed of its molecules, m/s: `sqrt(8 R T/(pi M))`.
    fn mean_speed(self) -> f64 {
        (8.0 * GAS_CONSTANT * self.temperature / (PI * self.molar_mass)).sqrt()
    }
}

/// Conductance of a round tube in molecular flow, whatever the pressure.
///
/// `bore`, `length`: of the tube; `gas`: what flows.
///
/// `C = (pi/12) v d^3/l / (1 + 4 d/(3 l))`, `v = sqrt(8 R T/(pi M))`: for air at 20 °C `12.1 d^3/l` L/s with d, l in cm, then the
/// correction for the ends.
///
/// Range: mean free path above the bore: below about 1 micron of pressure for a 5 mm bore; the law is the low end of
/// [`conductance`]. Departures: the end correction is up to 12 % too large where the tube is about as long as wide.
///
/// Source: [`CONDUCTANCE_SOURCE`].
///
/// ```
/// use lineproof::physics::vacuum::{ThinGas, molecular_conductance};
/// use lineproof::quantity::{Length, Quantity, Temperature, unit};
/// let air = ThinGas::air(Temperature::of(20.0, unit::CELSIUS));
/// let c = molecular_conductance(Length::of(4.8, unit::MILLIMETRE), Length::of(1.5, unit::METRE), air);
/// assert!((c.in_unit(unit::LITRE_PER_SECOND) - 0.0089).abs() < 1e-4);
/// ```
pub fn molecular_conductance(bore: Length, length: Length, gas: ThinGas) -> VolumeFlow {
    let (d, l) = (bore.si(), length.si());
    let long = PI / 12.0 * gas.mean_speed() * d.powi(3) / l;
    VolumeFlow::from_si(long / (1.0 + 4.0 * d / (3.0 * l)))
}

/// Conductance of a round tube in viscous (laminar) flow.
///
/// `mean`: mean of the pressures at its two ends.
///
/// `C = pi d^4 p/(128 eta l)`: for air at 20 °C `135 d^4 p/l` L/s with d, l in cm, p in mbar.
///
/// Range: laminar flow in a tube much longer than wide. Source: [`CONDUCTANCE_SOURCE`].
pub fn viscous_conductance(
    bore: Length,
    length: Length,
    mean: PressureAbs,
    gas: ThinGas,
) -> VolumeFlow {
    let (d, l) = (bore.si(), length.si());
    VolumeFlow::from_si(PI * d.powi(4) * mean.si() / (128.0 * gas.viscosity * l))
}

/// Conductance of a round tube at any pressure: Knudsen's interpolation from molecular to viscous flow.
///
/// `C = C_viscous + C_molecular (1 + c1 p)/(1 + c2 p)`, with `c1 = 2.00 r sqrt(M/(R T))/eta` and `c2` the same with 2.47,
/// `r` half the bore. Handbooks print their quotient as 1.24 or as 237/192; Knudsen's own constants make it 1.235.
///
/// Range: laminar flow; above some 10 mbar a hose may turn turbulent and lets less through, for the few seconds that a
/// pump-down spends there. Source: [`CONDUCTANCE_SOURCE`].
///
/// ```
/// use lineproof::physics::vacuum::{ThinGas, conductance};
/// use lineproof::quantity::{Length, PressureAbs, Quantity, Temperature, unit};
/// let hose = |micron| conductance(
///     Length::of(4.8, unit::MILLIMETRE),
///     Length::of(1.5, unit::METRE),
///     PressureAbs::of(micron, unit::MICRON),
///     ThinGas::air(Temperature::of(20.0, unit::CELSIUS)),
/// );
/// assert!((hose(250.0).in_unit(unit::LITRE_PER_SECOND) - 0.0231).abs() < 2e-4);
/// assert!(hose(1000.0).si() > 2.0 * hose(250.0).si());
/// ```
pub fn conductance(bore: Length, length: Length, mean: PressureAbs, gas: ThinGas) -> VolumeFlow {
    let per_pascal = (gas.molar_mass / (GAS_CONSTANT * gas.temperature)).sqrt();
    let x = 0.5 * bore.si() * mean.si() * per_pascal / gas.viscosity;
    let slip = (1.0 + 2.00 * x) / (1.0 + 2.47 * x);
    VolumeFlow::from_si(
        viscous_conductance(bore, length, mean, gas).si()
            + slip * molecular_conductance(bore, length, gas).si(),
    )
}

/// What is left of a pump's speed behind a conductance: `1/S = 1/S0 + 1/C`.
///
/// ```
/// use lineproof::physics::vacuum::behind;
/// use lineproof::quantity::{Quantity, VolumeFlow, unit};
/// let speed = |v| VolumeFlow::of(v, unit::LITRE_PER_SECOND);
/// let left = behind(speed(500.0), speed(100.0));
/// assert!((left.in_unit(unit::LITRE_PER_SECOND) - 83.33).abs() < 0.01);
/// ```
pub fn behind(pump: VolumeFlow, conductance: VolumeFlow) -> VolumeFlow {
    VolumeFlow::from_si(1.0 / (1.0 / pump.si() + 1.0 / conductance.si()))
}

/// What a sweep with dry nitrogen leaves of the air and vapour that the pump left: `p_low/p_high` for each sweep.
///
/// `low`: down to which it was pumped; `broken_to`: absolute pressure of the nitrogen; `sweeps`: how often.
///
/// Range: gas that mixes; water that is still liquid or ice is not diluted, it keeps giving off vapour.
pub fn left_after_sweeps(low: PressureAbs, broken_to: PressureAbs, sweeps: i32) -> f64 {
    (low.si() / broken_to.si()).powi(sweeps)
}

/// Latent heat at a temperature, J/kg, from the slope of the vapour pressure in a thin gas: `L = (R T^2/M) d ln p/dT`.
pub(super) fn latent_heat(temperature: Temperature) -> Result<f64, steam::WaterError> {
    let t = temperature.si();
    let ln = |t| -> Result<f64, steam::WaterError> {
        Ok(steam::vapour_pressure(Temperature::from_si(t))?.0.si().ln())
    };
    // both points on one side of the triple point
    let (a, b) = if t >= steam::TRIPLE_TEMPERATURE {
        (t, t + 0.2)
    } else {
        (t - 0.2, t)
    };
    let (middle, slope) = (0.5 * (a + b), (ln(b)? - ln(a)?) / (b - a));
    Ok(GAS_CONSTANT * middle * middle / 18.015_268e-3 * slope)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::unit;

    fn air() -> ThinGas {
        ThinGas::air(Temperature::of(20.0, unit::CELSIUS))
    }

    fn mm(v: f64) -> Length {
        Length::of(v, unit::MILLIMETRE)
    }

    fn litres(flow: VolumeFlow) -> f64 {
        flow.in_unit(unit::LITRE_PER_SECOND)
    }

    /// Knudsen, Ann. Phys. 28 (1909) 75, reprint p. 129: the flow is least at `c2 p = 1`, there 0.952 of the molecular one,
    /// of which 0.0475 viscous.
    #[test]
    fn the_flow_is_least_where_knudsen_found_it() {
        let (bore, long) = (mm(10.0), mm(1e5));
        let unit_pressure = (air().molar_mass / (GAS_CONSTANT * air().temperature)).sqrt();
        let least = air().viscosity / (2.47 * 0.5 * bore.si() * unit_pressure);
        let molecular = molecular_conductance(bore, long, air()).si();
        let at = |share: f64| {
            let p = PressureAbs::of(share * least, unit::PA);
            let viscous = viscous_conductance(bore, long, p, air()).si();
            [conductance(bore, long, p, air()).si(), viscous].map(|c| c / molecular)
        };
        let [all, viscous] = at(1.0);
        assert!((all - 0.952).abs() < 0.0005, "{all}");
        assert!((viscous - 0.0475).abs() < 0.0002, "{viscous}");
        assert!(at(0.8)[0] > all && at(1.25)[0] > all);
    }

    #[test]
    fn the_handbook_constants_come_out_for_air_at_20_degc() {
        // 12.1 d^3/l and 135 d^4 p/l, both printed to three digits, long tube of 1 cm
        let long = molecular_conductance(mm(10.0), mm(1e5), air());
        assert!(
            (litres(long) * 1e4 / 12.1 - 1.0).abs() < 0.005,
            "{}",
            litres(long) * 1e4
        );
        let p = PressureAbs::of(100.0, unit::PA);
        let viscous = viscous_conductance(mm(10.0), mm(10.0), p, air());
        assert!(
            (litres(viscous) / 135.0 - 1.0).abs() < 0.005,
            "{}",
            litres(viscous)
        );
        // Knudsen's factor as printed for air: (1 + 192 d p)/(1 + 237 d p), cm and mbar
        let both = conductance(mm(10.0), mm(1e5), p, air());
        let part = (litres(both) - litres(viscous_conductance(mm(10.0), mm(1e5), p, air())))
            / litres(long);
        assert!((part - 193.0 / 238.0).abs() < 0.005, "{part}");
    }

    #[test]
    fn water_vapour_is_lighter_and_thinner_than_air() {
        // IAPWS R12-08 table 4 prints 32.619 uPa s at 873.15 K and 1 kg/m3; the dilute gas lies 0.05 % below
        let hot = ThinGas::water(Temperature::from_si(873.15));
        assert!((hot.viscosity() * 1e6 / 32.619 - 1.0).abs() < 1e-3);
        let at = Temperature::of(20.0, unit::CELSIUS);
        let p = PressureAbs::of(500.0, unit::MICRON);
        let of = |gas| conductance(mm(4.8), mm(1500.0), p, gas).si();
        assert!(of(ThinGas::water(at)) > 1.3 * of(ThinGas::air(at)));
    }

    #[test]
    fn latent_heat_is_that_of_water_and_of_ice() {
        // steam tables: 2453.5 kJ/kg at 20 degC; ice 2834 kJ/kg at 0 degC; vapour taken as an ideal gas
        let at = |c| latent_heat(Temperature::of(c, unit::CELSIUS)).unwrap() / 1e3;
        assert!((at(20.0) / 2453.5 - 1.0).abs() < 0.003, "{}", at(20.0));
        assert!((at(-0.1) / 2834.0 - 1.0).abs() < 0.003, "{}", at(-0.1));
    }

    #[test]
    fn three_sweeps_leave_next_to_nothing() {
        let low = PressureAbs::of(1.0, unit::HPA);
        let high = PressureAbs::of(1000.0, unit::HPA);
        assert!((left_after_sweeps(low, high, 3) / 1e-9 - 1.0).abs() < 1e-9);
    }
}
