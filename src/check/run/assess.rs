//! First whether the readings mean anything, then what stands out, then the targets.

use super::ask::worth;
use super::cycle::Cycle;
use super::hint;
use super::judge::hold;
use super::reading::{Reading, RunError, subcooling, superheat};
use super::reasons;
use super::sanity::look;
use super::slip::{Asked, ask};
use super::target::Target;
use super::valid::{gates, liquid_in_line, open_questions, tap_known};
use super::{
    Compressor, Criteria, Detail, HighSide, Input, Judged, LowSide, Question, Reader, Yes, air,
    heating,
};
use crate::check::{Detail as AnyDetail, Finding, NamedInterval, Outcome, Reason, Segment, Stage};
use crate::fluid::Refrigerant;
use crate::physics::cycle::{MeteringKind, Mode};
use crate::quantity::{Interval, TemperatureDiff};
use crate::source::SourceId;

/// Segments that a running circuit shows.
const RUNNING: [Segment; 4] = [
    Segment::OutdoorUnit,
    Segment::LiquidLine,
    Segment::VapourLine,
    Segment::IndoorCoil,
];

/// Judges superheat and subcooling where they mean something.
///
/// *fail*: something stands out that asks for switching off, or a reading is outside its range; *not valid now*: the
/// machine or the conditions do not allow the reading (the reasons say what would); *pass*: every reading that decides
/// is inside its range with more than 95 %; *undecided* otherwise; *not done* without readings. An error only when a
/// pressure or temperature cannot be used at all.
pub fn assess(input: &Input, criteria: &Criteria) -> Result<Finding, RunError> {
    let asked = ask(input, criteria);
    let mut detail = Detail {
        questions: open_questions(input),
        worth: worth(input, criteria),
        slips: asked.slips.clone(),
        atmosphere: gauge_read(input).then(|| input.surroundings.barometer.words()),
        steady: input.log.clone(),
        ..Detail::default()
    };
    if input.refrigerant == Refrigerant::R744 {
        let reason = reasons::no_condensing(input.refrigerant.name());
        return Ok(finding(Outcome::NotValidNow, vec![reason], detail));
    }
    if let Err(error) = read(input, &mut detail) {
        return Err(explained(error, asked.questions));
    }
    detail.cycle = Cycle::of(input);
    let air = air::look(input, criteria);
    detail.air = air.air;
    if let Some(printed) = heating::printed(input) {
        return in_heating(
            input,
            criteria,
            printed,
            (air.gates, air.aside),
            asked,
            detail,
        );
    }
    let (superheat, subcooling) = (detail.superheat.as_ref(), detail.subcooling.as_ref());
    let beside = beside(input, &detail.questions);
    if superheat.is_none() && input.high.is_none() {
        let said = [vec![reasons::nothing_read()], air.gates, air.aside, beside].concat();
        return Ok(finding(Outcome::NotDone, said, detail));
    }
    let out = match look(input, criteria, superheat, subcooling) {
        Ok(out) => out,
        Err(error) => return Err(explained(error, asked.questions)),
    };
    let mut gates = gates(input, criteria);
    gates.extend(line_gate(input));
    gates.extend(air.gates);

    let contradicts = [out.contradicts, asked.impossible, asked.questions].concat();
    let look = if gates.is_empty() && contradicts.is_empty() {
        let split = split_target(&detail.air, criteria);
        hint::look(input, criteria, superheat, subcooling, split)
    } else {
        hint::Looked::default()
    };

    let (outcome, mut said, judged, target) = if !out.stop.is_empty() {
        let said = [out.stop, contradicts, gates].concat();
        (Outcome::Fail, said, Vec::new(), None)
    } else if !contradicts.is_empty() || !gates.is_empty() {
        let said = [contradicts, gates].concat();
        (Outcome::NotValidNow, said, Vec::new(), None)
    } else {
        against_targets(input, criteria, superheat, subcooling)
    };
    said.extend(look.reasons);
    said.extend(hint::too_much_in_heating(input));
    said.extend(asked.beside);
    said.extend(asked.unlikely);
    said.extend(out.aside);
    said.extend(air.aside);
    said.extend(beside);
    detail.judged = judged;
    detail.target_superheat = target;
    (detail.features, detail.hints) = (look.features, look.hints);
    Ok(finding(outcome, said, detail))
}

/// Heating with a figure for the discharge line in the unit's instructions.
fn in_heating(
    input: &Input,
    criteria: &Criteria,
    printed: TemperatureDiff,
    (air_gates, air_aside): (Vec<Reason>, Vec<Reason>),
    slip: Asked,
    mut detail: Detail,
) -> Result<Finding, RunError> {
    let (superheat, subcooling) = (detail.superheat.as_ref(), detail.subcooling.as_ref());
    let out = look(input, criteria, superheat, subcooling)?;
    let found = heating::hold(input, criteria, printed);
    let gates = [out.contradicts, slip.impossible, slip.questions, air_gates].concat();
    let outcome = if !out.stop.is_empty() {
        Outcome::Fail
    } else if !gates.is_empty() {
        Outcome::NotValidNow
    } else if found.outcome == Outcome::Fail && input.conditions.airflow_good.is_none() {
        Outcome::Undecided
    } else {
        found.outcome
    };
    let airflow_open = outcome == Outcome::Undecided && found.outcome == Outcome::Fail;
    let asked = airflow_open.then(reasons::airflow_asked);
    let said = [
        out.stop,
        gates,
        asked.into_iter().collect(),
        found.reasons,
        hint::too_much_in_heating(input).into_iter().collect(),
        slip.beside,
        slip.unlikely,
        out.aside,
        air_aside,
        beside(input, &detail.questions),
    ]
    .concat();
    detail.judged = found.judged.into_iter().collect();
    let mut finding = finding(outcome, said, detail);
    finding
        .figures
        .extend(found.above.map(|interval| NamedInterval {
            name: "discharge above outdoor",
            interval,
            source: SourceId::Jcgm100,
        }));
    Ok(finding)
}

/// A number that no table has is an error; a slip that would explain it is asked about in it.
fn explained(error: RunError, questions: Vec<Reason>) -> RunError {
    match questions.into_iter().next() {
        None => error,
        Some(question) => RunError::Asked {
            question: question.text,
        },
    }
}

/// The expected air drop over the indoor coil, where a target split was found.
fn split_target(air: &air::Air, criteria: &Criteria) -> Option<hint::Expected> {
    let against = air.split.as_ref()?.against.as_ref()?;
    Some(hint::Expected::around(&against.target, criteria.split))
}

/// Computes what the readings allow.
fn read(input: &Input, detail: &mut Detail) -> Result<(), RunError> {
    if let (Some(low), Some(line)) = (&input.low, &input.suction_line) {
        let reading = superheat(input.refrigerant, low, line, &input.surroundings)?;
        detail.superheat = Some(reading);
    }
    if let (Some(high), Some(line)) = (&input.high, &input.liquid_line)
        && tap_known(input)
        && liquid_in_line(input)
    {
        let reading = subcooling(input.refrigerant, high, line, &input.surroundings)?;
        detail.subcooling = Some(reading);
    }
    Ok(())
}

/// A valve outdoors leaves nothing to judge: subcooling means nothing, and a valve holds its superheat at any charge.
fn line_gate(input: &Input) -> Option<Reason> {
    let device = input.machine.metering?;
    let mode = input.machine.mode?;
    let two_phase = mode == Mode::Cooling && !liquid_in_line(input);
    (two_phase && device.kind != MeteringKind::FixedOrifice).then(reasons::two_phase)
}

fn against_targets(
    input: &Input,
    criteria: &Criteria,
    superheat: Option<&Reading>,
    subcooling: Option<&Reading>,
) -> (Outcome, Vec<Reason>, Vec<Judged>, Option<Target>) {
    let Some(device) = input.machine.metering else {
        // the gates have asked already
        return (
            Outcome::NotValidNow,
            vec![reasons::metering_asked()],
            Vec::new(),
            None,
        );
    };
    let mut held = hold(input, device, criteria, superheat, subcooling);
    let airflow_open = input.conditions.airflow_good.is_none();
    if held.outcome == Outcome::Fail && airflow_open {
        held.outcome = Outcome::Undecided;
        held.reasons.insert(0, reasons::airflow_asked());
    }
    (held.outcome, held.reasons, held.judged, held.target)
}

fn gauge_read(input: &Input) -> bool {
    input.low.as_ref().is_some_and(LowSide::is_gauge)
        || input.high.as_ref().is_some_and(HighSide::is_gauge)
}

/// What is said beside any outcome.
fn beside(input: &Input, questions: &[Question]) -> Vec<Reason> {
    let mut said = input
        .log
        .as_ref()
        .map_or_else(Vec::new, reasons::steady::beside);
    if questions.contains(&Question::Port) {
        said.push(reasons::tap_asked());
    }
    if input.gauges_read_by == Some(Reader::Owner) && gauge_read(input) {
        said.push(reasons::gauges_by_owner());
    }
    if questions.contains(&Question::WhoReads) {
        said.push(reasons::who_reads_asked());
    }
    if input.machine.accumulator == Some(Yes::Yes) {
        said.push(reasons::accumulator());
    }
    if input.machine.compressor == Some(Compressor::TwoStage) {
        said.push(reasons::gate::two_stage());
    }
    let bend = matches!(input.low, Some(LowSide::CoilBend(_)))
        || matches!(input.high, Some(HighSide::CoilBend(_)));
    if bend {
        said.push(reasons::coil_bends());
    }
    said
}

fn figure(name: &'static str, reading: &Reading) -> NamedInterval {
    NamedInterval {
        name,
        interval: Interval::normal(reading.value, reading.standard_uncertainty),
        source: SourceId::Jcgm100,
    }
}

fn finding(outcome: Outcome, reasons: Vec<Reason>, detail: Detail) -> Finding {
    let superheat = detail.superheat.as_ref().map(|r| figure("superheat", r));
    let subcooling = detail.subcooling.as_ref().map(|r| figure("subcooling", r));
    let target = detail.target_superheat.as_ref().map(|t| NamedInterval {
        name: "target superheat",
        interval: t.interval(),
        source: t.source,
    });
    let air = detail.air.figures();
    let unseen = match outcome {
        Outcome::Pass => vec![
            "a charge off by less than about 10 %; an accumulator or a receiver hides more"
                .to_string(),
            "a slow leak: only the same readings repeated over weeks show it".to_string(),
        ],
        _ => Vec::new(),
    };
    Finding {
        covers: RUNNING.to_vec(),
        figures: superheat
            .into_iter()
            .chain(target)
            .chain(subcooling)
            .chain(air)
            .collect(),
        unseen,
        detail: AnyDetail::Run(Box::new(detail)),
        ..Finding::plain(Stage::Run, outcome, reasons)
    }
}
