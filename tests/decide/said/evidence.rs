use lineproof::check::{Finding, Segment, Stage};
use lineproof::decide::{evidence, judge};
use lineproof::quantity::UnitSystem;
use lineproof::record::*;

use super::Table;
use super::world::*;

/// A record in memory with a gauge, judged; the finding of a stage.
pub fn stage(stage: Stage, lineset: LineSet, bodies: Vec<EventBody>) -> Finding {
    let mut lineset = lineset;
    lineset.instruments.push(InstrumentFacts {
        id: "gauge".into(),
        kind: InstrumentKind::Gauge,
        accuracy: None,
        resolution: Some("0.1 psi".into()),
        full_scale: None,
    });
    let events = (1..).zip(bodies);
    let record = Record {
        folder: "invented".into(),
        lineset,
        events: events
            .map(|(n, body)| event(n, 3000 * n as i64, body))
            .collect(),
        warnings: Vec::new(),
    };
    let judgement = judge(&record, UnitSystem::Si).unwrap();
    let found = judgement.findings.into_iter().find(|f| f.stage == stage);
    found.unwrap()
}

/// A day at 450 psig in which nothing moves.
fn hold(covers: &[Segment]) -> EventBody {
    let readings = (0..9).map(|i| TestReading {
        at: None,
        after: Some(typed(&format!("{} h", 4 * i))),
        pressure: typed(["450 psig", "450.1 psig", "449.9 psig"][i % 3]),
        outdoor: Some(typed("20 C")),
        indoor: None,
    });
    PressureTest {
        covers: covers.to_vec(),
        gas: TestGas::Nitrogen,
        test_pressure: None,
        gauge: Some("gauge".into()),
        thermometer: None,
        valves: None,
        outdoor_share: Some(typed("100 %")),
        unlogged_swing: None,
        volume: None,
        rule: None,
        until: None,
        log: None,
        readings: readings.collect(),
    }
    .into()
}

/// Inputs that say every code.
pub fn table() -> Table {
    let holding = || line_set(Connection::Flared, LineState::HeldRefrigerant);
    let couplings = || line_set(Connection::PreChargedCouplings, LineState::New);
    let without_joints = || LineSet {
        joints: Vec::new(),
        ..new_flared()
    };
    vec![
        (
            "nothing yet",
            stage(Stage::Tight, new_flared(), vec![]),
            &[evidence::NONE],
        ),
        (
            "couplings",
            stage(Stage::Tight, couplings(), vec![]),
            &[evidence::REPLACED],
        ),
        (
            "opened after the test",
            stage(
                Stage::Tight,
                new_flared(),
                vec![hold(&LINES), opened(Answer::No).into()],
            ),
            &[evidence::OUT_OF_DATE],
        ),
        (
            "only the liquid line was tested",
            stage(
                Stage::Tight,
                new_flared(),
                vec![hold(&[Segment::LiquidLine])],
            ),
            &[evidence::COVERAGE_GAP],
        ),
        (
            "a technician's test",
            stage(Stage::Tight, new_flared(), vec![put_right().into()]),
            &[evidence::TECHNICIAN],
        ),
        (
            "a circuit that was opened",
            stage(Stage::Tight, holding(), vec![opened(Answer::Yes).into()]),
            &[evidence::TECHNICIANS_WORK],
        ),
        (
            "no label",
            stage(Stage::Charge, new_flared(), vec![]),
            &[evidence::FACTS_MISSING],
        ),
        (
            "no joints listed",
            stage(Stage::Joints, without_joints(), vec![]),
            &[evidence::NO_JOINTS],
        ),
        (
            "watch",
            stage(Stage::Watch, new_flared(), vec![]),
            &[evidence::WATCH_DOOR],
        ),
    ]
}
