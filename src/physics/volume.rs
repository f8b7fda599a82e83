//! The gas volume of a line set: from its tubes and its coil, or measured by expansion from a known volume.

use super::tube::Tube;
use crate::fluid::{DryGas, DryGasError};
use crate::quantity::{
    Length, Measured, Origin, PressureAbs, PressureDiff, Quantity, Temperature, Volume, both,
    propagate,
};
use crate::source::SourceId;

/// Standard uncertainty of a tube's volume from its nominal bore and its length, as a share.
pub const TUBE_U: f64 = 0.05;
/// Where that comes from.
pub const TUBE_SOURCE: SourceId = SourceId::VolumeOfTube;
/// Where the volume by expansion comes from.
pub const EXPANSION_SOURCE: SourceId = SourceId::VolumeByExpansion;

/// How far the gas of the two volumes may differ in temperature after some minutes of rest, one standard uncertainty, K.
const TEMPERATURE_U: f64 = 2.0;

/// A volume of which nothing but the number is stated: as well known as that of a tube.
pub fn stated(volume: Volume) -> Measured<Volume> {
    Measured {
        value: volume,
        standard_uncertainty: Volume::from_si(TUBE_U * volume.si()),
        origin: Origin::Reading("stated".into()),
    }
}

/// Why a volume cannot be measured so.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum VolumeError {
    /// The pressures are not in the order of an expansion.
    #[error(
        "{} in the reference, {} in both after the valve was opened, {} in the line before: gas flows from the reference into the line, so the pressure afterwards lies between the two; check which is which", both(*before), both(*after), both(*line)
    )]
    NoExpansion {
        /// In the reference before.
        before: PressureAbs,
        /// In both afterwards.
        after: PressureAbs,
        /// In the line before.
        line: PressureAbs,
    },
    /// The pressures hardly differ.
    #[error(
        "the pressure moved by {}, and the difference of two readings may be off by {}: that measures nothing; start with a higher pressure in the reference, or with a reference nearer the line's own volume", both(*moved), both(*gauge)
    )]
    TooLittle {
        /// The smaller of the two differences.
        moved: PressureDiff,
        /// Standard uncertainty of a difference.
        gauge: PressureDiff,
    },
    /// Outside the gas's equation.
    #[error("volume by expansion: {0}")]
    Gas(#[from] DryGasError),
}

/// The volume inside tubes: `sum pi d^2/4 L`, with 5 % standard uncertainty.
///
/// The tubes' errors are taken as one, as all come from one way of measuring. Source: [`TUBE_SOURCE`].
///
/// ```
/// use lineproof::physics::{tube::Tube, volume::of_tubes};
/// use lineproof::quantity::{Length, Quantity, unit};
/// let feet = |size| (Tube::annealed(size).unwrap(), Length::of(25.0, unit::FOOT_LENGTH));
/// let lines = of_tubes(&[feet("3/8"), feet("3/4")]);
/// assert!((lines.value.in_unit(unit::LITRE) - 2.16).abs() < 0.01);
/// ```
pub fn of_tubes(tubes: &[(Tube, Length)]) -> Measured<Volume> {
    let inside = tubes.iter().map(|(tube, length)| tube.volume(*length).si());
    let value: f64 = inside.sum();
    Measured {
        value: Volume::from_si(value),
        standard_uncertainty: Volume::from_si(TUBE_U * value),
        origin: Origin::Assumed("bore of the table times the length".into()),
    }
}

/// The sum of volumes that are known independently of each other.
pub fn sum(parts: &[Measured<Volume>]) -> Measured<Volume> {
    let variance = parts
        .iter()
        .map(|part| part.standard_uncertainty.si().powi(2));
    Measured {
        value: Volume::from_si(parts.iter().map(|part| part.value.si()).sum()),
        standard_uncertainty: Volume::from_si(variance.sum::<f64>().sqrt()),
        origin: Origin::Assumed("the sum of its parts".into()),
    }
}

/// Gas let from a known volume into the line set.
#[derive(Debug, Clone, PartialEq)]
pub struct Expansion {
    /// The known volume, with the hose up to the valve between the two.
    pub reference: Measured<Volume>,
    /// In it before, absolute.
    pub before: Measured<PressureAbs>,
    /// In both once the needle rests, absolute.
    pub after: Measured<PressureAbs>,
    /// In the line before, absolute.
    pub line: Measured<PressureAbs>,
    /// The gas of both.
    pub gas: DryGas,
    /// The temperature of both.
    pub temperature: Temperature,
}

/// A volume measured by expansion.
#[derive(Debug, Clone, PartialEq)]
pub struct Expanded {
    /// With the gas's own densities.
    pub volume: Measured<Volume>,
    /// By the pressures alone, as for an ideal gas.
    pub by_pressures: Volume,
    /// What the uncertainty comes from most, and its share of the variance.
    pub dominant: Option<(&'static str, f64)>,
}

/// The volume of a line set by expansion: `V_x = V_r (d_r - d_f)/(d_f - d_x)`.
///
/// `d` are densities of the gas at the three absolute pressures: in the reference before, in both afterwards, in the
/// line before; for an ideal gas the pressures stand for them. The gas of both volumes may differ by 2 K (one standard
/// uncertainty) from one temperature.
///
/// Departures: the reference and the line are taken as rigid, and the gas as the same in both. Source:
/// [`EXPANSION_SOURCE`]; uncertainty JCGM 100:2008, 5.1.2.
///
/// ```
/// use lineproof::fluid::DryGas;
/// use lineproof::physics::volume::{Expansion, by_expansion};
/// use lineproof::quantity::*;
/// let read = |psia| Measured {
///     value: PressureAbs::of(psia, unit::PSIA),
///     standard_uncertainty: PressureDiff::of(0.3, unit::PSI_DIFF),
///     origin: Origin::Reading("gauge".into()),
/// };
/// let found = by_expansion(&Expansion {
///     reference: Measured {
///         value: Volume::of(1.0, unit::LITRE),
///         standard_uncertainty: Volume::of(0.01, unit::LITRE),
///         origin: Origin::Reading("weighed full of water".into()),
///     },
///     before: read(314.7),
///     after: read(224.7),
///     line: read(14.7),
///     gas: DryGas::Nitrogen,
///     temperature: Temperature::of(20.0, unit::CELSIUS),
/// })?;
/// assert!((found.by_pressures.in_unit(unit::LITRE) - 90.0 / 210.0).abs() < 1e-9);
/// # Ok::<(), lineproof::physics::volume::VolumeError>(())
/// ```
pub fn by_expansion(expansion: &Expansion) -> Result<Expanded, VolumeError> {
    let read = [&expansion.before, &expansion.after, &expansion.line];
    let [before, after, line] = read.map(|p| p.value.si());
    if !(before > after && after > line) {
        let [before, after, line] = read.map(|p| p.value);
        return Err(VolumeError::NoExpansion {
            before,
            after,
            line,
        });
    }
    let widest = |a: &Measured<PressureAbs>, b: &Measured<PressureAbs>| {
        a.standard_uncertainty
            .si()
            .hypot(b.standard_uncertainty.si())
    };
    let moves = [
        (before - after, widest(read[0], read[1])),
        (after - line, widest(read[1], read[2])),
    ];
    // a quotient is straight enough only while its parts are well known
    if let Some((moved, gauge)) = moves.into_iter().find(|(moved, u)| *moved < 4.0 * u) {
        return Err(VolumeError::TooLittle {
            moved: PressureDiff::from_si(moved),
            gauge: PressureDiff::from_si(gauge),
        });
    }
    let at = expansion.temperature.si();
    let density = |pascal: f64, kelvin: f64| {
        expansion
            .gas
            .density(PressureAbs::from_si(pascal), Temperature::from_si(kelvin))
            .map(Quantity::si)
    };
    let inputs = [
        (
            "the reference volume",
            expansion.reference.value.si(),
            expansion.reference.standard_uncertainty.si(),
        ),
        (
            "the first pressure",
            before,
            read[0].standard_uncertainty.si(),
        ),
        (
            "the second pressure",
            after,
            read[1].standard_uncertainty.si(),
        ),
        (
            "the line's pressure before",
            line,
            read[2].standard_uncertainty.si(),
        ),
        ("the temperatures", 0.0, TEMPERATURE_U),
    ];
    // the reference is at the temperature given; the line's gas differs from it by x[4]
    let found = propagate(&inputs, |x| {
        let (first, second) = (density(x[1], at)?, density(x[2], at)?);
        let (within, was) = (density(x[2], at + x[4])?, density(x[3], at + x[4])?);
        Ok::<f64, DryGasError>(x[0] * (first - second) / (within - was))
    })?;
    Ok(Expanded {
        dominant: found.dominant(),
        volume: Measured {
            value: Volume::from_si(found.value),
            standard_uncertainty: Volume::from_si(found.standard_uncertainty),
            origin: Origin::Assumed("measured by expansion".into()),
        },
        by_pressures: Volume::from_si(
            expansion.reference.value.si() * (before - after) / (after - line),
        ),
    })
}

/// A pressure read with a gauge whose steps are all that is known of it.
pub fn read_to(pressure: PressureAbs, step: PressureDiff) -> Measured<PressureAbs> {
    Measured {
        value: pressure,
        standard_uncertainty: PressureDiff::from_si(step.si() / 12f64.sqrt()),
        origin: Origin::Reading("gauge".into()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::unit;

    fn expansion(psia: [f64; 3], u: f64) -> Expansion {
        let [before, after, line] = psia.map(|p| Measured {
            value: PressureAbs::of(p, unit::PSIA),
            standard_uncertainty: PressureDiff::of(u, unit::PSI_DIFF),
            origin: Origin::Reading("gauge".into()),
        });
        Expansion {
            reference: Measured {
                value: Volume::of(1.0, unit::LITRE),
                standard_uncertainty: Volume::of(0.01, unit::LITRE),
                origin: Origin::Reading("water".into()),
            },
            before,
            after,
            line,
            gas: DryGas::Nitrogen,
            temperature: Temperature::of(20.0, unit::CELSIUS),
        }
    }

    /// Gas is conserved: what real nitrogen does in 1 L and 3 L is measured as 3 L.
    #[test]
    fn a_volume_is_found_again() {
        let room = Temperature::of(20.0, unit::CELSIUS);
        let density = |p| DryGas::Nitrogen.density(p, room).unwrap().si();
        let [first, was] = [514.7, 14.7].map(|p| PressureAbs::of(p, unit::PSIA));
        let shared = (density(first) + 3.0 * density(was)) / 4.0;
        let (mut low, mut high) = (was.si(), first.si());
        for _ in 0..200 {
            let middle = 0.5 * (low + high);
            if density(PressureAbs::from_si(middle)) < shared {
                low = middle;
            } else {
                high = middle;
            }
        }
        let after = PressureAbs::from_si(low).in_unit(unit::PSIA);
        let found = by_expansion(&expansion([514.7, after, 14.7], 0.3)).unwrap();
        assert!((found.volume.value.in_unit(unit::LITRE) - 3.0).abs() < 1e-6);
        // real gas: the pressures alone are half a percent short at 500 psig
        let ideal = found.by_pressures.in_unit(unit::LITRE);
        assert!((ideal / 3.0 - 0.9955).abs() < 1e-3, "{ideal}");
    }

    #[test]
    fn wrong_order_and_too_little_are_refused() {
        let wrong = by_expansion(&expansion([214.7, 314.7, 14.7], 0.3)).unwrap_err();
        assert!(matches!(wrong, VolumeError::NoExpansion { .. }));
        let little = by_expansion(&expansion([315.0, 314.7, 14.7], 0.3)).unwrap_err();
        assert!(matches!(little, VolumeError::TooLittle { .. }), "{little}");
    }

    #[test]
    fn a_coarser_gauge_widens_it() {
        let fine = by_expansion(&expansion([314.7, 224.7, 14.7], 0.3)).unwrap();
        let coarse = by_expansion(&expansion([314.7, 224.7, 14.7], 3.0)).unwrap();
        let u = |e: &Expanded| e.volume.standard_uncertainty.si();
        assert!(u(&coarse) > 2.0 * u(&fine));
    }
}
