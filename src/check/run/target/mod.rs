//! Targets that hang on the weather and the air in the house: superheat of a fixed orifice, temperature split.

mod error;
mod order;
mod table;
#[cfg(test)]
mod tests;

use std::sync::LazyLock;

use crate::quantity::{
    Interval, Measured, Propagated, Quantity, Temperature, TemperatureDiff, propagate, unit,
};
use crate::source::SourceId;

pub use error::{TableError, TargetError};
pub use table::{Axis, Cell, TargetTable};

/// A target with the uncertainty of the thermometers that it was looked up with.
#[derive(Debug, Clone, PartialEq)]
pub struct Target {
    /// The value.
    pub value: TemperatureDiff,
    /// Its standard uncertainty; that of the table itself is not known.
    pub standard_uncertainty: TemperatureDiff,
    /// What each thermometer adds to the uncertainty, largest first.
    pub parts: Vec<(&'static str, TemperatureDiff)>,
    /// Where the table or the rule comes from.
    pub source: SourceId,
}

/// What a table or a rule says at the conditions read.
#[derive(Debug, Clone, PartialEq)]
pub enum Looked {
    /// A target.
    Target(Target),
    /// A dash: no test is valid at these conditions.
    NoTest {
        /// Where the table comes from.
        source: SourceId,
    },
}

impl Looked {
    /// The target, unless there is none.
    pub fn target(self) -> Option<Target> {
        match self {
            Looked::Target(target) => Some(target),
            Looked::NoTest { .. } => None,
        }
    }
}

/// How the superheat target of a fixed orifice is found where the unit prints none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum SuperheatRule {
    /// The published table ([`target_superheat`]).
    #[default]
    PublishedTable,
    /// The rule of the trade ([`common_practice_superheat`]).
    CommonPractice,
}

/// The published table of target superheat.
pub fn superheat_table() -> &'static TargetTable {
    static TABLE: LazyLock<TargetTable> = LazyLock::new(|| {
        shipped(
            include_str!("../../../../tables/target_superheat.csv"),
            SourceId::TargetSuperheatTable,
        )
    });
    &TABLE
}

/// The published table of target temperature split.
pub fn split_table() -> &'static TargetTable {
    static TABLE: LazyLock<TargetTable> = LazyLock::new(|| {
        shipped(
            include_str!("../../../../tables/target_split.csv"),
            SourceId::TargetSplitTable,
        )
    });
    &TABLE
}

fn shipped(text: &str, source: SourceId) -> TargetTable {
    TargetTable::parse(text, source).expect("a test reads every shipped table")
}

/// Target superheat of a fixed orifice by the published table.
///
/// `outdoor`: air entering the outdoor unit, 55 to 115 °F; `return_wet_bulb`: 50 to 76 °F. Bilinear between cells; a
/// dash where the target would be below 5 °F. Uncertainty of the two thermometers by [`propagate`]. The values are
/// remembered: the source says so. Source: [`SourceId::TargetSuperheatTable`].
///
/// ```
/// use lineproof::check::run::target::target_superheat;
/// use lineproof::quantity::{Measured, Origin, Quantity, Temperature, TemperatureDiff, unit};
/// let air = |t| Measured {
///     value: Temperature::of(t, unit::FAHRENHEIT),
///     standard_uncertainty: TemperatureDiff::of(1.0, unit::FAHRENHEIT_DIFF),
///     origin: Origin::Reading("thermometer".into()),
/// };
/// let target = target_superheat(&air(85.0), &air(67.0)).unwrap().target().unwrap();
/// assert!((target.value.in_unit(unit::FAHRENHEIT_DIFF) - 17.3).abs() < 0.05);
/// assert_eq!(target.parts[0].0, "return wet bulb");
/// ```
pub fn target_superheat(
    outdoor: &Measured<Temperature>,
    return_wet_bulb: &Measured<Temperature>,
) -> Result<Looked, TargetError> {
    superheat_table().look_up(outdoor, return_wet_bulb)
}

/// Target temperature split (return less supply air) of a cooling coil by the published table.
///
/// `return_air`: 70 to 84 °F dry bulb; `return_wet_bulb`: 50 to 76 °F. Otherwise as [`target_superheat`]. Source:
/// [`SourceId::TargetSplitTable`].
pub fn target_split(
    return_air: &Measured<Temperature>,
    return_wet_bulb: &Measured<Temperature>,
) -> Result<Looked, TargetError> {
    split_table().look_up(return_air, return_wet_bulb)
}

/// Target superheat of a fixed orifice by the rule of the trade; it must be chosen by its name.
///
/// `(3 WB - 80 - DB) / 2` in °F, with the return wet bulb and the outdoor dry bulb. Taken over the range of the published
/// table, from which it lies up to 6.5 °F away, 1.0 °F on average. Source: [`SourceId::SuperheatFormula`].
pub fn common_practice_superheat(
    outdoor: &Measured<Temperature>,
    return_wet_bulb: &Measured<Temperature>,
) -> Result<Looked, TargetError> {
    let (rows, columns) = (outdoor.value, return_wet_bulb.value);
    // a dash there is none of the rule's business, a temperature outside is
    superheat_table().at(rows, columns)?;
    let inputs = [
        part(Axis::Outdoor, outdoor),
        part(Axis::ReturnWetBulb, return_wet_bulb),
    ];
    let formula = |x: &[f64]| {
        let [dry, wet] = [x[0], x[1]].map(|si| unit::FAHRENHEIT.from_si(si));
        let target = TemperatureDiff::of((3.0 * wet - 80.0 - dry) / 2.0, unit::FAHRENHEIT_DIFF);
        Ok::<_, std::convert::Infallible>(target.si())
    };
    let Ok(propagated) = propagate(&inputs, formula);
    Ok(Looked::Target(Target::from(
        propagated,
        SourceId::SuperheatFormula,
    )))
}

impl TargetTable {
    /// The target at two readings, in the order of the axes, with their uncertainty.
    pub fn look_up(
        &self,
        row: &Measured<Temperature>,
        column: &Measured<Temperature>,
    ) -> Result<Looked, TargetError> {
        let home = (row.value, column.value);
        let no_test = Looked::NoTest {
            source: self.source(),
        };
        if self.at(home.0, home.1)? == Cell::NoTest {
            return Ok(no_test);
        }
        let [rows, columns] = self.axes();
        let inputs = [part(rows, row), part(columns, column)];
        let propagated = propagate(&inputs, |x| {
            let at = (Temperature::from_si(x[0]), Temperature::from_si(x[1]));
            self.near(home, at).map(Quantity::si).ok_or(())
        });
        // no square with three cells holds the place: nothing says how the target changes around it
        Ok(propagated.map_or(no_test, |p| Looked::Target(Target::from(p, self.source()))))
    }
}

impl Target {
    /// A target as the user typed it.
    pub fn typed(value: TemperatureDiff) -> Target {
        Target {
            value,
            standard_uncertainty: TemperatureDiff::from_si(0.0),
            parts: Vec::new(),
            source: SourceId::UnitInstructions,
        }
    }

    /// The target with its range.
    pub fn interval(&self) -> Interval {
        Interval::normal(self.value, self.standard_uncertainty)
    }

    fn from(propagated: Propagated, source: SourceId) -> Target {
        let kelvin = TemperatureDiff::from_si;
        Target {
            value: kelvin(propagated.value),
            standard_uncertainty: kelvin(propagated.standard_uncertainty),
            parts: propagated
                .parts
                .into_iter()
                .map(|(name, part)| (name, kelvin(part)))
                .collect(),
            source,
        }
    }
}

pub(super) fn part(axis: Axis, read: &Measured<Temperature>) -> (&'static str, f64, f64) {
    (
        axis.words(),
        read.value.si(),
        read.standard_uncertainty.si(),
    )
}
