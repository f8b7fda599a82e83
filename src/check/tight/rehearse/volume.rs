//! Real gas shut into parts at their own temperatures, with one pressure.

use crate::fluid::{DryGas, DryGasError};
use crate::quantity::{PressureAbs, Quantity, Temperature};

/// Parts of one volume: share of the whole, temperature in K.
pub(super) type Parts = [(f64, f64); 3];

/// Gas in a unit volume at one pressure, kg per unit.
pub(super) fn held(gas: DryGas, pressure: f64, parts: &Parts) -> Result<f64, DryGasError> {
    let mut sum = 0.0;
    for (share, kelvin) in parts.iter().filter(|(share, _)| *share > 0.0) {
        let density = gas.density(
            PressureAbs::from_si(pressure),
            Temperature::from_si(*kelvin),
        )?;
        sum += share * density.si();
    }
    Ok(sum)
}

/// The pressure at which the parts hold this much gas, from a first guess.
pub(super) fn pressure_of(
    gas: DryGas,
    mass: f64,
    parts: &Parts,
    guess: f64,
) -> Result<f64, DryGasError> {
    let mut pressure = guess;
    for _ in 0..MOST_STEPS {
        let next = pressure * mass / held(gas, pressure, parts)?;
        let moved = (next / pressure - 1.0).abs();
        pressure = next;
        if moved < CLOSE {
            break;
        }
    }
    Ok(pressure)
}

/// A gas is nearly ideal here, so each step leaves a twentieth of the error.
const MOST_STEPS: usize = 30;
const CLOSE: f64 = 1e-9;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_part_is_a_sealed_volume() {
        for gas in DryGas::ALL {
            let first = 35.0e5;
            let mass = held(gas, first, &[(1.0, 290.0), (0.0, 0.0), (0.0, 0.0)]).unwrap();
            let warm = [(0.6, 305.0), (0.4, 305.0), (0.0, 0.0)];
            let found = pressure_of(gas, mass, &warm, first).unwrap();
            let exact = gas
                .sealed_pressure(
                    PressureAbs::from_si(first),
                    Temperature::from_si(290.0),
                    Temperature::from_si(305.0),
                )
                .unwrap();
            assert!(
                (found / exact.si() - 1.0).abs() < 1e-7,
                "{gas}: {found} {}",
                exact.si()
            );
        }
    }
}
