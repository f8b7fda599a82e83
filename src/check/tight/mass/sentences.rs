//! The sentences about mass.

use super::{Condition, MassDetail, MassError, detector_sight, share_a_year};
use crate::check::tight::criteria::{Criteria, Limit};
use crate::check::tight::detail::Detail;
use crate::check::tight::input::Input;
use crate::check::tight::reasons;
use crate::check::{Outcome, Reason};
use crate::physics::leak;
use crate::quantity::{Dimension, Interval, PressureAbs, PressureRate, Quantity};
use crate::source::SourceId;

/// What the loss would be in refrigerant, and what bubbles and a detector would show beside it.
///
/// `passes_to`: the highest loss that these readings rule out; `level`: the pressure in the middle of the test.
pub(in crate::check::tight) fn reasons_of(
    input: &Input,
    criteria: &Criteria,
    detail: &Detail,
    outcome: Outcome,
    passes_to: PressureRate,
    level: PressureAbs,
) -> Vec<Reason> {
    let mut out = Vec::new();
    if outcome == Outcome::Undecided
        && let Limit::Mass(limit) = criteria.limit
    {
        out.push(passes(input, limit, passes_to, level));
    }
    let Some(mass) = &detail.mass else {
        return out;
    };
    out.push(lost(input, mass));
    if mass.bubbles.condition != Condition::Running {
        let text = MassError::NotCondensing {
            refrigerant: mass.refrigerant,
            condition: Condition::Running,
        };
        out.push(Reason::new(
            reasons::MASS_NOT_VALID,
            super::CONDITIONS_SOURCE,
            text.to_string(),
        ));
    }
    out.push(bubbles(mass));
    let text = format!(
        "an electronic detector shows about {}, once refrigerant is inside",
        both(detector_sight())
    );
    out.push(Reason::new(
        reasons::DETECTOR_SEES,
        SourceId::DetectorSight,
        text,
    ));
    out
}

fn both<Q: Quantity>(value: Q) -> String {
    crate::quantity::both(value)
}

fn lost(input: &Input, mass: &MassDetail) -> Reason {
    let of = mass.losses.iter().map(|loss| {
        let share = input.charge.map_or(String::new(), |charge| {
            format!(
                ", {} of the charge a year",
                between(loss.share_a_year(charge), input)
            )
        });
        format!(
            "{} (saturation at {}) {}{share}",
            loss.condition.words(),
            loss.condition.saturation().show(input.units),
            loss.interval().show_both()
        )
    });
    let text = format!(
        "the same hole would lose {} {}; over three laws of flow and the interval of the loss",
        mass.refrigerant,
        of.collect::<Vec<_>>().join("; ")
    );
    Reason::new(reasons::MASS_LOSS, leak::SOURCE, text)
}

fn bubbles(mass: &MassDetail) -> Reason {
    let range = mass.bubbles.interval();
    let ends = [range.low, range.high].map(crate::quantity::MassRate::from_si);
    let most = mass.losses.last().map_or(0.0, |loss| loss.interval().high);
    let proves = crate::quantity::MassRate::from_si(most);
    let text = format!(
        "bubbles during the test would show a hole that loses {} to {} {}, where they wet it; this hold rules out more than {}",
        both(ends[0]),
        both(ends[1]),
        mass.bubbles.condition.words(),
        both(proves)
    );
    Reason::new(reasons::BUBBLES_SEE, SourceId::BubbleSight, text)
}

/// The mass limit was not reached: what the readings do pass, so that nobody is worse off for having given the volume.
fn passes(
    input: &Input,
    limit: PressureRate,
    passes_to: PressureRate,
    level: PressureAbs,
) -> Reason {
    let show = |rate: PressureRate| rate.show(input.units);
    let scaled = Limit::Scaled.at(level);
    let beside = if passes_to < scaled {
        "they pass"
    } else {
        "they do not pass either"
    };
    let text = format!(
        "these readings pass to {}; {} of the charge a year while running would be {}, by the least favourable of three laws of flow; without the volume the limit would be {}, which {beside}",
        show(passes_to),
        share_a_year().show(input.units),
        show(limit),
        show(scaled)
    );
    Reason::new(reasons::PASSES_TO, SourceId::TightMassLimit, text)
}

/// "0.1 to 2 %".
fn between(share: Interval, input: &Input) -> String {
    let end = |si: f64| Dimension::Fraction.show(si, input.units);
    format!("{} to {}", end(share.low).number(), end(share.high))
}

/// What the numbers in grams leave out.
pub(in crate::check::tight) fn unseen(detail: &Detail) -> Option<String> {
    detail.mass.as_ref().map(|_| {
        "How much liquid the hole would lose: the grams a year are for vapour at it, liquid is several times as much.".into()
    })
}
