//! What the standing pressure test is judged from.

use crate::check::Segment;
use crate::fluid::{DryGas, Refrigerant};
use crate::quantity::{
    Barometer, Fraction, Mass, Measured, PressureAbs, PressureDiff, PressureGauge, PressureRate,
    Temperature, TemperatureDiff, UnitSystem, Volume,
};

/// The gas in the line set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TestGas {
    /// Dry nitrogen.
    Nitrogen,
    /// Dry argon.
    Argon,
    /// Dry helium.
    Helium,
    /// Compressed air.
    Air,
    /// Oxygen.
    Oxygen,
}

impl TestGas {
    /// The gas of a name.
    pub fn parse(name: &str) -> Option<TestGas> {
        match name.trim().to_lowercase().as_str() {
            "nitrogen" | "dry nitrogen" | "n2" => Some(TestGas::Nitrogen),
            "argon" | "ar" => Some(TestGas::Argon),
            "helium" | "he" => Some(TestGas::Helium),
            "air" | "compressed air" => Some(TestGas::Air),
            "oxygen" | "o2" => Some(TestGas::Oxygen),
            _ => None,
        }
    }
    /// The gas's name.
    pub fn word(self) -> &'static str {
        match self {
            TestGas::Nitrogen => "nitrogen",
            TestGas::Argon => "argon",
            TestGas::Helium => "helium",
            TestGas::Air => "air",
            TestGas::Oxygen => "oxygen",
        }
    }
    /// Whether a line set may be pressed with it: dry, does not burn, does not react.
    pub fn is_allowed(self) -> bool {
        match self {
            TestGas::Nitrogen | TestGas::Argon | TestGas::Helium => true,
            TestGas::Air | TestGas::Oxygen => false,
        }
    }
    /// The equation it is computed with; air and oxygen, which fail anyway, as nitrogen.
    pub fn computed_as(self) -> DryGas {
        match self {
            TestGas::Argon => DryGas::Argon,
            TestGas::Helium => DryGas::Helium,
            TestGas::Nitrogen | TestGas::Air | TestGas::Oxygen => DryGas::Nitrogen,
        }
    }
}

/// A part of the volume where no thermometer hangs: an attic, a wall, a crawl space, a line in the sun.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unlogged {
    /// Its share of the volume.
    pub share: Fraction,
    /// Half of its swing between the coolest and the warmest hour of a day.
    pub half_swing: TemperatureDiff,
}

/// Gauge, hose and valve tested alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RigBlank {
    /// What they lost alone, in their own volume: estimate, low and high end of the 95 % interval.
    pub loss: [PressureRate; 3],
    /// Their share of the volume of the test, if it is known.
    pub share: Option<Fraction>,
}

/// The readings of a standing pressure test and what is known about the volume and the gauge.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// Hours since the first reading, each a different one.
    pub hours: Vec<f64>,
    /// Absolute pressures.
    pub pressure: Vec<PressureAbs>,
    /// Outdoor temperatures, if read.
    pub outdoor: Option<Vec<Temperature>>,
    /// Indoor temperatures, if read.
    pub indoor: Option<Vec<Temperature>>,
    /// Absolute pressures of a second volume, known to be tight, read beside it: it takes the thermometers' place.
    pub witness: Option<Vec<PressureAbs>>,
    /// Share of the volume that is outdoors, if known.
    pub outdoor_share: Option<Fraction>,
    /// Where no thermometer hangs, if that is known.
    pub unlogged: Option<Unlogged>,
    /// Whether the compressor with its oil was part of the volume.
    pub compressor: bool,
    /// The volume under pressure, if known.
    pub volume: Option<Measured<Volume>>,
    /// The refrigerant to come, if known.
    pub refrigerant: Option<Refrigerant>,
    /// The nameplate charge with its line-length adjustment, if known.
    pub charge: Option<Mass>,
    /// What the test rig did alone, if that was tested.
    pub rig: Option<RigBlank>,
    /// The gauge's smallest step.
    pub gauge_resolution: PressureDiff,
    /// How far the gauge's zero moves per kelvin, if known.
    pub gauge_drift_per_kelvin: Option<PressureDiff>,
    /// The gas.
    pub gas: TestGas,
    /// The atmosphere that gauge readings were taken against.
    pub barometer: Barometer,
    /// What was under pressure.
    pub covers: Vec<Segment>,
    /// The lowest rating of what was under pressure: nameplate or tube.
    pub rated: Option<PressureGauge>,
    /// Units for the sentences.
    pub units: UnitSystem,
}

impl Input {
    /// Readings of dry nitrogen against a standard atmosphere, and nothing else known.
    pub fn of(hours: Vec<f64>, pressure: Vec<PressureAbs>, gauge_resolution: PressureDiff) -> Self {
        Input {
            hours,
            pressure,
            outdoor: None,
            indoor: None,
            witness: None,
            outdoor_share: None,
            unlogged: None,
            compressor: false,
            volume: None,
            refrigerant: None,
            charge: None,
            rig: None,
            gauge_resolution,
            gauge_drift_per_kelvin: None,
            gas: TestGas::Nitrogen,
            barometer: Barometer::standard(),
            covers: Vec::new(),
            rated: None,
            units: UnitSystem::Us,
        }
    }

    /// Whether any reading lies above the lowest rating.
    pub fn above_rating(&self) -> bool {
        let above = |p: &PressureAbs, rated: PressureGauge| p.to_gauge(self.barometer) > rated;
        self.rated
            .is_some_and(|rated| self.pressure.iter().any(|p| above(p, rated)))
    }
}
