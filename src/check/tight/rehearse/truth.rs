//! What a rehearsal hides: the leak, and everything that no instrument shows.

use super::chance::Chance;
use super::setup::Setup;
use crate::check::tight::Limit;
use crate::quantity::{Fraction, PressureDiff, PressureRate, Quantity, TemperatureDiff};

/// The leak that is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Leak {
    /// None.
    Tight,
    /// Three times the usual limit: what a hold of a day is made for.
    Small,
    /// Thirty times the usual limit.
    Large,
    /// Drawn: none in half of the seeds, else from a third of the limit to thirty times it.
    Hidden,
    /// So much at the test pressure.
    Stated(PressureRate),
}

/// A hose or the valve touched during the hold: gas lost at once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Touch {
    /// When, h from the start.
    pub hours: f64,
    /// How far the gauge drops.
    pub drop: PressureDiff,
}

/// What nobody knows about a rehearsed hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Truth {
    /// The loss at the test pressure; a hole passes less as the pressure falls.
    pub leak: PressureRate,
    /// The share of the volume that really is outdoors.
    pub outdoors: Fraction,
    /// The share where no thermometer hangs.
    pub unlogged: Fraction,
    /// How late the gas follows the air outdoors, h.
    pub lag_h: f64,
    /// How much warmer or colder than its wall the gas was at the start.
    pub start_offset: TemperatureDiff,
    /// What was touched.
    pub touched: Option<Touch>,
}

/// One standard deviation of a stated share, and of one that nobody stated about one half.
const SHARE_SD: f64 = 0.1;
const UNKNOWN_SHARE_SD: f64 = 0.2;

impl Truth {
    pub(super) fn drawn(
        chance: &mut Chance,
        setup: &Setup,
        leak: Leak,
        touched: Option<Touch>,
    ) -> Self {
        let limit = Limit::Scaled.at(setup.start_abs());
        let times = |factor: f64| PressureRate::from_si(factor * limit.si());
        // drawn whether asked for or not, so that the rest of the hold is the same with and without a leak
        let hidden = match (
            chance.between(0.0, 1.0) < 0.5,
            chance.log_between(1.0 / 3.0, 30.0),
        ) {
            (true, _) => 0.0,
            (false, factor) => factor,
        };
        let share = match setup.outdoor_share {
            Some(share) => share.si() + chance.normal(SHARE_SD),
            None => 0.5 + chance.normal(UNKNOWN_SHARE_SD),
        };
        let unlogged = setup.unlogged.map_or(0.0, |part| part.share.si());
        Truth {
            leak: match leak {
                Leak::Tight => times(0.0),
                Leak::Small => times(3.0),
                Leak::Large => times(30.0),
                Leak::Hidden => times(hidden),
                Leak::Stated(rate) => rate,
            },
            outdoors: Fraction::from_si(share.clamp(0.0, 1.0 - unlogged)),
            unlogged: Fraction::from_si(unlogged),
            lag_h: chance.log_between(2.0, 45.0) / 60.0,
            start_offset: TemperatureDiff::from_si(chance.normal(1.0)),
            touched,
        }
    }
}
