//! The inputs of *start* and *run*.

use super::InputError;
use crate::check::run::instruments;
use crate::check::run::target::TargetTable;
use crate::check::{run, start};
use crate::fluid::Refrigerant;
use crate::physics::cycle::{
    MeteringDevice as Device, MeteringKind, MeteringPlace, Mode as Direction,
};
use crate::quantity::{Measured, Origin, PressureDiff, Quantity, Temperature, Voltage};
use crate::record::{
    Answer, AsTyped, Compressor, CompressorSpeed, Event, LiquidTap, LogFile, MeteringDevice, Mode,
    Person, Reading, Record, StartChecked,
};
use crate::source::SourceId;

/// Limits of error assumed for instruments that nothing is stated about; those of thermometers and gauges stand with the
/// check that they serve.
const VOLTMETER_LIMIT: f64 = 0.02;
/// Limits as shares of the reading where nothing is stated: the program's own choice.
const AIRFLOW_LIMIT: f64 = 0.10;
const CLAMP_LIMIT: f64 = 0.03;

impl Record {
    /// The refrigerant of the facts, if it is named.
    pub fn refrigerant(&self) -> Result<Option<Refrigerant>, InputError> {
        Ok(self
            .lineset
            .equipment
            .refrigerant
            .as_deref()
            .map(str::parse)
            .transpose()?)
    }

    /// What *start* is judged from.
    pub fn start_input(
        &self,
        event: &Event,
        checked: &StartChecked,
    ) -> Result<start::Input, InputError> {
        let equipment = &self.lineset.equipment;
        let volts = |v: &Option<AsTyped<Voltage>>| v.as_ref().map(AsTyped::value);
        let limits = match (
            volts(&equipment.voltage_min),
            volts(&equipment.voltage_max),
            volts(&equipment.voltage_rated),
        ) {
            (Some(low), Some(high), _) => Some(start::SupplyLimits::Printed { low, high }),
            (_, _, Some(rated)) => Some(start::SupplyLimits::Rated {
                lowest: rated,
                highest: rated,
            }),
            _ => None,
        };
        let measured = match &checked.voltage {
            Some(v) => {
                let limit = Voltage::from_si(VOLTMETER_LIMIT * v.value().si());
                Some(self.measured(event, checked.voltmeter.as_deref(), v.value(), limit)?)
            }
            None => None,
        };
        let asked = equipment.crankcase_heater.as_ref().map(AsTyped::value);
        let heater = match (&checked.crankcase_heater, asked) {
            (_, Some(asked)) if asked.si() == 0.0 => start::CrankcaseHeater::NotNeeded,
            (Some(so_far), unit_asks) => start::CrankcaseHeater::PowerOnFor {
                so_far: so_far.value(),
                unit_asks,
            },
            (None, _) => start::CrankcaseHeater::NotKnown,
        };
        Ok(start::Input {
            heater,
            service_valves_open: answer(checked.valves_open),
            caps_on: answer(checked.caps_on),
            airflow_clear: answer(checked.airflow_clear),
            filter_clean: answer(checked.filter_clean),
            drain_runs: answer(checked.drain_clear),
            clearances_kept: answer(checked.clearances_kept),
            disconnect_in_sight: answer(checked.disconnect_in_sight),
            supply: start::Supply { measured, limits },
            wiring: start::Wiring {
                breaker: checked.breaker.as_ref().map(AsTyped::value),
                wire_ampacity: checked.wire_ampacity.as_ref().map(AsTyped::value),
                minimum_ampacity: equipment.mca.as_ref().map(AsTyped::value),
                largest_breaker: equipment.mocp.as_ref().map(AsTyped::value),
            },
        })
    }

    /// The input of *run* from what was typed.
    pub(super) fn typed_run_input(
        &self,
        event: &Event,
        reading: &Reading,
    ) -> Result<Option<run::Input>, InputError> {
        let Some(refrigerant) = self.refrigerant()? else {
            return Ok(None);
        };
        let barometer = self.barometer().map_err(|error| InputError::Barometer {
            number: event.number,
            error,
        })?;
        let temperature = |t: &Option<AsTyped<Temperature>>| -> Result<Option<Measured<Temperature>>, InputError> {
            let limit = instruments::thermometer_limit();
            t.as_ref().map(|t| self.measured(event, reading.thermometer.as_deref(), t.value(), limit)).transpose()
        };
        let low = match (
            &reading.suction_pressure,
            temperature(&reading.evaporator_bend)?,
        ) {
            (Some(p), _) => Some(run::LowSide::Gauge(self.measured(
                event,
                reading.gauge.as_deref(),
                p.value(),
                instruments::suction_gauge_limit(),
            )?)),
            (None, bend) => bend.map(run::LowSide::CoilBend),
        };
        let high = match (
            &reading.liquid_pressure,
            temperature(&reading.condenser_bend)?,
        ) {
            (Some(p), _) => Some(run::HighSide::Gauge {
                pressure: self.measured(
                    event,
                    reading.gauge.as_deref(),
                    p.value(),
                    instruments::liquid_gauge_limit(),
                )?,
                tap: match reading.liquid_tap {
                    Some(LiquidTap::LiquidLine) => run::Tap::LiquidLine,
                    Some(LiquidTap::Discharge) => run::Tap::Discharge {
                        drop: reading.tap_drop.as_ref().map(|drop| Measured {
                            value: drop.value(),
                            standard_uncertainty: PressureDiff::from_si(0.1 * drop.value().si()),
                            origin: Origin::Reading("stated drop".into()),
                        }),
                    },
                    None => run::Tap::NotKnown,
                },
            }),
            (None, bend) => bend.map(run::HighSide::CoilBend),
        };
        Ok(Some(run::Input {
            refrigerant,
            machine: self.machine(reading),
            conditions: run::Conditions {
                outdoor: temperature(&reading.outdoor)?,
                return_air: temperature(&reading.return_air)?,
                return_wet_bulb: temperature(&reading.return_wet_bulb)?,
                supply_air: temperature(&reading.supply_air)?,
                supply_wet_bulb: temperature(&reading.supply_wet_bulb)?,
                leaving_air: temperature(&reading.leaving_air)?,
                airflow: reading
                    .airflow
                    .as_ref()
                    .map(|flow| stated(flow.value(), AIRFLOW_LIMIT, "airflow")),
                running_for: reading.running.as_ref().map(AsTyped::value),
                steady: yes(reading.steady),
                airflow_good: yes(reading.airflow_good),
            },
            low,
            evaporator_bend: reading
                .suction_pressure
                .as_ref()
                .and(temperature(&reading.evaporator_bend)?),
            condenser_bend: reading
                .liquid_pressure
                .as_ref()
                .and(temperature(&reading.condenser_bend)?),
            suction_line: temperature(&reading.suction_line)?,
            high,
            liquid_line: temperature(&reading.liquid_line)?,
            discharge_line: temperature(&reading.discharge_line)?,
            current: reading
                .current
                .as_ref()
                .map(|amps| stated(amps.value(), CLAMP_LIMIT, "clamp meter")),
            surroundings: run::Surroundings::at(barometer, refrigerant),
            gauges_read_by: reading.read_by.map(|p| match p {
                Person::Owner => run::Reader::Owner,
                Person::Technician => run::Reader::Technician,
            }),
            targets: run::Targets {
                subcooling: self
                    .lineset
                    .equipment
                    .target_subcooling
                    .as_ref()
                    .map(AsTyped::value),
                superheat: reading.target_superheat.as_ref().map(AsTyped::value),
                superheat_table: reading
                    .charging_table
                    .as_ref()
                    .map(|table| self.charging_table(event, table))
                    .transpose()?,
                superheat_rule: run::target::SuperheatRule::default(),
                discharge_above_outdoor: self
                    .lineset
                    .equipment
                    .discharge_above_outdoor
                    .as_ref()
                    .map(AsTyped::value),
            },
            rated: run::Rated {
                capacity: self
                    .lineset
                    .equipment
                    .rated_capacity
                    .as_ref()
                    .map(AsTyped::value),
                current: self
                    .lineset
                    .equipment
                    .rated_current
                    .as_ref()
                    .map(AsTyped::value),
            },
            log: None,
        }))
    }

    /// The limits that a reading of the running system is held against.
    pub fn run_criteria(
        &self,
        event: &Event,
        reading: &Reading,
    ) -> Result<run::Criteria, InputError> {
        let Some(name) = &reading.criteria else {
            return Ok(run::Criteria::default());
        };
        run::Criteria::named(name).ok_or_else(|| InputError::NoRule {
            number: event.number,
            rule: name.clone(),
            known: run::Criteria::ALL.join(", "),
        })
    }

    /// The unit's own charging table, as it was copied into the record.
    fn charging_table(&self, event: &Event, table: &LogFile) -> Result<TargetTable, InputError> {
        let (number, file) = (event.number, table.file.clone());
        let text = std::fs::read_to_string(self.log_path(table)).map_err(|error| {
            InputError::TableFile {
                number,
                file: file.clone(),
                error,
            }
        })?;
        TargetTable::parse(&text, SourceId::UnitInstructions).map_err(|error| InputError::Table {
            number,
            file,
            error,
        })
    }

    fn machine(&self, reading: &Reading) -> run::Machine {
        let equipment = &self.lineset.equipment;
        run::Machine {
            accumulator: yes(self.lineset.equipment.accumulator),
            metering: metering(self.lineset.line_set.metering_device),
            mode: Some(match reading.mode {
                Mode::Cooling => Direction::Cooling,
                Mode::Heating => Direction::Heating,
            }),
            compressor: match (reading.compressor_speed, equipment.compressor) {
                (Some(CompressorSpeed::Fixed), _) => Some(run::Compressor::FixedSpeed),
                (Some(CompressorSpeed::Locked), _) => Some(run::Compressor::HeldAtTestSpeed),
                (Some(CompressorSpeed::Free), _) => Some(run::Compressor::FreeSpeed),
                (None, Some(Compressor::Fixed)) => Some(run::Compressor::FixedSpeed),
                (None, Some(Compressor::TwoStage)) => Some(run::Compressor::TwoStage),
                (None, Some(Compressor::Inverter)) => Some(run::Compressor::FreeSpeed),
                (None, None) => None,
            },
        }
    }
}

/// A reading whose limit of error is a share of it.
fn stated<Q: Quantity>(value: Q, limit: f64, name: &str) -> Measured<Q>
where
    Q::Diff: Quantity,
{
    Measured {
        value,
        standard_uncertainty: Q::Diff::from_si(limit * value.si() / 3f64.sqrt()),
        origin: Origin::Reading(name.into()),
    }
}

/// The metering device as the checks know it; outdoors it is a valve of the outdoor unit's own.
pub(super) fn metering(device: MeteringDevice) -> Option<Device> {
    let (place, kind) = match device {
        MeteringDevice::IndoorsTxv => (MeteringPlace::Indoors, MeteringKind::ThermostaticValve),
        MeteringDevice::IndoorsOrifice => (MeteringPlace::Indoors, MeteringKind::FixedOrifice),
        MeteringDevice::IndoorsEev => (MeteringPlace::Indoors, MeteringKind::ElectronicValve),
        MeteringDevice::Outdoors => (MeteringPlace::Outdoors, MeteringKind::ElectronicValve),
        MeteringDevice::NotKnown => return None,
    };
    Some(Device { place, kind })
}

fn answer(answer: Answer) -> start::Answer {
    match answer {
        Answer::Yes => start::Answer::Yes,
        Answer::No => start::Answer::No,
        Answer::NotKnown => start::Answer::NotKnown,
    }
}

fn yes(answer: Answer) -> Option<run::Yes> {
    match answer {
        Answer::Yes => Some(run::Yes::Yes),
        Answer::No => Some(run::Yes::No),
        Answer::NotKnown => None,
    }
}
