//! Moist air against the published test values of a psychrometric library, and against that library over a grid.

use lineproof::fluid::air::MoistAir;
use lineproof::fluid::water;
use lineproof::quantity::{
    Barometer, Density, Fraction, PressureAbs, Quantity, SpecificEnthalpy, Temperature, unit,
};

use crate::data::{Row, Worst, rows};

fn is_si(row: &Row) -> bool {
    match row.text("units") {
        "SI" => true,
        "IP" => false,
        other => panic!("{other}"),
    }
}

fn temperature(row: &Row, value: f64) -> Temperature {
    Temperature::of(
        value,
        if is_si(row) {
            unit::CELSIUS
        } else {
            unit::FAHRENHEIT
        },
    )
}

fn air(row: &Row) -> MoistAir {
    let number = |column: &str| row.number(column).unwrap();
    let pressure_unit = if is_si(row) { unit::PA } else { unit::PSIA };
    let barometer = Barometer::station(PressureAbs::of(number("pressure"), pressure_unit)).unwrap();
    let dry_bulb = temperature(row, number("dry_bulb"));
    let given = number("given_value");
    let share = Fraction::from_si(given);
    match row.text("given") {
        "wet_bulb" => MoistAir::of_wet_bulb(dry_bulb, temperature(row, given), barometer),
        "relative_humidity" => MoistAir::of_relative_humidity(dry_bulb, share, barometer),
        "humidity_ratio" => MoistAir::of_humidity_ratio(dry_bulb, share, barometer),
        other => panic!("{other}"),
    }
    .unwrap()
}

/// Btu/lb. American tables count dry air from 0 degF; this is what the two tables of the handbook differ by at every
/// state they share: 15.699 Btu/lb is 18,639 J/kg at 5 degC.
const FROM_ZERO_FAHRENHEIT: f64 = 7.6856;

/// The value, an enthalpy counted from 0 degC, so that its relative tolerance means the same in both tables.
fn published(row: &Row) -> f64 {
    let value = row.number("value").unwrap();
    if row.text("quantity") == "enthalpy" && !is_si(row) {
        value - FROM_ZERO_FAHRENHEIT
    } else {
        value
    }
}

fn in_units(row: &Row, quantity: &str) -> f64 {
    let si = is_si(row);
    let degrees = |t: Temperature| t.in_unit(if si { unit::CELSIUS } else { unit::FAHRENHEIT });
    let density = |d: Density| {
        d.in_unit(if si {
            unit::KILOGRAM_PER_CUBIC_METRE
        } else {
            unit::POUND_PER_CUBIC_FOOT
        })
    };
    let enthalpy = |h: SpecificEnthalpy| {
        h.in_unit(if si {
            unit::JOULE_PER_KILOGRAM
        } else {
            unit::BTU_PER_POUND
        })
    };
    match quantity {
        "saturation_pressure" => {
            let dry_bulb = temperature(row, row.number("dry_bulb").unwrap());
            let (pressure, _) = water::vapour_pressure(dry_bulb).unwrap();
            pressure.in_unit(if si { unit::PA } else { unit::PSIA })
        }
        "humidity_ratio" => air(row).humidity_ratio().si(),
        "relative_humidity" => air(row).relative_humidity().si(),
        "wet_bulb" => degrees(air(row).wet_bulb().unwrap()),
        "dew_point" => degrees(air(row).dew_point().unwrap()),
        "enthalpy" => enthalpy(air(row).enthalpy()),
        "volume" => 1.0 / density(air(row).dry_air_density()),
        "density" => density(air(row).density()),
        other => panic!("{other}"),
    }
}

/// Each within the tolerance printed with it.
#[test]
fn published_values() {
    let mut count = 0;
    for row in rows(include_str!("data/moist_air_published.csv")) {
        let number = |column: &str| row.number(column).unwrap();
        let quantity = row.text("quantity");
        let (ours, published) = (in_units(&row, quantity), published(&row));
        let off = (ours - published).abs();
        let allowed = match row.text("kind") {
            "abs" => number("tolerance"),
            "rel" => number("tolerance") * published.abs(),
            other => panic!("{other}"),
        };
        assert!(off <= allowed, "{ours}: {row:?}");
        count += 1;
    }
    println!("{count:4} values within their printed tolerances: published values of moist air");
    assert_eq!(count, 72);
}

/// Saturation by IAPWS here, by Hyland & Wexler there: 0.03 % of the vapour, so 0.01 K of the dew point and less of the
/// wet bulb, which is bisected to 0.001 K there.
#[test]
fn over_a_grid() {
    let mut worst: [Worst; 6] = Default::default();
    for row in rows(include_str!("data/moist_air_psychrolib.csv")) {
        let number = |column: &str| row.number(column).unwrap();
        let barometer = Barometer::station(PressureAbs::from_si(number("pressure_pa"))).unwrap();
        let dry_bulb = Temperature::of(number("dry_bulb_c"), unit::CELSIUS);
        let humidity = Fraction::from_si(number("relative_humidity"));
        let air = MoistAir::of_relative_humidity(dry_bulb, humidity, barometer).unwrap();
        let place = format!(
            "{} Pa, {} degC, {}",
            row.text("pressure_pa"),
            row.text("dry_bulb_c"),
            row.text("relative_humidity")
        );
        let mut see = |i: usize, off: f64| worst[i].see(off, &place);
        see(
            0,
            air.humidity_ratio().si() / number("humidity_ratio") - 1.0,
        );
        let wet_bulb = air.wet_bulb().unwrap().in_unit(unit::CELSIUS);
        see(1, wet_bulb - number("wet_bulb_c"));
        see(
            2,
            air.dew_point().unwrap().in_unit(unit::CELSIUS) - number("dew_point_c"),
        );
        // over the heat of the vapour, which goes with the water
        let vapour = 2.5e6 * number("humidity_ratio");
        see(3, (air.enthalpy().si() - number("enthalpy_j_kg")) / vapour);
        see(
            4,
            1.0 / air.dry_air_density().si() / number("volume_m3_kg") - 1.0,
        );
        see(5, air.density().si() / number("density_kg_m3") - 1.0);
    }
    let names = [
        ("humidity ratio", "of it"),
        ("wet bulb", "K"),
        ("dew point", "K"),
        ("enthalpy", "of the vapour's"),
        ("specific volume", "of it"),
        ("density of moist air", "of it"),
    ];
    for (worst, (name, unit)) in worst.iter().zip(names) {
        worst.say(&format!("{name} (psychrolib 2.5.0)"), unit);
    }
    assert_eq!(worst[0].count, 252);
    let limits = [4e-4, 0.005, 0.01, 5e-4, 1e-4, 1e-4];
    for (worst, limit) in worst.iter().zip(limits) {
        assert!(
            worst.difference.abs() < limit,
            "{} at {}",
            worst.difference,
            worst.place
        );
    }
}
