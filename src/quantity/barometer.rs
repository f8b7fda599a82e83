//! The local atmosphere: what a gauge's zero means here.

use crate::source::SourceId;

use super::{Length, PressureAbs, PressureGauge, Quantity, unit};

/// The local atmospheric pressure, and how it is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Barometer {
    pressure: PressureAbs,
    known_by: KnownBy,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum KnownBy {
    Standard,
    Station,
    Altitude(Length),
}

/// What can be wrong with an atmosphere or a reading against it.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum BarometerError {
    /// Station pressure outside what occurs on land.
    #[error(
        "barometer {:.2} kPa: station pressure on land lies between 50 and 110 kPa; give the pressure at the place itself, not reduced to sea level, or use the altitude",
        pressure.si() / 1e3
    )]
    Station {
        /// What was given.
        pressure: PressureAbs,
    },
    /// Altitude outside the formula's use here.
    #[error("altitude {:.0} m ({:.0} ft): the standard atmosphere is used here from -430 to 5,500 m (-1,400 to 18,000 ft); check the unit, or give the barometer", altitude.si(), altitude.in_unit(unit::FOOT_LENGTH))]
    Altitude {
        /// What was given.
        altitude: Length,
    },
    /// A gauge reading lower than a perfect vacuum.
    #[error(
        "gauge pressure {:.2} psig: a perfect vacuum at {} is {:.2} psig on a gauge; check the sign, the unit, and whether the reading is absolute",
        gauge.in_unit(unit::PSIG), barometer.words(), -barometer.pressure().in_unit(unit::PSIA)
    )]
    BelowVacuum {
        /// What was given.
        gauge: PressureGauge,
        /// The atmosphere used.
        barometer: Barometer,
    },
}

impl Barometer {
    /// Sea level: 101.325 kPa.
    pub const fn standard() -> Self {
        Barometer {
            pressure: PressureAbs(101_325.0),
            known_by: KnownBy::Standard,
        }
    }

    /// From a barometer at the place (station pressure, not reduced to sea level).
    ///
    /// Valid from 50 to 110 kPa.
    pub fn station(pressure: PressureAbs) -> Result<Self, BarometerError> {
        if !(50e3..=110e3).contains(&pressure.si()) {
            return Err(BarometerError::Station { pressure });
        }
        Ok(Barometer {
            pressure,
            known_by: KnownBy::Station,
        })
    }

    /// From the altitude by the standard atmosphere.
    ///
    /// `p = 101.325 kPa (1 - 2.25577e-5 h)^5.25588`, h in m, from -430 m to 5,500 m. Weather moves the true
    /// pressure by about 1 %. Source: ICAO standard atmosphere.
    ///
    /// ```
    /// use lineproof::quantity::{Barometer, Length, Quantity, unit};
    /// let b = Barometer::at_altitude(Length::of(6000.0, unit::FOOT_LENGTH)).unwrap();
    /// assert!((b.pressure().in_unit(unit::PSIA) - 11.78).abs() < 0.01);
    /// ```
    pub fn at_altitude(altitude: Length) -> Result<Self, BarometerError> {
        let h = altitude.si();
        if !(-430.0..=5500.0).contains(&h) {
            return Err(BarometerError::Altitude { altitude });
        }
        let pressure = PressureAbs(101_325.0 * (1.0 - 2.25577e-5 * h).powf(5.25588));
        Ok(Barometer {
            pressure,
            known_by: KnownBy::Altitude(altitude),
        })
    }

    /// The absolute pressure of the atmosphere.
    pub fn pressure(self) -> PressureAbs {
        self.pressure
    }

    /// How it is known, in words for a screen.
    pub fn words(self) -> String {
        let (kpa, psia) = (self.pressure.si() / 1e3, self.pressure.in_unit(unit::PSIA));
        let how = match self.known_by {
            KnownBy::Standard => "sea level, as no altitude was given".to_string(),
            KnownBy::Station => "barometer".to_string(),
            KnownBy::Altitude(h) => {
                let (metres, feet) = (h.si(), h.in_unit(unit::FOOT_LENGTH));
                format!("standard atmosphere at {metres:.0} m, {feet:.0} ft")
            }
        };
        format!("{kpa:.2} kPa, {psia:.2} psia ({how})")
    }

    /// Where it comes from: the standard atmosphere, unless it was measured.
    pub fn source(self) -> Option<SourceId> {
        match self.known_by {
            KnownBy::Station => None,
            KnownBy::Standard | KnownBy::Altitude(_) => Some(SourceId::IcaoAtmosphere),
        }
    }

    /// Standard uncertainty of the pressure: weather for an assumed atmosphere, 0.5 hPa for a barometer.
    ///
    /// Common practice, no source: weather moves station pressure by about +-20 hPa, taken as a limit.
    pub fn standard_uncertainty(self) -> super::PressureDiff {
        let limit = match self.known_by {
            KnownBy::Station => 50.0,
            KnownBy::Standard | KnownBy::Altitude(_) => 2000.0,
        };
        super::PressureDiff(limit / 3f64.sqrt())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn altitude_agrees_with_the_icao_tables() {
        // ICAO Doc 7488 table values: 1,000 m 89,874.6 Pa; 3,000 m 70,108.5 Pa (geopotential altitude)
        for (metres, pa) in [(0.0, 101_325.0), (1000.0, 89_874.6), (3000.0, 70_108.5)] {
            let b = Barometer::at_altitude(Length::of(metres, unit::METRE)).unwrap();
            assert!((b.pressure().si() / pa - 1.0).abs() < 2e-5, "{metres} m");
        }
    }

    #[test]
    fn below_a_perfect_vacuum_is_an_error_with_the_limit() {
        let error = PressureGauge::of(-20.0, unit::PSIG)
            .to_abs(Barometer::standard())
            .unwrap_err();
        assert!(error.to_string().contains("-14.70 psi"), "{error}");
    }
}
