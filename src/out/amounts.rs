//! The two figures of *charge*: what each kind of evidence says of the mass inside, and lost mass against time.

use super::told::{digits, masses};
use crate::check::charge::Criteria;
use crate::check::charge::joined::{Evidence, Joined, RestsOn};
use crate::check::charge::lost::{Escape, Lost, Timed, TimedBy, Valves, lost};
use crate::check::charge::running::Shown;
use crate::out::figure::{ChargeInterval, ChargeRow, LostMass, StatedTime};
use crate::physics::flow::FlowError;
use crate::quantity::{Duration, Fraction, Mass, Measured, Quantity, UnitSystem, unit, unit::Unit};

/// Points of a curve.
const POINTS: usize = 24;

impl LostMass {
    /// Lost mass against the time it hissed, everything else as it is in `escape`.
    ///
    /// With [`Valves::ShutAfter`] against the time the valves stood open: the time to silence, which tells of the hole,
    /// stays as it was.
    pub fn of(escape: &Escape, units: UnitSystem) -> Result<LostMass, FlowError> {
        let (stated, clock) = match escape.valves {
            Valves::ShutAfter(time) => (Some(time), "minutes open before the valves were shut"),
            Valves::Open | Valves::Shut | Valves::NotKnown => (escape.hiss, "minutes it hissed"),
        };
        let by = stated.map_or(TimedBy::Guess, |s| s.by);
        let span = stated.map_or(600.0, |s| (2.2 * s.duration.si()).max(10.0));
        let times: Vec<f64> = (0..=POINTS)
            .map(|i| span * i as f64 / POINTS as f64)
            .collect();
        let lasted = |seconds: f64| lost(&lasting(escape, seconds, by));
        let row = times.iter().map(|&t| lasted(t));
        let row: Vec<Lost> = row.collect::<Result<_, _>>()?;
        let there = &escape.circuit.charge;
        let there = there.value.si() + 1.96 * there.standard_uncertainty.si();
        let most = row.iter().map(|l| l.high.si()).fold(0.0, f64::max);
        let unit = mass_unit(Mass::from_si(most), units);
        let column =
            |end: fn(&Lost) -> Mass| row.iter().map(|l| unit.from_si(end(l).si())).collect();
        let stated = stated
            .map(|time| -> Result<StatedTime, FlowError> {
                let found = lasted(time.duration.si())?;
                let minutes = time.duration.si() / 60.0;
                let (how, from, to) = match time.by {
                    TimedBy::Guess => ("by feeling, half to twice", 0.5 * minutes, 2.0 * minutes),
                    TimedBy::Clock => {
                        let off = 0.1 * minutes + 1.0 / 60.0;
                        ("by a clock", (minutes - off).max(0.0), minutes + off)
                    }
                };
                Ok(StatedTime {
                    minutes,
                    from,
                    to,
                    low: unit.from_si(found.low.si()),
                    high: unit.from_si(found.high.si()),
                    words: format!(
                        "{} {how}: {}",
                        time_words(time.duration),
                        masses(found.low, found.high, units)
                    ),
                })
            })
            .transpose()?;
        Ok(LostMass {
            minutes: times.iter().map(|t| t / 60.0).collect(),
            low: column(|l| l.low),
            high: column(|l| l.high),
            there: unit.from_si(there),
            stated,
            clock,
            unit: unit.symbol,
        })
    }
}

fn time_words(time: Duration) -> String {
    let minutes = time.in_unit(unit::MINUTE);
    if minutes < 1.0 {
        format!("{:.0} s", time.si())
    } else {
        format!("{} min", digits(minutes))
    }
}

/// The same incident, had it lasted so long.
fn lasting(escape: &Escape, seconds: f64, by: TimedBy) -> Escape {
    let timed = Timed {
        duration: Duration::from_si(seconds),
        by,
    };
    match escape.valves {
        Valves::ShutAfter(_) => Escape {
            valves: Valves::ShutAfter(timed),
            ..escape.clone()
        },
        Valves::Open | Valves::Shut | Valves::NotKnown => Escape {
            hiss: Some(timed),
            ..escape.clone()
        },
    }
}

/// The unit in which masses up to this one are drawn.
fn mass_unit(most: Mass, units: UnitSystem) -> Unit<Mass> {
    match units {
        UnitSystem::Us if most.si() < 0.5 * unit::POUND_MASS.to_si(1.0) => unit::OUNCE_MASS,
        UnitSystem::Us => unit::POUND_MASS,
        UnitSystem::Si if most.si() < 1.0 => unit::GRAM,
        UnitSystem::Si => unit::KILOGRAM,
    }
}

impl ChargeInterval {
    /// What each kind of evidence says about the mass inside, and all of it together.
    ///
    /// The band is the share that is left as it is, [`Criteria::small_remainder`].
    pub fn of(evidence: &Evidence, joined: &Joined, units: UnitSystem) -> ChargeInterval {
        let due = evidence.due;
        let scale = Scale {
            unit: mass_unit(due, units),
            due: due.si(),
            units,
        };
        let replaced = joined.from == RestsOn::Recovered;
        let mut rows = vec![scale.measured("nameplate and weighed in", &evidence.before, replaced)];
        let incidents = evidence.lost.len();
        for (i, lost) in evidence.lost.iter().enumerate() {
            let name = numbered("incident", i, incidents);
            rows.push(scale.after(name, &evidence.before, lost, replaced));
        }
        let said: Vec<&Shown> = evidence
            .running
            .iter()
            .filter(|s| !matches!(s, Shown::Void(_)))
            .collect();
        for (i, shown) in said.iter().enumerate() {
            let name = numbered("running readings", i, said.len());
            rows.extend(scale.shown(name, shown, replaced));
        }
        if let Some(recovered) = &evidence.recovered {
            rows.push(scale.measured("a technician weighed it", recovered, false));
        }
        let share = |share: Fraction| scale.unit.from_si(share.si() * due.si());
        rows.push(ChargeRow {
            label: "all together".into(),
            said: joined.words(units),
            estimate: Some(share(joined.estimate)),
            low: share(joined.low95),
            high: share(joined.high95),
            open: joined.low95.si() == 0.0,
            replaced: false,
            together: true,
        });
        ChargeInterval {
            rows,
            due: scale.unit.from_si(due.si()),
            tolerance: Criteria::default().small_remainder.si(),
            unit: scale.unit.symbol,
            conflict: joined.conflict,
        }
    }
}

fn numbered(name: &str, index: usize, of: usize) -> String {
    if of == 1 {
        name.to_string()
    } else {
        format!("{name} {}", index + 1)
    }
}

/// The reader's scale of masses.
struct Scale {
    unit: Unit<Mass>,
    due: f64,
    units: UnitSystem,
}

impl Scale {
    /// A row between two masses in kg.
    fn row(
        &self,
        label: String,
        said: String,
        ends: (f64, f64),
        estimate: Option<f64>,
    ) -> ChargeRow {
        let of = |si: f64| self.unit.from_si(si.max(0.0));
        ChargeRow {
            label,
            said,
            estimate: estimate.map(of),
            low: of(ends.0),
            high: of(ends.1),
            open: false,
            replaced: false,
            together: false,
        }
    }

    fn between(&self, ends: (f64, f64)) -> String {
        let kilograms = |si: f64| Mass::from_si(si.max(0.0));
        masses(kilograms(ends.0), kilograms(ends.1), self.units)
    }

    fn measured(&self, label: &str, mass: &Measured<Mass>, replaced: bool) -> ChargeRow {
        let half = 1.96 * mass.standard_uncertainty.si();
        let ends = (mass.value.si() - half, mass.value.si() + half);
        let said = format!(
            "{}, could be {}",
            mass.value.show(self.units),
            self.between(ends)
        );
        ChargeRow {
            replaced,
            ..self.row(label.into(), said, ends, Some(mass.value.si()))
        }
    }

    /// What an incident alone would have left.
    fn after(
        &self,
        label: String,
        before: &Measured<Mass>,
        lost: &Lost,
        replaced: bool,
    ) -> ChargeRow {
        let said = format!("{} could be gone", masses(lost.low, lost.high, self.units));
        let ends = (
            before.value.si() - lost.high.si(),
            before.value.si() - lost.low.si(),
        );
        ChargeRow {
            replaced,
            ..self.row(label, said, ends, None)
        }
    }

    fn shown(&self, label: String, shown: &Shown, replaced: bool) -> Option<ChargeRow> {
        let (share, u, open) = match *shown {
            Shown::Share {
                share,
                reading,
                model,
                above_zero,
            } => (share.si(), reading.si().hypot(model.si()), above_zero < 2.0),
            Shown::AtMost {
                share,
                reading,
                model,
            } => (share.si(), reading.si().hypot(model.si()), true),
            Shown::Void(_) => return None,
        };
        let high = (share + 1.96 * u) * self.due;
        let low = if open {
            0.0
        } else {
            (share - 1.96 * u) * self.due
        };
        let said = if open {
            format!(
                "hardly any subcooling: {} or far less",
                Mass::from_si(high).show(self.units)
            )
        } else {
            format!("would look like {}", self.between((low, high)))
        };
        let estimate = (!open).then_some(share * self.due);
        Some(ChargeRow {
            open,
            replaced,
            ..self.row(label, said, (low, high), estimate)
        })
    }
}
