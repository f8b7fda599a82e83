//! Small line sets, events and findings made by hand. All of them are invented.

use lineproof::check::{Finding, Outcome, Reason, Segment, Stage};
use lineproof::decide::{Case, Decision, Shown, decide};
use lineproof::record::*;
use lineproof::source::SourceId;

pub const LINES: [Segment; 3] = [
    Segment::LiquidLine,
    Segment::VapourLine,
    Segment::IndoorCoil,
];

/// A line set with a flare in the liquid line, in a place without rules of its own here.
pub fn line_set(connection: Connection, state: LineState) -> LineSet {
    let zone = Zone::named("Australia/Adelaide").unwrap();
    let mut lineset = LineSet::new("garden wall", "Australia", zone, connection, state);
    lineset.invented = true;
    lineset.equipment.refrigerant = Some("R-410A".into());
    lineset.joints.push(Joint {
        id: "liquid-out".into(),
        segment: Segment::LiquidLine,
        kind: JointKind::Flare,
        factory: false,
        od: None,
        torque: None,
        torque_max: None,
    });
    lineset
}

pub fn new_flared() -> LineSet {
    line_set(Connection::Flared, LineState::New)
}

pub fn minute(minutes: i64) -> Moment {
    let zone = Zone::named("Australia/Adelaide").unwrap();
    let noon = Moment::typed("2026-05-04 12:00", &zone).unwrap();
    noon.later_by(60.0 * minutes as f64).unwrap()
}

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

pub fn typed<Q: Field>(text: &str) -> AsTyped<Q> {
    AsTyped::read(text).unwrap()
}

/// A line set with what happened to it and a finding for every stage.
#[derive(Debug, Clone)]
pub struct World {
    pub lineset: LineSet,
    pub events: Vec<Event>,
    pub findings: Vec<Finding>,
    pub shown: Vec<Shown>,
}

impl World {
    /// Every stage passes; *watch* has not begun.
    pub fn all_well(lineset: LineSet) -> World {
        let findings = Stage::ALL
            .into_iter()
            .map(|stage| {
                let outcome = match stage {
                    Stage::Watch => Outcome::NotDone,
                    _ => Outcome::Pass,
                };
                Finding::plain(stage, outcome, Vec::new())
            })
            .collect();
        World {
            lineset,
            events: Vec::new(),
            findings,
            shown: Vec::new(),
        }
    }

    /// With another outcome of a stage.
    pub fn with(mut self, stage: Stage, outcome: Outcome) -> World {
        for finding in self.findings.iter_mut().filter(|f| f.stage == stage) {
            finding.outcome = outcome;
        }
        self
    }

    /// With a code that a stage says.
    pub fn saying(mut self, stage: Stage, outcome: Outcome, code: &'static str) -> World {
        self = self.with(stage, outcome);
        for finding in self.findings.iter_mut().filter(|f| f.stage == stage) {
            let reason = Reason::new(code, SourceId::CommonPractice, code);
            finding.reasons.push(reason);
        }
        self
    }

    /// With what a piece of evidence of the lines showed, an hour after the last.
    pub fn shown(mut self, stage: Stage, outcome: Outcome, by: Person) -> World {
        let joint = (stage == Stage::Joints).then(|| "liquid-out".to_string());
        self.shown.push(Shown {
            stage,
            at: minute(60 * self.shown.len() as i64),
            by,
            joint,
            outcome,
            covers: LINES.to_vec(),
            whole: true,
        });
        self
    }

    /// With one more event, an hour after the last.
    pub fn then(mut self, body: impl Into<EventBody>) -> World {
        let number = self.events.len() as u64 + 1;
        self.events.push(event(number, 60 * number as i64, body));
        self
    }

    /// The decision, with the findings as they were put.
    pub fn decision(&self) -> Decision {
        let mut events: Vec<&Event> = self.events.iter().collect();
        events.sort_by_key(|e| (e.at, e.number));
        decide(&Case {
            lineset: &self.lineset,
            route: Route::of(&self.lineset, &self.events),
            events: &events,
            findings: &self.findings,
            shown: &self.shown,
        })
    }
}

pub fn opened(held_refrigerant: Answer) -> Opened {
    Opened {
        segments: vec![Segment::LiquidLine],
        joints: Vec::new(),
        held_refrigerant,
        why: None,
    }
}

pub fn released(whereabouts: Whereabouts, ended: ReleaseEnd) -> Released {
    Released {
        segments: vec![Segment::LiquidLine],
        joint: None,
        lasted: None,
        ended,
        whereabouts,
        seen: Vec::new(),
        valves: None,
    }
}

pub fn brazed(nitrogen_flowing: Answer, refrigerant_present: Answer) -> Repaired {
    Repaired {
        segments: vec![Segment::LiquidLine],
        joint: None,
        method: RepairMethod::Brazed,
        filler: None,
        nitrogen_flowing,
        refrigerant_present,
    }
}

pub fn repaired(joint: &str, method: RepairMethod) -> Repaired {
    Repaired {
        joint: Some(joint.into()),
        method,
        ..brazed(Answer::Yes, Answer::No)
    }
}

pub fn factory_joint(id: &str) -> Joint {
    Joint {
        id: id.into(),
        segment: Segment::IndoorCoil,
        kind: JointKind::Brazed,
        factory: true,
        od: None,
        torque: None,
        torque_max: None,
    }
}

pub fn look(joint: &str, method: JointMethod, result: JointResult) -> JointChecked {
    JointChecked {
        joint: joint.into(),
        method,
        result,
        watched: None,
        pressure: None,
    }
}

/// A standing pressure test of the lines, without its readings.
pub fn test_with(gas: TestGas) -> PressureTest {
    PressureTest {
        covers: LINES.to_vec(),
        gas,
        test_pressure: None,
        gauge: None,
        thermometer: None,
        valves: None,
        outdoor_share: None,
        unlogged_swing: None,
        volume: None,
        rule: None,
        until: None,
        log: None,
        readings: Vec::new(),
    }
}

pub fn weighed_out() -> Weighed {
    Weighed {
        direction: Direction::Out,
        ..weighed(Person::Owner)
    }
}

pub fn valve(valve: ServiceValve, to: Position) -> ValveMoved {
    ValveMoved { valve, to }
}

pub fn weighed(by: Person) -> Weighed {
    Weighed::mass(typed("300 g"), Direction::In, by)
}

pub fn evacuation() -> Evacuation {
    let reading = |after: &str, vacuum: &str| VacuumReading {
        at: None,
        after: Some(typed(after)),
        vacuum: typed(vacuum),
        phase: None,
    };
    Evacuation {
        covers: LINES.to_vec(),
        rule: None,
        gauge: None,
        valves: None,
        isolated_after: None,
        coldest: None,
        ambient: None,
        until: None,
        log: None,
        pump_down: None,
        readings: vec![
            reading("0 min", "300 micron"),
            reading("30 min", "310 micron"),
        ],
    }
}

pub fn started() -> Started {
    Started {
        mode: Mode::Cooling,
    }
}

/// A visit after which circuit and charge are as they should be.
pub fn put_right() -> TechnicianVisit {
    TechnicianVisit {
        recovered: Some(typed("1.1 kg")),
        charged: Some(typed("1.5 kg")),
        evacuated_to: Some(typed("300 micron")),
        drier: Answer::Yes,
        pressure_held: Answer::Yes,
        leak_found: Answer::No,
        ..TechnicianVisit::default()
    }
}
