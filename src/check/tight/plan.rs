//! A standing pressure test planned: what it could see and how long it takes, before anything is rented.
//!
//! Nothing is computed but the test itself: the hold is rehearsed a few times without a leak ([`super::rehearse`]), each
//! rehearsal is judged as a real log would be, and the middle width of the intervals is what the hold can see.

mod card;
mod change;

pub use card::{Card, CardError, CardInput, CardRow, card};
pub use change::Change;

use rayon::prelude::*;

use super::criteria::{Criteria, Limit};
use super::input::{Input, Unlogged};
use super::mass::{self, Condition, Hole, MassLoss};
use super::rehearse::{Leak, Rehearsal, RehearseError, Setup, rehearse, tally};
use crate::quantity::{Fraction, PressureRate, Quantity};

/// What a hold of one length could see.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sight {
    /// Its length, h.
    pub hours: f64,
    /// Half of the 95 % model interval of the loss.
    pub half_width: PressureRate,
    /// The loss that is seen four times out of five, at 95 %.
    pub tells: PressureRate,
    /// The smallest limit that a tight set passes four times out of five: as far from zero, but in less than a day the pass
    /// has to survive a swing that no thermometer saw.
    pub passes: PressureRate,
}

/// What another way to do it would bring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Improvement {
    /// What is done otherwise.
    pub change: Change,
    /// What it would see.
    pub sight: Sight,
}

/// A planned hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The hold as asked for.
    pub asked: Sight,
    /// The limit it is going to be held against.
    pub limit: PressureRate,
    /// Which limit that is.
    pub by: Limit,
    /// What the loss that is told apart would be in refrigerant, where volume and refrigerant are known.
    pub mass: Vec<MassLoss>,
    /// The loss that fails against that limit four times out of five; none where no loss does that surely.
    pub fails_from: Option<PressureRate>,
    /// Other lengths.
    pub rows: Vec<Sight>,
    /// Hours until a tight set passes the limit four times out of five; none beyond the rows.
    pub hours_to_pass: Option<f64>,
    /// A leak asked for, with the hours until it is seen; none beyond the rows.
    pub leak: Option<(PressureRate, Option<f64>)>,
    /// What one thing done otherwise would bring, the most first; what brings nothing is left out.
    pub improvements: Vec<Improvement>,
}

impl Plan {
    /// Whether a tight set passes the limit four times out of five.
    pub fn passes(&self) -> bool {
        self.asked.passes.si() <= self.limit.si()
    }
}

/// Lengths of hold that are compared, h.
pub const LENGTHS: [f64; 7] = [2.0, 4.0, 8.0, 12.0, 24.0, 36.0, 48.0];
/// How often each is rehearsed: the middle width of so many is good to a tenth.
const REHEARSALS: u64 = 31;
/// The first seed of a plan's rehearsals, out of the way of those that people type.
const FIRST_SEED: u64 = 5_000;
/// How often a leak of one size is rehearsed in the search for the one that fails.
const SEARCHES: usize = 10;
/// One-sided 95 % and, on top, four chances in five: 1.645 + 0.842 standard deviations.
const MARGIN_SD: f64 = 2.487;
/// Standard deviations in half of a 95 % interval.
const HALF_WIDTH_SD: f64 = 1.96;
/// The share of rehearsals that counts as four times out of five.
const MOST_TIMES: f64 = 0.8;
/// A change that narrows by less than this is not worth its trouble.
const WORTH: f64 = 0.05;
/// A loss of this many times what is told apart is not searched beyond.
const SEARCHED: f64 = 64.0;

/// What a hold without a leak could see: the middle of a few rehearsals.
///
/// Source: own choice (rehearsals); one-sided 95 % as in the verdict, JCGM 106:2012.
///
/// ```
/// use lineproof::check::tight::Criteria;
/// use lineproof::check::tight::plan::foresee;
/// use lineproof::check::tight::rehearse::Setup;
/// use lineproof::quantity::{Fraction, PressureDiff, PressureGauge, Quantity, unit};
/// let setup = Setup {
///     outdoor_share: Some(Fraction::of(70.0, unit::PERCENT)),
///     ..Setup::of(
///         PressureGauge::of(450.0, unit::PSIG),
///         PressureDiff::of(1.0, unit::PSI_DIFF),
///     )
/// };
/// let day = foresee(&setup, &Criteria::default())?;
/// let evening = foresee(&setup.for_hours(4.0), &Criteria::default())?;
/// assert!(evening.half_width > day.half_width);
/// # Ok::<(), lineproof::check::tight::rehearse::RehearseError>(())
/// ```
pub fn foresee(setup: &Setup, criteria: &Criteria) -> Result<Sight, RehearseError> {
    let mut rehearsals = (FIRST_SEED..FIRST_SEED + REHEARSALS)
        .into_par_iter()
        .map(|seed| rehearse(setup, Leak::Tight, None, seed))
        .collect::<Result<Vec<_>, _>>()?;
    let usual = half_widths(&rehearsals, criteria)?;
    // holds differ: a promise for four in five is made from a wide one, not from the middle
    let promised = |widths: &[f64]| {
        PressureRate::from_si(widths[widths.len() * 4 / 5] * MARGIN_SD / HALF_WIDTH_SD)
    };
    let tells = promised(&usual);
    let passes = if setup.hours() < 24.0 {
        for rehearsal in &mut rehearsals {
            rehearsal.input.unlogged = Some(swung(&rehearsal.input, criteria));
        }
        let under_the_swing = promised(&half_widths(&rehearsals, criteria)?);
        PressureRate::from_si(under_the_swing.si().max(tells.si()))
    } else {
        tells
    };
    Ok(Sight {
        hours: setup.hours(),
        half_width: PressureRate::from_si(usual[usual.len() / 2]),
        tells,
        passes,
    })
}

/// Half of each rehearsal's 95 % interval, the narrow ones first.
fn half_widths(rehearsals: &[Rehearsal], criteria: &Criteria) -> Result<Vec<f64>, RehearseError> {
    let half_width = |rehearsal: &Rehearsal| -> Result<f64, RehearseError> {
        let [_, low, high] = rehearsal.loss_found(criteria)?;
        Ok(0.5 * (high.si() - low.si()))
    };
    let widths = rehearsals.par_iter().map(half_width);
    let mut widths = widths.collect::<Result<Vec<_>, _>>()?;
    widths.sort_by(f64::total_cmp);
    Ok(widths)
}

/// The swing that a verdict in less than a day has to survive, as a part without a thermometer; a larger one stays.
fn swung(input: &Input, criteria: &Criteria) -> Unlogged {
    let all = Unlogged {
        share: Fraction::from_si(1.0),
        half_swing: criteria.short_test_swing,
    };
    let swing = |part: &Unlogged| part.share.si() * part.half_swing.si();
    input
        .unlogged
        .filter(|part| swing(part) > swing(&all))
        .unwrap_or(all)
}

/// Plans a hold: what it could see, how long it takes, and what would help.
///
/// `leak`: a loss that should be seen, if one is asked for.
pub fn plan(
    setup: &Setup,
    leak: Option<PressureRate>,
    criteria: &Criteria,
) -> Result<Plan, RehearseError> {
    let asked = foresee(setup, criteria)?;
    let mut rows = Vec::with_capacity(LENGTHS.len());
    for hours in LENGTHS {
        let other = setup.for_hours(hours);
        rows.push(if hours == asked.hours {
            asked
        } else if other.check().is_ok() {
            foresee(&other, criteria)?
        } else {
            continue;
        });
    }
    let by = limit_of(setup, criteria)?;
    let limit = by.at(setup.start_abs());
    let mut improvements = Vec::new();
    for change in Change::ALL {
        let Some(other) = change.of(setup) else {
            continue;
        };
        let sight = foresee(&other, criteria)?;
        if sight.tells.si() < (1.0 - WORTH) * asked.tells.si() {
            improvements.push(Improvement { change, sight });
        }
    }
    improvements.sort_by(|a, b| a.sight.tells.si().total_cmp(&b.sight.tells.si()));
    Ok(Plan {
        fails_from: fails_from(setup, &asked, limit, criteria)?,
        by,
        mass: in_refrigerant(setup, asked.tells),
        hours_to_pass: hours_until(&rows, limit, |sight| sight.passes),
        leak: leak.map(|leak| (leak, hours_until(&rows, leak, |sight| sight.tells))),
        asked,
        limit,
        rows,
        improvements,
    })
}

/// The limit that such a hold is held against.
fn limit_of(setup: &Setup, criteria: &Criteria) -> Result<Limit, RehearseError> {
    let input = rehearse(setup, Leak::Tight, None, 1)?.input;
    Ok(criteria.limit.of(&input, setup.start_abs()))
}

/// A loss of pressure in refrigerant, at rest and running, where volume and refrigerant are known.
fn in_refrigerant(setup: &Setup, loss: PressureRate) -> Vec<MassLoss> {
    let (Some(volume), Some(refrigerant)) = (&setup.volume, setup.refrigerant) else {
        return Vec::new();
    };
    let hole = Hole {
        gas: setup.gas.computed_as(),
        pressure: setup.start_abs(),
        temperature: setup.outdoor,
        outside: setup.barometer.pressure(),
    };
    let throughput = mass::throughput(&[loss; 3], volume, hole.temperature);
    // a refrigerant that does not condense there has no such loss
    Condition::ALL
        .into_iter()
        .filter_map(|at| hole.mass_loss(refrigerant, at, throughput).ok())
        .collect()
}

/// Hours until it reaches down to so small a loss, between the rows along a power of time; whole hours, rounded up.
fn hours_until(
    rows: &[Sight],
    loss: PressureRate,
    reaches: impl Fn(&Sight) -> PressureRate,
) -> Option<f64> {
    let enough = |sight: &Sight| reaches(sight).si() <= loss.si();
    let at = rows.iter().position(enough)?;
    let later = &rows[at];
    let Some(before) = at.checked_sub(1).map(|i| &rows[i]) else {
        return Some(later.hours);
    };
    let (wide, narrow) = (reaches(before).si().ln(), reaches(later).si().ln());
    let part = (wide - loss.si().ln()) / (wide - narrow);
    let hours = before.hours * (later.hours / before.hours).powf(part);
    Some(hours.ceil().min(later.hours))
}

/// The loss that fails four times out of five.
///
/// In less than a day a *fail* has to survive a swing that no thermometer saw, so there it is searched by rehearsals.
fn fails_from(
    setup: &Setup,
    asked: &Sight,
    limit: PressureRate,
    criteria: &Criteria,
) -> Result<Option<PressureRate>, RehearseError> {
    let least = limit.si() + asked.tells.si();
    if asked.hours >= 24.0 {
        return Ok(Some(PressureRate::from_si(least)));
    }
    let most = (SEARCHED * least).min(0.45 * setup.start_abs().si() / setup.hold.si());
    let fails = |loss: f64| -> Result<bool, RehearseError> {
        let leak = Leak::Stated(PressureRate::from_si(loss));
        let failed = tally(setup, leak, 1, SEARCHES, criteria)?.fail;
        Ok(failed as f64 >= MOST_TIMES * SEARCHES as f64)
    };
    let (mut low, mut high) = (least, least);
    while !fails(high)? {
        (low, high) = (high, 2.0 * high);
        if high > most {
            return Ok(None);
        }
    }
    while high > 1.1 * low {
        let middle = (low * high).sqrt();
        if fails(middle)? {
            high = middle;
        } else {
            low = middle;
        }
    }
    Ok(Some(PressureRate::from_si(high)))
}

#[cfg(test)]
mod tests;
