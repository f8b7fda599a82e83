//! Certified fits of NIST StRD (source lines in the data files): 9 digits, as much as double precision gives on Longley.
use lineproof::stats::linear::{Ordinary, ordinary};

use crate::readings::Table;

const DIGITS_9: f64 = 1e-9;

fn check(name: &str, fit: &Ordinary) {
    let certified = Table::read("certified_linear.csv");
    let rows = certified
        .rows
        .iter()
        .filter(|row| certified.text(row, "dataset") == name);
    let mut checked = 0;
    for (index, row) in rows.enumerate() {
        for (what, found, expected) in [
            (
                "coefficient",
                fit.coefficients[index],
                certified.number(row, "certified_value"),
            ),
            (
                "standard error",
                fit.standard_errors[index],
                certified.number(row, "certified_sd"),
            ),
            (
                "residual sd",
                fit.residual_sd,
                certified.number(row, "residual_sd"),
            ),
        ] {
            assert!(
                (found / expected - 1.0).abs() < DIGITS_9,
                "{name} {what} {index}: {found}, certified {expected}"
            );
            checked += 1;
        }
    }
    assert_eq!(checked, 3 * fit.coefficients.len());
}

#[test]
fn norris() {
    let data = Table::read("norris_data.csv");
    let x = data.column("x");
    check(
        "Norris",
        &ordinary(&[vec![1.0; x.len()], x], &data.column("y")).unwrap(),
    );
}

#[test]
fn longley() {
    let data = Table::read("longley_data.csv");
    let y = data.column("y");
    let mut columns = vec![vec![1.0; y.len()]];
    columns.extend((1..=6).map(|i| data.column(&format!("x{i}"))));
    check("Longley", &ordinary(&columns, &y).unwrap());
}
