//! The sources of the published saturation points: how far each may differ, and why.

use super::limits::{Enthalpy, Kelvin, Limits};

/// One source of the two files.
pub struct Source {
    /// How its text in the file begins.
    pub begins: &'static str,
    /// A short name.
    pub title: &'static str,
    /// The limits for a refrigerant.
    pub limits: fn(refrigerant: &str) -> Limits,
    /// Why they are honest.
    pub tolerance: &'static str,
    /// What the numbers alone do not say.
    pub note: Option<&'static str>,
}

const PAPER: &str = "the paper behind our table: 0.002 K; densities and enthalpies to the last printed digit, \
     with 1e-5 of the density and 0.001 kJ/kg for our table's own rounding and the cubic between its rows";

const HANDBOOK_EQUATION: &str =
    "an equation fitted on its own to other measurements: 0.2 K (0.6 % in pressure)";

const ANCILLARY: &str = "an equation for the vapour pressure alone, fitted to the equation of state behind our table: \
     it checks the implementation only. Its fit is good to 0.023 % in pressure (stated for R-1234yf, taken for \
     R-1234ze(E) too), beside half a printed digit";

fn paper(_: &str) -> Limits {
    Limits::same_equation(Kelvin::Fixed(0.002))
}

/// A paper that prints five digits, of which the file may have dropped a last zero.
fn paper_of_five_digits(refrigerant: &str) -> Limits {
    Limits {
        digits: Some(5),
        ..paper(refrigerant)
    }
}

fn handbook_equation(_: &str) -> Limits {
    Limits::pressure(Kelvin::Fixed(0.2))
}

fn handbook_table(_: &str) -> Limits {
    Limits::pressure(Kelvin::Fixed(0.35))
}

fn safety_sheet(_: &str) -> Limits {
    Limits::pressure(Kelvin::ShareOfPressure(0.015))
}

fn ancillary(_: &str) -> Limits {
    Limits::pressure(Kelvin::ShareOfPressure(2.3e-4))
}

fn reference_data_set(refrigerant: &str) -> Limits {
    let (kelvin, digits) = match refrigerant {
        "R-22" | "R-134a" => (0.02, 4),
        _ => (0.002, 5),
    };
    Limits {
        digits: Some(digits),
        ..Limits::same_equation(Kelvin::Fixed(kelvin))
    }
}

/// Another blend model than ours, each good to 1 % in pressure.
fn other_blend_model(_: &str) -> Limits {
    Limits {
        kelvin: Kelvin::Fixed(0.35),
        liquid_density: 0.005,
        vapour_density: 0.025,
        enthalpy: Enthalpy {
            liquid: 0.2,
            vapour: 1.6,
        },
        digits: Some(5),
    }
}

/// An older equation of R-134a with its own density and heat capacity.
fn mbwr(_: &str) -> Limits {
    Limits {
        kelvin: Kelvin::Fixed(0.02),
        liquid_density: 2.5e-3,
        vapour_density: 2.5e-3,
        enthalpy: Enthalpy {
            liquid: 0.55,
            vapour: 0.55,
        },
        digits: None,
    }
}

fn boiling_point_to_a_tenth(_: &str) -> Limits {
    Limits::pressure(Kelvin::Fixed(0.05))
}

/// Sources with the equation behind our table: they show that the table is that equation.
pub const SAME_EQUATION: &[Source] = &[
    Source {
        begins: "Tillner-Roth & Baehr",
        title: "R-134a, Tillner-Roth and Baehr 1994",
        limits: paper_of_five_digits,
        tolerance: PAPER,
        note: None,
    },
    Source {
        begins: "Tillner-Roth & Yokozeki",
        title: "R-32, Tillner-Roth and Yokozeki 1997",
        limits: paper_of_five_digits,
        tolerance: PAPER,
        note: None,
    },
    Source {
        begins: "Lemmon et al., J. Chem. Eng. Data 54",
        title: "R-290, Lemmon and others 2009",
        limits: paper_of_five_digits,
        tolerance: PAPER,
        note: None,
    },
    Source {
        begins: "Buecker & Wagner",
        title: "R-600a, Buecker and Wagner 2006",
        limits: paper,
        tolerance: PAPER,
        note: None,
    },
    Source {
        begins: "Span & Wagner",
        title: "R-744, Span and Wagner 1996",
        limits: paper_of_five_digits,
        tolerance: PAPER,
        note: Some(
            "30.85 degC lies 0.13 K below the critical point, where reading between the rows of our table may cost \
             0.02 % of density (see the random states).",
        ),
    },
    Source {
        begins: "Lemmon, Int. J. Thermophys. 24",
        title: "Pseudo-pure blends, Lemmon 2003",
        limits: paper,
        tolerance: PAPER,
        note: None,
    },
    Source {
        begins: "EnergyPlus",
        title: "Reference data set of a building simulation",
        limits: reference_data_set,
        tolerance: "the same equations as our tables. Five digits are printed: 0.002 K; four for R-22 and R-134a: \
             0.02 K. Densities and enthalpies: half a unit of the last printed digit, with 1e-5 of the density and \
             0.001 kJ/kg for our table's own rounding",
        note: Some(
            "Blends have their dew pressure only; liquid values belong to bubble liquid at the same temperature.",
        ),
    },
    Source {
        begins: "Equation of state for R-1234yf of 2022, vapour",
        title: "R-1234yf, vapour pressure of 2022",
        limits: ancillary,
        tolerance: ANCILLARY,
        note: None,
    },
    Source {
        begins: "Equation of state for R-1234ze(E) of 2016",
        title: "R-1234ze(E), vapour pressure of 2016",
        limits: ancillary,
        tolerance: ANCILLARY,
        note: None,
    },
    Source {
        begins: "Equation of state for R-1234yf of 2022, normal",
        title: "R-1234yf, boiling point of 2022",
        limits: paper,
        tolerance: "the equation behind our table: 0.002 K",
        note: None,
    },
    Source {
        begins: "REFPROP R32",
        title: "R-32, boiling point of a fluid file",
        limits: paper,
        tolerance: "the equation behind our table: 0.002 K",
        note: None,
    },
    Source {
        begins: "REFPROP R1234ze(E)",
        title: "R-1234ze(E), boiling point of a fluid file",
        limits: paper,
        tolerance: "the equation behind our table: 0.002 K",
        note: None,
    },
];

/// Sources with an equation, a model or a measurement of their own: they show what our table is worth.
pub const OTHERS: &[Source] = &[
    Source {
        begins: "FluidPropertiesRefData_R44",
        title: "R-448A and R-449A, another blend model",
        limits: other_blend_model,
        tolerance: "two mixture models with different mixing parameters, each good to about 1 % in pressure: 0.35 K. \
             That 1 % is 1 to 2 % of the vapour's density (2.5 %) and, by Clapeyron, 1 % of the latent heat \
             (1.6 kJ/kg); bubble liquid: 0.5 % and 0.2 kJ/kg. All but the 0.35 K are our own choice",
        note: None,
    },
    Source {
        begins: "Huber & McLinden",
        title: "R-134a, Huber and McLinden 1992",
        limits: mbwr,
        tolerance: "an older equation with its own density and heat capacity: 0.02 K, 0.25 % of density, 0.55 kJ/kg",
        note: None,
    },
    Source {
        begins: "Moran & Shapiro",
        title: "R-22, a thermodynamics textbook",
        limits: handbook_table,
        tolerance: "a printed table of another equation: 0.35 K",
        note: None,
    },
    Source {
        begins: "Mechanical Engineers'",
        title: "R-134a, an engineers' handbook",
        limits: handbook_table,
        tolerance: "a printed table of another equation, with temperatures from round pressures: 0.35 K",
        note: None,
    },
    Source {
        begins: "VDI Heat Atlas",
        title: "R-32, R-290, R-600a, VDI Heat Atlas",
        limits: handbook_equation,
        tolerance: HANDBOOK_EQUATION,
        note: None,
    },
    Source {
        begins: "Perry's",
        title: "R-290, R-600a, Perry's Handbook",
        limits: handbook_equation,
        tolerance: HANDBOOK_EQUATION,
        note: None,
    },
    Source {
        begins: "The Properties of Gases",
        title: "R-290, Properties of Gases and Liquids",
        limits: handbook_equation,
        tolerance: HANDBOOK_EQUATION,
        note: None,
    },
    Source {
        begins: "four-term",
        title: "R-290, a process analyser's manual",
        limits: handbook_equation,
        tolerance: HANDBOOK_EQUATION,
        note: None,
    },
    Source {
        begins: "Wagner 3-6",
        title: "R-600a, correlation of 1983",
        limits: handbook_equation,
        tolerance: HANDBOOK_EQUATION,
        note: None,
    },
    Source {
        begins: "Equation of state for R-1234yf, J. Chem. Eng. Data 56",
        title: "R-1234yf, vapour pressure of 2011",
        limits: |_| Limits::pressure(Kelvin::Fixed(0.02)),
        tolerance: "an older equation than the one behind our table: 0.02 K",
        note: None,
    },
    Source {
        begins: "REFPROP R1234yf",
        title: "R-1234yf, boiling point of a fluid file",
        limits: boiling_point_to_a_tenth,
        tolerance: "given to 0.1 K: 0.05 K",
        note: None,
    },
    Source {
        begins: "nominal normal boiling point",
        title: "R-454B, nominal boiling point",
        limits: handbook_table,
        tolerance: "a nominal value of unknown origin: 0.35 K",
        note: None,
    },
    Source {
        begins: "Dutch Health Council",
        title: "R-290, a health council's sheet",
        limits: safety_sheet,
        tolerance: "three digits of unknown origin, taken as good to 1.5 % in pressure",
        note: None,
    },
    Source {
        begins: "US OSHA",
        title: "R-290, a safety data page",
        limits: safety_sheet,
        tolerance: "two digits, taken as good to 1.5 % in pressure",
        note: Some(
            "8.4 atm is not the rounded value: ours and every handbook above give 8.5 atm at 70 degF, so the page \
             is low by more than its rounding.",
        ),
    },
];
