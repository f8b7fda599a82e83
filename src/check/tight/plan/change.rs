//! One thing done otherwise.

use crate::check::tight::rehearse::{Beside, Readings, Setup};
use crate::quantity::{Duration, Fraction, PressureDiff, Quantity, UnitSystem, unit};

/// One thing done otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Change {
    /// A gauge that shows finer steps.
    FinerGauge,
    /// A gauge whose zero does not move with temperature.
    SteadyGauge,
    /// A thermometer outdoors where none is.
    OutdoorThermometer,
    /// A thermometer indoors beside the one outdoors.
    IndoorThermometer,
    /// A second volume that is known to be tight.
    Witness,
    /// The share outdoors worked out from the lengths.
    KnownShare,
    /// A reading every ten minutes.
    Logger,
    /// Twelve readings by hand in the same hours.
    TwelveReadings,
    /// Twice as long.
    TwiceAsLong,
}

impl Change {
    /// Every one.
    pub const ALL: [Change; 9] = [
        Change::FinerGauge,
        Change::SteadyGauge,
        Change::OutdoorThermometer,
        Change::IndoorThermometer,
        Change::Witness,
        Change::KnownShare,
        Change::Logger,
        Change::TwelveReadings,
        Change::TwiceAsLong,
    ];

    /// The finer gauge's step.
    pub fn finer_step(units: UnitSystem) -> PressureDiff {
        match units {
            UnitSystem::Us => PressureDiff::of(0.1, unit::PSI_DIFF),
            UnitSystem::Si => PressureDiff::of(0.01, unit::BAR_DIFF),
        }
    }

    /// The hold done so; none where it is done so already.
    pub fn of(self, setup: &Setup) -> Option<Setup> {
        let mut other = setup.clone();
        let changes = match self {
            Change::FinerGauge => {
                other.gauge_resolution = Self::finer_step(setup.units);
                setup.gauge_resolution.si() > 1.5 * other.gauge_resolution.si()
            }
            Change::SteadyGauge => other.gauge_drift_per_kelvin.take().is_some(),
            Change::OutdoorThermometer => {
                other.beside = Beside::Outdoor;
                setup.beside == Beside::Nothing
            }
            Change::IndoorThermometer => {
                other.beside = Beside::Both;
                setup.beside == Beside::Outdoor
            }
            Change::Witness => {
                other.beside = Beside::Witness;
                setup.beside != Beside::Witness
            }
            Change::KnownShare => {
                other.outdoor_share = Some(Fraction::from_si(0.5));
                setup.outdoor_share.is_none() && setup.beside != Beside::Witness
            }
            Change::Logger => {
                let step = Duration::of(10.0, unit::MINUTE);
                other.readings = Readings::Every(step);
                match setup.readings {
                    Readings::Typed(_) => true,
                    Readings::Every(every) => every.si() > 1.5 * step.si(),
                }
            }
            Change::TwelveReadings => {
                other.readings = Readings::Typed(12);
                matches!(setup.readings, Readings::Typed(count) if count < 9)
            }
            Change::TwiceAsLong => {
                other = setup.for_hours(2.0 * setup.hours());
                setup.hours() <= 48.0
            }
        };
        (changes && other.check().is_ok()).then_some(other)
    }
}
