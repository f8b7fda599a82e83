//! What the one-off commands about masses answer, in words ready to show.

use crate::check::Reason;
use crate::check::charge::idle::{AtMost, Idle, Rest};
use crate::check::charge::lost::{Bound, BoundBy, End, Escape, Hole, HoleFrom, Lost, SOURCE};
use crate::check::charge::reasons::amounts;
use crate::check::charge::room::{self, Edition, Mounted, Room};
use crate::fluid::refrigerant::{Facts, Side};
use crate::fluid::{Refrigerant, Saturation};
use crate::physics::inventory::{self, unseen_share};
use crate::quantity::{Barometer, Density, Mass, PressureAbs, Quantity, UnitSystem, unit};
use crate::source::SourceId;

/// An answer in words: the sentence, then everything behind it.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// The one sentence.
    pub headline: String,
    /// What stands behind it, in the order in which it is read.
    pub parts: Vec<Part>,
}

/// A part of an answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Its heading.
    pub heading: &'static str,
    /// Its lines.
    pub lines: Vec<Line>,
}

/// A line of an answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Line {
    /// Words that need no source: what was typed, what is asked.
    Plain(String),
    /// Words with where they come from.
    Sourced(String, SourceId),
    /// Something that a check says, with its code.
    Said(Reason),
}

impl Line {
    /// Where it comes from.
    pub fn source(&self) -> Option<SourceId> {
        match self {
            Line::Plain(_) => None,
            Line::Sourced(_, source) => Some(*source),
            Line::Said(reason) => Some(reason.source),
        }
    }
}

fn part(heading: &'static str, lines: Vec<Line>) -> Part {
    Part { heading, lines }
}

fn plain(text: impl Into<String>) -> Line {
    Line::Plain(text.into())
}

fn sourced(text: impl Into<String>, source: SourceId) -> Line {
    Line::Sourced(text.into(), source)
}

/// What stands beside a step with refrigerant in the open.
fn cautions(refrigerant: Refrigerant) -> Vec<Line> {
    let mut lines = vec![sourced(
        "liquid refrigerant freezes skin and eyes at once: gloves and goggles, hands and face out of the jet",
        SourceId::CommonPractice,
    )];
    if refrigerant.flammable() {
        lines.push(sourced(
            format!(
                "{} burns (class {}): no flame, no switch and no plug near it until the air is clear",
                refrigerant.name(),
                refrigerant.class().word()
            ),
            Facts::SOURCE,
        ));
    }
    lines.extend([
        sourced(
            "the gas is heavier than air: open doors and windows, let it out of doors, breathe outside",
            SourceId::CommonPractice,
        ),
        sourced(
            "adding, removing or recovering refrigerant is certified work in many places",
            SourceId::Cfr82F,
        ),
        sourced(
            "the unit's own safety pages and the code of the place win over anything here",
            SourceId::UnitInstructions,
        ),
    ]);
    lines
}

/// What an incident could have cost, in words.
///
/// `charge`: as it was typed; `rests_on`: what was typed and assumed, a line each.
pub fn lost_told(
    escape: &Escape,
    lost: &Lost,
    charge: &str,
    rests_on: &[String],
    units: UnitSystem,
) -> Told {
    let bounds = [End::Low, End::High].map(|end| {
        let of_end = lost.bounds.iter().filter(move |b| b.end == end);
        of_end.map(move |b| sourced(bound_words(b, units), SOURCE))
    });
    let narrows = lost.narrows.iter().map(|n| plain(n.words()));
    let behind = |lines: &[String]| lines.iter().map(plain).collect();
    Told {
        headline: lost_headline(escape, lost, charge, units),
        parts: vec![
            part("Between", bounds.into_iter().flatten().collect()),
            part("The hole", vec![sourced(hole_words(&lost.hole), SOURCE)]),
            part("It rests on", behind(rests_on)),
            part(
                "What would narrow it, the cheapest first",
                narrows.collect(),
            ),
            part("What it does not say", unsaid(escape)),
            part("Mind", cautions(escape.refrigerant)),
        ],
    }
}

fn bound_words(bound: &Bound, units: UnitSystem) -> String {
    let end = match bound.end {
        End::Low => "at least",
        End::High => "at most",
    };
    let by = bound.by.words();
    match bound.by {
        BoundBy::Nothing => format!("{end} nothing: {by}"),
        _ => format!("{end} {}: {by}", bound.mass.show(units)),
    }
}

/// "0 to 0.9 lb could be gone; most of a charge of 6 lb 10 oz stays".
fn lost_headline(escape: &Escape, lost: &Lost, charge: &str, units: UnitSystem) -> String {
    let share = |mass: Mass| mass.si() / escape.circuit.charge.value.si();
    let (least, most) = (share(lost.low), share(lost.high));
    if most >= 0.995 {
        // "0 to 6.9 lb" would look like a finding
        return if lost.low.si() == 0.0 {
            format!("anything from nothing to all of a charge of {charge} could be gone")
        } else {
            format!(
                "at least {}, up to all of a charge of {charge} could be gone",
                lost.low.show(units)
            )
        };
    }
    let stays = if most <= 0.05 {
        "nearly all of a charge of {} stays".to_string()
    } else if most < 0.5 {
        "most of a charge of {} stays".to_string()
    } else if least > 0.5 {
        "most of a charge of {} is gone".to_string()
    } else {
        let left = (100.0 * (1.0 - most)).floor();
        format!("at least {left:.0} % of a charge of {{}} stays")
    };
    format!(
        "{} could be gone; {}",
        masses(lost.low, lost.high, units),
        stays.replace("{}", charge)
    )
}

/// "0.02 to 0.3 mm2": effective area, with what it comes from.
fn hole_words(hole: &Hole) -> String {
    let from = match hole.from {
        HoleFrom::Stated => "as it was stated",
        HoleFrom::TimeToSilence => "by the time that the shut-off part took to fall silent",
        HoleFrom::Assumed => {
            "any hole that hisses, from a scratch across a flare to an open service port, as nothing tells of it"
        }
    };
    format!(
        "{} to {} mm2 of effective area, {from}",
        digits(square_millimetres(hole.low.si())),
        digits(square_millimetres(hole.high.si()))
    )
}

/// m2 as mm2.
pub(super) fn square_millimetres(si: f64) -> f64 {
    1e6 * si
}

/// Two digits that count.
pub(super) fn digits(value: f64) -> String {
    if value == 0.0 {
        return "0".to_string();
    }
    let decimals = (1.0 - value.abs().max(1e-6).log10().floor()).clamp(0.0, 6.0) as usize;
    let text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_string()
    } else {
        text
    }
}

fn unsaid(escape: &Escape) -> Vec<Line> {
    let mut lines = Vec::new();
    let circuit = &escape.circuit;
    let until = unseen_share(
        escape.refrigerant,
        circuit.charge.value,
        circuit.volume.value,
        escape.temperature.value,
    );
    if let Ok(until) = until
        && until.si() > 0.0
    {
        lines.push(sourced(
            format!(
                "a pressure at rest cannot check it: it would read the same until about {:.0} % of the charge is gone",
                until.in_unit(unit::PERCENT)
            ),
            inventory::SOURCE,
        ));
    }
    lines.extend([
        plain("whether air got in: what was opened and not evacuated afterwards has air in it"),
        plain("whether the joint is tight now: bubbles or a detector, and the watch, say that"),
        plain("how the machine runs on what is left"),
    ]);
    lines
}

/// "0 to 0.9 lb": the low end rounded down, the high end up.
pub(super) fn masses(low: Mass, high: Mass, units: UnitSystem) -> String {
    let unit = match units {
        UnitSystem::Us if high.si() < 0.5 * unit::POUND_MASS.to_si(1.0) => unit::OUNCE_MASS,
        UnitSystem::Us => unit::POUND_MASS,
        UnitSystem::Si if high.si() < 1.0 => unit::GRAM,
        UnitSystem::Si => unit::KILOGRAM,
    };
    let (low, high) = (unit.from_si(low.si()), unit.from_si(high.si()));
    // a rounding error must not move an end by a step
    let step = two_digits(high);
    let high = (high / step - 1e-9).ceil() * step;
    // a low end far below needs no finer digits than a tenth of that
    let step = two_digits(low).max(0.1 * step);
    let low = (low / step + 1e-9).floor() * step;
    format!("{} to {} {}", digits(low), digits(high), unit.symbol)
}

/// The step of a number's second digit.
fn two_digits(value: f64) -> f64 {
    10f64.powf(value.max(1e-6).log10().floor() - 1.0)
}

/// What the check at rest says about air, in words.
///
/// `notes`: what has to be said of what was typed.
pub fn idle_told(
    rest: &Rest,
    idle: &Idle,
    notes: &[String],
    barometer: Barometer,
    units: UnitSystem,
) -> Told {
    let air = |bound: &AtMost| match bound.air {
        Some(air) => format!("up to {} of air could be inside", air.show(units)),
        None => "how much air that could be takes the volume".to_string(),
    };
    let headline = match idle {
        Idle::AirAssumed => "air must be assumed inside: do not run it, call a technician".into(),
        Idle::NotValidNow(_) => "not valid now: this check says nothing about air yet".into(),
        Idle::Excess(bound) => format!(
            "above saturation: air, or a warmer liquid somewhere; {}; do not run it, call a technician",
            air(bound)
        ),
        Idle::ProvesNothing(bound) => {
            format!("this proves nothing and clears nothing: {}", air(bound))
        }
        Idle::BelowSaturation(_) => {
            "below saturation: check gauge and thermometer first; if both are right, hardly any liquid is left".into()
        }
    };
    let mut parts = vec![part(
        "Why",
        amounts::air(idle).into_iter().map(Line::Said).collect(),
    )];
    if let Some(line) = saturation_line(rest, barometer, units) {
        parts.push(part("Held against", vec![line]));
    }
    if !notes.is_empty() {
        parts.push(part("Notes", notes.iter().map(plain).collect()));
    }
    let mut unsaid = vec![plain("how much refrigerant is inside")];
    if *idle != Idle::AirAssumed {
        unsaid.insert(
            0,
            plain("that no air is inside: a few grams hide in the reading of any gauge and thermometer"),
        );
    }
    parts.push(part("What it does not say", unsaid));
    parts.push(part("Mind", cautions(rest.refrigerant)));
    Told {
        headline: headline.to_string(),
        parts,
    }
}

fn saturation_line(rest: &Rest, barometer: Barometer, units: UnitSystem) -> Option<Line> {
    let coil = rest.coil.value;
    let bubble = Saturation::of(rest.refrigerant)
        .pressure(Side::Bubble, coil)
        .ok()?;
    let read = rest.pressure.as_ref()?;
    let gauge = |pressure: PressureAbs| pressure.to_gauge(barometer).show(units);
    Some(plain(format!(
        "{} at {} stands at {}; read: {}",
        rest.refrigerant.name(),
        coil.show(units),
        gauge(bubble),
        gauge(read.value)
    )))
}

/// What is said of the room; with ducts the unit's own lines decided, no formula.
pub(super) fn room_reason(room: &Room, ducted: bool) -> Reason {
    let said = amounts::room(room);
    match room {
        Room::Enough { .. } | Room::TooSmall { .. } if ducted => Reason {
            source: SourceId::UnitInstructions,
            ..said
        },
        _ => said,
    }
}

/// Whether a charge may be where it is, in words.
pub fn room_told(refrigerant: Refrigerant, room: &Room, ducted: bool, notes: &[String]) -> Told {
    let headline = match room {
        Room::DoesNotApply => "no room size is asked for: the refrigerant does not burn",
        Room::NoAreaRule { .. } => "no room size is asked for: the charge is small enough",
        Room::Enough { .. } => "the room is large enough",
        Room::TooSmall { .. } => "the room is too small: do not switch on, call a technician",
        Room::TooLittleAirflow { .. } => "too little airflow: do not switch on, call a technician",
        Room::AskOneRoomOrDucts
        | Room::AskTheLabel
        | Room::AskTheInstructions
        | Room::AskTheAirflow => "not valid now: a question comes first",
    };
    let mut parts = vec![part("Why", vec![Line::Said(room_reason(room, ducted))])];
    if !notes.is_empty() {
        parts.push(part("Notes", notes.iter().map(plain).collect()));
    }
    if refrigerant.flammable() {
        parts.push(part(
            "Mind",
            vec![
                sourced(
                    "the unit's own instructions and the code of the place win over anything here",
                    SourceId::UnitInstructions,
                ),
                sourced(
                    "count all that is in the circuit: nameplate charge and what the line took",
                    SourceId::UnitInstructions,
                ),
            ],
        ));
    }
    Told {
        headline: headline.into(),
        parts,
    }
}

/// The question that a room without its floor leaves, with the least floor for each mounting.
pub fn room_asked(lfl: Density, charge: Mass, edition: Edition, units: UnitSystem) -> Told {
    let least = [
        ("on the floor", Mounted::Floor),
        ("at a window", Mounted::Window),
        ("on the wall", Mounted::Wall),
        ("at the ceiling", Mounted::Ceiling),
    ]
    .map(|(place, mounted)| {
        let area = room::least_area(lfl, mounted.height(), charge, edition);
        sourced(
            format!("{place}: at least {}", area.show(units)),
            room::SOURCE,
        )
    });
    Told {
        headline:
            "not valid now: how large is the room's floor, and where does the indoor unit hang?"
                .into(),
        parts: vec![
            part("For this charge in one room", least.into()),
            part(
                "Mind",
                vec![sourced(
                    "the unit's own instructions and the code of the place win over anything here",
                    SourceId::UnitInstructions,
                )],
            ),
        ],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_of_masses_is_rounded_outward_in_one_unit() {
        let pounds = |low, high| {
            let of = |v| Mass::of(v, unit::POUND_MASS);
            masses(of(low), of(high), UnitSystem::Us)
        };
        assert_eq!(pounds(0.0, 0.88), "0 to 0.88 lb");
        assert_eq!(pounds(0.311, 0.8), "0.31 to 0.8 lb");
        assert_eq!(pounds(0.0327, 3.81), "0.03 to 3.9 lb");
        assert_eq!(pounds(0.0, 0.1), "0 to 1.6 oz");
        let grams = masses(Mass::from_si(0.043), Mass::from_si(0.071), UnitSystem::Si);
        assert_eq!(grams, "43 to 71 g");
    }

    #[test]
    fn a_hole_has_two_digits() {
        assert_eq!(digits(0.005), "0.005");
        assert_eq!(digits(0.0234), "0.023");
        assert_eq!(digits(10.0), "10");
        assert_eq!(digits(4.0), "4");
    }
}
