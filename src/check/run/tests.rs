use super::*;
use crate::check::{Detail as AnyDetail, Finding, Outcome};
use crate::fluid::Refrigerant;
use crate::physics::cycle::{MeteringDevice, MeteringKind, MeteringPlace, Mode};
use crate::quantity::{
    Barometer, Duration, Length, Measured, Origin, PressureDiff, PressureGauge, Quantity,
    Temperature, unit,
};

pub(super) fn fahrenheit(value: f64, limit: f64) -> Measured<Temperature> {
    Measured {
        value: Temperature::of(value, unit::FAHRENHEIT),
        standard_uncertainty: TemperatureDiff::of(limit / 3f64.sqrt(), unit::FAHRENHEIT_DIFF),
        origin: Origin::Reading("probe".into()),
    }
}

pub(super) fn psig(value: f64, limit: f64) -> Measured<PressureGauge> {
    Measured {
        value: PressureGauge::of(value, unit::PSIG),
        standard_uncertainty: PressureDiff::of(limit / 3f64.sqrt(), unit::PSI_DIFF),
        origin: Origin::Reading("gauge".into()),
    }
}

pub(super) fn at_liquid_line(value: f64, limit: f64) -> HighSide {
    HighSide::Gauge {
        pressure: psig(value, limit),
        tap: Tap::LiquidLine,
    }
}

fn degf(difference: TemperatureDiff) -> f64 {
    difference.in_unit(unit::FAHRENHEIT_DIFF)
}

fn sea_level() -> Surroundings {
    Surroundings::exact(Barometer::standard())
}

/// Case C20.
#[test]
fn r22_superheat_and_subcooling_of_a_worked_example() {
    let low = LowSide::Gauge(psig(76.0, 0.0));
    let sh = superheat(Refrigerant::R22, &low, &fahrenheit(65.0, 0.0), &sea_level()).unwrap();
    assert!((degf(sh.value) - 20.0).abs() < 0.1, "{}", degf(sh.value));
    let high = at_liquid_line(260.0, 0.0);
    let sc = subcooling(
        Refrigerant::R22,
        &high,
        &fahrenheit(108.0, 0.0),
        &sea_level(),
    )
    .unwrap();
    assert!((degf(sc.value) - 12.0).abs() < 0.1, "{}", degf(sc.value));
}

/// Case C19: without the drop 19.2 degF would be read.
#[test]
fn the_drop_from_the_discharge_tap_comes_off() {
    let line = fahrenheit(95.0, 0.0);
    let with = |tap| {
        let high = HighSide::Gauge {
            pressure: psig(388.0, 0.0),
            tap,
        };
        subcooling(Refrigerant::R410A, &high, &line, &sea_level())
    };
    let drop = Measured {
        value: PressureDiff::of(33.0, unit::PSI_DIFF),
        standard_uncertainty: PressureDiff::from_si(0.0),
        origin: Origin::Unit,
    };
    let right = with(Tap::Discharge { drop: Some(drop) }).unwrap();
    assert!(
        (degf(right.value) - 12.7).abs() < 0.1,
        "{}",
        degf(right.value)
    );
    assert!((right.saturation.in_unit(unit::FAHRENHEIT) - 107.7).abs() < 0.1);
    assert!((degf(with(Tap::LiquidLine).unwrap().value) - 19.2).abs() < 0.1);
    assert_eq!(with(Tap::NotKnown).unwrap_err(), RunError::DropNotKnown);
}

/// Case C25: R-410A 118 psig at 6,000 ft.
#[test]
fn altitude_lowers_saturation_at_the_same_gauge_reading() {
    let dew = |barometer| {
        let low = LowSide::Gauge(psig(118.0, 0.0));
        let around = Surroundings::exact(barometer);
        let reading = superheat(Refrigerant::R410A, &low, &fahrenheit(50.0, 0.0), &around);
        reading.unwrap().saturation.in_unit(unit::FAHRENHEIT)
    };
    let high = Barometer::at_altitude(Length::of(6000.0, unit::FOOT_LENGTH)).unwrap();
    assert!((dew(high) - 38.55).abs() < 0.03, "{}", dew(high));
    assert!((dew(Barometer::standard()) - 39.84).abs() < 0.03);
}

/// 1.8 degF and 7 psi (3.5 psi) as limits of error, R-410A, 110 degF liquid (40 degF suction).
#[test]
fn uncertainty_of_the_usual_instruments() {
    let table = crate::fluid::Saturation::of(Refrigerant::R410A);
    let standard = Barometer::standard();
    let gauge = |p: crate::quantity::PressureAbs, limit| {
        psig(p.to_gauge(standard).in_unit(unit::PSIG), limit)
    };
    let bubble = table
        .bubble_pressure(Temperature::of(110.0, unit::FAHRENHEIT))
        .unwrap();
    let high = HighSide::Gauge {
        pressure: gauge(bubble, 7.0),
        tap: Tap::LiquidLine,
    };
    let sc = subcooling(
        Refrigerant::R410A,
        &high,
        &fahrenheit(100.0, 1.8),
        &sea_level(),
    )
    .unwrap();
    assert!(
        (degf(sc.standard_uncertainty) - 1.31).abs() < 0.01,
        "{}",
        degf(sc.standard_uncertainty)
    );
    assert_eq!(sc.dominant().unwrap().0, "liquid line temperature");
    let dew = table
        .dew_pressure(Temperature::of(40.0, unit::FAHRENHEIT))
        .unwrap();
    let low = LowSide::Gauge(gauge(dew, 3.5));
    let sh = superheat(
        Refrigerant::R410A,
        &low,
        &fahrenheit(52.0, 1.8),
        &sea_level(),
    )
    .unwrap();
    assert!(
        (degf(sh.standard_uncertainty) - 1.37).abs() < 0.01,
        "{}",
        degf(sh.standard_uncertainty)
    );
}

#[test]
fn a_coil_bend_is_wider_than_a_gauge_and_counts_half_the_glide() {
    let low = LowSide::CoilBend(fahrenheit(40.0, 1.8));
    let line = fahrenheit(52.0, 1.8);
    let sh = superheat(Refrigerant::R410A, &low, &line, &sea_level()).unwrap();
    assert!((degf(sh.value) - 12.0).abs() < 0.2);
    assert!(degf(sh.standard_uncertainty) > 2.0);
    let glide = superheat(Refrigerant::R454B, &low, &line, &sea_level()).unwrap();
    assert!(degf(glide.value) < 11.6, "{}", degf(glide.value));
}

pub(super) fn valve_indoors() -> Input {
    Input {
        refrigerant: Refrigerant::R410A,
        machine: Machine {
            metering: Some(MeteringDevice {
                place: MeteringPlace::Indoors,
                kind: MeteringKind::ThermostaticValve,
            }),
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
        high: Some(at_liquid_line(355.0, 2.0)),
        liquid_line: Some(fahrenheit(97.7, 0.5)),
        surroundings: sea_level(),
        gauges_read_by: Some(Reader::Technician),
        targets: Targets {
            subcooling: Some(TemperatureDiff::of(10.0, unit::FAHRENHEIT_DIFF)),
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

pub(super) fn judged(input: &Input) -> (Finding, Detail) {
    let finding = assess(input, &Criteria::default()).unwrap();
    let AnyDetail::Run(detail) = finding.detail.clone() else {
        panic!("run gives its own detail")
    };
    (finding, *detail)
}

pub(super) fn changed(change: impl FnOnce(&mut Input)) -> Finding {
    let mut input = valve_indoors();
    change(&mut input);
    judged(&input).0
}

#[test]
fn readings_on_target_pass() {
    let (finding, detail) = judged(&valve_indoors());
    assert_eq!(finding.outcome, Outcome::Pass, "{:?}", finding.reasons);
    assert!(finding.says(reasons::SUPERHEAT_RIGHT) && finding.says(reasons::SUBCOOLING_RIGHT));
    assert_eq!((detail.judged.len(), detail.questions.len()), (2, 0));
    assert!(!finding.unseen.is_empty());
}

#[test]
fn off_target_fails_and_never_says_to_add() {
    for (line, code) in [
        (104.0, reasons::SUBCOOLING_LOW),
        (85.0, reasons::SUBCOOLING_HIGH),
    ] {
        let finding = changed(|i| i.liquid_line = Some(fahrenheit(line, 0.5)));
        assert_eq!(finding.outcome, Outcome::Fail);
        assert_eq!(finding.reasons[0].code, code);
        assert!(finding.reasons.iter().all(|r| !r.text.contains("add ")));
    }
    let finding = changed(|i| i.suction_line = Some(fahrenheit(75.0, 0.5)));
    assert_eq!(finding.reasons[0].code, reasons::SUPERHEAT_HIGH);
    let finding = changed(|i| i.suction_line = Some(fahrenheit(41.6, 0.5)));
    assert_eq!(finding.reasons[0].code, reasons::SUPERHEAT_LOW);
}

#[test]
fn a_fail_waits_for_the_airflow() {
    let finding = changed(|i| {
        i.liquid_line = Some(fahrenheit(104.0, 0.5));
        i.conditions.airflow_good = None;
    });
    assert_eq!(finding.outcome, Outcome::Undecided);
    assert_eq!(finding.reasons[0].code, reasons::AIRFLOW_ASKED);
}

#[test]
fn coarse_instruments_leave_it_undecided_and_name_the_worst() {
    let finding = changed(|i| i.liquid_line = Some(fahrenheit(96.0, 3.0)));
    assert_eq!(finding.outcome, Outcome::Undecided);
    let reason = &finding.reasons[0];
    assert_eq!(reason.code, reasons::SUBCOOLING_OPEN);
    assert!(
        reason
            .text
            .contains("comes from the liquid line temperature"),
        "{}",
        reason.text
    );
}

#[test]
fn each_gate_says_what_would_make_it_valid() {
    type Spoil = fn(&mut Input);
    let cases: [(Spoil, &str); 15] = [
        (|i| i.machine.metering = None, reasons::METERING_ASKED),
        (|i| i.machine.mode = None, reasons::MODE_ASKED),
        (|i| i.machine.mode = Some(Mode::Heating), reasons::HEATING),
        (|i| i.machine.compressor = None, reasons::COMPRESSOR_ASKED),
        (
            |i| i.machine.compressor = Some(Compressor::FreeSpeed),
            reasons::FREE_SPEED,
        ),
        (
            |i| i.conditions.outdoor = Some(fahrenheit(50.0, 1.0)),
            reasons::OUTDOOR_COLD,
        ),
        (|i| i.conditions.outdoor = None, reasons::CONDITION_OPEN),
        (
            |i| i.conditions.return_air = Some(fahrenheit(66.0, 1.0)),
            reasons::RETURN_COLD,
        ),
        (|i| i.conditions.return_air = None, reasons::CONDITION_OPEN),
        (
            |i| i.conditions.running_for = Some(Duration::of(5.0, unit::MINUTE)),
            reasons::RUN_SHORT,
        ),
        (|i| i.conditions.running_for = None, reasons::CONDITION_OPEN),
        (|i| i.conditions.steady = Some(Yes::No), reasons::NOT_STEADY),
        (|i| i.conditions.steady = None, reasons::CONDITION_OPEN),
        (
            |i| i.conditions.airflow_good = Some(Yes::No),
            reasons::AIRFLOW_WRONG,
        ),
        (
            |i| i.machine.metering.as_mut().unwrap().place = MeteringPlace::Outdoors,
            reasons::TWO_PHASE,
        ),
    ];
    for (spoil, code) in cases {
        let finding = changed(spoil);
        assert_eq!(finding.outcome, Outcome::NotValidNow, "{code}");
        assert!(finding.says(code), "{code}: {:?}", finding.reasons);
    }
}

#[test]
fn metering_outdoors_and_cooling_gives_no_subcooling() {
    let mut input = valve_indoors();
    input.machine.metering.as_mut().unwrap().place = MeteringPlace::Outdoors;
    let (_, detail) = judged(&input);
    assert!(detail.subcooling.is_none() && detail.superheat.is_some());
}

/// Case C21: R-22, 90 and 170 psig, 90 degF outdoors, airflow good.
#[test]
fn no_heat_rejected_is_not_a_charge_problem() {
    let finding = changed(|i| {
        i.refrigerant = Refrigerant::R22;
        i.low = Some(LowSide::Gauge(psig(90.0, 2.0)));
        i.suction_line = Some(fahrenheit(65.0, 1.0));
        i.high = Some(at_liquid_line(170.0, 3.5));
        i.liquid_line = None;
        i.conditions.outdoor = Some(fahrenheit(90.0, 1.0));
        i.conditions.return_air = Some(fahrenheit(85.0, 1.0));
    });
    assert_eq!(finding.outcome, Outcome::Fail);
    assert_eq!(finding.reasons[0].code, reasons::NO_HEAT_REJECTED);
    assert!(
        finding.reasons[0].text.contains("0.6 °F"),
        "{}",
        finding.reasons[0].text
    );
}

/// Case C26: negatives are real findings.
#[test]
fn signs_are_kept() {
    let finding = changed(|i| i.suction_line = Some(fahrenheit(35.0, 0.5)));
    assert_eq!(
        (finding.outcome, finding.reasons[0].code),
        (Outcome::Fail, reasons::LIQUID_RETURNING)
    );
    assert!(finding.figures[0].interval.estimate < 0.0);
    let finding = changed(|i| i.liquid_line = Some(fahrenheit(112.0, 0.5)));
    assert!(finding.says(reasons::SUBCOOLING_NEGATIVE) && finding.says(reasons::SUBCOOLING_LOW));
}

#[test]
fn liquid_returning_is_said_even_when_the_reading_is_not_valid() {
    let finding = changed(|i| {
        i.suction_line = Some(fahrenheit(35.0, 0.5));
        i.conditions.outdoor = Some(fahrenheit(40.0, 1.0));
    });
    assert_eq!(finding.outcome, Outcome::Fail);
    assert!(finding.says(reasons::LIQUID_RETURNING) && finding.says(reasons::OUTDOOR_COLD));
}

#[test]
fn zero_within_error_is_said() {
    let finding = changed(|i| i.liquid_line = Some(fahrenheit(107.0, 1.8)));
    assert!(finding.says(reasons::SUBCOOLING_ZERO));
    let finding = changed(|i| i.suction_line = Some(fahrenheit(40.5, 1.8)));
    assert!(finding.says(reasons::SUPERHEAT_ZERO));
}

#[test]
fn swapped_gauges_are_asked_about() {
    let finding = changed(|i| {
        i.low = Some(LowSide::Gauge(psig(355.0, 1.0)));
        i.high = Some(at_liquid_line(118.0, 1.0));
        i.suction_line = Some(fahrenheit(115.0, 0.5));
        i.liquid_line = Some(fahrenheit(30.0, 0.5));
    });
    assert_eq!(
        (finding.outcome, finding.reasons[0].code),
        (Outcome::NotValidNow, reasons::PRESSURES_SWAPPED)
    );
}

#[test]
fn a_fixed_orifice_is_judged_by_superheat_alone() {
    let orifice = |target: Option<f64>| {
        changed(|i| {
            i.machine.metering.as_mut().unwrap().kind = MeteringKind::FixedOrifice;
            i.targets.superheat = target.map(|t| TemperatureDiff::of(t, unit::FAHRENHEIT_DIFF));
            (i.high, i.liquid_line) = (None, None);
        })
    };
    assert_eq!(orifice(Some(12.0)).outcome, Outcome::Pass);
    assert_eq!(orifice(Some(25.0)).outcome, Outcome::Fail);
    assert!(orifice(None).says(reasons::TARGET_ASKED));
    let small = orifice(Some(3.0));
    assert_eq!(small.outcome, Outcome::NotValidNow);
    assert!(small.says(reasons::TARGET_SMALL));
}

#[test]
fn a_missing_reading_keeps_a_valve_undecided() {
    let finding = changed(|i| (i.high, i.liquid_line) = (None, None));
    assert_eq!(finding.outcome, Outcome::Undecided);
    assert!(finding.says(reasons::READING_MISSING));
    let finding = changed(|i| {
        i.high = Some(HighSide::Gauge {
            pressure: psig(388.0, 2.0),
            tap: Tap::NotKnown,
        });
    });
    assert!(finding.says(reasons::TAP_ASKED));
}

#[test]
fn nothing_read_says_the_smallest_set() {
    let finding = changed(|i| {
        (i.low, i.suction_line, i.high, i.liquid_line) = (None, None, None, None);
    });
    assert_eq!(finding.outcome, Outcome::NotDone);
    assert_eq!(finding.reasons[0].code, reasons::NOTHING_READ);
}

#[test]
fn who_read_the_gauges_matters_and_probes_need_nobody() {
    assert!(changed(|i| i.gauges_read_by = Some(Reader::Owner)).says(reasons::GAUGES_BY_OWNER));
    assert!(changed(|i| i.gauges_read_by = None).says(reasons::WHO_READS_ASKED));
    let probes = changed(|i| {
        i.gauges_read_by = None;
        i.low = Some(LowSide::CoilBend(fahrenheit(40.0, 1.0)));
        i.high = Some(HighSide::CoilBend(fahrenheit(108.0, 1.0)));
    });
    assert!(probes.says(reasons::COIL_BENDS) && !probes.says(reasons::WHO_READS_ASKED));
    assert!(changed(|i| i.machine.accumulator = Some(Yes::Yes)).says(reasons::ACCUMULATOR));
}

#[test]
fn carbon_dioxide_has_no_subcooling() {
    let finding = changed(|i| i.refrigerant = Refrigerant::R744);
    assert_eq!(finding.outcome, Outcome::NotValidNow);
    assert!(finding.says(reasons::NO_CONDENSING));
}

#[test]
fn questions_come_in_their_order() {
    let mut input = valve_indoors();
    input.machine = Machine::default();
    input.gauges_read_by = None;
    input.conditions.airflow_good = None;
    let (_, detail) = judged(&input);
    assert_eq!(
        detail.questions,
        [
            Question::MeteringDevice,
            Question::Mode,
            Question::Compressor,
            Question::WhoReads,
            Question::Airflow
        ]
    );
}

#[test]
fn a_pressure_outside_the_table_is_an_error_with_the_range() {
    let mut input = valve_indoors();
    input.high = Some(at_liquid_line(900.0, 1.0));
    let error = assess(&input, &Criteria::default())
        .unwrap_err()
        .to_string();
    assert!(error.contains("R-410A"), "{error}");
}
