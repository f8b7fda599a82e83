//! The measured cycle on the pressure-enthalpy diagram, and what its caption says.

use super::diagram::{NamedState, absolute};
use super::figure::{Leg, PressureEnthalpy};
use crate::check::run::{Basis, Corner, Cycle, Place};
use crate::fluid::Refrigerant;
use crate::quantity::{
    Fraction, Interval, PressureAbs, Propagated, Quantity, SpecificEnthalpy, UnitSystem,
};

/// Half-width of what is drawn: 95 %.
const TWO_SIDED: f64 = 1.96;

impl PressureEnthalpy {
    /// The diagram around a measured cycle; `None` with less than two corners.
    ///
    /// Corners that were read are dots with their 95 % bars; what was not read is an open dot and named so.
    pub fn of_cycle(
        refrigerant: Refrigerant,
        units: UnitSystem,
        cycle: &Cycle,
    ) -> Option<PressureEnthalpy> {
        if cycle.corners.len() < 2 {
            return None;
        }
        let states: Vec<_> = cycle.corners.iter().map(named).collect();
        let mut diagram = PressureEnthalpy::of(refrigerant, units, &states);
        for (mark, corner) in diagram.states.iter_mut().zip(&cycle.corners) {
            let half = SpecificEnthalpy::from_si(TWO_SIDED * corner.enthalpy_uncertainty.si());
            let high = corner.pressure.si() + TWO_SIDED * corner.pressure_uncertainty.si();
            mark.half_enthalpy = half.show(units).value;
            mark.half_pressure = absolute(PressureAbs::from_si(high), units) - mark.pressure;
            mark.read = corner.is_read();
        }
        diagram.legs = legs(&cycle.corners);
        diagram.lead = Some(lead(refrigerant, &cycle.corners));
        diagram.notes = notes(cycle, units);
        frame(&mut diagram);
        Some(diagram)
    }
}

fn named(corner: &Corner) -> NamedState {
    NamedState {
        label: label(corner),
        pressure: corner.pressure,
        enthalpy: corner.enthalpy,
    }
}

fn label(corner: &Corner) -> String {
    let place = corner.place.word();
    match (corner.place, corner.basis) {
        (_, Basis::WithoutLosses) => format!("{place} without losses"),
        (Place::AfterMetering, _) | (_, Basis::Measured) => place.to_string(),
        (_, Basis::SaturatedWithinError | Basis::NotRead) => format!("{place}, as saturated"),
    }
}

/// Neighbours in the direction of flow; a gap where a corner is left out.
fn legs(corners: &[Corner]) -> Vec<Leg> {
    let index = |place: Place| corners.iter().position(|c| c.place == place);
    let round = [
        Place::Suction,
        Place::Discharge,
        Place::Liquid,
        Place::AfterMetering,
        Place::Suction,
    ];
    round
        .windows(2)
        .filter_map(|pair| {
            let to = index(pair[1])?;
            Some(Leg {
                from: index(pair[0])?,
                to,
                dashed: corners[to].basis == Basis::WithoutLosses,
            })
        })
        .collect()
}

/// Room around the cycle, with the bubble line beside its lower pressure inside.
fn frame(diagram: &mut PressureEnthalpy) {
    let whole = (diagram.enthalpies, diagram.pressures);
    let over = |values: &mut dyn Iterator<Item = f64>| {
        values.fold((f64::MAX, f64::MIN), |(low, high), v| {
            (low.min(v), high.max(v))
        })
    };
    let states = &diagram.states;
    let (p_low, p_high) = over(
        &mut states
            .iter()
            .flat_map(|s| [s.pressure - s.half_pressure, s.pressure + s.half_pressure])
            .filter(|p| *p > 0.0),
    );
    let beside = diagram.bubble.iter().find(|point| point.1 >= p_low);
    let (h_low, h_high) = over(
        &mut states
            .iter()
            .flat_map(|s| [s.enthalpy - s.half_enthalpy, s.enthalpy + s.half_enthalpy])
            .chain(beside.map(|point| point.0)),
    );
    let across = 0.13 * (h_high - h_low);
    // never tighter than a third either way
    let up = (0.4 * (p_high / p_low).ln()).max(0.3).exp();
    diagram.enthalpies = ((h_low - across).max(whole.0.0), h_high + across);
    diagram.pressures = ((p_low / up).max(whole.1.0), (p_high * up).min(whole.1.1));
}

fn lead(refrigerant: Refrigerant, corners: &[Corner]) -> String {
    let found = |place: Place| corners.iter().any(|c| c.place == place);
    let mut text = format!("The readings as a cycle of {refrigerant}.");
    if found(Place::AfterMetering) && found(Place::Suction) {
        text += " From after metering to suction it takes up heat.";
    }
    if found(Place::Discharge) && found(Place::Liquid) {
        text += " From discharge to liquid it gives heat off.";
    }
    text
}

/// What follows from the corners, what was assumed, what is left out.
fn notes(cycle: &Cycle, units: UnitSystem) -> Vec<String> {
    let mut said = figures(cycle, units);
    let corner = |place: Place| cycle.corners.iter().find(|c| c.place == place);
    for corner in &cycle.corners {
        let place = corner.place.word();
        let why = match (corner.place, corner.basis) {
            (Place::AfterMetering, _) | (_, Basis::Measured) => continue,
            (_, Basis::WithoutLosses) => {
                "the discharge line was not read; a compressor without losses would arrive there, a real one arrives hotter".into()
            }
            (_, Basis::NotRead) => format!("the {place} line was not read; taken as saturated"),
            (_, Basis::SaturatedWithinError) => {
                format!("the {place} line reads saturation within the error; taken as saturated")
            }
        };
        said.push(format!("{}: {why}.", label(corner)));
    }
    if corner(Place::AfterMetering).is_some() {
        said.push(
            "after metering: not read; the liquid's enthalpy at the suction pressure.".into(),
        );
    }
    said.push(
        "Bars are 95 %, dots were read, open dots were not; pressure drops along coils and lines are not in it.".into(),
    );
    said.extend(cycle.left_out.iter().map(|why| format!("Left out: {why}.")));
    said
}

fn figures(cycle: &Cycle, units: UnitSystem) -> Vec<String> {
    let mut said = Vec::new();
    if let Some(ratio) = &cycle.compression_ratio {
        let half = TWO_SIDED * ratio.standard_uncertainty;
        said.push(format!(
            "compression ratio {:.2}, could be {:.2} to {:.2}.",
            ratio.value,
            ratio.value - half,
            ratio.value + half
        ));
    }
    if let Some(effect) = &cycle.refrigerating_effect {
        let shown = interval::<SpecificEnthalpy>(effect).show(units);
        said.push(format!("each mass of refrigerant takes up {shown}."));
    }
    if let Some(efficiency) = &cycle.isentropic_efficiency {
        let shown = interval::<Fraction>(efficiency).show(units);
        said.push(format!(
            "isentropic efficiency of the compression {shown}, heat that compressor and pipe lose left out."
        ));
        if efficiency.value > 1.0 {
            said.push(
                "more than 100 % means that the discharge line reads too cold, or that the shell loses much heat.".into(),
            );
        }
    }
    said
}

fn interval<Q: Quantity>(found: &Propagated) -> Interval
where
    Q::Diff: Quantity,
{
    Interval::normal(
        Q::from_si(found.value),
        Q::Diff::from_si(found.standard_uncertainty),
    )
}
