//! What is in there after an incident: what it could have cost, everything together, and how that changes the finding.

use super::arithmetic::{adjustment, came_in_lines};
use super::idle::Idle;
use super::joined::{
    Cost, Evidence, JoinError, Joined, RestsOn, WorthAsking, joined, worth_asking,
};
use super::lost::{Circuit, Escape, Lost, lost};
use super::performance::Air;
use super::reasons::{self, amounts};
use super::running::{Machine, Moment, Reading, Shown, Void, charge_share};
use super::{Criteria, Detail, Input, Shipped, assess};
use crate::check::{Detail as AnyDetail, Finding, NamedInterval, Outcome, Reason};
use crate::fluid::Refrigerant;
use crate::fluid::refrigerant::RangeError;
use crate::physics::cycle::Mode;
use crate::physics::flow::FlowError;
use crate::physics::inventory::{StandingMass, unseen_share};
use crate::quantity::{
    Fraction, Interval, Mass, Measured, Origin, Quantity, TemperatureDiff, unit,
};

/// Limit of error of a nameplate charge as the factory filled it, as a share; the program's own choice.
const FILLED_LIMIT: f64 = 0.01;
/// Standard uncertainty of a charge that nobody on record weighed, in a circuit that worked, as a share; likewise.
const WORKED: f64 = 0.05;
/// Standard uncertainty of one reading of subcooling with clamps alone, K; likewise.
const ONE_READING: f64 = 1.0;
/// Below this share of what belongs in it must not be left so; likewise.
pub const LEFT_SO: f64 = 0.9;

/// What a record knows of the mass inside beyond what was weighed.
#[derive(Debug, Clone, PartialEq)]
pub struct Known {
    /// What was in before the incidents.
    pub before: Before,
    /// The incidents since, in their order, each as if `before` had still been in.
    pub escapes: Vec<Escape>,
    /// Opened and not evacuated afterwards: air must be assumed.
    pub air: bool,
    /// The machine as rated, where its readings follow the charge.
    pub machine: Option<Machine>,
    /// Why readings of this machine say nothing about its charge, where that is known beforehand.
    pub void: Option<Void>,
    /// Whole running readings since the last incident.
    pub readings: Vec<(Reading, Moment)>,
    /// What a technician recovered after the last incident.
    pub recovered: Option<Measured<Mass>>,
    /// What was assumed, in words.
    pub assumed: Vec<&'static str>,
}

/// What was in before any incident.
#[derive(Debug, Clone, PartialEq)]
pub enum Before {
    /// The nameplate charge, what came in the lines and what was weighed in.
    AsWeighed,
    /// What a technician charged.
    Charged(Measured<Mass>),
    /// What belongs in: the circuit worked, and nobody on record weighed it.
    AsBelongs,
}

/// The mass inside after an incident, and what it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Inside {
    /// What it rests on: what was in before, what each incident could have cost, what readings show.
    pub evidence: Evidence,
    /// All of it together.
    pub joined: Joined,
    /// What such a charge costs in cooling, in the air of a rating.
    pub cost: Cost,
    /// Whether running readings are worth asking for; none where some were taken or none would tell anything.
    pub worth: Option<WorthAsking>,
    /// Air must be assumed inside.
    pub air: bool,
    /// What was weighed in before the incident was right by itself.
    pub weighed_right: bool,
    /// The share that could be gone before the pressure at rest falls.
    pub unseen_until: Fraction,
    /// What was assumed.
    pub assumed: Vec<&'static str>,
}

/// What an incident could have cost, all incidents together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LostInAll {
    /// The least.
    pub low: Mass,
    /// The most.
    pub high: Mass,
}

impl Inside {
    /// All incidents together.
    pub fn lost_in_all(&self) -> LostInAll {
        let sum =
            |end: fn(&Lost) -> Mass| self.evidence.lost.iter().map(|l| end(l).si()).sum::<f64>();
        LostInAll {
            low: Mass::from_si(sum(|l| l.low)),
            high: Mass::from_si(sum(|l| l.high)),
        }
    }

    /// Whether so little is missing at most that it may be left so until somebody weighs it: what was weighed in was
    /// right, all of the interval lies within a tenth of what belongs in, no evidence is in conflict, and no air has to
    /// be assumed.
    pub fn may_be_left_so(&self) -> bool {
        let near = self.joined.low95.si() >= LEFT_SO && self.joined.high95.si() <= 2.0 - LEFT_SO;
        let incident = self.joined.from != RestsOn::Recovered;
        near && incident && self.weighed_right && !self.air && !self.joined.conflict
    }
}

/// Why the mass inside cannot be told.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum InsideError {
    /// Outside the refrigerant's tables.
    #[error(transparent)]
    Flow(#[from] FlowError),
    /// Likewise.
    #[error(transparent)]
    Range(#[from] RangeError),
    /// No interval.
    #[error(transparent)]
    Joined(#[from] JoinError),
}

/// The mass inside after incidents; none without one, for R-744, and while the adjustment cannot be.
///
/// `input`: what belongs in and what was weighed; `known`: what a record knows beyond it.
///
/// Each incident is reckoned with all that was in before the first, and then capped by what the earlier ones can have
/// left: the least by the least left, the most by the most left.
///
/// Source: [`super::lost::SOURCE`], [`super::joined::SOURCE`].
pub fn inside(
    input: &Input,
    known: &Known,
    criteria: &Criteria,
) -> Result<Option<Inside>, InsideError> {
    let adjustment = adjustment(&input.runs, &input.accessories).total.si();
    let due = Mass::from_si(input.nameplate.si() + adjustment);
    let nothing = known.escapes.is_empty() && known.recovered.is_none();
    if nothing || due.si() <= 0.0 || input.refrigerant == Refrigerant::R744 {
        return Ok(None);
    }
    let before = before(input, &known.before, due);
    let lost = one_after_another(&before, &known.escapes)?;
    // air inside moves every reading
    let readings = known.readings.iter().filter(|_| !known.air);
    let mut running: Vec<Shown> = known.machine.map_or(Vec::new(), |machine| {
        readings
            .map(|(reading, moment)| charge_share(&machine, reading, *moment))
            .collect()
    });
    running.extend(known.void.map(Shown::Void));
    let evidence = Evidence {
        due,
        before,
        lost,
        running,
        recovered: known.recovered.clone(),
    };
    let joined = joined(&evidence)?;
    let asked = known.machine.filter(|machine| {
        known.readings.is_empty()
            && !known.air
            && known.recovered.is_none()
            && machine.subcooling.si() > ONE_READING
    });
    let worth = asked
        .map(|machine| {
            let one = TemperatureDiff::from_si(ONE_READING);
            worth_asking(&evidence, &machine, one, Fraction::from_si(LEFT_SO))
        })
        .transpose()?;
    let plain = Input {
        incidents: Vec::new(),
        ..input.clone()
    };
    let weighed_right = match known.before {
        Before::AsWeighed => assess(&plain, criteria).outcome == Outcome::Pass,
        Before::Charged(_) => true,
        Before::AsBelongs => false,
    };
    let volume = Circuit::of(evidence.before.clone()).volume.value;
    let room = crate::quantity::Temperature::of(20.0, unit::CELSIUS);
    Ok(Some(Inside {
        unseen_until: unseen_share(input.refrigerant, evidence.before.value, volume, room)?,
        cost: joined.cost(Air::rated(Mode::Cooling)),
        joined,
        evidence,
        worth,
        air: known.air,
        weighed_right,
        assumed: known.assumed.clone(),
    }))
}

fn before(input: &Input, known: &Before, due: Mass) -> Measured<Mass> {
    match known {
        Before::Charged(mass) => mass.clone(),
        Before::AsBelongs => Measured {
            value: due,
            standard_uncertainty: Mass::from_si(WORKED * due.si()),
            origin: Origin::Assumed("what belongs in, as it worked".into()),
        },
        Before::AsWeighed => {
            let came = match input.shipped {
                Shipped::Charged => input.nameplate.si(),
                Shipped::Empty => 0.0,
            };
            let filled = came + came_in_lines(&input.runs).total.si();
            let weighed = input.weighed_in.as_ref().map(|w| &w.mass);
            let value = filled + weighed.map_or(0.0, |w| w.value.si());
            let scale = weighed.map_or(0.0, |w| w.standard_uncertainty.si());
            let u = scale.hypot(FILLED_LIMIT / 3f64.sqrt() * filled);
            Measured {
                value: Mass::from_si(value.max(0.0)),
                standard_uncertainty: Mass::from_si(u),
                origin: Origin::Assumed("label and scale".into()),
            }
        }
    }
}

/// What each incident could have cost, no more than the earlier ones can have left.
fn one_after_another(before: &Measured<Mass>, escapes: &[Escape]) -> Result<Vec<Lost>, FlowError> {
    let u = 1.96 * before.standard_uncertainty.si();
    let (mut least, mut most) = ((before.value.si() - u).max(0.0), before.value.si() + u);
    let mut all = Vec::with_capacity(escapes.len());
    for escape in escapes {
        let mut cost = lost(&Escape {
            circuit: Circuit {
                charge: before.clone(),
                ..escape.circuit.clone()
            },
            ..escape.clone()
        })?;
        cost.low = Mass::from_si(cost.low.si().min(least));
        cost.high = Mass::from_si(cost.high.si().min(most));
        let left = (least - cost.high.si(), most - cost.low.si());
        (least, most) = (left.0.max(0.0), left.1.max(0.0));
        all.push(cost);
    }
    Ok(all)
}

/// The finding of [`assess`] with what incidents could have cost.
///
/// *pass*: all of the 95 % interval lies within 3 % of the nameplate charge, what was weighed in was right and no air has
/// to be assumed; *fail*: all of it lies outside; else *undecided*, with the interval. Without an incident nothing
/// changes, and where the mass inside cannot be told the finding says why.
pub fn assess_known(input: &Input, known: &Known, criteria: &Criteria) -> Finding {
    let mut finding = assess(input, criteria);
    if finding.says(reasons::IMPOSSIBLE) {
        return finding;
    }
    let inside = match inside(input, known, criteria) {
        Ok(Some(inside)) => inside,
        Ok(None) => return finding,
        Err(error) => {
            finding.reasons.push(amounts::not_told(&error));
            return finding;
        }
    };
    finding.outcome = outcome(input, &inside, criteria);
    let rest = finding.reasons.split_off(input.incidents.len());
    let incidents = std::mem::take(&mut finding.reasons);
    finding.reasons = said(&inside);
    finding.reasons.splice(1..1, incidents);
    finding.reasons.extend(rest);
    finding.figures.splice(0..0, figures(&inside));
    finding.unseen.clear();
    if finding.outcome == Outcome::Pass {
        finding.unseen = vec![
            "whether the nameplate charge was in the unit when it came".to_string(),
            "refrigerant lost since, and what nobody saw".to_string(),
        ];
    }
    if let AnyDetail::Charge(detail) = &mut finding.detail {
        *detail = Detail {
            inside: Some(Box::new(inside)),
            ..detail.clone()
        };
    }
    finding
}

fn outcome(input: &Input, inside: &Inside, criteria: &Criteria) -> Outcome {
    let band = criteria.small_remainder.si() * input.nameplate.si();
    let missing = inside.joined.missing();
    let emptied = inside.joined.from == RestsOn::Recovered;
    let proven = inside.weighed_right && !inside.air && !inside.joined.conflict;
    if emptied {
        // what was recovered is out of it
        Outcome::Undecided
    } else if missing.low > band || missing.high < -band {
        Outcome::Fail
    } else if missing.low >= -band && missing.high <= band && proven {
        Outcome::Pass
    } else {
        Outcome::Undecided
    }
}

fn said(inside: &Inside) -> Vec<Reason> {
    let mut said = amounts::inside(&inside.joined);
    said.extend(inside.evidence.lost.iter().map(amounts::could_be_gone));
    let narrows = inside.evidence.lost.iter().max_by(|a, b| {
        let width = |l: &Lost| l.high.si() - l.low.si();
        width(a).total_cmp(&width(b))
    });
    said.extend(narrows.map(amounts::would_narrow));
    if inside.air {
        said.extend(amounts::air(&Idle::AirAssumed));
    }
    said.extend(inside.evidence.running.iter().map(amounts::running));
    said.extend(inside.worth.iter().map(amounts::worth_asking));
    said.push(amounts::costs(&inside.cost));
    said.push(amounts::standing(&StandingMass::WouldReadTheSame {
        until: inside.unseen_until,
    }));
    said.extend(amounts::assumed(&inside.assumed));
    said
}

fn figures(inside: &Inside) -> [NamedInterval; 2] {
    let joined = &inside.joined;
    [
        NamedInterval {
            name: "missing",
            interval: joined.missing(),
            source: super::joined::SOURCE,
        },
        NamedInterval {
            name: "charge of what belongs in",
            interval: Interval {
                estimate: joined.estimate.si(),
                low: joined.low95.si(),
                high: joined.high95.si(),
                dimension: Fraction::DIMENSION,
            },
            source: super::joined::SOURCE,
        },
    ]
}
