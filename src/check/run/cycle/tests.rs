use super::*;
use crate::check::run::tests::fahrenheit;
use crate::check::run::{
    Compressor, Conditions, HighSide, LowSide, Machine, Rated, Surroundings, Tap, Targets,
};
use crate::fluid::Refrigerant;
use crate::physics::cycle::{MeteringDevice, MeteringKind, MeteringPlace};
use crate::quantity::{
    Barometer, Measured, Origin, PressureDiff, PressureGauge, Temperature, unit,
};

fn celsius(value: f64, u: f64) -> Measured<Temperature> {
    Measured {
        value: Temperature::of(value, unit::CELSIUS),
        standard_uncertainty: TemperatureDiff::from_si(u),
        origin: Origin::Reading("probe".into()),
    }
}

fn bar_abs(value: f64, u: f64) -> Measured<PressureGauge> {
    let gauge = value - Barometer::standard().pressure().in_unit(unit::BAR_ABS);
    Measured {
        value: PressureGauge::of(gauge, unit::BAR_GAUGE),
        standard_uncertainty: PressureDiff::from_si(u * 1e5),
        origin: Origin::Reading("gauge".into()),
    }
}

/// A split with its metering device indoors, cooling, read with gauges; `u` scales every uncertainty.
fn read(refrigerant: Refrigerant, low: f64, suction: f64, high: f64, liquid: f64, u: f64) -> Input {
    let around = match u {
        0.0 => Surroundings::exact(Barometer::standard()),
        _ => Surroundings::at(Barometer::standard(), refrigerant),
    };
    Input {
        log: None,
        evaporator_bend: None,
        condenser_bend: None,
        refrigerant,
        machine: Machine {
            metering: Some(MeteringDevice {
                place: MeteringPlace::Indoors,
                kind: MeteringKind::ThermostaticValve,
            }),
            mode: Some(Mode::Cooling),
            compressor: Some(Compressor::FixedSpeed),
            accumulator: None,
        },
        conditions: Conditions::default(),
        low: Some(LowSide::Gauge(bar_abs(low, 0.1 * u))),
        suction_line: Some(celsius(suction, 0.5 * u)),
        high: Some(HighSide::Gauge {
            pressure: bar_abs(high, 0.2 * u),
            tap: Tap::LiquidLine,
        }),
        liquid_line: Some(celsius(liquid, 0.5 * u)),
        discharge_line: None,
        current: None,
        surroundings: around,
        gauges_read_by: None,
        targets: Targets::default(),
        rated: Rated::default(),
    }
}

fn r410a(u: f64) -> Input {
    read(Refrigerant::R410A, 10.0, 15.0, 27.0, 38.0, u)
}

fn corner_at(cycle: &Cycle, place: Place) -> Corner {
    *cycle.corners.iter().find(|c| c.place == place).unwrap()
}

fn places(cycle: &Cycle) -> Vec<Place> {
    cycle.corners.iter().map(|c| c.place).collect()
}

fn kj(enthalpy: SpecificEnthalpy) -> f64 {
    enthalpy.in_unit(unit::KILOJOULE_PER_KILOGRAM)
}

/// Source: CoolProp 8.0.0, the equations themselves, called at these very states; the tables depart by less than
/// 0.05 kJ/kg (docs/VALIDATION.md).
#[test]
fn corners_agree_with_the_equations_of_state() {
    // bar, degC, bar, degC, discharge degC; h1, h2, h2s, h3 in kJ/kg, efficiency
    let rows = [
        (
            read(Refrigerant::R410A, 10.0, 15.0, 27.0, 38.0, 0.0),
            75.0,
            [432.2901, 469.6689, 460.5833, 262.1893, 0.75693],
        ),
        (
            read(Refrigerant::R32, 9.5, 12.0, 28.0, 38.0, 0.0),
            85.0,
            [524.9043, 573.2921, 570.3531, 271.0437, 0.93926],
        ),
        (
            read(Refrigerant::R22, 6.0, 12.0, 17.0, 38.0, 0.0),
            80.0,
            [411.8119, 450.0498, 438.5559, 246.9465, 0.69941],
        ),
    ];
    for (mut input, discharge, [h1, h2, h2s, h3, efficiency]) in rows {
        let ideal = Cycle::of(&input).unwrap();
        input.discharge_line = Some(celsius(discharge, 0.0));
        let cycle = Cycle::of(&input).unwrap();
        let found = [
            (corner_at(&cycle, Place::Suction), h1),
            (corner_at(&cycle, Place::Discharge), h2),
            (corner_at(&ideal, Place::Discharge), h2s),
            (corner_at(&cycle, Place::Liquid), h3),
            (corner_at(&cycle, Place::AfterMetering), h3),
        ];
        for (corner, published) in found {
            let off = kj(corner.enthalpy) - published;
            assert!(
                off.abs() < 0.05,
                "{} {:?}: off by {off} kJ/kg",
                input.refrigerant,
                corner.place
            );
        }
        let effect = cycle.refrigerating_effect.unwrap().value / 1e3;
        assert!((effect - (h1 - h3)).abs() < 0.1, "{effect}");
        let found = cycle.isentropic_efficiency.unwrap().value;
        // 0.05 kJ/kg in each of three over 37 kJ/kg of work
        assert!((found - efficiency).abs() < 0.003, "{found} {efficiency}");
        assert!(cycle.left_out.is_empty());
    }
}

#[test]
fn without_a_discharge_reading_the_compression_is_drawn_without_losses() {
    let cycle = Cycle::of(&r410a(1.0)).unwrap();
    let discharge = corner_at(&cycle, Place::Discharge);
    assert_eq!(discharge.basis, Basis::WithoutLosses);
    assert!(cycle.isentropic_efficiency.is_none());
    assert!((cycle.compression_ratio.unwrap().value - 2.7).abs() < 1e-9);
}

/// Property: where a compressor without losses ends, it ends hotter than it began and with an efficiency of one.
#[test]
fn a_compression_without_losses_has_an_efficiency_of_one() {
    for &refrigerant in Refrigerant::ALL.iter().filter(|r| **r != Refrigerant::R744) {
        let table = crate::fluid::Saturation::of(refrigerant);
        for (evaporating, condensing, superheat) in
            [(-5.0, 30.0, 12.0), (3.0, 45.0, 8.0), (10.0, 55.0, 20.0)]
        {
            let at = |t| Temperature::of(t, unit::CELSIUS);
            let bar = |p: PressureAbs| p.in_unit(unit::BAR_ABS);
            let low = bar(table.dew_pressure(at(evaporating)).unwrap());
            let high = bar(table.bubble_pressure(at(condensing)).unwrap());
            let suction = evaporating + superheat;
            let mut input = read(refrigerant, low, suction, high, condensing - 5.0, 0.0);
            let ideal = corner_at(&Cycle::of(&input).unwrap(), Place::Discharge);
            let vapour = crate::fluid::refrigerant::Superheated::of(refrigerant);
            let started = vapour
                .at(PressureAbs::of(low, unit::BAR_ABS), at(suction))
                .unwrap();
            let end = vapour.at_entropy(ideal.pressure, started.entropy).unwrap();
            assert!(end.temperature > at(suction), "{refrigerant}");
            assert!(ideal.enthalpy > started.enthalpy, "{refrigerant}");
            input.discharge_line = Some(celsius(end.temperature.in_unit(unit::CELSIUS), 0.0));
            let efficiency = Cycle::of(&input).unwrap().isentropic_efficiency.unwrap();
            assert!(
                (efficiency.value - 1.0).abs() < 1e-5,
                "{refrigerant} {efficiency:?}"
            );
        }
    }
}

#[test]
fn a_line_behind_the_metering_device_gives_only_what_was_read() {
    let mut input = r410a(1.0);
    input.machine.metering = Some(MeteringDevice {
        place: MeteringPlace::Outdoors,
        kind: MeteringKind::ElectronicValve,
    });
    let cycle = Cycle::of(&input).unwrap();
    assert_eq!(places(&cycle), [Place::Suction]);
    assert_eq!(cycle.left_out.len(), 2, "{:?}", cycle.left_out);
    input.high = Some(HighSide::CoilBend(celsius(44.0, 0.5)));
    input.discharge_line = Some(celsius(75.0, 1.0));
    let cycle = Cycle::of(&input).unwrap();
    assert_eq!(places(&cycle), [Place::Suction, Place::Discharge]);
    assert!(cycle.refrigerating_effect.is_none() && cycle.isentropic_efficiency.is_some());
}

#[test]
fn what_contradicts_saturation_is_left_out_and_what_may_be_saturated_is_drawn_there() {
    // dew at 10 bar is 6.9 degC, bubble at 27 bar 44.3 degC by the same table
    let mut input = r410a(1.0);
    input.suction_line = Some(celsius(6.5, 0.5));
    input.liquid_line = Some(celsius(44.6, 0.5));
    let near = Cycle::of(&input).unwrap();
    for place in [Place::Suction, Place::Liquid] {
        let corner = corner_at(&near, place);
        assert_eq!(corner.basis, Basis::SaturatedWithinError);
        assert!(corner.enthalpy_uncertainty.si() > 100.0);
    }
    input.suction_line = Some(celsius(1.0, 0.5));
    input.liquid_line = Some(celsius(52.0, 0.5));
    input.discharge_line = Some(celsius(20.0, 0.5));
    assert!(Cycle::of(&input).is_none());
    input.liquid_line = None;
    let cycle = Cycle::of(&input).unwrap();
    assert_eq!(places(&cycle), [Place::Liquid, Place::AfterMetering]);
    assert_eq!(corner_at(&cycle, Place::Liquid).basis, Basis::NotRead);
    assert_eq!(cycle.left_out.len(), 2, "{:?}", cycle.left_out);
}

#[test]
fn heating_has_no_cycle_and_bends_stand_for_pressures() {
    let mut input = r410a(1.0);
    input.low = Some(LowSide::CoilBend(fahrenheit(44.0, 1.0)));
    input.high = Some(HighSide::CoilBend(fahrenheit(112.0, 1.0)));
    let cycle = Cycle::of(&input).unwrap();
    assert_eq!(cycle.corners.len(), 4);
    // a bend says less about pressure than a gauge
    let of_gauges = Cycle::of(&r410a(1.0)).unwrap();
    let spread = |c: &Cycle| corner_at(c, Place::Suction).pressure_uncertainty;
    assert!(spread(&cycle) > spread(&of_gauges));
    input.machine.mode = Some(Mode::Heating);
    assert!(Cycle::of(&input).is_none());
}
