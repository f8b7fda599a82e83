//! What a refrigerant is, and what it is like at a pressure and a temperature.
//!
//! ```
//! use lineproof::fluid::Refrigerant;
//! use lineproof::out::properties::Properties;
//! use lineproof::quantity::{PressureAbs, Quantity, Temperature, unit};
//! let pressure = PressureAbs::of(8.0, unit::BAR_ABS);
//! let found = Properties::at(Refrigerant::R454B, pressure, Temperature::of(2.0, unit::CELSIUS))?;
//! assert!(matches!(found, Properties::Saturated { between: true, .. }));
//! # Ok::<(), lineproof::fluid::refrigerant::StateError>(())
//! ```

use std::fmt::Write;

use super::diagram::NamedState;
use crate::fluid::refrigerant::{
    Facts, Limit, Phase, RangeError, SafetyClass, Side, State, StateError, Stated, Subcooled,
    Superheated, Viscosities,
};
use crate::fluid::{Refrigerant, Saturation};
use crate::quantity::{
    Density, HeatCapacity, PressureAbs, Quantity, Shown, SpecificEnthalpy, SpecificEntropy,
    Temperature, TemperatureDiff, UnitSystem, Viscosity, unit,
};

/// A refrigerant at some pressure, some temperature, or both.
#[derive(Debug, Clone, PartialEq)]
pub enum Properties {
    /// All vapour or all liquid.
    OnePhase {
        /// The state.
        state: State,
        /// Dew for vapour, bubble for liquid.
        saturation: Temperature,
        /// How far the table may be off there: a limit.
        saturation_limit: TemperatureDiff,
    },
    /// Boiling liquid and condensing vapour.
    Saturated {
        /// At one pressure: what was given lies between the two.
        between: bool,
        /// Boiling liquid.
        bubble: Saturated,
        /// Condensing vapour.
        dew: Saturated,
    },
}

/// A saturated phase.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Saturated {
    /// Temperature.
    pub temperature: Temperature,
    /// Pressure.
    pub pressure: PressureAbs,
    /// Density.
    pub density: Density,
    /// Enthalpy.
    pub enthalpy: SpecificEnthalpy,
    /// Entropy.
    pub entropy: SpecificEntropy,
    /// Heat capacity at constant pressure.
    pub heat_capacity: HeatCapacity,
    /// Viscosity.
    pub viscosity: Viscosity,
}

impl Properties {
    /// Both saturated phases at a temperature, each at its pressure.
    pub fn at_temperature(refrigerant: Refrigerant, at: Temperature) -> Result<Self, StateError> {
        Ok(Properties::Saturated {
            between: false,
            bubble: saturated(refrigerant, Side::Bubble, at)?,
            dew: saturated(refrigerant, Side::Dew, at)?,
        })
    }

    /// Both saturated phases at a pressure, each at its temperature.
    pub fn at_pressure(refrigerant: Refrigerant, at: PressureAbs) -> Result<Self, StateError> {
        let table = Saturation::of(refrigerant);
        let bubble = table.bubble_temperature(at)?;
        let dew = table.dew_temperature(at)?;
        Ok(Properties::Saturated {
            between: false,
            bubble: saturated(refrigerant, Side::Bubble, bubble)?,
            dew: saturated(refrigerant, Side::Dew, dew)?,
        })
    }

    /// The state at a pressure and a temperature; between bubble and dew, both saturated phases at that pressure.
    pub fn at(
        refrigerant: Refrigerant,
        pressure: PressureAbs,
        temperature: Temperature,
    ) -> Result<Self, StateError> {
        let state = match refrigerant.state(pressure, temperature) {
            Err(StateError::Between { .. }) => {
                let mut both = Properties::at_pressure(refrigerant, pressure)?;
                if let Properties::Saturated { between, .. } = &mut both {
                    *between = true;
                }
                return Ok(both);
            }
            state => state?,
        };
        let table = Saturation::of(refrigerant);
        let side = state.phase.side();
        let share = table.model_uncertainty().si();
        let limit = share * pressure.si() * table.slope(side, pressure)?;
        Ok(Properties::OnePhase {
            state,
            saturation: table.temperature(side, pressure)?,
            saturation_limit: TemperatureDiff::from_si(limit),
        })
    }

    /// Where it lies on the diagram.
    pub fn marks(&self, units: UnitSystem) -> Vec<NamedState> {
        let mark = |name: &str, temperature: Temperature, pressure, enthalpy| NamedState {
            label: format!("{name} {}", temperature.show(units))
                .trim()
                .to_string(),
            pressure,
            enthalpy,
        };
        match self {
            Properties::OnePhase { state, .. } => {
                vec![mark("", state.temperature, state.pressure, state.enthalpy)]
            }
            Properties::Saturated { bubble, dew, .. } => vec![
                mark(
                    "bubble",
                    bubble.temperature,
                    bubble.pressure,
                    bubble.enthalpy,
                ),
                mark("dew", dew.temperature, dew.pressure, dew.enthalpy),
            ],
        }
    }

    /// Which models the numbers come from.
    pub fn sources(&self, refrigerant: Refrigerant) -> String {
        let source = Saturation::of(refrigerant).source().cite();
        let viscosities = Viscosities::of(refrigerant);
        match self {
            Properties::OnePhase { .. } => format!("Source: {source}.\n"),
            Properties::Saturated { .. } => format!(
                "Source: {source}. Viscosity, within {:.0} %: {}.\n",
                100.0 * viscosities.model_uncertainty().si(),
                viscosities.source().cite()
            ),
        }
    }

    /// As lines for a terminal, after "R-410A at 118psig (132.7 psia)".
    pub fn text(&self, given: &str, units: UnitSystem) -> String {
        match self {
            Properties::OnePhase {
                state,
                saturation,
                saturation_limit,
            } => one_phase(state, *saturation, *saturation_limit, given, units),
            Properties::Saturated {
                between,
                bubble,
                dew,
            } => saturated_text(*between, bubble, dew, given, units),
        }
    }
}

fn saturated(
    refrigerant: Refrigerant,
    side: Side,
    temperature: Temperature,
) -> Result<Saturated, StateError> {
    let table = Saturation::of(refrigerant);
    let pressure = table.pressure(side, temperature)?;
    let viscosities = Viscosities::of(refrigerant);
    let none = TemperatureDiff::from_si(0.0);
    let heat_capacity = match side {
        Side::Bubble => Subcooled::of(refrigerant).at_subcooling(pressure, none),
        Side::Dew => Superheated::of(refrigerant).at_superheat(pressure, none),
    };
    let (density, enthalpy, entropy, viscosity): Found = match side {
        Side::Bubble => (
            table.liquid_density(temperature)?,
            table.liquid_enthalpy(temperature)?,
            table.liquid_entropy(temperature)?,
            viscosities.liquid(temperature),
        ),
        Side::Dew => (
            table.vapour_density(temperature)?,
            table.vapour_enthalpy(temperature)?,
            table.vapour_entropy(temperature)?,
            viscosities.vapour(temperature),
        ),
    };
    Ok(Saturated {
        temperature,
        pressure,
        density,
        enthalpy,
        entropy,
        heat_capacity: heat_capacity?.heat_capacity,
        viscosity: viscosity?,
    })
}

type Found = (
    Density,
    SpecificEnthalpy,
    SpecificEntropy,
    Result<Viscosity, RangeError>,
);

fn one_phase(
    state: &State,
    saturation: Temperature,
    limit: TemperatureDiff,
    given: &str,
    units: UnitSystem,
) -> String {
    let side = state.phase.side();
    let away = match state.phase {
        Phase::Vapour => "above",
        Phase::Liquid => "below",
    };
    let mut out = format!(
        "{given}: {}, {} {away} {side} ({}).\n",
        state.phase.words(),
        state.from_saturation.show(units),
        saturation.show(units)
    );
    if state.from_saturation < limit {
        let _ = writeln!(
            out,
            "The table may be off by {} there, so it may as well be saturated.",
            limit.show(units)
        );
    }
    out.push('\n');
    let rows = [
        ("density", state.density.show(units)),
        ("enthalpy", state.enthalpy.show(units)),
        ("entropy", state.entropy.show(units)),
        ("heat capacity", state.heat_capacity.show(units)),
    ];
    for (name, shown) in rows {
        let _ = writeln!(out, "{name:<14}{:>10} {}", shown.number(), shown.unit);
    }
    out + "\n" + &zero(units)
}

fn saturated_text(
    between: bool,
    bubble: &Saturated,
    dew: &Saturated,
    given: &str,
    units: UnitSystem,
) -> String {
    let mut out = if between {
        format!(
            "{given}: between bubble and dew, part liquid and part vapour; pressure and temperature do not say how much of each.\n\n"
        )
    } else {
        format!("{given}, saturated:\n\n")
    };
    let _ = writeln!(out, "{:<14}{:>10}{:>10}", "", "bubble", "dew");
    for (bubble, dew) in bubble.rows(units).iter().zip(dew.rows(units)) {
        let _ = writeln!(
            out,
            "{:<14}{:>10}{:>10} {}",
            bubble.0,
            bubble.1.number(),
            dew.1.number(),
            dew.1.unit
        );
    }
    out + "\n" + &zero(units)
}

impl Saturated {
    fn rows(&self, units: UnitSystem) -> [(&'static str, Shown); 7] {
        [
            ("temperature", self.temperature.show(units)),
            ("pressure", self.pressure.show(units)),
            ("density", self.density.show(units)),
            ("enthalpy", self.enthalpy.show(units)),
            ("entropy", self.entropy.show(units)),
            ("heat capacity", self.heat_capacity.show(units)),
            ("viscosity", self.viscosity.show(units)),
        ]
    }
}

/// Where enthalpy and entropy are counted from.
fn zero(units: UnitSystem) -> String {
    format!(
        "Enthalpy and entropy are counted so that boiling liquid at {} has {} and {}.\n",
        Temperature::of(0.0, unit::CELSIUS).show(units).decimals(0),
        SpecificEnthalpy::from_si(200e3).show(units),
        SpecificEntropy::from_si(1e3).show(units)
    )
}

/// The facts of a refrigerant as lines for a terminal; what was not found is not known.
pub fn facts(refrigerant: Refrigerant, units: UnitSystem) -> String {
    let facts = refrigerant.facts();
    let table = Saturation::of(refrigerant);
    let (coldest, hottest) = table.temperature_range();
    let boils = facts.normal_boiling.map(|(bubble, dew)| {
        let glide = (dew - bubble).show(units);
        if glide.value < 0.005 {
            format!("{} at 1 atm", bubble.show(units))
        } else {
            format!(
                "{} to {} at 1 atm, glide {}",
                bubble.show(units).number(),
                dew.show(units),
                glide.decimals(2)
            )
        }
    });
    let composition: Vec<String> = facts
        .mass_percent
        .iter()
        .map(|(name, percent)| format!("{name} {percent} %"))
        .collect();
    let [ar4, ar5, ar6] = facts
        .gwp
        .map(|gwp| gwp.map_or(UNKNOWN.to_string(), |v| v.to_string()));
    let burns = match facts.class {
        SafetyClass::A1 => "does not burn",
        SafetyClass::A2L => "burns slowly",
        SafetyClass::A3 => "burns fast",
    };
    let rows = [
        (
            "class",
            format!(
                "{}, {burns}; {}",
                facts.class.word(),
                known_by(&facts.class_status)
            ),
        ),
        (
            "by mass",
            if composition.is_empty() {
                "one component".to_string()
            } else {
                composition.join(", ")
            },
        ),
        ("molar mass", format!("{} g/mol", facts.molar_mass)),
        (
            "critical point",
            format!(
                "{}, {}",
                facts.critical_temperature.show(units),
                facts.critical_pressure.show(units)
            ),
        ),
        (
            "boils",
            boils.unwrap_or_else(|| "no liquid at 1 atm".to_string()),
        ),
        ("lower flammable limit", limit(facts.lfl())),
        ("concentration limit", limit(facts.rcl())),
        (
            "GWP over 100 years",
            format!(
                "{ar4}, {ar5}, {ar6} by the 4th, 5th, 6th report of the IPCC; {}",
                known_by(&facts.gwp_status)
            ),
        ),
        (
            "tables",
            format!(
                "from {} to {} saturation",
                coldest.show(units),
                hottest.show(units)
            ),
        ),
    ];
    let mut out = format!("{refrigerant}\n\n");
    for (name, words) in rows {
        let _ = writeln!(out, "{name:<23}{words}");
    }
    let _ = write!(
        out,
        "\nWhat is from memory is to be read on the unit's label. Sources: {}; {}.\n",
        Facts::SOURCE.cite(),
        table.source().cite()
    );
    out
}

const UNKNOWN: &str = "not known";

/// A limit in air with the trade's units, and how it is known.
fn limit(limit: Limit) -> String {
    let shown = |stated: &Stated<Density>| {
        let grams = 1e3 * stated.value.in_unit(unit::KILOGRAM_PER_CUBIC_METRE);
        // 9.5 keeps its half, 210 gets no tail
        let grams = (10.0 * grams).round() / 10.0;
        let pounds = 1e3 * stated.value.in_unit(unit::POUND_PER_CUBIC_FOOT);
        let status = known_by(&stated.status);
        format!("{grams} g/m3, {pounds:.1} lb per 1000 ft3 of air; {status}")
    };
    match limit {
        Limit::Read(found) => shown(found),
        Limit::AskTheLabel(Some(found)) => format!("read the unit's label; {}", shown(found)),
        Limit::AskTheLabel(None) => format!("{UNKNOWN}; read the unit's label"),
        Limit::DoesNotApply => "does not apply".to_string(),
    }
}

/// The table's word for how a value is known, as it is said.
fn known_by(status: &str) -> String {
    status.replacen("memory", "from memory", 1)
}
