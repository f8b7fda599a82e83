//! California Energy Commission, Reference Residential Appendix RA3.2 (2008), tables RA3.2-2 and RA3.2-3, in full: values
//! from memory, as the first line of each file and the source say.

use lineproof::check::run::target::{
    Cell, TargetTable, common_practice_superheat, split_table, superheat_table, target_split,
    target_superheat,
};
use lineproof::quantity::{Measured, Origin, Quantity, Temperature, TemperatureDiff, unit};
use lineproof::source::Status;

use crate::{number, rows};

const SUPERHEAT: &str = include_str!("data/charge_verification_target_superheat_F.csv");
const SPLIT: &str = include_str!("data/charge_verification_target_split_F.csv");

/// Row temperature, column temperature, printed target; `None` for a dash.
type Printed = (f64, f64, Option<f64>);

fn printed(text: &str, corner: &str) -> Vec<Printed> {
    let mut list = Vec::new();
    for row in rows(text) {
        for (name, cell) in &row {
            if let Some(wet) = name.strip_prefix("wb_") {
                let target = (!cell.is_empty()).then(|| number(cell));
                list.push((number(&row[corner]), number(wet), target));
            }
        }
    }
    list
}

fn fahrenheit(t: f64) -> Temperature {
    Temperature::of(t, unit::FAHRENHEIT)
}

fn exact(t: f64) -> Measured<Temperature> {
    read(t, 0.0)
}

fn read(t: f64, u: f64) -> Measured<Temperature> {
    Measured {
        value: fahrenheit(t),
        standard_uncertainty: TemperatureDiff::of(u, unit::FAHRENHEIT_DIFF),
        origin: Origin::Reading("thermometer".into()),
    }
}

fn degf(cell: Cell) -> Option<f64> {
    match cell {
        Cell::Target(target) => Some(target.in_unit(unit::FAHRENHEIT_DIFF)),
        Cell::NoTest => None,
    }
}

fn in_full(table: &TargetTable, printed: &[Printed]) {
    for &(row, column, target) in printed {
        let ours = degf(table.at(fahrenheit(row), fahrenheit(column)).unwrap());
        match (ours, target) {
            // printed to 0.1 °F; ours is the printed number itself
            (Some(ours), Some(target)) => assert!((ours - target).abs() < 1e-6, "{row} {column}"),
            (None, None) => {}
            other => panic!("{row} {column}: {other:?}"),
        }
    }
}

#[test]
fn target_superheat_in_full() {
    let printed = printed(SUPERHEAT, "condenser_db_F");
    assert_eq!(printed.len(), 61 * 27);
    in_full(superheat_table(), &printed);
    assert!(superheat_table().cells_out_of_order().is_empty());
    let least = printed.iter().filter_map(|p| p.2).fold(f64::MAX, f64::min);
    assert!(
        least >= 5.0,
        "a dash stands for a target below 5 °F: {least}"
    );
}

#[test]
fn target_split_in_full() {
    let printed = printed(SPLIT, "return_db_F");
    assert_eq!(printed.iter().filter(|p| p.2.is_some()).count(), 356);
    in_full(split_table(), &printed);
    assert!(split_table().cells_out_of_order().is_empty());
}

/// The status reaches the reader: both tables are remembered, and say what to compare them with.
#[test]
fn both_tables_say_that_they_are_from_memory() {
    for table in [superheat_table(), split_table()] {
        assert_eq!(table.source().status(), Status::Memory);
        let cited = table.source().cite();
        assert!(
            cited.contains("compare with the official document"),
            "{cited}"
        );
        assert!(cited.ends_with("(from memory)"), "{cited}");
    }
}

/// Between printed temperatures the target stays between the four cells around.
#[test]
fn between_the_cells_it_stays_within_them() {
    for (table, printed) in [
        (superheat_table(), printed(SUPERHEAT, "condenser_db_F")),
        (split_table(), printed(SPLIT, "return_db_F")),
    ] {
        let at = |row: f64, column: f64| {
            let found = printed.iter().find(|p| (p.0, p.1) == (row, column));
            found.and_then(|p| p.2)
        };
        for &(row, column, _) in &printed {
            let corners = [
                at(row, column),
                at(row, column + 1.0),
                at(row + 1.0, column),
                at(row + 1.0, column + 1.0),
            ];
            let inside = table.at(fahrenheit(row + 0.3), fahrenheit(column + 0.6));
            let Some(corners) = corners.into_iter().collect::<Option<Vec<f64>>>() else {
                assert!(!matches!(inside, Ok(Cell::Target(_))), "{row} {column}");
                continue;
            };
            let ours = degf(inside.unwrap()).unwrap();
            let low = corners.iter().copied().fold(f64::MAX, f64::min);
            let high = corners.iter().copied().fold(f64::MIN, f64::max);
            assert!(
                (low - 1e-9..=high + 1e-9).contains(&ours),
                "{row} {column}: {ours}"
            );
        }
    }
}

/// The first line of the split's file: one quadratic fits all 356 values within 0.06 °F.
#[test]
fn one_quadratic_fits_the_split() {
    let cells: Vec<(f64, f64, f64)> = printed(SPLIT, "return_db_F")
        .into_iter()
        .filter_map(|(dry, wet, target)| Some((dry - 77.0, wet - 63.0, target?)))
        .collect();
    let terms = |(x, y, _): &(f64, f64, f64)| [1.0, *x, *y, x * x, x * y, y * y];
    let design = nalgebra::DMatrix::from_fn(cells.len(), 6, |i, j| terms(&cells[i])[j]);
    let targets = nalgebra::DVector::from_iterator(cells.len(), cells.iter().map(|c| c.2));
    let fitted = design
        .clone()
        .svd(true, true)
        .solve(&targets, 1e-12)
        .unwrap();
    let worst = (&design * fitted - targets).amax();
    assert!(worst < 0.06, "{worst}");
}

#[test]
fn the_doors_say_the_same_as_the_tables() {
    let superheat = target_superheat(&exact(85.0), &exact(63.0))
        .unwrap()
        .target()
        .unwrap();
    assert!((superheat.value.in_unit(unit::FAHRENHEIT_DIFF) - 10.3).abs() < 1e-6);
    assert_eq!(superheat.standard_uncertainty.si(), 0.0);
    let split = target_split(&exact(76.0), &exact(63.0))
        .unwrap()
        .target()
        .unwrap();
    assert!((split.value.in_unit(unit::FAHRENHEIT_DIFF) - 19.2).abs() < 1e-6);
}

/// (3 WB - 80 - DB)/2, common practice, no source: 85 and 67 °F give 18; within 6.5 °F of the table everywhere.
#[test]
fn the_rule_of_the_trade_lies_near_the_table() {
    let rule = |dry, wet| {
        let looked = common_practice_superheat(&exact(dry), &exact(wet)).unwrap();
        looked.target().unwrap()
    };
    assert!((rule(85.0, 67.0).value.in_unit(unit::FAHRENHEIT_DIFF) - 18.0).abs() < 1e-9);
    assert_eq!(rule(85.0, 67.0).source.status(), Status::CommonPractice);
    for (dry, wet, target) in printed(SUPERHEAT, "condenser_db_F") {
        let Some(target) = target else { continue };
        let ours = rule(dry, wet).value.in_unit(unit::FAHRENHEIT_DIFF);
        assert!(
            (ours - target).abs() < 6.5,
            "{dry} {wet}: {ours} against {target}"
        );
    }
}

/// At the table's edge the uncertainty comes from the square beside it, and is never nothing.
#[test]
fn a_target_at_the_edge_has_an_uncertainty() {
    for (dry, wet) in [(55.0, 50.0), (115.0, 76.0), (85.0, 61.0), (84.0, 60.0)] {
        let looked = target_superheat(&read(dry, 1.0), &read(wet, 1.0)).unwrap();
        let u = looked.target().unwrap().standard_uncertainty;
        let u = u.in_unit(unit::FAHRENHEIT_DIFF);
        assert!((1.0..2.5).contains(&u), "{dry} {wet}: {u}");
    }
}
