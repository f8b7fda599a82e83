//! Slips: readings that contradict themselves as typed, and the small mistake that would explain it.
//!
//! A slip is a pure change of the input. It is asked about only when the readings contradict themselves as typed and the
//! change removes every contradiction; nothing is ever corrected silently.

mod kind;
mod sense;

pub use kind::{Column, Probe, Sides, Slip, WrittenUnit};

use super::reasons;
use super::{Criteria, Input};
use crate::check::Reason;
use crate::fluid::Refrigerant;
use crate::quantity::{Quantity, TemperatureDiff, unit};
use sense::{About, Contradiction, Weight, contradictions, usual};

/// Most slips asked about at once.
const MOST: usize = 2;
/// Contradictions smaller than this together do not call the refrigerant into question, degF.
const REFRIGERANT_FROM_F: f64 = 5.0;
/// Most refrigerants named at once.
const MOST_NAMES: usize = 4;

/// What is to be asked about the readings as they were typed.
#[derive(Debug, Default)]
pub(super) struct Asked {
    /// Slips that would explain everything, the simplest first.
    pub slips: Vec<Slip>,
    /// One reason for each of them.
    pub questions: Vec<Reason>,
    /// Slips that a fault explains as well: asked about beside the outcome, which stays.
    pub beside: Vec<Reason>,
    /// Contradictions that leave no reading standing, when nothing explains them.
    pub impossible: Vec<Reason>,
    /// Readings that are hardly ever so.
    pub unlikely: Vec<Reason>,
}

/// Looks for contradictions, and for the slip that would explain them.
pub(super) fn ask(input: &Input, criteria: &Criteria) -> Asked {
    let found = contradictions(input, criteria);
    if found.is_empty() {
        return Asked::default();
    }
    let slips = explaining(input, criteria, &found);
    let names: Vec<String> = found.iter().map(|c| c.what.clone()).collect();
    let questions = if let [Slip::Refrigerant(_), ..] = slips[..] {
        vec![reasons::slip::other_refrigerant(
            input.refrigerant,
            &refrigerants(&slips),
            &names,
        )]
    } else {
        slips
            .iter()
            .filter_map(|slip| Some(reasons::slip::asked(&slip.question(input)?, &names)))
            .collect()
    };
    // a slip that explains them is asked about instead
    let left: &[Contradiction] = if slips.is_empty() { &found } else { &[] };
    let said = |weight: Weight| {
        left.iter()
            .filter(move |c| c.weight == weight)
            .map(|c| reasons::slip::contradiction(&c.what, weight == Weight::Impossible))
            .collect()
    };
    // a starved evaporator is as cold: the finding stays, and the slip is asked beside it
    let (questions, beside) = match starving(&found) {
        true => (Vec::new(), questions),
        false => (questions, Vec::new()),
    };
    Asked {
        impossible: said(Weight::Impossible),
        unlikely: said(Weight::Unlikely),
        slips,
        questions,
        beside,
    }
}

fn starving(found: &[Contradiction]) -> bool {
    found.iter().all(|c| c.about == About::Starving)
}

fn refrigerants(slips: &[Slip]) -> Vec<Refrigerant> {
    let named = slips.iter().filter_map(|slip| match slip {
        Slip::Refrigerant(other) => Some(*other),
        _ => None,
    });
    named.take(MOST_NAMES).collect()
}

fn explaining(input: &Input, criteria: &Criteria, found: &[Contradiction]) -> Vec<Slip> {
    let fits = |slip: &Slip| {
        slip.apply(input)
            .is_some_and(|read| contradictions(&read, criteria).is_empty() && usual(&read))
    };
    let tap = found.iter().any(|c| c.about == About::GaugeAboveBend);
    let starving = starving(found);
    let simple: Vec<Slip> = Slip::simple()
        .into_iter()
        .filter(|slip| tap || *slip != Slip::DischargeTap)
        .filter(|slip| !starving || slip.is_large())
        .filter(|slip| fits(slip))
        .take(MOST)
        .collect();
    if !simple.is_empty() || starving {
        return simple;
    }
    let together: f64 = found.iter().map(|c| c.by.si()).sum();
    if together < TemperatureDiff::of(REFRIGERANT_FROM_F, unit::FAHRENHEIT_DIFF).si() {
        return Vec::new();
    }
    let others = Refrigerant::ALL.iter().copied().map(Slip::Refrigerant);
    others.filter(fits).collect()
}

/// Which refrigerants have the saturation that a gauge and a probe on a coil bend of the same side read together.
///
/// The mark is true where pressure and temperature belong together within two and a half standard uncertainties on
/// every side where both were read; empty where no side has both. Range: each refrigerant's own table.
pub fn refrigerants_by_saturation(input: &Input) -> Vec<(Refrigerant, bool)> {
    let known = Refrigerant::ALL.iter().filter_map(|&refrigerant| {
        let other = Slip::Refrigerant(refrigerant)
            .apply(input)
            .unwrap_or_else(|| input.clone());
        sense::sides_agree(&other).map(|agree| (refrigerant, agree))
    });
    known.collect()
}
