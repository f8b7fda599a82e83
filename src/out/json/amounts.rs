//! JSON of what could be gone, of air at rest and of the room; SI units unless the key says otherwise.

use serde::Serialize;

use super::{Body, Estimate, Said};
use crate::check::charge::idle::{AtMost, Idle};
use crate::check::charge::lost::{BoundBy, End, Escape, HoleFrom, Lost, Narrows};
use crate::check::charge::reasons::amounts;
use crate::check::charge::room::Room;
use crate::out::told::{room_reason, square_millimetres};
use crate::quantity::{Mass, Quantity};

/// Two ends.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Between {
    low: f64,
    high: f64,
}

/// What an incident could have cost.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LostDocument {
    lost_kg: Between,
    charge_kg: f64,
    bounds: Vec<BoundDocument>,
    hole_mm2: Between,
    /// "stated", "time-to-silence" or "any-that-hisses".
    hole_from: &'static str,
    narrows: Vec<NarrowsDocument>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct BoundDocument {
    /// "low" or "high".
    end: &'static str,
    kg: f64,
    by: &'static str,
    text: &'static str,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct NarrowsDocument {
    by: &'static str,
    text: &'static str,
}

impl LostDocument {
    /// What `lost` says of an incident.
    pub fn of(escape: &Escape, lost: &Lost) -> Self {
        LostDocument {
            lost_kg: Between {
                low: lost.low.si(),
                high: lost.high.si(),
            },
            charge_kg: escape.circuit.charge.value.si(),
            bounds: lost
                .bounds
                .iter()
                .map(|bound| BoundDocument {
                    end: match bound.end {
                        End::Low => "low",
                        End::High => "high",
                    },
                    kg: bound.mass.si(),
                    by: bound_word(bound.by),
                    text: bound.by.words(),
                })
                .collect(),
            hole_mm2: Between {
                low: square_millimetres(lost.hole.low.si()),
                high: square_millimetres(lost.hole.high.si()),
            },
            hole_from: match lost.hole.from {
                HoleFrom::Stated => "stated",
                HoleFrom::TimeToSilence => "time-to-silence",
                HoleFrom::Assumed => "any-that-hisses",
            },
            narrows: lost
                .narrows
                .iter()
                .map(|&by| NarrowsDocument {
                    by: narrows_word(by),
                    text: by.words(),
                })
                .collect(),
        }
    }
}

fn bound_word(by: BoundBy) -> &'static str {
    match by {
        BoundBy::Nothing => "nothing",
        BoundBy::FlowFromCircuit => "flow-from-circuit",
        BoundBy::FlowFromIsolated => "flow-from-isolated",
        BoundBy::IsolatedToSilence => "isolated-to-silence",
        BoundBy::IsolatedContents => "isolated-contents",
        BoundBy::CircuitToSilence => "circuit-to-silence",
        BoundBy::AllThatWasThere => "all-that-was-there",
    }
}

fn narrows_word(by: Narrows) -> &'static str {
    match by {
        Narrows::ValveState => "valve-state",
        Narrows::HowLong => "how-long",
        Narrows::HowItEnded => "how-it-ended",
        Narrows::TimeToSilence => "time-to-silence",
        Narrows::WhatPassed => "what-passed",
        Narrows::Contents => "contents",
        Narrows::Clock => "clock",
        Narrows::Weighing => "weighing",
    }
}

/// What the check at rest says about air.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct IdleDocument {
    /// "air-assumed", "not-valid-now", "above-saturation", "proves-nothing" or "below-saturation".
    found: &'static str,
    /// Pressure above saturation at the coil.
    #[serde(rename = "excess_Pa")]
    excess: Option<Estimate>,
    air_at_most_kg: Option<f64>,
    said: Vec<Said>,
}

impl From<&Idle> for IdleDocument {
    fn from(idle: &Idle) -> Self {
        let (found, bound): (_, Option<&AtMost>) = match idle {
            Idle::AirAssumed => ("air-assumed", None),
            Idle::NotValidNow(_) => ("not-valid-now", None),
            Idle::Excess(bound) => ("above-saturation", Some(bound)),
            Idle::ProvesNothing(bound) => ("proves-nothing", Some(bound)),
            Idle::BelowSaturation(bound) => ("below-saturation", Some(bound)),
        };
        IdleDocument {
            found,
            excess: bound.map(|bound| Estimate {
                estimate: bound.excess.estimate,
                low95: bound.excess.low,
                high95: bound.excess.high,
            }),
            air_at_most_kg: bound.and_then(|bound| bound.air).map(Mass::si),
            said: amounts::air(idle).iter().map(Said::from).collect(),
        }
    }
}

/// Whether a charge may be where it is; `null` is what was not computed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RoomDocument {
    outcome: &'static str,
    least_area_m2: Option<f64>,
    most_charge_kg: Option<f64>,
    free_charge_kg: Option<f64>,
    least_airflow_m3_per_s: Option<f64>,
    said: Vec<Said>,
}

impl RoomDocument {
    /// What `room` found, with its outcome.
    pub fn of(room: &Room, ducted: bool, outcome: crate::check::Outcome) -> Self {
        let mut document = RoomDocument {
            said: vec![Said::from(&room_reason(room, ducted))],
            ..RoomDocument::asked(outcome)
        };
        match room {
            Room::NoAreaRule { free } => document.free_charge_kg = Some(free.si()),
            Room::Enough { least } => document.least_area_m2 = Some(least.si()),
            Room::TooSmall { least, most } => {
                document.least_area_m2 = Some(least.si());
                document.most_charge_kg = most.map(Mass::si);
            }
            Room::TooLittleAirflow { least } => document.least_airflow_m3_per_s = Some(least.si()),
            Room::DoesNotApply
            | Room::AskOneRoomOrDucts
            | Room::AskTheLabel
            | Room::AskTheInstructions
            | Room::AskTheAirflow => {}
        }
        document
    }

    /// A question that comes before any number.
    pub fn asked(outcome: crate::check::Outcome) -> Self {
        RoomDocument {
            outcome: outcome.words(),
            least_area_m2: None,
            most_charge_kg: None,
            free_charge_kg: None,
            least_airflow_m3_per_s: None,
            said: Vec::new(),
        }
    }
}

impl Body for LostDocument {}
impl Body for IdleDocument {}
impl Body for RoomDocument {}
