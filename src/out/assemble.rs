//! A sheet from a record and what it came to.

use super::figure::{
    ChargeInterval, PressureEnthalpy, PumpDownFigure, RiseFigure, Running, RunningLogFigure,
};
use super::held::{self, Held};
use super::ledger::ledger;
use super::narrate::narrate;
use super::personal;
use super::pump_down::in_a_record;
use super::sheet::{EventLine, PumpDownSheet, Sheet, StageSheet};
use crate::check::{
    Caution, Detail, Finding, Segment, Stage, charge, dry, joints, run, start, tight,
};
use crate::decide::{self, Judgement};
use crate::quantity::{Barometer, PressureAbs, Quantity, UnitSystem};
use crate::record::{Applies, Connection, Event, EventBody, Record, coverage};

impl Sheet {
    /// Everything a renderer needs of a record and its judgement.
    pub fn of(record: &Record, judgement: &Judgement, made_at: String, units: UnitSystem) -> Sheet {
        let lineset = &record.lineset;
        let barometer = record.barometer().unwrap_or(Barometer::standard());
        let refrigerant = lineset
            .equipment
            .refrigerant
            .clone()
            .unwrap_or_else(|| "not known".into());
        let ran = record
            .refrigerant()
            .ok()
            .flatten()
            .zip(run_detail(judgement));
        let held = judgement
            .findings
            .iter()
            .find_map(|f| held(record, judgement, f, units));
        let (hold, residuals, loss_limit) = match held {
            Some((hold, residuals, limit)) => (Some(hold), Some(residuals), Some(limit)),
            None => (None, None, None),
        };
        Sheet {
            record: lineset.name.clone(),
            invented: lineset.invented,
            place: format!(
                "{}, gauge zero taken as {}",
                lineset.place.country,
                barometer.words()
            ),
            equipment: equipment(record),
            refrigerant,
            route: judgement.route.words().into(),
            made_at,
            units,
            stages: judgement
                .findings
                .iter()
                .map(|f| stage(record, judgement, f))
                .collect(),
            events: events(record),
            warnings: record.warnings.iter().map(ToString::to_string).collect(),
            joints: ledger(record, judgement, units),
            facts: personal::facts(&record.lineset),
            left_out: Vec::new(),
            hold,
            residuals,
            loss_limit,
            rise: judgement.findings.iter().find_map(rise),
            pump_down: judgement
                .findings
                .iter()
                .find_map(|f| pump_down(record, judgement, f, units)),
            charge: judgement
                .findings
                .iter()
                .find_map(|f| charge_interval(f, units)),
            running: ran.and_then(|(r, detail)| Running::of(r, detail, barometer, units)),
            cycle: ran.and_then(|(r, detail)| {
                PressureEnthalpy::of_cycle(r, units, detail.cycle.as_ref()?)
            }),
            running_log: running_log(judgement, units),
            decision: judgement.decision.clone(),
        }
    }
}

/// The vacuum rise that counts; without a rule's line, as nobody chose one here.
fn rise(finding: &Finding) -> Option<RiseFigure> {
    match &finding.detail {
        Detail::Dry(detail) => RiseFigure::of(detail, None),
        _ => None,
    }
}

/// The pump-down before the rise that counts.
fn pump_down(
    record: &Record,
    judgement: &Judgement,
    finding: &Finding,
    units: UnitSystem,
) -> Option<PumpDownSheet> {
    let Detail::Dry(detail) = &finding.detail else {
        return None;
    };
    let pumped = detail.pumped.as_ref()?;
    let (_, taken) = judgement.evidence.iter().find(|(s, _)| *s == Stage::Dry)?;
    let EventBody::Evacuation(evacuation) = &record.events[taken.last()?.event].body else {
        return None;
    };
    let file = evacuation.pump_down.as_ref().or(evacuation.log.as_ref());
    let file = file.map(|log| log.file.as_str());
    let volume = record.volume_evacuated(evacuation).ok().flatten();
    Some(PumpDownSheet {
        lines: in_a_record(&pumped.log, volume, file, units),
        figure: PumpDownFigure::of(&pumped.log, &pumped.minutes, &pumped.pressure, units),
        log: pumped.log.clone(),
        volume,
    })
}

/// The mass inside after an incident, with what each kind of evidence says.
fn charge_interval(finding: &Finding, units: UnitSystem) -> Option<ChargeInterval> {
    let Detail::Charge(detail) = &finding.detail else {
        return None;
    };
    let inside = detail.inside.as_ref()?;
    Some(ChargeInterval::of(&inside.evidence, &inside.joined, units))
}

fn equipment(record: &Record) -> String {
    let equipment = &record.lineset.equipment;
    let kind = equipment
        .kind
        .map_or("split system", |k| k.word())
        .replace('-', " ");
    let charge = equipment
        .nameplate_charge
        .as_ref()
        .map(|m| format!(", {} on the nameplate", m.text()));
    let lines = &record.lineset.line_set;
    let length = lines
        .liquid
        .as_ref()
        .map(|l| format!(", {} of line", l.length.text()));
    let runs = (!lines.runs.is_empty()).then(|| format!(", {} runs", lines.runs.len()));
    let connection = connection_words(lines.connection);
    format!(
        "{kind}, {connection}{}{}{}",
        length.unwrap_or_default(),
        runs.unwrap_or_default(),
        charge.unwrap_or_default()
    )
}

fn connection_words(connection: Connection) -> &'static str {
    match connection {
        Connection::PreChargedCouplings => "pre-charged lines with couplings",
        Connection::Flared => "flared lines",
        Connection::Pressed => "pressed lines",
        Connection::Brazed => "brazed lines",
    }
}

fn cautions(stage: Stage) -> &'static [Caution] {
    match stage {
        Stage::Joints => joints::CAUTIONS,
        Stage::Tight => tight::CAUTIONS,
        Stage::Dry => dry::CAUTIONS,
        Stage::Charge => charge::CAUTIONS,
        Stage::Start => start::CAUTIONS,
        Stage::Run => run::CAUTIONS,
        Stage::Watch => &[],
    }
}

fn stage(record: &Record, judgement: &Judgement, finding: &Finding) -> StageSheet {
    let stage = finding.stage;
    let taken = judgement
        .evidence
        .iter()
        .find(|(s, _)| *s == stage)
        .map_or(&[][..], |(_, taken)| taken);
    let dated = |index: usize| {
        let event = &record.events[index];
        format!("{}: {}", day(event), narrate(event))
    };
    let applies = judgement.route.applies(stage);
    let replaced_by = match applies {
        Applies::Replaced { by, .. } => Some(by.to_string()),
        _ => None,
    };
    StageSheet {
        finding: finding.clone(),
        evidence: taken.iter().map(|e| dated(e.event)).collect(),
        cautions: if replaced_by.is_some() {
            Vec::new()
        } else {
            cautions(stage).to_vec()
        },
        next: (applies == Applies::Owner)
            .then(|| decide::command(stage))
            .flatten(),
        replaced_by,
    }
}

/// When an event happened: "2026-02-11 16:30".
pub(super) fn day(event: &Event) -> String {
    let at = event.at.civil();
    format!("{} {:02}:{:02}", at.date(), at.hour(), at.minute())
}

fn events(record: &Record) -> Vec<EventLine> {
    // more than a day between happening and writing is worth a word
    const LATE_SECONDS: f64 = 86_400.0;
    coverage::in_order(&record.events)
        .into_iter()
        .map(|index| {
            let event = &record.events[index];
            let late = event.noted.seconds_after(event.at) > LATE_SECONDS;
            let mut stages: Vec<&str> = Stage::ALL
                .into_iter()
                .filter(|stage| {
                    let taken = coverage::evidence(*stage, &record.lineset, &record.events);
                    taken
                        .iter()
                        .any(|e| e.voided.iter().any(|(_, by)| *by == index))
                })
                .map(Stage::word)
                .collect();
            stages.dedup();
            EventLine {
                number: event.number,
                at: day(event),
                noted: late.then(|| event.noted.civil().date().to_string()),
                what: narrate(event),
                voids: (!stages.is_empty()).then(|| stages.join(", ")),
                photos: event.photos.iter().map(|p| p.file.clone()).collect(),
            }
        })
        .collect()
}

fn run_detail(judgement: &Judgement) -> Option<&run::Detail> {
    judgement.findings.iter().find_map(|f| match &f.detail {
        Detail::Run(detail) => Some(&**detail),
        _ => None,
    })
}

/// Where a gauge stands on the reader's scale, and the unit.
pub(super) fn gauge(
    pressure: PressureAbs,
    barometer: Barometer,
    units: UnitSystem,
) -> (f64, &'static str) {
    let shown = pressure.to_gauge(barometer).show(units);
    (shown.value, shown.unit)
}

fn held(
    record: &Record,
    judgement: &Judgement,
    finding: &Finding,
    units: UnitSystem,
) -> Option<Held> {
    let taken = judgement
        .evidence
        .iter()
        .find(|(s, _)| *s == Stage::Tight)?;
    let event = &record.events[taken.1.last()?.event];
    held::figures(finding, &day(event), units)
}

fn running_log(judgement: &Judgement, units: UnitSystem) -> Option<RunningLogFigure> {
    judgement.findings.iter().find_map(|f| match &f.detail {
        Detail::Run(detail) => {
            let steady = detail.steady.as_ref()?;
            Some(RunningLogFigure::of(steady, units))
        }
        _ => None,
    })
}

/// All segments, as a reader reads them.
pub(super) fn segments(list: &[Segment]) -> String {
    list.iter()
        .map(|s| s.words())
        .collect::<Vec<_>>()
        .join(", ")
}
