//! The standing pressure test beside a vacuum rise.

use crate::check::{Segment, Stage};
use crate::record::coverage::{self, CIRCUIT};
use crate::record::{Evacuation, Event, EventBody, PressureTest, Record, TestGas};

impl Record {
    /// The standing pressure test that says something of the same holes as an evacuation: the last one with nitrogen
    /// before it, on the same part of the circuit and so of the same volume, of which nothing was touched since.
    pub fn standing_test_beside(&self, event: &Event, evacuation: &Evacuation) -> Option<&Event> {
        let evacuated = of_the_circuit(&coverage::within(&evacuation.covers, evacuation.valves));
        let of_nitrogen = |test: &PressureTest| test.gas == TestGas::Nitrogen;
        self.evidence(Stage::Tight)
            .iter()
            .rev()
            .filter(|evidence| evidence.whole() && of_the_circuit(&evidence.covers) == evacuated)
            .map(|evidence| &self.events[evidence.event])
            .filter(|test| (test.at, test.number) < (event.at, event.number))
            .find(|test| matches!(&test.body, EventBody::PressureTest(test) if of_nitrogen(test)))
    }
}

/// The parts of the circuit among segments, in one order; hoses hold next to nothing and differ between the tests.
fn of_the_circuit(segments: &[Segment]) -> Vec<Segment> {
    CIRCUIT
        .into_iter()
        .filter(|part| segments.contains(part))
        .collect()
}
