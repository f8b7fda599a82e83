//! What a person who weighs in needs to know beforehand: what belongs in, what is in, where the scale has to stop.

use super::arithmetic::{Adjustment, adjustment, came_in_lines};
use super::{Criteria, Hose, HoseContent, Input, Shipped, WeighingError};
use crate::quantity::{Mass, Quantity, both};

/// What is to be weighed in, and where the scale stops.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The nameplate charge.
    pub nameplate: Mass,
    /// The line-length adjustment with its arithmetic.
    pub adjustment: Adjustment,
    /// What came in pre-charged lines, by their own labels.
    pub came_in_lines: Adjustment,
    /// Nameplate charge and adjustment: all that belongs in.
    pub belongs_in: Mass,
    /// What the weighing begins with.
    pub start: Start,
    /// What counts as in before the weighing.
    pub in_before: Mass,
    /// What is still to be weighed in; negative: more is in than belongs in.
    pub still: Mass,
    /// A remainder up to this is left as it is.
    pub left_as_it_is: Mass,
    /// What the hose keeps when it is left full of liquid.
    pub hose: Option<HoseContent>,
    /// What has to leave the cylinder: what is still to be weighed in, and what the hose keeps; none when nothing is
    /// to be weighed in.
    pub leaves_cylinder: Option<Mass>,
    /// What the scale shows with the cylinder on it when it is enough.
    pub stop_at: Option<Mass>,
}

/// What the weighing begins with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Start {
    /// The charge the unit came with; what was weighed in since counts.
    AsItCame,
    /// A circuit without refrigerant, because the unit came empty; what was weighed in since counts.
    CameEmpty,
    /// A circuit whose refrigerant was recovered, as nobody knows how much was left: the whole charge.
    AfterRecovery,
}

/// A refrigerant cylinder on the scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cylinder {
    /// What it weighs before.
    pub before: Mass,
    /// Its own weight, as stamped on it.
    pub empty: Option<Mass>,
}

/// Why there is no reading to stop at.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PlanError {
    /// Not enough in the cylinder.
    #[error(
        "the cylinder weighs {}, {}, and {} has to leave it: take a fuller one, or check the readings", both(*before), match empty { Some(empty) => format!("{} of it its own weight", both(*empty)), None => "its own weight included".into() }, both(*needed)
    )]
    TooLight {
        /// What it weighs.
        before: Mass,
        /// Its own weight, if it was given.
        empty: Option<Mass>,
        /// What has to leave it.
        needed: Mass,
    },
    /// Lighter than when empty.
    #[error(
        "the cylinder weighs {} and {} when empty: check which is which", both(*before), both(*empty)
    )]
    LighterThanEmpty {
        /// What it weighs.
        before: Mass,
        /// Its own weight.
        empty: Mass,
    },
    /// The hose.
    #[error(transparent)]
    Hose(#[from] WeighingError),
}

/// What is still to be weighed in, and where the scale stops.
///
/// `belongs_in = nameplate + adjustment`; `still = belongs_in - in_before`, where the nameplate charge (unless the unit
/// came empty), what came in pre-charged lines and what was weighed in since count as in; nothing does once refrigerant
/// got out or the circuit was opened, as then it is recovered first. `leaves_cylinder = still + m_hose`,
/// `stop_at = before - leaves_cylinder`. Nothing is to leave the cylinder when `still` is inside 3 % of the nameplate
/// charge or two standard uncertainties of what was weighed in.
///
/// Common practice, no source.
///
/// ```
/// use lineproof::check::charge::{Criteria, Cylinder, Input, Run, Shipped, plan};
/// use lineproof::fluid::Refrigerant;
/// use lineproof::quantity::{Length, Mass, MassPerLength, Quantity, unit};
/// let input = Input {
///     refrigerant: Refrigerant::R32,
///     nameplate: Mass::of(1050.0, unit::GRAM),
///     shipped: Shipped::Charged,
///     metering: None,
///     runs: vec![Run {
///         name: "line".into(),
///         installed: Length::of(14.0, unit::METRE),
///         included: Length::of(7.0, unit::METRE),
///         factor: MassPerLength::of(20.0, unit::GRAM_PER_METRE),
///         tubes: None,
///         label: None,
///     }],
///     accessories: Vec::new(),
///     weighed_in: None,
///     incidents: Vec::new(),
/// };
/// let cylinder = Cylinder { before: Mass::of(9.84, unit::KILOGRAM), empty: None };
/// let plan = plan(&input, &Criteria::default(), Some(cylinder), None)?;
/// assert!((plan.stop_at.unwrap().in_unit(unit::KILOGRAM) - 9.70).abs() < 1e-9);
/// # Ok::<(), lineproof::check::charge::PlanError>(())
/// ```
pub fn plan(
    input: &Input,
    criteria: &Criteria,
    cylinder: Option<Cylinder>,
    hose: Option<Hose>,
) -> Result<Plan, PlanError> {
    let adjustment = adjustment(&input.runs, &input.accessories);
    let came_in_lines = came_in_lines(&input.runs);
    let belongs_in = input.nameplate.si() + adjustment.total.si();
    let start = match input.shipped {
        _ if !input.incidents.is_empty() => Start::AfterRecovery,
        Shipped::Charged => Start::AsItCame,
        Shipped::Empty => Start::CameEmpty,
    };
    let weighed = input.weighed_in.as_ref().map(|w| &w.mass);
    let since = came_in_lines.total.si() + weighed.map_or(0.0, |w| w.value.si());
    let in_before = match start {
        Start::AsItCame => input.nameplate.si() + since,
        Start::CameEmpty => since,
        Start::AfterRecovery => 0.0,
    };
    let still = belongs_in - in_before;
    let u = weighed.map_or(0.0, |w| w.standard_uncertainty.si());
    let left = (criteria.small_remainder.si() * input.nameplate.si()).max(2.0 * u);
    let hose = hose
        .map(|hose| hose.full_of_liquid(input.refrigerant, criteria))
        .transpose()
        .map_err(WeighingError::from)?;
    // what the unit came with may be off by a little; a whole charge is weighed to the gram
    let leave = start != Start::AfterRecovery && still.abs() <= left;
    let leaves_cylinder =
        (still > 0.0 && !leave).then(|| Mass::from_si(still + hose.map_or(0.0, |h| h.mass.si())));
    let stop_at = match (cylinder, leaves_cylinder) {
        (Some(cylinder), Some(needed)) => Some(cylinder.without(needed)?),
        _ => None,
    };
    Ok(Plan {
        nameplate: input.nameplate,
        adjustment,
        came_in_lines,
        belongs_in: Mass::from_si(belongs_in),
        start,
        in_before: Mass::from_si(in_before),
        still: Mass::from_si(still),
        left_as_it_is: Mass::from_si(left),
        hose,
        leaves_cylinder,
        stop_at,
    })
}

impl Cylinder {
    /// What it weighs once so much has left it.
    fn without(self, needed: Mass) -> Result<Mass, PlanError> {
        let Cylinder { before, empty } = self;
        if let Some(empty) = empty
            && before.si() < empty.si()
        {
            return Err(PlanError::LighterThanEmpty { before, empty });
        }
        let stop = before.si() - needed.si();
        if stop < empty.map_or(0.0, Mass::si) {
            return Err(PlanError::TooLight {
                before,
                empty,
                needed,
            });
        }
        Ok(Mass::from_si(stop))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::charge::{Incident, LineLabel, Run, WeighedIn};
    use crate::fluid::Refrigerant;
    use crate::quantity::{Length, MassPerLength, Measured, Origin, unit};

    fn grams(value: f64) -> Mass {
        Mass::of(value, unit::GRAM)
    }

    /// 12 m with 8 m included at 30 g/m: 120 g beyond 2000 g.
    fn input() -> Input {
        Input {
            refrigerant: Refrigerant::R410A,
            nameplate: grams(2000.0),
            shipped: Shipped::Charged,
            metering: None,
            runs: vec![Run {
                name: "line".into(),
                installed: Length::of(12.0, unit::METRE),
                included: Length::of(8.0, unit::METRE),
                factor: MassPerLength::of(30.0, unit::GRAM_PER_METRE),
                tubes: None,
                label: None,
            }],
            accessories: Vec::new(),
            weighed_in: None,
            incidents: Vec::new(),
        }
    }

    fn planned(change: impl FnOnce(&mut Input)) -> Plan {
        let mut input = input();
        change(&mut input);
        plan(&input, &Criteria::default(), None, None).unwrap()
    }

    fn still(plan: &Plan) -> f64 {
        plan.still.in_unit(unit::GRAM).round()
    }

    #[test]
    fn what_came_in_counts_as_in() {
        assert_eq!(still(&planned(|_| {})), 120.0);
        assert_eq!(still(&planned(|i| i.shipped = Shipped::Empty)), 2120.0);
        for (label, left) in [
            (LineLabel::Mass(grams(50.0)), 70.0),
            (
                LineLabel::PerLength(MassPerLength::of(5.0, unit::GRAM_PER_METRE)),
                60.0,
            ),
            (LineLabel::ForLength(Length::of(3.0, unit::METRE)), 30.0),
        ] {
            let plan = planned(|i| i.runs[0].label = Some(label));
            assert_eq!(still(&plan), left, "{label:?}");
        }
        let read = Measured {
            value: grams(70.0),
            standard_uncertainty: grams(2.0),
            origin: Origin::Reading("scale".into()),
        };
        let plan = planned(|i| i.weighed_in = Some(WeighedIn::from(read)));
        assert_eq!(still(&plan), 50.0);
        // 50 g of 2000 g is inside 3 %: nothing leaves the cylinder
        assert_eq!(plan.leaves_cylinder, None);
    }

    #[test]
    fn after_an_incident_the_whole_charge_is_weighed() {
        let plan = planned(|i| {
            i.runs[0].label = Some(LineLabel::Mass(grams(50.0)));
            i.incidents = vec![Incident::Released {
                what: "2026-05-04".into(),
            }];
        });
        assert_eq!(plan.start, Start::AfterRecovery);
        assert_eq!(still(&plan), 2120.0);
    }

    #[test]
    fn a_line_that_is_shorter_leaves_the_cylinder_alone() {
        let plan = planned(|i| i.runs[0].installed = Length::of(2.0, unit::METRE));
        assert_eq!(still(&plan), -180.0);
        assert_eq!((plan.leaves_cylinder, plan.stop_at), (None, None));
    }

    #[test]
    fn the_scale_stops_behind_what_the_hose_keeps() {
        let cylinder = Cylinder {
            before: grams(9840.0),
            empty: Some(grams(6000.0)),
        };
        let hose = Hose::new(
            Length::of(1.5, unit::METRE),
            Length::of(5.0, unit::MILLIMETRE),
        )
        .unwrap();
        let plan = plan(&input(), &Criteria::default(), Some(cylinder), Some(hose)).unwrap();
        // 9840 g less 120 g less 31.9 g in the hose
        assert!((plan.stop_at.unwrap().in_unit(unit::GRAM) - 9688.1).abs() < 0.1);
    }

    #[test]
    fn a_cylinder_that_holds_too_little_is_refused() {
        for (before, empty, says) in [
            (100.0, None, "its own weight included"),
            (6100.0, Some(6000.0), "take a fuller one"),
            (5000.0, Some(6000.0), "check which is which"),
        ] {
            let cylinder = Cylinder {
                before: grams(before),
                empty: empty.map(grams),
            };
            let error = plan(&input(), &Criteria::default(), Some(cylinder), None).unwrap_err();
            assert!(error.to_string().contains(says), "{error}");
        }
    }
}
