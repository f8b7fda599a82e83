//! Readings against their targets.

use super::criteria::Tolerance;
use super::reading::Reading;
use super::reasons;
use super::target::{
    self, Axis, Looked, SuperheatRule, Target, TargetError, TargetTable, superheat_table,
};
use super::{Conditions, Criteria, Input, Judged};
use crate::check::{Outcome, Reason};
use crate::physics::cycle::{MeteringDevice, MeteringKind};
use crate::quantity::{Measured, Quantity, Temperature, TemperatureDiff};
use crate::source::SourceId;
use crate::stats::within::{Within, judge_within, probability_within};

/// What the targets make of the readings.
#[derive(Debug)]
pub(super) struct Held {
    pub outcome: Outcome,
    pub judged: Vec<Judged>,
    pub reasons: Vec<Reason>,
    /// The target that was looked up.
    pub target: Option<Target>,
}

impl Held {
    fn nothing(outcome: Outcome, reasons: Vec<Reason>) -> Held {
        Held {
            outcome,
            judged: Vec::new(),
            reasons,
            target: None,
        }
    }
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

/// A fixed orifice: superheat against the target at these conditions.
fn hold_orifice(input: &Input, criteria: &Criteria, superheat: Option<&Reading>) -> Held {
    let Some(reading) = superheat else {
        let missing = reasons::reading_missing("superheat");
        return Held::nothing(Outcome::Undecided, vec![missing]);
    };
    let target = match superheat_target(input) {
        Ok(target) => target,
        Err((outcome, said)) => return Held::nothing(outcome, said),
    };
    let typed = input.targets.superheat.is_some();
    let mut beside = Vec::new();
    if !typed {
        beside.push(reasons::target::used(&target));
    }
    if target.value < criteria.least_target_superheat {
        let mut said = vec![reasons::target_too_small(target.value, criteria)];
        said.extend(beside);
        return Held {
            target: Some(target).filter(|_| !typed),
            ..Held::nothing(Outcome::NotValidNow, said)
        };
    }
    let judged = judge_around("superheat", reading, &target, criteria.superheat);
    let mut held = decide(vec![(judged, reading)]);
    held.reasons.extend(beside);
    held.target = Some(target).filter(|_| !typed);
    held
}

/// Why there is no target: the outcome, and what is said.
pub(super) type NoTarget = (Outcome, Vec<Reason>);

/// The target of a fixed orifice: as typed, from the unit's own table, from the published table, or by the rule chosen.
pub(super) fn superheat_target(input: &Input) -> Result<Target, NoTarget> {
    if let Some(typed) = input.targets.superheat {
        return Ok(Target::typed(typed));
    }
    let around = &input.conditions;
    if let Some(table) = &input.targets.superheat_table {
        return looked_up(table, around);
    }
    let rule = input.targets.superheat_rule;
    let source = match rule {
        SuperheatRule::PublishedTable => superheat_table().source(),
        SuperheatRule::CommonPractice => SourceId::SuperheatFormula,
    };
    let missing = |axis| {
        let asked = [
            reasons::target::asked(),
            reasons::target::reading_asked(axis, source),
        ];
        (Outcome::Undecided, asked.to_vec())
    };
    let outdoor = around.outdoor.as_ref();
    let outdoor = outdoor.ok_or_else(|| missing(Axis::Outdoor))?;
    let wet = around.return_wet_bulb.as_ref();
    let wet = wet.ok_or_else(|| missing(Axis::ReturnWetBulb))?;
    let looked = match rule {
        SuperheatRule::PublishedTable => target::target_superheat(outdoor, wet),
        SuperheatRule::CommonPractice => target::common_practice_superheat(outdoor, wet),
    };
    found(looked, source)
}

/// The target in the unit's own table.
fn looked_up(table: &TargetTable, around: &Conditions) -> Result<Target, NoTarget> {
    let read = |axis| -> Result<&Measured<Temperature>, NoTarget> {
        let reading = match axis {
            Axis::Outdoor => &around.outdoor,
            Axis::ReturnAir => &around.return_air,
            Axis::ReturnWetBulb => &around.return_wet_bulb,
        };
        let asked = || reasons::target::reading_asked(axis, table.source());
        reading
            .as_ref()
            .ok_or_else(|| (Outcome::Undecided, vec![asked()]))
    };
    let [rows, columns] = table.axes();
    found(table.look_up(read(rows)?, read(columns)?), table.source())
}

fn found(looked: Result<Looked, TargetError>, source: SourceId) -> Result<Target, NoTarget> {
    let none = |reason| (Outcome::NotValidNow, vec![reason]);
    match looked {
        Ok(Looked::Target(target)) => Ok(target),
        Ok(Looked::NoTest { source }) => Err(none(reasons::target::dash(source))),
        Err(error) => Err(none(reasons::target::outside(&error, source))),
    }
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
            let target = Target::typed(target);
            let judged = judge_around("subcooling", reading, &target, criteria.subcooling);
            held.push((judged, reading));
        }
    }
    match superheat {
        None => missing.push(reasons::reading_missing("superheat")),
        Some(reading) => {
            let range = criteria.valve_superheat;
            let judged = judge("superheat", reading, (range.low, range.high), range.source);
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

/// Against a fixed range.
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
        target: None,
        dominant: reading.dominant(),
        source,
    }
}

/// Against a target that is itself uncertain; reading and target come from different thermometers.
pub(super) fn judge_around(
    name: &'static str,
    reading: &Reading,
    target: &Target,
    tolerance: Tolerance,
) -> Judged {
    let parts = [reading.parts.as_slice(), target.parts.as_slice()].concat();
    let u = reading
        .standard_uncertainty
        .si()
        .hypot(target.standard_uncertainty.si());
    let together = Reading {
        standard_uncertainty: TemperatureDiff::from_si(u),
        parts: largest_first(parts),
        ..reading.clone()
    };
    Judged {
        target: Some(target.interval()),
        ..judge(
            name,
            &together,
            tolerance.around(target.value),
            tolerance.source,
        )
    }
}

fn largest_first(
    mut parts: Vec<(&'static str, TemperatureDiff)>,
) -> Vec<(&'static str, TemperatureDiff)> {
    parts.sort_by(|a, b| b.1.si().total_cmp(&a.1.si()));
    parts
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
        target: None,
    }
}
