//! The fixed words of the record: each choice is an enum with one kebab-case word per variant.

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::text::from_text;

use crate::check::Segment;

macro_rules! words {
    ($($(#[$doc:meta])* $name:ident { $($(#[$variant_doc:meta])* $variant:ident = $word:literal),* $(,)? })*) => { $(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum $name { $($(#[$variant_doc])* $variant,)* }

        impl $name {
            /// Every choice, in the order of the guide.
            pub const ALL: &'static [$name] = &[$($name::$variant,)*];
            /// Every word.
            pub const WORDS: &'static [&'static str] = &[$($word,)*];

            /// The word in the record.
            pub fn word(self) -> &'static str {
                match self { $($name::$variant => $word,)* }
            }

            /// The choice of a word.
            pub fn from_word(word: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|choice| choice.word() == word)
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(self.word())
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                from_text(deserializer, |word| {
                    $name::from_word(word).ok_or_else(|| none_of(word, Self::WORDS))
                })
            }
        }
    )* };
}

words! {
    /// A question with three answers.
    Answer {
        /// Yes.
        Yes = "yes",
        /// No.
        No = "no",
        /// Nobody knows, or nobody was asked.
        NotKnown = "not-known",
    }
    /// How the line set is joined to the units.
    Connection {
        /// Lines filled by the maker, joined by couplings that open as they are tightened.
        PreChargedCouplings = "pre-charged-couplings",
        /// Flared tube.
        Flared = "flared",
        /// Pressed fittings.
        Pressed = "pressed",
        /// Brazed joints.
        Brazed = "brazed",
    }
    /// What the line set had seen when the record began.
    LineState {
        /// Never held refrigerant.
        New = "new",
        /// Held refrigerant before.
        HeldRefrigerant = "held-refrigerant",
    }
    /// Where the metering device for cooling sits.
    MeteringDevice {
        /// Thermostatic expansion valve at the indoor coil.
        IndoorsTxv = "indoors-txv",
        /// Fixed orifice at the indoor coil.
        IndoorsOrifice = "indoors-orifice",
        /// Electronic expansion valve at the indoor coil.
        IndoorsEev = "indoors-eev",
        /// In the outdoor unit: the liquid line carries two phases when cooling.
        Outdoors = "outdoors",
        /// Nobody knows yet.
        NotKnown = "not-known",
    }
    /// How the outdoor unit came.
    Shipped {
        /// With its nameplate charge inside.
        Charged = "charged",
        /// Without refrigerant: the nameplate charge is weighed in too.
        Empty = "empty",
    }
    /// What hangs on a run of a system with several heads.
    Head {
        /// An indoor unit.
        Connected = "connected",
        /// Nothing: the port is shut, and its included length counts as not installed.
        None = "none",
    }
    /// What the equipment is.
    EquipmentKind {
        /// Cools and heats.
        HeatPump = "heat-pump",
        /// Cools only.
        AirConditioner = "air-conditioner",
    }
    /// How the compressor is driven.
    Compressor {
        /// One speed.
        Fixed = "fixed",
        /// Two steps.
        TwoStage = "two-stage",
        /// Variable speed.
        Inverter = "inverter",
    }
    /// What a joint is.
    JointKind {
        /// Flare with a nut.
        Flare = "flare",
        /// Pressed fitting.
        Pressed = "pressed",
        /// Brazed joint.
        Brazed = "brazed",
        /// Coupling of a pre-charged line.
        Coupling = "coupling",
        /// Cap over a service valve's stem or port.
        ValveCap = "valve-cap",
        /// Core of an access port.
        AccessCore = "access-core",
        /// Thread or union that is none of the others.
        Threaded = "threaded",
    }
    /// What an instrument measures.
    InstrumentKind {
        /// Pressure against the atmosphere.
        Gauge = "gauge",
        /// Absolute pressure in the evacuation.
        VacuumGauge = "vacuum-gauge",
        /// Temperature.
        Thermometer = "thermometer",
        /// Mass.
        Scale = "scale",
        /// Torque.
        TorqueWrench = "torque-wrench",
        /// Supply voltage.
        Voltmeter = "voltmeter",
    }
    /// How a joint was looked at.
    JointMethod {
        /// Leak-test fluid.
        Bubbles = "bubbles",
        /// Electronic detector.
        Detector = "detector",
    }
    /// What that look showed.
    JointResult {
        /// Nothing seen.
        NoLeak = "no-leak",
        /// A leak seen.
        Leak = "leak",
    }
    /// What the line set was filled with for the pressure test.
    TestGas {
        /// Dry nitrogen.
        Nitrogen = "nitrogen",
        /// Dry argon.
        Argon = "argon",
        /// Dry helium.
        Helium = "helium",
        /// Nitrogen with a trace of hydrogen.
        FormingGas = "forming-gas",
        /// Compressed air.
        Air = "air",
        /// Oxygen.
        Oxygen = "oxygen",
        /// Refrigerant.
        Refrigerant = "refrigerant",
        /// Nobody knows.
        NotKnown = "not-known",
    }
    /// A service valve of the outdoor unit.
    ServiceValve {
        /// The small one.
        LiquidService = "liquid-service",
        /// The large one.
        VapourService = "vapour-service",
    }
    /// Where a valve stands.
    Position {
        /// Open.
        Open = "open",
        /// Shut.
        Shut = "shut",
    }
    /// The part of an evacuation a reading belongs to.
    Phase {
        /// The pump still pulls.
        Pumping = "pumping",
        /// Shut off from the pump: the rise.
        Isolated = "isolated",
    }
    /// How something was repaired.
    RepairMethod {
        /// A joint tightened further, without opening it.
        Tightened = "tightened",
        /// A flare cut off and made anew.
        NewFlare = "new-flare",
        /// A part or a seal replaced.
        Replaced = "replaced",
        /// Pressed.
        Pressed = "pressed",
        /// Brazed.
        Brazed = "brazed",
        /// Another way, told in the note.
        Other = "other",
    }
    /// Where something happened.
    Whereabouts {
        /// Inside the building.
        Indoors = "indoors",
        /// Outside.
        Outdoors = "outdoors",
        /// Nobody knows.
        NotKnown = "not-known",
    }
    /// What was seen or heard as refrigerant came out.
    Seen {
        /// A hiss.
        Hiss = "hiss",
        /// A white mist.
        Mist = "mist",
        /// Liquid that sprayed or dripped.
        Liquid = "liquid",
        /// Frost.
        Frost = "frost",
        /// Oil.
        Oil = "oil",
    }
    /// How a release came to its end.
    ReleaseEnd {
        /// It fell silent by itself.
        Silent = "silent",
        /// A valve was shut.
        ValveShut = "valve-shut",
        /// The joint was tightened.
        Tightened = "tightened",
        /// It has not ended, or nobody saw it end.
        NotKnown = "not-known",
    }
    /// Into the circuit or out of it.
    Direction {
        /// Into the circuit.
        In = "in",
        /// Out of the circuit.
        Out = "out",
    }
    /// Who did or read something.
    Person {
        /// The owner.
        Owner = "owner",
        /// A certified technician.
        Technician = "technician",
    }
    /// What the system was running as.
    Mode {
        /// Cooling.
        Cooling = "cooling",
        /// Heating.
        Heating = "heating",
    }
    /// What the compressor's speed did during a reading.
    CompressorSpeed {
        /// It has one speed.
        Fixed = "fixed",
        /// Locked by the unit's test mode.
        Locked = "locked",
        /// Free to change.
        Free = "free",
    }
    /// Where the high-side pressure was taken.
    LiquidTap {
        /// At the liquid line's service port.
        LiquidLine = "liquid-line",
        /// At the discharge, before the condenser.
        Discharge = "discharge",
    }
    /// What a column of a logger file holds.
    ColumnUse {
        /// Clock time or time passed.
        Time = "time",
        /// Pressure of the line set.
        Pressure = "pressure",
        /// Outdoor temperature.
        Outdoor = "outdoor",
        /// Indoor temperature.
        Indoor = "indoor",
        /// Pressure of a second, known-tight volume.
        Witness = "witness",
        /// Vacuum.
        Vacuum = "vacuum",
        /// Pressure of a second gauge on the same volume.
        Second = "second-gauge",
        /// The word for pumping or isolated.
        Phase = "phase",
        /// Suction line temperature.
        SuctionLine = "suction-line",
        /// Liquid line temperature.
        LiquidLine = "liquid-line",
        /// Temperature of an evaporator bend.
        EvaporatorBend = "evaporator-bend",
        /// Temperature of a condenser bend.
        CondenserBend = "condenser-bend",
        /// Discharge line temperature.
        DischargeLine = "discharge-line",
        /// Suction pressure.
        SuctionPressure = "suction-pressure",
        /// High-side pressure.
        LiquidPressure = "liquid-pressure",
        /// Return air.
        ReturnAir = "return-air",
        /// Wet bulb of the return air.
        ReturnWetBulb = "return-wet-bulb",
        /// Supply air.
        SupplyAir = "supply-air",
        /// Wet bulb of the supply air.
        SupplyWetBulb = "supply-wet-bulb",
        /// Air leaving the outdoor unit.
        LeavingAir = "leaving-air",
        /// Current of the outdoor unit.
        Current = "current",
    }
}

macro_rules! by_default {
    ($($name:ident = $variant:ident),*) => { $(
        impl Default for $name {
            fn default() -> Self { $name::$variant }
        }
    )* };
}
by_default!(
    Answer = NotKnown,
    MeteringDevice = NotKnown,
    TestGas = NotKnown,
    Whereabouts = NotKnown,
    ReleaseEnd = NotKnown,
    Head = Connected
);

const SEGMENT_WORDS: &[&str] = &[
    "outdoor-unit",
    "liquid-line",
    "vapour-line",
    "indoor-coil",
    "hoses",
];

/// The segment of a word, as [`Segment::word`] prints it.
pub fn segment_from_word(word: &str) -> Option<Segment> {
    Segment::ALL.into_iter().find(|s| s.word() == word)
}

/// serde's own wording, so that one reader of messages serves both.
fn none_of(word: &str, known: &[&str]) -> String {
    format!(
        "unknown variant `{word}`, expected one of `{}`",
        known.join("`, `")
    )
}

/// A segment as the files hold it.
struct SegmentWord(Segment);

impl<'de> Deserialize<'de> for SegmentWord {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from_text(from, |word| {
            segment_from_word(word)
                .map(SegmentWord)
                .ok_or_else(|| none_of(word, SEGMENT_WORDS))
        })
    }
}

/// One segment by its word.
pub(crate) mod segment {
    use super::*;

    pub(crate) fn serialize<S: Serializer>(segment: &Segment, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(segment.word())
    }

    pub(crate) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Segment, D::Error> {
        Ok(SegmentWord::deserialize(from)?.0)
    }
}

/// Segments by their words.
pub(crate) mod segments {
    use super::*;

    pub(crate) fn serialize<S: Serializer>(segments: &[Segment], to: S) -> Result<S::Ok, S::Error> {
        to.collect_seq(segments.iter().map(|s| s.word()))
    }

    pub(crate) fn deserialize<'de, D: Deserializer<'de>>(
        from: D,
    ) -> Result<Vec<Segment>, D::Error> {
        let words = Vec::<SegmentWord>::deserialize(from)?;
        Ok(words.into_iter().map(|word| word.0).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn segment_words_are_those_of_the_checks() {
        let words: Vec<_> = Segment::ALL.iter().map(|s| s.word()).collect();
        assert_eq!(words, SEGMENT_WORDS);
    }
}
