//! The gas volume of a line set, in words.

use super::told::{Line, Part, Told};
use crate::physics::volume::{self, EXPANSION_SOURCE, Expanded, TUBE_SOURCE};
use crate::quantity::{Interval, Measured, Origin, Quantity, Temperature, UnitSystem, Volume};
use crate::source::SourceId;

/// What is known of a volume.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// Of the tubes.
    pub tubes: Option<Measured<Volume>>,
    /// Of the indoor coil, as given.
    pub coil: Option<Measured<Volume>>,
    /// Of hoses and gauge, as given.
    pub hoses: Option<Measured<Volume>>,
    /// By expansion.
    pub expanded: Option<Expanded>,
    /// The temperature of an expansion.
    pub temperature: Temperature,
}

impl Found {
    /// Of all that is under pressure: as measured, else the sum of its parts; none while the coil is not known.
    pub fn volume(&self) -> Option<Measured<Volume>> {
        if let Some(expanded) = &self.expanded {
            return Some(expanded.volume.clone());
        }
        let (tubes, coil) = (self.tubes.clone()?, self.coil.clone()?);
        let parts: Vec<_> = [tubes, coil]
            .into_iter()
            .chain(self.hoses.clone())
            .collect();
        Some(volume::sum(&parts))
    }

    /// Of the coil: as given, or what an expansion leaves beside tubes and hoses.
    pub fn coil_or_rest(&self) -> Option<Measured<Volume>> {
        if self.coil.is_some() {
            return self.coil.clone();
        }
        let (all, tubes) = (&self.expanded.as_ref()?.volume, self.tubes.clone()?);
        let known: Vec<_> = [tubes].into_iter().chain(self.hoses.clone()).collect();
        let known = volume::sum(&known);
        let (u, v) = (
            all.standard_uncertainty.si(),
            known.standard_uncertainty.si(),
        );
        Some(Measured {
            value: Volume::from_si(all.value.si() - known.value.si()),
            standard_uncertainty: Volume::from_si(u.hypot(v)),
            origin: Origin::Assumed("an expansion less the tubes".into()),
        })
    }
}

fn shown(volume: &Measured<Volume>, units: UnitSystem) -> String {
    let range = Interval::normal(volume.value, volume.standard_uncertainty);
    match units {
        UnitSystem::Us => range.show_both(),
        UnitSystem::Si => range.show(units),
    }
}

/// What is known of a volume, and how to know more.
pub fn told(found: &Found, units: UnitSystem) -> Told {
    let plain = |text: String| Line::Plain(text);
    let headline = match (found.volume(), &found.tubes) {
        (Some(volume), _) => format!("the volume is {}", shown(&volume, units)),
        (None, Some(tubes)) => format!(
            "the tubes alone hold {}; how much does the indoor coil hold? It may hold as much again",
            shown(tubes, units)
        ),
        (None, None) => "how long are the lines, and what does the indoor coil hold?".into(),
    };
    let mut parts = vec![Part {
        heading: "Parts",
        lines: of_parts(found, units),
    }];
    if let Some(expanded) = &found.expanded {
        parts.push(Part {
            heading: "By expansion",
            lines: of_expansion(found, expanded, units),
        });
    }
    if found.volume().is_none() {
        parts.push(Part {
            heading: "The coil",
            lines: vec![
                plain("give it with --coil: the unit's data sheet may print the internal volume of its heat exchanger".into()),
                Line::Sourced(
                    "or measure all of it by expansion: fill a known volume (a bottle weighed empty and full of water) to some pressure, shut its supply off, open it to the empty line, wait until the needle rests, and give --reference, --from, --to".into(),
                    EXPANSION_SOURCE,
                ),
            ],
        });
    } else {
        parts.push(Part {
            heading: "What next",
            lines: vec![
                plain("put it into lineset.toml, under [line_set], as volume for all of it or as coil_volume for the coil alone".into()),
                plain("with it as --volume, lineproof tight can say a loss in ounces and grams a year".into()),
            ],
        });
    }
    if found.expanded.is_some() || found.volume().is_none() {
        parts.push(Part {
            heading: "Mind",
            lines: cautions(),
        });
    }
    Told { headline, parts }
}

fn of_parts(found: &Found, units: UnitSystem) -> Vec<Line> {
    let part = |name: &str, volume: &Option<Measured<Volume>>| {
        volume
            .as_ref()
            .map(|v| format!("{name}: {}", shown(v, units)))
    };
    let tubes = part("tubes", &found.tubes).map(|text| Line::Sourced(text, TUBE_SOURCE));
    let given = [
        part("indoor coil, as given", &found.coil),
        part("hoses and gauge, as given", &found.hoses),
    ];
    let rest = found.coil_or_rest().filter(|_| found.coil.is_none());
    let rest = rest.map(|rest| {
        let text = format!("so the indoor coil holds {}", shown(&rest, units));
        if rest.value.si() < -2.0 * rest.standard_uncertainty.si() {
            format!("{text}: less than nothing; check the lengths, the sizes and the reference")
        } else {
            text
        }
    });
    let given = given.into_iter().flatten().map(Line::Plain);
    tubes
        .into_iter()
        .chain(given)
        .chain(rest.map(|text| Line::Sourced(text, EXPANSION_SOURCE)))
        .collect()
}

fn of_expansion(found: &Found, expanded: &Expanded, units: UnitSystem) -> Vec<Line> {
    let mut lines = vec![
        Line::Sourced(
            format!(
                "with the densities of real gas at {}; the pressures alone give {}",
                found.temperature.show(units),
                expanded.by_pressures.show(units)
            ),
            EXPANSION_SOURCE,
        ),
        Line::Sourced(
            "gas cools as it expands: wait until the needle rests, some minutes; a difference of temperature left over is allowed for".into(),
            SourceId::ExpansionTemperature,
        ),
    ];
    if let Some((part, share)) = expanded.dominant {
        lines.push(Line::Plain(format!(
            "most of the uncertainty comes from {part} ({:.0} %)",
            100.0 * share
        )));
    }
    lines
}

fn cautions() -> Vec<Line> {
    let sourced = |text: &str, source| Line::Sourced(text.into(), source);
    vec![
        sourced(
            "dry nitrogen through a regulator with a relief valve; the reference, its hose and the line must each bear the pressure, never more than the lowest rating",
            SourceId::Ashrae15Gas,
        ),
        sourced(
            "only a vessel made for pressure is a reference: no drink bottle, no glass, no disposable can",
            SourceId::CommonPractice,
        ),
        sourced(
            "open the valve slowly, stand clear, wear goggles; vent slowly and outdoors",
            SourceId::CommonPractice,
        ),
    ]
}
