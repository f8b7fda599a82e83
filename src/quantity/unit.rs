//! Units: arithmetic on exact definitions, each with its source.

use std::marker::PhantomData;

use super::{
    Area, Current, Density, Duration, Fraction, HeatCapacity, LeakRate, Length, Mass,
    MassPerLength, MassRate, Power, PressureAbs, PressureDiff, PressureGauge, PressureRate,
    RiseRate, SpecificEnthalpy, SpecificEntropy, Temperature, TemperatureDiff, Torque, Viscosity,
    Voltage, Volume, VolumeFlow,
};
use crate::source::SourceId;

/// A unit of the quantity `Q`: `SI = value * scale + offset`.
#[derive(Debug)]
pub struct Unit<Q> {
    /// How it is printed.
    pub symbol: &'static str,
    /// How else people type it; compared without case, blanks, `°`, `_` and `^`.
    pub names: &'static [&'static str],
    /// SI units in one of this.
    pub scale: f64,
    /// SI value of this unit's zero.
    pub offset: f64,
    /// Where the factor comes from.
    pub source: SourceId,
    quantity: PhantomData<fn() -> Q>,
}

impl<Q> Clone for Unit<Q> {
    fn clone(&self) -> Self {
        *self
    }
}
impl<Q> Copy for Unit<Q> {}

impl<Q> Unit<Q> {
    const fn shifted(
        symbol: &'static str,
        names: &'static [&'static str],
        scale: f64,
        offset: f64,
        source: SourceId,
    ) -> Self {
        Unit {
            symbol,
            names,
            scale,
            offset,
            source,
            quantity: PhantomData,
        }
    }
    /// The SI value of a number in this unit.
    pub fn to_si(self, value: f64) -> f64 {
        value * self.scale + self.offset
    }
    /// The number in this unit of an SI value.
    pub fn from_si(self, si: f64) -> f64 {
        (si - self.offset) / self.scale
    }
}

const POUND: f64 = 0.453_592_37;
const OUNCE: f64 = POUND / 16.0;
const INCH: f64 = 0.0254;
const FOOT: f64 = 0.3048;
const STANDARD_GRAVITY: f64 = 9.806_65;
const PSI: f64 = POUND * STANDARD_GRAVITY / (INCH * INCH);
const TORR: f64 = 101_325.0 / 760.0;
/// Conventional mercury, 13 595.1 kg/m3 at standard gravity.
const MMHG: f64 = 13.5951 * STANDARD_GRAVITY;
const INHG: f64 = MMHG * 25.4;
const FT_LB: f64 = POUND * STANDARD_GRAVITY * FOOT;
/// The British thermal unit of the International Table: 1 Btu/lb is 2326 J/kg by definition.
const BTU_PER_LB: f64 = 2326.0;
const HOUR: f64 = 3600.0;
const DAY: f64 = 24.0 * HOUR;
const YEAR: f64 = 365.0 * DAY;

macro_rules! units {
    ($quantity:ident, $list:ident: $($(#[$doc:meta])* $id:ident = $symbol:literal, [$($name:literal),*], $scale:expr $(, + $offset:expr)?; $source:ident)*) => {
        $($(#[$doc])* #[doc = concat!("The unit ", $symbol, ".")]
        pub const $id: Unit<$quantity> = Unit::shifted($symbol, &[$($name),*], $scale, 0.0 $(+ $offset)?, SourceId::$source);)*
        /// The units this quantity can be typed in.
        pub const $list: &[Unit<$quantity>] = &[$($id),*];
    };
}

units! { PressureAbs, PRESSURE_ABS_UNITS:
    PA = "Pa", ["pascal", "paabs", "pa(a)", "paa"], 1.0; SiBrochure
    HPA = "hPa", ["hpaabs", "hpa(a)", "hpaa"], 100.0; SiBrochure
    MBAR = "mbar", ["mbara", "mbarabs", "mbar(a)"], 100.0; SiBrochure
    KPA_ABS = "kPa abs", ["kpaa", "kpa(a)", "kpaabsolute"], 1e3; SiBrochure
    BAR_ABS = "bar abs", ["bara", "bar(a)", "barabsolute"], 1e5; SiBrochure
    MPA_ABS = "MPa abs", ["mpaa", "mpa(a)", "mpaabsolute"], 1e6; SiBrochure
    PSIA = "psia", ["psiabs", "psiabsolute", "psi(a)"], PSI; NistSp811
    MICRON = "micron", ["microns", "mtorr", "um", "umhg", "µm", "µmhg", "μm", "μmhg"], TORR / 1e3; Torr
    TORR_ABS = "Torr", ["torrabs"], TORR; Torr
    MMHG_ABS = "mmHg", ["mmhgabs", "mmhgabsolute"], MMHG; Torr
    INHG_ABS = "inHg absolute", ["inhgabs", "inhg(a)", "inhga"], INHG; NistSp811
    CMHG_ABS = "cmHg absolute", ["cmhgabs", "cmhga", "cmhg(a)"], 10.0 * MMHG; Torr
    KGF_CM2_ABS = "kgf/cm2 abs", ["kgf/cm2a", "kgf/cm2absolute", "kg/cm2a", "kg/cm2abs", "kg/cm2absolute", "kgf/cm²abs", "kg/cm²abs"], STANDARD_GRAVITY * 1e4; NistSp811
    ATM = "atm", [], 101_325.0; SiBrochure
}
units! { PressureGauge, PRESSURE_GAUGE_UNITS:
    PSIG = "psig", ["psi(g)", "psigauge", "lb/in2g"], PSI; NistSp811
    BAR_GAUGE = "bar gauge", ["barg", "bar(g)"], 1e5; SiBrochure
    KPA_GAUGE = "kPa gauge", ["kpag", "kpa(g)"], 1e3; SiBrochure
    MPA_GAUGE = "MPa gauge", ["mpag", "mpa(g)"], 1e6; SiBrochure
    HPA_GAUGE = "hPa gauge", ["hpag", "hpa(g)", "mbarg", "mbar(g)", "mbargauge"], 100.0; SiBrochure
    KGF_CM2_GAUGE = "kgf/cm2 gauge", ["kgf/cm2g", "kg/cm2g", "kg/cm2gauge", "kgf/cm²g", "kg/cm²g"], STANDARD_GRAVITY * 1e4; NistSp811
    /// Counted downwards from the atmosphere, so a reading of 29.9 is a gauge pressure of -29.9.
    INHG_VACUUM = "inHg vacuum", ["inhgvac", "inhgv", "inhg(vacuum)", "inhgbelowatmosphere"], -INHG; NistSp811
    /// Counted downwards like inHg vacuum.
    CMHG_VACUUM = "cmHg vacuum", ["cmhgvac", "cmhgv", "cmhg(vacuum)"], -10.0 * MMHG; Torr
}
units! { PressureDiff, PRESSURE_DIFF_UNITS:
    PSI_DIFF = "psi", ["lb/in2"], PSI; NistSp811
    PA_DIFF = "Pa", ["pascal"], 1.0; SiBrochure
    HPA_DIFF = "hPa", [], 100.0; SiBrochure
    MBAR_DIFF = "mbar", [], 100.0; SiBrochure
    KPA_DIFF = "kPa", [], 1e3; SiBrochure
    BAR_DIFF = "bar", [], 1e5; SiBrochure
    MPA_DIFF = "MPa", [], 1e6; SiBrochure
    MICRON_DIFF = "micron", ["microns", "mtorr"], TORR / 1e3; Torr
    INHG_DIFF = "inHg", [], INHG; NistSp811
}
units! { Temperature, TEMPERATURE_UNITS:
    KELVIN = "K", ["kelvin"], 1.0; SiBrochure
    CELSIUS = "°C", ["c", "degc", "celsius"], 1.0, + 273.15; SiBrochure
    FAHRENHEIT = "°F", ["f", "degf", "fahrenheit"], 5.0 / 9.0, + 459.67 * 5.0 / 9.0; NistSp811
}
units! { TemperatureDiff, TEMPERATURE_DIFF_UNITS:
    KELVIN_DIFF = "K", ["kelvin", "c", "degc", "°c", "celsius"], 1.0; SiBrochure
    FAHRENHEIT_DIFF = "°F", ["f", "degf", "fahrenheit"], 5.0 / 9.0; NistSp811
}
units! { Mass, MASS_UNITS:
    KILOGRAM = "kg", ["kilogram", "kilograms"], 1.0; SiBrochure
    GRAM = "g", ["gram", "grams"], 1e-3; SiBrochure
    POUND_MASS = "lb", ["lbs", "pound", "pounds"], POUND; YardPound
    OUNCE_MASS = "oz", ["ounce", "ounces"], OUNCE; YardPound
}
units! { Length, LENGTH_UNITS:
    METRE = "m", ["metre", "metres", "meter", "meters"], 1.0; SiBrochure
    MILLIMETRE = "mm", [], 1e-3; SiBrochure
    CENTIMETRE = "cm", [], 1e-2; SiBrochure
    FOOT_LENGTH = "ft", ["foot", "feet", "'"], FOOT; YardPound
    INCH_LENGTH = "in", ["inch", "inches", "\""], INCH; YardPound
}
units! { Area, AREA_UNITS:
    SQUARE_METRE = "m2", ["m²", "sqm"], 1.0; SiBrochure
    SQUARE_FOOT = "ft2", ["ft²", "sqft"], FOOT * FOOT; YardPound
    SQUARE_MILLIMETRE = "mm2", ["mm²"], 1e-6; SiBrochure
}
units! { Volume, VOLUME_UNITS:
    LITRE = "L", ["litre", "litres", "liter", "liters"], 1e-3; SiBrochure
    MILLILITRE = "mL", ["cm3", "cm³", "cc"], 1e-6; SiBrochure
    CUBIC_METRE = "m3", ["m³"], 1.0; SiBrochure
    CUBIC_FOOT = "ft3", ["ft³", "cuft"], FOOT * FOOT * FOOT; YardPound
    CUBIC_INCH = "in3", ["in³", "cuin"], INCH * INCH * INCH; YardPound
}
units! { Duration, DURATION_UNITS:
    SECOND = "s", ["sec", "second", "seconds"], 1.0; SiBrochure
    MINUTE = "min", ["minute", "minutes"], 60.0; SiBrochure
    HOUR_DURATION = "h", ["hr", "hrs", "hour", "hours"], HOUR; SiBrochure
    DAY_DURATION = "d", ["day", "days"], DAY; SiBrochure
}
units! { MassPerLength, MASS_PER_LENGTH_UNITS:
    GRAM_PER_METRE = "g/m", [], 1e-3; SiBrochure
    KILOGRAM_PER_METRE = "kg/m", [], 1.0; SiBrochure
    OUNCE_PER_FOOT = "oz/ft", [], OUNCE / FOOT; YardPound
    POUND_PER_FOOT = "lb/ft", [], POUND / FOOT; YardPound
}
units! { Density, DENSITY_UNITS:
    KILOGRAM_PER_CUBIC_METRE = "kg/m3", ["kg/m³"], 1.0; SiBrochure
    POUND_PER_CUBIC_FOOT = "lb/ft3", ["lb/ft³"], POUND / (FOOT * FOOT * FOOT); YardPound
}
units! { SpecificEnthalpy, SPECIFIC_ENTHALPY_UNITS:
    KILOJOULE_PER_KILOGRAM = "kJ/kg", [], 1e3; SiBrochure
    JOULE_PER_KILOGRAM = "J/kg", [], 1.0; SiBrochure
    BTU_PER_POUND = "Btu/lb", [], BTU_PER_LB; NistSp811
}
units! { SpecificEntropy, SPECIFIC_ENTROPY_UNITS:
    KILOJOULE_PER_KILOGRAM_KELVIN = "kJ/(kg K)", ["kj/kgk", "kj/kg/k", "kj/(kg·k)"], 1e3; SiBrochure
    JOULE_PER_KILOGRAM_KELVIN = "J/(kg K)", ["j/kgk", "j/kg/k", "j/(kg·k)"], 1.0; SiBrochure
    BTU_PER_POUND_FAHRENHEIT = "Btu/(lb °F)", ["btu/lbf", "btu/lb/f"], BTU_PER_LB * 1.8; NistSp811
}
units! { HeatCapacity, HEAT_CAPACITY_UNITS:
    KILOJOULE_PER_KILOGRAM_KELVIN_HEAT = "kJ/(kg K)", ["kj/kgk", "kj/kg/k", "kj/(kg·k)"], 1e3; SiBrochure
    JOULE_PER_KILOGRAM_KELVIN_HEAT = "J/(kg K)", ["j/kgk", "j/kg/k", "j/(kg·k)"], 1.0; SiBrochure
    BTU_PER_POUND_FAHRENHEIT_HEAT = "Btu/(lb °F)", ["btu/lbf", "btu/lb/f"], BTU_PER_LB * 1.8; NistSp811
}
units! { Viscosity, VISCOSITY_UNITS:
    MICROPASCAL_SECOND = "µPa s", ["upas", "μpas", "µpa·s"], 1e-6; SiBrochure
    PASCAL_SECOND = "Pa s", ["pa·s"], 1.0; SiBrochure
    POUND_PER_FOOT_HOUR = "lb/(ft h)", ["lb/fth", "lb/ft/h"], POUND / (FOOT * HOUR); YardPound
}
units! { Torque, TORQUE_UNITS:
    NEWTON_METRE = "N m", ["nm", "n·m", "n*m"], 1.0; SiBrochure
    FOOT_POUND = "ft lb", ["ftlb", "ft-lb", "ftlbf", "ft-lbf", "lbft", "lb-ft", "lbfft", "ft·lb"], FT_LB; NistSp811
    INCH_POUND = "in lb", ["inlb", "in-lb", "inlbf", "in-lbf"], FT_LB / 12.0; NistSp811
}
units! { PressureRate, PRESSURE_RATE_UNITS:
    PSI_PER_HOUR = "psi/h", ["psi/hr", "psi/hour"], PSI / HOUR; NistSp811
    PA_PER_SECOND = "Pa/s", [], 1.0; SiBrochure
    KPA_PER_HOUR = "kPa/h", ["kpa/hr"], 1e3 / HOUR; SiBrochure
    BAR_PER_HOUR = "bar/h", ["bar/hr"], 1e5 / HOUR; SiBrochure
}
units! { RiseRate, RISE_RATE_UNITS:
    MICRON_PER_MINUTE = "micron/min", ["microns/min", "mtorr/min", "um/min"], TORR / 1e3 / 60.0; Torr
    PA_PER_SECOND_RISE = "Pa/s", [], 1.0; SiBrochure
    PA_PER_MINUTE = "Pa/min", [], 1.0 / 60.0; SiBrochure
}
units! { LeakRate, LEAK_RATE_UNITS:
    PA_M3_PER_S = "Pa m3/s", ["pa·m3/s", "pa*m3/s", "pa·m³/s"], 1.0; SiBrochure
    MBAR_L_PER_S = "mbar l/s", ["mbar·l/s", "mbar*l/s"], 0.1; SiBrochure
}
units! { MassRate, MASS_RATE_UNITS:
    KILOGRAM_PER_SECOND = "kg/s", [], 1.0; SiBrochure
    GRAM_PER_YEAR = "g/yr", ["g/a", "g/year", "gram/year"], 1e-3 / YEAR; SiBrochure
    OUNCE_PER_YEAR = "oz/yr", ["oz/a", "oz/year"], OUNCE / YEAR; YardPound
}
units! { Voltage, VOLTAGE_UNITS:
    VOLT = "V", ["volt", "volts", "vac"], 1.0; SiBrochure
}
units! { Current, CURRENT_UNITS:
    AMPERE = "A", ["amp", "amps", "ampere"], 1.0; SiBrochure
}
units! { Power, POWER_UNITS:
    KILOWATT = "kW", [], 1e3; SiBrochure
    WATT = "W", [], 1.0; SiBrochure
    BTU_PER_HOUR = "Btu/h", ["btuh", "btu/hr"], BTU_PER_LB * POUND / HOUR; NistSp811
    TON = "ton", ["tons", "tr"], 12_000.0 * BTU_PER_LB * POUND / HOUR; NistSp811
}
units! { VolumeFlow, VOLUME_FLOW_UNITS:
    CUBIC_FOOT_PER_MINUTE = "cfm", ["ft3/min", "ft³/min"], FOOT * FOOT * FOOT / 60.0; YardPound
    CUBIC_METRE_PER_HOUR = "m3/h", ["m³/h"], 1.0 / HOUR; SiBrochure
    LITRE_PER_SECOND = "L/s", [], 1e-3; SiBrochure
    CUBIC_METRE_PER_SECOND = "m3/s", ["m³/s"], 1.0; SiBrochure
}
units! { Fraction, FRACTION_UNITS:
    PERCENT = "%", ["percent"], 0.01; SiBrochure
    ONE = "of 1", [""], 1.0; SiBrochure
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Quantity;

    #[test]
    fn factors_agree_with_nist_sp_811_appendix_b() {
        // NIST SP 811 (2008) Appendix B.8, printed to 7 digits
        let close = |ours: f64, printed: f64| {
            assert!(
                (ours / printed - 1.0).abs() < 5e-7,
                "{ours} against {printed}"
            )
        };
        close(PressureAbs::of(1.0, PSIA).si(), 6.894757e3);
        close(PressureAbs::of(1.0, TORR_ABS).si(), 1.333224e2);
        close(PressureAbs::of(1.0, INHG_ABS).si(), 3.386389e3);
        close(Torque::of(1.0, FOOT_POUND).si(), 1.355818);
        close(Mass::of(1.0, OUNCE_MASS).si(), 2.834952e-2);
        close(Volume::of(1.0, CUBIC_FOOT).si(), 2.831685e-2);
        close(Density::of(1.0, POUND_PER_CUBIC_FOOT).si(), 1.601846e1);
        close(PressureGauge::of(1.0, KGF_CM2_GAUGE).si(), 9.80665e4);
        close(SpecificEnthalpy::of(1.0, BTU_PER_POUND).si(), 2.326e3);
        close(
            SpecificEntropy::of(1.0, BTU_PER_POUND_FAHRENHEIT).si(),
            4.1868e3,
        );
        close(
            HeatCapacity::of(1.0, BTU_PER_POUND_FAHRENHEIT_HEAT).si(),
            4.1868e3,
        );
        close(Viscosity::of(1.0, POUND_PER_FOOT_HOUR).si(), 4.133789e-4);
        close(PressureAbs::of(1.0, MICRON).si(), 0.133_322_4);
    }

    #[test]
    fn fixed_points_of_the_temperature_scales() {
        assert!((Temperature::of(32.0, FAHRENHEIT).in_unit(CELSIUS)).abs() < 1e-10);
        assert!((Temperature::of(-40.0, FAHRENHEIT).in_unit(CELSIUS) + 40.0).abs() < 1e-10);
        assert!((Temperature::of(0.01, CELSIUS).si() - 273.16).abs() < 1e-10);
    }

    #[test]
    fn every_unit_returns_what_went_in() {
        fn all<Q: Quantity>() {
            for u in Q::units() {
                assert!(
                    (u.from_si(u.to_si(12.5)) - 12.5).abs() < 1e-9,
                    "{}",
                    u.symbol
                );
            }
        }
        all::<PressureAbs>();
        all::<PressureGauge>();
        all::<Temperature>();
        all::<MassRate>();
        all::<Fraction>();
    }
}
