//! The rig's own test beside a standing pressure test: gauge, hose and valve alone.

use super::InputError;
use crate::check::tight::{self, RigBlank};
use crate::check::{Detail, Segment, Stage};
use crate::quantity::{Fraction, Measured, Quantity, UnitSystem, Volume};
use crate::record::{Event, EventBody, PressureTest, Record};

impl PressureTest {
    /// Whether nothing but the rig was under pressure.
    pub fn is_of_the_rig_alone(&self) -> bool {
        self.covers == [Segment::Hoses]
    }
}

impl Record {
    /// What the rig of a test lost alone, by the latest test of it before, or else the first one after.
    pub(super) fn rig_blank(
        &self,
        event: &Event,
        test: &PressureTest,
        input: &tight::Input,
        units: UnitSystem,
    ) -> Result<Option<RigBlank>, InputError> {
        if test.is_of_the_rig_alone() || input.pressure.is_empty() {
            return Ok(None);
        }
        let evidence = self.evidence(Stage::Tight);
        let standing = evidence.iter().filter(|e| e.whole());
        let blanks: Vec<(&Event, &PressureTest)> = standing
            .map(|e| &self.events[e.event])
            .filter_map(|blank| match &blank.body {
                EventBody::PressureTest(rig) => Some((blank, &**rig)),
                _ => None,
            })
            .filter(|(_, rig)| rig.is_of_the_rig_alone() && rig.gauge == test.gauge)
            .collect();
        let before = blanks.iter().rev().find(|(blank, _)| blank.at < event.at);
        let Some((blank, rig)) = before.or(blanks.first()) else {
            return Ok(None);
        };
        let alone = self.tight_alone(blank, rig, units)?;
        let found = tight::assess(&alone, &tight::Criteria::default()).map_err(|error| {
            InputError::Rig {
                number: blank.number,
                error,
            }
        })?;
        let Detail::Tight(detail) = found.detail else {
            unreachable!("tight gives its own detail")
        };
        let share = share(alone.volume.as_ref(), input.volume.as_ref());
        Ok(Some(RigBlank::scaled(
            detail.loss,
            alone.pressure[0],
            input.pressure[0],
            share,
        )))
    }
}

/// The rig's share of the volume of a test, where both are known.
fn share(rig: Option<&Measured<Volume>>, rest: Option<&Measured<Volume>>) -> Option<Fraction> {
    let (rig, rest) = (rig?.value.si(), rest?.value.si());
    Some(Fraction::from_si(rig / (rig + rest)))
}
