//! The charge from subcooling and superheat while it runs.

use crate::quantity::{Fraction, Measured, Quantity, TemperatureDiff};
use crate::source::SourceId;

/// Where the equation and its defaults come from.
pub const SOURCE: SourceId = SourceId::RunningCharge;

/// The machine as it is rated, and how its readings move with charge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Machine {
    /// Subcooling with the right charge.
    pub subcooling: TemperatureDiff,
    /// Superheat with the right charge.
    pub superheat: TemperatureDiff,
    /// k_ch: subcooling that a whole charge more would add, K.
    pub per_charge: TemperatureDiff,
    /// k_sh/k_sc: how much superheat counts beside subcooling.
    pub superheat_weight: f64,
    /// Standard deviation of the equation itself, as a share of the charge.
    pub model: Fraction,
    /// What the numbers come from.
    pub tuned: Tuned,
}

/// What a machine's numbers come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tuned {
    /// The equation's defaults.
    Defaults,
    /// Two readings at known charges.
    TwoPoints,
    /// A reading before a technician recovered and weighed.
    RecoveredMass,
}

/// The share of the rated charge that rated subcooling does not need: alpha_o.
const ALPHA_O: f64 = 0.75;
/// The share of the charge on the high side as rated: X_hs,r.
const X_HIGH_SIDE: f64 = 0.73;
/// How much superheat counts beside subcooling: k_sh/k_sc.
const SUPERHEAT_WEIGHT: f64 = 0.4;
/// Standard deviation of the equation, as a share of the charge.
const MODEL: f64 = 0.10;
/// Rated subcooling below this, in K, gives the equation nothing to work with.
const LEAST_RATED: f64 = 2.0;
/// Two charges nearer than this tune nothing.
const LEAST_APART: f64 = 0.05;

/// What is wrong with the points that should tune a machine.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum TuneError {
    /// Charges too near to each other.
    #[error(
        "charges {:.1} % apart: they must be 5 % or more apart to tell how readings move with charge; keep the defaults",
        100.0 * apart.si()
    )]
    TooNear {
        /// How far apart.
        apart: Fraction,
    },
    /// More charge lowered subcooling.
    #[error(
        "{} of subcooling per whole charge: it must be above 5.0 K, or the readings do not follow the charge; check that both were steady and which was which",
        per_charge.show(crate::quantity::UnitSystem::Si)
    )]
    DoesNotFollow {
        /// What the points give.
        per_charge: TemperatureDiff,
    },
}

impl Machine {
    /// The defaults: `k_ch = SC_r/((1 - alpha_o) X_hs,r)` with 0.75 and 0.73, k_sh/k_sc 0.4.
    ///
    /// `subcooling`, `superheat`: as rated (nameplate; for a fixed orifice the target superheat of the day). Source:
    /// [`SOURCE`].
    pub fn rated(subcooling: TemperatureDiff, superheat: TemperatureDiff) -> Machine {
        Machine {
            subcooling,
            superheat,
            per_charge: TemperatureDiff::from_si(subcooling.si() / ((1.0 - ALPHA_O) * X_HIGH_SIDE)),
            superheat_weight: SUPERHEAT_WEIGHT,
            model: Fraction::from_si(MODEL),
            tuned: Tuned::Defaults,
        }
    }

    /// alpha_o that belongs to k_ch: `1 - SC_r/(k_ch X_hs,r)`.
    pub fn alpha_o(&self) -> f64 {
        1.0 - self.subcooling.si() / (self.per_charge.si() * X_HIGH_SIDE)
    }

    /// The same machine tuned by two readings at known charges, each a share of what belongs in.
    ///
    /// `k_ch = [SC_2 - SC_1 - (k_sh/k_sc)(SH_2 - SH_1)]/(f_2 - f_1)`, and the rated subcooling moves to where the line
    /// through both points meets the right charge. The model error stays. Neither subcooling may be censored.
    pub fn tuned_by(self, points: [(Fraction, Reading); 2]) -> Result<Machine, TuneError> {
        let [(f1, one), (f2, two)] = points;
        let apart = f2.si() - f1.si();
        if apart.abs() < LEAST_APART {
            return Err(TuneError::TooNear {
                apart: Fraction::from_si(apart.abs()),
            });
        }
        let effect = |reading: &Reading| {
            reading.subcooling.value.si() - self.superheat_weight * reading.superheat.value.si()
        };
        let slope = (effect(&two) - effect(&one)) / apart;
        let per_charge = TemperatureDiff::from_si(slope);
        if slope < 5.0 {
            return Err(TuneError::DoesNotFollow { per_charge });
        }
        let right = effect(&one) + slope * (1.0 - f1.si());
        let subcooling = right + self.superheat_weight * self.superheat.si();
        Ok(Machine {
            subcooling: TemperatureDiff::from_si(subcooling),
            per_charge,
            tuned: Tuned::TwoPoints,
            ..self
        })
    }

    /// The same machine tuned by a reading taken before a technician recovered a mass: the second point is the rating.
    pub fn tuned_by_recovery(
        self,
        recovered: Fraction,
        before: Reading,
    ) -> Result<Machine, TuneError> {
        let rated = Reading::exact(self.subcooling, self.superheat);
        let points = [(recovered, before), (Fraction::from_si(1.0), rated)];
        let tuned = self.tuned_by(points)?;
        Ok(Machine {
            tuned: Tuned::RecoveredMass,
            ..tuned
        })
    }
}

/// Subcooling and superheat read together.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Bubble temperature less liquid line.
    pub subcooling: Measured<TemperatureDiff>,
    /// Suction line less dew temperature.
    pub superheat: Measured<TemperatureDiff>,
}

impl Reading {
    fn exact(subcooling: TemperatureDiff, superheat: TemperatureDiff) -> Reading {
        let exact = |value| Measured {
            value,
            standard_uncertainty: TemperatureDiff::from_si(0.0),
            origin: crate::quantity::Origin::Unit,
        };
        Reading {
            subcooling: exact(subcooling),
            superheat: exact(superheat),
        }
    }
}

/// What else must be known of the machine and the moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Moment {
    /// A suction accumulator or a receiver holds liquid that moves.
    pub accumulator: bool,
    /// How the compressor's speed is set.
    pub speed: Speed,
    /// The line named liquid line carries liquid and vapour now.
    pub two_phase_liquid_line: bool,
}

/// How a compressor's speed is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Speed {
    /// It has only one.
    Fixed,
    /// An inverter held at its test speed.
    Test,
    /// An inverter that chooses its own.
    Free,
}

/// Why a running reading says nothing about charge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Void {
    /// Liquid moves into and out of the accumulator.
    Accumulator,
    /// Superheat within its uncertainty of zero: liquid may be returning.
    ZeroSuperheat,
    /// Rated subcooling near zero: the equation divides by it.
    RatedNearZero,
    /// The inverter sets its own speed.
    FreeSpeed,
    /// The liquid line carries vapour too.
    TwoPhaseLine,
}

impl Void {
    /// Why, in words.
    pub fn words(self) -> &'static str {
        match self {
            Void::Accumulator => {
                "an accumulator holds liquid that moves: the readings do not follow the charge"
            }
            Void::ZeroSuperheat => {
                "no superheat: liquid may be returning to the compressor, and the readings do not follow the charge"
            }
            Void::RatedNearZero => "the rated subcooling is near zero: nothing to compare with",
            Void::FreeSpeed => {
                "the inverter sets its own speed: hold it at its test speed, or weigh in"
            }
            Void::TwoPhaseLine => {
                "the liquid line carries liquid and vapour now: subcooling means nothing there"
            }
        }
    }
}

/// What a running reading says about the charge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shown {
    /// The share of what belongs in, with its standard uncertainty; the model's part is common to all readings.
    Share {
        /// The share.
        share: Fraction,
        /// Standard uncertainty of reading it.
        reading: Fraction,
        /// Standard uncertainty of the equation.
        model: Fraction,
        /// Subcooling over its standard uncertainty: near zero it could be none at all, and the charge far lower.
        above_zero: f64,
    },
    /// No subcooling is left: at most this share, possibly far less.
    AtMost {
        /// The share at which subcooling would just be gone.
        share: Fraction,
        /// Standard uncertainty of reading it.
        reading: Fraction,
        /// Standard uncertainty of the equation.
        model: Fraction,
    },
    /// Nothing.
    Void(Void),
}

/// The charge from a running reading.
///
/// `machine`: rated values and how readings move; `reading`: taken steady; `moment`: what voids it.
///
/// `m/m_r - 1 = (1/k_ch) [(SC - SC_r) - (k_sh/k_sc)(SH - SH_r)]`. Subcooling within one standard uncertainty of zero is censored:
/// with it gone, any lower charge reads the same, so the share is an upper bound: `1 - (1 - alpha_o) X_hs,r` at
/// the rated superheat, 18 % low with the defaults.
///
/// Range: a machine that meters its liquid, without an accumulator, at a fixed or test speed. Departures: from memory
/// throughout; tune it. Source: [`SOURCE`].
///
/// ```
/// use lineproof::check::charge::running::*;
/// use lineproof::quantity::*;
/// let kelvin = TemperatureDiff::from_si;
/// let machine = Machine::rated(kelvin(5.5), kelvin(6.0));
/// let read = |k: f64| Measured { value: kelvin(k), standard_uncertainty: kelvin(0.6), origin: Origin::Unit };
/// let moment = Moment { accumulator: false, speed: Speed::Fixed, two_phase_liquid_line: false };
/// let reading = Reading { subcooling: read(4.0), superheat: read(6.0) };
/// let Shown::Share { share, .. } = charge_share(&machine, &reading, moment) else { panic!("not void") };
/// // 5 % less charge is 1.5 K less subcooling
/// assert!((share.si() - 0.95).abs() < 0.001);
/// ```
pub fn charge_share(machine: &Machine, reading: &Reading, moment: Moment) -> Shown {
    if let Some(void) = voided(machine, reading, moment) {
        return Shown::Void(void);
    }
    let k = machine.per_charge.si();
    let u_subcooling = reading.subcooling.standard_uncertainty.si();
    let u_superheat = machine.superheat_weight * reading.superheat.standard_uncertainty.si();
    let censored = reading.subcooling.value.si() <= u_subcooling;
    let subcooling = if censored {
        0.0
    } else {
        reading.subcooling.value.si()
    };
    let over = reading.superheat.value.si() - machine.superheat.si();
    // superheat above its rating would lower the bound by an equation that no longer holds there: left out
    let over = if censored { over.min(0.0) } else { over };
    let effect = subcooling - machine.subcooling.si() - machine.superheat_weight * over;
    let share = Fraction::from_si((1.0 + effect / k).max(0.0));
    let read = Fraction::from_si(u_subcooling.hypot(u_superheat) / k);
    let model = machine.model;
    if censored {
        Shown::AtMost {
            share,
            reading: read,
            model,
        }
    } else {
        Shown::Share {
            share,
            reading: read,
            model,
            above_zero: subcooling / u_subcooling.max(1e-6),
        }
    }
}

fn voided(machine: &Machine, reading: &Reading, moment: Moment) -> Option<Void> {
    let superheat = &reading.superheat;
    let asked = [
        (Void::Accumulator, moment.accumulator),
        (Void::TwoPhaseLine, moment.two_phase_liquid_line),
        (Void::FreeSpeed, moment.speed == Speed::Free),
        (Void::RatedNearZero, machine.subcooling.si() < LEAST_RATED),
        (
            Void::ZeroSuperheat,
            superheat.value.si() <= superheat.standard_uncertainty.si(),
        ),
    ];
    asked.into_iter().find(|a| a.1).map(|a| a.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Origin;

    fn read(subcooling: f64, superheat: f64) -> Reading {
        let measured = |k| Measured {
            value: TemperatureDiff::from_si(k),
            standard_uncertainty: TemperatureDiff::from_si(0.5),
            origin: Origin::Unit,
        };
        Reading {
            subcooling: measured(subcooling),
            superheat: measured(superheat),
        }
    }

    fn machine() -> Machine {
        Machine::rated(TemperatureDiff::from_si(5.5), TemperatureDiff::from_si(6.0))
    }

    const STEADY: Moment = Moment {
        accumulator: false,
        speed: Speed::Fixed,
        two_phase_liquid_line: false,
    };

    fn share(machine: &Machine, reading: Reading) -> f64 {
        match charge_share(machine, &reading, STEADY) {
            Shown::Share { share, .. } | Shown::AtMost { share, .. } => share.si(),
            Shown::Void(why) => panic!("{why:?}"),
        }
    }

    #[test]
    fn the_rating_is_the_right_charge_and_alpha_returns() {
        assert!((share(&machine(), read(5.5, 6.0)) - 1.0).abs() < 1e-12);
        assert!((machine().alpha_o() - 0.75).abs() < 1e-12);
        // more superheat is less charge
        assert!(share(&machine(), read(5.5, 9.0)) < 0.97);
    }

    #[test]
    fn no_subcooling_is_at_least_18_percent_low() {
        for (subcooling, superheat) in [(0.0, 6.0), (0.4, 6.0), (-0.7, 15.0)] {
            let shown = charge_share(&machine(), &read(subcooling, superheat), STEADY);
            let Shown::AtMost { share, .. } = shown else {
                panic!("{shown:?}")
            };
            assert!((share.si() - 0.8175).abs() < 1e-9);
        }
    }

    #[test]
    fn every_gate_voids() {
        let shown = |reading: Reading, moment| charge_share(&machine(), &reading, moment);
        let good = || read(5.0, 6.0);
        let gates = [
            (
                shown(
                    good(),
                    Moment {
                        accumulator: true,
                        ..STEADY
                    },
                ),
                Void::Accumulator,
            ),
            (
                shown(
                    good(),
                    Moment {
                        speed: Speed::Free,
                        ..STEADY
                    },
                ),
                Void::FreeSpeed,
            ),
            (
                shown(
                    good(),
                    Moment {
                        two_phase_liquid_line: true,
                        ..STEADY
                    },
                ),
                Void::TwoPhaseLine,
            ),
            (shown(read(5.0, 0.3), STEADY), Void::ZeroSuperheat),
        ];
        for (found, void) in gates {
            assert_eq!(found, Shown::Void(void));
        }
        let flat = Machine::rated(TemperatureDiff::from_si(1.0), TemperatureDiff::from_si(6.0));
        let found = charge_share(&flat, &good(), STEADY);
        assert_eq!(found, Shown::Void(Void::RatedNearZero));
        assert!(matches!(
            shown(
                good(),
                Moment {
                    speed: Speed::Test,
                    ..STEADY
                }
            ),
            Shown::Share { .. }
        ));
    }

    #[test]
    fn two_points_or_a_recovery_tune_it() {
        let f = Fraction::from_si;
        let points = [(f(0.9), read(3.0, 6.0)), (f(1.0), read(5.0, 6.0))];
        let tuned = machine().tuned_by(points).unwrap();
        assert!((tuned.per_charge.si() - 20.0).abs() < 1e-9);
        assert!((share(&tuned, read(3.0, 6.0)) - 0.9).abs() < 1e-9);
        assert!((share(&tuned, read(5.0, 6.0)) - 1.0).abs() < 1e-9);
        let tuned = machine()
            .tuned_by_recovery(f(0.88), read(3.1, 6.0))
            .unwrap();
        assert!((share(&tuned, read(3.1, 6.0)) - 0.88).abs() < 1e-9);
        assert_eq!(tuned.tuned, Tuned::RecoveredMass);
        assert!(
            machine()
                .tuned_by_recovery(f(0.98), read(3.1, 6.0))
                .is_err()
        );
        let wrong = machine().tuned_by([(f(0.8), read(5.0, 6.0)), (f(1.0), read(4.0, 6.0))]);
        assert!(matches!(wrong, Err(TuneError::DoesNotFollow { .. })));
    }
}
