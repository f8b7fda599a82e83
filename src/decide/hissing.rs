//! The card for the moment gas is heard: what to do, in this order, before anything is measured.

use crate::source::SourceId;

/// One thing to do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Act {
    /// What.
    pub text: &'static str,
    /// Why, or how.
    pub detail: &'static str,
    /// Where it comes from.
    pub source: SourceId,
}

/// What to do, first things first.
///
/// Common practice throughout; the unit's own safety pages and the fire service's advice win.
pub const CARD: &[Act] = &[
    Act {
        text: "Power off at the outdoor disconnect or the breaker.",
        detail: "Not at a switch, thermostat or plug near the gas when the refrigerant burns (class A2L, A2 or A3): a switch can spark.",
        source: SourceId::CommonPractice,
    },
    Act {
        text: "No flame, no smoking, no torch, no switch touched near the hiss.",
        detail: "Refrigerant in a flame also makes acid that burns the lungs, with every refrigerant, flammable or not.",
        source: SourceId::CommonPractice,
    },
    Act {
        text: "Open doors and windows, get everybody out of the room, breathe outside.",
        detail: "The gas is heavier than air: it fills cellars, pits and low rooms first and takes the place of the air. Dizzy or short of breath: call the emergency number.",
        source: SourceId::CommonPractice,
    },
    Act {
        text: "Keep hands, eyes and face out of the jet; goggles and gloves if you go near.",
        detail: "Liquid refrigerant freezes skin and eyes at once. Rinse with lukewarm water for a long time and see a doctor.",
        source: SourceId::CommonPractice,
    },
    Act {
        text: "Shut both service valves outdoors, if you can reach them without reaching through the jet.",
        detail: "Clockwise to the stop, liquid valve first. If it takes more than that, leave it alone: the charge is worth less than you.",
        source: SourceId::CommonPractice,
    },
    Act {
        text: "Note the time it began and the time it fell silent.",
        detail: "How long it blew is the best clue to how much is gone.",
        source: SourceId::CommonPractice,
    },
    Act {
        text: "Photograph the place and the joint as it is, once the air is clear.",
        detail: "A joint the factory made is the warranty's: photograph it and call before anything touches it.",
        source: SourceId::CommonPractice,
    },
    Act {
        text: "Do not run the compressor, do not pump down, do not solder, do not top up.",
        detail: "Air may be inside by now, and air with oil under compression can burst a compressor.",
        source: SourceId::IeaO324,
    },
    Act {
        text: "Then write it down: lineproof add DIR released --at TIME --lasted TIME --seen hiss,oil",
        detail: "It asks only for times and what was seen; lineproof decide DIR says what is next.",
        source: SourceId::CommonPractice,
    },
];
