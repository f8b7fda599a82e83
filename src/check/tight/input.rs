//! What the standing pressure test is judged from.

use crate::check::Segment;
use crate::fluid::{DryGas, Refrigerant};
use crate::quantity::{
    Barometer, Fraction, Mass, Measured, PressureAbs, PressureDiff, PressureGauge, PressureRate,
    Quantity, Temperature, TemperatureDiff, UnitSystem, Volume,
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
    /// Nitrogen with a few percent of hydrogen.
    FormingGas,
    /// Compressed air.
    Air,
    /// Oxygen.
    Oxygen,
    /// The circuit's own refrigerant.
    Refrigerant,
    /// Nobody noted it.
    NotKnown,
}

impl TestGas {
    /// The gas of a name.
    pub fn parse(name: &str) -> Option<TestGas> {
        match name.trim().to_lowercase().as_str() {
            "nitrogen" | "dry nitrogen" | "n2" => Some(TestGas::Nitrogen),
            "argon" | "ar" => Some(TestGas::Argon),
            "helium" | "he" => Some(TestGas::Helium),
            "forming gas" | "forming-gas" => Some(TestGas::FormingGas),
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
            TestGas::FormingGas => "forming gas",
            TestGas::Air => "air",
            TestGas::Oxygen => "oxygen",
            TestGas::Refrigerant => "refrigerant",
            TestGas::NotKnown => "a gas that nobody noted",
        }
    }
    /// Whether it is forbidden as a test gas: it feeds a fire or an explosion of oil.
    pub fn is_forbidden(self) -> bool {
        matches!(self, TestGas::Air | TestGas::Oxygen)
    }
    /// Whether a line set may be pressed with it and this check knows how it answers to temperature.
    pub fn is_allowed(self) -> bool {
        match self {
            TestGas::Nitrogen | TestGas::Argon | TestGas::Helium | TestGas::FormingGas => true,
            TestGas::Air | TestGas::Oxygen | TestGas::Refrigerant | TestGas::NotKnown => false,
        }
    }
    /// The equation it is computed with; as nitrogen what is mostly nitrogen, and what is never passed.
    pub fn computed_as(self) -> DryGas {
        match self {
            TestGas::Argon => DryGas::Argon,
            TestGas::Helium => DryGas::Helium,
            TestGas::Nitrogen
            | TestGas::FormingGas
            | TestGas::Air
            | TestGas::Oxygen
            | TestGas::Refrigerant
            | TestGas::NotKnown => DryGas::Nitrogen,
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
    /// What they lost alone, in their own volume and at the pressure of this test: estimate, low and high end of the
    /// 95 % interval.
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
    /// That part's swing is a typical one, as nobody stated it.
    pub unlogged_typical: bool,
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
    /// The design pressure that a code rule asks for: of the low side, where the sides are one volume.
    pub design: Option<PressureGauge>,
    /// Units for the sentences.
    pub units: UnitSystem,
}

impl RigBlank {
    /// What a rig that was tested alone loses at the pressure of another test.
    ///
    /// `loss` as found at `tested_at`; a leak grows at most with the square of the absolute pressure, as through a long
    /// narrow way, and falls at least in proportion to it: so it is never taken as smaller than it can be.
    pub fn scaled(
        loss: [PressureRate; 3],
        tested_at: PressureAbs,
        now_at: PressureAbs,
        share: Option<Fraction>,
    ) -> Self {
        let ratio = now_at.si() / tested_at.si();
        let grows = if ratio > 1.0 { ratio * ratio } else { ratio };
        RigBlank {
            loss: loss.map(|rate| PressureRate::from_si(rate.si() * grows)),
            share,
        }
    }
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
            unlogged_typical: false,
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
            design: None,
            units: UnitSystem::Us,
        }
    }

    /// Whether any reading lies above the lowest rating.
    pub fn above_rating(&self) -> bool {
        self.rated.is_some_and(|rated| self.highest() > rated)
    }

    /// The highest reading.
    pub fn highest(&self) -> PressureGauge {
        let first = self.pressure[0];
        let higher = |a: PressureAbs, b: &PressureAbs| if *b > a { *b } else { a };
        self.pressure
            .iter()
            .fold(first, higher)
            .to_gauge(self.barometer)
    }
}
