//! The one plain struct of all results that every renderer draws from.

use crate::check::dry::pumping::PumpLog;
use crate::check::{Caution, Finding, Outcome, Stage, run};
use crate::decide::{Decision, Ground};
use crate::out::figure::{
    ChargeInterval, Hold, HoldResiduals, LossLimit, PressureEnthalpy, PumpDownFigure, RiseFigure,
    Running, RunningLogFigure,
};
use crate::out::personal::PersonalKind;
use crate::out::told::Line;
use crate::quantity::{UnitSystem, Volume};
use crate::source::SourceId;

/// All results of a line set record, in words and numbers ready to show.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// The record's name.
    pub record: String,
    /// Whether the record is an example made up for teaching.
    pub invented: bool,
    /// Country and altitude or barometer: "US, 1450 m".
    pub place: String,
    /// The equipment in a line.
    pub equipment: String,
    /// The refrigerant: "R-454B".
    pub refrigerant: String,
    /// The route through the stages, in words.
    pub route: String,
    /// When the sheet was made.
    pub made_at: String,
    /// The units to print.
    pub units: UnitSystem,
    /// The one answer.
    pub decision: Decision,
    /// Every stage of the route, in order.
    pub stages: Vec<StageSheet>,
    /// What happened, in order.
    pub events: Vec<EventLine>,
    /// What the record itself warns of: a torn line, a changed file.
    pub warnings: Vec<String>,
    /// The joints ledger.
    pub joints: Vec<JointLine>,
    /// What else the report names of owner and equipment: address, serial numbers.
    pub facts: Vec<(&'static str, String)>,
    /// The kinds of personal facts that were left out at the owner's wish.
    pub left_out: Vec<PersonalKind>,
    /// The standing pressure test that counts, to draw.
    pub hold: Option<Hold>,
    /// What is left of it with temperature taken out, to draw.
    pub residuals: Option<HoldResiduals>,
    /// Its loss against the limit, to draw.
    pub loss_limit: Option<LossLimit>,
    /// The vacuum rise that counts, to draw.
    pub rise: Option<RiseFigure>,
    /// The pump-down before it, where it was logged.
    pub pump_down: Option<PumpDownSheet>,
    /// What is known of the mass inside, to draw.
    pub charge: Option<ChargeInterval>,
    /// The running reading that counts, to draw.
    pub running: Option<Running>,
    /// The running log that it was taken from, to draw.
    pub running_log: Option<RunningLogFigure>,
    /// The cycle that the same reading gives, to draw.
    pub cycle: Option<PressureEnthalpy>,
}

/// A pump-down beside the rise that it led to.
#[derive(Debug, Clone, PartialEq)]
pub struct PumpDownSheet {
    /// What it shows.
    pub log: PumpLog,
    /// The volume that turns its times into speeds, where it is known.
    pub volume: Option<Volume>,
    /// What it shows in words, and what would say more.
    pub lines: Vec<Line>,
    /// To draw.
    pub figure: PumpDownFigure,
}

/// One stage with its finding and what the record has for it.
#[derive(Debug, Clone, PartialEq)]
pub struct StageSheet {
    /// What the check found.
    pub finding: Finding,
    /// The evidence as dated sentences, oldest first.
    pub evidence: Vec<String>,
    /// What to mind while doing the step.
    pub cautions: Vec<Caution>,
    /// What replaces the stage where it does not apply.
    pub replaced_by: Option<String>,
    /// The command that records the stage's next evidence.
    pub next: Option<String>,
}

impl StageSheet {
    /// Which stage.
    pub fn stage(&self) -> Stage {
        self.finding.stage
    }

    /// How it came out.
    pub fn outcome(&self) -> Outcome {
        self.finding.outcome
    }

    /// The one sentence that matters: what replaces the stage, or its first reason.
    pub fn main_reason(&self) -> Option<&str> {
        self.replaced_by
            .as_deref()
            .or_else(|| self.finding.reasons.first().map(|r| r.text.as_str()))
    }
}

/// One event of the record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EventLine {
    /// Its number in the record.
    pub number: u64,
    /// When it happened.
    pub at: String,
    /// When it was written down, if that was later.
    pub noted: Option<String>,
    /// What happened.
    pub what: String,
    /// Which evidence it made out of date, in words.
    pub voids: Option<String>,
    /// The photographs it names.
    pub photos: Vec<String>,
}

/// One joint of the ledger.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JointLine {
    /// Its name in the record.
    pub id: String,
    /// Where it is.
    pub place: String,
    /// Flare, press, braze, coupling.
    pub kind: String,
    /// Whether the maker of the unit made it.
    pub factory: bool,
    /// What proves it.
    pub proof: Proof,
    /// Its evidence in words.
    pub state: String,
}

impl JointLine {
    /// Its name, and what a reader has to know of it.
    fn named(&self) -> String {
        match (self.factory, self.proof) {
            (true, _) => format!("{} (factory)", self.id),
            (false, Proof::OutOfDate) => format!("{} (touched since)", self.id),
            (false, _) => self.id.clone(),
        }
    }
}

/// What proves a joint, the best proven first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Proof {
    /// Somebody looked at it, and it stands.
    Looked,
    /// A standing pressure test that passed covers its segment.
    WithTheRest,
    /// It leaks.
    Leaks,
    /// Somebody looked at it, and it was touched since.
    OutOfDate,
    /// Nothing.
    Nothing,
}

impl Proof {
    /// In the order of a report.
    pub const ALL: [Proof; 5] = [
        Proof::Leaks,
        Proof::Nothing,
        Proof::OutOfDate,
        Proof::WithTheRest,
        Proof::Looked,
    ];

    /// The words over a group of joints.
    pub fn words(self) -> &'static str {
        match self {
            Proof::Looked => "proven by a look at the joint",
            Proof::WithTheRest => "proven only with the rest, by the standing pressure test",
            Proof::Leaks => "leaks",
            Proof::OutOfDate => "out of date: touched since it was looked at",
            Proof::Nothing => "proven by nothing",
        }
    }
}

impl Sheet {
    /// Every source behind what the sheet shows, numbered in the order of first mention.
    pub fn sources(&self) -> Sources {
        let mut sources = Sources::default();
        for ground in &self.decision.grounds {
            sources.mention(ground.source);
        }
        for stage in &self.stages {
            sources.mention_finding(&stage.finding, &stage.cautions);
        }
        let pumped = self.pump_down.iter().flat_map(|p| &p.lines);
        for source in pumped.filter_map(Line::source) {
            sources.mention(source);
        }
        sources
    }

    /// The joints of each group that has any.
    pub fn joints_by_proof(&self) -> impl Iterator<Item = (Proof, Vec<&JointLine>)> {
        Proof::ALL.into_iter().filter_map(|proof| {
            let joints: Vec<_> = self.joints.iter().filter(|j| j.proof == proof).collect();
            (!joints.is_empty()).then_some((proof, joints))
        })
    }

    /// The joints that nothing shows to be tight, in a sentence.
    pub fn unproven_words(&self, most: usize) -> Option<String> {
        let open: Vec<&JointLine> = self
            .joints
            .iter()
            .filter(|j| matches!(j.proof, Proof::Nothing | Proof::OutOfDate))
            .collect();
        let names: Vec<String> = open.iter().take(most).map(|j| j.named()).collect();
        let more = match open.len().saturating_sub(most) {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        (!open.is_empty()).then(|| {
            format!(
                "{} of {} joints: {}{more}",
                open.len(),
                self.joints.len(),
                names.join(", ")
            )
        })
    }

    /// What was left out at the owner's wish, in a sentence.
    pub fn left_out_words(&self) -> Option<String> {
        let kinds: Vec<_> = self.left_out.iter().map(|k| k.words()).collect();
        (!kinds.is_empty()).then(|| format!("left out at the owner's wish: {}", kinds.join(", ")))
    }

    /// What the evidence could not have seen, stage by stage.
    pub fn unseen(&self) -> impl Iterator<Item = (Stage, &str)> {
        self.stages.iter().flat_map(|s| {
            s.finding
                .unseen
                .iter()
                .map(|text| (s.stage(), text.as_str()))
        })
    }
}

/// A numbered list of sources, in the order of first mention.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Sources(Vec<SourceId>);

impl Sources {
    /// The sources behind one finding and its cautions.
    pub fn of_finding(finding: &Finding, cautions: &[Caution]) -> Self {
        let mut sources = Sources::default();
        sources.mention_finding(finding, cautions);
        sources
    }

    pub(super) fn mention(&mut self, source: SourceId) {
        if !self.0.contains(&source) {
            self.0.push(source);
        }
    }

    fn mention_finding(&mut self, finding: &Finding, cautions: &[Caution]) {
        let reasons = finding.reasons.iter().map(|r| r.source);
        let figures = finding.figures.iter().map(|f| f.source);
        let cautions = cautions.iter().map(|c| c.source);
        for source in reasons.chain(figures).chain(cautions) {
            self.mention(source);
        }
    }

    /// The sources behind the signs of a running unit, and behind what a further reading would buy.
    pub(super) fn mention_running(&mut self, detail: &run::Detail) {
        let signs = detail.told().filter_map(|row| row.expected);
        let worth = detail.worth.iter().map(|w| w.source);
        for source in signs.map(|e| e.source).chain(worth) {
            self.mention(source);
        }
    }

    /// The source's number, from 1; none if it was never mentioned.
    pub fn number(&self, source: SourceId) -> Option<usize> {
        self.0.iter().position(|&s| s == source).map(|i| i + 1)
    }

    /// Number and source, in order.
    pub fn numbered(&self) -> impl Iterator<Item = (usize, SourceId)> {
        self.0.iter().enumerate().map(|(i, &s)| (i + 1, s))
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

/// The decision's headline taken apart, so that nothing stands twice on a page.
pub(super) struct Lead<'a> {
    /// The headline without the verdict's words before it.
    pub words: &'a str,
    /// The ground it repeats, if it does.
    pub ground: Option<&'a Ground>,
    /// The grounds it leaves to say.
    pub others: Vec<&'a Ground>,
}

impl<'a> Lead<'a> {
    pub(super) fn of(decision: &'a Decision) -> Self {
        let headline = decision.headline.trim();
        let words = match headline.split_once(": ") {
            Some((verdict, rest)) if verdict.eq_ignore_ascii_case(decision.verdict.words()) => rest,
            _ => headline,
        };
        fn bare(text: &str) -> &str {
            text.trim().trim_end_matches('.')
        }
        let repeats = |g: &&Ground| bare(&g.text).eq_ignore_ascii_case(bare(words));
        let (same, others): (Vec<_>, Vec<_>) = decision.grounds.iter().partition(repeats);
        Lead {
            words,
            ground: same.first().copied(),
            others,
        }
    }
}

/// What a technician should bring, over all grounds, each once.
pub(super) fn bring(decision: &Decision) -> Vec<&'static str> {
    once(decision.grounds.iter().flat_map(|g| &g.bring))
}

/// What to measure or do before a technician comes, over all grounds, each once, beyond the next steps.
pub(super) fn first(decision: &Decision) -> Vec<&'static str> {
    let mut list = once(decision.grounds.iter().flat_map(|g| &g.first));
    list.retain(|&item| decision.next.iter().all(|step| step.text != item));
    list
}

fn once<'a>(items: impl Iterator<Item = &'a &'static str>) -> Vec<&'static str> {
    let mut list = Vec::new();
    for &item in items {
        if !list.contains(&item) {
            list.push(item);
        }
    }
    list
}
