//! The parts of the refrigerant cycle on which a reading's meaning depends.

/// Where the metering device sits, which decides what the liquid line carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MeteringPlace {
    /// At the indoor coil: in cooling the line between carries liquid.
    Indoors,
    /// In the outdoor unit: in cooling the line between carries liquid and vapour.
    Outdoors,
}

/// What meters the refrigerant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MeteringKind {
    /// A piston or capillary tube.
    FixedOrifice,
    /// A thermostatic expansion valve.
    ThermostaticValve,
    /// An electronic expansion valve.
    ElectronicValve,
}

/// The metering device.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct MeteringDevice {
    /// Where it sits.
    pub place: MeteringPlace,
    /// What it is.
    pub kind: MeteringKind,
}

/// Which way the heat goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Mode {
    /// Heat from indoors to outdoors.
    Cooling,
    /// Heat from outdoors to indoors.
    Heating,
}

/// Whether the pipe named liquid line carries liquid alone.
///
/// With the device outdoors and cooling, the device is before the line; heating turns the flow round, and the line
/// carries liquid again. With the device indoors the heating circuit meters at the other end (a second device
/// outdoors), so the line carries liquid either way. Common practice, no source.
///
/// ```
/// use lineproof::physics::cycle::{MeteringPlace, Mode, line_carries_liquid};
/// assert!(!line_carries_liquid(MeteringPlace::Outdoors, Mode::Cooling));
/// ```
pub fn line_carries_liquid(place: MeteringPlace, mode: Mode) -> bool {
    !(place == MeteringPlace::Outdoors && mode == Mode::Cooling)
}
