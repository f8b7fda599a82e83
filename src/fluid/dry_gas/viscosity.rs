//! How thick the dry gases are, and what else a flow through a hole asks of them.

use super::{DryGas, DryGasError};
use crate::quantity::{PressureAbs, Quantity, Temperature, Viscosity, unit};
use crate::source::SourceId;

/// `[n, t, d, l]` of a residual term `n tau^t delta^d exp(-delta^l)`, µPa s; no exponential for `l = 0`.
type Terms = &'static [[f64; 4]];

const NITROGEN: Terms = &[
    [10.72, 0.1, 2.0, 0.0],
    [0.03989, 0.25, 10.0, 1.0],
    [0.001208, 3.2, 12.0, 1.0],
    [-7.402, 0.9, 2.0, 2.0],
    [4.620, 0.3, 1.0, 3.0],
];
const ARGON: Terms = &[
    [12.19, 0.42, 1.0, 0.0],
    [13.99, 0.0, 2.0, 0.0],
    [0.005027, 0.95, 10.0, 0.0],
    [-18.93, 0.5, 5.0, 2.0],
    [-6.698, 0.9, 1.0, 4.0],
    [-3.827, 0.8, 2.0, 4.0],
];

impl DryGas {
    /// Viscosity at a pressure and temperature.
    ///
    /// Nitrogen and argon: `eta = 0.0266958 sqrt(M T)/(sigma^2 Omega(T/(eps/k)))`, `ln Omega = sum b_i (ln T*)^i`, and
    /// `sum n tau^t delta^d exp(-delta^l)` for the density (equations 2 to 4 of the source; M in g/mol, sigma in nm).
    /// Helium: its thin gas, and `exp(rho B + rho^2 C + rho^3 D)` for the density.
    ///
    /// Range: that of the gas's equation of state here. Uncertainty: 2 % (from memory).
    ///
    /// Source: [`DryGas::viscosity_source`].
    ///
    /// ```
    /// use lineproof::fluid::DryGas;
    /// use lineproof::quantity::{PressureAbs, Quantity, Temperature, unit};
    /// let pressure = PressureAbs::of(35.49, unit::BAR_ABS);
    /// let eta = DryGas::Nitrogen.viscosity(pressure, Temperature::of(20.0, unit::CELSIUS))?;
    /// assert!((eta.in_unit(unit::MICROPASCAL_SECOND) - 18.14).abs() < 0.005);
    /// # Ok::<(), lineproof::fluid::DryGasError>(())
    /// ```
    pub fn viscosity(
        self,
        pressure: PressureAbs,
        temperature: Temperature,
    ) -> Result<Viscosity, DryGasError> {
        let rho = self.state(pressure, temperature)?.rho;
        let equation = self.equation();
        let (delta, tau) = equation.reduced(rho, temperature.si());
        let lennard_jones = |well: f64, diameter: f64, terms: Terms| {
            thin(1e3 * equation.molar_mass, well, diameter, temperature.si())
                + terms
                    .iter()
                    .map(|term| residual(term, delta, tau))
                    .sum::<f64>()
        };
        let micro = match self {
            DryGas::Nitrogen => lennard_jones(98.94, 0.3656, NITROGEN),
            DryGas::Argon => lennard_jones(143.2, 0.335, ARGON),
            DryGas::Helium => helium(temperature.si(), 1e-3 * rho * equation.molar_mass),
        };
        Ok(Viscosity::of(micro, unit::MICROPASCAL_SECOND))
    }

    /// Where its viscosity comes from.
    pub fn viscosity_source(self) -> SourceId {
        match self {
            DryGas::Nitrogen | DryGas::Argon => SourceId::ViscosityDryGas,
            DryGas::Helium => SourceId::ViscosityHelium,
        }
    }

    /// Molar mass in g/mol, that of its equation of state.
    pub fn molar_mass(self) -> f64 {
        1e3 * self.equation().molar_mass
    }

    /// `cp/cv` of the thin gas: 7/5 for two atoms (0.1 % low for nitrogen at 70 °C), 5/3 for one.
    pub fn heat_capacity_ratio(self) -> f64 {
        match self {
            DryGas::Nitrogen => 7.0 / 5.0,
            DryGas::Argon | DryGas::Helium => 5.0 / 3.0,
        }
    }
}

/// The gas without density, µPa s: molar mass in g/mol, well in K, diameter in nm.
fn thin(molar_mass: f64, well: f64, diameter: f64, kelvin: f64) -> f64 {
    const COLLISION: [f64; 5] = [0.431, -0.4623, 0.08406, 0.005341, -0.00331];
    let ln_t = (kelvin / well).ln();
    let ln_omega = COLLISION.iter().rev().fold(0.0, |sum, b| sum * ln_t + b);
    0.0266958 * (molar_mass * kelvin).sqrt() / (diameter * diameter * ln_omega.exp())
}

fn residual([n, t, d, l]: &[f64; 4], delta: f64, tau: f64) -> f64 {
    let damped = if *l > 0.0 {
        (-delta.powf(*l)).exp()
    } else {
        1.0
    };
    n * tau.powf(*t) * delta.powf(*d) * damped
}

/// Helium above 100 K, µPa s, at a density in g/cm3.
fn helium(kelvin: f64, density: f64) -> f64 {
    // the density's part stops to depend on temperature at 300 K
    let x = kelvin.min(300.0).ln();
    let power = |c: [f64; 5]| c[0] / x + c[1] + c[2] * x + c[3] * x * x + c[4] * x.powi(3);
    let b = power([
        -47.5295259,
        87.6799309,
        -42.0741589,
        8.33128289,
        -0.589252385,
    ]);
    let c = power([547.309267, -904.870586, 431.404928, -81.4504854, 5.37008433]);
    let d = power([-1684.39324, 3331.0863, -1632.19172, 308.804413, -20.2936367]);
    let cold = power([
        -0.135311743,
        1.00347841,
        1.20654649,
        -0.149564551,
        0.012520841,
    ]);
    let thin = 196.0
        * kelvin.powf(0.71938)
        * (12.451 / kelvin - 295.67 / (kelvin * kelvin) - 4.1249).exp();
    let denser = density * (b + density * (c + density * d));
    0.1 * (thin + (cold + denser).exp() - cold.exp())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Computed with CoolProp 8.0.0 from the same equations; its densities come from the same equations of state.
    #[test]
    fn the_equations_as_computed_elsewhere() {
        let at = |gas: DryGas, bar: f64, kelvin: f64| {
            gas.viscosity(
                PressureAbs::of(bar, unit::BAR_ABS),
                Temperature::from_si(kelvin),
            )
            .unwrap()
            .in_unit(unit::MICROPASCAL_SECOND)
        };
        for (gas, bar, kelvin, right) in [
            (DryGas::Nitrogen, 1.01325, 253.15, 15.65562),
            (DryGas::Nitrogen, 59.0, 253.15, 17.01522),
            (DryGas::Nitrogen, 35.49, 293.15, 18.13865),
            (DryGas::Nitrogen, 59.0, 333.15, 20.26027),
            (DryGas::Argon, 1.01325, 253.15, 19.69328),
            (DryGas::Argon, 35.49, 293.15, 23.04909),
            (DryGas::Argon, 59.0, 253.15, 21.50449),
            (DryGas::Helium, 35.49, 253.15, 17.92950),
            (DryGas::Helium, 1.01325, 293.15, 19.61758),
            (DryGas::Helium, 59.0, 333.15, 21.59094),
        ] {
            let ours = at(gas, bar, kelvin);
            // printed to 1e-5; reducing constants differ in their seventh digit
            assert!(
                (ours - right).abs() < 2e-5,
                "{gas} {bar} bar {kelvin} K: {ours}"
            );
        }
    }
}
