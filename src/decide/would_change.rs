//! What would change an answer: asked of the decision itself, with one finding, fact or event supposed otherwise.

use super::case::{Case, Shown};
use super::{HowSoon, Meanwhile, Verdict, command, evidence, rules, shut_off_asked};
use crate::check::{Finding, Outcome, Stage, charge, dry, joints, tight};
use crate::record::{
    Answer, AsTyped, Event, EventBody, Field, LineSet, Moment, Position, Route, ServiceValve,
    Stopped, TechnicianVisit, ValveMoved, coverage,
};

/// How much a measurement asks for, the cheapest first; the classes are this program's own choice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Effort {
    /// A look, a label, a reading.
    Minutes,
    /// Hours of waiting, or another day.
    Hours,
    /// Somebody who has to be paid.
    Money,
}

impl Effort {
    /// The words on the screen and in JSON.
    pub fn words(self) -> &'static str {
        match self {
            Effort::Minutes => "minutes",
            Effort::Hours => "hours or another day",
            Effort::Money => "a visit that costs money",
        }
    }
}

/// A measurement that could change the answer.
#[derive(Debug, Clone, PartialEq)]
pub struct WouldChange {
    /// What it is.
    pub text: String,
    /// The command that records it, when there is one; `DIR` stands for the record's folder.
    pub command: Option<String>,
    /// What it would narrow, and what the answer could become.
    pub narrows: String,
    /// How much it asks for.
    pub effort: Effort,
}

/// Verdict, *meanwhile* and *how soon*: what all rules that speak come to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Joined {
    pub verdict: Verdict,
    pub meanwhile: Meanwhile,
    pub how_soon: HowSoon,
}

impl Joined {
    /// The answer of a case; with no rule that speaks, what is safe.
    pub fn of(case: &Case) -> Joined {
        let none = Joined {
            verdict: Verdict::GoOn,
            meanwhile: Meanwhile::Run,
            how_soon: HowSoon::WhenConvenient,
        };
        let mut spoken = false;
        let joined = rules::all()
            .filter(|rule| (rule.applies)(case).is_some())
            .fold(none, |sum, rule| {
                spoken = true;
                Joined {
                    verdict: sum.verdict.max(rule.verdict),
                    meanwhile: sum.meanwhile.max(rule.meanwhile),
                    how_soon: sum.how_soon.max(rule.how_soon),
                }
            });
        if spoken {
            joined
        } else {
            Joined {
                verdict: Verdict::Repeat,
                meanwhile: Meanwhile::LeaveOff,
                how_soon: HowSoon::BeforeRunning,
            }
        }
    }

    /// Kinder in something and harsher in nothing.
    fn kinder_than(self, other: Joined) -> bool {
        self != other
            && self.verdict <= other.verdict
            && self.meanwhile <= other.meanwhile
            && self.how_soon <= other.how_soon
    }

    fn words(self) -> String {
        format!(
            "{}; {}; {}",
            self.verdict.words(),
            self.meanwhile.words(),
            self.how_soon.words()
        )
    }
}

/// A case as it could be.
#[derive(Clone)]
struct Supposed {
    lineset: LineSet,
    events: Vec<Event>,
    findings: Vec<Finding>,
    shown: Vec<Shown>,
}

impl Supposed {
    fn as_is(case: &Case) -> Supposed {
        Supposed {
            lineset: case.lineset.clone(),
            events: case.events.iter().map(|e| (*e).clone()).collect(),
            findings: case.findings.to_vec(),
            shown: case.shown.to_vec(),
        }
    }

    fn joined(&self) -> Joined {
        let events: Vec<&Event> = self.events.iter().collect();
        Joined::of(&Case {
            lineset: &self.lineset,
            route: Route::of(&self.lineset, &self.events),
            events: &events,
            findings: &self.findings,
            shown: &self.shown,
        })
    }

    fn comes_out(&mut self, stage: Stage, outcome: Outcome) {
        for finding in self.findings.iter_mut().filter(|f| f.stage == stage) {
            *finding = Finding::plain(stage, outcome, Vec::new());
        }
        self.shown.retain(|s| s.stage != stage);
    }

    fn outcome(&self, stage: Stage) -> Outcome {
        let found = self.findings.iter().find(|f| f.stage == stage);
        found.map_or(Outcome::NotDone, |f| f.outcome)
    }

    /// An hour after the last event.
    fn happens(&mut self, body: EventBody) {
        let last = self.events.last().map(|e| e.at);
        let noon = || Moment::typed("2000-01-01 12:00", &self.lineset.place.zone).ok();
        let Some(at) = last.or_else(noon).and_then(|at| at.later_by(3600.0)) else {
            return;
        };
        let number = 1 + self.events.iter().map(|e| e.number).max().unwrap_or(0);
        self.events.push(Event {
            number,
            at,
            noted: at,
            body,
            before: Vec::new(),
            note: None,
            photos: Vec::new(),
        });
    }

    /// A visit: what it touched is out of date, what it shows passes.
    fn visited(&mut self, visit: TechnicianVisit) {
        let shows = [
            (Stage::Tight, visit.pressure_held == Answer::Yes),
            (Stage::Dry, visit.evacuated_to.is_some()),
            (Stage::Charge, visit.charged.is_some()),
        ];
        let body = EventBody::from(visit);
        for void in coverage::voids(&body, &self.lineset) {
            if !matches!(
                self.outcome(void.stage),
                Outcome::NotDone | Outcome::DoesNotApply
            ) {
                self.comes_out(void.stage, Outcome::OutOfDate);
            }
        }
        for (stage, shown) in shows {
            if shown && self.outcome(stage) != Outcome::DoesNotApply {
                self.comes_out(stage, Outcome::Pass);
            }
        }
        self.happens(body);
    }
}

/// What is supposed of a measurement: its best end.
enum Suppose {
    Passes(Stage),
    Happens(EventBody),
    CannotBurn,
}

/// A measurement of the owner's own.
struct Own {
    text: &'static str,
    command: Option<String>,
    effort: Effort,
    detail: Option<String>,
    /// Whether it can be done now; else it counts for what is reached, and is not listed yet.
    now: bool,
    suppose: Suppose,
}

impl Own {
    fn apply(&self, to: &mut Supposed) {
        match &self.suppose {
            Suppose::Passes(stage) => to.comes_out(*stage, Outcome::Pass),
            Suppose::Happens(body) => to.happens(body.clone()),
            Suppose::CannotBurn => to.lineset.equipment.refrigerant = Some("R-410A".into()),
        }
    }
}

/// The measurements that would change the answer, the cheapest first.
///
/// Each is put to the decision with its best end supposed. One is listed when that alone makes the answer kinder, or
/// when the kindest answer that the owner's own measurements can reach together needs it. What only a technician's
/// visit can change is asked of the visit, the smallest first.
pub(super) fn would_change(case: &Case) -> Vec<WouldChange> {
    let as_is = Supposed::as_is(case);
    let now = as_is.joined();
    let own = own(case);
    let with = |which: &dyn Fn(usize) -> bool| {
        let mut supposed = as_is.clone();
        for (nth, measurement) in own.iter().enumerate() {
            if which(nth) {
                measurement.apply(&mut supposed);
            }
        }
        supposed.joined()
    };
    let together = with(&|_| true);
    let mut list: Vec<WouldChange> = Vec::new();
    for (nth, measurement) in own.iter().enumerate().filter(|(_, m)| m.now) {
        let alone = with(&|n| n == nth);
        let narrows = if alone.kinder_than(now) {
            format!("a good result alone makes it: {}", alone.words())
        } else if together.kinder_than(now) && with(&|n| n != nth) != together {
            format!(
                "with good results of this and of all that follows without a visit: {}",
                together.words()
            )
        } else {
            continue;
        };
        let narrows = match &measurement.detail {
            Some(detail) => format!("{narrows}; so far: {detail}"),
            None => narrows,
        };
        list.push(WouldChange {
            text: measurement.text.into(),
            command: measurement.command.clone(),
            narrows,
            effort: measurement.effort,
        });
    }
    list.extend(visit(
        &as_is,
        now,
        case.opened_after_refrigerant().is_some(),
    ));
    list.sort_by_key(|w| w.effort);
    list
}

/// The owner's own measurements that are open in a case.
fn own(case: &Case) -> Vec<Own> {
    let mut list: Vec<Own> = case
        .findings
        .iter()
        .filter_map(|f| stage(case, f))
        .collect();
    if case.running_since().is_some() {
        list.push(Own {
            text: "switch it off, and write that down",
            command: Some("lineproof add DIR stopped".into()),
            effort: Effort::Minutes,
            detail: None,
            now: true,
            suppose: Suppose::Happens(Stopped { why: None }.into()),
        });
    }
    let (liquid, vapour) = case.valves_at(case.events.len());
    for (valve, position) in [
        (ServiceValve::LiquidService, liquid),
        (ServiceValve::VapourService, vapour),
    ] {
        if position == Some(Position::Shut) {
            let open = ValveMoved {
                valve,
                to: Position::Open,
            };
            list.push(Own {
                text: match valve {
                    ServiceValve::LiquidService => {
                        "look where the liquid service valve really stands"
                    }
                    ServiceValve::VapourService => {
                        "look where the vapour service valve really stands"
                    }
                },
                command: Some(format!(
                    "lineproof add DIR valve-moved --valve {} --to open",
                    valve.word()
                )),
                effort: Effort::Minutes,
                detail: None,
                now: true,
                suppose: Suppose::Happens(open.into()),
            });
        }
    }
    if case.lineset.equipment.refrigerant.is_none() {
        list.push(Own {
            text: "read the refrigerant on the nameplate and write it into lineset.toml: whether it burns decides",
            command: None,
            effort: Effort::Minutes,
            detail: None,
            now: true,
            suppose: Suppose::CannotBurn,
        });
    }
    list
}

/// Whether a stage's turn has come: nothing is read, or asked before switching on, while an earlier stage is open.
fn has_its_turn(case: &Case, stage: Stage) -> bool {
    let mut before = case.findings.iter().filter(|other| other.stage < stage);
    stage < Stage::Start
        || before.all(|f| matches!(f.outcome, Outcome::Pass | Outcome::DoesNotApply))
}

/// The measurement of a stage that is the owner's own and open.
fn stage(case: &Case, finding: &Finding) -> Option<Own> {
    use Effort::{Hours, Minutes};
    let stage = finding.stage;
    if finding.says(evidence::TECHNICIANS_WORK) || finding.says(joints::reasons::FACTORY_LEAKING) {
        return None;
    }
    let (text, effort) = match (stage, finding.outcome) {
        (Stage::Watch, _) | (_, Outcome::DoesNotApply) => return None,
        (Stage::Tight, Outcome::Pass) if leaves_something_open(finding) => (
            "soap every joint and the hoses again, then hold longer",
            Hours,
        ),
        (_, Outcome::Pass) => return None,
        (Stage::Joints, Outcome::Fail) => ("make the joint anew, then look at it again", Minutes),
        (Stage::Joints, _) => (
            "look at every joint, the factory's too, with bubbles under pressure",
            Minutes,
        ),
        (Stage::Tight, Outcome::Fail) if finding.says(tight::reasons::LINE_OR_RIG) => (
            "hold the rig alone, shut off from the line, and find the place with bubbles; mend it with the pressure off, write the repair down, hold again",
            Hours,
        ),
        (Stage::Tight, Outcome::Undecided) if finding.says(tight::reasons::RIG_LEAKS) => {
            ("mend gauge, hose and valve, then hold again", Hours)
        }
        (Stage::Tight, Outcome::Fail) => (
            "find the place with bubbles, mend it with the pressure off, write the repair down, hold again",
            Hours,
        ),
        (Stage::Tight, Outcome::NotDone) => ("hold dry nitrogen over a night and a day", Hours),
        (Stage::Tight, _) => (
            "hold longer, untouched, with a second thermometer or a known-tight volume beside it",
            Hours,
        ),
        (Stage::Dry, Outcome::NotDone) => ("evacuate, shut the pump off and log the rise", Hours),
        (Stage::Dry, _) => match shut_off_asked(case) {
            Some((_, text)) => (text, Minutes),
            None => (dry_again(finding), Hours),
        },
        (Stage::Charge, Outcome::NotDone) if finding.says(charge::reasons::TO_WEIGH_IN) => {
            return None;
        }
        (Stage::Charge, Outcome::NotDone) => (
            "write nameplate charge, included length, charge factor and line length into lineset.toml",
            Minutes,
        ),
        (Stage::Charge, _)
            if finding.says(charge::reasons::RELEASED) || finding.says(charge::reasons::OPENED) =>
        {
            return None;
        }
        (Stage::Charge, _) => (
            "read the label, the line lengths and the notes of the scale once more",
            Minutes,
        ),
        (Stage::Start, _) => ("go through the gate before switching on", Minutes),
        (Stage::Run, Outcome::NotValidNow | Outcome::Fail) => (
            "clean the filter, then read again on a day within the conditions, steady for 15 min",
            Hours,
        ),
        (Stage::Run, _) => ("read it after 15 min of steady running", Minutes),
    };
    let told = finding
        .reasons
        .iter()
        .find(|r| [tight::reasons::HOLD_LONGER, dry::reasons::WAIT].contains(&r.code))
        .or(finding.reasons.first())
        .filter(|_| finding.outcome != Outcome::NotDone);
    Some(Own {
        text,
        command: match stage {
            Stage::Charge => None,
            Stage::Dry => shut_off_asked(case).map_or_else(|| command(stage), |(c, _)| Some(c)),
            _ => command(stage),
        },
        effort,
        detail: told.map(|r| match beside(finding) {
            Some(binds) => format!("{}; {binds}", r.text),
            None => r.text.clone(),
        }),
        now: has_its_turn(case, stage),
        suppose: Suppose::Passes(stage),
    })
}

/// What to take again of a vacuum rise that did not pass.
fn dry_again(finding: &Finding) -> &'static str {
    let says = |codes: &[&str]| codes.iter().any(|code| finding.says(code));
    use dry::reasons as r;
    match finding.outcome {
        Outcome::Fail if says(&[r::LEAK]) => {
            "blank the hoses, find the place under nitrogen, mend it, then evacuate and log the rise again"
        }
        Outcome::Fail if says(&[r::MOISTURE]) => {
            "pump longer and warmer, break the vacuum with dry nitrogen, then log the rise again"
        }
        Outcome::Undecided if says(&[r::COARSE_GAUGE, r::GAUGES_ACROSS]) => {
            "log the rise again with a vacuum gauge that shows single micron and was held beside another"
        }
        Outcome::OutOfDate => "evacuate again, shut the pump off and log the rise",
        _ => "blank the hoses, pump down again and log a longer rise",
    }
}

/// Which of two tests saw the smaller hole, where a rise does not decide whether there is one.
fn beside(finding: &Finding) -> Option<&str> {
    let open = finding.outcome == Outcome::Undecided;
    let mut reasons = finding.reasons.iter().filter(|_| open);
    let binds = reasons.find(|r| r.code == dry::reasons::STANDING_BINDS)?;
    Some(&binds.text)
}

fn leaves_something_open(finding: &Finding) -> bool {
    [
        tight::reasons::LEAK_SEEN,
        tight::reasons::CODE_RULE_NOT_MET,
        tight::reasons::CODE_RULE_LOW,
        tight::reasons::CODE_RULE_COARSE,
        tight::reasons::CODE_RULE_SHORT,
    ]
    .iter()
    .any(|code| finding.says(code))
}

/// The smallest visit that reaches the kindest verdict that any visit reaches by itself.
///
/// A circuit that was opened needs the whole visit, whatever less would lift the answer (`SourceId::HeldCircuitRoute`).
fn visit(as_is: &Supposed, now: Joined, opened: bool) -> Option<WouldChange> {
    let look = || TechnicianVisit {
        leak_found: Answer::No,
        ..TechnicianVisit::default()
    };
    let weigh = || TechnicianVisit {
        recovered: any_mass(),
        evacuated_to: any_vacuum(),
        charged: any_mass(),
        ..look()
    };
    let whole = || TechnicianVisit {
        drier: Answer::Yes,
        pressure_held: Answer::Yes,
        repaired: Answer::Yes,
        ..weigh()
    };
    let visits = [
        (
            "a technician looks for leaks with a detector, without opening the circuit",
            "--leak-found no",
            look(),
        ),
        (
            "a technician recovers and weighs what is in, evacuates, and charges by weight",
            "--recovered MASS --evacuated-to VACUUM --charged MASS --leak-found no",
            weigh(),
        ),
        (
            "a technician recovers, mends, tests with nitrogen, fits a drier, evacuates and charges by weight",
            "--recovered MASS --charged MASS --evacuated-to VACUUM --drier yes --pressure-held yes --repaired yes --leak-found no",
            whole(),
        ),
    ];
    let reached =
        visits
            .into_iter()
            .skip(if opened { 2 } else { 0 })
            .map(|(text, arguments, visit)| {
                let mut supposed = as_is.clone();
                supposed.visited(visit);
                (text, arguments, supposed.joined())
            });
    // a visit also makes the owner's own checks out of date: what counts is the verdict it leads to
    let better: Vec<_> = reached
        .filter(|(.., then)| then.verdict < now.verdict || then.kinder_than(now))
        .collect();
    let kindest = better.iter().map(|(.., then)| then.verdict).min()?;
    let (text, arguments, then) = better.iter().find(|(.., then)| then.verdict == kindest)?;
    Some(WouldChange {
        text: (*text).into(),
        command: Some(format!("lineproof add DIR technician-visit {arguments}")),
        narrows: format!("with a good result: {}", then.words()),
        effort: Effort::Money,
    })
}

/// Some mass: only that it was weighed counts.
fn any_mass() -> Option<AsTyped<crate::quantity::Mass>> {
    read("1 kg")
}

fn any_vacuum() -> Option<AsTyped<crate::record::Vacuum>> {
    read("300 micron")
}

fn read<Q: Field>(text: &str) -> Option<AsTyped<Q>> {
    AsTyped::read(text).ok()
}
