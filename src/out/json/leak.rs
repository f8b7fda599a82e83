//! Leaks in refrigerant and on the gauge.

use serde::Serialize;

use super::{Body, Estimate};
use crate::check::tight::mass::{Condition, MassDetail, MassLoss, detector_sight};
use crate::out::leak::{Leak, Shows};
use crate::quantity::{Mass, MassRate, Quantity, unit};

/// One number for each law of flow.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ByLaw {
    viscous: f64,
    choked: f64,
    molecular: f64,
}

impl ByLaw {
    fn of([viscous, choked, molecular]: [f64; 3]) -> Self {
        ByLaw {
            viscous,
            choked,
            molecular,
        }
    }
}

/// A mass loss at one condition.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct LossDocument {
    when: &'static str,
    #[serde(rename = "saturation_K")]
    saturation: f64,
    /// `null` where the refrigerant does not condense.
    g_per_yr: Option<ByLaw>,
    low_g_per_yr: Option<f64>,
    high_g_per_yr: Option<f64>,
    /// Of the charge, by the law that loses most.
    highest_share_per_yr: Option<f64>,
}

/// What the loss of a test would be in refrigerant, over three laws of flow.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RefrigerantLoss {
    idle_g_per_yr: Option<Estimate>,
    /// `null` where the refrigerant does not condense.
    running_g_per_yr: Option<Estimate>,
}

impl From<&MassDetail> for RefrigerantLoss {
    fn from(mass: &MassDetail) -> Self {
        let at = |condition| {
            let loss = mass
                .losses
                .iter()
                .find(|loss| loss.condition == condition)?;
            let range = loss.interval();
            let grams = |si| MassRate::from_si(si).in_unit(unit::GRAM_PER_YEAR);
            Some(Estimate {
                estimate: grams(range.estimate),
                low95: grams(range.low),
                high95: grams(range.high),
            })
        };
        RefrigerantLoss {
            idle_g_per_yr: at(Condition::Idle),
            running_g_per_yr: at(Condition::Running),
        }
    }
}

/// A loss of test gas in refrigerant.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LeakDocument {
    losses: Vec<LossDocument>,
    bubbles_show_g_per_yr: ByLaw,
    detector_shows_g_per_yr: f64,
    /// Of test gas, counted at 20 °C.
    #[serde(rename = "throughput_Pa_m3_per_s")]
    throughput: f64,
}

fn grams(loss: &MassLoss) -> ByLaw {
    ByLaw::of(loss.by_law.map(|law| law[0].in_unit(unit::GRAM_PER_YEAR)))
}

impl LeakDocument {
    /// A leak, and its share of a charge.
    pub fn of(leak: &Leak, charge: Option<Mass>) -> Self {
        let per_year = |si: f64| MassRate::from_si(si).in_unit(unit::GRAM_PER_YEAR);
        let losses = leak.losses.iter().map(|(condition, loss)| {
            let loss = loss.as_ref().ok();
            let share = |charge| loss.map(|loss| loss.share_a_year(charge).high);
            LossDocument {
                when: condition.words(),
                saturation: condition.saturation().si(),
                g_per_yr: loss.map(grams),
                low_g_per_yr: loss.map(|loss| per_year(loss.interval().low)),
                high_g_per_yr: loss.map(|loss| per_year(loss.interval().high)),
                highest_share_per_yr: charge.and_then(share),
            }
        });
        LeakDocument {
            losses: losses.collect(),
            bubbles_show_g_per_yr: grams(&leak.bubbles),
            detector_shows_g_per_yr: detector_sight().in_unit(unit::GRAM_PER_YEAR),
            throughput: leak.throughput.si(),
        }
    }
}

/// A loss of refrigerant on the gauge.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LeakShowsDocument {
    when: &'static str,
    loss_psi_per_h: ByLaw,
    /// Of test gas, counted at 20 °C.
    #[serde(rename = "throughput_Pa_m3_per_s")]
    throughput: ByLaw,
}

impl From<&Shows> for LeakShowsDocument {
    fn from(shows: &Shows) -> Self {
        LeakShowsDocument {
            when: shows.condition.words(),
            loss_psi_per_h: ByLaw::of(shows.pressure.map(|p| p.in_unit(unit::PSI_PER_HOUR))),
            throughput: ByLaw::of(shows.throughput.map(Quantity::si)),
        }
    }
}

impl Body for LeakDocument {}
impl Body for LeakShowsDocument {}
