//! Whether a new event fits the facts and itself, before it is written for good.

use super::Moment;
use super::coverage::{CIRCUIT, shut_off};
use super::error::RecordError;
use super::event::{Evacuation, EventBody, NewEvent, PressureTest, Valves, Weighed};
use super::faults::choose;
use super::lineset::LineSet;
use super::typed::AsTyped;
use super::words::Position;
use crate::check::Segment;
use crate::quantity::Duration;

pub(super) fn check(lineset: &LineSet, new: &NewEvent) -> Result<(), RecordError> {
    if new.at > new.noted {
        return Err(RecordError::NotYet {
            at: new.at,
            noted: new.noted,
        });
    }
    let on = Check {
        event: new.body.word(),
        lineset,
    };
    match &new.body {
        EventBody::JointMade(e) => {
            on.joint("joint", Some(&e.joint))?;
            on.instrument("wrench", e.wrench.as_ref())
        }
        EventBody::JointChecked(e) => on.joint("joint", Some(&e.joint)),
        EventBody::PressureTest(e) => on.pressure_test(e),
        EventBody::Evacuation(e) => on.evacuation(e),
        EventBody::Opened(e) => {
            on.some_segments("segments", &e.segments)?;
            e.joints
                .iter()
                .try_for_each(|id| on.joint("joints", Some(id)))
        }
        EventBody::Repaired(e) => {
            on.some_segments("segments", &e.segments)?;
            on.joint("joint", e.joint.as_ref())
        }
        EventBody::Released(e) => {
            on.some_segments("segments", &e.segments)?;
            on.joint("joint", e.joint.as_ref())
        }
        EventBody::Weighed(e) => {
            on.one_weighing(e)?;
            on.instrument("scale", e.scale.as_ref())
        }
        EventBody::StartChecked(e) => on.instrument("voltmeter", e.voltmeter.as_ref()),
        EventBody::Reading(e) => {
            on.instrument("gauge", e.gauge.as_ref())?;
            on.instrument("thermometer", e.thermometer.as_ref())
        }
        EventBody::ValveMoved(_)
        | EventBody::PumpValveMoved(_)
        | EventBody::Started(_)
        | EventBody::Stopped(_)
        | EventBody::TechnicianVisit(_)
        | EventBody::Changed(_)
        | EventBody::Corrected(_) => Ok(()),
    }
}

struct Check<'a> {
    event: &'static str,
    lineset: &'a LineSet,
}

impl Check<'_> {
    fn wrong(&self, field: &'static str, what: String, next: impl Into<String>) -> RecordError {
        RecordError::Event {
            event: self.event,
            field,
            what,
            next: next.into(),
        }
    }

    fn pressure_test(&self, test: &PressureTest) -> Result<(), RecordError> {
        self.some_segments("covers", &test.covers)?;
        self.valves_fit(&test.covers, test.valves)?;
        self.instrument("gauge", test.gauge.as_ref())?;
        self.instrument("thermometer", test.thermometer.as_ref())?;
        self.one_source(test.log.is_some(), test.readings.len())?;
        test.readings
            .iter()
            .try_for_each(|r| self.one_time(r.at, r.after.as_ref()))
    }

    fn evacuation(&self, evacuation: &Evacuation) -> Result<(), RecordError> {
        self.some_segments("covers", &evacuation.covers)?;
        self.valves_fit(&evacuation.covers, evacuation.valves)?;
        self.instrument("gauge", evacuation.gauge.as_ref())?;
        self.one_source(evacuation.log.is_some(), evacuation.readings.len())?;
        evacuation
            .readings
            .iter()
            .try_for_each(|r| self.one_time(r.at, r.after.as_ref()))
    }

    fn joint(&self, field: &'static str, id: Option<&String>) -> Result<(), RecordError> {
        let known: Vec<&str> = self.lineset.joints.iter().map(|j| j.id.as_str()).collect();
        self.known(field, id, &known, "joint")
    }

    fn instrument(&self, field: &'static str, id: Option<&String>) -> Result<(), RecordError> {
        let instruments = &self.lineset.instruments;
        let known: Vec<&str> = instruments.iter().map(|i| i.id.as_str()).collect();
        self.known(field, id, &known, "instrument")
    }

    fn known(
        &self,
        field: &'static str,
        id: Option<&String>,
        known: &[&str],
        table: &str,
    ) -> Result<(), RecordError> {
        let Some(id) = id.filter(|id| !known.contains(&id.as_str())) else {
            return Ok(());
        };
        let what = format!("lineset.toml has no {table} \"{id}\"");
        let add = format!("add a [[{table}]] table with that id");
        if known.is_empty() {
            return Err(self.wrong(field, what, add));
        }
        let choice = choose(id, known, "known are");
        Err(self.wrong(field, what, format!("{choice}; or {add}")))
    }

    fn some_segments(&self, field: &'static str, segments: &[Segment]) -> Result<(), RecordError> {
        if !segments.is_empty() {
            return Ok(());
        }
        let known = Segment::ALL.map(|s| s.word()).join(", ");
        Err(self.wrong(
            field,
            "no segment is named".into(),
            format!("name at least one of {known}"),
        ))
    }

    /// Lines and outdoor unit are one volume exactly when a service valve is open.
    fn valves_fit(&self, covers: &[Segment], valves: Option<Valves>) -> Result<(), RecordError> {
        let outdoor_unit = covers.contains(&Segment::OutdoorUnit);
        if outdoor_unit && shut_off(covers, valves) {
            return Err(self.wrong(
                "covers",
                "it names the outdoor unit, and both service valves were shut: nothing in the lines reached it".into(),
                "leave outdoor-unit out, or say which valve was open",
            ));
        }
        let open = valves.is_some_and(|valves| {
            valves.liquid_service == Position::Open || valves.vapour_service == Position::Open
        });
        let lines = covers.iter().any(|s| CIRCUIT.contains(s));
        if open && lines && !outdoor_unit {
            return Err(self.wrong(
                "covers",
                "a service valve was open, so the outdoor unit was part of the volume, and it is not named".into(),
                "name outdoor-unit too, or say that both valves were shut",
            ));
        }
        Ok(())
    }

    fn one_source(&self, log: bool, readings: usize) -> Result<(), RecordError> {
        match (log, readings) {
            (true, 0) | (false, 1..) => Ok(()),
            (true, _) => Err(self.wrong(
                "readings",
                "there is a log and readings as well".into(),
                "give one of them, or two events",
            )),
            (false, 0) => Err(self.wrong(
                "readings",
                "there is neither a log nor a reading".into(),
                "give one of them",
            )),
        }
    }

    fn one_weighing(&self, weighed: &Weighed) -> Result<(), RecordError> {
        let (field, what) = match (
            &weighed.mass,
            &weighed.cylinder_before,
            &weighed.cylinder_after,
        ) {
            (Some(_), None, None) | (None, Some(_), Some(_)) => return Ok(()),
            (Some(_), _, _) => (
                "mass",
                "there is a mass and a reading of the cylinder as well",
            ),
            (None, None, None) => (
                "mass",
                "there is neither a mass nor the cylinder's readings",
            ),
            (None, Some(_), None) => ("cylinder_after", "the cylinder was weighed before only"),
            (None, None, Some(_)) => (
                "cylinder_before",
                "the cylinder was weighed afterwards only",
            ),
        };
        Err(self.wrong(
            field,
            what.into(),
            "give the mass, or the cylinder before and afterwards",
        ))
    }

    fn one_time(
        &self,
        at: Option<Moment>,
        after: Option<&AsTyped<Duration>>,
    ) -> Result<(), RecordError> {
        if at.is_some() != after.is_some() {
            return Ok(());
        }
        Err(self.wrong(
            "readings",
            "a reading needs its clock time or the time since the start, one of them".into(),
            "give \"at\" or \"after\"",
        ))
    }
}
