//! A machine that runs as charged, for readings of superheat and subcooling.

use lineproof::check::run::{
    Compressor, Conditions, HighSide, Input, LowSide, Machine, Rated, Reader, Surroundings, Tap,
    Targets, Yes,
};
use lineproof::fluid::Refrigerant;
use lineproof::physics::cycle::{MeteringDevice, MeteringKind, MeteringPlace, Mode};
use lineproof::quantity::{
    Barometer, Duration, Measured, Origin, PressureDiff, PressureGauge, Quantity, Temperature,
    TemperatureDiff, unit,
};

pub fn fahrenheit(value: f64, limit: f64) -> Measured<Temperature> {
    Measured {
        value: Temperature::of(value, unit::FAHRENHEIT),
        standard_uncertainty: TemperatureDiff::of(limit / 3f64.sqrt(), unit::FAHRENHEIT_DIFF),
        origin: Origin::Reading("probe".into()),
    }
}

pub fn psig(value: f64, limit: f64) -> Measured<PressureGauge> {
    Measured {
        value: PressureGauge::of(value, unit::PSIG),
        standard_uncertainty: PressureDiff::of(limit / 3f64.sqrt(), unit::PSI_DIFF),
        origin: Origin::Reading("gauge".into()),
    }
}

pub fn at(tap: Tap, value: f64, limit: f64) -> HighSide {
    HighSide::Gauge {
        pressure: psig(value, limit),
        tap,
    }
}

pub fn degf(value: f64) -> Option<TemperatureDiff> {
    Some(TemperatureDiff::of(value, unit::FAHRENHEIT_DIFF))
}

pub const TXV_INDOORS: MeteringDevice = MeteringDevice {
    place: MeteringPlace::Indoors,
    kind: MeteringKind::ThermostaticValve,
};

/// R-410A, a valve indoors, superheat 12 and subcooling 10 degF at sea level.
pub fn as_charged() -> Input {
    Input {
        refrigerant: Refrigerant::R410A,
        machine: Machine {
            metering: Some(TXV_INDOORS),
            mode: Some(Mode::Cooling),
            compressor: Some(Compressor::FixedSpeed),
            accumulator: Some(Yes::No),
        },
        conditions: Conditions {
            outdoor: Some(fahrenheit(85.0, 1.0)),
            return_air: Some(fahrenheit(75.0, 1.0)),
            running_for: Some(Duration::of(20.0, unit::MINUTE)),
            steady: Some(Yes::Yes),
            airflow_good: Some(Yes::Yes),
            ..Conditions::default()
        },
        low: Some(LowSide::Gauge(psig(118.0, 1.0))),
        suction_line: Some(fahrenheit(52.0, 0.5)),
        high: Some(at(Tap::LiquidLine, 355.0, 2.0)),
        liquid_line: Some(fahrenheit(97.7, 0.5)),
        surroundings: Surroundings::exact(Barometer::standard()),
        gauges_read_by: Some(Reader::Technician),
        targets: Targets {
            subcooling: degf(10.0),
            ..Targets::default()
        },
        evaporator_bend: None,
        condenser_bend: None,
        discharge_line: None,
        current: None,
        rated: Rated::default(),
        log: None,
    }
}
