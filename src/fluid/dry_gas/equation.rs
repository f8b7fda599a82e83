//! Residual Helmholtz energy `alpha_r(delta, tau)` with `delta = rho/rho_c`, `tau = T_c/T`; a dash names its slopes:
//! `p = rho R T (1 + delta alpha_d)` and `(dp/dT)_rho = rho R (1 + delta alpha_d - delta tau alpha_dt)`.

/// One gas's equation: its terms and the constants of its paper.
pub(super) struct Equation {
    /// J/(mol K)
    gas_constant: f64,
    /// kg/mol
    pub(super) molar_mass: f64,
    /// K
    reducing_temperature: f64,
    /// mol/m3
    reducing_density: f64,
    terms: Vec<Term>,
}

/// One state: molar density in mol/m3, temperature in K, and the slopes of alpha_r multiplied by their variables.
pub(super) struct State<'a> {
    equation: &'a Equation,
    pub(super) rho: f64,
    temperature: f64,
    /// delta alpha_d
    d: f64,
    /// delta^2 alpha_dd
    dd: f64,
    /// delta tau alpha_dt
    dt: f64,
}

impl Equation {
    /// Reads a table of `tables/gas`; its head says what each column is.
    ///
    /// The tables are compiled in, and a test evaluates every row.
    pub(super) fn read(table: &str) -> Equation {
        let rows = table.lines().filter(|line| !line.starts_with('#')).skip(1);
        Equation {
            gas_constant: constant(table, "gas constant", "J/(mol K)"),
            molar_mass: constant(table, "molar mass", "g/mol") * 1e-3,
            reducing_temperature: constant(table, "reducing temperature", "K"),
            reducing_density: constant(table, "reducing density", "mol/dm3") * 1e3,
            terms: rows.map(Term::read).collect(),
        }
    }

    /// `delta` and `tau` of a molar density (mol/m3) and temperature (K).
    pub(super) fn reduced(&self, rho: f64, temperature: f64) -> (f64, f64) {
        (
            rho / self.reducing_density,
            self.reducing_temperature / temperature,
        )
    }

    /// The state at a molar density (mol/m3) and temperature (K).
    pub(super) fn state(&self, rho: f64, temperature: f64) -> State<'_> {
        let (delta, tau) = self.reduced(rho, temperature);
        let mut state = State {
            equation: self,
            rho,
            temperature,
            d: 0.0,
            dd: 0.0,
            dt: 0.0,
        };
        for term in &self.terms {
            let (value, by_delta, by_delta2, by_tau) = term.at(delta, tau);
            state.d += value * by_delta;
            state.dd += value * by_delta2;
            state.dt += value * by_delta * by_tau;
        }
        state
    }

    /// The state at a pressure (Pa) and temperature (K), by Newton from the ideal gas.
    ///
    /// Far above the critical temperature pressure rises with density everywhere, so Newton needs no bracket.
    pub(super) fn at_pressure(&self, p: f64, temperature: f64) -> State<'_> {
        let mut state = self.state(p / (self.gas_constant * temperature), temperature);
        for _ in 0..30 {
            let step = (p - state.pressure()) / state.stiffness();
            state = self.state(state.rho + step, temperature);
            if step.abs() <= 1e-13 * state.rho {
                break;
            }
        }
        state
    }
}

impl State<'_> {
    /// `Z = p/(rho R T)`
    pub(super) fn compressibility(&self) -> f64 {
        1.0 + self.d
    }

    /// Pa
    pub(super) fn pressure(&self) -> f64 {
        self.rho * self.equation.gas_constant * self.temperature * self.compressibility()
    }

    /// (dp/drho)_T
    fn stiffness(&self) -> f64 {
        self.equation.gas_constant * self.temperature * (1.0 + 2.0 * self.d + self.dd)
    }

    /// `(T/p)(dp/dT)_rho`
    pub(super) fn kappa(&self) -> f64 {
        (1.0 + self.d - self.dt) / self.compressibility()
    }
}

/// `n delta^d tau^t f`, see the head of the tables.
struct Term {
    n: f64,
    t: f64,
    d: i32,
    l: i32,
    eta: f64,
    beta: f64,
    gamma: f64,
    epsilon: f64,
}

impl Term {
    fn read(row: &str) -> Term {
        let cells: Vec<f64> = row
            .split(',')
            .map(|cell| cell.parse().expect("a table of gas terms holds numbers"))
            .collect();
        let [n, t, d, l, eta, beta, gamma, epsilon] = cells[..] else {
            panic!("a table of gas terms has eight columns");
        };
        assert!(d.fract() == 0.0 && l.fract() == 0.0, "d and l are whole");
        Term {
            n,
            t,
            d: d as i32,
            l: l as i32,
            eta,
            beta,
            gamma,
            epsilon,
        }
    }

    /// The term, and its logarithmic slopes: `delta/a da/ddelta`, `delta^2/a d2a/ddelta2`, `tau/a da/dtau`.
    fn at(&self, delta: f64, tau: f64) -> (f64, f64, f64, f64) {
        let (from_epsilon, from_gamma) = (delta - self.epsilon, tau - self.gamma);
        // g = ln f, with delta g' and delta^2 g''
        let (g, g1, g2) = if self.eta > 0.0 {
            let g = -self.eta * from_epsilon.powi(2) - self.beta * from_gamma.powi(2);
            let slope = -2.0 * self.eta * from_epsilon * delta;
            (g, slope, -2.0 * self.eta * delta * delta)
        } else if self.l > 0 {
            let (l, power) = (f64::from(self.l), delta.powi(self.l));
            (-power, -l * power, -l * (l - 1.0) * power)
        } else {
            (0.0, 0.0, 0.0)
        };
        let value = self.n * delta.powi(self.d) * (self.t * tau.ln() + g).exp();
        let by_delta = f64::from(self.d) + g1;
        let by_delta2 = by_delta * by_delta - f64::from(self.d) + g2;
        let by_tau = self.t - 2.0 * self.beta * from_gamma * tau;
        (value, by_delta, by_delta2, by_tau)
    }
}

/// A constant of a table's head: `# name: number unit`.
fn constant(table: &str, name: &str, unit: &str) -> f64 {
    let line = table
        .lines()
        .find_map(|line| line.strip_prefix("# ")?.strip_prefix(name))
        .unwrap_or_else(|| panic!("the head of a gas table states its {name}"));
    line.strip_prefix(": ")
        .and_then(|rest| rest.strip_suffix(unit))
        .and_then(|number| number.trim().parse().ok())
        .unwrap_or_else(|| panic!("the {name} of a gas table is a number in {unit}"))
}

#[cfg(test)]
mod tests {
    use super::super::DryGas;

    #[test]
    fn tables_hold_the_terms_and_constants_of_the_papers() {
        let holds = |gas: DryGas, terms: (usize, usize), constants: [f64; 4]| {
            let equation = gas.equation();
            let bells = equation.terms.iter().filter(|t| t.eta > 0.0).count();
            assert_eq!((equation.terms.len() - bells, bells), terms, "{gas}");
            let ours = [
                equation.reducing_temperature,
                equation.reducing_density,
                equation.molar_mass,
                equation.gas_constant,
            ];
            for (ours, printed) in ours.iter().zip(constants) {
                assert!((ours / printed - 1.0).abs() < 1e-12, "{gas} {printed}");
            }
        };
        let nitrogen = [126.192, 11_183.9, 28.013_48e-3, 8.314_51];
        holds(DryGas::Nitrogen, (32, 4), nitrogen);
        // 535.6 kg/m3 over 39.948 g/mol
        let argon = [150.687, 13_407.429_66, 39.948e-3, 8.314_51];
        holds(DryGas::Argon, (37, 4), argon);
        let helium = [5.1953, 17_383.7, 4.002_602e-3, 8.314_459_8];
        holds(DryGas::Helium, (12, 11), helium);
    }

    #[test]
    fn slopes_are_those_of_the_equation() {
        for gas in DryGas::ALL {
            let state = |rho, t| gas.equation().state(rho, t);
            for (rho, t) in [(50.0, 240.0), (1500.0, 293.15), (2500.0, 340.0)] {
                let at = state(rho, t);
                let (h, k) = (rho * 1e-5, t * 1e-5);
                let by_rho =
                    (state(rho + h, t).pressure() - state(rho - h, t).pressure()) / (2.0 * h);
                assert!((at.stiffness() / by_rho - 1.0).abs() < 1e-8);
                let by_t =
                    (state(rho, t + k).pressure() - state(rho, t - k).pressure()) / (2.0 * k);
                assert!((at.kappa() / (by_t * t / at.pressure()) - 1.0).abs() < 1e-8);
            }
        }
    }

    /// Half a unit of the last digit printed, in density.
    fn prints(gas: DryGas, t: f64, p: f64, rho: f64, half_digit: f64) {
        let ours = gas.equation().at_pressure(p, t).rho;
        assert!(
            (ours - rho).abs() <= half_digit,
            "{gas} at {t} K, {p} Pa: {ours} for {rho}"
        );
    }

    /// Single-phase tables of the papers, gas and dense fluid, also outside the range used here; read second-hand in
    /// the tests of a general-purpose property library.
    #[test]
    fn printed_states_of_the_papers() {
        // Span et al. 2000, p. 1410, mol/m3
        prints(DryGas::Nitrogen, 80.0, 1e5, 156.33, 0.005);
        prints(DryGas::Nitrogen, 350.0, 20e6, 6355.2, 0.05);
        prints(DryGas::Nitrogen, 1000.0, 2e6, 238.89, 0.005);
        prints(DryGas::Nitrogen, 1000.0, 50e6, 5105.1, 0.05);
        // Tegeler et al. 1999, table 34, p. 830, kg/m3
        let argon = |t, p, density: f64, half_digit: f64| {
            let to_molar = 1.0 / DryGas::Argon.equation().molar_mass;
            prints(
                DryGas::Argon,
                t,
                p,
                density * to_molar,
                half_digit * to_molar,
            );
        };
        argon(150.0, 0.5e6, 16.605, 0.0005);
        argon(170.0, 1e6, 29.723, 0.0005);
        argon(700.0, 0.1e6, 0.68619, 0.000_005);
        argon(675.0, 5e6, 35.123, 0.0005);
        argon(400.0, 10e6, 119.43, 0.005);
    }

    /// 11.93 cm3/mol at 273.16 K from the interaction of two atoms alone (*from memory*); 0.05 of it moves Z at 60 bar
    /// by 0.0001.
    #[test]
    fn helium_has_its_second_virial_coefficient() {
        let rho = 1.0;
        let z = DryGas::Helium
            .equation()
            .state(rho, 273.16)
            .compressibility();
        let virial = (z - 1.0) / rho * 1e6;
        assert!((virial - 11.93).abs() < 0.05, "{virial}");
    }

    #[test]
    fn newton_converges_over_the_whole_range() {
        for gas in DryGas::ALL {
            for t in (233..=343).map(f64::from) {
                for p in (0..=60).map(|bar| (f64::from(bar) * 1e5).max(1.0)) {
                    let state = gas.equation().at_pressure(p, t);
                    assert!((state.pressure() / p - 1.0).abs() < 1e-12, "{gas} {t} {p}");
                }
            }
        }
    }
}
