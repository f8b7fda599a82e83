//! The lines of a pressure-enthalpy diagram, from the tables of a refrigerant.

use super::figure::{Contour, Leg, PressureEnthalpy, StateMark};
use crate::fluid::refrigerant::{Side, State, Subcooled, Superheated};
use crate::fluid::{Refrigerant, Saturation};
use crate::quantity::{
    Dimension, PressureAbs, Quantity, SpecificEnthalpy, SpecificEntropy, Temperature,
    TemperatureDiff, UnitSystem, unit,
};

/// A state to mark on the diagram.
#[derive(Debug, Clone, PartialEq)]
pub struct NamedState {
    /// What it is: "suction".
    pub label: String,
    /// Pressure.
    pub pressure: PressureAbs,
    /// Enthalpy.
    pub enthalpy: SpecificEnthalpy,
}

/// Points along a line.
const POINTS: usize = 48;
/// The coldest saturation shown when no state lies below it, °C.
const COLDEST: f64 = -40.0;
/// Superheat in the lower right corner, K; the tables reach somewhat further.
const HOTTEST: f64 = 100.0;

impl PressureEnthalpy {
    /// The diagram of a refrigerant with states marked on it.
    ///
    /// Across the dome an isotherm is drawn straight from bubble to dew: exact for one component. In a blend only its
    /// two ends are computed; the true line sags between them, the more the larger the glide.
    ///
    /// ```
    /// use lineproof::fluid::Refrigerant;
    /// use lineproof::out::figure::PressureEnthalpy;
    /// use lineproof::quantity::UnitSystem;
    /// let diagram = PressureEnthalpy::of(Refrigerant::R32, UnitSystem::Si, &[]);
    /// assert_eq!(diagram.pressure_unit, "bar abs");
    /// assert!(diagram.isotherms.iter().any(|line| line.label == "40"));
    /// ```
    pub fn of(
        refrigerant: Refrigerant,
        units: UnitSystem,
        states: &[NamedState],
    ) -> PressureEnthalpy {
        Lines::of(refrigerant, units, states).diagram(states)
    }
}

/// Points in the reader's units: (enthalpy, pressure).
type Line = Vec<(f64, f64)>;

/// The tables of a refrigerant, and the frame they are drawn in.
struct Lines {
    refrigerant: Refrigerant,
    units: UnitSystem,
    saturation: &'static Saturation,
    vapour: &'static Superheated,
    liquid: &'static Subcooled,
    /// Pa, lowest and highest drawn.
    pressures: (f64, f64),
    /// Coldest saturation drawn.
    coldest: Temperature,
}

impl Lines {
    fn of(refrigerant: Refrigerant, units: UnitSystem, states: &[NamedState]) -> Lines {
        let saturation = Saturation::of(refrigerant);
        let usual = Temperature::of(COLDEST, unit::CELSIUS);
        let lowest = states.iter().map(|state| state.pressure);
        let marked = lowest.filter_map(|p| saturation.bubble_temperature(p).ok());
        let coldest = marked.fold(usual, |a, b| if b < a { b } else { a });
        let low = saturation.dew_pressure(coldest);
        let (_, high) = saturation.pressure_range(Side::Dew);
        Lines {
            refrigerant,
            units,
            saturation,
            vapour: Superheated::of(refrigerant),
            liquid: Subcooled::of(refrigerant),
            pressures: (low.map_or(high.si() / 50.0, Quantity::si), high.si()),
            coldest,
        }
    }

    fn diagram(&self, states: &[NamedState]) -> PressureEnthalpy {
        let si = |dimension: Dimension| dimension.show(0.0, self.units).unit;
        let mark = |state: &NamedState| {
            let (enthalpy, pressure) = self.point(state.enthalpy, state.pressure);
            StateMark {
                label: state.label.clone(),
                enthalpy,
                half_enthalpy: 0.0,
                pressure,
                half_pressure: 0.0,
                read: true,
            }
        };
        let states: Vec<_> = states.iter().map(mark).collect();
        let (bubble, dew) = self.dome();
        let zero = SpecificEnthalpy::from_si(200e3).show(self.units);
        let freezing = Temperature::of(0.0, unit::CELSIUS).show(self.units);
        PressureEnthalpy {
            refrigerant: self.refrigerant.name().to_string(),
            enthalpies: self.enthalpies(&bubble, &dew, &states),
            pressures: (
                dew.first().map_or(0.0, |p| 0.85 * p.1),
                bubble.last().map_or(0.0, |p| 1.12 * p.1),
            ),
            bubble,
            dew,
            isotherms: self.isotherms(),
            isentropes: self.isentropes(),
            legs: round(states.len()),
            states,
            lead: None,
            notes: Vec::new(),
            zero: format!(
                "boiling liquid at {} has {}",
                freezing.decimals(0),
                zero.decimals(if self.units == UnitSystem::Us { 1 } else { 0 })
                    .number()
            ),
            enthalpy_unit: si(Dimension::SpecificEnthalpy),
            pressure_unit: PressureAbs::of(1.0, unit::BAR_ABS).show(self.units).unit,
            temperature_unit: si(Dimension::Temperature),
            entropy_unit: si(Dimension::SpecificEntropy),
        }
    }

    /// In the reader's units: (enthalpy, pressure).
    fn point(&self, enthalpy: SpecificEnthalpy, pressure: PressureAbs) -> (f64, f64) {
        let pressure = absolute(pressure, self.units);
        (enthalpy.show(self.units).value, pressure)
    }

    fn at(&self, state: &State) -> (f64, f64) {
        self.point(state.enthalpy, state.pressure)
    }

    /// From the coldest liquid to the hot corner, with the whole dome and every state inside.
    fn enthalpies(
        &self,
        bubble: &[(f64, f64)],
        dew: &[(f64, f64)],
        states: &[StateMark],
    ) -> (f64, f64) {
        let corner = self.vapour.at_superheat(
            PressureAbs::from_si(self.pressures.0),
            TemperatureDiff::from_si(HOTTEST),
        );
        let coldest = bubble.first().map_or(0.0, |p| p.0);
        let corner = corner.map_or(coldest, |state| self.at(&state).0);
        let room = 0.04 * (corner - coldest);
        // in heavy refrigerants the dome leans to the right
        let furthest = dew.iter().map(|p| p.0 + 3.0 * room);
        let marked = states.iter().map(|s| s.enthalpy);
        let low = marked.clone().fold(coldest, f64::min) - room;
        let high = furthest
            .chain(marked.map(|h| h + room))
            .fold(corner, f64::max);
        (low, high)
    }

    /// Bubble and dew from the coldest saturation to the table's end.
    fn dome(&self) -> (Line, Line) {
        let (_, end) = self.saturation.temperature_range();
        // closer together near the end, where the dome bends
        let temperatures = (0..=POINTS).map(|i| {
            let share = 1.0 - (1.0 - i as f64 / POINTS as f64).powi(2);
            let span = (end - self.coldest).si();
            Temperature::from_si((self.coldest.si() + share * span).min(end.si()))
        });
        temperatures
            .filter_map(|t| self.ends(t))
            .map(|[b, d]| (b, d))
            .unzip()
    }

    /// Bubble and dew at a temperature.
    fn ends(&self, t: Temperature) -> Option<[(f64, f64); 2]> {
        let table = self.saturation;
        let bubble = self.point(
            table.liquid_enthalpy(t).ok()?,
            table.bubble_pressure(t).ok()?,
        );
        let dew = self.point(table.vapour_enthalpy(t).ok()?, table.dew_pressure(t).ok()?);
        Some([bubble, dew])
    }

    fn isotherms(&self) -> Vec<Contour> {
        let (unit, step) = match self.units {
            UnitSystem::Us => (unit::FAHRENHEIT, 20.0),
            UnitSystem::Si => (unit::CELSIUS, 10.0),
        };
        let dew = self
            .saturation
            .dew_temperature(PressureAbs::from_si(self.pressures.1));
        let hottest = dew.map_or(self.coldest, |t| t + TemperatureDiff::from_si(HOTTEST));
        let first = (self.coldest.in_unit(unit) / step - 1e-9).ceil() as i64;
        let last = (hottest.in_unit(unit) / step).floor() as i64;
        (first..=last)
            .map(|i| self.isotherm(Temperature::of(i as f64 * step, unit)))
            .collect()
    }

    fn isotherm(&self, t: Temperature) -> Contour {
        let (low, high) = self.pressures;
        let table = self.saturation;
        let across = self.ends(t);
        let mut points = Vec::new();
        if let Ok(bubble) = table.bubble_pressure(t) {
            let states = logarithmic(high, bubble.si());
            points.extend(states.filter_map(|p| Some(self.at(&self.liquid.at(p, t).ok()?))));
        }
        points.extend(across.into_iter().flatten());
        let start = table.dew_pressure(t).map_or(high, Quantity::si);
        let states = logarithmic(start, low);
        points.extend(states.filter_map(|p| Some(self.at(&self.vapour.at(p, t).ok()?))));
        let number = t.show(self.units).decimals(0).number();
        Contour {
            label: number.replace('-', "\u{2212}"),
            points,
            across,
        }
    }

    fn isentropes(&self) -> Vec<Contour> {
        let (unit, steps) = match self.units {
            UnitSystem::Us => (unit::BTU_PER_POUND_FAHRENHEIT, [0.01, 0.02, 0.05]),
            UnitSystem::Si => (unit::KILOJOULE_PER_KILOGRAM_KELVIN, [0.05, 0.1, 0.2]),
        };
        let (low, high) = self.pressures;
        let at_dew = logarithmic(low, high).filter_map(|p| self.dew_entropy(p));
        let least = at_dew
            .map(|s| s.in_unit(unit))
            .fold(f64::INFINITY, f64::min);
        let corner = self
            .vapour
            .at_superheat(PressureAbs::from_si(low), TemperatureDiff::from_si(HOTTEST));
        let Ok(corner) = corner else {
            return Vec::new();
        };
        let most = corner.entropy.in_unit(unit);
        let few = |step: &f64| most - least < 9.0 * step;
        let step = steps.into_iter().find(few).unwrap_or(steps[2]);
        let first = (least / step).ceil() as i64;
        let last = (most / step).floor() as i64;
        (first..=last)
            .map(|i| i as f64 * step)
            .map(|number| Contour {
                label: format!("{number:.2}"),
                points: self.isentrope(SpecificEntropy::of(number, unit)),
                across: None,
            })
            .collect()
    }

    /// From where the line leaves the dew line, or from the lowest pressure, upwards.
    fn isentrope(&self, entropy: SpecificEntropy) -> Line {
        let above_dew = |p: PressureAbs| self.dew_entropy(p).is_some_and(|dew| dew <= entropy);
        let mut points = Vec::new();
        let mut before: Option<PressureAbs> = None;
        for p in logarithmic(self.pressures.0, self.pressures.1) {
            if let Some(before) = before.filter(|b| above_dew(*b) != above_dew(p)) {
                let crossing = crossing(before, p, above_dew);
                let dew = self
                    .vapour
                    .at_superheat(crossing, TemperatureDiff::from_si(0.0));
                points.extend(dew.map(|state| self.at(&state)));
            }
            points.extend(
                self.vapour
                    .at_entropy(p, entropy)
                    .map(|state| self.at(&state)),
            );
            before = Some(p);
        }
        points
    }

    fn dew_entropy(&self, p: PressureAbs) -> Option<SpecificEntropy> {
        let t = self.saturation.dew_temperature(p).ok()?;
        self.saturation.vapour_entropy(t).ok()
    }
}

/// An absolute pressure on the reader's scale.
pub(super) fn absolute(pressure: PressureAbs, units: UnitSystem) -> f64 {
    match units {
        UnitSystem::Us => pressure.in_unit(unit::PSIA),
        UnitSystem::Si => pressure.in_unit(unit::BAR_ABS),
    }
}

/// From each state to the next, and from the last to the first.
fn round(states: usize) -> Vec<Leg> {
    let legs = if states < 2 { 0 } else { states };
    let leg = |from| Leg {
        from,
        to: (from + 1) % states,
        dashed: false,
    };
    (0..legs).map(leg).collect()
}

/// Between two pressures of which one is on a side and the other is not: where it changes.
fn crossing(
    mut a: PressureAbs,
    mut b: PressureAbs,
    side: impl Fn(PressureAbs) -> bool,
) -> PressureAbs {
    let start = side(a);
    for _ in 0..24 {
        let middle = PressureAbs::from_si((a.si() * b.si()).sqrt());
        if side(middle) == start {
            a = middle;
        } else {
            b = middle;
        }
    }
    a
}

/// Pressures from one to another in Pa, evenly spaced in their logarithms.
fn logarithmic(from: f64, to: f64) -> impl Iterator<Item = PressureAbs> {
    let at = move |i: usize| from * (to / from).powf(i as f64 / POINTS as f64);
    // rounding must not leave the table at its very end
    let (low, high) = (from.min(to), from.max(to));
    (0..=POINTS).map(move |i| PressureAbs::from_si(at(i).clamp(low, high)))
}
