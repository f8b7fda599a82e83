//! Water and ice against the releases' check values, other computations of the same formulations and a printed table.

use lineproof::fluid::water;
use lineproof::quantity::{PressureAbs, Quantity, Temperature, unit};

use crate::compare::{Compared, Comparison};
use crate::data::{Row, rows};

fn temperature(row: &Row) -> Temperature {
    Temperature::of(row.number("t_C").unwrap(), unit::CELSIUS)
}

fn place(row: &Row) -> String {
    format!("{} degC", row.text("t_C"))
}

fn check_values() -> Comparison {
    let compared = |row: &Row| {
        let temperature = Temperature::from_si(row.number("temperature_K").unwrap());
        let pressure = PressureAbs::from_si(row.number("pressure_Pa").unwrap());
        // all printed digits: nine for the liquid, six for ice
        let share = if row.text("phase") == "ice" {
            1e-6
        } else {
            2e-9
        };
        let value = |what, at, printed: f64, ours, unit| {
            let what = format!("{what} of {}, {}", row.text("phase"), row.text("source"));
            Compared::new(what, at, &printed.to_string(), ours, share * printed, unit)
        };
        match row.text("given") {
            "temperature" => {
                let (ours, phase) = water::vapour_pressure(temperature).unwrap();
                assert_eq!(phase.word(), row.text("phase"));
                let at = format!("{} K", temperature.si());
                value("pressure", at, pressure.si(), ours.si(), "Pa")
            }
            "pressure" => {
                let (ours, phase) = water::boiling_temperature(pressure).unwrap();
                assert_eq!(phase.word(), row.text("phase"));
                let at = format!("{} Pa", pressure.si());
                value("temperature", at, temperature.si(), ours.si(), "K")
            }
            other => panic!("{other}"),
        }
    };
    Comparison {
        title: "Water and ice, check values of IAPWS".into(),
        source: "check values printed for programmers in the IAPWS releases R7-97(2012), tables 35 and 36, and \
                 R14-08(2011), table 3; typed **from memory**"
            .into(),
        tolerance: "all printed digits: 2e-9 of it for liquid, 1e-6 for ice".into(),
        notes: Vec::new(),
        values: rows(include_str!("data/water_check_values.csv")).iter().map(compared).collect(),
    }
}

fn iapws() -> Comparison {
    let compared = |row: &Row| {
        let (pressure, phase) = water::vapour_pressure(temperature(row)).unwrap();
        let value = |column, ours: f64, unit| {
            let what = format!("vapour pressure of {}", phase.word());
            Compared::new(what, place(row), row.text(column), ours, 1e-4 * ours, unit)
        };
        [
            value("p_Pa", pressure.si(), "Pa"),
            value("p_micron", pressure.in_unit(unit::MICRON), "micron"),
        ]
    };
    Comparison {
        title: "Water and ice, IAPWS".into(),
        source: "IAPWS R14-08(2011) for ice and IAPWS-95 for liquid, computed with iapws 1.5.5, a general-purpose \
                 library"
            .into(),
        tolerance: "0.01 %: liquid is IAPWS-95 there and IF97 here, and five digits are printed".into(),
        notes: Vec::new(),
        values: rows(include_str!("data/water_saturation.csv")).iter().flat_map(compared).collect(),
    }
}

fn printed_table() -> Comparison {
    let compared = |row: &Row| {
        let (pressure, _) = water::vapour_pressure(temperature(row)).unwrap();
        let kpa = pressure.in_unit(unit::KPA_ABS);
        let printed = row.text("p_kPa");
        Compared::new(
            "vapour pressure of water",
            place(row),
            printed,
            kpa,
            5e-4 * kpa,
            "kPa",
        )
    };
    Comparison {
        title: "Water, a printed table".into(),
        source: "an independent printed table of the vapour pressure of water".into(),
        tolerance: "0.05 %: the table lies up to 0.034 % below IAPWS".into(),
        notes: vec![
            "The row at 0 degC is ice here; over liquid the pressure would be 0.01 % higher."
                .into(),
        ],
        values: rows(include_str!("data/water_vapour_pressure_table.csv"))
            .iter()
            .map(compared)
            .collect(),
    }
}

pub fn comparisons() -> Vec<Comparison> {
    vec![check_values(), iapws(), printed_table()]
}

#[test]
fn check_values_of_the_releases() {
    check_values().holds(7);
}

#[test]
fn by_iapws() {
    iapws().holds(2 * 16);
}

#[test]
fn by_a_printed_table() {
    printed_table().holds(9);
}

/// The phase is the table's, and the way back returns.
#[test]
fn phase_and_the_way_back() {
    for row in rows(include_str!("data/water_saturation.csv")) {
        let (pressure, phase) = water::vapour_pressure(temperature(&row)).unwrap();
        assert_eq!(phase.word(), row.text("phase"));
        let (back, same) = water::boiling_temperature(pressure).unwrap();
        assert!((back - temperature(&row)).si().abs() < 1e-6 && same == phase);
    }
}
