//! A hold before it is made: what is pumped up, where it lies, what will be read and how often.

use super::RehearseError;
use crate::check::tight::{Input, TestGas, Unlogged};
use crate::fluid::Refrigerant;
use crate::quantity::{
    Barometer, Duration, Fraction, Mass, Measured, PressureAbs, PressureDiff, PressureGauge,
    Quantity, Temperature, TemperatureDiff, UnitSystem, Volume, both, unit,
};

/// How often the gauge is read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Readings {
    /// By a logger, so far apart.
    Every(Duration),
    /// By hand, so many over the whole hold, evenly spaced, the first and the last among them.
    Typed(usize),
}

/// What is read beside the gauge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beside {
    /// Nothing.
    Nothing,
    /// A thermometer outdoors.
    Outdoor,
    /// Thermometers outdoors and indoors.
    Both,
    /// Both, and a second volume that is known to be tight.
    Witness,
}

/// A hold before it is made.
#[derive(Debug, Clone, PartialEq)]
pub struct Setup {
    /// The test pressure on the gauge.
    pub start: PressureGauge,
    /// The gas.
    pub gas: TestGas,
    /// How long it stands.
    pub hold: Duration,
    /// How often it is read.
    pub readings: Readings,
    /// What is read beside the gauge.
    pub beside: Beside,
    /// The hour of the day at which it begins, 0 to 24.
    pub begins: f64,
    /// Mean temperature of the day outdoors.
    pub outdoor: Temperature,
    /// From the coolest to the warmest hour of the day outdoors.
    pub swing: TemperatureDiff,
    /// Temperature of the rooms.
    pub indoor: Temperature,
    /// Share of the volume outdoors, if known.
    pub outdoor_share: Option<Fraction>,
    /// Where no thermometer hangs, if that is known.
    pub unlogged: Option<Unlogged>,
    /// The volume under pressure, if known.
    pub volume: Option<Measured<Volume>>,
    /// The refrigerant to come, if known.
    pub refrigerant: Option<Refrigerant>,
    /// The nameplate charge with its line-length adjustment, if known.
    pub charge: Option<Mass>,
    /// The gauge's smallest step.
    pub gauge_resolution: PressureDiff,
    /// How far the gauge's zero moves per kelvin, if known.
    pub gauge_drift_per_kelvin: Option<PressureDiff>,
    /// The atmosphere at the place.
    pub barometer: Barometer,
    /// The lowest rating of what is under pressure: nameplate or tube.
    pub rated: Option<PressureGauge>,
    /// Units for the sentences.
    pub units: UnitSystem,
}

/// Shortest and longest hold, h.
const HOURS: (f64, f64) = (1.0, 168.0);
/// Fewest and most readings.
const READINGS: (usize, usize) = (3, 20_000);
/// Largest swing of a day, K.
const LARGEST_SWING_K: f64 = 40.0;
/// Coldest and warmest air, K.
const AIR_K: (f64, f64) = (238.15, 328.15);

impl Setup {
    /// A day's hold of dry nitrogen read every ten minutes with both thermometers, from eight in the evening, on a day
    /// of 59 °F that swings by 18 °F (15 °C, 10 K), rooms at 70 °F (21 °C), and nothing else known.
    pub fn of(start: PressureGauge, gauge_resolution: PressureDiff) -> Self {
        Setup {
            start,
            gas: TestGas::Nitrogen,
            hold: Duration::of(24.0, unit::HOUR_DURATION),
            readings: Readings::Every(Duration::of(10.0, unit::MINUTE)),
            beside: Beside::Both,
            begins: 20.0,
            outdoor: Temperature::of(15.0, unit::CELSIUS),
            swing: TemperatureDiff::from_si(10.0),
            indoor: Temperature::of(21.0, unit::CELSIUS),
            outdoor_share: None,
            unlogged: None,
            volume: None,
            refrigerant: None,
            charge: None,
            gauge_resolution,
            gauge_drift_per_kelvin: None,
            barometer: Barometer::standard(),
            rated: None,
            units: UnitSystem::Us,
        }
    }

    /// Its length, h.
    pub fn hours(&self) -> f64 {
        self.hold.in_unit(unit::HOUR_DURATION)
    }

    /// The same for so many hours.
    pub fn for_hours(&self, hours: f64) -> Self {
        Setup {
            hold: Duration::of(hours, unit::HOUR_DURATION),
            ..self.clone()
        }
    }

    /// The test pressure, absolute.
    pub fn start_abs(&self) -> PressureAbs {
        PressureAbs::from_si(self.start.si() + self.barometer.pressure().si())
    }

    /// Hours of the readings from the start.
    pub fn times(&self) -> Vec<f64> {
        let hours = self.hours();
        let count = self.count();
        (0..count)
            .map(|i| hours * i as f64 / (count - 1) as f64)
            .collect()
    }

    fn count(&self) -> usize {
        match self.readings {
            Readings::Typed(count) => count,
            Readings::Every(step) => (self.hold.si() / step.si()).round() as usize + 1,
        }
    }

    /// Outdoor temperature of a cloudless day, so many hours after the start: warmest at three in the afternoon.
    pub fn fair_outdoor(&self, hours: f64) -> Temperature {
        let day = (self.begins + hours - WARMEST_H) * std::f64::consts::TAU / 24.0;
        Temperature::from_si(self.outdoor.si() + 0.5 * self.swing.si() * day.cos())
    }

    /// Refuses what no hold can be.
    pub fn check(&self) -> Result<(), RehearseError> {
        if !(HOURS.0..=HOURS.1).contains(&self.hours()) {
            return Err(RehearseError::Hours {
                hours: self.hours(),
                low: HOURS.0,
                high: HOURS.1,
            });
        }
        let spacing_ok = match self.readings {
            Readings::Every(step) => step.si() > 0.0,
            Readings::Typed(_) => true,
        };
        if !spacing_ok || !(READINGS.0..=READINGS.1).contains(&self.count()) {
            return Err(RehearseError::Readings {
                count: if spacing_ok { self.count() } else { 0 },
                low: READINGS.0,
                high: READINGS.1,
            });
        }
        if !(0.0..=LARGEST_SWING_K).contains(&self.swing.si()) {
            return Err(RehearseError::Swing {
                swing: both(self.swing),
            });
        }
        for air in [self.outdoor, self.indoor] {
            if !(AIR_K.0..=AIR_K.1).contains(&air.si()) {
                return Err(RehearseError::Air { air: both(air) });
            }
        }
        if !(0.0..24.0).contains(&self.begins) {
            return Err(RehearseError::Begins {
                begins: self.begins,
            });
        }
        if self.start.si() <= 0.0 || self.gauge_resolution.si() <= 0.0 {
            return Err(RehearseError::NotPositive {
                start: both(self.start),
                resolution: both(self.gauge_resolution),
            });
        }
        if self.gauge_resolution.si() > 0.2 * self.start.si() {
            return Err(RehearseError::Resolution {
                start: both(self.start),
                resolution: both(self.gauge_resolution),
            });
        }
        match self.rated {
            Some(rated) if self.start > rated => Err(RehearseError::AboveRating {
                start: both(self.start),
                rated: both(rated),
            }),
            _ => Ok(()),
        }
    }

    /// The check's input for these readings; what is not read is left out.
    pub(super) fn input(&self, read: Read) -> Input {
        let outdoors = self.beside != Beside::Nothing;
        let indoors = matches!(self.beside, Beside::Both | Beside::Witness);
        Input {
            outdoor: outdoors.then_some(read.outdoor),
            indoor: indoors.then_some(read.indoor),
            witness: (self.beside == Beside::Witness).then_some(read.witness),
            outdoor_share: self.outdoor_share,
            unlogged: self.unlogged,
            volume: self.volume.clone(),
            refrigerant: self.refrigerant,
            charge: self.charge,
            gauge_drift_per_kelvin: self.gauge_drift_per_kelvin,
            gas: self.gas,
            barometer: self.barometer,
            rated: self.rated,
            units: self.units,
            ..Input::of(read.hours, read.pressure, self.gauge_resolution)
        }
    }
}

/// The warmest hour of a day (common practice).
pub(super) const WARMEST_H: f64 = 15.0;

/// Columns of readings.
pub(super) struct Read {
    pub(super) hours: Vec<f64>,
    pub(super) pressure: Vec<PressureAbs>,
    pub(super) outdoor: Vec<Temperature>,
    pub(super) indoor: Vec<Temperature>,
    pub(super) witness: Vec<PressureAbs>,
}
