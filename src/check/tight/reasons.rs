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

/// A reason by this program's own method.
pub(super) fn method(code: &'static str, text: String) -> Reason {
    Reason::new(code, SourceId::TightMethod, text)
}
