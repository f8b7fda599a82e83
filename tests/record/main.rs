//! The line set record on disk, and what evidence it still holds. All line sets here are invented.

mod belongs;
mod bodies;
mod clock;
mod correct;
mod evidence;
mod facts;
mod killed;
mod ledger;
mod page;
mod rise;
mod route;
mod running;
mod said;
mod store;
mod verify;

use lineproof::record::*;

/// A field-made line set with two flares, one in each line, and a cap.
pub fn flared() -> LineSet {
    let zone = Zone::named("America/Chicago").unwrap();
    let mut lineset = LineSet::new(
        "garden wall",
        "US",
        zone,
        Connection::Flared,
        LineState::New,
    );
    lineset.invented = true;
    for (id, segment, kind) in [
        (
            "liquid-out",
            lineproof::check::Segment::LiquidLine,
            JointKind::Flare,
        ),
        (
            "vapour-out",
            lineproof::check::Segment::VapourLine,
            JointKind::Flare,
        ),
        (
            "cap",
            lineproof::check::Segment::OutdoorUnit,
            JointKind::ValveCap,
        ),
    ] {
        lineset.joints.push(Joint {
            id: id.into(),
            segment,
            kind,
            factory: false,
            od: None,
            torque: None,
            torque_max: None,
        });
    }
    lineset
}

/// So many minutes after noon on an invented day.
pub fn minute(minutes: i64) -> Moment {
    let noon = Moment::typed("2026-05-04 12:00", &Zone::named("America/Chicago").unwrap()).unwrap();
    noon.later_by(60.0 * minutes as f64).unwrap()
}

/// An event at a minute, noted long after.
pub fn event(number: u64, minutes: i64, body: impl Into<EventBody>) -> Event {
    Event {
        number,
        at: minute(minutes),
        noted: minute(100_000),
        body: body.into(),
        note: None,
        photos: Vec::new(),
        before: Vec::new(),
    }
}

pub fn new_event(minutes: i64, body: impl Into<EventBody>) -> NewEvent {
    NewEvent::new(minute(minutes), minute(100_000), body)
}

pub fn quantity<Q: Field>(text: &str) -> AsTyped<Q> {
    AsTyped::read(text).unwrap()
}
