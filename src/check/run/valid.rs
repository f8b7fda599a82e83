//! Does such a reading mean anything now? The questions in their order, and the conditions.

use super::reasons;
use super::{Compressor, Criteria, HighSide, Input, LowSide, Tap, WINTER_SETUP, Yes};
use crate::check::Reason;
use crate::physics::cycle::{MeteringKind, Mode, line_carries_liquid};
use crate::quantity::Temperature;

/// A question whose answer decides what a reading means, in the order in which it is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Question {
    /// Where the metering device sits and what it is.
    MeteringDevice,
    /// Cooling or heating.
    Mode,
    /// How the compressor runs.
    Compressor,
    /// Where the high-side gauge is connected.
    Port,
    /// Who read the gauges.
    WhoReads,
    /// Whether filter, coils and blower are right.
    Airflow,
}

impl Question {
    /// The question as it is put.
    pub fn text(self) -> &'static str {
        match self {
            Question::MeteringDevice => {
                "where does the metering device sit, indoors or outdoors, and is it a fixed orifice or a valve?"
            }
            Question::Mode => "is it cooling or heating?",
            Question::Compressor => {
                "does the compressor run at one speed, is it held at its test speed, or does it follow the load?"
            }
            Question::Port => {
                "is the high-side gauge at the liquid line or at the discharge, and what is the drop between?"
            }
            Question::WhoReads => "who read the gauges?",
            Question::Airflow => "were filter, coils and blower looked at and found right?",
        }
    }
}

/// What is still to be answered, in order.
pub(super) fn open_questions(input: &Input) -> Vec<Question> {
    let gauge = input.low.as_ref().is_some_and(LowSide::is_gauge)
        || input.high.as_ref().is_some_and(HighSide::is_gauge);
    let rows = [
        (input.machine.metering.is_none(), Question::MeteringDevice),
        (input.machine.mode.is_none(), Question::Mode),
        (input.machine.compressor.is_none(), Question::Compressor),
        (!tap_known(input), Question::Port),
        (gauge && input.gauges_read_by.is_none(), Question::WhoReads),
        (input.conditions.airflow_good.is_none(), Question::Airflow),
    ];
    rows.into_iter()
        .filter_map(|(open, question)| open.then_some(question))
        .collect()
}

/// Whether the high side, as it was read, can give a subcooling.
pub(super) fn tap_known(input: &Input) -> bool {
    !matches!(
        input.high,
        Some(HighSide::Gauge {
            tap: Tap::NotKnown | Tap::Discharge { drop: None },
            ..
        })
    )
}

/// Whether the liquid line is known to carry liquid.
pub(super) fn liquid_in_line(input: &Input) -> bool {
    match (input.machine.metering, input.machine.mode) {
        (Some(device), Some(mode)) => line_carries_liquid(device.place, mode),
        _ => false,
    }
}

/// Everything that keeps a reading from meaning anything now; empty when it means something.
pub(super) fn gates(input: &Input, criteria: &Criteria) -> Vec<Reason> {
    let mut said = machine_gates(input);
    said.extend(condition_gates(input, criteria));
    said
}

/// By the log where it shows what moves, else by what was said.
fn moving(input: &Input) -> Reason {
    let log = input.log.as_ref();
    match log.and_then(|steady| Some((steady, steady.window.as_ref()?))) {
        Some((steady, window)) if !window.is_steady() => reasons::steady::moves(steady, window),
        _ => reasons::not_steady(),
    }
}

fn machine_gates(input: &Input) -> Vec<Reason> {
    let mut said = Vec::new();
    let machine = input.machine;
    if machine.metering.is_none() {
        said.push(reasons::metering_asked());
    }
    match machine.mode {
        None => said.push(reasons::mode_asked()),
        Some(Mode::Heating) => said.push(reasons::heating()),
        Some(Mode::Cooling) => {}
    }
    match machine.compressor {
        None => said.push(reasons::compressor_asked()),
        Some(Compressor::FreeSpeed) => said.push(reasons::free_speed()),
        Some(Compressor::FixedSpeed | Compressor::TwoStage | Compressor::HeldAtTestSpeed) => {}
    }
    said
}

/// On a day too cold for the standard procedure: the winter procedure where it exists, else weighing in.
fn cold_day(input: &Input, outdoor: Temperature) -> Reason {
    let (low, high) = WINTER_SETUP.outdoor();
    let by_subcooling = input
        .machine
        .metering
        .is_some_and(|device| device.kind != MeteringKind::FixedOrifice)
        && liquid_in_line(input);
    if by_subcooling && outdoor >= low {
        reasons::gate::winter_procedure(low, high)
    } else {
        reasons::gate::weigh_in()
    }
}

fn condition_gates(input: &Input, criteria: &Criteria) -> Vec<Reason> {
    let mut said = Vec::new();
    let around = &input.conditions;
    match &around.outdoor {
        None => said.push(reasons::condition_open(
            "the outdoor temperature",
            criteria.conditions_source,
        )),
        Some(t) if t.value < criteria.outdoor_least => {
            said.push(reasons::outdoor_too_cold(t.value, criteria));
            said.push(cold_day(input, t.value));
        }
        Some(_) => {}
    }
    match &around.return_air {
        None => said.push(reasons::condition_open(
            "the temperature of the return air",
            criteria.return_source,
        )),
        Some(t) if t.value < criteria.return_least => {
            said.push(reasons::return_too_cold(t.value, criteria));
        }
        Some(_) => {}
    }
    match around.running_for {
        None => said.push(reasons::condition_open(
            "how long it has run",
            criteria.conditions_source,
        )),
        Some(time) if time < criteria.run_least => {
            said.push(reasons::run_too_short(time, criteria));
        }
        Some(_) => {}
    }
    match around.steady {
        None => said.push(reasons::condition_open(
            "whether the readings stand still",
            criteria.conditions_source,
        )),
        Some(Yes::No) => said.push(moving(input)),
        Some(Yes::Yes) => {}
    }
    if around.airflow_good == Some(Yes::No) {
        said.push(reasons::airflow_wrong());
    }
    said
}
