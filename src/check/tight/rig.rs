//! Line or rig: what the gauge, the hose and the valve did alone.

use super::input::{Input, RigBlank};
use crate::check::Segment;
use crate::quantity::{PressureRate, Quantity};

/// What a loss above the limit says of the line, beside the rig.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Rig {
    /// The rig itself is what was tested.
    IsTested,
    /// The rig was not tested alone.
    NotTested,
    /// The rig held: all it could lose leaves a loss above the limit.
    Held,
    /// The rig loses gas, and enough to bring the rest below the limit: the test says nothing of the line.
    Explains,
    /// The rig's own test does not say.
    NotCleared,
}

impl RigBlank {
    /// The rig's part of the loss, as it shows in the volume of the test: estimate, low and high end.
    ///
    /// Where its share of the volume is not known, all of it.
    pub(super) fn part(self) -> [PressureRate; 3] {
        let share = self.share.map_or(1.0, Quantity::si);
        self.loss
            .map(|rate| PressureRate::from_si(rate.si() * share))
    }

    /// Whether it loses gas by itself.
    pub(super) fn leaks(self) -> bool {
        self.loss[1].si() > 0.0
    }
}

/// Compares the ends of two intervals: the least that is lost in all with the most that the rig could lose.
pub(super) fn against(input: &Input, loss: &[PressureRate; 3], limit: PressureRate) -> Rig {
    if input.covers == [Segment::Hoses] {
        return Rig::IsTested;
    }
    let Some(rig) = input.rig else {
        return Rig::NotTested;
    };
    let most = rig.part()[2].si().max(0.0);
    if loss[1].si() - most > limit.si() {
        Rig::Held
    } else if rig.leaks() {
        Rig::Explains
    } else {
        Rig::NotCleared
    }
}
