//! Charge and joints.

use lineproof::check::charge::{self, Input as ChargeInput, Run, Shipped};
use lineproof::check::{Detail, Outcome, Segment, joints};
use lineproof::fluid::{Refrigerant, Saturation};
use lineproof::physics::cycle::MeteringPlace;
use lineproof::physics::torque::Adapter;
use lineproof::quantity::*;

use super::near;

/// C29: pre-charged for 50 m, 10 m a head; heads at 10, 12, 6, none and 14 m; 15 g/m, the last 30 g/m: -60 g. The trap:
/// cutting each head off at zero gives +150 g.
#[test]
fn c29_a_shorter_line_counts_back() {
    let heads = [
        (10.0, 15.0),
        (12.0, 15.0),
        (6.0, 15.0),
        (0.0, 15.0),
        (14.0, 30.0),
    ];
    let metre = |m| Length::of(m, unit::METRE);
    let runs = heads.iter().map(|(metres, factor)| Run {
        name: format!("head at {metres} m"),
        installed: metre(*metres),
        included: metre(10.0),
        factor: MassPerLength::of(*factor, unit::GRAM_PER_METRE),
        tubes: None,
        label: None,
    });
    let input = ChargeInput {
        refrigerant: Refrigerant::R410A,
        nameplate: Mass::of(4000.0, unit::GRAM),
        shipped: Shipped::Charged,
        metering: Some(MeteringPlace::Outdoors),
        runs: runs.collect(),
        accessories: Vec::new(),
        weighed_in: None,
        incidents: Vec::new(),
    };
    let finding = charge::assess(&input, &charge::Criteria::default());
    let Detail::Charge(detail) = &finding.detail else {
        panic!("charge gives its own detail")
    };
    let each: Vec<f64> = detail
        .lines
        .iter()
        .map(|l| l.mass.in_unit(unit::GRAM))
        .collect();
    for (ours, right) in each.iter().zip([0.0, 30.0, -60.0, -150.0, 120.0]) {
        near(*ours, right, 1e-9);
    }
    near(detail.adjustment.in_unit(unit::GRAM), -60.0, 1e-9);
    // 1.5 % of such a charge: left as it is, and noted
    assert_eq!(finding.outcome, Outcome::Pass);
    assert!(finding.says(charge::reasons::REMAINDER_LEFT));
}

/// C30: printed 12 / 24 / 40 / 65 / 115 g/m are 0.129 / 0.258 / 0.430 / 0.699 / 1.236 oz/ft, by the exact definitions
/// of ounce and foot.
#[test]
fn c30_grams_a_metre_in_ounces_a_foot() {
    let rows = [
        (12.0, 0.129),
        (24.0, 0.258),
        (40.0, 0.430),
        (65.0, 0.699),
        (115.0, 1.236),
    ];
    for (grams, ounces) in rows {
        let factor = MassPerLength::of(grams, unit::GRAM_PER_METRE);
        // printed to 0.001
        near(factor.in_unit(unit::OUNCE_PER_FOOT), ounces, 0.0005);
    }
}

/// C31: an adapter of 35 mm on a wrench of 250 mm, 42 N m wanted: square to the wrench 42.0, in line 36.8. The trap: a
/// printed root form gives 41.6 for the square one.
#[test]
fn c31_an_adapter_square_to_the_wrench_changes_nothing() {
    let mm = |v| Length::of(v, unit::MILLIMETRE);
    let wanted = Torque::of(42.0, unit::NEWTON_METRE);
    for (angle, right) in [(90.0, 42.0), (0.0, 36.8)] {
        let adapter = Adapter::new(mm(250.0), mm(35.0), angle).unwrap();
        // printed to 0.1 N m
        near(
            adapter.setting_for(wanted).in_unit(unit::NEWTON_METRE),
            right,
            0.05,
        );
        let made_up = joints::MadeUp {
            setting: Measured {
                value: adapter.setting_for(wanted),
                standard_uncertainty: Torque::of(0.5, unit::NEWTON_METRE),
                origin: Origin::Reading("wrench".into()),
            },
            adapter: Some(adapter),
        };
        let input = joints::Input {
            joints: vec![joints::Joint {
                id: "liquid".into(),
                segment: Segment::LiquidLine,
                kind: joints::JointKind::Coupling,
                tube: None,
                made_up: Some(made_up),
                unit_torque: Some(joints::UnitTorque::Figure(wanted)),
                checks: Vec::new(),
            }],
        };
        let finding = joints::assess(&input, &joints::Criteria::default());
        assert!(finding.says(joints::reasons::ADAPTER_COUNTED));
        assert!(!finding.says(joints::reasons::UNDER_TORQUED));
    }
}

/// C32: an idle condenser with R-410A: 1 degF is about 4 psi, so an excess below 5 psi proves nothing.
#[test]
fn c32_a_degree_is_four_psi() {
    let r410a = Saturation::of(Refrigerant::R410A);
    let psig = |f| {
        let p = r410a
            .bubble_pressure(Temperature::of(f, unit::FAHRENHEIT))
            .unwrap();
        p.to_gauge(Barometer::standard()).in_unit(unit::PSIG)
    };
    for (f, right) in [(80.0, 236.5), (85.0, 255.4), (90.0, 275.3)] {
        // printed to 0.1 psi
        near(psig(f), right, 0.05);
        // "about 4" is one digit
        near(psig(f + 1.0) - psig(f), 4.0, 0.5);
    }
}
