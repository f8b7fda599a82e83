//! The input of *dry*: the isolated part of an evacuation, and the pump-down before it.

use std::ops::Range;

use super::InputError;
use super::holds::{absolute, seconds_of};
use crate::check::dry::{self, Pumped, ShutOff, ShutOffBy, isolate};
use crate::quantity::{Barometer, PressureAbs, PressureDiff, Quantity, UnitSystem, unit};
use crate::record::logger;
use crate::record::{
    AsTyped, Evacuation, Event, EventBody, Phase, Position, Record, Vacuum, coverage,
};

/// Readings of an evacuation, pumped and isolated.
struct Taken {
    minutes: Vec<f64>,
    pressure: Vec<PressureAbs>,
    second: Option<Vec<PressureAbs>>,
    /// The smallest step between them, where a log shows it.
    step: Option<PressureDiff>,
    /// The word for pumping or isolated of each.
    phases: Option<Vec<String>>,
}

/// The rows of the isolated phase, and when it began.
struct Isolated {
    rows: Range<usize>,
    from: f64,
    shut_off: Option<ShutOff>,
}

impl Record {
    /// What the vacuum rise of an event is judged from.
    ///
    /// The isolated phase begins where it was typed, else where a phase column says so, else where the valve to the pump
    /// was shut; else all readings are taken, and a pump that still pulled is seen by the check.
    pub fn dry_input(
        &self,
        event: &Event,
        evacuation: &Evacuation,
        units: UnitSystem,
    ) -> Result<dry::Input, InputError> {
        let barometer = self.atmosphere(event)?;
        let gauge = self.gauge_facts(
            event,
            evacuation.gauge.as_deref(),
            PressureAbs::of(500.0, unit::MICRON),
        )?;
        let taken = self.taken(event, evacuation, barometer)?;
        let Isolated {
            rows,
            from,
            shut_off,
        } = self.isolated_rows(event, evacuation, &taken)?;
        let gauge_resolution = gauge
            .resolution
            .or(taken.step)
            .ok_or(InputError::NoResolution {
                number: event.number,
            })?;
        let minutes = taken.minutes[rows.clone()].iter().map(|m| m - from);
        let pumping = match &shut_off {
            Some(_) => 0..(rows.start + 1).min(taken.minutes.len()),
            None => rows.clone(),
        };
        Ok(dry::Input {
            gauge_ceiling: gauge.ceiling.map(PressureAbs::from_si),
            coldest: evacuation.coldest.as_ref().map(AsTyped::value),
            volume: self.volume_evacuated(evacuation)?,
            covers: evacuation.covers.clone(),
            second: taken.second.map(|second| second[rows.clone()].to_vec()),
            pumped: match self.pump_down(event, evacuation, barometer)? {
                Some(pumped) => Some(pumped),
                None => {
                    let minutes = taken.minutes[pumping.clone()].to_vec();
                    Pumped::read(minutes, taken.pressure[pumping].to_vec()).ok()
                }
            },
            shut_off,
            before_min: from,
            units,
            ..dry::Input::of(
                minutes.collect(),
                taken.pressure[rows].to_vec(),
                gauge_resolution,
            )
        })
    }

    fn taken(
        &self,
        event: &Event,
        evacuation: &Evacuation,
        barometer: Barometer,
    ) -> Result<Taken, InputError> {
        let Some(log) = &evacuation.log else {
            return typed(event, evacuation, barometer);
        };
        let read = logger::read_rise(&self.log_path(log), &log.asked(), barometer)?;
        Ok(Taken {
            minutes: read.minutes,
            pressure: read.pressure,
            second: read.second,
            step: read.smallest_step,
            phases: read.phases,
        })
    }

    /// The pump-down that has a log of its own.
    fn pump_down(
        &self,
        event: &Event,
        evacuation: &Evacuation,
        barometer: Barometer,
    ) -> Result<Option<Pumped>, InputError> {
        let Some(log) = &evacuation.pump_down else {
            return Ok(None);
        };
        let read = logger::read_rise(&self.log_path(log), &log.asked(), barometer)?;
        let pumped = Pumped::read(read.minutes, read.pressure);
        pumped.map(Some).map_err(|error| InputError::PumpDown {
            number: event.number,
            error,
        })
    }

    fn isolated_rows(
        &self,
        event: &Event,
        evacuation: &Evacuation,
        taken: &Taken,
    ) -> Result<Isolated, InputError> {
        let whole = Isolated {
            rows: 0..taken.minutes.len(),
            from: 0.0,
            shut_off: None,
        };
        let Some(last) = taken.minutes.last().copied() else {
            return Ok(whole);
        };
        if let Some(told) = &evacuation.isolated_after {
            let after_min = told.value().in_unit(unit::MINUTE);
            if !(0.0..=last).contains(&after_min) {
                return Err(InputError::IsolatedOutside {
                    number: event.number,
                    told: after_min,
                    last,
                });
            }
            return Ok(taken.from(ShutOff {
                after_min,
                by: ShutOffBy::Told,
                until_min: None,
            }));
        }
        if let Some(by_phase) = taken.by_phase(event)? {
            return Ok(by_phase);
        }
        let by_valve = self.pump_valve_shut(event, last);
        Ok(by_valve.map_or(whole, |shut_off| taken.from(shut_off)))
    }

    /// When the valve to the pump was last shut within the readings, and opened again after that.
    fn pump_valve_shut(&self, event: &Event, last: f64) -> Option<ShutOff> {
        let moves: Vec<(f64, u64, Position)> = coverage::in_order(&self.events)
            .into_iter()
            .filter_map(|index| {
                let moved = &self.events[index];
                let EventBody::PumpValveMoved(valve) = &moved.body else {
                    return None;
                };
                let minutes = moved.at.seconds_after(event.at) / 60.0;
                Some((minutes, moved.number, valve.to))
            })
            .collect();
        let within = |minutes: f64| (0.0..last).contains(&minutes);
        let shut = moves
            .iter()
            .rposition(|(at, _, to)| *to == Position::Shut && within(*at))?;
        let (after_min, number, _) = moves[shut];
        let again = moves[shut..]
            .iter()
            .find(|(_, _, to)| *to == Position::Open);
        Some(ShutOff {
            after_min,
            by: ShutOffBy::Valve(number),
            until_min: again.map(|(at, ..)| *at).filter(|at| within(*at)),
        })
    }

    /// The rules that an evacuation is held against: the unit's own where its instructions give one, else the named one.
    ///
    /// A rule named for the evacuation is told beside the unit's.
    pub fn dry_criteria(
        &self,
        event: &Event,
        evacuation: &Evacuation,
    ) -> Result<dry::Criteria, InputError> {
        let mut criteria = dry::Criteria::default();
        let own = self.rule_of_the_unit(event)?;
        if let Some(name) = evacuation.rule.as_deref()
            && !(name == "unit" && own.is_some())
        {
            criteria.rule = dry::Rule::named(name).ok_or_else(|| InputError::NoRule {
                number: event.number,
                rule: name.into(),
                known: dry::Rule::all()
                    .iter()
                    .map(|r| r.name)
                    .collect::<Vec<_>>()
                    .join(", "),
            })?;
        }
        if let Some(own) = own {
            if evacuation
                .rule
                .as_deref()
                .is_some_and(|name| name != "unit")
            {
                criteria.beside = vec![criteria.rule];
            }
            criteria.rule = own;
        }
        Ok(criteria)
    }

    /// What the unit's instructions ask of a vacuum rise; none unless they give the vacuum, the limit and the time.
    fn rule_of_the_unit(&self, event: &Event) -> Result<Option<dry::Rule>, InputError> {
        let asks = &self.lineset.instructions;
        let (Some(vacuum), Some(limit), Some(time)) =
            (&asks.vacuum, &asks.rise_limit, &asks.rise_duration)
        else {
            return Ok(None);
        };
        let barometer = self.atmosphere(event)?;
        let of = |typed: &AsTyped<Vacuum>| absolute(event, typed.value().0, barometer);
        Ok(Some(dry::Rule::of_the_unit(
            of(vacuum)?,
            time.value().in_unit(unit::MINUTE),
            of(limit)?,
        )))
    }
}

impl Taken {
    /// The rows from a moment on, up to where the pump pulled again.
    fn from(&self, shut_off: ShutOff) -> Isolated {
        let all = self.minutes.len();
        let first = |at: f64| self.minutes.iter().position(|m| *m >= at - 1e-9);
        let start = first(shut_off.after_min).unwrap_or(all);
        let end = shut_off.until_min.and_then(first).unwrap_or(all);
        Isolated {
            rows: start..end.max(start),
            from: shut_off.after_min,
            shut_off: Some(shut_off).filter(|_| start > 0 || end < all),
        }
    }

    /// The last stretch that the phase column calls isolated; none without such a column.
    fn by_phase(&self, event: &Event) -> Result<Option<Isolated>, InputError> {
        let Some(words) = &self.phases else {
            return Ok(None);
        };
        // a word that is not known says nothing, so what was said before it goes on
        let mut state = None;
        let isolated: Vec<Option<bool>> = words
            .iter()
            .map(|word| {
                state = isolate::is_isolated(word).or(state);
                state
            })
            .collect();
        let Some(last) = isolated.iter().rposition(|i| *i == Some(true)) else {
            return match isolated.contains(&Some(false)) {
                true => Err(InputError::NeverIsolated {
                    number: event.number,
                }),
                false => Ok(None),
            };
        };
        let before = isolated[..last].iter().rposition(|i| *i != Some(true));
        let start = before.map_or(0, |row| row + 1);
        Ok(Some(self.from(ShutOff {
            after_min: self.minutes[start],
            by: ShutOffBy::Phase(words[start].trim().into()),
            until_min: self.minutes.get(last + 1).copied(),
        })))
    }
}

fn typed(
    event: &Event,
    evacuation: &Evacuation,
    barometer: Barometer,
) -> Result<Taken, InputError> {
    let readings = &evacuation.readings;
    if readings.is_empty() {
        return Err(InputError::TooFew {
            number: event.number,
            found: 0,
            needed: 4,
        });
    }
    let seconds = seconds_of(
        event,
        readings.iter().map(|r| (r.at.as_ref(), r.after.as_ref())),
    )?;
    let of = |typed: &AsTyped<Vacuum>| absolute(event, typed.value().0, barometer);
    let said = readings.iter().any(|r| r.phase == Some(Phase::Pumping));
    // nothing said of a reading is said of the isolated vacuum
    let word = |phase: Option<Phase>| phase.unwrap_or(Phase::Isolated).word().to_string();
    Ok(Taken {
        minutes: seconds.iter().map(|s| s / 60.0).collect(),
        pressure: readings
            .iter()
            .map(|r| of(&r.vacuum))
            .collect::<Result<_, _>>()?,
        second: None,
        step: None,
        phases: said.then(|| readings.iter().map(|r| word(r.phase)).collect()),
    })
}
