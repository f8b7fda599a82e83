//! The input of *tight*, from a logger file or from readings taken by hand.

use std::path::PathBuf;

use super::InputError;
use crate::check::{Segment, tight};
use crate::quantity::{
    Accuracy, Barometer, Duration, PressureAbs, PressureDiff, PressureGauge, PressureReading,
    Quantity, Temperature, UnitSystem, unit,
};
use crate::record::coverage::shut_off;
use crate::record::logger::{self, Asked};
use crate::record::{AsTyped, Event, LogFile, Moment, PressureTest, Record, TestGas, TestReading};

/// What an instrument states that the time-series checks need.
pub(super) struct GaugeFacts {
    pub resolution: Option<PressureDiff>,
    pub drift_per_kelvin: Option<PressureDiff>,
    pub ceiling: Option<f64>,
}

impl Record {
    pub(super) fn gauge_facts<Q: Quantity<Diff = PressureDiff>>(
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

    pub(super) fn atmosphere(&self, event: &Event) -> Result<Barometer, InputError> {
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

pub(super) fn absolute(
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

pub(super) fn seconds_of<'a>(
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
