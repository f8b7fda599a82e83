//! JSON of a code's meaning, and of what would change an answer.

use serde::Serialize;

use super::Body;
use crate::decide::{Belongs, Why, WouldChange};
use crate::source::SourceId;

#[derive(Debug, Clone, PartialEq, Serialize)]
struct Cited {
    key: &'static str,
    text: &'static str,
    status: &'static str,
}

impl From<&SourceId> for Cited {
    fn from(source: &SourceId) -> Self {
        Cited {
            key: source.key(),
            text: source.text(),
            status: source.status().words(),
        }
    }
}

/// What a code means.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WhyDocument {
    code: &'static str,
    meaning: &'static str,
    stage: Option<&'static str>,
    decision: Option<&'static str>,
    meanwhile: Option<&'static str>,
    how_soon: Option<&'static str>,
    first: Vec<&'static str>,
    bring: Vec<&'static str>,
    undo: String,
    sources: Vec<Cited>,
}

impl From<&Why> for WhyDocument {
    fn from(why: &Why) -> Self {
        let (stage, rule) = match why.belongs {
            Belongs::Rule {
                verdict,
                meanwhile,
                how_soon,
            } => (None, Some((verdict, meanwhile, how_soon))),
            Belongs::Reason(stage) => (Some(stage.word()), None),
            Belongs::Evidence => (None, None),
        };
        WhyDocument {
            code: why.code,
            meaning: why.meaning,
            stage,
            decision: rule.map(|(verdict, ..)| verdict.words()),
            meanwhile: rule.map(|(_, meanwhile, _)| meanwhile.words()),
            how_soon: rule.map(|(.., how_soon)| how_soon.words()),
            first: why.first.to_vec(),
            bring: why.bring.to_vec(),
            undo: why.undo.clone(),
            sources: why.sources.iter().map(Cited::from).collect(),
        }
    }
}

/// A measurement that could change an answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Changing {
    text: String,
    command: Option<String>,
    narrows: String,
    effort: &'static str,
}

impl From<&WouldChange> for Changing {
    fn from(change: &WouldChange) -> Self {
        Changing {
            text: change.text.clone(),
            command: change.command.clone(),
            narrows: change.narrows.clone(),
            effort: change.effort.words(),
        }
    }
}

impl Body for WhyDocument {}
