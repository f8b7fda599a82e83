//! The propagated uncertainty of what *run* computes against the spread of 20,000 drawn readings: within 5 %.
//!
//! Limits of error are drawn as what they are, even between their ends. Seeds are fixed.

use lineproof::check::run::target::{Cell, superheat_table, target_superheat};
use lineproof::check::run::{HighSide, LowSide, Surroundings, Tap, subcooling, superheat};
use lineproof::fluid::{Refrigerant, Saturation};
use lineproof::physics::airside::{WetAndDry, airflow_by_rise, capacity};
use lineproof::quantity::{
    Barometer, Length, Measured, Origin, Power, PressureAbs, PressureGauge, Quantity, Temperature,
    TemperatureDiff, VolumeFlow, unit,
};

use crate::random::Random;

const DRAWS: usize = 20_000;

fn of_limit<Q: Quantity>(value: Q, limit: f64) -> Measured<Q> {
    Measured {
        value,
        standard_uncertainty: Q::Diff::from_si(limit / 3f64.sqrt()),
        origin: Origin::Reading("drawn".into()),
    }
}

fn exact<Q: Quantity>(value: Q) -> Measured<Q> {
    of_limit(value, 0.0)
}

fn fahrenheit(value: f64) -> Temperature {
    Temperature::of(value, unit::FAHRENHEIT)
}

/// A limit in °F, in K.
fn degf(limit: f64) -> f64 {
    TemperatureDiff::of(limit, unit::FAHRENHEIT_DIFF).si()
}

fn psi(limit: f64) -> f64 {
    PressureGauge::of(limit, unit::PSIG).si()
}

/// Drawn evenly within the limit.
fn drawn<Q: Quantity>(random: &mut Random, around: Q, limit: f64) -> Q {
    Q::from_si(around.si() + random.between(-limit, limit))
}

fn agree(name: &str, propagated: f64, seed: u64, mut draw: impl FnMut(&mut Random) -> f64) {
    let mut random = Random::seeded(seed);
    let values: Vec<f64> = (0..DRAWS).map(|_| draw(&mut random)).collect();
    let mean = values.iter().sum::<f64>() / DRAWS as f64;
    let variance = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (DRAWS - 1) as f64;
    let share = propagated / variance.sqrt();
    assert!(
        (share - 1.0).abs() < 0.05,
        "{name}: propagated over drawn {share}"
    );
}

/// R-410A, liquid line near 110 °F, limits 1.8 °F and 7 psi: 1.31 °F.
#[test]
fn subcooling_spreads_as_propagated() {
    let sea = Surroundings::exact(Barometer::standard());
    let bubble = Saturation::of(Refrigerant::R410A)
        .bubble_pressure(fahrenheit(110.0))
        .unwrap();
    let (gauge, line) = (bubble.to_gauge(Barometer::standard()), fahrenheit(100.0));
    let of = |p: Measured<PressureGauge>, t: Measured<Temperature>| {
        let high = HighSide::Gauge {
            pressure: p,
            tap: Tap::LiquidLine,
        };
        subcooling(Refrigerant::R410A, &high, &t, &sea).unwrap()
    };
    let u = of(of_limit(gauge, psi(7.0)), of_limit(line, degf(1.8))).standard_uncertainty;
    assert!((u.in_unit(unit::FAHRENHEIT_DIFF) - 1.31).abs() < 0.01);
    agree("subcooling", u.si(), 11, |random| {
        let p = drawn(random, gauge, psi(7.0));
        of(exact(p), exact(drawn(random, line, degf(1.8))))
            .value
            .si()
    });
}

/// R-410A, suction near 40 °F, limits 1.8 °F and 3.5 psi: 1.37 °F.
#[test]
fn superheat_spreads_as_propagated() {
    let sea = Surroundings::exact(Barometer::standard());
    let dew = Saturation::of(Refrigerant::R410A)
        .dew_pressure(fahrenheit(40.0))
        .unwrap();
    let (gauge, line) = (dew.to_gauge(Barometer::standard()), fahrenheit(52.0));
    let of = |p: Measured<PressureGauge>, t: Measured<Temperature>| {
        superheat(Refrigerant::R410A, &LowSide::Gauge(p), &t, &sea).unwrap()
    };
    let u = of(of_limit(gauge, psi(3.5)), of_limit(line, degf(1.8))).standard_uncertainty;
    assert!((u.in_unit(unit::FAHRENHEIT_DIFF) - 1.37).abs() < 0.01);
    agree("superheat", u.si(), 12, |random| {
        let p = drawn(random, gauge, psi(3.5));
        of(exact(p), exact(drawn(random, line, degf(1.8))))
            .value
            .si()
    });
}

#[test]
fn target_superheat_spreads_as_propagated() {
    let table = superheat_table();
    for (seed, dry, wet) in [
        (13, 85.0, 68.0),
        (14, 95.0, 70.0),
        (15, 70.0, 62.0),
        (16, 105.0, 73.0),
    ] {
        let (dry, wet) = (fahrenheit(dry), fahrenheit(wet));
        let read = (of_limit(dry, degf(1.8)), of_limit(wet, degf(1.8)));
        let target = target_superheat(&read.0, &read.1)
            .unwrap()
            .target()
            .unwrap();
        agree(
            "target superheat",
            target.standard_uncertainty.si(),
            seed,
            |random| {
                let at = (drawn(random, dry, degf(1.8)), drawn(random, wet, degf(1.8)));
                match table.at(at.0, at.1).unwrap() {
                    Cell::Target(target) => target.si(),
                    Cell::NoTest => panic!("a place away from the dashes"),
                }
            },
        );
    }
}

/// Air entering at 80 and 67 °F, leaving at 59 and 57 °F, at 5,000 ft, the barometer known by its altitude.
#[test]
fn air_side_capacity_spreads_as_propagated() {
    let altitude = Barometer::at_altitude(Length::of(5000.0, unit::FOOT_LENGTH)).unwrap();
    let flow = VolumeFlow::of(1200.0, unit::CUBIC_FOOT_PER_MINUTE);
    let at = [80.0, 67.0, 59.0, 57.0].map(fahrenheit);
    for (seed, limit) in [(17, 0.5), (18, 0.9)] {
        let (thermometer, share) = (degf(limit), 0.1 * flow.si());
        let pair = |dry: Temperature, wet: Temperature, limit: f64| WetAndDry {
            dry: of_limit(dry, limit),
            wet: of_limit(wet, limit),
        };
        let q = capacity(
            &of_limit(flow, share),
            &pair(at[0], at[1], thermometer),
            &pair(at[2], at[3], thermometer),
            altitude,
        )
        .unwrap();
        // of an assumed atmosphere: 20 hPa as limit
        agree(
            "air-side capacity",
            q.standard_uncertainty.si(),
            seed,
            |random| {
                let t = at.map(|t| drawn(random, t, thermometer));
                let p = PressureAbs::from_si(
                    altitude.pressure().si() + random.between(-2000.0, 2000.0),
                );
                capacity(
                    &exact(drawn(random, flow, share)),
                    &pair(t[0], t[1], 0.0),
                    &pair(t[2], t[3], 0.0),
                    Barometer::station(p).unwrap(),
                )
                .unwrap()
                .value
                .si()
            },
        );
    }
}

#[test]
fn airflow_by_rise_spreads_as_propagated() {
    let sea = Barometer::standard();
    let (power, limit) = (Power::of(9.6, unit::KILOWATT), 0.03 * 9600.0);
    let [cool, warm, wet] = [68.0, 97.0, 55.0].map(fahrenheit);
    let thermometer = degf(1.8);
    let found = airflow_by_rise(
        &of_limit(power, limit),
        &of_limit(cool, thermometer),
        &of_limit(warm, thermometer),
        Some(&of_limit(wet, thermometer)),
        sea,
    )
    .unwrap();
    agree("airflow", found.standard_uncertainty.si(), 19, |random| {
        let p = PressureAbs::from_si(sea.pressure().si() + random.between(-2000.0, 2000.0));
        let wet = exact(drawn(random, wet, thermometer));
        airflow_by_rise(
            &exact(drawn(random, power, limit)),
            &exact(drawn(random, cool, thermometer)),
            &exact(drawn(random, warm, thermometer)),
            Some(&wet),
            Barometer::station(p).unwrap(),
        )
        .unwrap()
        .value
        .si()
    });
}
