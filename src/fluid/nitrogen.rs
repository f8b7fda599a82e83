//! Dry nitrogen in a sealed line: the reference equation of state.
//!
//! Residual Helmholtz energy `alpha_r(delta, tau)` with `delta = rho/rho_c`, `tau = T_c/T`; a dash names its slopes:
//! `p = rho R T (1 + delta alpha_d)` and `(dp/dT)_rho = rho R (1 + delta alpha_d - delta tau alpha_dt)`.
//!
//! Range here: 233 to 343 K, up to 60 bar absolute (the equation itself reaches from the triple point to 1000 K).
//! Source: Span, Lemmon, Jacobsen, Wagner & Yokozeki, J. Phys. Chem. Ref. Data 29 (2000) 1361 (its
//! stated uncertainty in density here, from memory: 0.02 %).

use std::sync::OnceLock;

use crate::quantity::{Density, PressureAbs, Quantity, Temperature, UnitSystem};
use crate::source::SourceId;

/// The equation used.
pub const SOURCE: SourceId = SourceId::NitrogenSpan;

/// Lowest and highest temperature, K.
pub const TEMPERATURES: (f64, f64) = (233.0, 343.0);
/// Highest absolute pressure, Pa.
pub const HIGHEST_PRESSURE: f64 = 60e5;

const GAS_CONSTANT: f64 = 8.314_51; // J/(mol K), as in the paper
const MOLAR_MASS: f64 = 28.013_48e-3; // kg/mol
const T_C: f64 = 126.192; // K
const RHO_C: f64 = 11_183.9; // mol/m3

/// A state outside the equation's use here.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NitrogenError {
    /// Temperature outside the range.
    #[error(
        "nitrogen at {} ({}): computed here from -40 to 69 °C (-40 to 157 °F); check the thermometer and its unit",
        temperature.show(UnitSystem::Us), temperature.show(UnitSystem::Si)
    )]
    Temperature {
        /// What was given.
        temperature: Temperature,
    },
    /// Pressure outside the range.
    #[error(
        "nitrogen at {} ({}): computed here from vacuum to 870 psia (60 bar abs); check the gauge and its unit",
        pressure.show(UnitSystem::Us), pressure.show(UnitSystem::Si)
    )]
    Pressure {
        /// What was given, or what it would become.
        pressure: PressureAbs,
    },
}

/// Density at a pressure and temperature, by Newton from the ideal gas.
pub fn density(pressure: PressureAbs, temperature: Temperature) -> Result<Density, NitrogenError> {
    let state = State::at(pressure, temperature)?;
    Ok(Density::from_si(state.rho * MOLAR_MASS))
}

/// Compressibility factor `Z = p / (rho R T)` at a pressure and temperature.
pub fn compressibility(
    pressure: PressureAbs,
    temperature: Temperature,
) -> Result<f64, NitrogenError> {
    State::at(pressure, temperature).map(|state| state.compressibility())
}

/// `kappa = (T/p)(dp/dT)_rho`: how much faster than absolute temperature the pressure of sealed nitrogen rises.
///
/// 1 for an ideal gas.
///
/// ```
/// use lineproof::fluid::nitrogen;
/// use lineproof::quantity::{Barometer, PressureGauge, Quantity, Temperature, unit};
/// let pressure = PressureGauge::of(500.0, unit::PSIG).to_abs(Barometer::standard())?;
/// let kappa = nitrogen::kappa(pressure, Temperature::of(20.0, unit::CELSIUS))?;
/// assert!((kappa - 1.0857).abs() < 1e-4);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn kappa(pressure: PressureAbs, temperature: Temperature) -> Result<f64, NitrogenError> {
    State::at(pressure, temperature).map(|state| state.kappa())
}

/// Pressure at a density and temperature.
pub fn pressure(density: Density, temperature: Temperature) -> Result<PressureAbs, NitrogenError> {
    check_temperature(temperature)?;
    let state = State::new(density.si() / MOLAR_MASS, temperature.si());
    check_pressure(PressureAbs::from_si(state.pressure()))
}

/// Pressure of a sealed, rigid volume at another temperature.
///
/// `pressure` at `before` fixes the density, and the same density gives the pressure at `after`.
///
/// ```
/// use lineproof::fluid::nitrogen;
/// use lineproof::quantity::{Barometer, PressureGauge, Quantity, Temperature, unit};
/// let sea = Barometer::standard();
/// let evening = PressureGauge::of(150.0, unit::PSIG).to_abs(sea)?;
/// let (warm, cool) = (Temperature::of(95.0, unit::FAHRENHEIT), Temperature::of(75.0, unit::FAHRENHEIT));
/// let morning = nitrogen::sealed_pressure(evening, warm, cool)?.to_gauge(sea);
/// assert!((morning.in_unit(unit::PSIG) - 143.92).abs() < 0.01);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn sealed_pressure(
    pressure: PressureAbs,
    before: Temperature,
    after: Temperature,
) -> Result<PressureAbs, NitrogenError> {
    self::pressure(density(pressure, before)?, after)
}

fn check_temperature(temperature: Temperature) -> Result<(), NitrogenError> {
    if (TEMPERATURES.0..=TEMPERATURES.1).contains(&temperature.si()) {
        Ok(())
    } else {
        Err(NitrogenError::Temperature { temperature })
    }
}

fn check_pressure(pressure: PressureAbs) -> Result<PressureAbs, NitrogenError> {
    if (0.0..=HIGHEST_PRESSURE).contains(&pressure.si()) {
        Ok(pressure)
    } else {
        Err(NitrogenError::Pressure { pressure })
    }
}

/// One state: molar density in mol/m3, temperature in K, and the slopes of alpha_r multiplied by their variables.
struct State {
    rho: f64,
    temperature: f64,
    /// delta alpha_d
    d: f64,
    /// delta^2 alpha_dd
    dd: f64,
    /// delta tau alpha_dt
    dt: f64,
}

impl State {
    fn new(rho: f64, temperature: f64) -> State {
        let (delta, tau) = (rho / RHO_C, T_C / temperature);
        let mut state = State {
            rho,
            temperature,
            d: 0.0,
            dd: 0.0,
            dt: 0.0,
        };
        for term in terms() {
            let (value, by_delta, by_delta2, by_tau) = term.at(delta, tau);
            state.d += value * by_delta;
            state.dd += value * by_delta2;
            state.dt += value * by_delta * by_tau;
        }
        state
    }

    /// The state at a pressure. Above 233 K pressure rises with density everywhere, so Newton needs no bracket.
    fn at(pressure: PressureAbs, temperature: Temperature) -> Result<State, NitrogenError> {
        check_temperature(temperature)?;
        let (p, t) = (check_pressure(pressure)?.si(), temperature.si());
        let mut state = State::new(p / (GAS_CONSTANT * t), t);
        for _ in 0..30 {
            let step = (p - state.pressure()) / state.stiffness();
            state = State::new(state.rho + step, t);
            if step.abs() <= 1e-13 * state.rho {
                break;
            }
        }
        Ok(state)
    }

    fn compressibility(&self) -> f64 {
        1.0 + self.d
    }

    fn pressure(&self) -> f64 {
        self.rho * GAS_CONSTANT * self.temperature * self.compressibility()
    }

    /// (dp/drho)_T
    fn stiffness(&self) -> f64 {
        GAS_CONSTANT * self.temperature * (1.0 + 2.0 * self.d + self.dd)
    }

    fn kappa(&self) -> f64 {
        (1.0 + self.d - self.dt) / self.compressibility()
    }
}

/// `n delta^d tau^t f`, see the head of the table.
struct Term {
    n: f64,
    t: f64,
    d: f64,
    l: i32,
    eta: f64,
    beta: f64,
    gamma: f64,
}

impl Term {
    /// The term, and its logarithmic slopes: `delta/a da/ddelta`, `delta^2/a d2a/ddelta2`, `tau/a da/dtau`.
    fn at(&self, delta: f64, tau: f64) -> (f64, f64, f64, f64) {
        let (from_centre, from_gamma) = (delta - 1.0, tau - self.gamma);
        // g = ln f, with delta g' and delta^2 g''
        let (g, g1, g2) = if self.eta > 0.0 {
            let g = -self.eta * from_centre.powi(2) - self.beta * from_gamma.powi(2);
            let slope = -2.0 * self.eta * from_centre * delta;
            (g, slope, -2.0 * self.eta * delta * delta)
        } else if self.l > 0 {
            let (l, power) = (f64::from(self.l), delta.powi(self.l));
            (-power, -l * power, -l * (l - 1.0) * power)
        } else {
            (0.0, 0.0, 0.0)
        };
        let value = self.n * delta.powf(self.d) * (self.t * tau.ln() + g).exp();
        let by_delta = self.d + g1;
        let by_delta2 = by_delta * by_delta - self.d + g2;
        let by_tau = self.t - 2.0 * self.beta * from_gamma * tau;
        (value, by_delta, by_delta2, by_tau)
    }
}

fn terms() -> &'static [Term] {
    static TERMS: OnceLock<Vec<Term>> = OnceLock::new();
    TERMS.get_or_init(|| {
        let table = include_str!("../../tables/nitrogen_span2000.csv");
        let rows = table.lines().filter(|line| !line.starts_with('#')).skip(1);
        rows.map(term).collect()
    })
}

/// The table is compiled in, and a test evaluates every row.
fn term(row: &str) -> Term {
    let cells: Vec<f64> = row
        .split(',')
        .map(|cell| cell.parse().expect("nitrogen_span2000.csv holds numbers"))
        .collect();
    let [n, t, d, l, eta, beta, gamma] = cells[..] else {
        panic!("nitrogen_span2000.csv has seven columns");
    };
    Term {
        n,
        t,
        d,
        l: l as i32,
        eta,
        beta,
        gamma,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::unit;

    fn state(rho: f64, t: f64) -> State {
        State::new(rho, t)
    }

    #[test]
    fn the_table_holds_the_papers_36_terms_and_constants() {
        assert_eq!(terms().len(), 36);
        assert_eq!(terms().iter().filter(|t| t.eta > 0.0).count(), 4);
        let table = include_str!("../../tables/nitrogen_span2000.csv");
        for constant in [
            "126.192 K",
            "11.1839 mol/dm3",
            "28.01348 g/mol",
            "8.31451 J/(mol K)",
        ] {
            assert!(table.contains(constant), "{constant}");
        }
    }

    #[test]
    fn slopes_are_those_of_the_equation() {
        for (rho, t) in [(50.0, 240.0), (1500.0, 293.15), (2500.0, 340.0)] {
            let at = state(rho, t);
            let (h, k) = (rho * 1e-5, t * 1e-5);
            let by_rho = (state(rho + h, t).pressure() - state(rho - h, t).pressure()) / (2.0 * h);
            assert!((at.stiffness() / by_rho - 1.0).abs() < 1e-8);
            let by_t = (state(rho, t + k).pressure() - state(rho, t - k).pressure()) / (2.0 * k);
            assert!((at.kappa() / (by_t * t / at.pressure()) - 1.0).abs() < 1e-8);
        }
    }

    #[test]
    fn density_and_pressure_are_inverse_over_the_range() {
        for t in [233.0, 250.0, 293.15, 343.0].map(Temperature::from_si) {
            for p in [1.0, 1e5, 20e5, 40e5, 60e5].map(PressureAbs::from_si) {
                let density = density(p, t).unwrap();
                let back = State::new(density.si() / MOLAR_MASS, t.si()).pressure();
                assert!((back / p.si() - 1.0).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn thin_gas_is_ideal() {
        let (p, t) = (PressureAbs::from_si(1.0), Temperature::from_si(293.15));
        assert!((compressibility(p, t).unwrap() - 1.0).abs() < 1e-7);
        assert!((kappa(p, t).unwrap() - 1.0).abs() < 1e-7);
        let nothing = PressureAbs::from_si(0.0);
        assert_eq!(kappa(nothing, t), Ok(1.0));
        assert_eq!(density(nothing, t), Ok(Density::from_si(0.0)));
    }

    #[test]
    fn a_volume_brought_back_has_its_pressure_again() {
        let (p, cold, warm) = (
            PressureAbs::from_si(35e5),
            Temperature::from_si(263.0),
            Temperature::from_si(320.0),
        );
        let there = sealed_pressure(p, cold, warm).unwrap();
        let back = sealed_pressure(there, warm, cold).unwrap();
        assert!((back.si() / p.si() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn outside_the_range_is_an_error_that_says_the_range() {
        let t = Temperature::of(20.0, unit::CELSIUS);
        let error = kappa(PressureAbs::of(900.0, unit::PSIA), t).unwrap_err();
        assert_eq!(
            error.to_string(),
            "nitrogen at 900.0 psia (62.05 bar abs): computed here from vacuum to 870 psia (60 bar abs); check the gauge and its unit"
        );
        let p = PressureAbs::of(30.0, unit::BAR_ABS);
        let error = density(p, Temperature::of(95.0, unit::CELSIUS)).unwrap_err();
        assert_eq!(
            error.to_string(),
            "nitrogen at 203.0 °F (95.0 °C): computed here from -40 to 69 °C (-40 to 157 °F); check the thermometer and its unit"
        );
        for p in [-1.0, f64::NAN] {
            assert!(density(PressureAbs::from_si(p), t).is_err());
        }
        let hot = Temperature::from_si(343.0);
        let full = PressureAbs::from_si(59e5);
        assert!(matches!(
            sealed_pressure(full, Temperature::from_si(240.0), hot),
            Err(NitrogenError::Pressure { .. })
        ));
    }
}
