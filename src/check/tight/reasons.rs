//! Everything the standing pressure test can say.

use crate::check::Reason;
use crate::source::SourceId;

macro_rules! codes {
    ($($id:ident = $code:literal, $meaning:literal;)*) => {
        $(#[doc = $meaning] pub const $id: &str = $code;)*
        /// Every code with its meaning.
        pub const CODES: &[(&str, &str)] = &[$(($code, $meaning),)*];
    };
}

codes! {
    WITHIN_LIMIT = "tight-within-limit", "The loss is below the limit with more than 95 % probability.";
    ABOVE_LIMIT = "tight-above-limit", "The loss is above the limit with more than 95 % probability.";
    NOT_PROVEN = "tight-not-proven", "The readings decide neither way yet.";
    LEAK_SEEN = "tight-leak-seen", "A loss above zero is seen, whatever the limit says.";
    NEEDS_A_DAY = "tight-needs-a-day", "Looks like a loss, but a daily swing that no thermometer saw could do the same; a full day decides.";
    COULD_HIDE = "tight-day-could-hide", "Looks tight, but a daily swing that no thermometer saw could hide a loss; a full day decides.";
    HOLD_LONGER = "tight-hold-longer", "How many hours more should decide.";
    TEMPERATURE_EXPLAINS = "tight-temperature-explains", "How much of the change on the gauge temperature explains.";
    NO_TEMPERATURE = "tight-no-temperature", "No temperature was read, so the interval is wide.";
    COARSE_GAUGE = "tight-coarse-gauge", "The gauge shows three different values or fewer.";
    NOT_FOLLOWING = "tight-not-following", "The temperature moved and the pressure did not follow: not a closed volume, or the gauge is not connected.";
    STEP = "tight-step", "The pressure changed suddenly: a valve, a hose or a refill, not a leak.";
    ROSE = "tight-rose", "The pressure rose suddenly: was gas added?";
    OUTLIERS = "tight-outliers", "Single readings that stand alone were left out.";
    LATE_LEAK = "tight-late-leak", "The second half loses more than the first: something opened during the test.";
    CODE_RULE_MET = "tight-code-rule-met", "The code rule is met once temperature is taken out.";
    CODE_RULE_NOT_MET = "tight-code-rule-not-met", "The code rule is not met even with temperature taken out.";
    CODE_RULE_SHORT = "tight-code-rule-short", "The test was shorter than the code rule asks.";
    CODE_RULE_COARSE = "tight-code-rule-coarse", "The gauge is coarser than the code rule allows.";
    CODE_RULE_LOW = "tight-code-rule-low", "The test pressure was below what the code rule asks.";
    WITNESS = "tight-witness", "A second, tight volume beside it took the thermometers' place.";
    WITNESS_MOVED = "tight-witness-moved", "The volume taken as tight lost or gained gas itself.";
    WITNESS_WOULD_NARROW = "tight-witness-would-narrow", "What a known-tight volume logged beside it would bring.";
    UNLOGGED_PART = "tight-unlogged-part", "A part of the volume without a thermometer is allowed for, as stated.";
    COMPRESSOR = "tight-compressor", "A compressor with its oil was part of the volume.";
    LINE_OR_RIG = "tight-line-or-rig", "The rig was not tested alone: the loss may be the line's or the rig's.";
    RIG_HELD = "tight-rig-held", "The rig alone held, so the loss is the line's.";
    RIG_LEAKS = "tight-rig-leaks", "The rig alone loses gas.";
    GAS_NOT_JUDGED = "tight-gas-not-judged", "The test gas is not known, or is refrigerant: no pass.";
    MAY_PASS_RATING = "tight-may-pass-rating", "Warmed by the day, the pressure could go above the lowest rating.";
    WRONG_GAS = "tight-wrong-gas", "The test gas was oxygen or air.";
    OVER_RATING = "tight-over-rating", "The test pressure is above the lowest rating.";
    GAUGE_DRIFT = "tight-gauge-drift", "How far the gauge's zero may move with temperature is allowed for.";
    LOW_PRESSURE = "tight-low-pressure", "At such a low pressure the weather's change of the atmosphere hides small losses.";
    MASS_LOSS = "tight-mass-loss", "What the same hole would lose of the refrigerant at rest and running, over three laws of flow.";
    MASS_NOT_VALID = "tight-mass-not-valid", "The refrigerant does not condense at the running condition, so no loss is said for it.";
    BUBBLES_SEE = "tight-bubbles-see", "What bubbles would show beside the test, in the same unit.";
    DETECTOR_SEES = "tight-detector-sees", "What an electronic detector would show, in the same unit.";
    PASSES_TO = "tight-passes-to", "The limit by mass is not reached; the loss that the readings do pass to.";
}

/// What ends a test at once, whatever its numbers say.
pub const STOPS: [&str; 2] = [WRONG_GAS, OVER_RATING];

/// A reason by this program's own method.
pub(super) fn method(code: &'static str, text: String) -> Reason {
    Reason::new(code, SourceId::TightMethod, text)
}
