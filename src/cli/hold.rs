//! A hold to come as arguments: what `plan` and `rehearse` share.

use std::path::PathBuf;

use super::args::{Atmosphere, gauge, typed};
use super::warn;
use crate::check::tight::rehearse::{Beside, Readings, Setup};
use crate::check::tight::{Criteria, Limit, TestGas};
use crate::decide::Place;
use crate::fluid::Refrigerant;
use crate::quantity::{
    BOURDON_DRIFT_PER_KELVIN, Duration, Fraction, Mass, Measured, Origin, PressureDiff,
    PressureGauge, PressureRate, Quantity, Temperature, TemperatureDiff, Typed, UnitSystem, Volume,
    unit,
};
use crate::record::Record;

/// A hold to come.
#[derive(Debug, clap::Args)]
pub(super) struct HoldArgs {
    /// A record's folder: pressure, gauge, shares, volume, refrigerant, charge and place are taken from its lineset.toml
    folder: Option<PathBuf>,
    /// The test pressure, e.g. 450psig
    #[arg(long, value_parser = gauge, allow_hyphen_values = true)]
    at: Option<Typed<PressureGauge>>,
    /// How many hours it stands [default: the instructions', else 24]
    #[arg(long, allow_hyphen_values = true)]
    hours: Option<f64>,
    /// The gauge's smallest step, e.g. 1psi
    #[arg(long, value_parser = typed::<PressureDiff>, allow_hyphen_values = true)]
    gauge_resolution: Option<Typed<PressureDiff>>,
    /// The gauge's full scale, e.g. 800psi: its zero moves 0.04 % of it per kelvin
    #[arg(long, value_parser = typed::<PressureDiff>, allow_hyphen_values = true)]
    gauge_full_scale: Option<Typed<PressureDiff>>,
    /// A logger reads it so often [default: 10min]
    #[arg(long, value_parser = typed::<Duration>, allow_hyphen_values = true)]
    every: Option<Typed<Duration>>,
    /// It is read by hand so many times, evenly
    #[arg(long, conflicts_with = "every")]
    readings: Option<usize>,
    /// Share of the volume that is outdoors, e.g. 0.7 or "70 %"
    #[arg(long, value_parser = typed::<Fraction>, allow_hyphen_values = true)]
    outdoor_share: Option<Typed<Fraction>>,
    /// From the coolest to the warmest hour of a day outdoors [default: 18 °F, 10 K]
    #[arg(long, value_parser = typed::<TemperatureDiff>, allow_hyphen_values = true)]
    swing: Option<Typed<TemperatureDiff>>,
    /// Mean temperature of a day outdoors [default: 59 °F, 15 °C]
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true)]
    outdoor: Option<Typed<Temperature>>,
    /// Temperature of the rooms [default: 70 °F, 21 °C]
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true)]
    indoor: Option<Typed<Temperature>>,
    /// The hour of the day at which it begins, 0 to 24 [default: 20]
    #[arg(long, allow_hyphen_values = true)]
    begins: Option<f64>,
    /// No thermometer is read
    #[arg(long, conflicts_with_all = ["outdoor_only", "witness"])]
    no_thermometer: bool,
    /// A thermometer outdoors, none indoors
    #[arg(long, conflicts_with = "witness")]
    outdoor_only: bool,
    /// A second volume that is known to be tight is read beside it
    #[arg(long)]
    witness: bool,
    /// The gas: nitrogen, argon or helium
    #[arg(long, default_value = "nitrogen", value_parser = super::tight::gas)]
    pub gas: TestGas,
    /// Volume of all that is under pressure, e.g. 2.1L: with the refrigerant, losses in oz and g a year too
    #[arg(long, value_parser = typed::<Volume>, allow_hyphen_values = true)]
    volume: Option<Typed<Volume>>,
    /// The refrigerant to come, e.g. R-410A
    #[arg(long, value_parser = super::args::refrigerant)]
    refrigerant: Option<Refrigerant>,
    /// Its charge: the limit is then 5 % of it a year
    #[arg(long, value_parser = typed::<Mass>, allow_hyphen_values = true)]
    charge: Option<Typed<Mass>>,
    /// The loss that decides, e.g. 0.05psi/h
    #[arg(long, value_parser = typed::<PressureRate>, allow_hyphen_values = true)]
    limit: Option<Typed<PressureRate>>,
    #[command(flatten)]
    atmosphere: Atmosphere,
}

/// How far a typed volume may be off, one standard deviation (own choice).
const VOLUME_OFF: f64 = 0.05;

impl HoldArgs {
    /// The record, if one was named.
    pub fn record(&self) -> Result<Option<Record>, Box<dyn std::error::Error>> {
        let record = self.folder.as_deref().map(Record::open).transpose()?;
        record.iter().for_each(warn);
        Ok(record)
    }

    pub fn criteria(&self) -> Criteria {
        Criteria {
            limit: self
                .limit
                .as_ref()
                .map_or(Limit::Usual, |l| Limit::Stated(l.value)),
            ..Criteria::default()
        }
    }

    /// The hold: as typed, else as the record has it, else usual.
    pub fn setup(
        &self,
        record: Option<&Record>,
        units: UnitSystem,
    ) -> Result<Setup, Box<dyn std::error::Error>> {
        let facts = record.map(Record::planned_hold).transpose()?;
        let facts = facts.as_ref();
        let start = self.at.as_ref().map(|p| p.value);
        let start = start.or(facts.and_then(|f| f.start)).ok_or(
            "the test pressure is not known: give it with --at, for example 450psig, as the unit's nameplate and instructions allow",
        )?;
        let resolution = self.gauge_resolution.as_ref().map(|r| r.value);
        let resolution = resolution.or(facts.and_then(|f| f.gauge_resolution)).ok_or(
            "the gauge's smallest step is not known: give it with --gauge-resolution, for example 1psi",
        )?;
        let drift = match (&self.gauge_full_scale, facts) {
            (Some(full), _) => Some(PressureDiff::from_si(
                full.value.si() * BOURDON_DRIFT_PER_KELVIN,
            )),
            // a gauge typed here is not the record's
            (None, Some(facts)) if self.gauge_resolution.is_none() => facts.gauge_drift_per_kelvin,
            _ => None,
        };
        let usual = Setup::of(start, resolution);
        let hold = self.hours.map(|h| Duration::of(h, unit::HOUR_DURATION));
        let share = self.outdoor_share.as_ref().map(|s| s.value);
        let charge = self.charge.as_ref().map(|c| c.value);
        let volume = match &self.volume {
            Some(v) => Some(Measured {
                value: v.value,
                standard_uncertainty: Volume::from_si(VOLUME_OFF * v.value.si()),
                origin: Origin::Assumed("typed, within 5 %".into()),
            }),
            None => facts.and_then(|f| f.volume.clone()),
        };
        let refrigerant = self.refrigerant.or(facts.and_then(|f| f.refrigerant));
        self.says_a_mass(volume.is_some(), refrigerant.is_some())?;
        Ok(Setup {
            gas: self.gas,
            hold: hold.or(facts.and_then(|f| f.hold)).unwrap_or(usual.hold),
            readings: match (self.readings, &self.every) {
                (Some(count), _) => Readings::Typed(count),
                (None, Some(every)) => Readings::Every(every.value),
                (None, None) => usual.readings,
            },
            beside: if self.no_thermometer {
                Beside::Nothing
            } else if self.outdoor_only {
                Beside::Outdoor
            } else if self.witness {
                Beside::Witness
            } else {
                Beside::Both
            },
            begins: self.begins.unwrap_or(usual.begins),
            outdoor: self.outdoor.as_ref().map_or(usual.outdoor, |t| t.value),
            swing: self.swing.as_ref().map_or(usual.swing, |t| t.value),
            indoor: self.indoor.as_ref().map_or(usual.indoor, |t| t.value),
            outdoor_share: share.or(facts.and_then(|f| f.outdoor_share)),
            unlogged: facts.and_then(|f| f.unlogged),
            volume,
            refrigerant,
            charge: charge.or(facts.and_then(|f| f.charge)),
            gauge_drift_per_kelvin: drift,
            barometer: match record {
                Some(record) if !self.atmosphere.is_given() => record.barometer()?,
                _ => self.atmosphere.barometer()?,
            },
            rated: facts.and_then(|f| f.rated),
            units,
            ..usual
        })
    }

    /// Volume and refrigerant say a mass together only; each is typed or stands in the record.
    fn says_a_mass(&self, volume: bool, refrigerant: bool) -> Result<(), String> {
        let typed = [
            (self.volume.is_some(), "--volume"),
            (self.refrigerant.is_some(), "--refrigerant"),
            (self.charge.is_some(), "--charge"),
        ];
        let Some((_, what)) = typed.into_iter().find(|(given, _)| *given) else {
            return Ok(());
        };
        let missing = match (volume, refrigerant) {
            (false, _) => "the volume: give --volume too, for example 2.1L (lineproof volume)",
            (_, false) => "the refrigerant: give --refrigerant too, for example R-410A",
            _ => return Ok(()),
        };
        Err(format!("{what} says nothing without {missing}"))
    }
}

/// The units asked for, else the record's country's.
pub(super) fn units(output: &super::args::Output, record: Option<&Record>) -> UnitSystem {
    match record {
        Some(record) => output.units_at(Place::of(&record.lineset.place.country)),
        None => output.units(),
    }
}
