//! The inputs of *tight* and *dry*: logger files and readings taken by hand.

use std::path::PathBuf;

use super::InputError;
use crate::check::{Segment, dry, tight};
use crate::quantity::{
    Accuracy, Barometer, Duration, PressureAbs, PressureDiff, PressureGauge, PressureReading,
    Quantity, Temperature, UnitSystem, unit,
};
use crate::record::coverage::shut_off;
use crate::record::logger::{self, Asked};
use crate::record::{
    AsTyped, Evacuation, Event, LogFile, Moment, Phase, PressureTest, Record, TestGas, TestReading,
    Vacuum,
};

/// What an instrument states that the time-series checks need.
struct GaugeFacts {
    resolution: Option<PressureDiff>,
    drift_per_kelvin: Option<PressureDiff>,
    ceiling: Option<f64>,
}

/// Minutes, pressures, and the smallest step between them where a log shows it.
type Rise = (Vec<f64>, Vec<PressureAbs>, Option<PressureDiff>);

impl Record {
    fn gauge_facts<Q: Quantity<Diff = PressureDiff>>(
        &self,
        event: &Event,
        id: Option<&str>,
        typical: Q,
    ) -> Result<GaugeFacts, InputError> {
        let Some(facts) = self.named_instrument(event, id)? else {
            return Ok(GaugeFacts {
                resolution: None,
                drift_per_kelvin: None,
                ceiling: None,
            });
        };
        let instrument = facts
            .near(typical)
            .map_err(|error| InputError::Instrument {
                id: facts.id.clone(),
                error,
            })?;
        let resolution = instrument.accuracy.iter().find_map(|a| match a {
            Accuracy::Resolution(step) => Some(*step),
            _ => None,
        });
        let drift = instrument.zero_drift_per_kelvin;
        let ceiling = facts.full_scale_in::<Q>().ok().flatten();
        Ok(GaugeFacts {
            resolution,
            drift_per_kelvin: (drift > 0.0).then(|| PressureDiff::from_si(drift)),
            ceiling,
        })
    }

    fn log(&self, log: &LogFile) -> (PathBuf, Asked) {
        (self.log_path(log), log.asked())
    }

    /// What the standing pressure test of an event is judged from.
    pub fn tight_input(
        &self,
        event: &Event,
        test: &PressureTest,
        units: UnitSystem,
    ) -> Result<tight::Input, InputError> {
        let mut input = self.tight_alone(event, test, units)?;
        input.rig = self.rig_blank(event, test, &input, units)?;
        Ok(input)
    }

    /// What a standing pressure test is held against.
    pub fn tight_criteria(
        &self,
        event: &Event,
        test: &PressureTest,
    ) -> Result<tight::Criteria, InputError> {
        let Some(name) = &test.rule else {
            return Ok(tight::Criteria::default());
        };
        let code_rule = tight::CodeRule::named(name).ok_or_else(|| InputError::NoRule {
            number: event.number,
            rule: name.clone(),
            known: tight::CodeRule::names().join(", "),
        })?;
        Ok(tight::Criteria {
            code_rule,
            ..tight::Criteria::default()
        })
    }

    /// The same without what the rig did alone.
    pub(super) fn tight_alone(
        &self,
        event: &Event,
        test: &PressureTest,
        units: UnitSystem,
    ) -> Result<tight::Input, InputError> {
        let barometer = self.atmosphere(event)?;
        let gauge = self.gauge_facts(
            event,
            test.gauge.as_deref(),
            PressureGauge::of(500.0, unit::PSIG),
        )?;
        let shares = self.lineset.line_set.shares.as_ref();
        let outdoors = shares.and_then(|s| {
            let parts: Vec<f64> = [&s.outdoors, &s.sun]
                .into_iter()
                .flatten()
                .map(|p| p.value().si())
                .collect();
            (!parts.is_empty()).then(|| crate::quantity::Fraction::from_si(parts.iter().sum()))
        });
        let mut input = tight::Input {
            outdoor_share: test.outdoor_share.as_ref().map(AsTyped::value).or(outdoors),
            gauge_drift_per_kelvin: gauge.drift_per_kelvin,
            gas: match test.gas {
                TestGas::Argon => tight::TestGas::Argon,
                TestGas::Helium => tight::TestGas::Helium,
                TestGas::Air => tight::TestGas::Air,
                TestGas::Oxygen => tight::TestGas::Oxygen,
                TestGas::Nitrogen => tight::TestGas::Nitrogen,
                TestGas::FormingGas => tight::TestGas::FormingGas,
                TestGas::Refrigerant => tight::TestGas::Refrigerant,
                TestGas::NotKnown => tight::TestGas::NotKnown,
            },
            barometer,
            covers: test.covers.clone(),
            compressor: reaches_the_outdoor_unit(test),
            volume: self.volume_of(test)?,
            refrigerant: self.refrigerant()?,
            charge: self.whole_charge()?,
            design: self.design_pressure(),
            units,
            ..tight::Input::of(Vec::new(), Vec::new(), PressureDiff::from_si(0.0))
        };
        let mut step = None;
        match &test.log {
            Some(log) => {
                let (path, asked) = self.log(log);
                let read = logger::read_hold(&path, &asked, barometer)?;
                step = read.smallest_step;
                (input.hours, input.pressure) = (read.hours, read.pressure);
                (input.outdoor, input.indoor) = (read.outdoor, read.indoor);
                input.witness = read.witness;
            }
            None => self.typed_hold(event, test, &mut input)?,
        }
        input.gauge_resolution = gauge.resolution.or(step).ok_or(InputError::NoResolution {
            number: event.number,
        })?;
        if let Some((part, typical)) = self.unlogged(test) {
            (input.unlogged, input.unlogged_typical) = (Some(part), typical);
        }
        let columns = [&input.outdoor, &input.indoor].into_iter().flatten();
        let hottest = columns.flatten().copied();
        let hottest = hottest.reduce(|a, b| if b > a { b } else { a });
        input.rated = self.lowest_rating(hottest);
        Ok(input)
    }

    fn typed_hold(
        &self,
        event: &Event,
        test: &PressureTest,
        input: &mut tight::Input,
    ) -> Result<(), InputError> {
        if test.readings.len() < 2 {
            return Err(InputError::TooFew {
                number: event.number,
                found: test.readings.len(),
                needed: 2,
            });
        }
        let times = test
            .readings
            .iter()
            .map(|r| (r.at.as_ref(), r.after.as_ref()));
        let seconds = seconds_of(event, times)?;
        if let Some(at) = seconds.windows(2).position(|pair| pair[1] <= pair[0]) {
            return Err(InputError::NotInOrder {
                number: event.number,
                reading: at + 2,
                hours: seconds[at + 1] / 3600.0,
                before: seconds[at] / 3600.0,
            });
        }
        input.hours = seconds.iter().map(|s| (s - seconds[0]) / 3600.0).collect();
        input.pressure = test
            .readings
            .iter()
            .map(|r| absolute(event, r.pressure.value(), input.barometer))
            .collect::<Result<_, _>>()?;
        let column =
            |of: fn(&TestReading) -> &Option<AsTyped<Temperature>>| -> Option<Vec<Temperature>> {
                test.readings
                    .iter()
                    .map(|r| of(r).as_ref().map(AsTyped::value))
                    .collect()
            };
        input.outdoor = column(|r| &r.outdoor);
        input.indoor = column(|r| &r.indoor);
        Ok(())
    }

    /// What the vacuum rise of an event is judged from.
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
        let told = evacuation.isolated_after.as_ref();
        let told = told.map(|d| d.value().in_unit(unit::MINUTE));
        let mut isolated_after = told.unwrap_or(0.0);
        let mut second = None;
        let (minutes, pressure, step) = match &evacuation.log {
            Some(log) => {
                let (path, asked) = self.log(log);
                let read = logger::read_rise(&path, &asked, barometer)?;
                if told.is_none() {
                    isolated_after = shut_off_by_phase(&read).unwrap_or(0.0);
                }
                second = read.second;
                (read.minutes, read.pressure, read.smallest_step)
            }
            None => self.typed_rise(event, evacuation, barometer)?,
        };
        let first = minutes.iter().position(|m| *m >= isolated_after - 1e-9);
        let first = first.unwrap_or(minutes.len());
        let gauge_resolution = gauge.resolution.or(step).ok_or(InputError::NoResolution {
            number: event.number,
        })?;
        Ok(dry::Input {
            gauge_ceiling: gauge.ceiling.map(PressureAbs::from_si),
            coldest: evacuation.coldest.as_ref().map(AsTyped::value),
            volume: self.lineset.line_set.volume.as_ref().map(AsTyped::value),
            covers: evacuation.covers.clone(),
            second: second.map(|second| second[first..].to_vec()),
            units,
            before_min: isolated_after,
            ..dry::Input::of(
                minutes[first..]
                    .iter()
                    .map(|m| m - isolated_after)
                    .collect(),
                pressure[first..].to_vec(),
                gauge_resolution,
            )
        })
    }

    fn typed_rise(
        &self,
        event: &Event,
        evacuation: &Evacuation,
        barometer: Barometer,
    ) -> Result<Rise, InputError> {
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
        let isolated = |i: usize| readings[i].phase != Some(Phase::Pumping);
        let mut minutes = Vec::new();
        let mut pressure = Vec::new();
        for i in (0..readings.len()).filter(|i| isolated(*i)) {
            let Vacuum(vacuum) = readings[i].vacuum.value();
            minutes.push(seconds[i] / 60.0);
            pressure.push(absolute(event, vacuum, barometer)?);
        }
        Ok((minutes, pressure, None))
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

    fn atmosphere(&self, event: &Event) -> Result<Barometer, InputError> {
        self.barometer().map_err(|error| InputError::Barometer {
            number: event.number,
            error,
        })
    }
}

/// Whether the compressor with its oil was under pressure: named, and not shut off by the valves.
pub(super) fn reaches_the_outdoor_unit(test: &PressureTest) -> bool {
    test.covers.contains(&Segment::OutdoorUnit) && !shut_off(&test.covers, test.valves)
}

/// Where the phase column says that the pump was shut off, min.
fn shut_off_by_phase(read: &logger::RiseLog) -> Option<f64> {
    let micron: Vec<f64> = read
        .pressure
        .iter()
        .map(|p| p.in_unit(unit::MICRON))
        .collect();
    let found = dry::isolate::propose(&read.minutes, &micron, Some(read.phases.as_deref()?));
    found
        .into_iter()
        .find(|p| p.by_phase)
        .map(|p| p.from_minute)
}

fn absolute(
    event: &Event,
    reading: PressureReading,
    barometer: Barometer,
) -> Result<PressureAbs, InputError> {
    reading
        .to_abs(barometer)
        .map_err(|error| InputError::Barometer {
            number: event.number,
            error,
        })
}

fn seconds_of<'a>(
    event: &Event,
    times: impl Iterator<Item = (Option<&'a Moment>, Option<&'a AsTyped<Duration>>)>,
) -> Result<Vec<f64>, InputError> {
    times
        .enumerate()
        .map(|(i, time)| match time {
            (Some(at), _) => Ok(at.seconds_after(event.at)),
            (None, Some(after)) => Ok(after.value().si()),
            (None, None) => Err(InputError::NoTime {
                number: event.number,
                reading: i + 1,
            }),
        })
        .collect()
}
