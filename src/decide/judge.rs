//! A record judged from end to end: evidence, findings, decision.

use super::evidence::{self, Standing};
use super::{Case, Decision, Shown, decide};
use crate::check::dry::DryError;
use crate::check::run::RunError;
use crate::check::tight::TightError;
use crate::check::{
    Detail, Finding, Outcome, Segment, Stage, charge, dry, joints, run, start, tight,
};
use crate::quantity::{Quantity, UnitSystem};
use crate::record::{
    Answer, Applies, Evacuation, Event, EventBody, Evidence, InputError, JointResult, Record,
    Route, coverage,
};

/// Why a record cannot be judged.
#[derive(Debug, thiserror::Error)]
pub enum JudgeError {
    /// The inputs of a check.
    #[error(transparent)]
    Input(#[from] InputError),
    /// A standing pressure test.
    #[error("event {number}: {error}")]
    Tight {
        /// The event.
        number: u64,
        /// What is wrong.
        error: TightError,
    },
    /// A vacuum rise.
    #[error("event {number}: {error}")]
    Dry {
        /// The event.
        number: u64,
        /// What is wrong.
        error: DryError,
    },
    /// A reading of the running system.
    #[error("event {number}: {error}")]
    Run {
        /// The event.
        number: u64,
        /// What is wrong.
        error: RunError,
    },
}

/// What a record comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct Judgement {
    /// The way it takes through the stages.
    pub route: Route,
    /// The finding of every stage, in order.
    pub findings: Vec<Finding>,
    /// The evidence of every stage, in order.
    pub evidence: Vec<(Stage, Vec<Evidence>)>,
    /// The one answer.
    pub decision: Decision,
}

/// The lines and the indoor coil: what an owner's tests have to cover.
const OWNED: [Segment; 3] = [
    Segment::LiquidLine,
    Segment::VapourLine,
    Segment::IndoorCoil,
];

/// What a charge fills.
const FILLED: [Segment; 4] = coverage::CIRCUIT;

/// Judges a record: `record -> input -> assess -> decide`.
pub fn judge(record: &Record, units: UnitSystem) -> Result<Judgement, JudgeError> {
    let route = Route::of(&record.lineset, &record.events);
    let events = record.in_order();
    let of = |stage| coverage::evidence(stage, &record.lineset, &record.events);
    let evidence: Vec<(Stage, Vec<Evidence>)> =
        Stage::ALL.into_iter().map(|s| (s, of(s))).collect();
    let mut findings = Vec::with_capacity(evidence.len());
    for (stage, taken) in &evidence {
        findings.push(match route.applies(*stage) {
            Applies::Replaced { by, source } => evidence::replaced(*stage, by, source),
            applies => evidence::belongs_to(
                applies,
                stage_finding(record, *stage, taken, &events, units)?,
            ),
        });
    }
    let shown = shown(record, route, &evidence, units)?;
    let case = Case {
        lineset: &record.lineset,
        route,
        events: &events,
        findings: &findings,
        shown: &shown,
    };
    let decision = decide(&case);
    Ok(Judgement {
        route,
        findings,
        evidence,
        decision,
    })
}

/// What each test and each look at a joint showed, where it still covers something.
fn shown(
    record: &Record,
    route: Route,
    evidence: &[(Stage, Vec<Evidence>)],
    units: UnitSystem,
) -> Result<Vec<Shown>, JudgeError> {
    let mut list = Vec::new();
    for (stage, taken) in evidence {
        let told = matches!(stage, Stage::Joints | Stage::Tight | Stage::Dry)
            && !matches!(route.applies(*stage), Applies::Replaced { .. });
        for one in taken.iter().filter(|_| told) {
            let covers = one.standing();
            let event = &record.events[one.event];
            let outcome = match &event.body {
                _ if covers.is_empty() => continue,
                EventBody::JointMade(_) => continue,
                EventBody::JointChecked(checked) if checked.result == JointResult::Leak => {
                    Outcome::Fail
                }
                EventBody::JointChecked(_) | EventBody::TechnicianVisit(_) => Outcome::Pass,
                _ => match assess(record, event, units)? {
                    Some(finding) => finding.outcome,
                    None => continue,
                },
            };
            list.push(Shown {
                stage: *stage,
                at: event.at,
                by: one.by,
                joint: one.joint.clone(),
                outcome,
                whole: one.whole(),
                covers,
            });
        }
    }
    Ok(list)
}

fn stage_finding(
    record: &Record,
    stage: Stage,
    taken: &[Evidence],
    events: &[&Event],
    units: UnitSystem,
) -> Result<Finding, JudgeError> {
    match stage {
        Stage::Joints => {
            if record.lineset.joints.is_empty() {
                return Ok(evidence::no_joints());
            }
            if taken.is_empty() {
                return Ok(evidence::none(Stage::Joints));
            }
            Ok(joints::assess(
                &record.joints_input(taken)?,
                &joints::Criteria::default(),
            ))
        }
        Stage::Charge => charge_finding(record, taken, events),
        Stage::Watch => Ok(evidence::watch_door()),
        Stage::Tight | Stage::Dry | Stage::Start | Stage::Run => {
            latest(record, stage, taken, units)
        }
    }
}

/// What was weighed against what had to be; a technician's charge stands for itself. Out of date once the circuit was
/// emptied or opened afterwards.
fn charge_finding(
    record: &Record,
    taken: &[Evidence],
    events: &[&Event],
) -> Result<Finding, JudgeError> {
    let last = taken.last();
    if let Some(last) = last.filter(|e| e.whole()) {
        let event = &record.events[last.event];
        if matches!(event.body, EventBody::TechnicianVisit(_)) {
            return Ok(evidence::technician(Stage::Charge, event));
        }
    }
    let finding = match record.charge_input(events)? {
        Some(input) => {
            let known = record.charge_known(events, &input)?;
            charge::assess_known(&input, &known, &charge::Criteria::default())
        }
        None => evidence::facts_missing(),
    };
    let reckoned = matches!(&finding.detail, Detail::Charge(detail) if detail.inside.is_some());
    if reckoned {
        let besides = touched_besides(record, last.map(|e| &record.events[e.event]));
        return Ok(match besides {
            Some(by) => {
                evidence::out_of_date(finding, &record.events[by], &FILLED.map(|s| (s, by)))
            }
            None => finding,
        });
    }
    let voided = last.and_then(|e| Some((&e.voided, &record.events[e.voided_by()?])));
    Ok(match voided {
        Some((segments, by)) if matches!(finding.outcome, Outcome::Pass | Outcome::Fail) => {
            evidence::out_of_date(finding, by, segments)
        }
        _ => finding,
    })
}

/// The first event after the last weighing, or else after the first incident, that touches the charge and that the mass
/// inside does not reckon with, as it does with incidents.
fn touched_besides(record: &Record, weighed: Option<&Event>) -> Option<usize> {
    let incident = |event: &Event| match &event.body {
        EventBody::Released(_) => true,
        EventBody::Opened(opened) => opened.held_refrigerant == Answer::Yes,
        // a recovered mass is what was inside
        EventBody::TechnicianVisit(visit) => visit.recovered.is_some(),
        _ => false,
    };
    let order = coverage::in_order(&record.events);
    let in_order = || order.iter().map(|&at| (at, &record.events[at]));
    let key = |event: &Event| (event.at, event.number);
    let from = weighed.or_else(|| in_order().map(|(_, e)| e).find(|e| incident(e)))?;
    in_order()
        .find(|(_, event)| {
            let touches = coverage::voids(&event.body, &record.lineset);
            let charge = touches.iter().any(|void| void.stage == Stage::Charge);
            key(event) > key(from) && charge && !incident(event)
        })
        .map(|(at, _)| at)
}

/// The finding of the latest evidence, out of date where a later event touched it.
fn latest(
    record: &Record,
    stage: Stage,
    taken: &[Evidence],
    units: UnitSystem,
) -> Result<Finding, JudgeError> {
    // the rig alone is tested beside a line, never in its place
    let of_the_line = |e: &&Evidence| !matches!(&record.events[e.event].body, EventBody::PressureTest(test) if test.is_of_the_rig_alone());
    let Some(last) = taken.iter().rev().find(of_the_line) else {
        return Ok(evidence::none(stage));
    };
    let event = &record.events[last.event];
    let finding =
        assess(record, event, units)?.unwrap_or_else(|| evidence::technician(stage, event));
    if let Some(by) = last.voided_by() {
        return Ok(evidence::out_of_date(
            finding,
            &record.events[by],
            &last.voided,
        ));
    }
    if matches!(stage, Stage::Tight | Stage::Dry) && finding.outcome == Outcome::Pass {
        let mut standing = Standing::default();
        for other in taken {
            let stands = other.event == last.event
                || assess(record, &record.events[other.event], units)?
                    .is_none_or(|f| f.outcome == Outcome::Pass);
            if stands {
                standing.add(&other.standing());
            }
        }
        return Ok(standing.judge(finding, &OWNED));
    }
    Ok(finding)
}

/// Whether an event can be judged at all, and what it shows by itself: asked before it is written for good.
pub fn readable(record: &Record, event: &Event) -> Result<Option<Finding>, JudgeError> {
    assess(record, event, UnitSystem::Us)
}

/// What makes a standing pressure test say nothing of how much could have been lost.
const NO_BOUND: [&str; 5] = [
    tight::reasons::NOT_FOLLOWING,
    tight::reasons::GAS_NOT_JUDGED,
    tight::reasons::RIG_LEAKS,
    tight::reasons::LATE_LEAK,
    tight::reasons::WITNESS_MOVED,
];

/// The most that the standing pressure test beside an evacuation lost; none where it failed or bounds nothing.
fn standing(
    record: &Record,
    event: &Event,
    evacuation: &Evacuation,
    units: UnitSystem,
) -> Result<Option<dry::standing::Standing>, JudgeError> {
    let Some(test) = record.standing_test_beside(event, evacuation) else {
        return Ok(None);
    };
    let Some(finding) = assess(record, test, units)? else {
        return Ok(None);
    };
    let Detail::Tight(detail) = &finding.detail else {
        return Ok(None);
    };
    let bounds = matches!(finding.outcome, Outcome::Pass | Outcome::Undecided)
        && !NO_BOUND.iter().any(|code| finding.says(code));
    let [_, _, at_most] = detail.loss;
    // a test that seems to have gained gas bounds no loss
    let lost = bounds && at_most.si() > 0.0;
    Ok(detail
        .points
        .first()
        .filter(|_| lost)
        .map(|first| dry::standing::Standing {
            at_most,
            pressure: first.read,
            outside: detail.barometer.pressure(),
        }))
}

/// The finding of one event; none when it is a technician's word.
fn assess(
    record: &Record,
    event: &Event,
    units: UnitSystem,
) -> Result<Option<Finding>, JudgeError> {
    let number = event.number;
    Ok(match &event.body {
        EventBody::PressureTest(test) => {
            let input = record.tight_input(event, test, units)?;
            let criteria = record.tight_criteria(event, test)?;
            Some(
                tight::assess(&input, &criteria)
                    .map_err(|error| JudgeError::Tight { number, error })?,
            )
        }
        EventBody::Evacuation(evacuation) => {
            let input = dry::Input {
                standing: standing(record, event, evacuation, units)?,
                ..record.dry_input(event, evacuation, units)?
            };
            let criteria = record.dry_criteria(event, evacuation)?;
            Some(
                dry::assess(&input, &criteria)
                    .map_err(|error| JudgeError::Dry { number, error })?,
            )
        }
        EventBody::StartChecked(checked) => Some(start::assess(
            &record.start_input(event, checked)?,
            &start::Criteria::default(),
        )),
        EventBody::Reading(reading) => match record.run_input(event, reading) {
            Err(error) => return Err(error.into()),
            Ok(Some(input)) => {
                let criteria = record.run_criteria(event, reading)?;
                let found = run::assess(&input, &criteria);
                Some(found.map_err(|error| JudgeError::Run { number, error })?)
            }
            Ok(None) => Some(evidence::facts_missing_for(Stage::Run)),
        },
        EventBody::Weighed(weighed) => {
            // judged with the others; a weighing that cannot be is refused as it is written
            record.weighed(event, weighed)?;
            None
        }
        _ => None,
    })
}
