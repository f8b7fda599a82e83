//! The way from the line set to the pump, what is left of the pump's speed at its end, and the time that takes.

use super::{ThinGas, conductance};
use crate::quantity::{
    Duration, Length, PressureAbs, Quantity, Temperature, Volume, VolumeFlow, both,
};
use crate::source::SourceId;

/// A tube on the way: a hose, or the narrow gap past a valve core.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Element {
    /// Its bore.
    pub bore: Length,
    /// Its length.
    pub length: Length,
}

impl Element {
    /// The gap past a valve core left in: 1.8 mm of bore, 15 mm long (own choice).
    pub const CORE_SOURCE: SourceId = SourceId::ValveCore;

    /// What a valve core left in place leaves open.
    pub fn valve_core() -> Self {
        Element {
            bore: Length::from_si(1.8e-3),
            length: Length::from_si(15e-3),
        }
    }
}

/// The way to the pump: elements one behind the other, so many times side by side.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// From the line set to the pump.
    pub elements: Vec<Element>,
    /// So many such ways: one for each service port in use.
    pub side_by_side: u32,
}

/// A pump by its nameplate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PumpCurve {
    /// Speed at high pressure: the free-air displacement of the nameplate.
    pub speed: VolumeFlow,
    /// The lowest pressure it reaches, blanked off.
    pub ultimate: PressureAbs,
}

impl PumpCurve {
    /// Throughput at its inlet, Pa m3/s: `S0 (p - p_ultimate)`.
    fn throughput(self, inlet: f64) -> f64 {
        self.speed.si() * (inlet - self.ultimate.si())
    }
}

/// What is pumped down, and through what.
#[derive(Debug, Clone, PartialEq)]
pub struct Vessel {
    /// The volume.
    pub volume: Volume,
    /// The pump.
    pub pump: PumpCurve,
    /// The way to it.
    pub path: Path,
    /// Temperature of the gas.
    pub temperature: Temperature,
}

/// What is left of the pump's speed at a pressure in the line set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpeedAt {
    /// Pressure in the line set.
    pub pressure: PressureAbs,
    /// Pressure at the pump's inlet then.
    pub inlet: PressureAbs,
    /// Effective speed at the line set.
    pub speed: VolumeFlow,
}

/// Why a time cannot be said.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum PumpError {
    /// The pump never gets there.
    #[error(
        "the pump cannot reach {}: blanked off it reaches {}; aim above that, change its oil, or take a pump that pulls deeper",
        both(*target), both(*ultimate)
    )]
    TooDeep {
        /// What was asked for.
        target: PressureAbs,
        /// What the pump reaches.
        ultimate: PressureAbs,
    },
    /// It is there already.
    #[error(
        "from {} down to {}: the pump only takes pressure away; give the higher pressure first",
        both(*from), both(*to)
    )]
    Upwards {
        /// From.
        from: PressureAbs,
        /// To.
        to: PressureAbs,
    },
}

/// Rows of a curve for each factor of ten above the pump's ultimate pressure.
const ROWS_PER_DECADE: f64 = 60.0;

/// The pump-down of dry air: what is left of the pump's speed at every pressure, in rows of falling pressure.
#[derive(Debug, Clone, PartialEq)]
pub struct PumpDown {
    rows: Vec<SpeedAt>,
    volume: Volume,
    ultimate: PressureAbs,
}

impl PumpDown {
    /// Computes the curve for air.
    ///
    /// Throughput is the same in every part of the way. From an inlet pressure of the pump, `Q = S0 (p - p_u)`, each
    /// element upstream has the pressure that drives Q through it: `Q = C((p_up + p_down)/2) (p_up - p_down)`.
    ///
    /// Range: from three atmospheres down to the pump's ultimate pressure. Departures: gas given off by walls, oil and
    /// water is not in it, so a real pump-down takes longer; the line set itself is taken as one volume; the pump's
    /// speed falls only near its ultimate pressure.
    pub fn of_air(vessel: &Vessel) -> Self {
        Self::of(vessel, ThinGas::air(vessel.temperature))
    }

    /// The same for another gas.
    pub fn of(vessel: &Vessel, gas: ThinGas) -> Self {
        const HIGHEST: f64 = 3.0 * 101_325.0;
        let ultimate = vessel.pump.ultimate.si().max(1e-3);
        // the inlet counted from the ultimate pressure, so that the last rows come ever closer to it
        let (least, most) = (1e-4 * ultimate, HIGHEST);
        let count = ((most / least).log10() * ROWS_PER_DECADE).ceil() as usize;
        let rows = (0..=count)
            .map(|i| {
                let above = most * (least / most).powf(i as f64 / count as f64);
                let inlet = vessel.pump.ultimate.si() + above;
                let flow = vessel.pump.throughput(inlet);
                let pressure = vessel.path.pressure_before(flow, inlet, gas);
                SpeedAt {
                    pressure: PressureAbs::from_si(pressure),
                    inlet: PressureAbs::from_si(inlet),
                    speed: VolumeFlow::from_si(flow / pressure),
                }
            })
            .collect();
        PumpDown {
            rows,
            volume: vessel.volume,
            ultimate: vessel.pump.ultimate,
        }
    }

    /// What is left of the pump's speed at a pressure in the line set; none where the pump does not reach it.
    pub fn at(&self, pressure: PressureAbs) -> Option<SpeedAt> {
        let after = self.rows.partition_point(|row| row.pressure > pressure);
        let (above, below) = (self.rows.get(after.checked_sub(1)?)?, self.rows.get(after)?);
        let ln = |p: PressureAbs| p.si().ln();
        let share = (ln(above.pressure) - ln(pressure)) / (ln(above.pressure) - ln(below.pressure));
        let between = |a: f64, b: f64| (a.ln() + share * (b.ln() - a.ln())).exp();
        Some(SpeedAt {
            pressure,
            inlet: PressureAbs::from_si(between(above.inlet.si(), below.inlet.si())),
            speed: VolumeFlow::from_si(between(above.speed.si(), below.speed.si())),
        })
    }

    /// Time from one pressure to a lower one: `t = V integral(d ln p/S(p))`.
    pub fn time(&self, from: PressureAbs, to: PressureAbs) -> Result<Duration, PumpError> {
        if to >= from {
            return Err(PumpError::Upwards { from, to });
        }
        let too_deep = PumpError::TooDeep {
            target: to,
            ultimate: self.ultimate,
        };
        let ends = [self.at(from).ok_or(too_deep)?, self.at(to).ok_or(too_deep)?];
        let inside = |row: &&SpeedAt| row.pressure < from && row.pressure > to;
        let mut rows = vec![ends[0]];
        rows.extend(self.rows.iter().filter(inside));
        rows.push(ends[1]);
        let time: f64 = rows
            .windows(2)
            .map(|pair| {
                let fall = (pair[0].pressure.si() / pair[1].pressure.si()).ln();
                0.5 * fall * (1.0 / pair[0].speed.si() + 1.0 / pair[1].speed.si())
            })
            .sum();
        Ok(Duration::from_si(self.volume.si() * time))
    }
}

impl Path {
    /// Pressure before the first element that drives a throughput to an inlet pressure.
    fn pressure_before(&self, flow: f64, inlet: f64, gas: ThinGas) -> f64 {
        let share = flow / f64::from(self.side_by_side.max(1));
        let elements = self.elements.iter().rev();
        elements.fold(inlet, |down, element| {
            element.pressure_before(share, down, gas)
        })
    }
}

impl Element {
    /// Pressure before it: bisection on a flow that rises with it.
    fn pressure_before(&self, flow: f64, down: f64, gas: ThinGas) -> f64 {
        let through = |up: f64| {
            let mean = PressureAbs::from_si(0.5 * (up + down));
            conductance(self.bore, self.length, mean, gas).si() * (up - down)
        };
        let (mut low, mut high) = (down, 2.0 * down + 1.0);
        while through(high) < flow {
            (low, high) = (high, 2.0 * high);
        }
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if through(middle) < flow {
                low = middle;
            } else {
                high = middle;
            }
        }
        0.5 * (low + high)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::unit;

    fn vessel(litres: f64, cfm: f64, hose: Option<(f64, f64)>, ultimate: f64) -> Vessel {
        Vessel {
            volume: Volume::of(litres, unit::LITRE),
            pump: PumpCurve {
                speed: VolumeFlow::of(cfm, unit::CUBIC_FOOT_PER_MINUTE),
                ultimate: PressureAbs::of(ultimate, unit::MICRON),
            },
            path: Path {
                elements: hose
                    .map(|(bore, length)| Element {
                        bore: Length::of(bore, unit::MILLIMETRE),
                        length: Length::of(length, unit::METRE),
                    })
                    .into_iter()
                    .collect(),
                side_by_side: 1,
            },
            temperature: Temperature::of(20.0, unit::CELSIUS),
        }
    }

    fn micron(v: f64) -> PressureAbs {
        PressureAbs::of(v, unit::MICRON)
    }

    #[test]
    fn without_a_hose_it_is_the_formula_of_the_handbooks() {
        // t = V/S ln(p1/p2): 2 L, 3 cfm, 760,000 to 500 micron
        let curve = PumpDown::of_air(&vessel(2.0, 3.0, None, 0.0));
        let time = curve.time(micron(760e3), micron(500.0)).unwrap();
        let right = 2e-3 / VolumeFlow::of(3.0, unit::CUBIC_FOOT_PER_MINUTE).si() * 1520f64.ln();
        assert!((time.si() / right - 1.0).abs() < 1e-6, "{}", time.si());
    }

    #[test]
    fn a_hose_binds_and_a_larger_pump_gains_next_to_nothing() {
        let time = |cfm, bore| {
            let curve = PumpDown::of_air(&vessel(2.0, cfm, Some((bore, 1.5)), 0.0));
            curve.time(micron(760e3), micron(500.0)).unwrap().si()
        };
        assert!(time(8.0, 4.8) > 0.9 * time(3.0, 4.8));
        assert!(time(3.0, 8.0) < 0.3 * time(3.0, 4.8));
    }

    #[test]
    fn the_pump_reaches_no_deeper_than_its_nameplate() {
        let curve = PumpDown::of_air(&vessel(2.0, 3.0, Some((4.8, 1.5)), 50.0));
        assert!(curve.time(micron(760e3), micron(60.0)).is_ok());
        let error = curve.time(micron(760e3), micron(50.0)).unwrap_err();
        assert_eq!(
            error.to_string(),
            "the pump cannot reach 50 micron: blanked off it reaches 50 micron; aim above that, change its oil, or take a pump that pulls deeper"
        );
        let error = curve.time(micron(400.0), micron(500.0)).unwrap_err();
        assert!(error.to_string().contains("give the higher pressure first"));
    }

    #[test]
    fn two_ports_are_never_slower_than_one() {
        let mut two = vessel(2.0, 4.0, Some((4.8, 1.5)), 20.0);
        two.path.elements.insert(0, Element::valve_core());
        let one = PumpDown::of_air(&two);
        two.path.side_by_side = 2;
        let two = PumpDown::of_air(&two);
        for p in [100.0, 500.0, 5e3, 5e4, 7e5] {
            let speed = |curve: &PumpDown| curve.at(micron(p)).unwrap().speed.si();
            assert!(speed(&two) > speed(&one), "{p}");
        }
    }
}
