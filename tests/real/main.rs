//! Real logs of sealed gas, found through `LINEPROOF_REAL_LOGS`. Their licences differ, so they are not part of the project;
//! without the variable each test says what it left out.
//!
//! Limit: 0.05 psi/h at 500 psig as a relative loss. Nothing presumed tight may be *fail*, whichever way the gas would go.
use std::path::PathBuf;

use lineproof::check::dry::method::{self as dry, Rise};
use lineproof::check::tight::method::{Assumptions, Fit, Gauge, Kappa, Series, Share, Unseen, fit};
use lineproof::stats::decision::{Verdict, judge};

const LIMIT: f64 = 0.05 / 514.696;
/// Air at one atmosphere and below is ideal to 0.1 %.
const IDEAL: f64 = 1.0;

struct Log {
    names: Vec<String>,
    columns: Vec<Vec<f64>>,
}

impl Log {
    fn read(file: &str) -> Option<Self> {
        let Some(folder) = std::env::var_os("LINEPROOF_REAL_LOGS") else {
            println!("left out {file}: LINEPROOF_REAL_LOGS is not set");
            return None;
        };
        let path = PathBuf::from(folder).join(file);
        let mut reader = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .from_path(&path)
            .unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        let names: Vec<String> = reader
            .headers()
            .unwrap()
            .iter()
            .map(str::to_string)
            .collect();
        let mut columns = vec![Vec::new(); names.len()];
        for row in reader.records().map(Result::unwrap) {
            for (column, text) in columns.iter_mut().zip(row.iter()) {
                column.push(text.parse().unwrap());
            }
        }
        Some(Self { names, columns })
    }

    fn column(&self, name: &str) -> &[f64] {
        &self.columns[self.names.iter().position(|n| n == name).unwrap()]
    }
}

fn assumptions(resolution_pa: f64) -> Assumptions {
    Assumptions {
        share: Share::stated(1.0),
        gauge: Gauge {
            resolution_pa,
            drift_pa_per_k: 0.0,
        },
        unseen: Unseen::of_field_test(0.0, 0.0),
    }
}

fn never_fails(what: &str, fit: &Fit) {
    let interval = fit.loss.interval(0.95);
    println!(
        "{what}: {:.1} h, {:.1e} to {:.1e} 1/h, steps {}, {:?}",
        fit.hours,
        interval.low,
        interval.high,
        fit.steps.len(),
        fit.path
    );
    for (way, loss) in [("out", fit.loss.clone()), ("in", fit.loss.scaled(-1.0))] {
        assert_ne!(
            judge(&loss, LIMIT).verdict,
            Verdict::Fail,
            "{what}: fails, gas going {way}"
        );
    }
}

/// Hulls under part vacuum: oil that leaves them and water pressure change their volume, so only rows near the surface with
/// the oil where it was at the start are a closed volume of fixed size. All rows are tried as well: the size moves, and still
/// nothing may fail.
#[test]
fn hulls_presumed_tight_never_fail() {
    // a gauge in inches of mercury below outside air: its zero is not documented, one atmosphere is assumed
    let below_air = |in_hg: f64| 101_325.0 - 3386.389 * in_hg;
    let psi = |psi: f64| 6894.757293168 * psi;
    let pa = |pa: f64| pa;
    type Hull = (
        &'static str,
        &'static str,
        fn(f64) -> f64,
        f64,
        Option<&'static str>,
        Option<&'static str>,
    );
    let hulls: [Hull; 7] = [
        (
            "glider_float_44min.csv",
            "pressure_abs_Pa",
            pa,
            10.0,
            Some("temp_inside_degC"),
            Some("oil_outside_cm3"),
        ),
        (
            "glider_dives_3h.csv",
            "pressure_abs_Pa",
            pa,
            10.0,
            Some("temp_inside_degC"),
            Some("oil_outside_cm3"),
        ),
        (
            "glider_dives_80h.csv",
            "pressure_abs_Pa",
            pa,
            10.0,
            Some("temp_inside_degC"),
            Some("oil_outside_cm3"),
        ),
        (
            "glider2_dives_4h.csv",
            "vacuum_inHg",
            below_air,
            10.0,
            Some("temp_inside_degC"),
            Some("oil_outside_cm3"),
        ),
        (
            "glider2_deep_2h.csv",
            "vacuum_inHg",
            below_air,
            10.0,
            Some("temp_inside_degC"),
            Some("oil_outside_cm3"),
        ),
        (
            "glider3_14_dives.csv",
            "pressure_abs_psi",
            psi,
            67.0,
            Some("temp_inside_degC"),
            None,
        ),
        (
            "glider3_no_temp_105days.csv",
            "pressure_abs_psi",
            psi,
            69.0,
            None,
            None,
        ),
    ];
    for (file, pressure, to_pa, resolution_pa, temperature, oil) in hulls {
        let Some(log) = Log::read(file) else { continue };
        let all: Vec<usize> = (0..log.column("t_h").len()).collect();
        let at_rest: Vec<usize> = match oil {
            Some(name) => {
                let (oil, depth) = (log.column(name), log.column("depth_m"));
                let same = |i: &usize| (oil[*i] - oil[0]).abs() < 10.0 && depth[*i] < 20.0;
                all.iter().copied().filter(same).collect()
            }
            None => all.clone(),
        };
        for rows in [all, at_rest] {
            let pick =
                |name: &str| -> Vec<f64> { rows.iter().map(|&i| log.column(name)[i]).collect() };
            let hours = pick("t_h");
            let ln_p: Vec<f64> = pick(pressure).iter().map(|p| to_pa(*p).ln()).collect();
            let kelvin: Option<Vec<f64>> =
                temperature.map(|name| pick(name).iter().map(|t| t + 273.15).collect());
            let series = Series {
                outdoor_k: kelvin.as_deref(),
                ..Series::pressure_only(&hours, &ln_p, Kappa::constant(IDEAL))
            };
            let fit = fit(&series, &assumptions(resolution_pa)).unwrap();
            never_fails(&format!("{file}, {} rows", rows.len()), &fit);
        }
    }
}

/// Tyres of one trailer, already referred to one temperature by their publisher, 5 of 6 presumed tight.
#[test]
fn tyres_the_leaking_one_fails_and_its_siblings_do_not() {
    let logs = [
        ("tyre_leak_1.csv", Some(6)),
        ("tyre_leak_3.csv", Some(6)),
        ("tyre_leak_24h.csv", Some(6)),
        ("tyres_12_months.csv", None),
        ("tyres_loss_summer.csv", Some(3)),
    ];
    for (file, leaking) in logs {
        let Some(log) = Log::read(file) else { continue };
        let ln_p = |tyre: usize| -> Vec<f64> {
            log.column(&format!("pressure_tyre{tyre}_bar"))
                .iter()
                .map(|bar| (bar * 1e5).ln())
                .collect()
        };
        let hours = log.column("t_h");
        let witness = ln_p(if leaking == Some(1) { 2 } else { 1 });
        for tyre in 2..=6 {
            let own = ln_p(tyre);
            let alone = Series::pressure_only(hours, &own, Kappa::constant(IDEAL));
            let beside = Series {
                witness_ln_p: Some(&witness),
                ..alone
            };
            let alone = fit(&alone, &assumptions(3000.0)).unwrap();
            let beside = fit(&beside, &assumptions(3000.0)).unwrap();
            if leaking == Some(tyre) {
                println!(
                    "{file}, tyre {tyre} leaks: {:?} {:?}",
                    alone.loss.interval(0.95),
                    beside.loss.interval(0.95)
                );
                assert_eq!(
                    judge(&beside.loss, LIMIT).verdict,
                    Verdict::Fail,
                    "{file}: leak missed beside a witness"
                );
                assert_ne!(
                    judge(&alone.loss, LIMIT).verdict,
                    Verdict::Pass,
                    "{file}: leak passed without a thermometer"
                );
                continue;
            }
            never_fails(&format!("{file}, tyre {tyre}"), &alone);
            never_fails(&format!("{file}, tyre {tyre} beside tyre 1"), &beside);
            assert!(
                beside.loss.sd() < alone.loss.sd(),
                "{file}: the witness does not help tyre {tyre}"
            );
        }
    }
}

/// Publishers of the slow leak give -1.74 +- 0.10 %/day beside its siblings. The rate falls as the tyre empties, from 2.3 to
/// 0.9 %/day, so a straight line and one that forgives slow curves differ; their intervals meet.
#[test]
fn a_leak_beside_a_sibling_has_the_known_rate() {
    let Some(log) = Log::read("tyre_leak_1.csv") else {
        return;
    };
    let ln_p = |tyre: usize| -> Vec<f64> {
        let column = log.column(&format!("pressure_tyre{tyre}_bar"));
        column.iter().map(|bar| (bar * 1e5).ln()).collect()
    };
    let leaking = ln_p(6);
    for sibling in 1..=5 {
        let witness = ln_p(sibling);
        let series = Series {
            witness_ln_p: Some(&witness),
            ..Series::pressure_only(log.column("t_h"), &leaking, Kappa::constant(IDEAL))
        };
        let loss = fit(&series, &assumptions(3000.0)).unwrap().loss;
        let per_day = loss.scaled(2400.0).interval(0.95);
        println!(
            "beside tyre {sibling}: {:.2} to {:.2} %/day",
            per_day.low, per_day.high
        );
        assert!(per_day.low < 1.74 + 0.10 && per_day.high > 1.74 - 0.10);
    }
}

/// Cabin air with a crew, an oxygen supply and carbon-dioxide removal is not sealed gas. The pressure shows it: it takes no part
/// in the 1.5 K by which the thermometer moves (that thermometer sits in a warm box; cabin air itself was not logged).
#[test]
fn a_cabin_that_is_not_sealed_is_told() {
    let Some(log) = Log::read("station_cabin_20h.csv") else {
        return;
    };
    let ln_p: Vec<f64> = log
        .column("pressure_abs_hPa")
        .iter()
        .map(|hpa| (hpa * 100.0).ln())
        .collect();
    let kelvin: Vec<f64> = log
        .column("temp_box_degC")
        .iter()
        .map(|t| t + 273.15)
        .collect();
    let series = Series {
        outdoor_k: Some(&kelvin),
        ..Series::pressure_only(log.column("t_h"), &ln_p, Kappa::constant(IDEAL))
    };
    let fit = fit(&series, &assumptions(10.0)).unwrap();
    let exponent = fit.temperature_exponent.as_ref().unwrap().interval(0.95);
    println!(
        "cabin: temperature response {:.2} to {:.2} of a closed volume",
        exponent.low, exponent.high
    );
    assert!(fit.ignores_temperature());
    assert_ne!(judge(&fit.loss, LIMIT).verdict, Verdict::Pass);
}

/// Hydrogen comes through a hot membrane at a steady rate: a rise that does not level off.
#[test]
fn a_steady_inflow_is_a_leak() {
    let Some(log) = Log::read("vacuum_rise_106min.csv") else {
        return;
    };
    let minutes: Vec<f64> = log.column("t_h").iter().map(|h| h * 60.0).collect();
    let micron: Vec<f64> = log
        .column("pressure_rise_side_torr")
        .iter()
        .map(|torr| torr * 1000.0)
        .collect();
    let rise = Rise {
        minutes: &minutes,
        micron: &micron,
        resolution_micron: 0.1,
    };
    let fit = dry::fit(&rise).unwrap();
    println!(
        "inflow {:?} micron/min, moisture {}",
        fit.leak.interval(0.95),
        fit.p_moisture
    );
    assert_eq!(judge(&fit.leak, 1.0).verdict, Verdict::Fail);
}
