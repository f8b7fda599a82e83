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
    /// Typed with the command, wherever it comes from.
    Given,
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
            Status::Given => "where it comes from was not said",
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
    Jcgm100 = "jcgm-100", Read, "JCGM 100:2008, 4.3.7: a limit of error counts as limit/sqrt(3), a resolution as resolution/sqrt(12)";
    Jcgm106 = "jcgm-106", Read, "JCGM 106:2012: conformity decisions with a stated probability";
    En837 = "en-837-1", Memory, "EN 837-1: Bourdon gauges move 0.04 % of full scale per K away from the reference temperature";

    // fluids
    EosR22 = "eos-r-22", Computed, "Kamei, Beyerlein & Jacobsen, Int. J. Thermophys. 16 (1995) 1155: equation of state of R-22";
    EosR32 = "eos-r-32", Computed, "Tillner-Roth & Yokozeki, J. Phys. Chem. Ref. Data 26 (1997) 1273: equation of state of R-32";
    EosR134a = "eos-r-134a", Computed, "Tillner-Roth & Baehr, J. Phys. Chem. Ref. Data 23 (1994) 657: equation of state of R-134a";
    EosR290 = "eos-r-290", Computed, "Lemmon, McLinden & Wagner, J. Chem. Eng. Data 54 (2009) 3141: equation of state of R-290";
    EosR600a = "eos-r-600a", Computed, "Buecker & Wagner, J. Phys. Chem. Ref. Data 35 (2006) 929: equation of state of R-600a";
    EosR744 = "eos-r-744", Computed, "Span & Wagner, J. Phys. Chem. Ref. Data 25 (1996) 1509: equation of state of R-744";
    EosR1234yf = "eos-r-1234yf", Computed, "Lemmon & Akasaka, Int. J. Thermophys. 43 (2022) 119: equation of state of R-1234yf";
    EosR1234zeE = "eos-r-1234ze-e", Computed, "Thol & Lemmon, Int. J. Thermophys. 37 (2016) 28: equation of state of R-1234ze(E)";
    EosPseudoPure = "eos-pseudo-pure", Computed, "Lemmon, Int. J. Thermophys. 24 (2003) 991: pseudo-pure equations of state of R-404A, R-407C, R-410A, R-507A";
    EosMixture = "eos-mixture", Computed, "Bell, J. Phys. Chem. Ref. Data 51 (2022) 013103 and 52 (2023) 013101; Lemmon & Jacobsen, J. Phys. Chem. Ref. Data 33 (2004) 593: blend models of HFO blends; components by their own equations of state (tables/saturation names them for each blend)";
    ViscosityBell = "viscosity-entropy-scaling", Computed, "Bell, Purdue Refrigeration Conference (2016): viscosity of R-32, R-1234yf, R-1234ze(E) by entropy scaling";
    ViscosityR22 = "viscosity-r-22", Computed, "Klein, McLinden & Laesecke, Int. J. Refrig. 20 (1997) 208: viscosity of R-22 by extended corresponding states";
    ViscosityR134a = "viscosity-r-134a", Computed, "Huber, Laesecke & Perkins, Ind. Eng. Chem. Res. 42 (2003) 3163: viscosity of R-134a";
    ViscosityR290 = "viscosity-r-290", Computed, "Vogel, Kuechenmeister, Bich & Laesecke, J. Phys. Chem. Ref. Data 27 (1998) 947: viscosity of R-290";
    ViscosityR600a = "viscosity-r-600a", Computed, "Vogel, Kuechenmeister & Bich, Int. J. Thermophys. 21 (2000) 343: viscosity of R-600a";
    ViscosityR744 = "viscosity-r-744", Computed, "Laesecke & Muzny, J. Phys. Chem. Ref. Data 46 (2017) 013107: viscosity of R-744";
    ViscosityGeller = "viscosity-pseudo-pure", Computed, "Geller, Bivens & Yokozeki, Purdue Refrigeration Conference (2000): viscosity of R-404A, R-407C, R-410A, R-507A";
    ViscosityMixing = "viscosity-mixing-rule", OwnChoice, "Viscosity of an HFO blend from its components at the same temperature and reduced density: Arrhenius (1887) for liquid, Wilke, J. Chem. Phys. 18 (1950) 517 for vapour";
    ViscosityUncertainty = "viscosity-uncertainty", OwnChoice, "Limit of error of a viscosity: 5 % from a correlation of the refrigerant's own, 15 % from entropy scaling or corresponding states (handbooks lie up to 11 % away), 20 % from mixing such components (the rule itself lies within 7 % of the correlations of R-407C and R-410A from -40 to 60 degC)";
    SaturationUncertainty = "saturation-uncertainty", OwnChoice, "Limit of error of the saturation pressure from an equation of state: 0.5 % for pure and pseudo-pure refrigerants, 1 % (0.3 K) for HFO blends";
    RefrigerantFacts = "refrigerant-facts", Memory, "Safety class of ASHRAE 34 and ISO 817, flammable limit, concentration limit, GWP of the IPCC reports: tables/refrigerant_facts.csv says for each how well it is known";
    NitrogenSpan = "nitrogen-span-2000", Computed, "Span, Lemmon, Jacobsen, Wagner & Yokozeki, J. Phys. Chem. Ref. Data 29 (2000) 1361: reference equation of state of nitrogen";
    ArgonTegeler = "argon-tegeler-1999", Computed, "Tegeler, Span & Wagner, J. Phys. Chem. Ref. Data 28 (1999) 779: equation of state of argon";
    HeliumOrtizVega = "helium-ortiz-vega-2023", Computed, "Ortiz Vega, Hall, Holste, Harvey & Lemmon, NISTIR 8474 (2023): equation of state of helium";
    ViscosityDryGas = "viscosity-dry-gas", Computed, "Lemmon & Jacobsen, Int. J. Thermophys. 25 (2004) 21: viscosity of nitrogen and argon";
    ViscosityHelium = "viscosity-helium", Computed, "Arp, McCarty & Friend, NIST Technical Note 1334 (1998): viscosity of helium";
    IapwsIf97 = "iapws-if97", Computed, "IAPWS R7-97(2012), Industrial Formulation 1997, region 4: saturation of water";
    IapwsR14 = "iapws-r14-08", Computed, "IAPWS R14-08(2011): sublimation pressure of ice";
    AshraeMoistAir = "ashrae-fundamentals-2017-1", Read, "ASHRAE Handbook Fundamentals (2017), chapter 1: moist air as perfect gases, equations 11 to 36";

    // stages
    TightMethod = "tight-method", OwnChoice, "Standing pressure test: real-gas regression of ln p on time and temperature (docs/DESIGN.md)";
    TightLimit = "tight-limit", OwnChoice, "Loss limit of 0.05 psi/h at 500 psig, in proportion to the absolute pressure";
    Rehearsal = "rehearsal", OwnChoice, "Rehearsed holds: real gas in parts at their own temperatures, with sizes of weather, lag, walls and gauge chosen here (docs/DESIGN.md)";
    LeakLaws = "leak-laws", Memory, "One hole under another gas and pressure by three laws of ideal gas: viscous (Poiseuille), orifice (choked where the pressure behind it allows) and molecular (Knudsen), as vacuum handbooks print them";
    LeakVapour = "leak-vapour", OwnChoice, "Vapour in a leak as thin gas: viscosity in proportion to the absolute temperature, from saturated vapour at -20 degC; cp/cv from vapour at low pressure";
    LeakConditions = "leak-conditions", OwnChoice, "Mass lost is said at rest (saturation at 20 degC) and running (saturation at 45 degC, the high side of a warm day), vapour at the hole";
    HoldSees = "hold-sees", OwnChoice, "A hold of a day or more, with a fine gauge and logged temperatures, is taken to tell 0.6 psi from none at its end";
    TightMassLimit = "tight-mass-limit", OwnChoice, "Loss limit of 5 % of the charge a year while running, by the least favourable of three laws of flow, through the volume under test";
    Iec60335FieldTest = "iec-60335-2-40-field-test", Read, "IEC 60335-2-40 field test clause, as reproduced in an installation manual: design pressure, 60 min, no decrease; 500 micron, 10 min, not above 1,500 micron";
    Ashrae15Gas = "ashrae-15-gas", Read, "ASHRAE 15 (1994 text) 10.1.2: dry nitrogen or another nonflammable nonreactive dried gas; oxygen and air forbidden; regulator with limiting device and relief";
    DryMethod = "dry-method", OwnChoice, "Vacuum rise: joint fit of a steady leak and a vapour source that levels off (docs/DESIGN.md)";
    TwoVacuumGauges = "two-vacuum-gauges", OwnChoice, "Two vacuum gauges, each good to 10 % of its reading (thermal gauges are of that class, from memory), lie more than 15.5 % apart once in twenty; a gauge at its end stops without having slowed down";
    DryLeakLimit = "dry-leak-limit", OwnChoice, "A steady rise of 2 micron/min counts as a leak unless another limit is given; without the volume it says nothing in grams";
    Ufgs23 = "ufgs-23", Read, "UFGS 15182 Refrigerant Piping: 300 micron, 60 min isolated, at or below 500 micron";
    Ufgs23Pressure = "ufgs-23-pressure", Read, "UFGS 15182 Refrigerant Piping: ASHRAE 15 leak test pressure, 24 h, corrected for temperature; 10 psig soap stage first";
    AshraeJournal2021 = "ashrae-journal-2021", Read, "ASHRAE Journal, January 2021, p. 40: 500 psig of nitrogen for 60 min, some makers 24 h; about 1 psi per degF at 500 psig; bubble test first";
    UmcAshrae15 = "umc-ashrae-15", Read, "UMC 1122.2 / ASHRAE 15 as quoted elsewhere: 10 min, proved tight, at not less than the lower of the code table pressure or the relief setting";
    En378 = "en-378-2", Memory, "EN 378-2: tightness at up to the allowable pressure, vacuum below 270 Pa, 30 min or more";
    WitnessMeasured = "witness-measured", OwnChoice, "On logs of real sealed vessels a known-tight volume in the thermometer's place narrowed the interval 2.4 to 4.2 times (this program's own measurement)";
    TypicalSwings = "typical-swings", Memory, "Half of a day's swing where no thermometer hangs: attic 22 degF, line in the sun 11 degF, wall and crawl space 5 degF";
    WarmerLater = "warmer-later", OwnChoice, "A line that was watched for less than a day may still get 25 degF warmer than it was seen";
    VolumeOfTube = "volume-of-tube", OwnChoice, "Volume of a tube from its nominal bore and measured length: 5 % standard uncertainty";
    VolumeByExpansion = "volume-by-expansion", Computed, "Volume by expansion from a known one: V_x = V_r (d_r - d_f)/(d_f - d_x) with the densities of the gas; for an ideal gas at one temperature the absolute pressures stand for them";
    ExpansionTemperature = "expansion-temperature", OwnChoice, "After some minutes of rest the gas of both volumes is within 2 K (one standard uncertainty) of one temperature";
    TubeConductance = "tube-conductance", Memory, "Flow of thin gas through a round tube: molecular and viscous conductance and Knudsen's interpolation between them (Ann. Phys. 28 (1909) 75, its two constants read there), as vacuum handbooks print them";
    SteamViscosity = "iapws-r12-08", Memory, "IAPWS R12-08(2008): viscosity of water vapour as a thin gas";
    HoseBore = "hose-bore", OwnChoice, "Bore of a service hose by its nominal size: 1/4 in 4.8 mm, 3/8 in 8.0 mm, 1/2 in 12.7 mm";
    ValveCore = "valve-core", OwnChoice, "A valve core left in place counts as a bore of 1.8 mm, 15 mm long";
    PumpInUse = "pump-in-use", OwnChoice, "A pump in use reaches 50 micron blanked off, unless its own figure is given; its speed is the nameplate's, in proportion to what its inlet lies above that";
    PumpLog = "pump-log", OwnChoice, "Pump-down log: speed from the times at which the pressure crossed powers of ten; it lingers where it falls by less than the 0.15th power of the time; a step is a fall ten times as fast as before that took at least a third away";
    MakersVacuum = "makers-vacuum", CommonPractice, "Vacuum levels printed in installation instructions";

    // joints, charge, start, run
    Tm9254 = "tm-9-254", Read, "US Army TM 9-254: torque wrench with an adapter, setting = T L / (L + E cos a)";
    JisB8607 = "jis-b-8607", Read, "JIS B 8607 flare nut torque, as a piping guideline reproduces it";
    AstmB280 = "astm-b280", Read, "ASTM B280 tube dimensions and working pressures, as a published tube table reproduces them";
    BubbleSight = "bubble-sight", Memory, "bubbles show a leak of 1e-5 Pa m3/s where the solution wets it (usual figure of leak-test handbooks)";
    DetectorSight = "detector-sight", Memory, "an electronic detector shows a leak of 5 g a year (usual stated sensitivity)";
    LineChargePrinted = "line-charge-printed", Read, "line-length charge factors printed in equipment installation instructions (collected, anonymous)";
    LineDensity = "line-density", OwnChoice, "charge per length from bore area: liquid at 35 °C, vapour at 7 °C saturation; half of it with the metering device outdoors";
    FactorAgainstPhysics = "factor-against-physics", OwnChoice, "a factor is questioned beyond 30 % from bore area and density, the spread between makers";
    SmallRemainder = "small-remainder", OwnChoice, "a remainder inside 3 % of the nameplate charge, or two standard uncertainties of the scale, is left as it is";
    HoseContent = "hose-content", OwnChoice, "Liquid left in a charging hose: bore area times length times the density of liquid at 20 degC, within 25 %";
    ZeroDrift = "zero-drift", OwnChoice, "Of what a scale's zero moved between two checks, anything from none to all lies between the readings: half of it is taken out";
    FlowEquilibrium = "flow-homogeneous-equilibrium", Memory, "Homogeneous equilibrium flow: the largest rho sqrt(2 (h0 - h)) along the isentrope (Starkman, Schrock, Neusen & Maneely, J. Basic Eng. 86 (1964) 247)";
    FlowOmega = "flow-omega", Memory, "Leung, AIChE J. 32 (1986) 1743: critical flow of a flashing liquid by one parameter, omega";
    FlowLateFlash = "flow-late-flash", OwnChoice, "Liquid flashes late in a short hole: at most 0.61 sqrt(2 rho dp) of it gets through (0.61 is the sharp-edged orifice, from memory)";
    InventoryByPhase = "inventory-by-phase", Computed, "Mass in a volume: volume times density of the phase that fills it, from the refrigerant's equation of state";
    LostMethod = "lost-method", OwnChoice, "What an incident could have cost: contents by phase, blow-down through a hole, a factor 2 (one standard deviation) on every time that was guessed, the hole never narrower than a factor 3 (docs/DESIGN.md)";
    IdleAir = "idle-air", CommonPractice, "Idle pressure above saturation at the outdoor coil's temperature is air or a warmer liquid; Dalton's law gives the air";
    IdleNoise = "idle-noise", OwnChoice, "1 degF is about 4 psi of R-410A, so an excess under 5 psi proves nothing";
    RunningCharge = "running-charge", Memory, "Li & Braun, HVAC&R Research 15(1) (2009): charge from subcooling and superheat; algebra, defaults 0.75, 0.73, 0.4 and the 10 % of model error from memory, tuned per machine";
    ChargePerformance = "charge-performance", Memory, "NIST TN 1848 (2014): capacity and power against charge, form and coefficients from memory, those for too little charge in heating fitted to printed values; TXV machine, within 30 % of charge";
    JoinedCharge = "joined-charge", OwnChoice, "Charge from several kinds of evidence: likelihoods multiplied on a grid of the charge fraction; inside the interval the likelihood is above exp(-1.96^2/2) of its largest";
    Iec60335Rooms = "iec-60335-2-40-gg", Read, "IEC 60335-2-40 Annex GG as printed in four installation manuals: m = 2.5 LFL^1.25 h0 sqrt(A), in the 2018 edition not above 0.75 LFL h0 A";
    Iec60335SmallCharge = "iec-60335-2-40-m1", Memory, "IEC 60335-2-40: below m1, 6 m3 (A2L) or 4 m3 (A3) times LFL, no room size is asked for; 6 m3 x LFL = 1.84 kg of R-32 is printed in a manual";
    NemaMg1 = "nema-mg-1", Memory, "NEMA MG 1: motors run at their nameplate voltage within 10 %";
    CecRa32 = "cec-ra3.2-2008", Read, "California Energy Commission, Reference Residential Appendix RA3.2 (2008): charge verification, installer's limits";
    CecRa32Verifier = "cec-ra3.2-2008-verifier", Read, "California Energy Commission, Reference Residential Appendix RA3.2 (2008): charge verification, verifier's limits";
    CecRa32VerifierSubcooling = "cec-ra3.2-2008-verifier-subcooling", Memory, "California Energy Commission, Reference Residential Appendix RA3.2.2.6 (2008): verifier's limits of subcooling";
    CecRa32Of2013 = "cec-ra3.2-2013", Memory, "California Energy Commission, Reference Residential Appendix RA3.2 (2013 and later): charge verification, limits of installer and verifier";
    CecRa32Gauges = "cec-ra3.2-2013-gauges", Read, "California Energy Commission, Reference Residential Appendix RA3.2.2.2.3 (2013): accuracy asked of pressure gauges";
    CecRa1Winter = "cec-ra1-2022-winter", Read, "California Energy Commission, Reference Residential Appendix RA1.2 (2022): winter set-up, for valves and subcooling only";
    TargetSuperheatTable = "cec-ra3.2-2-target-superheat", Memory, "California Energy Commission, Reference Residential Appendix RA3.2 (2008), Table RA3.2-2: target superheat; compare with the official document before calling it the regulation";
    TargetSplitTable = "cec-ra3.2-3-target-split", Memory, "California Energy Commission, Reference Residential Appendix RA3.2 (2008), Table RA3.2-3: target temperature split; compare with the official document before calling it the regulation";
    SuperheatFormula = "superheat-formula", CommonPractice, "Target superheat of a fixed orifice in °F: (3 WB - 80 - DB)/2, return wet bulb and outdoor dry bulb in °F";
    ThermometerAssumed = "thermometer-assumed", OwnChoice, "Limit of error of a thermometer of which nothing is stated: 1.8 °F (1 K), wider than the 1.3 °F + 0.1 % that RA3.2.2.2.1 asks for";
    AirflowByRise = "airflow-by-rise", CommonPractice, "Airflow from the power of an electric heater and the temperature rise that it makes";
    AirEnthalpy = "air-enthalpy", Memory, "Air-enthalpy method of ANSI/ASHRAE 37: capacity is the flow of dry air times the difference of enthalpy; the heat that leaves with the condensate is left out";
    NoHeatRejected = "no-heat-rejected", OwnChoice, "condensing within 2 °F of the outdoor air means that no heat is rejected";
    SteadyWindow = "steady-window", OwnChoice, "steadiest window of a running log: at least 5 min, and no channel moves or scatters more than 1 °F (air and discharge line move 2 °F, pressures 2 %, current 3 %) over 10 min; reading the mean of a moving window follows Kim, Yoon, Payne & Domanski, NIST SP 1087 (2008), of which the abstract was read";
    SlipLimits = "slip-limits", OwnChoice, "Readings that contradict themselves: superheat or subcooling surely below zero, an evaporator warmer than its air, a condenser more than 60 °F over it, lines beyond the airs, a bend and a gauge of one side more than 2.5 standard uncertainties apart";
    SymptomSigns = "symptom-signs", Read, "Rossi & Braun rule table of five faults and seven features, as printed in a Purdue University / California Energy Commission report on rooftop units with a fixed orifice";
    OwnSigns = "own-signs", CommonPractice, "Signs of too much charge and of air in the circuit, and the signs that a valve leaves standing";
    UsualRanges = "usual-ranges", CommonPractice, "Evaporating 25 to 45 °F below the return air, condensing 10 to 32 °F over the outdoor air, air 14 to 24 °F colder over the indoor coil and 8 to 28 °F warmer over the outdoor coil; subcooling 5 to 20 °F at a fixed orifice; heating: condensing 20 to 50 °F over the return air";
    CompressorEfficiency = "compressor-efficiency", OwnChoice, "Discharge temperature between isentropic efficiencies of 0.80 and 0.50, 15 °F either way for the heat of the motor and the shell";
    TypicalInstruments = "typical-instruments", OwnChoice, "What a reading would buy, with thermometers of 1.8 °F, gauges of 3.5 psi (suction) and 7 psi (liquid) as limits of error, at 40 °F and 110 °F saturation";
    CoilBend = "coil-bend", OwnChoice, "a pipe probe on a coil bend stands for saturation in the middle of the glide, with 1.5 K as limit for contact and pressure drop";

    // decisions
    IeaO324 = "iea-o-3-2-4", Memory, "IEA Heat Pump Conference 2017, paper O.3.2.4: compressors burst when air was compressed with oil and refrigerant";
    Cfr82F = "cfr-40-82-f", Memory, "40 CFR Part 82 Subpart F (United States): opening, charging and recovering refrigerant takes a certified technician";
    Eu2024573 = "eu-2024-573", Memory, "Regulation (EU) 2024/573: work on circuits with fluorinated gases takes a certified person";
    PlaceNotKnown = "place-not-known", OwnChoice, "No rule of this place is known to this program: ask there; it never takes that for a permission";
    Owner = "owner", OwnChoice, "This program's own rule, on the side of caution";

    AsGiven = "as-given", Given, "The limit given with the command";
    UnitInstructions = "unit", Unit, "The unit's own instructions or label, as typed by the user";
    CommonPractice = "common-practice", CommonPractice, "What the trade does";

    // joints, charge, start, run

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
