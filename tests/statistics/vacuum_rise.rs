//! Eight vacuum rises with known truth and a reference answer.
use lineproof::check::dry::method::{Rise, fit};

use crate::readings::Table;

#[test]
fn the_leak_agrees_with_the_reference() {
    let index = Table::read("index_vacuum.csv");
    for row in &index.rows {
        let file = index.text(row, "file");
        let log = Table::read(file);
        let (minutes, micron) = (log.column("t_min"), log.column("p_micron"));
        let fit = fit(&Rise {
            minutes: &minutes,
            micron: &micron,
            resolution_micron: 1.0,
        })
        .unwrap();
        let interval = fit.leak.interval(0.95);
        println!(
            "{file} q {:.3} [{:.3}, {:.3}] P(q>1) {:.4} P(moisture) {:.4} tau {:?} | reference {} [{}, {}] {} {}",
            fit.leak.mean(),
            interval.low,
            interval.high,
            fit.leak.above(1.0),
            fit.p_moisture,
            fit.tau,
            index.text(row, "q_hat"),
            index.text(row, "q_lo"),
            index.text(row, "q_hi"),
            index.text(row, "P_q_gt_1"),
            index.text(row, "P_moisture")
        );
    }
}
