//! What was weighed in against what had to be.

use super::arithmetic::{Adjustment, adjustment, came_in_lines, physics_beside, to_weigh_in};
use super::reasons;
use super::{BesideFactor, Criteria, Detail, Input, Run, printed_for};
use crate::check::{Detail as AnyDetail, Finding, NamedInterval, Outcome, Reason, Segment, Stage};
use crate::fluid::Refrigerant;
use crate::quantity::{Interval, Mass, Quantity};
use crate::source::SourceId;
use crate::stats::within::{Within, judge_within};

/// Segments that a charge fills.
const FILLED: [Segment; 4] = [
    Segment::OutdoorUnit,
    Segment::LiquidLine,
    Segment::VapourLine,
    Segment::IndoorCoil,
];

/// Compares what was weighed in with the line-length adjustment (and the nameplate charge, for a unit shipped empty).
///
/// *pass*: the remainder is within 3 % of the nameplate charge with more than 95 %; *fail*: outside it; *undecided*: the
/// scale cannot tell, or refrigerant may be gone; *not done*: charge is still to be weighed in; *not valid now*: R-744,
/// which has no liquid above 31 °C to fill a line with.
pub fn assess(input: &Input, criteria: &Criteria) -> Finding {
    let Adjustment {
        lines,
        total: adjustment,
    } = adjustment(&input.runs, &input.accessories);
    let due = to_weigh_in(input, adjustment);
    let (weighed, u) = match &input.weighed_in {
        Some(w) => (w.mass.value.si(), w.mass.standard_uncertainty),
        None => (0.0, Mass::from_si(0.0)),
    };
    let remainder = Mass::from_si(weighed - due.si());
    let band = criteria.small_remainder.si() * input.nameplate.si();
    let left_as_it_is = Mass::from_si(band.max(2.0 * u.si()));
    let interval = Interval::normal(remainder, u);

    let (outcome, mut reasons) = if -adjustment.si() >= input.nameplate.si() {
        let reason = reasons::impossible(adjustment, input.nameplate);
        (Outcome::Undecided, vec![reason])
    } else if !input.incidents.is_empty() {
        let said = input.incidents.iter().map(reasons::incident).collect();
        (Outcome::Undecided, said)
    } else if input.refrigerant == Refrigerant::R744 {
        (Outcome::NotValidNow, vec![reasons::not_for_r744()])
    } else if input.weighed_in.is_none() && remainder.si() < -band {
        (Outcome::NotDone, vec![reasons::to_weigh_in(due)])
    } else {
        weighed_against(interval, remainder, u, left_as_it_is, band, criteria)
    };

    let (beside, physics_reasons) = physics(input, criteria);
    reasons.push(reasons::adjustment(adjustment));
    reasons.extend(reasons::belongs(input));
    reasons.extend(physics_reasons);
    let unseen = match outcome {
        Outcome::Pass => vec![
            "whether the nameplate charge was in the unit when it came".to_string(),
            "refrigerant lost since it was weighed in".to_string(),
        ],
        _ => Vec::new(),
    };
    Finding {
        covers: FILLED.to_vec(),
        figures: vec![
            NamedInterval {
                name: "line-length adjustment",
                interval: Interval::normal(adjustment, Mass::from_si(0.0)),
                source: SourceId::UnitInstructions,
            },
            NamedInterval {
                name: "remainder",
                interval,
                source: SourceId::Jcgm100,
            },
        ],
        unseen,
        detail: AnyDetail::Charge(Detail {
            lines,
            adjustment,
            came_in_lines: came_in_lines(&input.runs).total,
            to_weigh_in: due,
            remainder: interval,
            left_as_it_is,
            beside,
            inside: None,
        }),
        ..Finding::plain(Stage::Charge, outcome, reasons)
    }
}

fn weighed_against(
    interval: Interval,
    remainder: Mass,
    u: Mass,
    left: Mass,
    band: f64,
    criteria: &Criteria,
) -> (Outcome, Vec<Reason>) {
    match judge_within(remainder.si(), u.si(), -band, band) {
        // half a gram is below any scale of the trade
        Within::Inside if remainder.si().abs() < 0.5e-3 => {
            (Outcome::Pass, vec![reasons::charge_right(interval)])
        }
        Within::Inside => {
            let reason = reasons::remainder_left(remainder, left, criteria);
            (Outcome::Pass, vec![reason])
        }
        Within::Outside if remainder.si() < 0.0 => {
            (Outcome::Fail, vec![reasons::short_of_charge(interval)])
        }
        Within::Outside => (Outcome::Fail, vec![reasons::too_much_charge(interval)]),
        Within::Undecided => (
            Outcome::Undecided,
            vec![reasons::within_the_scale(interval, Mass::from_si(band))],
        ),
    }
}

fn physics(input: &Input, criteria: &Criteria) -> (Vec<BesideFactor>, Vec<Reason>) {
    let mut beside = Vec::new();
    let mut said = Vec::new();
    for run in &input.runs {
        match physics_beside(input.refrigerant, run, input.metering, criteria) {
            None => {}
            Some(Ok(physics)) => {
                if physics.differs.si().abs() > criteria.factor_spread.si() {
                    said.push(reasons::factor_off(&physics, criteria));
                }
                said.extend(printed(input, run));
                beside.push(physics);
            }
            Some(Err(error)) => {
                said.push(reasons::no_physics(&error.to_string(), criteria));
                break;
            }
        }
    }
    if input.metering.is_none() && !input.runs.is_empty() {
        said.push(reasons::metering_asked());
    }
    (beside, said)
}

/// What other makers print for such a run, when its place in the circuit is known.
fn printed(input: &Input, run: &Run) -> Option<Reason> {
    let printed = printed_for(input.refrigerant, run.tubes?.liquid, input.metering?)?;
    Some(reasons::printed_beside(&run.name, printed))
}
