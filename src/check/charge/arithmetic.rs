//! The line-length adjustment line by line, and physics beside the maker's factor.

use super::{Accessory, Criteria, Input, LineLabel, Run, Shipped};
use crate::fluid::refrigerant::RangeError;
use crate::fluid::{Refrigerant, Saturation};
use crate::physics::cycle::MeteringPlace;
use crate::quantity::{Fraction, Length, Mass, MassPerLength, Quantity, UnitSystem};

/// One line of the arithmetic.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What it is for.
    pub label: String,
    /// How its mass comes about.
    pub term: Term,
    /// Its mass; signed.
    pub mass: Mass,
}

/// How a line's mass comes about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Term {
    /// Length beyond the included one, times the maker's factor.
    Run {
        /// Length as installed.
        installed: Length,
        /// Length that the nameplate charge covers.
        included: Length,
        /// The maker's charge per length.
        factor: MassPerLength,
    },
    /// As stated for a part.
    Stated,
    /// As a pre-charged line's own label states it.
    Label {
        /// The label.
        label: LineLabel,
        /// Length as installed.
        installed: Length,
        /// The maker's charge per length.
        factor: MassPerLength,
    },
}

impl Line {
    /// The arithmetic as a reader of the unit system sees it: "(12.0 m - 10.0 m) x 15.0 g/m".
    pub fn expression(&self, system: UnitSystem) -> String {
        match self.term {
            Term::Run {
                installed,
                included,
                factor,
            } => format!(
                "({} - {}) x {}",
                installed.show(system),
                included.show(system),
                factor.show(system)
            ),
            Term::Stated => "as stated".to_string(),
            Term::Label {
                label: LineLabel::Mass(_),
                ..
            } => "as the line's label states".to_string(),
            Term::Label {
                label: LineLabel::PerLength(per_length),
                installed,
                ..
            } => format!("{} x {}", installed.show(system), per_length.show(system)),
            Term::Label {
                label: LineLabel::ForLength(length),
                factor,
                ..
            } => format!("{} x {}", length.show(system), factor.show(system)),
        }
    }
}

/// The line-length adjustment with its arithmetic.
#[derive(Debug, Clone, PartialEq)]
pub struct Adjustment {
    /// Each run and each accessory.
    pub lines: Vec<Line>,
    /// Their sum; signed.
    pub total: Mass,
}

/// The line-length adjustment: `sum (installed - included) x factor + accessories`; signed.
///
/// Common practice, no source; the factor is the maker's.
pub fn adjustment(runs: &[Run], accessories: &[Accessory]) -> Adjustment {
    let runs = runs.iter().map(|run| Line {
        label: run.name.clone(),
        term: Term::Run {
            installed: run.installed,
            included: run.included,
            factor: run.factor,
        },
        mass: run.factor * (run.installed - run.included),
    });
    let accessories = accessories.iter().map(|part| Line {
        label: part.name.clone(),
        term: Term::Stated,
        mass: part.mass,
    });
    let lines: Vec<Line> = runs.chain(accessories).collect();
    summed(lines)
}

fn summed(lines: Vec<Line>) -> Adjustment {
    // an empty sum of floating-point numbers is -0
    let total = lines.iter().fold(0.0, |sum, line| sum + line.mass.si());
    Adjustment {
        lines,
        total: Mass::from_si(total),
    }
}

/// The charge that came in pre-charged lines, by their own labels: it counts as already in.
///
/// A label states a mass, a charge per length (times the length as installed), or the length that the line was filled
/// for (times the maker's factor). Common practice, no source; the label is the maker's.
pub fn came_in_lines(runs: &[Run]) -> Adjustment {
    let lines: Vec<Line> = runs
        .iter()
        .filter_map(|run| {
            let label = run.label?;
            Some(Line {
                label: run.name.clone(),
                term: Term::Label {
                    label,
                    installed: run.installed,
                    factor: run.factor,
                },
                mass: match label {
                    LineLabel::Mass(mass) => mass,
                    LineLabel::PerLength(per_length) => per_length * run.installed,
                    LineLabel::ForLength(length) => run.factor * length,
                },
            })
        })
        .collect();
    summed(lines)
}

/// What has to be weighed in: the adjustment less what came in the lines; with the nameplate charge, when the unit came
/// empty.
pub(super) fn to_weigh_in(input: &Input, adjustment: Mass) -> Mass {
    let beyond = adjustment.si() - came_in_lines(&input.runs).total.si();
    match input.shipped {
        Shipped::Charged => Mass::from_si(beyond),
        Shipped::Empty => Mass::from_si(input.nameplate.si() + beyond),
    }
}

/// Physics beside a run's factor.
#[derive(Debug, Clone, PartialEq)]
pub struct BesideFactor {
    /// Which run.
    pub run: String,
    /// The maker's factor.
    pub factor: MassPerLength,
    /// Liquid filling the bore of the liquid line.
    pub liquid: MassPerLength,
    /// Vapour filling the bore of the vapour line.
    pub vapour: MassPerLength,
    /// What physics expects of the factor.
    pub expected: MassPerLength,
    /// The factor less what physics expects, as a share of the latter; of the nearer one when the place of the
    /// metering device is not known.
    pub differs: Fraction,
}

/// The charge per length that bore and density ask for.
///
/// `m' = A_l rho_l(T_l) + A_v rho_v(T_v)`, half of it with the metering device outdoors, where the line carries liquid
/// and vapour. Temperatures from the criteria (35 °C liquid, 7 °C saturated vapour by default: the program's own
/// choice). `None` without tubes.
pub fn physics_beside(
    refrigerant: Refrigerant,
    run: &Run,
    metering: Option<MeteringPlace>,
    criteria: &Criteria,
) -> Option<Result<BesideFactor, RangeError>> {
    let tubes = run.tubes?;
    Some(
        densities(refrigerant, criteria).map(|(rho_liquid, rho_vapour)| {
            let liquid = tubes.liquid.bore_area().si() * rho_liquid;
            let vapour = tubes.vapour.bore_area().si() * rho_vapour;
            let full = liquid + vapour;
            let factor = run.factor.si();
            let expected = match metering {
                Some(MeteringPlace::Indoors) => full,
                Some(MeteringPlace::Outdoors) => full / 2.0,
                None if (factor / full - 1.0).abs() < (2.0 * factor / full - 1.0).abs() => full,
                None => full / 2.0,
            };
            BesideFactor {
                run: run.name.clone(),
                factor: run.factor,
                liquid: MassPerLength::from_si(liquid),
                vapour: MassPerLength::from_si(vapour),
                expected: MassPerLength::from_si(expected),
                differs: Fraction::from_si(factor / expected - 1.0),
            }
        }),
    )
}

fn densities(refrigerant: Refrigerant, criteria: &Criteria) -> Result<(f64, f64), RangeError> {
    let saturation = Saturation::of(refrigerant);
    let liquid = saturation.liquid_density(criteria.liquid_line)?;
    let vapour = saturation.vapour_density(criteria.vapour_line)?;
    Ok((liquid.si(), vapour.si()))
}
