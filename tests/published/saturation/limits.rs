//! How far a source may differ from a table.

use lineproof::fluid::Saturation;
use lineproof::fluid::refrigerant::Side;
use lineproof::quantity::{PressureAbs, Quantity};

use crate::compare::{half_digit, half_last_digit};

/// In temperature at a printed pressure.
#[derive(Clone, Copy)]
pub enum Kelvin {
    Fixed(f64),
    /// As a share of the pressure, beside half a printed digit of it.
    ShareOfPressure(f64),
}

/// In kJ/kg, beyond half a printed digit.
#[derive(Clone, Copy)]
pub struct Enthalpy {
    pub liquid: f64,
    pub vapour: f64,
}

/// The limits of one source for one refrigerant.
#[derive(Clone, Copy)]
pub struct Limits {
    pub kelvin: Kelvin,
    /// As a share, beyond half a printed digit.
    pub liquid_density: f64,
    pub vapour_density: f64,
    pub enthalpy: Enthalpy,
    /// Significant digits of the source, where the file may have dropped a last zero; without, what stands in it.
    pub digits: Option<i32>,
}

impl Limits {
    /// The same equation as the table's: pressure to `kelvin`, the rest to the printed digit.
    pub const fn same_equation(kelvin: Kelvin) -> Limits {
        Limits {
            kelvin,
            liquid_density: 1e-5,
            vapour_density: 1e-5,
            enthalpy: Enthalpy {
                liquid: 1e-3,
                vapour: 1e-3,
            },
            digits: None,
        }
    }

    /// A source that has pressures only.
    pub const fn pressure(kelvin: Kelvin) -> Limits {
        Limits::same_equation(kelvin)
    }

    /// K at a printed pressure.
    pub fn kelvin_at(&self, table: &Saturation, side: Side, kpa: &str) -> f64 {
        match self.kelvin {
            Kelvin::Fixed(kelvin) => kelvin,
            Kelvin::ShareOfPressure(share) => {
                let pressure = 1e3 * kpa.parse::<f64>().unwrap();
                let pascal = share * pressure + 1e3 * self.half_digit(kpa);
                let slope = table.slope(side, PressureAbs::from_si(pressure)).unwrap();
                pascal * slope
            }
        }
    }

    /// Half a unit of the last printed digit.
    pub fn half_digit(&self, printed: &str) -> f64 {
        let in_file = half_last_digit(printed);
        let value: f64 = printed.parse().unwrap();
        self.digits
            .map_or(in_file, |digits| half_digit(value, digits).min(in_file))
    }
}
