//! Where a number comes from: every limit, factor and equation the program uses has an entry here.
//!
//! A [`SourceId`] is a name that code carries beside a number; [`SourceId::cite`] gives the text that a reader sees.

/// How far a source can be trusted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Status {
    /// Read in the source itself, or in a document that reproduces it.
    Read,
    /// Computed from a published equation.
    Computed,
    /// Exact by definition.
    Defined,
    /// Remembered, not read again.
    Memory,
    /// Done by the trade everywhere, printed nowhere we could read.
    CommonPractice,
    /// This program's own choice.
    OwnChoice,
    /// Printed by the maker in the unit's own instructions, as the user typed it.
    Unit,
}

impl Status {
    /// The words a reader sees.
    pub fn words(self) -> &'static str {
        match self {
            Status::Read => "read in the source",
            Status::Computed => "computed from the published equation",
            Status::Defined => "exact by definition",
            Status::Memory => "from memory",
            Status::CommonPractice => "common practice, no source",
            Status::OwnChoice => "this program's own choice",
            Status::Unit => "from the unit's own instructions, as typed",
        }
    }
}

macro_rules! sources {
    ($($(#[$doc:meta])* $id:ident = $key:literal, $status:ident, $text:literal;)*) => {
        /// The name of a source.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum SourceId { $($(#[$doc])* #[doc = $text] $id,)* }

        impl SourceId {
            /// Every source, in the order of this file.
            pub const ALL: &'static [SourceId] = &[$(SourceId::$id,)*];

            /// The stable key, as it stands in JSON.
            pub fn key(self) -> &'static str { match self { $(SourceId::$id => $key,)* } }

            /// What to look up.
            pub fn text(self) -> &'static str { match self { $(SourceId::$id => $text,)* } }

            /// How far it can be trusted.
            pub fn status(self) -> Status { match self { $(SourceId::$id => Status::$status,)* } }
        }
    };
}

sources! {
    // units
    SiBrochure = "si-brochure", Defined, "SI Brochure, 9th edition (BIPM 2019): SI units and degree Celsius";
    YardPound = "yard-pound-1959", Defined, "International yard and pound agreement of 1959: 1 in = 25.4 mm, 1 lb = 0.45359237 kg";
    NistSp811 = "nist-sp-811", Read, "NIST Special Publication 811 (2008), Appendix B: conversion factors, 1 psi = 1 lbf/in2 with g0 = 9.80665 m/s2";
    Torr = "torr", Defined, "1 Torr = 101325/760 Pa; 1 micron = 1 mTorr; mmHg and inHg taken as conventional mercury (NIST SP 811)";
    IcaoAtmosphere = "icao-isa", Read, "ICAO standard atmosphere: p = 101.325 kPa (1 - 2.25577e-5 h)^5.25588, h in m";
    Jcgm100 = "jcgm-100", Read, "JCGM 100:2008 (GUM) 4.3.7: a limit of error counts as limit/sqrt(3), a resolution as resolution/sqrt(12)";
    Jcgm106 = "jcgm-106", Read, "JCGM 106:2012: conformity decisions with a stated probability";
    En837 = "en-837-1", Memory, "EN 837-1: Bourdon gauges move 0.04 % of full scale per K away from the reference temperature";

    // fluids

    // stages

    // record
    ConnectionRoute = "connection-route", CommonPractice, "Pre-charged lines and charged circuits are not filled with nitrogen or evacuated; their joints are checked with bubbles and detector";
    HeldCircuitRoute = "held-circuit-route", CommonPractice, "A circuit opened after it held refrigerant gets recovery, pressure test, new drier, evacuation and a weighed charge";
    EvidenceRules = "evidence-rules", OwnChoice, "What a later event voids: the joint and segments it touched, and all that the gas could reach from there";
}

impl SourceId {
    /// The text with its status, as printed in the list of sources.
    ///
    /// ```
    /// use lineproof::source::SourceId;
    /// assert!(SourceId::Torr.cite().ends_with("(exact by definition)"));
    /// ```
    pub fn cite(self) -> String {
        format!("{} ({})", self.text(), self.status().words())
    }
}
