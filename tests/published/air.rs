//! Moist air against the published test values of a psychrometric library, and against that library over a grid.

use lineproof::fluid::air::MoistAir;
use lineproof::fluid::water;
use lineproof::quantity::{
    Barometer, Density, Fraction, PressureAbs, Quantity, SpecificEnthalpy, Temperature, unit,
};

use crate::compare::{Compared, Comparison};
use crate::data::{Row, rows};

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

/// A printed enthalpy counted from 0 degC, so that its relative tolerance means the same in both tables.
fn zero_shift(row: &Row) -> f64 {
    if row.text("quantity") == "enthalpy" && !is_si(row) {
        FROM_ZERO_FAHRENHEIT
    } else {
        0.0
    }
}

fn unit_of(row: &Row) -> &'static str {
    match (row.text("quantity"), is_si(row)) {
        ("saturation_pressure", true) => "Pa",
        ("saturation_pressure", false) => "psi",
        ("humidity_ratio" | "relative_humidity", _) => "",
        ("wet_bulb" | "dew_point", true) => "degC",
        ("wet_bulb" | "dew_point", false) => "degF",
        ("enthalpy", true) => "J/kg",
        ("enthalpy", false) => "Btu/lb",
        ("volume", true) => "m3/kg",
        ("volume", false) => "ft3/lb",
        ("density", true) => "kg/m3",
        ("density", false) => "lb/ft3",
        other => panic!("{other:?}"),
    }
}

/// "30 degC, wet bulb 25, 95461 Pa".
fn place(row: &Row) -> String {
    let (degrees, pressure) = if is_si(row) {
        ("degC", "Pa")
    } else {
        ("degF", "psia")
    };
    let dry_bulb = format!("{} {degrees}", row.text("dry_bulb"));
    match row.text("given") {
        "" => dry_bulb,
        given => format!(
            "{dry_bulb}, {} {}, {} {pressure}",
            given.replace('_', " "),
            row.text("given_value"),
            row.text("pressure")
        ),
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

fn compared(row: &Row) -> Compared {
    let number = |column: &str| row.number(column).unwrap();
    let (quantity, shift) = (row.text("quantity"), zero_shift(row));
    let tolerance = match row.text("kind") {
        "abs" => number("tolerance"),
        "rel" => number("tolerance") * (number("value") - shift).abs(),
        other => panic!("{other}"),
    };
    let ours = in_units(row, quantity) + shift;
    let what = quantity.replace('_', " ");
    Compared::new(
        what,
        place(row),
        row.text("value"),
        ours,
        tolerance,
        unit_of(row),
    )
}

fn published_values() -> Comparison {
    Comparison {
        title: "Moist air, published test values".into(),
        source: "test values published with psychrolib 2.5: ASHRAE Fundamentals 2017, chapter 1, tables 2 and 3 and \
                 example 1, and a spreadsheet of the library's authors"
            .into(),
        tolerance: "the one printed with each value; wider for four spreadsheet values in US units, whose equation has \
                    rounded coefficients of its own"
            .into(),
        notes: vec![format!(
            "American tables count the enthalpy of dry air from 0 degF: {FROM_ZERO_FAHRENHEIT} Btu/lb are added to ours."
        )],
        values: rows(include_str!("data/moist_air_published.csv")).iter().map(compared).collect(),
    }
}

/// Saturation by IAPWS here, by Hyland & Wexler there.
fn over_a_grid() -> Comparison {
    let compared = |row: &Row| {
        let number = |column: &str| row.number(column).unwrap();
        let barometer = Barometer::station(PressureAbs::from_si(number("pressure_pa"))).unwrap();
        let dry_bulb = Temperature::of(number("dry_bulb_c"), unit::CELSIUS);
        let humidity = Fraction::from_si(number("relative_humidity"));
        let air = MoistAir::of_relative_humidity(dry_bulb, humidity, barometer).unwrap();
        let at = format!(
            "{} Pa, {} degC, {}",
            row.text("pressure_pa"),
            row.text("dry_bulb_c"),
            row.text("relative_humidity")
        );
        let value = |what, column, ours, tolerance, unit| {
            Compared::new(what, &at[..], row.text(column), ours, tolerance, unit)
        };
        let share = |share: f64, column| share * number(column);
        let wet_bulb = air.wet_bulb().unwrap().in_unit(unit::CELSIUS);
        let dew_point = air.dew_point().unwrap().in_unit(unit::CELSIUS);
        // over the heat of the vapour, which goes with the water
        let vapour = 2.5e6 * number("humidity_ratio");
        let volume = 1.0 / air.dry_air_density().si();
        let (w, v, rho) = ("humidity_ratio", "volume_m3_kg", "density_kg_m3");
        [
            value(
                "humidity ratio",
                w,
                air.humidity_ratio().si(),
                share(4e-4, w),
                "",
            ),
            value("wet bulb", "wet_bulb_c", wet_bulb, 0.005, "degC"),
            value("dew point", "dew_point_c", dew_point, 0.01, "degC"),
            value(
                "enthalpy",
                "enthalpy_j_kg",
                air.enthalpy().si(),
                5e-4 * vapour,
                "J/kg",
            ),
            value("specific volume", v, volume, share(1e-4, v), "m3/kg"),
            value(
                "density of moist air",
                rho,
                air.density().si(),
                share(1e-4, rho),
                "kg/m3",
            ),
        ]
    };
    let values = rows(include_str!("data/moist_air_psychrolib.csv"))
        .iter()
        .flat_map(compared)
        .collect();
    Comparison {
        title: "Moist air over a grid".into(),
        source: "the equations of ASHRAE Fundamentals 2017, chapter 1, computed with psychrolib 2.5.0".into(),
        tolerance: "saturation by IAPWS here, by Hyland and Wexler there: 0.03 % of the vapour. So 0.04 % of the \
                    humidity ratio, 0.01 K of the dew point, 0.005 K of the wet bulb (bisected to 0.001 K there), \
                    0.05 % of the vapour's part of the enthalpy, 0.01 % of volume and density"
            .into(),
        notes: Vec::new(),
        values: Compared::worst_of_each(values),
    }
}

pub fn comparisons() -> Vec<Comparison> {
    vec![published_values(), over_a_grid()]
}

#[test]
fn published_moist_air() {
    published_values().holds(72);
}

#[test]
fn moist_air_over_a_grid() {
    over_a_grid().holds(252 * 6);
}
