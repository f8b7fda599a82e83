//! The start-up gate.

use super::reasons;
use super::{
    Answer, CrankcaseHeater, Criteria, Detail, Input, Item, State, Supply, SupplyLimits, Wiring,
};
use crate::check::{Detail as AnyDetail, Finding, NamedInterval, Outcome, Reason, Stage};
use crate::quantity::{Interval, Quantity, UnitSystem, Voltage, both};
use crate::source::SourceId;
use crate::stats::within::{Within, judge_within};

/// One question with what is to be said about it.
struct Asked {
    item: Item,
    reason: Option<Reason>,
}

/// Asks every question of the gate: *pass* when all are answered well, *fail* when one is answered badly, *undecided*
/// while one is open, *not done* when nothing is answered.
///
/// ```
/// use lineproof::check::{Outcome, start};
/// let finding = start::assess(&start::Input::default(), &start::Criteria::default());
/// assert_eq!(finding.outcome, Outcome::NotDone);
/// ```
pub fn assess(input: &Input, criteria: &Criteria) -> Finding {
    let mut asked = vec![heater(&input.heater, criteria)];
    asked.extend(plain_questions(input));
    asked.push(supply(&input.supply, criteria));
    asked.extend(wiring(&input.wiring));

    let is = |state: State| asked.iter().any(|a| a.item.state == state);
    let outcome = if is(State::Bad) {
        Outcome::Fail
    } else if !is(State::NotKnown) {
        Outcome::Pass
    } else if is(State::Good) {
        Outcome::Undecided
    } else {
        Outcome::NotDone
    };

    let items: Vec<Item> = asked.iter().map(|a| a.item.clone()).collect();
    // what is wrong comes before what is open
    asked.sort_by_key(|a| match a.item.state {
        State::Bad => 0,
        State::NotKnown => 1,
        State::Good | State::DoesNotApply => 2,
    });
    let mut reasons: Vec<Reason> = asked.into_iter().filter_map(|a| a.reason).collect();
    if outcome == Outcome::Pass {
        reasons.insert(0, reasons::ready());
    }
    let unseen = match outcome {
        Outcome::Pass => vec![
            "the gate asks about conditions: it shows nothing of charge, tightness or air in the circuit".to_string(),
        ],
        _ => Vec::new(),
    };
    Finding {
        figures: supply_figure(&input.supply),
        unseen,
        detail: AnyDetail::Start(Detail { items }),
        ..Finding::plain(Stage::Start, outcome, reasons)
    }
}

fn heater(heater: &CrankcaseHeater, criteria: &Criteria) -> Asked {
    let question = "has the crankcase heater been on long enough?";
    match heater {
        CrankcaseHeater::NotNeeded => said(question, State::DoesNotApply, None, None),
        CrankcaseHeater::NotKnown => open(question, criteria.heater_time_source),
        CrankcaseHeater::PowerOnFor { so_far, unit_asks } => {
            let (asked, source) = match unit_asks {
                Some(asked) => (*asked, SourceId::UnitInstructions),
                None => (criteria.heater_time, criteria.heater_time_source),
            };
            let note = Some(format!("{} of {}", both(*so_far), both(asked)));
            if *so_far >= asked {
                let reason = reasons::heater_done(*so_far, asked, source);
                said(question, State::Good, note, Some(reason))
            } else {
                let reason = reasons::heater_too_short(*so_far, asked, source);
                said(question, State::Bad, note, Some(reason))
            }
        }
    }
}

fn plain_questions(input: &Input) -> Vec<Asked> {
    type Row = (&'static str, Answer, fn() -> Reason);
    let rows: [Row; 7] = [
        (
            "are both service valves fully open?",
            input.service_valves_open,
            reasons::valves_shut,
        ),
        (
            "are stems and ports capped, caps tight?",
            input.caps_on,
            reasons::caps_off,
        ),
        (
            "does the indoor blower move air with nothing in its way?",
            input.airflow_clear,
            reasons::airflow_blocked,
        ),
        (
            "is the filter in and clean?",
            input.filter_clean,
            reasons::filter_wrong,
        ),
        (
            "does the condensate run away?",
            input.drain_runs,
            reasons::drain_blocked,
        ),
        (
            "are the clearances of the unit's instructions kept?",
            input.clearances_kept,
            reasons::clearances_short,
        ),
        (
            "is there a disconnect within sight of the outdoor unit?",
            input.disconnect_in_sight,
            reasons::disconnect_missing,
        ),
    ];
    rows.into_iter()
        .map(|(question, answer, bad)| match answer {
            Answer::Yes => said(question, State::Good, None, None),
            Answer::No => said(question, State::Bad, None, Some(bad())),
            Answer::NotKnown => open(question, bad().source),
        })
        .collect()
}

/// The limits of the supply and their source.
fn voltage_range(limits: SupplyLimits, criteria: &Criteria) -> ((Voltage, Voltage), SourceId) {
    match limits {
        SupplyLimits::Printed { low, high } => ((low, high), SourceId::UnitInstructions),
        SupplyLimits::Rated { lowest, highest } => {
            let tolerance = criteria.voltage_tolerance.si();
            let low = Voltage::from_si(lowest.si() * (1.0 - tolerance));
            let high = Voltage::from_si(highest.si() * (1.0 + tolerance));
            ((low, high), criteria.voltage_tolerance_source)
        }
    }
}

fn supply(supply: &Supply, criteria: &Criteria) -> Asked {
    let question = "is the supply within the limits of the nameplate?";
    let (Some(measured), Some(limits)) = (&supply.measured, supply.limits) else {
        return open(question, criteria.voltage_tolerance_source);
    };
    let (range, source) = voltage_range(limits, criteria);
    let reading = Interval::normal(measured.value, measured.standard_uncertainty);
    let note = Some(format!(
        "{}; limits {} to {}",
        reading.show(UnitSystem::Us),
        both(range.0),
        both(range.1)
    ));
    let within = judge_within(
        measured.value.si(),
        measured.standard_uncertainty.si(),
        range.0.si(),
        range.1.si(),
    );
    match within {
        Within::Inside => said(question, State::Good, note, None),
        Within::Outside => {
            let reason = reasons::voltage_outside(reading, range, source);
            said(question, State::Bad, note, Some(reason))
        }
        Within::Undecided => {
            let reason = reasons::voltage_at_the_edge(reading, range, source);
            said(question, State::NotKnown, note, Some(reason))
        }
    }
}

fn supply_figure(supply: &Supply) -> Vec<NamedInterval> {
    let figure = supply.measured.as_ref().map(|m| NamedInterval {
        name: "supply voltage",
        interval: Interval::normal(m.value, m.standard_uncertainty),
        source: SourceId::Jcgm100,
    });
    figure.into_iter().collect()
}

fn wiring(wiring: &Wiring) -> [Asked; 2] {
    let breaker_question = "does the breaker fit the nameplate?";
    let breaker = match (
        wiring.breaker,
        wiring.minimum_ampacity,
        wiring.largest_breaker,
    ) {
        (Some(breaker), Some(least), Some(largest)) => {
            let note = Some(format!(
                "{}; nameplate {} to {}",
                both(breaker),
                both(least),
                both(largest)
            ));
            if breaker > largest {
                let reason = reasons::breaker_too_large(breaker, largest);
                said(breaker_question, State::Bad, note, Some(reason))
            } else if breaker < least {
                let reason = reasons::breaker_too_small(breaker, least);
                said(breaker_question, State::Bad, note, Some(reason))
            } else {
                said(breaker_question, State::Good, note, None)
            }
        }
        (Some(breaker), _, Some(largest)) if breaker > largest => {
            let reason = reasons::breaker_too_large(breaker, largest);
            said(breaker_question, State::Bad, None, Some(reason))
        }
        _ => open(breaker_question, SourceId::UnitInstructions),
    };
    let wire_question = "may the wire carry the minimum circuit ampacity?";
    let wire = match (wiring.wire_ampacity, wiring.minimum_ampacity) {
        (Some(wire), Some(least)) => {
            let note = Some(format!("{}; nameplate {}", both(wire), both(least)));
            if wire < least {
                let reason = reasons::wire_too_thin(wire, least);
                said(wire_question, State::Bad, note, Some(reason))
            } else {
                said(wire_question, State::Good, note, None)
            }
        }
        _ => open(wire_question, SourceId::UnitInstructions),
    };
    [breaker, wire]
}

fn said(
    question: &'static str,
    state: State,
    note: Option<String>,
    reason: Option<Reason>,
) -> Asked {
    Asked {
        item: Item {
            question,
            state,
            note,
        },
        reason,
    }
}

fn open(question: &'static str, source: SourceId) -> Asked {
    let reason = reasons::not_answered(question, source);
    said(question, State::NotKnown, None, Some(reason))
}
