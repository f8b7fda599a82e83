//! Saturation in rows: which rows, which cells, and what is refused.

use lineproof::fluid::{Refrigerant, Saturation};
use lineproof::out::table::{Rows, SaturationTable, Steps, TableError};
use lineproof::quantity::{
    Barometer, Length, PressureDiff, PressureGauge, Quantity, Temperature, TemperatureDiff,
    UnitSystem, unit,
};

fn fahrenheit(from: f64, to: f64, step: f64) -> Steps<Temperature> {
    Steps {
        from: Temperature::of(from, unit::FAHRENHEIT),
        to: Temperature::of(to, unit::FAHRENHEIT),
        step: TemperatureDiff::of(step, unit::FAHRENHEIT_DIFF),
    }
}

fn psig(from: f64, to: f64, step: f64) -> Steps<PressureGauge> {
    Steps {
        from: PressureGauge::of(from, unit::PSIG),
        to: PressureGauge::of(to, unit::PSIG),
        step: PressureDiff::of(step, unit::PSI_DIFF),
    }
}

fn by_temperature(
    refrigerant: Refrigerant,
    steps: &Steps<Temperature>,
) -> Result<SaturationTable, TableError> {
    let saturation = Saturation::of(refrigerant);
    SaturationTable::by_temperature(saturation, steps, Barometer::standard(), UnitSystem::Us)
}

fn by_pressure(
    refrigerant: Refrigerant,
    steps: &Steps<PressureGauge>,
) -> Result<SaturationTable, TableError> {
    let saturation = Saturation::of(refrigerant);
    SaturationTable::by_pressure(saturation, steps, Barometer::standard(), UnitSystem::Us)
}

#[test]
fn rows_stand_a_step_apart_and_none_beyond_the_last() {
    let table = by_temperature(Refrigerant::R410A, &fahrenheit(-20.0, 121.0, 5.0)).unwrap();
    let cells = table.cells();
    assert_eq!(cells.len(), 29);
    assert_eq!(cells[0][0], "-20");
    assert_eq!(cells[28][0], "120");
    let half = by_temperature(Refrigerant::R410A, &fahrenheit(0.0, 2.0, 0.5)).unwrap();
    assert_eq!(half.cells()[1][0], "0.5");
    let one = by_temperature(Refrigerant::R410A, &fahrenheit(40.0, 40.0, 5.0)).unwrap();
    assert_eq!(one.cells().len(), 1);
}

#[test]
fn both_tables_say_the_same() {
    let pressures = by_pressure(Refrigerant::R454B, &psig(100.0, 400.0, 50.0)).unwrap();
    let Rows::ByPressure(rows) = &pressures.rows else {
        panic!("rows at pressures");
    };
    for row in rows {
        let at = |t: Temperature| Steps {
            from: t,
            to: t,
            step: TemperatureDiff::from_si(1.0),
        };
        let table = by_temperature(Refrigerant::R454B, &at(row.bubble)).unwrap();
        let Rows::ByTemperature(back) = &table.rows else {
            panic!("rows at temperatures");
        };
        assert!((back[0].bubble.si() - row.at.si()).abs() < 1.0);
        let table = by_temperature(Refrigerant::R454B, &at(row.dew)).unwrap();
        let Rows::ByTemperature(back) = &table.rows else {
            panic!("rows at temperatures");
        };
        assert!((back[0].dew.si() - row.at.si()).abs() < 1.0);
        assert!(row.bubble < row.dew);
    }
}

#[test]
fn one_column_where_no_printed_digit_differs() {
    for (refrigerant, glide) in [
        (Refrigerant::R32, false),
        (Refrigerant::R290, false),
        (Refrigerant::R410A, true),
        (Refrigerant::R454B, true),
    ] {
        let table = by_temperature(refrigerant, &fahrenheit(0.0, 120.0, 5.0)).unwrap();
        assert_eq!(table.has_glide(), glide, "{refrigerant}");
        let title = table.text().lines().nth(2).unwrap().to_string();
        assert_eq!(title.contains("bubble"), glide, "{title}");
    }
}

#[test]
fn a_gauge_reads_more_where_the_air_is_thin() {
    let high = Barometer::at_altitude(Length::of(6000.0, unit::FOOT_LENGTH)).unwrap();
    let steps = fahrenheit(40.0, 40.0, 5.0);
    let saturation = Saturation::of(Refrigerant::R32);
    let low = by_temperature(Refrigerant::R32, &steps).unwrap();
    let high = SaturationTable::by_temperature(saturation, &steps, high, UnitSystem::Us).unwrap();
    let reading = |table: &SaturationTable| table.cells()[0][1].parse::<f64>().unwrap();
    // 14.70 psia less 11.78 psia
    assert!((reading(&high) - reading(&low) - 2.92).abs() < 0.1);
    assert!(high.text().contains("6000 ft"));
}

#[test]
fn usual_rows_lie_inside_every_table_and_on_one_page() {
    for &refrigerant in Refrigerant::ALL {
        for units in [UnitSystem::Us, UnitSystem::Si] {
            let saturation = Saturation::of(refrigerant);
            let sea = Barometer::standard();
            let steps = Steps::<Temperature>::usual(saturation, units);
            let temperatures =
                SaturationTable::by_temperature(saturation, &steps, sea, units).unwrap();
            let steps = Steps::<PressureGauge>::usual(saturation, sea, units).unwrap();
            let pressures = SaturationTable::by_pressure(saturation, &steps, sea, units).unwrap();
            for table in [temperatures, pressures] {
                let rows = table.cells().len();
                assert!((20..=101).contains(&rows), "{refrigerant}: {rows} rows");
            }
        }
    }
}

#[test]
fn every_number_of_the_csv_reads_back() {
    let table = by_pressure(Refrigerant::R454B, &psig(0.0, 300.0, 10.0)).unwrap();
    let text = table.csv();
    let mut lines = text.lines();
    assert_eq!(
        lines.next(),
        Some("pressure_psig,pressure_psia,bubble_F,dew_F")
    );
    let Rows::ByPressure(rows) = &table.rows else {
        panic!("rows at pressures");
    };
    for (line, row) in lines.zip(rows) {
        let cells: Vec<f64> = line.split(',').map(|cell| cell.parse().unwrap()).collect();
        assert!((cells[0] - row.at.in_unit(unit::PSIG)).abs() < 1e-5);
        assert!((cells[1] - cells[0] - 14.695949).abs() < 1e-4);
        assert!((cells[2] - row.bubble.in_unit(unit::FAHRENHEIT)).abs() < 1e-5);
        assert!((cells[3] - row.dew.in_unit(unit::FAHRENHEIT)).abs() < 1e-5);
    }
}

#[test]
fn steps_that_lead_nowhere_are_refused() {
    let refused = |steps| by_temperature(Refrigerant::R32, &steps).unwrap_err();
    assert!(matches!(
        refused(fahrenheit(0.0, 100.0, 0.0)),
        TableError::Step { .. }
    ));
    assert!(matches!(
        refused(fahrenheit(0.0, 100.0, -5.0)),
        TableError::Step { .. }
    ));
    assert!(matches!(
        refused(fahrenheit(100.0, 0.0, 5.0)),
        TableError::Order { .. }
    ));
    assert!(matches!(
        refused(fahrenheit(0.0, 200.0, 5.0)),
        TableError::Range(_)
    ));
    assert!(matches!(
        refused(fahrenheit(-90.0, 100.0, 5.0)),
        TableError::Range(_)
    ));
    let error = refused(fahrenheit(0.0, 100.0, 0.01));
    assert!(
        matches!(error, TableError::TooMany { rows: 10_001, .. }),
        "{error}"
    );
}
