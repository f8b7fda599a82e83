//! Eight standing pressure tests with known truth and a reference answer.
use lineproof::check::tight::method::{Assumptions, Gauge, Kappa, Series, Share, Unseen, fit};

use crate::readings::Table;

const PSI: f64 = 6894.757;
const GAUGE_ZERO_PSI: f64 = 14.696;

#[test]
fn slope_and_standard_error_agree_with_the_reference() {
    let index = Table::read("index_decay.csv");
    for row in &index.rows {
        let file = index.text(row, "file");
        let log = Table::read(file);
        let hours = log.column("t_h");
        let p: Vec<f64> = log
            .column("p_psig")
            .iter()
            .map(|p| p + GAUGE_ZERO_PSI)
            .collect();
        let ln_p: Vec<f64> = p.iter().map(|p| (p * PSI).ln()).collect();
        let (outdoor, indoor) = (log.column("T_outdoor_K"), log.column("T_indoor_K"));
        let series = Series {
            hours: &hours,
            ln_p: &ln_p,
            outdoor_k: Some(&outdoor),
            indoor_k: Some(&indoor),
            witness_ln_p: None,
            kappa: kappa(p[0] - GAUGE_ZERO_PSI),
        };
        let assumptions = Assumptions {
            share: Share::stated(index.number(row, "stated_outdoor_share")),
            gauge: Gauge {
                resolution_pa: index.number(row, "res_psi") * PSI,
                drift_pa_per_k: 0.0,
            },
            unseen: Unseen::start_only(),
        };
        let fit = fit(&series, &assumptions).unwrap();
        let to_psi = p[0];
        let (slope, se) = (-fit.loss.mean() * to_psi, fit.loss.sd() * to_psi);
        let (grid_slope, grid_se) = (
            index.number(row, "grid_slope"),
            index.number(row, "grid_se"),
        );
        println!(
            "{file} slope {slope:.4} reference {grid_slope:.4} true {} ({:.2} s.e.) | s.e. {se:.4} reference {grid_se:.4} ({:.2}) steps {:?} out {:?} distinct {}",
            index.text(row, "true_slope_psi_h"),
            (slope - grid_slope) / grid_se,
            se / grid_se,
            fit.steps,
            fit.outliers,
            fit.distinct_readings,
        );
    }
}

/// kappa of nitrogen at two temperatures from the table, between its pressures by a straight line.
fn kappa(psig: f64) -> Kappa {
    let table = Table::read("nitrogen_isochoric.csv");
    let at = |kelvin: f64| {
        let points: Vec<(f64, f64)> = table
            .rows
            .iter()
            .filter(|row| table.number(row, "T_K") == kelvin)
            .map(|row| {
                (
                    table.number(row, "p_psig"),
                    table.number(row, "kappa=(T/p)(dp/dT)_rho"),
                )
            })
            .collect();
        let upper = points.iter().position(|(p, _)| *p >= psig).unwrap();
        let ((p0, k0), (p1, k1)) = (points[upper - 1], points[upper]);
        k0 + (k1 - k0) * (psig - p0) / (p1 - p0)
    };
    Kappa::through((283.15, at(283.15)), (303.15, at(303.15)))
}
