//! What belongs in: a longer line never asks for less, order does not matter, units change nothing.

use lineproof::check::charge::{
    Accessory, Criteria, Input, LineLabel, Run, Shipped, adjustment, came_in_lines, plan,
};
use lineproof::fluid::Refrigerant;
use lineproof::quantity::*;
use proptest::prelude::*;

fn label() -> impl Strategy<Value = Option<LineLabel>> {
    prop_oneof![
        Just(None),
        (0.0..0.5f64).prop_map(|kg| Some(LineLabel::Mass(Mass::from_si(kg)))),
        (0.0..0.05f64).prop_map(|m| Some(LineLabel::PerLength(MassPerLength::from_si(m)))),
        (0.0..15.0f64).prop_map(|m| Some(LineLabel::ForLength(Length::from_si(m)))),
    ]
}

fn run() -> impl Strategy<Value = Run> {
    (0.0..60.0f64, 0.0..15.0f64, 0.0..0.15f64, label()).prop_map(
        |(installed, included, factor, label)| Run {
            name: "line".into(),
            installed: Length::from_si(installed),
            included: Length::from_si(included),
            factor: MassPerLength::from_si(factor),
            tubes: None,
            label,
        },
    )
}

fn input() -> impl Strategy<Value = Input> {
    let accessory = (-0.5..0.5f64).prop_map(|kg| Accessory {
        name: "drier".into(),
        mass: Mass::from_si(kg),
    });
    (
        proptest::collection::vec(run(), 1..6),
        proptest::collection::vec(accessory, 0..3),
        any::<bool>(),
    )
        .prop_map(|(runs, accessories, empty)| Input {
            refrigerant: Refrigerant::R410A,
            nameplate: Mass::from_si(2.5),
            shipped: if empty {
                Shipped::Empty
            } else {
                Shipped::Charged
            },
            metering: None,
            runs,
            accessories,
            weighed_in: None,
            incidents: Vec::new(),
        })
}

/// What is still to be weighed in, in kg.
fn still(input: &Input) -> f64 {
    let plan = plan(input, &Criteria::default(), None, None);
    plan.unwrap().still.si()
}

proptest! {
    #[test]
    fn a_longer_line_never_belongs_to_less(input in input(), which in any::<prop::sample::Index>(), more in 0.0..20.0f64) {
        let mut longer = input.clone();
        let run = which.index(longer.runs.len());
        longer.runs[run].installed = Length::from_si(input.runs[run].installed.si() + more);
        let total = |i: &Input| adjustment(&i.runs, &i.accessories).total.si();
        prop_assert!(total(&longer) >= total(&input) - 1e-12);
        // a line that came with its own charge per length may ask for less the longer it is; no other does
        if !matches!(input.runs[run].label, Some(LineLabel::PerLength(_))) {
            prop_assert!(still(&longer) >= still(&input) - 1e-12);
        }
    }

    #[test]
    fn the_order_of_runs_does_not_matter(input in input()) {
        let mut turned = input.clone();
        turned.runs.reverse();
        turned.accessories.reverse();
        prop_assert!((still(&turned) - still(&input)).abs() < 1e-12);
    }

    #[test]
    fn the_lines_add_up(input in input()) {
        let sum = |a: &lineproof::check::charge::Adjustment| a.lines.iter().map(|l| l.mass.si()).sum::<f64>();
        for part in [adjustment(&input.runs, &input.accessories), came_in_lines(&input.runs)] {
            prop_assert!((sum(&part) - part.total.si()).abs() < 1e-12);
        }
    }

    #[test]
    fn units_change_nothing(metres in 0.0..60.0f64, included in 0.0..15.0f64, grams in 0.0..150.0f64) {
        let of = |installed, included, factor| {
            let run = Run { name: "line".into(), installed, included, factor, tubes: None, label: None };
            adjustment(&[run], &[]).total.si()
        };
        let si = of(
            Length::of(metres, unit::METRE),
            Length::of(included, unit::METRE),
            MassPerLength::of(grams, unit::GRAM_PER_METRE),
        );
        let us = of(
            Length::of(metres / 0.3048, unit::FOOT_LENGTH),
            Length::of(included / 0.3048, unit::FOOT_LENGTH),
            MassPerLength::of(grams * 0.3048 / 28.349_523_125, unit::OUNCE_PER_FOOT),
        );
        prop_assert!((us - si).abs() < 1e-12);
    }
}
