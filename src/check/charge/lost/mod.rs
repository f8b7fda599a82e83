//! What an incident could have cost: an interval with each of its bounds named.

mod blow_down;
mod input;
#[cfg(test)]
mod tests;

pub use input::{
    Circuit, Ended, Escape, Holds, HoleBounds, Part, Passed, Seen, Timed, TimedBy, Valves,
};

use blow_down::{Contents, Curve, Draws, Walls};

use crate::fluid::refrigerant::RangeError;
use crate::physics::flow::FlowError;
use crate::physics::inventory::{liquid_mass, vapour_mass};
use crate::quantity::{Area, Mass, Measured, Quantity, Temperature, Volume};
use crate::source::SourceId;

/// Where the method comes from.
pub const SOURCE: SourceId = SourceId::LostMethod;

/// Two-sided 95 % of a normal.
const Z95: f64 = 1.96;

/// The hole is never taken as known better than a factor 3 between its ends.
const LEAST_SPREAD: f64 = 3.0;

/// Holes that hiss, m2, where nothing tells of them: a scratch across a flare to a service port without its core. The
/// program's own choice.
const ANY_HOLE: (f64, f64) = (0.005e-6, 10e-6);

/// A liquid-filled part holds at least this share of its volume as liquid.
const LEAST_FILL: f64 = 0.8;

/// What an incident could have cost.
#[derive(Debug, Clone, PartialEq)]
pub struct Lost {
    /// The least.
    pub low: Mass,
    /// The most; never more than was there.
    pub high: Mass,
    /// What makes up both ends: the parts of an end add up to it, unless all that was there is less.
    pub bounds: Vec<Bound>,
    /// The hole that was reckoned with.
    pub hole: Hole,
    /// What would narrow it, the most useful first.
    pub narrows: Vec<Narrows>,
}

impl Lost {
    /// What makes up an end; only all that was in, where that is less than what the parts come to.
    pub fn parts(&self, end: End) -> Vec<&Bound> {
        let of: Vec<&Bound> = self.bounds.iter().filter(|b| b.end == end).collect();
        let all = of
            .iter()
            .copied()
            .find(|b| b.by == BoundBy::AllThatWasThere);
        all.map_or(of, |all| vec![all])
    }
}

/// A part of one end of the interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// Which end.
    pub end: End,
    /// Its mass.
    pub mass: Mass,
    /// What sets it.
    pub by: BoundBy,
}

/// An end of an interval.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// The least.
    Low,
    /// The most.
    High,
}

/// What sets a part of an end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BoundBy {
    /// Nothing says that any got out.
    Nothing,
    /// Flow from the whole circuit through the hole in that time.
    FlowFromCircuit,
    /// Flow from the isolated parts through the hole in that time.
    FlowFromIsolated,
    /// The isolated parts' contents, less what stays at atmospheric pressure.
    IsolatedToSilence,
    /// All that the isolated parts held.
    IsolatedContents,
    /// The circuit's contents, less what stays at atmospheric pressure.
    CircuitToSilence,
    /// All that was in.
    AllThatWasThere,
}

impl BoundBy {
    /// The bound in words.
    pub fn words(self) -> &'static str {
        match self {
            BoundBy::Nothing => "nothing says that any got out",
            BoundBy::FlowFromCircuit => {
                "what the hole lets through in that time, fed by the whole circuit"
            }
            BoundBy::FlowFromIsolated => {
                "what the hole lets through in that time, fed by the shut-off part alone"
            }
            BoundBy::IsolatedToSilence => {
                "what the shut-off part held, less what stays when the hiss dies"
            }
            BoundBy::IsolatedContents => "all that the shut-off part held",
            BoundBy::CircuitToSilence => {
                "what the circuit held, less what stays when the hiss dies"
            }
            BoundBy::AllThatWasThere => "all that was in",
        }
    }
}

/// The hole that was reckoned with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hole {
    /// The least effective area.
    pub low: Area,
    /// The most.
    pub high: Area,
    /// What it comes from.
    pub from: HoleFrom,
}

/// What a hole's area comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HoleFrom {
    /// It was stated.
    Stated,
    /// From the time that the isolated parts took to fall silent.
    TimeToSilence,
    /// Any hole that hisses.
    Assumed,
}

/// What would narrow the interval.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Narrows {
    /// Whether the valves were open.
    ValveState,
    /// How long it hissed.
    HowLong,
    /// How the hiss ended.
    HowItEnded,
    /// The time from shutting the valves to silence.
    TimeToSilence,
    /// What came out.
    WhatPassed,
    /// What the isolated parts held.
    Contents,
    /// A recording or a witness for a guessed time.
    Clock,
    /// A technician weighs what is left.
    Weighing,
}

impl Narrows {
    /// The question or the step in words.
    pub fn words(self) -> &'static str {
        match self {
            Narrows::ValveState => "were the service valves open or shut?",
            Narrows::HowLong => "how long did it hiss?",
            Narrows::HowItEnded => {
                "did the hiss die by itself, or was something tightened or shut?"
            }
            Narrows::TimeToSilence => {
                "how long after the valves were shut did the hiss take to die? it tells of the hole"
            }
            Narrows::WhatPassed => "did liquid come out, or only vapour?",
            Narrows::Contents => {
                "what did the shut-off lines hold: vapour, liquid, a mass on the label?"
            }
            Narrows::Clock => "times from a recording, a message or a witness instead of a guess",
            Narrows::Weighing => {
                "a certified technician recovers and weighs what is left: that decides"
            }
        }
    }
}

/// What an incident could have cost.
///
/// `escape`: what is known of it. Ends are 95 % ends of the guessed times, volumes and temperature together with the
/// slowest and the fastest way out: vapour from contents that cool without any heat, against liquid that flashes behind
/// the hole (only vapour, when only vapour can have come out) at a steady temperature.
///
/// The hole's effective area is `A = K/t`, K the area times time that empties the isolated parts until silence (1.2
/// times the atmosphere), t the time that took; a guessed time has a factor 2 as standard deviation; never narrower
/// than a factor 3 between the ends. Without such a time it is any hole that hisses, 0.005 to 10 mm2.
///
/// Fed for a longer time, neither end is ever less; a longer time *to silence* speaks for a smaller hole. Never below
/// zero, never more than was there.
///
/// Range: the refrigerant's tables down to the atmosphere, so no R-744. Departures: no flow resistance but the hole's; a
/// hiss in gusts counts as one. Source: [`SOURCE`], [`crate::physics::flow::EQUILIBRIUM_SOURCE`].
///
/// ```
/// use lineproof::check::Segment;
/// use lineproof::check::charge::lost::*;
/// use lineproof::fluid::Refrigerant;
/// use lineproof::quantity::*;
/// # fn near<Q: Quantity>(value: Q, u: Q::Diff) -> Measured<Q> {
/// #     Measured { value, standard_uncertainty: u, origin: Origin::Assumed("example".into()) }
/// # }
/// let escape = Escape {
///     refrigerant: Refrigerant::R410A,
///     temperature: near(Temperature::of(20.0, unit::CELSIUS), TemperatureDiff::from_si(2.0)),
///     around: PressureAbs::of(1.0, unit::ATM),
///     circuit: Circuit::of(near(Mass::from_si(2.0), Mass::from_si(0.02))),
///     isolated: vec![Part {
///         segment: Segment::VapourLine,
///         volume: near(Volume::of(1.2, unit::LITRE), Volume::of(0.1, unit::LITRE)),
///         holds: Holds::Vapour,
///     }],
///     valves: Valves::Shut,
///     hiss: None,
///     ended: Ended::Silent,
///     passed: Passed::Vapour,
///     seen: vec![],
///     hole: None,
/// };
/// let lost = lost(&escape)?;
/// assert!(lost.low.in_unit(unit::GRAM) > 40.0 && lost.high.in_unit(unit::GRAM) < 110.0);
/// # Ok::<(), lineproof::physics::flow::FlowError>(())
/// ```
pub fn lost(escape: &Escape) -> Result<Lost, FlowError> {
    let case = Case::of(escape)?;
    let hole = case.hole()?;
    let low = case.least(&hole)?;
    let high = case.most(&hole)?;
    let there = case.charge.1;
    let sum = |bounds: &[Bound]| bounds.iter().map(|b| b.mass.si()).sum::<f64>();
    let most = sum(&high).clamp(0.0, there);
    // what is certain cannot be more than the least that was there
    let least = sum(&low).clamp(0.0, case.charge.0.max(0.0).min(most));
    let mut bounds = low;
    bounds.extend(high);
    let named = bounds.iter().any(|b| b.by == BoundBy::AllThatWasThere);
    if most == there && !named {
        bounds.push(bound(End::High, there, BoundBy::AllThatWasThere));
    }
    Ok(Lost {
        low: Mass::from_si(least),
        high: Mass::from_si(most),
        bounds,
        hole,
        narrows: narrows(escape, &hole),
    })
}

fn bound(end: End, mass: f64, by: BoundBy) -> Bound {
    Bound {
        end,
        mass: Mass::from_si(mass),
        by,
    }
}

/// Both 95 % ends of a measured value.
fn ends<Q: Quantity>(measured: &Measured<Q>) -> (f64, f64) {
    let half = Z95 * measured.standard_uncertainty.si();
    (measured.value.si() - half, measured.value.si() + half)
}

/// What the isolated parts or the circuit held, least and most.
#[derive(Debug, Clone, Copy)]
struct Inventory {
    least: Contents,
    most: Contents,
}

/// An incident with its contents worked out.
struct Case<'a> {
    escape: &'a Escape,
    isolated: Inventory,
    circuit: Inventory,
    charge: (f64, f64),
    /// Liquid may have come out.
    liquid: bool,
}

impl<'a> Case<'a> {
    fn of(escape: &'a Escape) -> Result<Case<'a>, FlowError> {
        let charge = ends(&escape.circuit.charge);
        let charge = (charge.0.max(0.0), charge.1);
        let seen = |what: &[Seen]| escape.seen.iter().any(|s| what.contains(s));
        let vapour_only =
            escape.passed == Passed::Vapour && !seen(&[Seen::Liquid, Seen::Mist, Seen::Oil]);
        Ok(Case {
            escape,
            isolated: isolated(escape)?,
            circuit: circuit(escape, charge),
            charge,
            liquid: !vapour_only,
        })
    }

    /// The slowest way out of contents.
    fn slow(&self, held: &Inventory) -> Result<Curve, FlowError> {
        let around = self.escape.around;
        Curve::of(&held.least, around, Draws::Vapour, Walls::Insulating)
    }

    /// The fastest way out of contents.
    fn fast(&self, held: &Inventory) -> Result<Curve, FlowError> {
        let fastest = if self.liquid {
            Draws::LateLiquid
        } else {
            Draws::Vapour
        };
        Curve::of(&held.most, self.escape.around, fastest, Walls::Warm)
    }

    /// The time that the isolated parts took to fall silent, if that is what was heard.
    fn to_silence(&self) -> Option<Timed> {
        let shut = matches!(self.escape.valves, Valves::Shut | Valves::ShutAfter(_));
        let silent = self.escape.ended == Ended::Silent && !self.escape.isolated.is_empty();
        self.escape.hiss.filter(|_| shut && silent)
    }

    fn hole(&self) -> Result<Hole, FlowError> {
        let (low, high, from) = if let Some(stated) = self.escape.hole {
            (stated.low.si(), stated.high.si(), HoleFrom::Stated)
        } else if let Some(time) = self.to_silence() {
            let (least, most) = self.area_time_to_silence()?;
            let spread = (Z95 * time.log_sd()).exp();
            let seconds = time.duration.si().max(1.0);
            let ends = (least / seconds / spread, most / seconds * spread);
            (ends.0, ends.1, HoleFrom::TimeToSilence)
        } else {
            (ANY_HOLE.0, ANY_HOLE.1, HoleFrom::Assumed)
        };
        let (low, high) = widened(low, high);
        Ok(Hole {
            low: Area::from_si(low),
            high: Area::from_si(high),
            from,
        })
    }

    /// Area times time that empties the isolated parts until silence, least and most.
    fn area_time_to_silence(&self) -> Result<(f64, f64), FlowError> {
        let around = self.escape.around;
        let mut draws = vec![Draws::Vapour];
        if self.escape.passed == Passed::Liquid {
            draws = vec![Draws::Liquid, Draws::LateLiquid];
        } else if self.liquid {
            draws.extend([Draws::Liquid, Draws::LateLiquid]);
        }
        let mut found = Vec::new();
        for held in [self.isolated.least, self.isolated.most] {
            // vapour alone leaves in one way
            if !held.has_liquid()? {
                let only = Curve::of(&held, around, Draws::Vapour, Walls::Warm)?;
                found.push(only.to_silence());
                continue;
            }
            for draws in &draws {
                for walls in [Walls::Warm, Walls::Insulating] {
                    found.push(Curve::of(&held, around, *draws, walls)?.to_silence());
                }
            }
        }
        let least = found.iter().copied().fold(f64::INFINITY, f64::min);
        let most = found.iter().copied().fold(0.0, f64::max);
        Ok((least, most))
    }

    /// Area times time while something fed the hole, least and most.
    fn fed(&self, time: Timed, hole: &Hole) -> (f64, f64) {
        let own = time.log_sd();
        let both_guessed = match self.to_silence() {
            // the hole's own spread is already in it: together they are less than one beside the other
            Some(silence) if hole.from == HoleFrom::TimeToSilence => {
                own.hypot(silence.log_sd()) - silence.log_sd()
            }
            _ => own,
        };
        let spread = (Z95 * both_guessed).exp();
        let seconds = time.duration.si();
        (
            hole.low.si() * seconds / spread,
            hole.high.si() * seconds * spread,
        )
    }

    fn least(&self, hole: &Hole) -> Result<Vec<Bound>, FlowError> {
        let low = |mass: f64, by| bound(End::Low, mass.max(0.0), by);
        let isolated = self.slow(&self.isolated)?;
        let circuit = || self.slow(&self.circuit);
        let flow = |curve: &Curve, time: Timed| curve.lost(self.fed(time, hole).0);
        let silent = self.escape.ended == Ended::Silent;
        let after_shut = if silent {
            low(isolated.total(), BoundBy::IsolatedToSilence)
        } else if let Some(time) = self.escape.hiss {
            low(flow(&isolated, time), BoundBy::FlowFromIsolated)
        } else {
            low(0.0, BoundBy::Nothing)
        };
        Ok(match self.escape.valves {
            Valves::Shut => vec![after_shut],
            // shut valves feed less
            Valves::NotKnown => vec![after_shut],
            Valves::ShutAfter(time) => vec![
                low(flow(&circuit()?, time), BoundBy::FlowFromCircuit),
                after_shut,
            ],
            Valves::Open if silent => vec![low(circuit()?.total(), BoundBy::CircuitToSilence)],
            Valves::Open => match self.escape.hiss {
                Some(time) => vec![low(flow(&circuit()?, time), BoundBy::FlowFromCircuit)],
                None => vec![low(0.0, BoundBy::Nothing)],
            },
        })
    }

    fn most(&self, hole: &Hole) -> Result<Vec<Bound>, FlowError> {
        let high = |mass: f64, by| bound(End::High, mass, by);
        let contents = self.isolated.most.mass;
        let flow = |curve: &Curve, time: Timed| curve.lost(self.fed(time, hole).1);
        let stopped = matches!(self.escape.ended, Ended::Tightened | Ended::ValveShut);
        let from_circuit = |time: Option<Timed>| -> Result<Bound, FlowError> {
            Ok(match time {
                Some(time) => {
                    let fast = self.fast(&self.circuit)?;
                    high(flow(&fast, time), BoundBy::FlowFromCircuit)
                }
                None => high(self.charge.1, BoundBy::AllThatWasThere),
            })
        };
        let after_shut = match self.escape.hiss {
            Some(time) if stopped => {
                let fast = self.fast(&self.isolated)?;
                high(flow(&fast, time), BoundBy::FlowFromIsolated)
            }
            _ => high(contents, BoundBy::IsolatedContents),
        };
        let everything = || high(self.charge.1, BoundBy::AllThatWasThere);
        Ok(match self.escape.valves {
            Valves::Shut => vec![after_shut],
            Valves::ShutAfter(time) => vec![from_circuit(Some(time))?, after_shut],
            Valves::Open | Valves::NotKnown if !stopped => vec![everything()],
            Valves::Open | Valves::NotKnown => {
                let mut parts = vec![from_circuit(self.escape.hiss)?];
                if self.escape.ended == Ended::ValveShut {
                    // what the shut valve left on the hole's side
                    parts.push(high(contents, BoundBy::IsolatedContents));
                }
                parts
            }
        })
    }
}

/// At least a factor 3 from end to end, about the same middle.
fn widened(low: f64, high: f64) -> (f64, f64) {
    if high >= LEAST_SPREAD * low {
        return (low, high);
    }
    let middle = (low * high).sqrt();
    let half = LEAST_SPREAD.sqrt();
    (middle / half, middle * half)
}

/// Contents of the isolated parts together.
fn isolated(escape: &Escape) -> Result<Inventory, RangeError> {
    let kelvins = ends(&escape.temperature);
    let contents = |kelvin: f64| Contents {
        refrigerant: escape.refrigerant,
        volume: 0.0,
        mass: 0.0,
        kelvin,
    };
    let mut least = contents(kelvins.0);
    let mut most = contents(kelvins.1);
    for part in &escape.isolated {
        let (small, large) = ends(&part.volume);
        let small = small.max(0.0);
        least.volume += small;
        most.volume += large;
        least.mass += filled(escape, part, small, End::Low)?;
        most.mass += filled(escape, part, large, End::High)?;
    }
    Ok(Inventory { least, most })
}

/// The least or the most that a part of a volume held.
fn filled(escape: &Escape, part: &Part, volume: f64, end: End) -> Result<f64, RangeError> {
    let kelvins = ends(&escape.temperature);
    let volume = Volume::from_si(volume);
    let of = |mass: fn(_, _, _) -> Result<Mass, RangeError>, kelvin: f64| {
        mass(escape.refrigerant, volume, Temperature::from_si(kelvin)).map(Mass::si)
    };
    // vapour is denser when warm, liquid when cold
    let (vapour, liquid) = match end {
        End::Low => (of(vapour_mass, kelvins.0)?, of(liquid_mass, kelvins.1)?),
        End::High => (of(vapour_mass, kelvins.1)?, of(liquid_mass, kelvins.0)?),
    };
    Ok(match (&part.holds, end) {
        (Holds::Stated(mass), End::Low) => ends(mass).0.max(0.0),
        (Holds::Stated(mass), End::High) => ends(mass).1,
        (Holds::Vapour, _) | (Holds::NotKnown, End::Low) => vapour,
        (Holds::Liquid, End::Low) => LEAST_FILL * liquid + (1.0 - LEAST_FILL) * vapour,
        (Holds::Liquid | Holds::NotKnown, End::High) => liquid,
    })
}

fn circuit(escape: &Escape, charge: (f64, f64)) -> Inventory {
    let kelvins = ends(&escape.temperature);
    let volumes = ends(&escape.circuit.volume);
    let contents = |mass: f64, volume: f64, kelvin: f64| Contents {
        refrigerant: escape.refrigerant,
        volume: volume.max(1e-6),
        mass,
        kelvin,
    };
    Inventory {
        least: contents(charge.0, volumes.0, kelvins.0),
        most: contents(charge.1, volumes.1, kelvins.1),
    }
}

fn narrows(escape: &Escape, hole: &Hole) -> Vec<Narrows> {
    let open = !matches!(escape.valves, Valves::Shut);
    let guessed = |time: &Timed| time.by == TimedBy::Guess;
    let before = match &escape.valves {
        Valves::ShutAfter(time) => Some(time),
        _ => None,
    };
    let times = escape.hiss.iter().chain(before);
    let asked = [
        (Narrows::ValveState, escape.valves == Valves::NotKnown),
        (Narrows::HowItEnded, escape.ended == Ended::NotKnown),
        (
            Narrows::HowLong,
            escape.hiss.is_none() && escape.ended != Ended::Silent,
        ),
        (
            Narrows::TimeToSilence,
            open && hole.from == HoleFrom::Assumed,
        ),
        (Narrows::WhatPassed, escape.passed == Passed::NotKnown),
        (
            Narrows::Contents,
            escape
                .isolated
                .iter()
                .any(|part| part.holds == Holds::NotKnown),
        ),
        (Narrows::Clock, times.into_iter().any(guessed)),
        (Narrows::Weighing, true),
    ];
    asked.into_iter().filter(|a| a.1).map(|a| a.0).collect()
}
