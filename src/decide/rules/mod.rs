//! The rules, one constant each: a code, a source, what it asks for, and the sentence when it applies.

mod call;
mod conflict;
mod dry;
mod own;
mod stop;

use super::case::Case;
use super::{Ground, HowSoon, Meanwhile, Verdict};
use crate::source::SourceId;

/// A rule.
pub struct Rule {
    /// Stable kebab-case code.
    pub code: &'static str,
    /// What it is about, for the list of codes.
    pub meaning: &'static str,
    /// Where it comes from.
    pub source: SourceId,
    /// The answer it asks for.
    pub verdict: Verdict,
    /// What the system may do until then.
    pub meanwhile: Meanwhile,
    /// How soon.
    pub how_soon: HowSoon,
    /// What a technician should bring.
    pub bring: &'static [&'static str],
    /// What to measure or do first.
    pub first: &'static [&'static str],
    /// The same where it depends on what was found; none where it does not.
    pub first_of: fn(&Case) -> Option<Vec<&'static str>>,
    /// What would undo it: the evidence or the event after which it is silent.
    pub undo: &'static str,
    /// The sentence, when the rule applies.
    pub applies: fn(&Case) -> Option<String>,
}

/// Every rule, the most severe first.
pub fn all() -> impl Iterator<Item = &'static Rule> {
    stop::RULES
        .iter()
        .chain(call::RULES)
        .chain(conflict::RULES)
        .chain(own::RULES)
}

/// Whether a code is one of two pieces of evidence in conflict, which is shown whatever else speaks.
pub fn is_conflict(code: &str) -> bool {
    code == call::CONFLICT || conflict::RULES.iter().any(|rule| rule.code == code)
}

impl Rule {
    /// The rule's ground in a case, when it applies.
    pub fn judge(&self, case: &Case) -> Option<Ground> {
        (self.applies)(case).map(|text| Ground {
            code: self.code,
            text,
            source: self.source,
            verdict: self.verdict,
            meanwhile: self.meanwhile,
            how_soon: self.how_soon,
            bring: self.bring.to_vec(),
            first: (self.first_of)(case).unwrap_or_else(|| self.first.to_vec()),
        })
    }
}
