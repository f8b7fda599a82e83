//! What was read at a running unit.

use serde::Serialize;

use super::{Body, Estimate, outcome_words};
use crate::check::run::{self, FeatureRow, Judged};
use crate::check::{Detail, Finding, Outcome};
use crate::quantity::{Interval, Quantity};
use crate::stats::within::Within;

/// What *run* found; temperatures and their differences in K.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Run {
    /// How it came out.
    #[serde(serialize_with = "outcome_words")]
    pub outcome: Outcome,
    /// The codes of its reasons, the most important first.
    pub reasons: Vec<&'static str>,
    /// Suction line minus dew.
    #[serde(rename = "superheat_K")]
    pub superheat: Option<Estimate>,
    /// Bubble minus liquid line.
    #[serde(rename = "subcooling_K")]
    pub subcooling: Option<Estimate>,
    /// What was held against a target.
    pub judged: Vec<Held>,
    /// Each feature against what is expected of it.
    pub signs: Vec<SignOf>,
    /// The faults that would look like this.
    pub would_look_like: Vec<&'static str>,
    /// What is still to be answered, in order.
    pub questions: Vec<&'static str>,
    /// What each further answer or reading would buy, in order.
    pub worth: Vec<String>,
}

/// A feature of a running circuit against what is expected of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SignOf {
    /// The feature.
    pub feature: &'static str,
    /// "low", "as expected", "high", "not told" or "not read".
    pub sign: &'static str,
    /// What was read.
    #[serde(rename = "value_K")]
    pub value: Option<f64>,
    /// The low end of what is expected.
    #[serde(rename = "expected_low_K")]
    pub expected_low: Option<f64>,
    /// The high end of it.
    #[serde(rename = "expected_high_K")]
    pub expected_high: Option<f64>,
}

/// A reading held against its target.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Held {
    /// "superheat" or "subcooling".
    pub name: &'static str,
    /// The low end of what passes.
    #[serde(rename = "low_K")]
    pub low: f64,
    /// The high end of what passes.
    #[serde(rename = "high_K")]
    pub high: f64,
    /// Probability that it lies between.
    pub probability_inside: f64,
    /// "inside", "outside" or "undecided".
    pub within: &'static str,
    /// The source of the limits.
    pub source: &'static str,
}

impl From<&Finding> for Run {
    fn from(finding: &Finding) -> Self {
        let nothing = run::Detail::default();
        let detail = match &finding.detail {
            Detail::Run(detail) => detail,
            _ => &nothing,
        };
        let estimate = |reading: &Option<run::Reading>| {
            reading.as_ref().map(|r| {
                let range = Interval::normal(r.value, r.standard_uncertainty);
                Estimate {
                    estimate: range.estimate,
                    low95: range.low,
                    high95: range.high,
                }
            })
        };
        Run {
            outcome: finding.outcome,
            reasons: finding.reasons.iter().map(|r| r.code).collect(),
            superheat: estimate(&detail.superheat),
            subcooling: estimate(&detail.subcooling),
            judged: detail.judged.iter().map(Held::from).collect(),
            signs: detail.features.iter().map(SignOf::from).collect(),
            would_look_like: detail
                .hints
                .iter()
                .filter(|hint| hint.fits())
                .map(|hint| hint.fault)
                .collect(),
            worth: detail.worth.iter().map(|w| w.words()).collect(),
            questions: detail.questions.iter().map(|q| q.text()).collect(),
        }
    }
}

impl From<&FeatureRow> for SignOf {
    fn from(row: &FeatureRow) -> Self {
        SignOf {
            feature: row.feature.words(),
            sign: row.sign.words(),
            value: row.value.map(Quantity::si),
            expected_low: row.expected.map(|e| e.low.si()),
            expected_high: row.expected.map(|e| e.high.si()),
        }
    }
}

impl From<&Judged> for Held {
    fn from(judged: &Judged) -> Self {
        Held {
            name: judged.name,
            low: judged.low.si(),
            high: judged.high.si(),
            probability_inside: judged.probability,
            within: match judged.within {
                Within::Inside => "inside",
                Within::Outside => "outside",
                Within::Undecided => "undecided",
            },
            source: judged.source.key(),
        }
    }
}

impl Body for Run {}
