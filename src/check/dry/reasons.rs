//! Everything the vacuum rise can say.

macro_rules! codes {
    ($($id:ident = $code:literal, $meaning:literal;)*) => {
        $(#[doc = $meaning] pub const $id: &str = $code;)*
        /// Every code with its meaning.
        pub const CODES: &[(&str, &str)] = &[$(($code, $meaning),)*];
    };
}

codes! {
    RULE_MET = "dry-rule-met", "The level rule is met.";
    RULE_NOT_MET = "dry-rule-not-met", "The level rule is not met.";
    RULE_GAP = "dry-rule-gap", "The level lies in the rule's gap: neither pass nor fail.";
    TOO_SHORT = "dry-too-short", "The vacuum was isolated for less time than the rule asks.";
    STARTED_HIGH = "dry-started-high", "The vacuum was not deep enough when the valve was shut.";
    NO_LEAK_SEEN = "dry-no-leak-seen", "No steady rise is seen; at most so much.";
    LEAK = "dry-leak", "A steady rise above the limit: a leak.";
    LEAK_OPEN = "dry-leak-open", "A steady rise can neither be shown nor excluded yet.";
    MOISTURE = "dry-moisture", "The rise levels off above the rule: water or something else gives off vapour.";
    LEVELS_OFF = "dry-levels-off", "The rise levels off: something gave off vapour and stopped.";
    STARTS_LATE = "dry-starts-late", "A steady rise began or grew while the vacuum was held, not when the pump was shut off.";
    STEP = "dry-step", "The pressure changed suddenly: a valve was moved, trapped gas came in, or the gauge was touched.";
    STRETCH = "dry-stretch", "Only the longest stretch without a sudden change was fitted.";
    NEXT_READING = "dry-next-reading", "When to read the gauge next, and what that reading should buy.";
    WAIT = "dry-wait", "Too early to tell a leak from vapour: hold longer.";
    LIQUID_WATER = "dry-liquid-water", "The level is the vapour pressure of water at the coldest part.";
    FELL = "dry-fell", "The isolated pressure fell: drift of the gauge or vapour taken up, not a negative leak.";
    PUMPING = "dry-pumping", "The pressure falls so far that the pump must still have been pulling.";
    AT_CEILING = "dry-at-ceiling", "Readings at the gauge's ceiling were left out.";
    SEEMS_SHUT_OFF = "dry-seems-shut-off", "The log begins by pumping: where the pump seems to be shut off is proposed.";
    CEILING_SEEN = "dry-ceiling-seen", "The highest value stands still: the gauge's ceiling, left out.";
    COARSE_GAUGE = "dry-coarse-gauge", "The gauge's step is too coarse to show the rule's level or the limit.";
    GAUGES_DISAGREE = "dry-gauges-disagree", "Two gauges on one volume disagree; the higher is judged.";
    GAUGES_ACROSS = "dry-gauges-across", "Two gauges disagree across the rule: no pass until they agree.";
    OTHER_RULE = "dry-other-rule", "How the rise stands against another rule.";
    BELOW_WATER = "dry-below-water", "It levels off below what liquid water or ice would give: a film, oil or rubber.";
    ASK_COLDEST = "dry-ask-coldest", "The coldest temperature would tell liquid water or ice from a film, oil or rubber.";
    STANDING_BINDS = "dry-standing-binds", "Which of the vacuum rise and the standing pressure test saw the smaller hole.";
    ISOLATED_FROM = "dry-isolated-from", "From where on the readings count as isolated, and what says so.";
    THROUGH_VOLUME = "dry-through-volume", "The rise as a leak through the known volume.";
}
