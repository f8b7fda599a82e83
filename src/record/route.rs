//! Which stages apply, by how the lines are connected and what they have held; and what replaces the others.

use super::Moment;
use super::event::{Event, EventBody};
use super::lineset::LineSet;
use super::words::{
    Answer, Connection, Direction, JointKind, LineState, Position, ReleaseEnd, RepairMethod,
};
use crate::check::Stage;
use crate::source::SourceId;

/// The way a line set takes through the stages.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Route {
    /// Lines made up in the field that never held refrigerant: every stage.
    FieldMade,
    /// Pre-charged lines with couplings, not opened since.
    PreCharged,
    /// A circuit that held refrigerant when the record began, not opened since.
    Holding,
    /// A circuit that was opened after it held refrigerant.
    Opened,
    /// A circuit that was opened after it held refrigerant, and that a technician has evacuated and charged since.
    PutRight,
}

/// Whether a stage applies on a route.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Applies {
    /// It applies, and is the owner's own to do.
    Owner,
    /// It applies, and belongs to a certified technician.
    Technician {
        /// Why.
        why: &'static str,
        /// Where that comes from.
        source: SourceId,
    },
    /// It does not apply.
    Replaced {
        /// What takes its place.
        by: &'static str,
        /// Where that comes from.
        source: SourceId,
    },
}

impl Route {
    /// Every route.
    pub const ALL: [Route; 5] = [
        Route::FieldMade,
        Route::PreCharged,
        Route::Holding,
        Route::Opened,
        Route::PutRight,
    ];

    /// The route of a line set, after what has happened to it.
    ///
    /// An event leads to [`Route::Opened`], and only a technician's visit leads on from there, to
    /// [`Route::PutRight`]: one that evacuated and charged after the last opening. The next opening leads back.
    pub fn of(lineset: &LineSet, events: &[Event]) -> Route {
        if let Some(opening) = last_opening(lineset, events) {
            let put_right = events.iter().any(|event| puts_right(event, opening));
            return if put_right {
                Route::PutRight
            } else {
                Route::Opened
            };
        }
        match (lineset.line_set.state, lineset.line_set.connection) {
            (LineState::HeldRefrigerant, _) => Route::Holding,
            (LineState::New, Connection::PreChargedCouplings) => Route::PreCharged,
            (LineState::New, _) => Route::FieldMade,
        }
    }

    /// The route in words.
    pub fn words(self) -> &'static str {
        match self {
            Route::FieldMade => "lines made up in the field",
            Route::PreCharged => "pre-charged lines with couplings",
            Route::Holding => "a circuit that holds refrigerant",
            Route::Opened => "a circuit opened after it held refrigerant",
            Route::PutRight => {
                "a circuit that a technician evacuated and charged after it was opened"
            }
        }
    }

    /// Whether a stage applies.
    pub fn applies(self, stage: Stage) -> Applies {
        use Stage::{Charge, Dry, Tight};
        let replaced = |by| Applies::Replaced {
            by,
            source: SourceId::ConnectionRoute,
        };
        match (self, stage) {
            (Route::PreCharged, Tight) => replaced(
                "the couplings are made up by the unit's own step; bubbles and detector at every coupling, then the watch, stand for the pressure test",
            ),
            (Route::PreCharged, Dry) => replaced(
                "the lines come evacuated and charged; the couplings open only as they are tightened",
            ),
            (Route::Holding, Tight) => replaced(
                "a charged circuit is not filled with nitrogen; bubbles and detector at every joint, then the watch, stand for the pressure test",
            ),
            (Route::Holding, Dry) => {
                replaced("a charged circuit is not evacuated while it is not opened")
            }
            (Route::PutRight, Tight) => replaced(
                "a charged circuit is not filled with nitrogen: the technician's own test stands for the time of the visit; bubbles and detector at every joint, then the watch, stand for the time since",
            ),
            (Route::PutRight, Dry) => replaced(
                "the technician evacuated it, and a charged circuit is not evacuated while it is not opened",
            ),
            (Route::Opened, Tight | Dry | Charge) => Applies::Technician {
                why: "the circuit held refrigerant and was opened: recovery, pressure test, drier, evacuation and charging are a certified technician's",
                source: SourceId::HeldCircuitRoute,
            },
            _ => Applies::Owner,
        }
    }
}

/// When the circuit was last opened after it held refrigerant, by time and number; each wording of an event counts.
fn last_opening(lineset: &LineSet, events: &[Event]) -> Option<(Moment, u64)> {
    let held_from_the_start = lineset.line_set.state == LineState::HeldRefrigerant
        || lineset.line_set.connection == Connection::PreChargedCouplings;
    let said: Vec<(Moment, u64, &EventBody)> = events
        .iter()
        .flat_map(|event| {
            let wordings = event.wordings().into_iter();
            wordings.map(|(_, at, body)| (at, event.number, body))
        })
        .collect();
    let filled = said.iter().filter(|(_, _, body)| lets_in(body));
    let filled = filled.map(|(at, number, _)| (*at, *number)).min();
    said.iter()
        .filter(|(at, number, body)| {
            let held = held_from_the_start || filled.is_some_and(|since| since < (*at, *number));
            opens(body, lineset, held)
        })
        .map(|(at, number, _)| (*at, *number))
        .max()
}

/// Whether a technician evacuated and charged after an opening, by each wording of the visit.
fn puts_right(event: &Event, opening: (Moment, u64)) -> bool {
    event.wordings().into_iter().all(|(_, at, body)| {
        let visit = match body {
            EventBody::TechnicianVisit(visit) => visit,
            _ => return false,
        };
        visit.evacuated_to.is_some() && visit.charged.is_some() && (at, event.number) > opening
    })
}

/// Whether refrigerant came into the lines.
fn lets_in(body: &EventBody) -> bool {
    match body {
        EventBody::ValveMoved(moved) => moved.to == Position::Open,
        EventBody::Weighed(weighed) => weighed.direction == Direction::In,
        EventBody::Started(_) | EventBody::Reading(_) | EventBody::Released(_) => true,
        EventBody::TechnicianVisit(visit) => visit.charged.is_some(),
        _ => false,
    }
}

/// Whether the event opened lines that held refrigerant; what was answered counts before what is inferred.
fn opens(body: &EventBody, lineset: &LineSet, held: bool) -> bool {
    match body {
        EventBody::Opened(opened) => match opened.held_refrigerant {
            Answer::Yes => true,
            Answer::No => false,
            Answer::NotKnown => held,
        },
        EventBody::JointMade(made) => held && takes_tube_apart(lineset, &made.joint),
        EventBody::Repaired(repaired) => held && repaired.method != RepairMethod::Tightened,
        // silent by itself: nothing inside holds the air out any more
        EventBody::Released(released) => released.ended == ReleaseEnd::Silent,
        _ => false,
    }
}

/// Whether making the joint means that tube was open: couplings, cores and caps can be made with the charge in.
fn takes_tube_apart(lineset: &LineSet, joint: &str) -> bool {
    lineset.joint(joint).is_some_and(|joint| match joint.kind {
        JointKind::Flare | JointKind::Pressed | JointKind::Brazed | JointKind::Threaded => true,
        JointKind::Coupling | JointKind::ValveCap | JointKind::AccessCore => false,
    })
}
