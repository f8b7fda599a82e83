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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Fraction, PressureDiff, unit};

    fn rates(values: [f64; 3]) -> [PressureRate; 3] {
        values.map(|value| PressureRate::of(value, unit::PSI_PER_HOUR))
    }

    fn with(rig: [f64; 3], share: Option<f64>) -> Input {
        Input {
            rig: Some(RigBlank {
                loss: rates(rig),
                share: share.map(Fraction::from_si),
            }),
            ..Input::of(Vec::new(), Vec::new(), PressureDiff::from_si(700.0))
        }
    }

    fn of(loss: f64, rig: [f64; 3], share: Option<f64>) -> Rig {
        let limit = PressureRate::of(0.05, unit::PSI_PER_HOUR);
        let loss = rates([loss, loss - 0.1, loss + 0.1]);
        against(&with(rig, share), &loss, limit)
    }

    #[test]
    fn a_larger_loss_never_turns_the_line_s_fail_into_a_void_test() {
        let rig = [0.5, 0.4, 0.6];
        let found: Vec<Rig> = (2..40)
            .map(|tenths| of(f64::from(tenths) / 10.0, rig, None))
            .collect();
        let first = found.iter().position(|rig| *rig == Rig::Held).unwrap();
        assert!(found[..first].iter().all(|rig| *rig == Rig::Explains));
        assert!(found[first..].iter().all(|rig| *rig == Rig::Held));
    }

    #[test]
    fn a_rig_is_cleared_by_what_it_could_lose_at_most() {
        assert_eq!(of(1.0, [0.0, -0.1, 0.1], None), Rig::Held);
        // a short test of the rig clears nothing, and excuses nothing
        assert_eq!(of(1.0, [0.2, -2.0, 2.4], None), Rig::NotCleared);
        assert_eq!(of(1.0, [1.0, 0.8, 1.2], None), Rig::Explains);
        assert_eq!(of(1.0, [1.0, 0.8, 1.2], Some(0.04)), Rig::Held);
    }
}
