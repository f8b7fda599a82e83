//! Charge per length: physics against computed values, and every printed factor against physics.

use lineproof::check::charge::{Criteria, Run, Tubes, physics_beside};
use lineproof::fluid::Refrigerant;
use lineproof::physics::cycle::MeteringPlace;
use lineproof::physics::tube::Tube;
use lineproof::quantity::{Length, MassPerLength, Quantity, unit};

use crate::{number, rows};

fn run(liquid: &str, vapour: &str, factor: f64) -> Run {
    Run {
        name: liquid.into(),
        installed: Length::of(10.0, unit::METRE),
        included: Length::of(10.0, unit::METRE),
        factor: MassPerLength::of(factor, unit::GRAM_PER_METRE),
        tubes: Some(Tubes {
            liquid: Tube::annealed(liquid).unwrap(),
            vapour: Tube::annealed(vapour).unwrap(),
        }),
        label: None,
    }
}

/// `R410A` as `R-410A`; none for a row that names no single refrigerant.
fn refrigerant(text: &str) -> Option<Refrigerant> {
    text.parse().ok()
}

#[test]
fn bore_times_density() {
    let mut seen = 0;
    for row in rows(include_str!("data/line_charge_physics.csv")) {
        let Some(refrigerant) = refrigerant(&row["refrigerant"]) else {
            continue;
        };
        let run = run(&row["liquid_od"], &row["vapour_od"], 30.0);
        let place = Some(MeteringPlace::Indoors);
        let ours = physics_beside(refrigerant, &run, place, &Criteria::default())
            .unwrap()
            .unwrap();
        let grams = |m: MassPerLength| m.in_unit(unit::GRAM_PER_METRE);
        // printed to 0.1 and 0.01 g/m; the 3/4 in vapour line was computed with the light wall
        assert!(
            (grams(ours.liquid) - number(&row["liquid_g_per_m_35C"])).abs() < 0.06,
            "{row:?}: {ours:?}"
        );
        let vapour = number(&row["vapour_line_g_per_m_7C_sat"]);
        assert!(
            (grams(ours.vapour) / vapour - 1.0).abs() < 2e-3,
            "{row:?}: {ours:?}"
        );
        seen += 1;
    }
    assert!(seen >= 16, "{seen} rows");
}

#[test]
fn every_printed_factor_is_within_the_spread() {
    let vapour_beside = |liquid: &str| match liquid {
        "1/4" => "5/8",
        "1/2" => "7/8",
        _ => "3/4",
    };
    let criteria = Criteria::default();
    let mut seen = 0;
    for row in rows(include_str!("../../tables/line_charge_printed.csv")) {
        let Some(refrigerant) = refrigerant(&row["refrigerant"]) else {
            continue;
        };
        let place = match row["expansion_at"].as_str() {
            "indoors" => MeteringPlace::Indoors,
            _ => MeteringPlace::Outdoors,
        };
        for column in ["g_per_m_min", "g_per_m_median", "g_per_m_max"] {
            let liquid = row["liquid_od_in"].as_str();
            let run = run(liquid, vapour_beside(liquid), number(&row[column]));
            let beside = physics_beside(refrigerant, &run, Some(place), &criteria)
                .unwrap()
                .unwrap();
            assert!(
                beside.differs.si().abs() < criteria.factor_spread.si(),
                "{row:?}: {beside:?}"
            );
            seen += 1;
        }
    }
    assert!(seen >= 45, "{seen} factors");
}
