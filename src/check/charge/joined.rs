//! The mass inside as one interval, from everything that says something about it.

use super::lost::Lost;
use super::performance::{Air, Performance, PerformanceError, performance};
use super::running::{Machine, Shown};
use crate::quantity::{Fraction, Interval, Mass, Measured, Quantity, UnitSystem};
use crate::source::SourceId;

/// Where the method comes from.
pub const SOURCE: SourceId = SourceId::JoinedCharge;

/// The grid of charge shares: up to this one.
const HIGHEST: f64 = 1.5;
/// Steps of the grid.
const STEPS: usize = 3000;
/// A mass above this share of what belongs in is printed as one: the small remainder that is left as it is.
const TELLS: f64 = 0.03;
/// Two-sided 95 % of a normal.
const Z95: f64 = 1.96;

/// Everything that says something about the mass inside.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// What belongs in.
    pub due: Mass,
    /// What was in before any incident: nameplate and what was weighed in.
    pub before: Measured<Mass>,
    /// What incidents could have cost.
    pub lost: Vec<Lost>,
    /// What running readings showed since; those that are void say nothing.
    pub running: Vec<Shown>,
    /// What a technician weighed out, all of it, after the last incident: it replaces everything else.
    pub recovered: Option<Measured<Mass>>,
}

/// The mass inside as a share of what belongs in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joined {
    /// What belongs in.
    pub due: Mass,
    /// The middle of what the evidence allows, weighted by how well it fits.
    pub estimate: Fraction,
    /// The low end of the 95 % interval.
    pub low95: Fraction,
    /// The high end.
    pub high95: Fraction,
    /// What it rests on.
    pub from: RestsOn,
    /// The least surprising share does not fit some of the evidence: it is in conflict.
    pub conflict: bool,
}

/// What a joined interval rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RestsOn {
    /// A technician's recovered mass alone.
    Recovered,
    /// What went in and what incidents could have cost.
    Weighing,
    /// That, and running readings.
    WeighingAndRunning,
}

/// Evidence that no grid holds.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum JoinError {
    /// Nothing belongs in.
    #[error("{} belongs in: it must be above zero; check nameplate charge and line-length adjustment", crate::quantity::both(*due))]
    NothingDue {
        /// What was given.
        due: Mass,
    },
    /// Far too much.
    #[error(
        "{} inside where {} belongs: this method goes to 1.5 times of it; check the unit of both",
        crate::quantity::both(*mass), crate::quantity::both(*due)
    )]
    FarTooMuch {
        /// What was given.
        mass: Mass,
        /// What belongs in.
        due: Mass,
    },
}

/// The mass inside as one interval.
///
/// On a grid of the share 0 to 1.5 the likelihoods are multiplied: what was in less what incidents could have cost
/// (the same anywhere between the least and the most, falling off beyond like the weighing's normal); running readings (normal, but never less
/// likely far below than that no subcooling was left and noise showed some; with subcooling gone, one-sided). The model error is common to all readings, so they do not average it away. Inside the
/// interval the likelihood is above `exp(-1.96^2/2)` of its largest: for one normal, 95 %. A technician's recovered mass
/// replaces everything.
///
/// Range: up to 1.5 times what belongs in. Source: [`SOURCE`].
///
/// ```
/// use lineproof::check::charge::joined::{Evidence, joined};
/// use lineproof::quantity::{Mass, Measured, Origin, Quantity, UnitSystem};
/// let kilograms = |value, u| Measured {
///     value: Mass::from_si(value),
///     standard_uncertainty: Mass::from_si(u),
///     origin: Origin::Unit,
/// };
/// let evidence = Evidence {
///     due: Mass::from_si(2.0),
///     before: kilograms(2.0, 0.02),
///     lost: vec![],
///     running: vec![],
///     recovered: Some(kilograms(1.8, 0.01)),
/// };
/// let joined = joined(&evidence)?;
/// assert_eq!(joined.words(UnitSystem::Si), "200 g low, could be 180 to 220 g");
/// # Ok::<(), lineproof::check::charge::joined::JoinError>(())
/// ```
pub fn joined(evidence: &Evidence) -> Result<Joined, JoinError> {
    let due = evidence.due;
    if due.si().is_nan() || due.si() <= 0.0 {
        return Err(JoinError::NothingDue { due });
    }
    let share = |mass: &Measured<Mass>| -> Result<(f64, f64), JoinError> {
        if mass.value.si() > HIGHEST * due.si() {
            return Err(JoinError::FarTooMuch {
                mass: mass.value,
                due,
            });
        }
        let u = mass.standard_uncertainty.si() / due.si();
        Ok((mass.value.si() / due.si(), u.max(1e-4)))
    };
    if let Some(recovered) = &evidence.recovered {
        let (value, u) = share(recovered)?;
        return Ok(Joined {
            from: RestsOn::Recovered,
            ..over_the_grid(due, &[value], |f| misfit(f, value, value, u))
        });
    }
    let (before, u) = share(&evidence.before)?;
    let sum = |end: fn(&Lost) -> Mass| evidence.lost.iter().map(|l| end(l).si()).sum::<f64>();
    let most = sum(|lost| lost.high) / due.si();
    let least = sum(|lost| lost.low) / due.si();
    let running = Running::of(&evidence.running);
    let (low, high) = (before - most, before - least);
    let joined = over_the_grid(due, &[low, high], |f| {
        misfit(f, low, high, u) + running.misfit(f)
    });
    Ok(Joined {
        from: if running.says_something() {
            RestsOn::WeighingAndRunning
        } else {
            RestsOn::Weighing
        },
        ..joined
    })
}

/// -ln of a likelihood that is the same between two ends and falls off like a normal beyond.
fn misfit(at: f64, low: f64, high: f64, u: f64) -> f64 {
    let beyond = (low - at).max(at - high).max(0.0) / u;
    0.5 * beyond * beyond
}

/// All running readings together: the model error is theirs in common.
struct Running {
    /// Middle and standard uncertainty of those that show a share.
    share: Option<(f64, f64)>,
    /// -ln of the likelihood that their subcooling was none at all.
    none: f64,
    /// Highest share and standard uncertainty of those without subcooling.
    at_most: Vec<(f64, f64)>,
}

impl Running {
    fn of(shown: &[Shown]) -> Running {
        let (mut weight, mut sum, mut common, mut none) = (0.0, 0.0, 0.0f64, 0.0);
        let mut at_most = Vec::new();
        for reading in shown {
            match *reading {
                Shown::Share {
                    share,
                    reading,
                    model,
                    above_zero,
                } => {
                    none += 0.5 * above_zero * above_zero;
                    let precision = reading.si().max(1e-4).powi(-2);
                    weight += precision;
                    sum += precision * share.si();
                    common = common.max(model.si());
                }
                Shown::AtMost {
                    share,
                    reading,
                    model,
                } => at_most.push((share.si(), reading.si().hypot(model.si()))),
                Shown::Void(_) => {}
            }
        }
        let share = (weight > 0.0).then(|| (sum / weight, (1.0 / weight + common * common).sqrt()));
        Running {
            share,
            none,
            at_most,
        }
    }

    fn says_something(&self) -> bool {
        self.share.is_some() || !self.at_most.is_empty()
    }

    /// -ln of the likelihood. Several kinds of reading share the model error, so the one that objects most speaks for all.
    fn misfit(&self, f: f64) -> f64 {
        // a charge so low that no subcooling is left shows none, plus noise: it never fits worse than that
        let share = self
            .share
            .map_or(0.0, |(at, u)| match misfit(f, at, at, u) {
                normal if f < at => normal.min(self.none),
                normal => normal,
            });
        let censored = self.at_most.iter();
        censored
            .map(|(at, u)| misfit(f, f64::NEG_INFINITY, *at, *u))
            .fold(share, f64::max)
    }
}

/// Estimate and interval from -ln of a likelihood; `kinks`: where it is not smooth, which become nodes of the grid.
fn over_the_grid(due: Mass, kinks: &[f64], misfit: impl Fn(f64) -> f64) -> Joined {
    let mut at: Vec<f64> = (0..=STEPS)
        .map(|i| HIGHEST * i as f64 / STEPS as f64)
        .chain(
            kinks
                .iter()
                .copied()
                .filter(|k| (0.0..=HIGHEST).contains(k)),
        )
        .collect();
    at.sort_by(f64::total_cmp);
    at.dedup();
    let misfits: Vec<f64> = at.iter().map(|f| misfit(*f)).collect();
    let best = misfits.iter().copied().fold(f64::INFINITY, f64::min);
    let limit = best + 0.5 * Z95 * Z95;
    // the nodes bracket each end; between two of them the square root of the misfit is nearly straight
    let crossing = |outside: usize, inside: usize| {
        let root = |i: usize| (misfits[i] - best).max(0.0).sqrt();
        let (a, b) = (root(outside), root(inside));
        let wanted = (0.5 * Z95 * Z95).sqrt();
        at[outside] + (at[inside] - at[outside]) * (a - wanted) / (a - b)
    };
    let end = at.len() - 1;
    let inside = |i: &usize| misfits[*i] <= limit;
    let first = (0..=end).find(inside).unwrap_or(0);
    let last = (0..=end).rfind(inside).unwrap_or(end);
    let low = if first == 0 {
        0.0
    } else {
        crossing(first - 1, first)
    };
    let high = if last == end {
        HIGHEST
    } else {
        crossing(last + 1, last)
    };
    // each node stands for half of the way to its neighbours
    let weight = |i: usize| {
        let width = at[(i + 1).min(end)] - at[i.saturating_sub(1)];
        width * (best - misfits[i]).exp()
    };
    let total: f64 = (0..=end).map(weight).sum();
    let mean = (0..=end).map(|i| at[i] * weight(i)).sum::<f64>() / total;
    Joined {
        due,
        estimate: Fraction::from_si(mean.clamp(low, high)),
        low95: Fraction::from_si(low),
        high95: Fraction::from_si(high),
        from: RestsOn::Weighing,
        // each of two kinds may be off by 2.5 standard deviations together
        conflict: best > 0.5 * 2.5 * 2.5,
    }
}

impl Joined {
    /// How much is missing: negative is too much.
    pub fn missing(&self) -> Interval {
        let mass = |share: Fraction| (1.0 - share.si()) * self.due.si();
        Interval {
            estimate: mass(self.estimate),
            low: mass(self.high95),
            high: mass(self.low95),
            dimension: Mass::DIMENSION,
        }
    }

    /// "0.4 lb low, could be 0 to 0.9 lb"; an end on the other side is named: "could be 0.1 lb over to 0.5 lb low".
    pub fn words(&self, system: UnitSystem) -> String {
        let missing = self.missing();
        let width = missing.high - missing.low;
        let hidden =
            |si: f64| coarse(width, system).rounded(si) == 0.0 && si.abs() > TELLS * self.due.si();
        // an end that tells is never rounded to 0
        let step = if hidden(missing.low) || hidden(missing.high) {
            coarse(0.1 * width, system)
        } else {
            coarse(width, system)
        };
        let show = |si: f64| step.show(si);
        let side = |si: f64| if si < 0.0 { "over" } else { "low" };
        let estimate = step.rounded(missing.estimate);
        let (low, high) = (step.rounded(missing.low), step.rounded(missing.high));
        let start = if estimate == 0.0 {
            "as much as belongs in".to_string()
        } else {
            format!("{} {}", show(estimate), side(estimate))
        };
        let range = if low >= 0.0 && estimate >= 0.0 {
            format!("{} to {}", step.number(low), show(high))
        } else if high <= 0.0 && estimate <= 0.0 {
            format!("{} to {}", step.number(-high), show(low))
        } else if low == 0.0 {
            format!("0 to {} {}", show(high), side(high))
        } else if high == 0.0 {
            format!("{} {} to 0", show(low), side(low))
        } else {
            format!(
                "{} {} to {} {}",
                show(low),
                side(low),
                show(high),
                side(high)
            )
        };
        format!("{start}, could be {range}")
    }

    /// What the estimate and both ends cost; an end further than 30 % from the right charge is an error of its own.
    pub fn cost(&self, air: Air) -> Cost {
        Cost {
            estimate: performance(self.estimate, air),
            low95: performance(self.low95, air),
            high95: performance(self.high95, air),
        }
    }
}

/// What the charge costs at the estimate and at both ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cost {
    /// At the estimate.
    pub estimate: Result<Performance, PerformanceError>,
    /// At the low end.
    pub low95: Result<Performance, PerformanceError>,
    /// At the high end.
    pub high95: Result<Performance, PerformanceError>,
}

/// Steps in which an interval of masses is told.
struct Coarse {
    unit: crate::quantity::Unit<Mass>,
    /// In the unit.
    step: f64,
    decimals: usize,
}

/// A step of about a tenth of a width: a power of ten, in lb and oz or kg and g.
fn coarse(width: f64, system: UnitSystem) -> Coarse {
    use crate::quantity::unit;
    let unit = match system {
        UnitSystem::Us if width < 0.25 * unit::POUND_MASS.to_si(1.0) => unit::OUNCE_MASS,
        UnitSystem::Us => unit::POUND_MASS,
        UnitSystem::Si if width < 1.0 => unit::GRAM,
        UnitSystem::Si => unit::KILOGRAM,
    };
    let in_unit = (unit.from_si(width) / 3.0).max(1e-3);
    let power = in_unit.log10().floor();
    Coarse {
        unit,
        step: 10f64.powf(power),
        decimals: (-power).max(0.0) as usize,
    }
}

impl Coarse {
    fn rounded(&self, si: f64) -> f64 {
        let steps = (self.unit.from_si(si) / self.step).round();
        if steps == 0.0 {
            0.0
        } else {
            self.unit.to_si(steps * self.step)
        }
    }

    fn number(&self, si: f64) -> String {
        if si == 0.0 {
            return "0".to_string();
        }
        format!("{:.*}", self.decimals, self.unit.from_si(si.abs()))
    }

    fn show(&self, si: f64) -> String {
        format!("{} {}", self.number(si), self.unit.symbol)
    }
}

/// Whether running readings are worth asking for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorthAsking {
    /// The interval as it is: shares low to high.
    pub now: (Fraction, Fraction),
    /// What it would become if they looked right.
    pub if_right: (Fraction, Fraction),
    /// What it would become with no subcooling left.
    pub if_none: (Fraction, Fraction),
    /// Whether either could bring all of it to one side of the tolerated share.
    pub could_decide: bool,
}

impl WorthAsking {
    /// "now 0 to 30 % low; readings that look right would make it about 0 to 24 % low, ...: they will not change the
    /// decision".
    pub fn words(&self) -> String {
        let decides = if self.could_decide {
            "they could decide"
        } else {
            "they will not change the decision"
        };
        format!(
            "now {}; readings that look right would make it about {}, readings without subcooling about {}: {decides}",
            shares_low(self.now),
            shares_low(self.if_right),
            shares_low(self.if_none)
        )
    }
}

/// "0 to 30 % low"; an end on the other side is named.
fn shares_low((low, high): (Fraction, Fraction)) -> String {
    let [least, most] = [high, low].map(|share| (100.0 * (1.0 - share.si())).round());
    if least >= 0.0 {
        format!("{:.0} to {most:.0} % low", least.abs())
    } else if most <= 0.0 {
        format!("{:.0} to {:.0} % over", most.abs(), -least)
    } else {
        format!("{:.0} % over to {most:.0} % low", -least)
    }
}

/// What running readings would make of the interval, before any is taken.
///
/// `evidence`: as it stands; `machine`: its rated values; `uncertainty`: of one reading of subcooling, as its standard
/// uncertainty in K; `tolerated`: the share below which it must not be left, such as 0.9.
///
/// Two readings are tried: one that shows the most charge the evidence allows, or the right one where it allows that,
/// and one without subcooling.
pub fn worth_asking(
    evidence: &Evidence,
    machine: &Machine,
    uncertainty: crate::quantity::TemperatureDiff,
    tolerated: Fraction,
) -> Result<WorthAsking, JoinError> {
    let now = joined(evidence)?;
    let reading = Fraction::from_si(uncertainty.si() / machine.per_charge.si());
    let model = machine.model;
    let with = |shown: Shown| {
        let mut then = evidence.clone();
        then.running.push(shown);
        joined(&then).map(|j| (j.low95, j.high95))
    };
    let right = Fraction::from_si(now.high95.si().min(1.0));
    let expected = machine.subcooling.si() + machine.per_charge.si() * (right.si() - 1.0);
    let gone = 1.0 - machine.subcooling.si() / machine.per_charge.si();
    let if_right = with(Shown::Share {
        share: right,
        reading,
        model,
        above_zero: expected / uncertainty.si(),
    })?;
    let if_none = with(Shown::AtMost {
        share: Fraction::from_si(gone),
        reading,
        model,
    })?;
    let decided = |(low, high): (Fraction, Fraction)| low >= tolerated || high < tolerated;
    let before = (now.low95, now.high95);
    Ok(WorthAsking {
        now: before,
        if_right,
        if_none,
        could_decide: !decided(before) && (decided(if_right) || decided(if_none)),
    })
}

#[cfg(test)]
mod tests;
