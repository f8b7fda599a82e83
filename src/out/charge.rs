//! The charge of a record on one screen: how much is missing, whether it matters, what next, and where it comes from.

use super::weigh_in::{WeighInRow, fine, signed};
use crate::check::charge::joined::RestsOn;
use crate::check::charge::lost::{End, Lost};
use crate::check::charge::performance::{Performance, PerformanceError};
use crate::check::charge::{Input, Inside, Term, adjustment, reasons};
use crate::check::{Detail, Finding, Outcome};
use crate::decide::{Decision, Verdict};
use crate::fluid::Refrigerant;
use crate::quantity::{Mass, Origin, Quantity, UnitSystem};
use crate::record::Record;
use crate::source::SourceId;

/// The sheet; a renderer computes nothing.
#[derive(Debug, Clone, PartialEq)]
pub struct ChargeSheet {
    /// What the record calls the line set.
    pub record: String,
    /// Whether the record is an invented example.
    pub invented: bool,
    /// The refrigerant on the nameplate.
    pub refrigerant: Refrigerant,
    /// How the stage came out.
    pub outcome: Outcome,
    /// The answer in words.
    pub answer: String,
    /// The code of that answer, and where it comes from.
    pub lead: Option<(&'static str, SourceId)>,
    /// Whether it matters.
    pub matters: Vec<String>,
    /// Whether it may run.
    pub may_run: String,
    /// What to do next; a command where there is one.
    pub next: Vec<(String, Option<String>)>,
    /// What a technician brings; empty when none is called.
    pub brings: Vec<String>,
    /// The arithmetic.
    pub rows: Vec<WeighInRow>,
    /// What each incident could have cost.
    pub cost: Vec<CostRow>,
    /// What was assumed for that.
    pub assumed: Vec<&'static str>,
    /// What would narrow it, the most useful first.
    pub narrows: Vec<&'static str>,
    /// What running readings show, or whether they are worth asking for.
    pub readings: Vec<String>,
    /// Everything else that the stage says, with its source.
    pub says: Vec<(String, SourceId)>,
    /// What the evidence could not have seen.
    pub unseen: Vec<String>,
    /// Line-length adjustment with accessories; signed.
    pub adjustment: Mass,
    /// All that belongs in.
    pub belongs_in: Mass,
    /// The mass inside after an incident.
    pub inside: Option<Inside>,
    /// The one answer of the record.
    pub verdict: Verdict,
}

/// What an incident could have cost, with each bound named.
#[derive(Debug, Clone, PartialEq)]
pub struct CostRow {
    /// "10 to 90 g".
    pub range: String,
    /// "at least 10 g: what ...".
    pub bounds: Vec<String>,
}

impl ChargeSheet {
    /// The sheet of a record: its *charge* finding, its decision, and what [`Record::charge_input`] gives.
    pub fn of(
        record: &Record,
        input: &Input,
        finding: &Finding,
        decision: &Decision,
        units: UnitSystem,
    ) -> Self {
        let inside = match &finding.detail {
            Detail::Charge(detail) => detail.inside.as_deref().cloned(),
            _ => None,
        };
        let adjusted = adjustment(&input.runs, &input.accessories).total;
        let belongs_in = Mass::from_si(input.nameplate.si() + adjusted.si());
        let shown = inside.as_ref();
        ChargeSheet {
            record: record.lineset.name.clone(),
            invented: record.lineset.invented,
            refrigerant: input.refrigerant,
            outcome: finding.outcome,
            answer: answer(finding, shown, units),
            lead: finding.reasons.first().map(|r| (r.code, r.source)),
            matters: shown.map_or(Vec::new(), matters),
            may_run: may_run(decision, shown),
            next: decision
                .next
                .iter()
                .map(|step| (step.text.clone(), step.command.clone()))
                .collect(),
            brings: brings(input.refrigerant, belongs_in, shown, decision, units),
            rows: rows(input, belongs_in, shown, units),
            cost: shown.map_or(Vec::new(), |inside| {
                inside
                    .evidence
                    .lost
                    .iter()
                    .map(|l| cost_row(l, units))
                    .collect()
            }),
            assumed: shown.map_or(Vec::new(), |inside| inside.assumed.clone()),
            narrows: shown.map_or(Vec::new(), narrows),
            readings: readings(finding),
            unseen: finding.unseen.clone(),
            says: says(finding),
            adjustment: adjusted,
            belongs_in,
            inside,
            verdict: decision.verdict,
        }
    }
}

fn answer(finding: &Finding, inside: Option<&Inside>, units: UnitSystem) -> String {
    let words = inside.map(|inside| {
        let by = match inside.joined.from {
            RestsOn::Recovered => "a technician recovered and weighed it: ",
            RestsOn::Weighing | RestsOn::WeighingAndRunning => "",
        };
        format!("{by}{}", inside.joined.words(units))
    });
    let first = || finding.reasons.first().map(|r| r.text.clone());
    words.or_else(first).unwrap_or_default()
}

fn matters(inside: &Inside) -> Vec<String> {
    let mut list = Vec::new();
    let words = |end: &Result<Performance, PerformanceError>| match end {
        Ok(cost) => {
            let change = |share: f64| match (100.0 * (share - 1.0)).round() {
                0.0 => "as with the right charge".to_string(),
                percent => format!("{percent:+.0} %"),
            };
            format!(
                "capacity {}, COP {}",
                change(cost.capacity.si()),
                change(cost.cop.si())
            )
        }
        Err(_) => "not known so far from the right charge, only from 70 to 130 % of it".to_string(),
    };
    list.push(format!("cooling, about: {}", words(&inside.cost.estimate)));
    if inside.cost.estimate.is_err() {
        return list;
    }
    list.push(format!("at the low end: {}", words(&inside.cost.low95)));
    list
}

fn may_run(decision: &Decision, inside: Option<&Inside>) -> String {
    let all = format!(
        "{}; {}",
        decision.meanwhile.words(),
        decision.how_soon.words()
    );
    match inside {
        Some(inside) if inside.air => format!(
            "{all}; air must be assumed inside, and that matters more than any missing charge"
        ),
        Some(inside) if inside.may_be_left_so() => format!(
            "{all}; by its charge alone it may run with stop signs until somebody weighs it"
        ),
        _ => all,
    }
}

fn brings(
    refrigerant: Refrigerant,
    belongs_in: Mass,
    inside: Option<&Inside>,
    decision: &Decision,
    units: UnitSystem,
) -> Vec<String> {
    if decision.verdict < Verdict::Call {
        return Vec::new();
    }
    let Some(inside) = inside else {
        let leading = decision.grounds.first();
        let asked = leading.map_or(&[][..], |ground| &ground.bring[..]);
        return asked.iter().map(|thing| thing.to_string()).collect();
    };
    let missing = inside.joined.missing();
    let mass = |si: f64| fine(Mass::from_si(si), units);
    let mut list = Vec::new();
    if missing.high > 0.0 && !inside.air {
        list.push(format!(
            "a scale, and {refrigerant}: {} to {} to add, or {} after a full recovery",
            mass(missing.low.max(0.0)),
            mass(missing.high),
            mass(belongs_in.si())
        ));
    } else {
        list.push(format!(
            "a scale, and {refrigerant}: {} after a full recovery",
            mass(belongs_in.si())
        ));
    }
    list.push(format!(
        "a recovery machine and a cylinder for up to {}",
        mass(inside.joined.high95.si() * belongs_in.si())
    ));
    if inside.air {
        list.push(
            "a filter drier, dry nitrogen with regulator, vacuum pump and micron gauge".to_string(),
        );
    }
    list.push("a detector for this refrigerant".to_string());
    list
}

fn rows(
    input: &Input,
    belongs_in: Mass,
    inside: Option<&Inside>,
    units: UnitSystem,
) -> Vec<WeighInRow> {
    let row = |label: &str, how: String, mass: String, sum: bool| WeighInRow {
        label: label.into(),
        how,
        mass,
        sum,
    };
    let mut rows = vec![row(
        "nameplate charge",
        "as on the label".into(),
        signed(input.nameplate, units),
        false,
    )];
    for line in adjustment(&input.runs, &input.accessories).lines {
        let how = match line.term {
            Term::Stated => "as stated".to_string(),
            _ => line.expression(units),
        };
        rows.push(row(&line.label, how, signed(line.mass, units), false));
    }
    rows.push(row(
        "belongs in",
        String::new(),
        fine(belongs_in, units),
        true,
    ));
    let Some(inside) = inside else { return rows };
    let before = inside.evidence.before.value;
    rows.push(row(
        "was in before",
        comes_from(&inside.evidence.before.origin),
        fine(before, units),
        false,
    ));
    let lost = inside.lost_in_all();
    let range = |low: f64, high: f64| {
        format!(
            "{} to {}",
            fine(Mass::from_si(low), units),
            fine(Mass::from_si(high), units)
        )
    };
    if !inside.evidence.lost.is_empty() {
        rows.push(row(
            "could be gone",
            "see below".into(),
            range(lost.low.si(), lost.high.si()),
            false,
        ));
    }
    let due = belongs_in.si();
    let joined = &inside.joined;
    rows.push(row(
        "could be inside",
        "95 %".into(),
        range(joined.low95.si() * due, joined.high95.si() * due),
        true,
    ));
    rows
}

fn comes_from(origin: &Origin) -> String {
    match origin {
        Origin::Reading(what) | Origin::Assumed(what) => what.clone(),
        Origin::Unit => "as on the label".to_string(),
    }
}

fn cost_row(lost: &Lost, units: UnitSystem) -> CostRow {
    let of = |end: End, words: &str| -> Vec<String> {
        let parts = lost.parts(end).into_iter().enumerate();
        parts
            .map(|(nth, bound)| {
                let word = if nth == 0 { words } else { "and" };
                format!("{word} {}: {}", fine(bound.mass, units), bound.by.words())
            })
            .collect()
    };
    let mut bounds = of(End::Low, "at least");
    bounds.extend(of(End::High, "at most"));
    CostRow {
        range: format!("{} to {}", fine(lost.low, units), fine(lost.high, units)),
        bounds,
    }
}

/// Of the incident that is known least.
fn narrows(inside: &Inside) -> Vec<&'static str> {
    let width = |l: &Lost| l.high.si() - l.low.si();
    let widest = inside
        .evidence
        .lost
        .iter()
        .max_by(|a, b| width(a).total_cmp(&width(b)));
    widest.map_or(Vec::new(), |lost| {
        lost.narrows.iter().map(|n| n.words()).collect()
    })
}

/// What is said of readings.
const OF_READINGS: [&str; 4] = [
    reasons::CHARGE_FROM_READINGS,
    reasons::NO_SUBCOOLING,
    reasons::READINGS_VOID,
    reasons::WORTH_ASKING,
];

/// What the sheet says elsewhere.
const ELSEWHERE: [&str; 8] = [
    reasons::CHARGE_INSIDE,
    reasons::TECHNICIAN_WEIGHED,
    reasons::COULD_BE_GONE,
    reasons::WOULD_NARROW,
    reasons::AIR_ASSUMED,
    reasons::CHARGE_COSTS,
    reasons::AMOUNTS_ASSUMED,
    reasons::ADJUSTMENT,
];

fn readings(finding: &Finding) -> Vec<String> {
    finding
        .reasons
        .iter()
        .filter(|r| OF_READINGS.contains(&r.code))
        .map(|r| r.text.clone())
        .collect()
}

fn says(finding: &Finding) -> Vec<(String, SourceId)> {
    // without an incident the first one is the answer
    let told = usize::from(!finding.says(reasons::COULD_BE_GONE));
    finding
        .reasons
        .iter()
        .skip(told)
        .filter(|r| !OF_READINGS.contains(&r.code) && !ELSEWHERE.contains(&r.code))
        .map(|r| (r.text.clone(), r.source))
        .collect()
}
