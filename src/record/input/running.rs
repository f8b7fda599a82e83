//! The input of *run* from a running log: what was typed beside it wins.

use std::path::{Path, PathBuf};

use super::InputError;
use crate::check::run::steady::{self, Channel, Steady};
use crate::check::run::{self, Yes};
use crate::quantity::{Barometer, Current, Duration, PressureAbs, Quantity, Temperature, Typed};
use crate::record::logger::{self, Asked, Role};
use crate::record::{AsTyped, ColumnUse, Event, LogFile, Reading, Record};

impl Record {
    /// What *run* is judged from; none while the refrigerant is not known.
    ///
    /// With a log the means over its steadiest window stand in for what was not typed, their standard errors are added to
    /// those of the instruments, and the time it has run counts to the window's end: a typed time is that at the log's
    /// first row. Readings do not stand still when either the log or what was typed says so.
    pub fn run_input(
        &self,
        event: &Event,
        reading: &Reading,
    ) -> Result<Option<run::Input>, InputError> {
        match &reading.log {
            None => self.typed_run_input(event, reading),
            Some(file) => {
                let (path, asked) = self.running_log(file);
                self.logged_run_input(event, reading, &path, &asked)
            }
        }
    }

    /// The same with a log that need not lie in the record.
    pub fn logged_run_input(
        &self,
        event: &Event,
        reading: &Reading,
        path: &Path,
        asked: &Asked,
    ) -> Result<Option<run::Input>, InputError> {
        let Some(refrigerant) = self.refrigerant()? else {
            return Ok(None);
        };
        let barometer = self.barometer().map_err(|error| InputError::Barometer {
            number: event.number,
            error,
        })?;
        let log = logger::read_running(path, asked, barometer)?.log;
        let found = steady::find(log.with_spans(refrigerant), &steady::Criteria::default());
        let (reading, found) = filled(reading, found, barometer);
        let Some(mut input) = self.typed_run_input(event, &reading)? else {
            return Ok(None);
        };
        found.widen(&mut input);
        match found.is_steady() {
            Some(false) => input.conditions.steady = Some(Yes::No),
            Some(true) if input.conditions.steady.is_none() => {
                input.conditions.steady = Some(Yes::Yes);
            }
            _ => {}
        }
        input.log = Some(found);
        Ok(Some(input))
    }

    fn running_log(&self, log: &LogFile) -> (PathBuf, Asked) {
        let role = |holds: ColumnUse| {
            if holds == ColumnUse::Time {
                return Some(Role::Time);
            }
            let channel = Channel::ALL.iter().find(|c| c.word() == holds.word())?;
            Some(Role::Running(*channel))
        };
        let said = |of: fn(&crate::record::LogColumn) -> Option<String>| {
            let rows = log.columns.iter();
            rows.filter_map(|c| Some((role(c.holds)?, of(c))))
                .collect::<Vec<_>>()
        };
        let asked = Asked::of(said(|c| Some(c.column.clone())), said(|c| c.unit.clone()));
        (self.log_path(log), log.clock(asked))
    }
}

/// The reading with the window's means where nothing was typed, and what was typed beside the log.
fn filled(typed: &Reading, mut found: Steady, barometer: Barometer) -> (Reading, Steady) {
    let mut reading = typed.clone();
    let Some(window) = found.window.clone() else {
        return (reading, found);
    };
    let mut by_hand = Vec::new();
    for still in &window.channels {
        let mean = still.mean;
        let temperature = Temperature::from_si(mean);
        let gauge = PressureAbs::from_si(mean).to_gauge(barometer);
        let taken = match still.channel {
            Channel::Superheat | Channel::Subcooling => true,
            // a bend beside a gauge is left as it is: the gauge counts
            Channel::SuctionPressure => put(&mut reading.suction_pressure, gauge),
            Channel::LiquidPressure => put(&mut reading.liquid_pressure, gauge),
            Channel::SuctionLine => put(&mut reading.suction_line, temperature),
            Channel::LiquidLine => put(&mut reading.liquid_line, temperature),
            Channel::DischargeLine => put(&mut reading.discharge_line, temperature),
            Channel::EvaporatorBend => put(&mut reading.evaporator_bend, temperature),
            Channel::CondenserBend => put(&mut reading.condenser_bend, temperature),
            Channel::Outdoor => put(&mut reading.outdoor, temperature),
            Channel::ReturnAir => put(&mut reading.return_air, temperature),
            Channel::ReturnWetBulb => put(&mut reading.return_wet_bulb, temperature),
            Channel::SupplyAir => put(&mut reading.supply_air, temperature),
            Channel::SupplyWetBulb => put(&mut reading.supply_wet_bulb, temperature),
            Channel::LeavingAir => put(&mut reading.leaving_air, temperature),
            Channel::Current => put(&mut reading.current, Current::from_si(mean)),
        };
        if !taken {
            by_hand.push(still.channel);
        }
    }
    let before = reading.running.as_ref().map_or(0.0, |d| d.value().si());
    reading.running = Some(plain(Duration::from_si(before + window.to.si())));
    found.by_hand = by_hand;
    (reading, found)
}

/// Puts a mean where nothing was typed; whether it did.
fn put<Q: Quantity>(field: &mut Option<AsTyped<Q>>, mean: Q) -> bool {
    let free = field.is_none();
    if free {
        *field = Some(plain(mean));
    }
    free
}

fn plain<Q: Quantity>(value: Q) -> AsTyped<Q> {
    AsTyped::from(Typed {
        value,
        text: "from the log".into(),
        echo: None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{PressureGauge, unit};

    #[test]
    fn every_channel_of_a_log_has_its_word_in_the_record() {
        for channel in &Channel::ALL[2..] {
            assert!(
                ColumnUse::from_word(channel.word()).is_some(),
                "{channel:?}"
            );
        }
    }

    #[test]
    fn a_typed_gauge_stays() {
        let mut field = Some(plain(PressureGauge::of(100.0, unit::PSIG)));
        assert!(!put(&mut field, PressureGauge::of(120.0, unit::PSIG)));
        assert_eq!(field.unwrap().value(), PressureGauge::of(100.0, unit::PSIG));
    }
}
