//! Heating: the discharge line above the outdoor air, where the unit's own instructions print a figure for it.

use super::reading::Reading;
use super::target::{Axis, Target, part};
use super::{Compressor, Criteria, Input, Judged, Yes, judge, reasons};
use crate::check::{Outcome, Reason};
use crate::physics::cycle::Mode;
use crate::quantity::{Interval, Quantity, TemperatureDiff, propagate};
use crate::stats::within::Within;

/// What the discharge line shows.
#[derive(Debug)]
pub(super) struct Heating {
    pub outcome: Outcome,
    pub reasons: Vec<Reason>,
    pub judged: Option<Judged>,
    /// Discharge line less outdoor air.
    pub above: Option<Interval>,
}

/// The figure that the instructions print, when it heats.
pub(super) fn printed(input: &Input) -> Option<TemperatureDiff> {
    input
        .targets
        .discharge_above_outdoor
        .filter(|_| input.machine.mode == Some(Mode::Heating))
}

/// Holds the discharge line against the printed figure: *pass*, *fail*, *undecided*, or *not valid now*.
pub(super) fn hold(input: &Input, criteria: &Criteria, printed: TemperatureDiff) -> Heating {
    let gates = gates(input, criteria);
    let mut found = Heating {
        outcome: Outcome::NotValidNow,
        reasons: gates,
        judged: None,
        above: None,
    };
    let (Some(line), Some(outdoor)) = (&input.discharge_line, &input.conditions.outdoor) else {
        if found.reasons.is_empty() {
            found.outcome = Outcome::Undecided;
        }
        if input.discharge_line.is_none() {
            found.reasons.push(reasons::target::discharge_missing());
        }
        return found;
    };
    let inputs = [
        (
            "discharge line temperature",
            line.value.si(),
            line.standard_uncertainty.si(),
        ),
        part(Axis::Outdoor, outdoor),
    ];
    let Ok(difference) = propagate(&inputs, |x| Ok::<_, std::convert::Infallible>(x[0] - x[1]));
    let reading = Reading::from(difference, outdoor.value, None);
    let above = Interval::normal(reading.value, reading.standard_uncertainty);
    found.above = Some(above);
    if !found.reasons.is_empty() {
        return found;
    }
    let target = Target::typed(printed);
    let judged = judge::judge_around(
        "discharge above outdoor",
        &reading,
        &target,
        criteria.discharge,
    );
    found.outcome = match judged.within {
        Within::Inside => Outcome::Pass,
        Within::Undecided => Outcome::Undecided,
        Within::Outside => Outcome::Fail,
    };
    found
        .reasons
        .push(reasons::target::discharge(&judged, above));
    found.judged = Some(judged);
    found
}

/// What keeps the figure from meaning anything now: the same questions as in cooling but the warm weather.
fn gates(input: &Input, criteria: &Criteria) -> Vec<Reason> {
    let around = &input.conditions;
    let mut said = Vec::new();
    match input.machine.compressor {
        None => said.push(reasons::compressor_asked()),
        Some(Compressor::FreeSpeed) => said.push(reasons::free_speed()),
        Some(Compressor::FixedSpeed | Compressor::TwoStage | Compressor::HeldAtTestSpeed) => {}
    }
    let open = |what| reasons::condition_open(what, criteria.conditions_source);
    if around.outdoor.is_none() {
        said.push(open("the outdoor temperature"));
    }
    match around.running_for {
        None => said.push(open("how long it has run")),
        Some(time) if time < criteria.run_least => {
            said.push(reasons::run_too_short(time, criteria));
        }
        Some(_) => {}
    }
    match around.steady {
        None => said.push(open("whether the readings stand still")),
        Some(Yes::No) => said.push(reasons::not_steady()),
        Some(Yes::Yes) => {}
    }
    if around.airflow_good == Some(Yes::No) {
        said.push(reasons::airflow_wrong());
    }
    said
}
