//! What would look like this: the signs of seven features, and the faults whose signs they are.
//!
//! A sign is told when a reading lies beyond its expectation with more than 95 %. A fault is named only when two signs
//! agree, none is against it, and fewer features stand as expected than agree. Nothing here says to add or take out
//! refrigerant.

mod feature;
mod heating;
mod table;

pub use feature::{Expected, Feature, FeatureRow, Sign};

use super::reading::Reading;
use super::reasons;
use super::{Criteria, Input};
use crate::check::Reason;
use crate::physics::cycle::MeteringKind;
use crate::source::SourceId;
use table::{LOST, RESTRICTION, faults};

pub(super) use heating::too_much_in_heating;

/// Signs that have to agree before a fault is named.
const ENOUGH: usize = 2;

/// One fault and what the readings make of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Hint {
    /// The fault: "condenser fouling".
    pub fault: &'static str,
    /// Where its signs come from.
    pub source: SourceId,
    /// Features whose sign is the fault's.
    pub agree: Vec<Feature>,
    /// Features whose sign is the opposite.
    pub against: Vec<Feature>,
    /// Features that the fault moves, and that stand as expected.
    pub as_expected: Vec<Feature>,
    /// Features that the fault moves, and that were not read or not told.
    pub open: Vec<Feature>,
}

impl Hint {
    /// Whether the fault would look like these readings.
    pub fn fits(&self) -> bool {
        self.agree.len() >= ENOUGH
            && self.against.is_empty()
            && self.agree.len() > self.as_expected.len()
    }
}

/// The features and the faults, with what is said of them.
#[derive(Debug, Clone, Default)]
pub(super) struct Looked {
    pub features: Vec<FeatureRow>,
    pub hints: Vec<Hint>,
    pub reasons: Vec<Reason>,
}

/// Holds each feature against its expectation and each fault against the signs.
///
/// `split`: the expected air drop over the indoor coil, where one can be had; else a common range.
pub(super) fn look(
    input: &Input,
    criteria: &Criteria,
    superheat: Option<&Reading>,
    subcooling: Option<&Reading>,
    split: Option<Expected>,
) -> Looked {
    let features = feature::rows(input, criteria, superheat, subcooling, split);
    let valve = input
        .machine
        .metering
        .is_some_and(|device| device.kind != MeteringKind::FixedOrifice);
    let hints: Vec<Hint> = faults()
        .iter()
        .map(|fault| weigh(fault, &features, valve))
        .collect();
    Looked {
        reasons: said(&features, &hints, valve),
        features,
        hints,
    }
}

/// A valve holds superheat, and with it the discharge temperature, while it can.
fn held_by_a_valve(feature: Feature) -> bool {
    matches!(feature, Feature::Superheat | Feature::Discharge)
}

fn weigh(fault: &table::Fault, features: &[FeatureRow], valve: bool) -> Hint {
    let mut hint = Hint {
        fault: fault.name,
        source: fault.source,
        agree: Vec::new(),
        against: Vec::new(),
        as_expected: Vec::new(),
        open: Vec::new(),
    };
    for row in features {
        let Some(moved) = fault.sign(row.feature) else {
            continue;
        };
        if valve && held_by_a_valve(row.feature) {
            continue;
        }
        let list = match row.sign {
            sign if sign == moved => &mut hint.agree,
            Sign::Above | Sign::Below => &mut hint.against,
            Sign::AsExpected => &mut hint.as_expected,
            Sign::NotTold | Sign::NotRead => &mut hint.open,
        };
        list.push(row.feature);
    }
    hint
}

fn said(features: &[FeatureRow], hints: &[Hint], valve: bool) -> Vec<Reason> {
    let fitting: Vec<&Hint> = hints.iter().filter(|hint| hint.fits()).collect();
    let told = features
        .iter()
        .filter(|row| matches!(row.sign, Sign::Above | Sign::Below))
        .filter(|row| !(valve && held_by_a_valve(row.feature)))
        .count();
    if fitting.is_empty() {
        let nearest = hints
            .iter()
            .filter(|hint| hint.agree.len() >= ENOUGH && !hint.against.is_empty())
            .max_by_key(|hint| hint.agree.len());
        return match nearest {
            Some(nearest) if told >= ENOUGH => {
                vec![reasons::hint::conflict(features, nearest, valve)]
            }
            _ => Vec::new(),
        };
    }
    let is = |name: &str| fitting.iter().any(|hint| hint.fault == name);
    let open = is(LOST) && is(RESTRICTION);
    let mut reasons: Vec<Reason> = Vec::new();
    if open {
        let subcooling = features
            .iter()
            .find(|row| row.feature == Feature::Subcooling)
            .map(|row| row.sign);
        let lost = fitting.iter().find(|hint| hint.fault == LOST);
        reasons.extend(
            lost.map(|hint| reasons::hint::lost_or_restricted(features, hint, subcooling, valve)),
        );
    }
    let alone = fitting
        .iter()
        .filter(|hint| !(open && (hint.fault == LOST || hint.fault == RESTRICTION)));
    reasons.extend(alone.map(|hint| reasons::hint::looks_like(features, hint, valve)));
    reasons
}
