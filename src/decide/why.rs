//! What a code means: `why` over everything that the checks and the rules can say.

use std::collections::HashMap;
use std::sync::OnceLock;

use super::rules::{self, Rule};
use super::{HowSoon, Meanwhile, Verdict, command, evidence};
use crate::check::{Stage, charge, dry, joints, run, start, tight};
use crate::source::SourceId;

/// Where a code belongs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Belongs {
    /// A rule of the decision, with what it asks for.
    Rule {
        /// The answer.
        verdict: Verdict,
        /// What the system may do until then.
        meanwhile: Meanwhile,
        /// How soon.
        how_soon: HowSoon,
    },
    /// A reason of a stage's finding.
    Reason(Stage),
    /// A reason that comes from the evidence itself, on any stage.
    Evidence,
}

/// What a code means.
#[derive(Debug, Clone, PartialEq)]
pub struct Why {
    /// The code.
    pub code: &'static str,
    /// Its meaning.
    pub meaning: &'static str,
    /// Where it belongs.
    pub belongs: Belongs,
    /// Where its limit, equation or practice comes from.
    pub sources: Vec<SourceId>,
    /// What a technician should bring, when a rule calls one.
    pub bring: &'static [&'static str],
    /// What a rule asks to measure or do first.
    pub first: &'static [&'static str],
    /// What would undo it.
    pub undo: String,
}

type Codes = &'static [(&'static str, &'static str)];

/// The reasons of each stage.
const REASONS: [(Belongs, Codes); 7] = [
    (Belongs::Reason(Stage::Joints), joints::reasons::CODES),
    (Belongs::Reason(Stage::Tight), tight::reasons::CODES),
    (Belongs::Reason(Stage::Dry), dry::reasons::CODES),
    (Belongs::Reason(Stage::Charge), charge::reasons::CODES),
    (Belongs::Reason(Stage::Start), start::reasons::CODES),
    (Belongs::Reason(Stage::Run), run::reasons::CODES),
    (Belongs::Evidence, evidence::CODES),
];

/// Every code of checks and rules.
pub fn codes() -> impl Iterator<Item = &'static str> {
    REASONS
        .iter()
        .flat_map(|(_, codes)| codes.iter().map(|(code, _)| *code))
        .chain(rules::all().map(|rule| rule.code))
}

/// What a code means; none when there is no such code.
///
/// ```
/// use lineproof::decide::why;
/// let why = why("call-charge-lost").unwrap();
/// assert!(why.bring.contains(&"scale"));
/// ```
pub fn why(code: &str) -> Option<Why> {
    rules::all()
        .find(|rule| rule.code == code)
        .map(of_rule)
        .or_else(|| of_reason(code))
}

/// The known code nearest to a mistyped one.
pub fn nearest(code: &str) -> Option<&'static str> {
    crate::record::nearest(code, codes())
}

fn of_rule(rule: &'static Rule) -> Why {
    Why {
        code: rule.code,
        meaning: rule.meaning,
        belongs: Belongs::Rule {
            verdict: rule.verdict,
            meanwhile: rule.meanwhile,
            how_soon: rule.how_soon,
        },
        sources: vec![rule.source],
        bring: rule.bring,
        first: rule.first,
        undo: rule.undo.into(),
    }
}

fn of_reason(typed: &str) -> Option<Why> {
    let (belongs, code, meaning) = REASONS.iter().find_map(|(belongs, codes)| {
        let (code, meaning) = codes.iter().find(|(code, _)| *code == typed)?;
        Some((*belongs, *code, *meaning))
    })?;
    let again = match belongs {
        Belongs::Reason(stage) => command(stage),
        _ => None,
    };
    let undo =
        "findings are computed anew from the record each time: newer evidence that says otherwise";
    Some(Why {
        code,
        meaning,
        belongs,
        sources: sources().get(code).cloned().unwrap_or_default(),
        bring: &[],
        first: &[],
        undo: again.map_or_else(|| undo.into(), |command| format!("{undo}: {command}")),
    })
}

const SOURCES: &str = include_str!("../../tables/reason_sources.csv");

/// The sources of each reason: a table written from the tests that say every code.
fn sources() -> &'static HashMap<&'static str, Vec<SourceId>> {
    static TABLE: OnceLock<HashMap<&str, Vec<SourceId>>> = OnceLock::new();
    TABLE.get_or_init(|| {
        SOURCES
            .lines()
            .filter(|line| !line.starts_with('#'))
            .filter_map(|line| line.split_once(','))
            .map(|(code, keys)| {
                let known = |key: &str| SourceId::ALL.iter().copied().find(|s| s.key() == key);
                (code, keys.split(' ').filter_map(known).collect())
            })
            .collect()
    })
}
