//! What the standing pressure test is judged from.

use crate::check::Segment;
use crate::fluid::DryGas;
use crate::quantity::{
    Barometer, Fraction, PressureAbs, PressureDiff, PressureGauge, Temperature, UnitSystem,
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

/// The readings of a standing pressure test and what is known about the volume and the gauge.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// Hours since the first reading, increasing.
    pub hours: Vec<f64>,
    /// Absolute pressures.
    pub pressure: Vec<PressureAbs>,
    /// Outdoor temperatures, if read.
    pub outdoor: Option<Vec<Temperature>>,
    /// Indoor temperatures, if read.
    pub indoor: Option<Vec<Temperature>>,
    /// Share of the volume that is outdoors, if known.
    pub outdoor_share: Option<Fraction>,
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
    /// Whether any reading lies above the lowest rating.
    pub fn above_rating(&self) -> bool {
        let above = |p: &PressureAbs, rated: PressureGauge| p.to_gauge(self.barometer) > rated;
        self.rated
            .is_some_and(|rated| self.pressure.iter().any(|p| above(p, rated)))
    }
}
