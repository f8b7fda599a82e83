//! Dry gases of a standing pressure test: nitrogen, and argon and helium in its place.
//!
//! Reference equations of state (residual Helmholtz energy); the terms stand in `tables/gas`, copied by the generator.
//!
//! Range here: 233 to 343 K, up to 60 bar absolute (the equations themselves reach much further).
//!
//! Uncertainty in density here: nitrogen 0.02 % (from memory), argon 0.02 % (its paper); for helium none was read.
//!
//! | gas | source |
//! |---|---|
//! | nitrogen | Span, Lemmon, Jacobsen, Wagner & Yokozeki, J. Phys. Chem. Ref. Data 29 (2000) 1361 |
//! | argon | Tegeler, Span & Wagner, J. Phys. Chem. Ref. Data 28 (1999) 779 |
//! | helium | Ortiz Vega, Hall, Holste, Harvey & Lemmon, NISTIR 8474 (2023) |

mod equation;
mod viscosity;

use std::fmt;
use std::sync::OnceLock;

use self::equation::{Equation, State};
use crate::quantity::{Density, PressureAbs, Quantity, Temperature, both};
use crate::source::SourceId;

/// Lowest and highest temperature, K.
pub const TEMPERATURES: (f64, f64) = (233.0, 343.0);
/// Highest absolute pressure, Pa.
pub const HIGHEST_PRESSURE: f64 = 60e5;

/// A gas without moisture that a line set may be pressed with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DryGas {
    /// Nitrogen, the gas of the trade.
    Nitrogen,
    /// Argon, as welders have it.
    Argon,
    /// Helium, as leak detectors use it.
    Helium,
}

/// A state outside the equations' use here.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum DryGasError {
    /// Temperature outside the range.
    #[error(
        "{gas} at {}: computed here from -40 to 157 °F (-40 to 69 °C); check the thermometer and its unit",
        both(*temperature)
    )]
    Temperature {
        /// The gas.
        gas: DryGas,
        /// What was given.
        temperature: Temperature,
    },
    /// Pressure outside the range.
    #[error(
        "{gas} at {}: computed here from vacuum to 870 psia (60 bar abs); check the gauge and its unit",
        both(*pressure)
    )]
    Pressure {
        /// The gas.
        gas: DryGas,
        /// What was given, or what it would become.
        pressure: PressureAbs,
    },
    /// Not a density.
    #[error("{gas} at a density of {} kg/m3: a density is not below zero; check where it was computed", density.si())]
    Density {
        /// The gas.
        gas: DryGas,
        /// What was given.
        density: Density,
    },
}

impl fmt::Display for DryGas {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

impl DryGas {
    /// Every gas.
    pub const ALL: [DryGas; 3] = [DryGas::Nitrogen, DryGas::Argon, DryGas::Helium];

    /// "nitrogen".
    pub fn name(self) -> &'static str {
        match self {
            DryGas::Nitrogen => "nitrogen",
            DryGas::Argon => "argon",
            DryGas::Helium => "helium",
        }
    }

    /// The equation used.
    pub fn source(self) -> SourceId {
        match self {
            DryGas::Nitrogen => SourceId::NitrogenSpan,
            DryGas::Argon => SourceId::ArgonTegeler,
            DryGas::Helium => SourceId::HeliumOrtizVega,
        }
    }

    /// Density at a pressure and temperature.
    pub fn density(
        self,
        pressure: PressureAbs,
        temperature: Temperature,
    ) -> Result<Density, DryGasError> {
        let state = self.state(pressure, temperature)?;
        Ok(Density::from_si(state.rho * self.equation().molar_mass))
    }

    /// Compressibility factor `Z = p / (rho R T)` at a pressure and temperature.
    pub fn compressibility(
        self,
        pressure: PressureAbs,
        temperature: Temperature,
    ) -> Result<f64, DryGasError> {
        self.state(pressure, temperature)
            .map(|state| state.compressibility())
    }

    /// `kappa = (T/p)(dp/dT)_rho`: how much faster than absolute temperature the pressure of a sealed gas rises.
    ///
    /// 1 for an ideal gas.
    ///
    /// ```
    /// use lineproof::fluid::DryGas;
    /// use lineproof::quantity::{Barometer, PressureGauge, Quantity, Temperature, unit};
    /// let pressure = PressureGauge::of(500.0, unit::PSIG).to_abs(Barometer::standard())?;
    /// let kappa = DryGas::Nitrogen.kappa(pressure, Temperature::of(20.0, unit::CELSIUS))?;
    /// assert!((kappa - 1.0857).abs() < 1e-4);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn kappa(
        self,
        pressure: PressureAbs,
        temperature: Temperature,
    ) -> Result<f64, DryGasError> {
        self.state(pressure, temperature).map(|state| state.kappa())
    }

    /// `integral of kappa d ln T` along one density, from one temperature to another: ln of the ratio of the pressures.
    ///
    /// Along a density `kappa = d ln p / d ln T`, so the integral is `ln(p2 / p1)` exactly, without a sum.
    ///
    /// ```
    /// use lineproof::fluid::DryGas;
    /// use lineproof::quantity::{Density, Quantity, Temperature, unit};
    /// let [cool, warm] = [10.0, 20.0].map(|t| Temperature::of(t, unit::CELSIUS));
    /// let rise = DryGas::Nitrogen.kappa_integral(Density::from_si(40.0), cool, warm)?;
    /// let ideal = (warm.si() / cool.si()).ln();
    /// assert!((rise / ideal - 1.0857).abs() < 1e-4);
    /// # Ok::<(), lineproof::fluid::DryGasError>(())
    /// ```
    pub fn kappa_integral(
        self,
        density: Density,
        from: Temperature,
        to: Temperature,
    ) -> Result<f64, DryGasError> {
        let (before, after) = (
            self.at_density(density, from)?,
            self.at_density(density, to)?,
        );
        // p2/p1 as (Z T)2/(Z T)1, which holds in a vacuum too
        let expansion = after.compressibility() / before.compressibility();
        Ok((to.si() / from.si() * expansion).ln())
    }

    /// Pressure at a density and temperature.
    pub fn pressure(
        self,
        density: Density,
        temperature: Temperature,
    ) -> Result<PressureAbs, DryGasError> {
        let state = self.at_density(density, temperature)?;
        Ok(PressureAbs::from_si(state.pressure()))
    }

    /// Pressure of a sealed, rigid volume at another temperature.
    ///
    /// `pressure` at `before` fixes the density, and the same density gives the pressure at `after`.
    ///
    /// ```
    /// use lineproof::fluid::DryGas;
    /// use lineproof::quantity::{Barometer, PressureGauge, Quantity, Temperature, unit};
    /// let sea = Barometer::standard();
    /// let evening = PressureGauge::of(150.0, unit::PSIG).to_abs(sea)?;
    /// let [warm, cool] = [95.0, 75.0].map(|t| Temperature::of(t, unit::FAHRENHEIT));
    /// let morning = DryGas::Nitrogen.sealed_pressure(evening, warm, cool)?.to_gauge(sea);
    /// assert!((morning.in_unit(unit::PSIG) - 143.92).abs() < 0.01);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn sealed_pressure(
        self,
        pressure: PressureAbs,
        before: Temperature,
        after: Temperature,
    ) -> Result<PressureAbs, DryGasError> {
        self.pressure(self.density(pressure, before)?, after)
    }

    fn state(
        self,
        pressure: PressureAbs,
        temperature: Temperature,
    ) -> Result<State<'static>, DryGasError> {
        self.check_temperature(temperature)?;
        self.check_pressure(pressure)?;
        Ok(self.equation().at_pressure(pressure.si(), temperature.si()))
    }

    fn at_density(
        self,
        density: Density,
        temperature: Temperature,
    ) -> Result<State<'static>, DryGasError> {
        self.check_temperature(temperature)?;
        if density.si().is_nan() || density.si() < 0.0 {
            return Err(DryGasError::Density { gas: self, density });
        }
        let equation = self.equation();
        let state = equation.state(density.si() / equation.molar_mass, temperature.si());
        self.check_pressure(PressureAbs::from_si(state.pressure()))?;
        Ok(state)
    }

    fn check_temperature(self, temperature: Temperature) -> Result<(), DryGasError> {
        if (TEMPERATURES.0..=TEMPERATURES.1).contains(&temperature.si()) {
            Ok(())
        } else {
            Err(DryGasError::Temperature {
                gas: self,
                temperature,
            })
        }
    }

    fn check_pressure(self, pressure: PressureAbs) -> Result<(), DryGasError> {
        if (0.0..=HIGHEST_PRESSURE).contains(&pressure.si()) {
            Ok(())
        } else {
            Err(DryGasError::Pressure {
                gas: self,
                pressure,
            })
        }
    }

    fn equation(self) -> &'static Equation {
        static EQUATIONS: OnceLock<[Equation; 3]> = OnceLock::new();
        let equations = EQUATIONS.get_or_init(|| {
            [
                Equation::read(include_str!("../../../tables/gas/nitrogen.csv")),
                Equation::read(include_str!("../../../tables/gas/argon.csv")),
                Equation::read(include_str!("../../../tables/gas/helium.csv")),
            ]
        });
        &equations[self as usize]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::unit;

    const ROOM: f64 = 293.15;

    #[test]
    fn density_and_pressure_are_inverse_over_the_range() {
        for gas in DryGas::ALL {
            for t in [233.0, 250.0, ROOM, 343.0].map(Temperature::from_si) {
                for p in [1.0, 1e5, 20e5, 40e5, 59.99e5].map(PressureAbs::from_si) {
                    let density = gas.density(p, t).unwrap();
                    let back = gas.pressure(density, t).unwrap();
                    assert!((back.si() / p.si() - 1.0).abs() < 1e-12);
                }
            }
        }
    }

    #[test]
    fn thin_gas_is_ideal() {
        for gas in DryGas::ALL {
            let (p, t) = (PressureAbs::from_si(1.0), Temperature::from_si(ROOM));
            assert!((gas.compressibility(p, t).unwrap() - 1.0).abs() < 1e-7);
            assert!((gas.kappa(p, t).unwrap() - 1.0).abs() < 1e-7);
            let nothing = PressureAbs::from_si(0.0);
            assert_eq!(gas.kappa(nothing, t), Ok(1.0));
            assert_eq!(gas.density(nothing, t), Ok(Density::from_si(0.0)));
            let warm = Temperature::from_si(303.15);
            let empty = gas.kappa_integral(Density::from_si(0.0), t, warm).unwrap();
            assert!((empty - (303.15f64 / ROOM).ln()).abs() < 1e-15);
        }
    }

    #[test]
    fn a_volume_brought_back_has_its_pressure_again() {
        for gas in DryGas::ALL {
            let p = PressureAbs::from_si(35e5);
            let [cold, warm] = [263.0, 320.0].map(Temperature::from_si);
            let there = gas.sealed_pressure(p, cold, warm).unwrap();
            let back = gas.sealed_pressure(there, warm, cold).unwrap();
            assert!((back.si() / p.si() - 1.0).abs() < 1e-12);
        }
    }

    /// Simpson's rule over kappa itself.
    #[test]
    fn the_integral_is_the_sum_of_kappa() {
        for gas in DryGas::ALL {
            let density = gas
                .density(PressureAbs::from_si(35e5), Temperature::from_si(ROOM))
                .unwrap();
            let kappa = |t: f64| {
                let t = Temperature::from_si(t);
                gas.kappa(gas.pressure(density, t).unwrap(), t).unwrap()
            };
            let (from, to, steps) = (253.0f64, 333.0f64, 40);
            let width = (to / from).ln() / f64::from(steps);
            let at = |i: i32| kappa(from * (f64::from(i) * width).exp());
            let sum: f64 = (0..steps)
                .map(|i| {
                    width / 6.0
                        * (at(i)
                            + 4.0 * kappa(from * ((f64::from(i) + 0.5) * width).exp())
                            + at(i + 1))
                })
                .sum();
            let [from, to] = [from, to].map(Temperature::from_si);
            let exact = gas.kappa_integral(density, from, to).unwrap();
            assert!((exact - sum).abs() < 1e-9, "{gas}: {exact} {sum}");
        }
    }

    #[test]
    fn outside_the_range_is_an_error_that_says_the_range() {
        let gas = DryGas::Nitrogen;
        let t = Temperature::of(20.0, unit::CELSIUS);
        let error = gas
            .kappa(PressureAbs::of(900.0, unit::PSIA), t)
            .unwrap_err();
        assert_eq!(
            error.to_string(),
            "nitrogen at 900.0 psia (62.05 bar abs): computed here from vacuum to 870 psia (60 bar abs); check the gauge and its unit"
        );
        let p = PressureAbs::of(30.0, unit::BAR_ABS);
        let error = DryGas::Argon
            .density(p, Temperature::of(95.0, unit::CELSIUS))
            .unwrap_err();
        assert_eq!(
            error.to_string(),
            "argon at 203.0 °F (95.0 °C): computed here from -40 to 157 °F (-40 to 69 °C); check the thermometer and its unit"
        );
        for p in [-1.0, f64::NAN] {
            assert!(gas.density(PressureAbs::from_si(p), t).is_err());
            assert!(matches!(
                gas.pressure(Density::from_si(p), t),
                Err(DryGasError::Density { .. })
            ));
        }
        let [cold, hot] = [240.0, 343.0].map(Temperature::from_si);
        assert!(matches!(
            gas.sealed_pressure(PressureAbs::from_si(59e5), cold, hot),
            Err(DryGasError::Pressure { .. })
        ));
    }
}
