//! Standard error of a slope under white and under correlated noise (`slope_se_check.csv`, simulated elsewhere with least
//! squares): 10 %, the scatter of the simulation. The regression knows the noise and may only be as good or a little better.
use lineproof::stats::linear::with_known_terms;
use lineproof::stats::noise::{Rows, Wander, products};

use crate::readings::Table;

fn slope_sd(hours: f64, count: usize, white: f64, wander: Wander) -> f64 {
    let times: Vec<f64> = (0..count)
        .map(|i| hours * i as f64 / (count - 1) as f64)
        .collect();
    let rows = Rows::from_columns(&[vec![1.0; count], times.clone(), vec![0.0; count]]);
    let products = products(&times, &vec![white * white; count], wander, &rows);
    let solved = with_known_terms(&products, &[0.0, 0.0]).unwrap();
    solved.covariance[(1, 1)].sqrt()
}

#[test]
fn white_and_correlated_noise_give_the_simulated_spread() {
    let table = Table::read("slope_se_check.csv");
    let mut checked = 0;
    for row in &table.rows {
        let check = table.text(row, "check");
        let hours = table.number(row, "T_h");
        let found = if check.starts_with("white") {
            let count = table.number(row, "n_or_dt") as usize;
            slope_sd(hours, count, 1.0, Wander { sd: 0.0, time: 1.0 })
        } else if let Some(rest) = check.strip_prefix("OU sigma=1 tau_c=") {
            let time: f64 = rest.split(':').next().unwrap().parse().unwrap();
            let count = (hours / table.number(row, "n_or_dt")).round() as usize + 1;
            slope_sd(hours, count, 1e-4, Wander { sd: 1.0, time })
        } else {
            continue;
        };
        let simulated = table.number(row, "simulated_sd_per_h");
        println!("{check}, {hours} h: {found:.5}, simulated {simulated}");
        assert!(
            (found / simulated - 1.0).abs() < 0.10,
            "{check}: {found}, simulated {simulated}"
        );
        checked += 1;
    }
    assert!(checked >= 7);
}
