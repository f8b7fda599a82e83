//! What is said of an incident's cost, of the mass inside, of air and of the room.

use super::*;
use crate::check::charge::InsideError;
use crate::check::charge::idle::{self, AtMost, Idle, NotNow};
use crate::check::charge::joined::{self, Cost, Joined, RestsOn, WorthAsking};
use crate::check::charge::lost::{self, End, Lost};
use crate::check::charge::performance::{self, Performance};
use crate::check::charge::room::{self, Room};
use crate::check::charge::running::{self, Shown};
use crate::physics::inventory::{self, StandingMass};
use crate::quantity::{Area, Fraction, UnitSystem};

fn percent(share: Fraction) -> String {
    format!("{:.0} %", share.in_unit(unit::PERCENT))
}

/// What an incident could have cost, with the bounds of both ends.
pub fn could_be_gone(lost: &Lost) -> Reason {
    let of = |end: End| {
        let words: Vec<&str> = lost.parts(end).iter().map(|b| b.by.words()).collect();
        words.join(" and ")
    };
    Reason::new(
        COULD_BE_GONE,
        lost::SOURCE,
        format!(
            "{} to {} could be gone; at least: {}; at most: {}",
            both(lost.low),
            both(lost.high),
            of(End::Low),
            of(End::High)
        ),
    )
}

/// What would narrow it.
pub fn would_narrow(lost: &Lost) -> Reason {
    let steps: Vec<&str> = lost.narrows.iter().map(|n| n.words()).collect();
    Reason::new(
        WOULD_NARROW,
        lost::SOURCE,
        format!("this would narrow it: {}", steps.join("; ")),
    )
}

/// What the pressure at rest says about mass.
pub fn standing(mass: &StandingMass) -> Reason {
    match mass {
        StandingMass::Vapour(mass) => Reason::new(
            ONLY_VAPOUR,
            inventory::SOURCE,
            format!(
                "the pressure at rest is below saturation, so only vapour is left: {}",
                Interval::normal(mass.value, mass.standard_uncertainty).show_both()
            ),
        ),
        StandingMass::WouldReadTheSame { until } => Reason::new(
            READS_THE_SAME,
            inventory::SOURCE,
            format!(
                "the pressure at rest is that of saturation and would read the same until {} of the charge is gone",
                percent(*until)
            ),
        ),
        StandingMass::AboveSaturation { excess } => Reason::new(
            ABOVE_SATURATION,
            idle::SOURCE,
            format!(
                "the pressure at rest is {} above saturation: air, or a warmer liquid somewhere",
                both(*excess)
            ),
        ),
    }
}

/// What the check at rest says about air.
pub fn air(idle: &Idle) -> Vec<Reason> {
    let bound = |at_most: &AtMost| match at_most.air {
        Some(air) => format!("at most {} of air", both(air)),
        None => "how much air that could be takes the vapour's volume".to_string(),
    };
    let excess = |at_most: &AtMost| at_most.excess.show_both();
    let said = match idle {
        Idle::AirAssumed => Reason::new(
            AIR_ASSUMED,
            SourceId::Owner,
            "opened and not evacuated afterwards: air must be assumed inside, whatever a gauge reads",
        ),
        Idle::NotValidNow(why) => return why.iter().map(|why| idle_not_now(*why)).collect(),
        Idle::Excess(at_most) => Reason::new(
            ABOVE_SATURATION,
            idle::SOURCE,
            format!(
                "at rest the pressure is {} above saturation: air, or a warmer liquid somewhere; {}",
                excess(at_most),
                bound(at_most)
            ),
        ),
        Idle::ProvesNothing(at_most) => Reason::new(
            IDLE_PROVES_NOTHING,
            idle::NOISE_SOURCE,
            format!(
                "at rest the pressure is {} above saturation: that proves nothing; {}",
                excess(at_most),
                bound(at_most)
            ),
        ),
        Idle::BelowSaturation(at_most) => Reason::new(
            IDLE_BELOW,
            idle::SOURCE,
            format!(
                "at rest the pressure is {} below saturation: check gauge and thermometer; if both are right, hardly any liquid is left",
                at_most.excess.negated().show_both()
            ),
        ),
    };
    vec![said]
}

fn idle_not_now(why: NotNow) -> Reason {
    Reason::new(IDLE_NOT_VALID, idle::SOURCE, why.words())
}

/// What a running reading says about charge.
pub fn running(shown: &Shown) -> Reason {
    let low = |share: Fraction| percent(Fraction::from_si(1.0 - share.si()));
    match shown {
        Shown::Share {
            share,
            reading,
            model,
            above_zero,
        } => {
            // two standard uncertainties: noise shows that much one time in forty
            let trace = if *above_zero < 2.0 {
                "; so little subcooling could be none, and the charge far lower"
            } else {
                ""
            };
            let u = Fraction::from_si(reading.si().hypot(model.si()));
            Reason::new(
                CHARGE_FROM_READINGS,
                running::SOURCE,
                format!(
                    "the running readings look like {} of the charge{trace}",
                    Interval::normal(*share, u).show_both()
                ),
            )
        }
        Shown::AtMost { share, .. } => Reason::new(
            NO_SUBCOOLING,
            running::SOURCE,
            format!(
                "no subcooling is left: at least {} low, possibly far more",
                low(*share)
            ),
        ),
        Shown::Void(void) => Reason::new(READINGS_VOID, running::SOURCE, void.words()),
    }
}

/// Whether running readings are worth asking for.
pub fn worth_asking(asked: &WorthAsking) -> Reason {
    Reason::new(WORTH_ASKING, running::SOURCE, asked.words())
}

/// The mass inside, and evidence in conflict.
pub fn inside(joined: &Joined) -> Vec<Reason> {
    let us = joined.words(UnitSystem::Us);
    let text = format!("the charge is {us} ({})", joined.words(UnitSystem::Si));
    if joined.from == RestsOn::Recovered {
        let text = format!("a technician weighed it: {text}");
        return vec![Reason::new(TECHNICIAN_WEIGHED, joined::SOURCE, text)];
    }
    let mut said = vec![Reason::new(CHARGE_INSIDE, joined::SOURCE, text)];
    if joined.conflict {
        said.push(Reason::new(
            CHARGE_CONFLICT,
            joined::SOURCE,
            "what was weighed and what the readings look like do not fit together: a certified technician weighs it",
        ));
    }
    said
}

/// What the charge costs while it runs.
pub fn costs(cost: &Cost) -> Reason {
    let words = |p: &Performance| {
        let change = |share: Fraction| format!("{:+.0} %", 100.0 * (share.si() - 1.0));
        format!("capacity {}, COP {}", change(p.capacity), change(p.cop))
    };
    let text = match (&cost.estimate, &cost.low95) {
        (Ok(estimate), Ok(low)) => format!(
            "such a charge costs about: {}; at the low end: {}",
            words(estimate),
            words(low)
        ),
        (Ok(estimate), Err(_)) => format!(
            "such a charge costs about: {}; the low end is too far from the right charge to tell",
            words(estimate)
        ),
        (Err(error), _) => format!("what it costs is not known: {error}"),
    };
    Reason::new(CHARGE_COSTS, performance::SOURCE, text)
}

/// What was assumed for the cost of an incident, as nobody said it.
pub fn assumed(what: &[&'static str]) -> Option<Reason> {
    let text = format!("assumed, as nothing is stated: {}", what.join("; "));
    (!what.is_empty()).then(|| Reason::new(AMOUNTS_ASSUMED, lost::SOURCE, text))
}

/// Why the mass inside cannot be told.
pub fn not_told(error: &InsideError) -> Reason {
    Reason::new(NOT_TOLD, joined::SOURCE, error.to_string())
}

/// Whether the room is large enough.
pub fn room(room: &Room) -> Reason {
    let least = |area: &Area| format!("at least {} of floor", both(*area));
    match room {
        Room::DoesNotApply => Reason::new(
            ROOM_FREE,
            room::SOURCE,
            "this refrigerant does not burn: no room size is asked for on that account",
        ),
        Room::NoAreaRule { free } => Reason::new(
            ROOM_FREE,
            room::SMALL_CHARGE_SOURCE,
            format!("up to {} the standard asks for no room size", both(*free)),
        ),
        Room::AskOneRoomOrDucts => Reason::new(
            ROOM_ASKED,
            room::SOURCE,
            "does the indoor unit serve one room, or ducts?",
        ),
        Room::AskTheLabel => Reason::new(
            ROOM_ASKED,
            room::SOURCE,
            "what lower flammable limit (LFL) stands on the unit's label?",
        ),
        Room::AskTheInstructions => Reason::new(
            ROOM_ASKED,
            SourceId::UnitInstructions,
            "with ducts the unit's own instructions decide: what least floor and airflow do they print for this charge?",
        ),
        Room::AskTheAirflow => Reason::new(
            ROOM_ASKED,
            SourceId::UnitInstructions,
            "the instructions ask for a least airflow: what is it here?",
        ),
        Room::Enough { least: area } => Reason::new(
            ROOM_ENOUGH,
            room::SOURCE,
            format!("the room is large enough: {}", least(area)),
        ),
        Room::TooSmall { least: area, most } => {
            let most = most.map(|mass| format!("; this room may take {}", both(mass)));
            Reason::new(
                ROOM_TOO_SMALL,
                room::SOURCE,
                format!(
                    "the room is too small for this charge: {}{}; do not switch on, call a technician",
                    least(area),
                    most.unwrap_or_default()
                ),
            )
        }
        Room::TooLittleAirflow { least } => Reason::new(
            ROOM_AIRFLOW,
            SourceId::UnitInstructions,
            format!(
                "the airflow is below {}, what the instructions ask for",
                both(*least)
            ),
        ),
    }
}
