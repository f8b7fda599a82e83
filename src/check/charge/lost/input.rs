//! What is known of an incident.

use crate::check::Segment;
use crate::fluid::Refrigerant;
use crate::quantity::{
    Area, Duration, Mass, Measured, Origin, PressureAbs, Quantity, Temperature, Volume,
};

/// What is known of an incident in which refrigerant got out.
#[derive(Debug, Clone, PartialEq)]
pub struct Escape {
    /// The refrigerant.
    pub refrigerant: Refrigerant,
    /// Temperature of the lines before it: that of the air around them.
    pub temperature: Measured<Temperature>,
    /// The local atmosphere.
    pub around: PressureAbs,
    /// All that was in before it.
    pub circuit: Circuit,
    /// What the hole was open to with the valves shut.
    pub isolated: Vec<Part>,
    /// What fed the hole.
    pub valves: Valves,
    /// How long it hissed; with [`Valves::ShutAfter`]: from the shutting on.
    pub hiss: Option<Timed>,
    /// How the hiss ended.
    pub ended: Ended,
    /// What came out, as far as somebody can say.
    pub passed: Passed,
    /// What was seen.
    pub seen: Vec<Seen>,
    /// The hole, where it is known better than from the times.
    pub hole: Option<HoleBounds>,
}

/// A whole circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct Circuit {
    /// The mass in it.
    pub charge: Measured<Mass>,
    /// Its volume.
    pub volume: Measured<Volume>,
}

impl Circuit {
    /// A circuit of which only the charge is known: 2 litres a kilogram, a factor 1.5 either way. The program's own
    /// choice.
    pub fn of(charge: Measured<Mass>) -> Circuit {
        let litres = 2e-3 * charge.value.si();
        Circuit {
            charge,
            volume: Measured {
                value: Volume::from_si(litres),
                standard_uncertainty: Volume::from_si(0.25 * litres),
                origin: Origin::Assumed("2 L a kg of charge".into()),
            },
        }
    }
}

/// A part of the circuit that valves shut off from the outdoor unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Which one.
    pub segment: Segment,
    /// Its volume.
    pub volume: Measured<Volume>,
    /// What filled it.
    pub holds: Holds,
}

/// What filled a part.
#[derive(Debug, Clone, PartialEq)]
pub enum Holds {
    /// Vapour at saturation.
    Vapour,
    /// Liquid: 80 to 100 % of the volume, the program's own choice.
    Liquid,
    /// A mass, as on the label of a pre-charged line.
    Stated(Measured<Mass>),
    /// Anything from vapour to full of liquid.
    NotKnown,
}

/// What fed the hole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Valves {
    /// Shut the whole time: the isolated parts alone.
    Shut,
    /// Open the whole time: the whole circuit.
    Open,
    /// Open for so long, then shut.
    ShutAfter(Timed),
    /// Nobody can say.
    NotKnown,
}

/// A length of time and how it is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Timed {
    /// The time.
    pub duration: Duration,
    /// How it is known.
    pub by: TimedBy,
}

/// How a time is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TimedBy {
    /// By feeling: a factor 2 either way, as one standard deviation.
    Guess,
    /// By a clock or a recording: 10 % and a second.
    Clock,
}

impl Timed {
    /// Standard deviation of the time's logarithm; the program's own choice for both ways of knowing.
    pub(super) fn log_sd(self) -> f64 {
        match self.by {
            TimedBy::Guess => std::f64::consts::LN_2,
            // with the second counted in full below 2 s, a longer hiss could cost less
            TimedBy::Clock => 0.1 + 1.0 / self.duration.si().max(2.0),
        }
    }
}

/// How the hiss ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ended {
    /// It died away by itself.
    Silent,
    /// The joint was tightened or the cap put on while it still hissed.
    Tightened,
    /// A valve was shut while it still hissed, and the hiss ended with it.
    ValveShut,
    /// Nobody can say.
    NotKnown,
}

/// What came out of the hole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Passed {
    /// Only vapour.
    Vapour,
    /// Liquid, at least part of the time.
    Liquid,
    /// Nobody can say.
    NotKnown,
}

/// What was seen at the hole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seen {
    /// Drops or a jet of liquid.
    Liquid,
    /// A white mist.
    Mist,
    /// Frost on the metal: vapour makes it too.
    Frost,
    /// Oil, which liquid carries.
    Oil,
}

/// The effective area of the hole, least and most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HoleBounds {
    /// The least.
    pub low: Area,
    /// The most.
    pub high: Area,
}
