//! Published values: whole tables, each with the tolerance its source allows and the reason. Every comparison stands
//! in `docs/VALIDATION.md`; data are in `data/` with their sources on the first line.
//!
//! A module that compares has `pub fn comparisons() -> Vec<Comparison>`, one line in [`GROUPS`], and a test for each of
//! its sources that calls `Comparison::holds` with the number of values.

mod air;
mod between;
mod blends;
mod charge;
mod compare;
mod data;
mod dry_gas;
mod facts;
mod leak;
mod page;
mod saturation;
mod states;
mod viscosity;
mod water;

use compare::Comparison;

/// What makes the comparisons of a group.
type Compare = fn() -> Vec<Comparison>;

/// The headings of the page and what stands below each.
const GROUPS: &[(&str, &[Compare])] = &[
    (
        "Saturation: other equations, models and measurements",
        &[saturation::others, facts::comparisons],
    ),
    (
        "Saturation: the equations behind our tables",
        &[saturation::same_equation],
    ),
    ("Viscosity", &[viscosity::comparisons]),
    (
        "Dry gases, water and moist air",
        &[dry_gas::comparisons, water::comparisons, air::comparisons],
    ),
    (
        "Leaks: units, laws of flow, what a test can show",
        &[leak::comparisons],
    ),
    (
        "Charge: flow from a hole, rooms, performance",
        &[charge::comparisons],
    ),
    (
        "How our tables were made and are read",
        &[
            blends::comparisons,
            between::comparisons,
            states::comparisons,
        ],
    ),
];

/// All comparisons, in the order of the page.
fn all() -> Vec<(&'static str, Vec<Comparison>)> {
    let made = |compares: &[Compare]| compares.iter().flat_map(|compare| compare()).collect();
    GROUPS
        .iter()
        .map(|(group, compares)| (*group, made(compares)))
        .collect()
}
