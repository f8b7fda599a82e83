//! Moist air at a place's atmosphere: humidity ratio, wet bulb, dew point, enthalpy, density.
//!
//! Perfect-gas relations of ASHRAE Handbook Fundamentals 2017, chapter 1; equation numbers here are its (read
//! second-hand). Range: -100 to 200 °C.
//!
//! Departures:
//! - Saturation by [`water`] (IAPWS) in place of equations 5 and 6 (Hyland & Wexler): 0.033 % at most, at -50 °C.
//! - Ice ends at the triple point, 0.01 °C, not at 0 °C, so that nothing jumps there but the wet bulb.
//! - Coefficients of the SI edition; the inch-pound edition rounds its own: 0.3 % in the humidity ratio over an iced
//!   wick.
//!
//! As in the source, water vapour in air is taken as if it were alone: saturated air at room temperature holds 0.4 %
//! more than said here, at 85 °C 1.2 %.
//!
//! Relative humidity below freezing is relative to ice; weather services mostly state it relative to liquid water.

use super::water::{self, Phase};
use crate::quantity::{
    Barometer, Density, Fraction, PressureAbs, Quantity, SpecificEnthalpy, Temperature, both, unit,
};
use crate::source::SourceId;

/// The equations used.
pub const SOURCE: SourceId = SourceId::AshraeMoistAir;

/// Lowest and highest temperature, K.
pub const TEMPERATURES: (f64, f64) = (173.15, 473.15);

/// Molar mass of water over that of dry air.
const MOLAR_RATIO: f64 = 0.621_945;
/// Of dry air, J/(kg K).
const GAS_CONSTANT: f64 = 287.042;
/// What rounding may put above saturation, and in K beyond the range: -100 °C is a hair below 173.15 K.
const ROUNDING: f64 = 1e-9;

/// Readings that no moist air has.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum AirError {
    /// Temperature outside the range.
    #[error(
        "{what} {}: moist air is computed from -148 to 392 °F (-100 to 200 °C); check the thermometer and its unit",
        both(*temperature)
    )]
    Temperature {
        /// "dry bulb", "wet bulb" or "dew point".
        what: &'static str,
        /// What was given.
        temperature: Temperature,
    },
    /// A wet bulb or dew point warmer than the air.
    #[error(
        "{what} {} above the dry bulb {}: it lies at or below it; check whether the two readings are swapped",
        both(*temperature), both(*dry_bulb)
    )]
    AboveDryBulb {
        /// "wet bulb" or "dew point".
        what: &'static str,
        /// What was given.
        temperature: Temperature,
        /// The air's temperature.
        dry_bulb: Temperature,
    },
    /// A wet bulb colder than bone-dry air would make it.
    #[error(
        "wet bulb {} in air of {}: air without any water would hold it at {}, and no air goes below; check both thermometers, and their units",
        both(*wet_bulb), both(*dry_bulb), both(*lowest)
    )]
    WetBulbTooLow {
        /// What was given.
        wet_bulb: Temperature,
        /// The air's temperature.
        dry_bulb: Temperature,
        /// The wet bulb of dry air.
        lowest: Temperature,
    },
    /// Relative humidity outside nothing to all.
    #[error(
        "relative humidity {}: it lies between 0 and 100 %; check the instrument, and whether a share or percent was meant",
        both(*share)
    )]
    RelativeHumidity {
        /// What was given.
        share: Fraction,
    },
    /// Not an amount of water.
    #[error("humidity ratio {} kg/kg: it is water over dry air by mass, zero or more; check its sign", ratio.si())]
    HumidityRatio {
        /// What was given.
        ratio: Fraction,
    },
    /// More water than the air can hold as vapour.
    #[error(
        "humidity ratio {:.5} kg/kg in air of {}: it holds {:.5} at most as vapour; check the temperature and the unit",
        ratio.si(), both(*dry_bulb), most.si()
    )]
    Supersaturated {
        /// What was given.
        ratio: Fraction,
        /// The air's temperature.
        dry_bulb: Temperature,
        /// Of saturated air.
        most: Fraction,
    },
    /// The vapour alone would have the pressure of the atmosphere.
    #[error(
        "{what} {}: the vapour alone would reach the atmosphere, {}: that is steam, not air; check the reading and its unit",
        both(*temperature), barometer.words()
    )]
    Steam {
        /// "dry bulb", "wet bulb" or "dew point".
        what: &'static str,
        /// What was given.
        temperature: Temperature,
        /// The atmosphere.
        barometer: Barometer,
    },
    /// Air with too little water to have the temperature asked for within the range.
    #[error(
        "the {what} of this air lies below -148 °F (-100 °C), as it holds almost no water; check the humidity"
    )]
    TooDry {
        /// "wet bulb" or "dew point".
        what: &'static str,
    },
}

/// Air with its water vapour at one place.
///
/// ```
/// use lineproof::fluid::air::MoistAir;
/// use lineproof::quantity::{Barometer, Length, Quantity, Temperature, unit};
/// let at_altitude = Barometer::at_altitude(Length::of(5280.0, unit::FOOT_LENGTH))?;
/// let [dry, wet] = [80.0, 67.0].map(|t| Temperature::of(t, unit::FAHRENHEIT));
/// let sea = MoistAir::of_wet_bulb(dry, wet, Barometer::standard())?;
/// let high = MoistAir::of_wet_bulb(dry, wet, at_altitude)?;
/// assert!((sea.enthalpy().in_unit(unit::KILOJOULE_PER_KILOGRAM) - 55.3).abs() < 0.1);
/// assert!(high.density().si() < 0.83 * sea.density().si());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoistAir {
    dry_bulb: Temperature,
    /// Water over dry air by mass.
    ratio: f64,
    /// At the dry bulb, Pa.
    saturation: f64,
    barometer: Barometer,
}

impl MoistAir {
    /// From the temperatures of a dry and a wet thermometer in moving air.
    ///
    /// With `t`, `t*` in °C and `W*` the humidity ratio of saturated air at `t*`:
    /// `W = ((2501 - 2.326 t*) W* - 1.006 (t - t*)) / (2501 + 1.86 t - 4.186 t*)` (33) over water,
    /// `W = ((2830 - 0.24 t*) W* - 1.006 (t - t*)) / (2830 + 1.86 t - 2.1 t*)` (35) over an iced wick.
    ///
    /// A wick below 0.01 °C counts as iced.
    pub fn of_wet_bulb(
        dry_bulb: Temperature,
        wet_bulb: Temperature,
        barometer: Barometer,
    ) -> Result<MoistAir, AirError> {
        let saturation = check_below("wet bulb", wet_bulb, dry_bulb)?;
        let (_, phase) = vapour("wet bulb", wet_bulb, barometer)?;
        let ratio = ratio_of_wet_bulb(dry_bulb.si(), wet_bulb.si(), phase, barometer);
        let air = |ratio| MoistAir {
            dry_bulb,
            ratio,
            saturation,
            barometer,
        };
        if ratio < 0.0 {
            return Err(AirError::WetBulbTooLow {
                wet_bulb,
                dry_bulb,
                lowest: air(0.0).wet_bulb()?,
            });
        }
        Ok(air(ratio))
    }

    /// From the relative humidity: `p_w = phi p_ws(t)` (22), then as [`MoistAir::of_dew_point`].
    pub fn of_relative_humidity(
        dry_bulb: Temperature,
        relative_humidity: Fraction,
        barometer: Barometer,
    ) -> Result<MoistAir, AirError> {
        if !(0.0..=1.0).contains(&relative_humidity.si()) {
            return Err(AirError::RelativeHumidity {
                share: relative_humidity,
            });
        }
        let (saturation, _) = saturation("dry bulb", dry_bulb)?;
        let p_w = relative_humidity.si() * saturation;
        if p_w >= barometer.pressure().si() {
            return Err(AirError::Steam {
                what: "dry bulb",
                temperature: dry_bulb,
                barometer,
            });
        }
        Ok(MoistAir {
            dry_bulb,
            ratio: ratio_of_vapour(p_w, barometer),
            saturation,
            barometer,
        })
    }

    /// From the dew (or frost) point: `p_w = p_ws(t_d)` (36), `W = 0.621945 p_w / (p - p_w)` (20).
    pub fn of_dew_point(
        dry_bulb: Temperature,
        dew_point: Temperature,
        barometer: Barometer,
    ) -> Result<MoistAir, AirError> {
        let saturation = check_below("dew point", dew_point, dry_bulb)?;
        let (p_w, _) = vapour("dew point", dew_point, barometer)?;
        Ok(MoistAir {
            dry_bulb,
            ratio: ratio_of_vapour(p_w, barometer),
            saturation,
            barometer,
        })
    }

    /// From the humidity ratio, kg of water to a kg of dry air.
    pub fn of_humidity_ratio(
        dry_bulb: Temperature,
        ratio: Fraction,
        barometer: Barometer,
    ) -> Result<MoistAir, AirError> {
        if !(0.0..f64::INFINITY).contains(&ratio.si()) {
            return Err(AirError::HumidityRatio { ratio });
        }
        let (saturation, _) = saturation("dry bulb", dry_bulb)?;
        let air = MoistAir {
            dry_bulb,
            ratio: ratio.si(),
            saturation,
            barometer,
        };
        if air.vapour_pressure().si() > saturation * (1.0 + ROUNDING) {
            return Err(AirError::Supersaturated {
                ratio,
                dry_bulb,
                most: Fraction::from_si(ratio_of_vapour(saturation, barometer)),
            });
        }
        Ok(air)
    }

    /// The air's temperature.
    pub fn dry_bulb(self) -> Temperature {
        self.dry_bulb
    }

    /// Water over dry air by mass.
    pub fn humidity_ratio(self) -> Fraction {
        Fraction::from_si(self.ratio)
    }

    /// `p_w = p W / (0.621945 + W)` (20).
    pub fn vapour_pressure(self) -> PressureAbs {
        let p = self.barometer.pressure().si();
        PressureAbs::from_si(p * self.ratio / (MOLAR_RATIO + self.ratio))
    }

    /// `phi = p_w / p_ws(t)` (22), below freezing relative to ice.
    pub fn relative_humidity(self) -> Fraction {
        Fraction::from_si(self.vapour_pressure().si() / self.saturation)
    }

    /// The temperature at which the vapour saturates: dew point, below freezing frost point.
    pub fn dew_point(self) -> Result<Temperature, AirError> {
        let dry = AirError::TooDry { what: "dew point" };
        let (at, _) = water::boiling_temperature(self.vapour_pressure()).map_err(|_| dry)?;
        if at.si() < TEMPERATURES.0 {
            return Err(dry);
        }
        Ok(at)
    }

    /// The temperature of a wet thermometer in this air: equations 33 and 35 solved for `t*` by bisection.
    ///
    /// Just below freezing an iced wick and a wet one may both be possible; then it is the wet one.
    pub fn wet_bulb(self) -> Result<Temperature, AirError> {
        let too_wet = |wet: f64, phase| {
            ratio_of_wet_bulb(self.dry_bulb.si(), wet, phase, self.barometer) > self.ratio
        };
        let between = |mut low: f64, mut high: f64, phase| {
            // 53 halvings leave nothing of a double
            for _ in 0..53 {
                let middle = 0.5 * (low + high);
                if too_wet(middle, phase) {
                    high = middle;
                } else {
                    low = middle;
                }
            }
            Temperature::from_si(0.5 * (low + high))
        };
        let (coldest, dry_bulb) = (TEMPERATURES.0, self.dry_bulb.si());
        if dry_bulb >= water::TRIPLE_TEMPERATURE
            && !too_wet(water::TRIPLE_TEMPERATURE, Phase::Liquid)
        {
            return Ok(between(water::TRIPLE_TEMPERATURE, dry_bulb, Phase::Liquid));
        }
        if too_wet(coldest, Phase::Ice) {
            return Err(AirError::TooDry { what: "wet bulb" });
        }
        let warmest_ice = dry_bulb.min(water::TRIPLE_TEMPERATURE);
        Ok(between(coldest, warmest_ice, Phase::Ice))
    }

    /// Enthalpy over the mass of *dry* air: `h = 1.006 t + W (2501 + 1.86 t)` kJ/kg, t in °C (30).
    ///
    /// Zero is dry air and liquid water at 0 °C. American charts count from 0 °F, 7.68 Btu/lb more; differences agree.
    pub fn enthalpy(self) -> SpecificEnthalpy {
        let t = self.dry_bulb.in_unit(unit::CELSIUS);
        SpecificEnthalpy::of(
            1.006 * t + self.ratio * (2501.0 + 1.86 * t),
            unit::KILOJOULE_PER_KILOGRAM,
        )
    }

    /// Dry air in a cubic metre, one over the specific volume `v = 287.042 T (1 + 1.607858 W) / p` m3/kg (26).
    pub fn dry_air_density(self) -> Density {
        let p = self.barometer.pressure().si();
        let volume = GAS_CONSTANT * self.dry_bulb.si() * (1.0 + self.ratio / MOLAR_RATIO) / p;
        Density::from_si(1.0 / volume)
    }

    /// Density of the air with its vapour: `(1 + W) / v` (11).
    pub fn density(self) -> Density {
        Density::from_si((1.0 + self.ratio) * self.dry_air_density().si())
    }
}

/// Saturation pressure, Pa, and over what.
fn saturation(what: &'static str, temperature: Temperature) -> Result<(f64, Phase), AirError> {
    let outside = AirError::Temperature { what, temperature };
    let (low, high) = (TEMPERATURES.0 - ROUNDING, TEMPERATURES.1 + ROUNDING);
    if !(low..=high).contains(&temperature.si()) {
        return Err(outside);
    }
    let (pressure, phase) = water::vapour_pressure(temperature).map_err(|_| outside)?;
    Ok((pressure.si(), phase))
}

/// Saturation pressure, Pa, of vapour that is in the air.
fn vapour(
    what: &'static str,
    temperature: Temperature,
    barometer: Barometer,
) -> Result<(f64, Phase), AirError> {
    let (p, phase) = saturation(what, temperature)?;
    if p >= barometer.pressure().si() {
        return Err(AirError::Steam {
            what,
            temperature,
            barometer,
        });
    }
    Ok((p, phase))
}

/// Saturation pressure at the dry bulb, Pa, if the other temperature is not above it.
fn check_below(
    what: &'static str,
    temperature: Temperature,
    dry_bulb: Temperature,
) -> Result<f64, AirError> {
    let (saturation, _) = saturation("dry bulb", dry_bulb)?;
    if temperature > dry_bulb {
        return Err(AirError::AboveDryBulb {
            what,
            temperature,
            dry_bulb,
        });
    }
    Ok(saturation)
}

/// Equation 20; without bound where the vapour reaches the atmosphere.
fn ratio_of_vapour(p_w: f64, barometer: Barometer) -> f64 {
    let p = barometer.pressure().si();
    if p_w < p {
        MOLAR_RATIO * p_w / (p - p_w)
    } else {
        f64::INFINITY
    }
}

/// Equations 33 and 35 for temperatures in K within the range; negative where no air is as dry.
fn ratio_of_wet_bulb(dry: f64, wet: f64, phase: Phase, barometer: Barometer) -> f64 {
    let saturated = water::vapour_pressure(Temperature::from_si(wet))
        .map_or(f64::INFINITY, |(p, _)| ratio_of_vapour(p.si(), barometer));
    let (t, wet) = (dry - 273.15, wet - 273.15);
    let (latent, falling, over) = match phase {
        Phase::Liquid => (2501.0, 2.326, 4.186),
        Phase::Ice => (2830.0, 0.24, 2.1),
    };
    ((latent - falling * wet) * saturated - 1.006 * (t - wet)) / (latent + 1.86 * t - over * wet)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Length;

    fn celsius(t: f64) -> Temperature {
        Temperature::of(t, unit::CELSIUS)
    }

    fn share(x: f64) -> Fraction {
        Fraction::from_si(x)
    }

    const SEA: Barometer = Barometer::standard();

    #[test]
    fn saturated_air_has_one_temperature() {
        for t in [-60.0, -20.0, -0.5, 0.5, 20.0, 60.0, 99.0].map(celsius) {
            let air = MoistAir::of_relative_humidity(t, share(1.0), SEA).unwrap();
            assert!((air.wet_bulb().unwrap() - t).si().abs() < 1e-9);
            assert!((air.dew_point().unwrap() - t).si().abs() < 1e-6);
            let same = MoistAir::of_wet_bulb(t, t, SEA).unwrap();
            assert!((same.ratio / air.ratio - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn near_freezing_the_wet_wick_is_given() {
        let dry = celsius(5.0);
        let iced = MoistAir::of_wet_bulb(dry, celsius(-0.2), SEA).unwrap();
        let wet = iced.wet_bulb().unwrap();
        assert!(wet.in_unit(unit::CELSIUS) > 0.01);
        let again = MoistAir::of_wet_bulb(dry, wet, SEA).unwrap();
        assert!((again.ratio / iced.ratio - 1.0).abs() < 1e-9);
        // colder, only ice is possible
        let cold = celsius(-2.0);
        let air = MoistAir::of_wet_bulb(dry, cold, SEA).unwrap();
        assert!((air.wet_bulb().unwrap() - cold).si().abs() < 1e-9);
    }

    #[test]
    fn dry_air_has_a_wet_bulb_and_no_dew_point() {
        let air = MoistAir::of_relative_humidity(celsius(30.0), share(0.0), SEA).unwrap();
        let wet = air.wet_bulb().unwrap().in_unit(unit::CELSIUS);
        assert!((10.0..11.0).contains(&wet), "{wet}");
        assert_eq!(air.dew_point(), Err(AirError::TooDry { what: "dew point" }));
        let coldest = MoistAir::of_humidity_ratio(celsius(-100.0), share(0.0), SEA).unwrap();
        assert_eq!(
            coldest.wet_bulb(),
            Err(AirError::TooDry { what: "wet bulb" })
        );
    }

    #[test]
    fn impossible_readings_are_errors_that_say_what_is_possible() {
        let says = |result: Result<MoistAir, AirError>, text: &str| {
            assert_eq!(result.unwrap_err().to_string(), text);
        };
        says(
            MoistAir::of_wet_bulb(celsius(20.0), celsius(25.0), SEA),
            "wet bulb 77.0 °F (25.0 °C) above the dry bulb 68.0 °F (20.0 °C): it lies at or below it; check whether the two readings are swapped",
        );
        let error = MoistAir::of_wet_bulb(celsius(30.0), celsius(5.0), SEA).unwrap_err();
        assert!(matches!(error, AirError::WetBulbTooLow { lowest, .. }
            if (10.0..11.0).contains(&lowest.in_unit(unit::CELSIUS))));
        says(
            MoistAir::of_relative_humidity(celsius(20.0), share(1.2), SEA),
            "relative humidity 120.0 %: it lies between 0 and 100 %; check the instrument, and whether a share or percent was meant",
        );
        says(
            MoistAir::of_relative_humidity(celsius(250.0), share(0.2), SEA),
            "dry bulb 482.0 °F (250.0 °C): moist air is computed from -148 to 392 °F (-100 to 200 °C); check the thermometer and its unit",
        );
        says(
            MoistAir::of_humidity_ratio(celsius(20.0), share(0.03), SEA),
            "humidity ratio 0.03000 kg/kg in air of 68.0 °F (20.0 °C): it holds 0.01470 at most as vapour; check the temperature and the unit",
        );
        let high = Barometer::at_altitude(Length::of(3000.0, unit::METRE)).unwrap();
        for result in [
            MoistAir::of_relative_humidity(celsius(95.0), share(1.0), high),
            MoistAir::of_dew_point(celsius(95.0), celsius(92.0), high),
            MoistAir::of_wet_bulb(celsius(95.0), celsius(92.0), high),
        ] {
            assert!(matches!(result, Err(AirError::Steam { .. })), "{result:?}");
        }
        for ratio in [-0.001, f64::NAN, f64::INFINITY] {
            assert!(matches!(
                MoistAir::of_humidity_ratio(celsius(20.0), share(ratio), SEA),
                Err(AirError::HumidityRatio { .. })
            ));
        }
        assert!(MoistAir::of_relative_humidity(celsius(20.0), share(f64::NAN), SEA).is_err());
        assert!(MoistAir::of_dew_point(celsius(f64::NAN), celsius(1.0), SEA).is_err());
        assert!(MoistAir::of_dew_point(celsius(20.0), celsius(f64::NAN), SEA).is_err());
    }
}
