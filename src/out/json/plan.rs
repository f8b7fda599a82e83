//! A planned hold, its card, and rehearsals; losses in psi/h as in the standing pressure test.

use serde::Serialize;

use super::{Body, Estimate};
use crate::check::tight::mass::MassLoss;
use crate::check::tight::plan::{Card, Change, Plan, Sight};
use crate::check::tight::rehearse::{Rehearsal, Tally, Truth};
use crate::check::{Detail, Finding};
use crate::quantity::{MassRate, PressureRate, Quantity, UnitSystem, unit};

fn psi(rate: PressureRate) -> f64 {
    rate.in_unit(unit::PSI_PER_HOUR)
}

/// What a hold of one length would see.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct SightOf {
    hours: f64,
    half_width95_psi_per_h: f64,
    tells_psi_per_h: f64,
    passes_psi_per_h: f64,
}

impl From<&Sight> for SightOf {
    fn from(sight: &Sight) -> Self {
        SightOf {
            hours: sight.hours,
            half_width95_psi_per_h: psi(sight.half_width),
            tells_psi_per_h: psi(sight.tells),
            passes_psi_per_h: psi(sight.passes),
        }
    }
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct Better {
    change: &'static str,
    words: String,
    #[serde(flatten)]
    sight: SightOf,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct LeakAsked {
    leak_psi_per_h: f64,
    hours_to_see: Option<f64>,
}

/// The loss that is told apart, in refrigerant, at a condition.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct MassAt {
    condition: &'static str,
    g_per_yr: f64,
    low_g_per_yr: f64,
    high_g_per_yr: f64,
}

impl From<&MassLoss> for MassAt {
    fn from(loss: &MassLoss) -> Self {
        let interval = loss.interval();
        let grams = |si: f64| MassRate::from_si(si).in_unit(unit::GRAM_PER_YEAR);
        MassAt {
            condition: loss.condition.words(),
            g_per_yr: grams(interval.estimate),
            low_g_per_yr: grams(interval.low),
            high_g_per_yr: grams(interval.high),
        }
    }
}

/// A planned hold.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlanDocument {
    asked: SightOf,
    limit_psi_per_h: f64,
    limit: &'static str,
    refrigerant: Vec<MassAt>,
    tight_set_passes: bool,
    fails_from_psi_per_h: Option<f64>,
    hours_to_pass: Option<f64>,
    leak: Option<LeakAsked>,
    by_hours: Vec<SightOf>,
    improvements: Vec<Better>,
}

impl PlanDocument {
    /// The plan with its words in these units.
    pub fn of(plan: &Plan, units: UnitSystem) -> Self {
        PlanDocument {
            asked: (&plan.asked).into(),
            limit_psi_per_h: psi(plan.limit),
            limit: plan.by.name(UnitSystem::Us),
            refrigerant: plan.mass.iter().map(MassAt::from).collect(),
            tight_set_passes: plan.passes(),
            fails_from_psi_per_h: plan.fails_from.map(psi),
            hours_to_pass: plan.hours_to_pass,
            leak: plan.leak.map(|(leak, hours_to_see)| LeakAsked {
                leak_psi_per_h: psi(leak),
                hours_to_see,
            }),
            by_hours: plan.rows.iter().map(SightOf::from).collect(),
            improvements: plan
                .improvements
                .iter()
                .map(|better| Better {
                    change: key(better.change),
                    words: crate::out::planned::change(better.change, units),
                    sight: (&better.sight).into(),
                })
                .collect(),
        }
    }
}

fn key(change: Change) -> &'static str {
    match change {
        Change::FinerGauge => "finer-gauge",
        Change::SteadyGauge => "steady-gauge",
        Change::OutdoorThermometer => "outdoor-thermometer",
        Change::IndoorThermometer => "indoor-thermometer",
        Change::Witness => "witness",
        Change::KnownShare => "known-share",
        Change::Logger => "logger",
        Change::TwelveReadings => "twelve-readings",
        Change::TwiceAsLong => "twice-as-long",
    }
}

impl Body for PlanDocument {}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct Row {
    temperature_k: f64,
    gauge_pa: f64,
}

/// What a tight set's gauge reads; K and Pa on the gauge.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HoldCardDocument {
    gas: &'static str,
    start_gauge_pa: f64,
    at_k: f64,
    barometer_pa: f64,
    per_k_pa: f64,
    rated_gauge_pa: Option<f64>,
    rated_at_k: Option<f64>,
    rows: Vec<Row>,
}

impl From<&Card> for HoldCardDocument {
    fn from(card: &Card) -> Self {
        let input = &card.input;
        HoldCardDocument {
            gas: input.gas.name(),
            start_gauge_pa: input.start.si(),
            at_k: input.at.si(),
            barometer_pa: input.barometer.pressure().si(),
            per_k_pa: card.per_kelvin.si(),
            rated_gauge_pa: input.rated.map(Quantity::si),
            rated_at_k: card.rated_at.map(Quantity::si),
            rows: card
                .rows
                .iter()
                .map(|row| Row {
                    temperature_k: row.temperature.si(),
                    gauge_pa: row.reads.si(),
                })
                .collect(),
        }
    }
}

impl Body for HoldCardDocument {}

/// What was hidden in a rehearsal, and what the judgement said.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RehearsalDocument {
    rehearsal: bool,
    seed: u64,
    readings: usize,
    truth: Option<Hidden>,
    outcome: Option<&'static str>,
    loss_psi_per_h: Option<Estimate>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct Hidden {
    leak_psi_per_h: f64,
    outdoor_share: f64,
    lag_min: f64,
    start_offset_k: f64,
}

impl From<&Truth> for Hidden {
    fn from(truth: &Truth) -> Self {
        Hidden {
            leak_psi_per_h: psi(truth.leak),
            outdoor_share: truth.outdoors.si(),
            lag_min: 60.0 * truth.lag_h,
            start_offset_k: truth.start_offset.si(),
        }
    }
}

impl RehearsalDocument {
    /// A rehearsal of a seed; with its truth when it was judged.
    pub fn of(rehearsal: &Rehearsal, seed: u64, judged: Option<&Finding>) -> Self {
        let detail = judged.and_then(|finding| match &finding.detail {
            Detail::Tight(detail) => Some(detail),
            _ => None,
        });
        RehearsalDocument {
            rehearsal: true,
            seed,
            readings: rehearsal.input.hours.len(),
            truth: judged.map(|_| (&rehearsal.truth).into()),
            outcome: judged.map(|finding| finding.outcome.words()),
            loss_psi_per_h: detail.map(|detail| Estimate {
                estimate: psi(detail.loss[0]),
                low95: psi(detail.loss[1]),
                high95: psi(detail.loss[2]),
            }),
        }
    }
}

impl Body for RehearsalDocument {}

/// How often a hold comes out how.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TallyDocument {
    rehearsal: bool,
    seed: u64,
    tallies: Vec<TallyOf>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct TallyOf {
    leak: String,
    times: usize,
    pass: usize,
    undecided: usize,
    fail: usize,
    leak_seen: usize,
    truth_inside_interval: usize,
}

impl TallyDocument {
    /// Counts by what was hidden.
    pub fn of(tallies: &[(String, Tally)], seed: u64) -> Self {
        let of = |(leak, tally): &(String, Tally)| TallyOf {
            leak: leak.clone(),
            times: tally.times,
            pass: tally.pass,
            undecided: tally.undecided,
            fail: tally.fail,
            leak_seen: tally.leak_seen,
            truth_inside_interval: tally.covered,
        };
        TallyDocument {
            rehearsal: true,
            seed,
            tallies: tallies.iter().map(of).collect(),
        }
    }
}

impl Body for TallyDocument {}
