//! First whether the readings mean anything, then what stands out, then the targets.

use super::cycle::Cycle;
use super::judge::hold;
use super::reading::{Reading, RunError, subcooling, superheat};
use super::reasons;
use super::sanity::look;
use super::valid::{gates, liquid_in_line, open_questions, tap_known};
use super::{Criteria, Detail, HighSide, Input, Judged, LowSide, Question, Reader, Yes};
use crate::check::{Detail as AnyDetail, Finding, NamedInterval, Outcome, Reason, Segment, Stage};
use crate::fluid::Refrigerant;
use crate::physics::cycle::{MeteringKind, Mode};
use crate::quantity::Interval;
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
    let mut detail = Detail {
        questions: open_questions(input),
        atmosphere: gauge_read(input).then(|| input.surroundings.barometer.words()),
        ..Detail::default()
    };
    if input.refrigerant == Refrigerant::R744 {
        let reason = reasons::no_condensing(input.refrigerant.name());
        return Ok(finding(Outcome::NotValidNow, vec![reason], detail));
    }
    read(input, &mut detail)?;
    detail.cycle = Cycle::of(input);
    let (superheat, subcooling) = (detail.superheat.as_ref(), detail.subcooling.as_ref());
    let beside = beside(input, &detail.questions);
    if superheat.is_none() && input.high.is_none() {
        let mut said = vec![reasons::nothing_read()];
        said.extend(beside);
        return Ok(finding(Outcome::NotDone, said, detail));
    }
    let out = look(input, criteria, superheat, subcooling)?;
    let mut gates = gates(input, criteria);
    gates.extend(line_gate(input));

    let (outcome, mut said, judged) = if !out.stop.is_empty() {
        let said = [out.stop, out.contradicts, gates].concat();
        (Outcome::Fail, said, Vec::new())
    } else if !out.contradicts.is_empty() || !gates.is_empty() {
        let said = [out.contradicts, gates].concat();
        (Outcome::NotValidNow, said, Vec::new())
    } else {
        against_targets(input, criteria, superheat, subcooling)
    };
    said.extend(out.aside);
    said.extend(beside);
    detail.judged = judged;
    Ok(finding(outcome, said, detail))
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
) -> (Outcome, Vec<Reason>, Vec<Judged>) {
    let Some(device) = input.machine.metering else {
        // the gates have asked already
        return (
            Outcome::NotValidNow,
            vec![reasons::metering_asked()],
            Vec::new(),
        );
    };
    let mut held = hold(input, device, criteria, superheat, subcooling);
    let airflow_open = input.conditions.airflow_good.is_none();
    if held.outcome == Outcome::Fail && airflow_open {
        held.outcome = Outcome::Undecided;
        held.reasons.insert(0, reasons::airflow_asked());
    }
    (held.outcome, held.reasons, held.judged)
}

fn gauge_read(input: &Input) -> bool {
    input.low.as_ref().is_some_and(LowSide::is_gauge)
        || input.high.as_ref().is_some_and(HighSide::is_gauge)
}

/// What is said beside any outcome.
fn beside(input: &Input, questions: &[Question]) -> Vec<Reason> {
    let mut said = Vec::new();
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
        figures: superheat.into_iter().chain(subcooling).collect(),
        unseen,
        detail: AnyDetail::Run(Box::new(detail)),
        ..Finding::plain(Stage::Run, outcome, reasons)
    }
}
