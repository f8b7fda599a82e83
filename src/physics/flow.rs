//! What flows from a hole: vapour, liquid that flashes on its way, and the area that a flow tells of.

use crate::fluid::refrigerant::{Phase, RangeError, StateError, Superheated};
use crate::fluid::{Refrigerant, Saturation};
use crate::quantity::{Area, MassRate, PressureAbs, Quantity, SpecificEntropy, Temperature};
use crate::source::SourceId;

/// Where the equilibrium flow comes from.
pub const EQUILIBRIUM_SOURCE: SourceId = SourceId::FlowEquilibrium;
/// Where the omega method comes from.
pub const OMEGA_SOURCE: SourceId = SourceId::FlowOmega;
/// Where the upper bound of late flashing comes from.
pub const LATE_FLASH_SOURCE: SourceId = SourceId::FlowLateFlash;

/// Discharge coefficient of a sharp-edged orifice; from memory.
const SHARP_EDGE: f64 = 0.61;

/// Mass through a hole per area and time; SI unit kg/(m2 s).
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct MassFlux(f64);

impl MassFlux {
    /// From kg/(m2 s).
    pub fn from_si(value: f64) -> Self {
        MassFlux(value)
    }

    /// In kg/(m2 s).
    pub fn si(self) -> f64 {
        self.0
    }

    /// The flow through a hole: `m' = A G`.
    ///
    /// `area`: the effective area, the hole's own times its discharge coefficient.
    pub fn through(self, area: Area) -> MassRate {
        MassRate::from_si(area.si() * self.0)
    }

    /// The effective area that lets a flow through: `A = m'/G`.
    ///
    /// ```
    /// use lineproof::physics::flow::MassFlux;
    /// use lineproof::quantity::{Area, MassRate, Quantity};
    /// let flux = MassFlux::from_si(5_000.0);
    /// let area = flux.area_for(MassRate::from_si(0.005));
    /// assert!((area.si() - 1e-6).abs() < 1e-12);
    /// assert_eq!(flux.through(area).si(), 0.005);
    /// ```
    pub fn area_for(self, flow: MassRate) -> Area {
        Area::from_si(flow.si() / self.0)
    }
}

/// What stands still before the hole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Before {
    /// Liquid and vapour together, and the hole draws one of them.
    Saturated(Phase, Temperature),
    /// Vapour at a pressure and a temperature above dew.
    Superheated(PressureAbs, Temperature),
    /// Liquid at a pressure and a temperature below bubble.
    Subcooled(PressureAbs, Temperature),
}

/// The flow that leaves a hole, and the state in its throat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outflow {
    /// Mass per area and time.
    pub flux: MassFlux,
    /// Pressure in the throat; the pressure behind the hole when the flow is not choked.
    pub throat: PressureAbs,
    /// Whether a lower pressure behind the hole would change nothing.
    pub choked: bool,
}

/// A flow that the tables cannot give.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum FlowError {
    /// Outside the refrigerant's tables.
    #[error(transparent)]
    State(#[from] StateError),
    /// Nothing flows out against a higher pressure.
    #[error(
        "pressure before the hole {}: it must be above the {} behind it for anything to flow out; check gauge and absolute",
        crate::quantity::both(*before), crate::quantity::both(*behind)
    )]
    NoDrive {
        /// Pressure before the hole.
        before: PressureAbs,
        /// Pressure behind the hole.
        behind: PressureAbs,
    },
}

impl From<RangeError> for FlowError {
    fn from(error: RangeError) -> Self {
        FlowError::State(error.into())
    }
}

/// Flow from a hole by homogeneous equilibrium: vapour, liquid or what flashes between.
///
/// `before`: the state that stands still before the hole; `behind`: pressure on its other side.
///
/// `G = max over p of rho(p, s0) sqrt(2 (h0 - h(p, s0)))`, p from `behind` to the pressure before the hole, along the
/// isentrope: superheated vapour from its table, two phases as bubble liquid and dew vapour of one pressure.
///
/// Range: the refrigerant's tables; nothing below their lowest pressure, so R-744 only from about 10 bar.
///
/// Departures: the liquid part of the isentrope is taken as incompressible (below 1 % in G with 30 K of subcooling). In
/// a blend the phases of one pressure are taken with the composition of the whole, where those of a real flash differ;
/// no published figure for that error was found. Liquid in a hole shorter than about 10 cm flashes late and
/// flows faster: [`late_flash`] bounds it.
///
/// Source: [`EQUILIBRIUM_SOURCE`].
///
/// ```
/// use lineproof::fluid::{Refrigerant, refrigerant::Phase};
/// use lineproof::physics::flow::{Before, outflow};
/// use lineproof::quantity::{PressureAbs, Quantity, Temperature, unit};
/// let liquid = Before::Saturated(Phase::Liquid, Temperature::of(20.0, unit::CELSIUS));
/// let flow = outflow(Refrigerant::R410A, liquid, PressureAbs::of(1.0, unit::ATM))?;
/// assert!((flow.flux.si() / 13_497.0 - 1.0).abs() < 0.01 && flow.choked);
/// # Ok::<(), lineproof::physics::flow::FlowError>(())
/// ```
pub fn outflow(
    refrigerant: Refrigerant,
    before: Before,
    behind: PressureAbs,
) -> Result<Outflow, FlowError> {
    let isentrope = Isentrope::from(refrigerant, before)?;
    let (low, high) = (behind.si(), isentrope.start);
    if low >= high {
        return Err(FlowError::NoDrive {
            before: PressureAbs::from_si(high),
            behind,
        });
    }
    let floor = isentrope.lowest().max(low);
    let (at, flux) = largest(|ln_p| isentrope.flux(ln_p.exp()), floor.ln(), high.ln())?;
    let choked = at.exp() > floor * (1.0 + 1e-4);
    if !choked && floor > low {
        // the table ends before the flow chokes
        isentrope.saturation.bubble_temperature(behind)?;
    }
    Ok(Outflow {
        flux: MassFlux(flux),
        throat: PressureAbs::from_si(at.exp()),
        choked,
    })
}

/// Flow of saturated liquid or vapour that chokes in a hole, by the omega method.
///
/// `phase`, `temperature`: what the hole draws.
///
/// `omega = x0 v_fg/v0 (1 - 2 p0 v_fg/h_fg) + cp T0 p0/v0 (v_fg/h_fg)^2` (Leung's equation 14, with the liquid's heat capacity);
/// the critical ratio solves `eta^2 + (omega^2 - 2 omega)(1 - eta)^2 + 2 omega^2 ln eta + 2 omega^2 (1 - eta) = 0`;
/// `G = eta sqrt(p0/(v0 omega))`.
///
/// Range: as for [`outflow`], well below the critical point.
///
/// Departures: `cp` is taken along the bubble line. Source: [`OMEGA_SOURCE`].
///
/// ```
/// use lineproof::fluid::{Refrigerant, refrigerant::Phase};
/// use lineproof::physics::flow::omega;
/// use lineproof::quantity::{Quantity, Temperature, unit};
/// let flux = omega(Refrigerant::R32, Phase::Liquid, Temperature::of(20.0, unit::CELSIUS))?;
/// assert!((flux.si() / 12_976.0 - 1.0).abs() < 0.02);
/// # Ok::<(), lineproof::physics::flow::FlowError>(())
/// ```
pub fn omega(
    refrigerant: Refrigerant,
    phase: Phase,
    temperature: Temperature,
) -> Result<MassFlux, FlowError> {
    let saturation = Saturation::of(refrigerant);
    let pressure = saturation.pressure(phase.side(), temperature)?;
    let [liquid, vapour] = ends(saturation, pressure)?;
    let (v_fg, h_fg) = (
        vapour.volume - liquid.volume,
        vapour.enthalpy - liquid.enthalpy,
    );
    let (quality, v0) = match phase {
        Phase::Liquid => (0.0, liquid.volume),
        Phase::Vapour => (1.0, vapour.volume),
    };
    let kelvin = |by: f64| Temperature::from_si(temperature.si() + by);
    let heat =
        saturation.liquid_enthalpy(kelvin(0.5))? - saturation.liquid_enthalpy(kelvin(-0.5))?;
    let p0 = pressure.si();
    let omega = quality * v_fg / v0 * (1.0 - 2.0 * p0 * v_fg / h_fg)
        + heat.si() * temperature.si() * p0 / v0 * (v_fg / h_fg).powi(2);
    let eta = critical_ratio(omega);
    Ok(MassFlux(eta * (p0 / (v0 * omega)).sqrt()))
}

/// The most that gets through when liquid has no time to flash in the hole: `G = 0.61 sqrt(2 rho (p0 - p))`.
///
/// `temperature`: of the saturated liquid; `behind`: pressure on the other side. The coefficient is the sharp-edged
/// orifice's, so the flux is against the hole's own area. Source: [`LATE_FLASH_SOURCE`].
///
/// ```
/// use lineproof::fluid::Refrigerant;
/// use lineproof::physics::flow::late_flash;
/// use lineproof::quantity::{PressureAbs, Quantity, Temperature, unit};
/// let room = Temperature::of(20.0, unit::CELSIUS);
/// let flux = late_flash(Refrigerant::R410A, room, PressureAbs::of(1.0, unit::ATM))?;
/// assert!(flux.si() > 2.0 * 13_497.0);
/// # Ok::<(), lineproof::physics::flow::FlowError>(())
/// ```
pub fn late_flash(
    refrigerant: Refrigerant,
    temperature: Temperature,
    behind: PressureAbs,
) -> Result<MassFlux, FlowError> {
    let saturation = Saturation::of(refrigerant);
    let before = saturation.bubble_pressure(temperature)?;
    if behind >= before {
        return Err(FlowError::NoDrive { before, behind });
    }
    let density = saturation.liquid_density(temperature)?.si();
    let drive = (before - behind).si();
    Ok(MassFlux(SHARP_EDGE * (2.0 * density * drive).sqrt()))
}

/// The critical pressure ratio of the omega method, by bisection.
fn critical_ratio(omega: f64) -> f64 {
    let w2 = omega * omega;
    let miss = |eta: f64| {
        eta * eta
            + (w2 - 2.0 * omega) * (1.0 - eta).powi(2)
            + 2.0 * w2 * eta.ln()
            + 2.0 * w2 * (1.0 - eta)
    };
    let (mut low, mut high) = (1e-3, 1.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if miss(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// One end of boiling at a pressure, in SI.
#[derive(Debug, Clone, Copy)]
struct End {
    volume: f64,
    enthalpy: f64,
    entropy: f64,
}

/// Bubble liquid and dew vapour of one pressure.
fn ends(saturation: &Saturation, pressure: PressureAbs) -> Result<[End; 2], RangeError> {
    let bubble = saturation.bubble_temperature(pressure)?;
    let dew = saturation.dew_temperature(pressure)?;
    Ok([
        End {
            volume: 1.0 / saturation.liquid_density(bubble)?.si(),
            enthalpy: saturation.liquid_enthalpy(bubble)?.si(),
            entropy: saturation.liquid_entropy(bubble)?.si(),
        },
        End {
            volume: 1.0 / saturation.vapour_density(dew)?.si(),
            enthalpy: saturation.vapour_enthalpy(dew)?.si(),
            entropy: saturation.vapour_entropy(dew)?.si(),
        },
    ])
}

/// Dew entropies of the two tables differ by less than this, J/(kg K).
const SEAM: f64 = 0.01;

/// All states of one entropy below a starting pressure.
struct Isentrope {
    refrigerant: Refrigerant,
    saturation: &'static Saturation,
    /// Pressure at which it starts, Pa.
    start: f64,
    entropy: f64,
    enthalpy: f64,
    /// Above this pressure it is liquid, Pa.
    boils: f64,
    /// The liquid's density, kg/m3.
    liquid: f64,
}

impl Isentrope {
    fn from(refrigerant: Refrigerant, before: Before) -> Result<Isentrope, FlowError> {
        let saturation = Saturation::of(refrigerant);
        let whole = |start: PressureAbs, enthalpy: f64, entropy: f64| Isentrope {
            refrigerant,
            saturation,
            start: start.si(),
            entropy,
            enthalpy,
            boils: f64::INFINITY,
            liquid: 0.0,
        };
        match before {
            Before::Saturated(phase, temperature) => {
                let pressure = saturation.pressure(phase.side(), temperature)?;
                let [liquid, vapour] = ends(saturation, pressure)?;
                let end = match phase {
                    Phase::Liquid => liquid,
                    Phase::Vapour => vapour,
                };
                Ok(whole(pressure, end.enthalpy, end.entropy))
            }
            Before::Superheated(pressure, temperature) => {
                let gas = Superheated::of(refrigerant).at(pressure, temperature)?;
                Ok(whole(pressure, gas.enthalpy.si(), gas.entropy.si()))
            }
            Before::Subcooled(pressure, temperature) => {
                let bubble = saturation.bubble_temperature(pressure)?;
                if temperature > bubble {
                    return Err(StateError::OtherPhase {
                        refrigerant,
                        phase: Phase::Liquid,
                        pressure,
                        temperature,
                        saturation: bubble,
                    }
                    .into());
                }
                let boils = saturation.bubble_pressure(temperature)?;
                let [liquid, _] = ends(saturation, boils)?;
                let lifted = (pressure - boils).si() * liquid.volume;
                Ok(Isentrope {
                    boils: boils.si(),
                    liquid: 1.0 / liquid.volume,
                    ..whole(pressure, liquid.enthalpy + lifted, liquid.entropy)
                })
            }
        }
    }

    /// The lowest pressure of the tables, Pa.
    fn lowest(&self) -> f64 {
        let low = |side| self.saturation.pressure_range(side).0.si();
        low(Phase::Liquid.side()).max(low(Phase::Vapour.side())) * (1.0 + 1e-9)
    }

    /// `rho sqrt(2 (h0 - h))` at a pressure.
    fn flux(&self, pressure: f64) -> Result<f64, FlowError> {
        if pressure > self.boils {
            return Ok((2.0 * self.liquid * (self.start - pressure))
                .max(0.0)
                .sqrt());
        }
        let at = PressureAbs::from_si(pressure);
        let [liquid, vapour] = ends(self.saturation, at)?;
        let (volume, enthalpy) = if self.entropy > vapour.entropy + SEAM {
            let entropy = SpecificEntropy::from_si(self.entropy);
            let gas = Superheated::of(self.refrigerant).at_entropy(at, entropy)?;
            (1.0 / gas.density.si(), gas.enthalpy.si())
        } else {
            // at the start and at dew rounding may leave the quality a hair outside 0 to 1
            let quality = (self.entropy - liquid.entropy) / (vapour.entropy - liquid.entropy);
            let between = |a: f64, b: f64| a + quality * (b - a);
            (
                between(liquid.volume, vapour.volume),
                between(liquid.enthalpy, vapour.enthalpy),
            )
        };
        Ok((2.0 * (self.enthalpy - enthalpy)).max(0.0).sqrt() / volume)
    }
}

/// Where a function with one summit is largest, by golden section.
fn largest(
    f: impl Fn(f64) -> Result<f64, FlowError>,
    low: f64,
    high: f64,
) -> Result<(f64, f64), FlowError> {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let (mut a, mut b) = (low, high);
    let (mut c, mut d) = (b - GOLDEN * (b - a), a + GOLDEN * (b - a));
    let (mut fc, mut fd) = (f(c)?, f(d)?);
    // flat at a summit: the flux is then right to 1e-8, at the kink where liquid begins to boil to 1e-4
    while b - a > 1e-4 {
        if fc > fd {
            (b, d, fd) = (d, c, fc);
            c = b - GOLDEN * (b - a);
            fc = f(c)?;
        } else {
            (a, c, fc) = (c, d, fd);
            d = a + GOLDEN * (b - a);
            fd = f(d)?;
        }
    }
    let middle = 0.5 * (a + b);
    // a summit at the low end is an end of the range, not inside it
    let at = if f(low)? > f(middle)? { low } else { middle };
    Ok((at, f(at)?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::unit;

    fn atmosphere() -> PressureAbs {
        PressureAbs::of(1.0, unit::ATM)
    }

    fn room() -> Temperature {
        Temperature::of(20.0, unit::CELSIUS)
    }

    /// Computed with CoolProp 8.0.0 by the same equation on its own states.
    const EQUILIBRIUM: [(Refrigerant, f64, f64); 4] = [
        (Refrigerant::R410A, 13_497.0, 5_561.0),
        (Refrigerant::R32, 12_976.0, 4_840.0),
        (Refrigerant::R22, 10_192.0, 3_692.0),
        (Refrigerant::R290, 6_075.0, 2_394.0),
    ];

    #[test]
    fn equilibrium_flow_agrees_with_the_equations_of_state() {
        for (refrigerant, liquid, vapour) in EQUILIBRIUM {
            for (phase, right) in [(Phase::Liquid, liquid), (Phase::Vapour, vapour)] {
                let before = Before::Saturated(phase, room());
                let ours = outflow(refrigerant, before, atmosphere()).unwrap();
                let omega = omega(refrigerant, phase, room()).unwrap();
                assert!(ours.choked);
                assert!((ours.flux.si() / right - 1.0).abs() < 0.01, "{refrigerant}");
                assert!((omega.si() / right - 1.0).abs() < 0.02, "{refrigerant}");
            }
        }
    }

    /// An ideal gas chokes at G = p sqrt(k/(R T)) (2/(k+1))^((k+1)/(2(k-1))): far below saturation a real vapour must.
    #[test]
    fn thin_vapour_flows_like_an_ideal_gas() {
        // R-134a at 1 bar and 60 °C: k = cp/(cp - R) with cp 0.90 kJ/(kg K)
        let (p, t) = (1e5, 333.15);
        let r = 8.314_463 / 0.102_032;
        let before = Before::Superheated(PressureAbs::from_si(p), Temperature::from_si(t));
        let state = Superheated::of(Refrigerant::R134a)
            .at(PressureAbs::from_si(p), Temperature::from_si(t))
            .unwrap();
        let k = 1.0 / (1.0 - r / state.heat_capacity.si());
        let ideal =
            p * (k / (r * t)).sqrt() * (2.0 / (k + 1.0)).powf((k + 1.0) / (2.0 * (k - 1.0)));
        let ours = outflow(Refrigerant::R134a, before, PressureAbs::from_si(2e4)).unwrap();
        assert!(
            (ours.flux.si() / ideal - 1.0).abs() < 0.02,
            "{} {ideal}",
            ours.flux.si()
        );
    }

    #[test]
    fn subcooled_liquid_flows_faster_and_joins_saturated_liquid() {
        let saturation = Saturation::of(Refrigerant::R410A);
        let p = saturation.bubble_pressure(room()).unwrap();
        let at = |t: f64| {
            let before = Before::Subcooled(p, Temperature::from_si(t));
            outflow(Refrigerant::R410A, before, atmosphere())
                .unwrap()
                .flux
                .si()
        };
        let saturated = Before::Saturated(Phase::Liquid, room());
        let saturated = outflow(Refrigerant::R410A, saturated, atmosphere()).unwrap();
        assert!((at(room().si() - 1e-6) / saturated.flux.si() - 1.0).abs() < 1e-3);
        let colder = at(room().si() - 20.0);
        assert!(colder > 1.5 * saturated.flux.si());
        // and never faster than without any flashing
        let rho = saturation
            .liquid_density(Temperature::from_si(273.15))
            .unwrap();
        assert!(colder < (2.0 * rho.si() * (p - atmosphere()).si()).sqrt());
    }

    #[test]
    fn nothing_flows_uphill_and_a_weak_drive_does_not_choke() {
        let cold = Temperature::of(-50.0, unit::CELSIUS);
        let before = Before::Saturated(Phase::Vapour, cold);
        let weak = outflow(Refrigerant::R410A, before, atmosphere()).unwrap();
        assert!(!weak.choked);
        assert!((weak.throat.si() / atmosphere().si() - 1.0).abs() < 1e-9);
        let error = outflow(Refrigerant::R410A, before, PressureAbs::from_si(3e5)).unwrap_err();
        assert!(
            error.to_string().contains("check gauge and absolute"),
            "{error}"
        );
    }
}
