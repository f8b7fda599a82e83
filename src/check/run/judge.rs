//! Readings against their targets.

use super::reading::Reading;
use super::reasons;
use super::{Criteria, Input, Judged};
use crate::check::{Outcome, Reason};
use crate::physics::cycle::{MeteringDevice, MeteringKind};
use crate::quantity::{Quantity, TemperatureDiff};
use crate::source::SourceId;
use crate::stats::within::{Within, judge_within, probability_within};

/// What the targets make of the readings.
#[derive(Debug)]
pub(super) struct Held {
    pub outcome: Outcome,
    pub judged: Vec<Judged>,
    pub reasons: Vec<Reason>,
}

pub(super) fn hold(
    input: &Input,
    device: MeteringDevice,
    criteria: &Criteria,
    superheat: Option<&Reading>,
    subcooling: Option<&Reading>,
) -> Held {
    match device.kind {
        MeteringKind::FixedOrifice => hold_orifice(input, criteria, superheat),
        MeteringKind::ThermostaticValve | MeteringKind::ElectronicValve => {
            hold_valve(input, criteria, superheat, subcooling)
        }
    }
}

/// A fixed orifice: superheat against the target of the unit's charging table.
fn hold_orifice(input: &Input, criteria: &Criteria, superheat: Option<&Reading>) -> Held {
    let (Some(reading), Some(target)) = (superheat, input.targets.superheat) else {
        let missing = match superheat {
            None => reasons::reading_missing("superheat"),
            Some(_) => reasons::target_asked("superheat"),
        };
        return Held {
            outcome: Outcome::Undecided,
            judged: Vec::new(),
            reasons: vec![missing],
        };
    };
    if target < criteria.least_target_superheat {
        return Held {
            outcome: Outcome::NotValidNow,
            judged: Vec::new(),
            reasons: vec![reasons::target_too_small(target, criteria)],
        };
    }
    let range = around(target, criteria.superheat_tolerance);
    let judged = judge("superheat", reading, range, criteria.charge_source);
    decide(vec![(judged, reading)])
}

/// A valve: subcooling against the label, and superheat as the test of the valve itself.
fn hold_valve(
    input: &Input,
    criteria: &Criteria,
    superheat: Option<&Reading>,
    subcooling: Option<&Reading>,
) -> Held {
    let mut held = Vec::new();
    let mut missing = Vec::new();
    match (subcooling, input.targets.subcooling) {
        (None, _) => missing.push(reasons::reading_missing("subcooling")),
        (Some(_), None) => missing.push(reasons::target_asked("subcooling")),
        (Some(reading), Some(target)) => {
            let range = around(target, criteria.subcooling_tolerance);
            let judged = judge("subcooling", reading, range, criteria.charge_source);
            held.push((judged, reading));
        }
    }
    match superheat {
        None => missing.push(reasons::reading_missing("superheat")),
        Some(reading) => {
            let range = (criteria.valve_superheat_low, criteria.valve_superheat_high);
            let judged = judge("superheat", reading, range, criteria.charge_source);
            held.push((judged, reading));
        }
    }
    let mut held = decide(held);
    if !missing.is_empty() && held.outcome == Outcome::Pass {
        held.outcome = Outcome::Undecided;
    }
    held.reasons.extend(missing);
    held
}

fn around(
    target: TemperatureDiff,
    tolerance: TemperatureDiff,
) -> (TemperatureDiff, TemperatureDiff) {
    (target - tolerance, target + tolerance)
}

fn judge(
    name: &'static str,
    reading: &Reading,
    (low, high): (TemperatureDiff, TemperatureDiff),
    source: SourceId,
) -> Judged {
    let (value, u) = (reading.value.si(), reading.standard_uncertainty.si());
    Judged {
        name,
        value: reading.value,
        low,
        high,
        probability: probability_within(value, u, low.si(), high.si()),
        within: judge_within(value, u, low.si(), high.si()),
        source,
    }
}

/// *fail* when one is outside, *pass* when all are inside, else *undecided*.
fn decide(held: Vec<(Judged, &Reading)>) -> Held {
    let any = |within| held.iter().any(|(j, _)| j.within == within);
    let outcome = if any(Within::Outside) {
        Outcome::Fail
    } else if any(Within::Undecided) || held.is_empty() {
        Outcome::Undecided
    } else {
        Outcome::Pass
    };
    let mut reasons: Vec<Reason> = held
        .iter()
        .map(|(judged, reading)| match judged.within {
            Within::Inside => reasons::right(judged, reading),
            Within::Undecided => reasons::too_coarse(judged, reading),
            Within::Outside => reasons::off(judged, reading),
        })
        .collect();
    reasons.sort_by_key(|r| r.code.ends_with("-right"));
    Held {
        outcome,
        judged: held.into_iter().map(|(judged, _)| judged).collect(),
        reasons,
    }
}
