//! The indoor air against the constants of the trade at standard air: 1.08 Btu/h for each cfm and °F, 4.5 lb/h for each cfm
//! (ASHRAE Handbook Fundamentals, chapter on psychrometrics: 0.075 lb/ft3, 0.24 Btu/(lb °F); from memory).

use lineproof::fluid::air::MoistAir;
use lineproof::physics::airside::{AirsideError, WetAndDry, airflow_by_rise, capacity};
use lineproof::quantity::{
    Barometer, Fraction, Length, Measured, Origin, Power, Quantity, Temperature, TemperatureDiff,
    VolumeFlow, unit,
};

fn exact<Q: Quantity>(value: Q) -> Measured<Q> {
    read(value, 0.0)
}

fn read<Q: Quantity>(value: Q, u: f64) -> Measured<Q> {
    Measured {
        value,
        standard_uncertainty: Q::Diff::from_si(u),
        origin: Origin::Reading("thermometer".into()),
    }
}

fn fahrenheit(t: f64) -> Temperature {
    Temperature::of(t, unit::FAHRENHEIT)
}

fn cfm(flow: VolumeFlow) -> f64 {
    flow.in_unit(unit::CUBIC_FOOT_PER_MINUTE)
}

/// Wet bulb of almost dry air: the constants are those of dry air.
fn dry_wet_bulb(dry: f64) -> Temperature {
    let air = MoistAir::of_relative_humidity(
        fahrenheit(dry),
        Fraction::from_si(0.0),
        Barometer::standard(),
    );
    air.unwrap().wet_bulb().unwrap() + TemperatureDiff::from_si(1e-6)
}

/// Standard air is dry air of 70 °F at sea level. 0.075 and 0.24 have two digits: 1.08 within 0.5 %.
#[test]
fn one_point_zero_eight() {
    let power = Power::of(1.08 * 1000.0 * 20.0, unit::BTU_PER_HOUR);
    let wet = exact(dry_wet_bulb(70.0));
    let flow = airflow_by_rise(
        &exact(power),
        &exact(fahrenheit(70.0)),
        &exact(fahrenheit(90.0)),
        Some(&wet),
        Barometer::standard(),
    )
    .unwrap();
    assert!(
        (cfm(flow.value) / 1000.0 - 1.0).abs() < 0.005,
        "{}",
        cfm(flow.value)
    );
}

/// At usual humidity the constant is 1.10 with the specific heat of moist air (0.244; same source): within 2 % of 1.08.
#[test]
fn humidity_moves_it_little() {
    let with = |wet: Option<f64>| {
        let wet = wet.map(|t| exact(fahrenheit(t)));
        let power = exact(Power::of(9.6, unit::KILOWATT));
        let (cool, warm) = (exact(fahrenheit(70.0)), exact(fahrenheit(100.0)));
        airflow_by_rise(&power, &cool, &warm, wet.as_ref(), Barometer::standard()).unwrap()
    };
    let trade = Power::of(9.6, unit::KILOWATT).in_unit(unit::BTU_PER_HOUR) / (1.08 * 30.0);
    for wet in [48.0, 58.0, 69.0] {
        assert!((cfm(with(Some(wet)).value) / trade - 1.0).abs() < 0.02);
    }
    // what the doc says of leaving the wet bulb out
    let assumed = with(None).value.si();
    for wet in [43.7, 48.0, 58.0, 69.9] {
        assert!(
            (with(Some(wet)).value.si() / assumed - 1.0).abs() < 0.003,
            "{wet}"
        );
    }
}

/// q = 4.5 cfm (h1 - h2): 4.5 is 60 x 0.075. The density of the entering air's dry part at 80 °F and 67 °F wet bulb is
/// 0.0716, so the constant is 4.3 there; over air of 70 °F and nearly dry it is 4.5 within 0.5 %.
#[test]
fn four_point_five() {
    let sea = Barometer::standard();
    let flow = VolumeFlow::of(1000.0, unit::CUBIC_FOOT_PER_MINUTE);
    let of = |entering: (Temperature, Temperature), leaving: (Temperature, Temperature)| {
        let pair = |(dry, wet)| WetAndDry {
            dry: exact(dry),
            wet: exact(wet),
        };
        let enthalpy = |(dry, wet)| {
            let air = MoistAir::of_wet_bulb(dry, wet, sea).unwrap();
            air.enthalpy().in_unit(unit::BTU_PER_POUND)
        };
        let q = capacity(&exact(flow), &pair(entering), &pair(leaving), sea).unwrap();
        let given = enthalpy(entering) - enthalpy(leaving);
        q.value.in_unit(unit::BTU_PER_HOUR) / (1000.0 * given)
    };
    let standard = of(
        (fahrenheit(70.0), dry_wet_bulb(70.0)),
        (fahrenheit(50.0), dry_wet_bulb(50.0)),
    );
    assert!((standard / 4.5 - 1.0).abs() < 0.005, "{standard}");
    let usual = of(
        (fahrenheit(80.0), fahrenheit(67.0)),
        (fahrenheit(59.0), fahrenheit(57.0)),
    );
    assert!(
        (usual / 4.5 - 1.0).abs() < 0.05 && usual < standard,
        "{usual}"
    );
}

/// At altitude the same volume carries less: in proportion to the atmosphere, within what humidity adds.
#[test]
fn thin_air_carries_less() {
    let high = Barometer::at_altitude(Length::of(5280.0, unit::FOOT_LENGTH)).unwrap();
    let share = high.pressure().si() / Barometer::standard().pressure().si();
    let at = |barometer| {
        let power = exact(Power::of(9.6, unit::KILOWATT));
        let (cool, warm) = (exact(fahrenheit(68.0)), exact(fahrenheit(97.0)));
        airflow_by_rise(&power, &cool, &warm, None, barometer)
            .unwrap()
            .value
            .si()
    };
    let more = at(high) / at(Barometer::standard());
    assert!((more * share - 1.0).abs() < 0.005, "{more}");
}

#[test]
fn readings_that_cannot_be_are_refused() {
    let sea = Barometer::standard();
    let power = exact(Power::of(9.6, unit::KILOWATT));
    let air = |t| read(fahrenheit(t), 0.5);
    let refused =
        |cool, warm| airflow_by_rise(&power, &air(cool), &air(warm), None, sea).unwrap_err();
    assert!(matches!(refused(97.0, 68.0), AirsideError::Rise { .. }));
    assert!(matches!(refused(68.0, 70.0), AirsideError::Rise { .. }));
    let swapped = read(fahrenheit(75.0), 0.5);
    let error = airflow_by_rise(&power, &air(68.0), &air(97.0), Some(&swapped), sea).unwrap_err();
    assert!(error.to_string().contains("above the dry bulb"), "{error}");
    let none = exact(Power::from_si(0.0));
    let error = airflow_by_rise(&none, &air(68.0), &air(97.0), None, sea).unwrap_err();
    assert!(matches!(error, AirsideError::Power { .. }));
}
