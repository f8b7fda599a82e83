//! What a loss of pressure would be in refrigerant, and what a loss of refrigerant would show on a gauge, in words.

use super::told::{Line, Part, Told};
use crate::check::tight::mass::{
    Condition, Hole, MassError, MassLoss, bubble_sight, detector_sight,
};
use crate::fluid::Refrigerant;
use crate::physics::leak::{self, FlowLaw};
use crate::quantity::{
    Dimension, Interval, LeakRate, Mass, MassRate, PressureDiff, PressureRate, Quantity,
    UnitSystem, Volume, both, unit,
};
use crate::source::SourceId;

/// What was typed: the hole as the test drives it, the volume behind it, and the refrigerant to come.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// The hole under test gas.
    pub hole: Hole,
    /// The volume under test.
    pub volume: Volume,
    /// The refrigerant.
    pub refrigerant: Refrigerant,
    /// The charge, if known.
    pub charge: Option<Mass>,
}

/// A leak, with what it would be at every condition.
#[derive(Debug, Clone, PartialEq)]
pub struct Leak {
    /// Of test gas, counted at 20 °C.
    pub throughput: LeakRate,
    /// By condition, or why there is none.
    pub losses: Vec<(Condition, Result<MassLoss, MassError>)>,
    /// What bubbles would show, at the last condition that is valid.
    pub bubbles: MassLoss,
}

/// What a mass loss would show during the test, by each of [`FlowLaw::ALL`].
#[derive(Debug, Clone, PartialEq)]
pub struct Shows {
    /// When it is lost.
    pub condition: Condition,
    /// Of test gas, counted at 20 °C.
    pub throughput: [LeakRate; 3],
    /// What the gauge would lose.
    pub pressure: [PressureRate; 3],
}

impl Asked {
    /// What a loss of pressure would be.
    pub fn leak(&self, loss: PressureRate) -> Result<Leak, MassError> {
        let throughput = leak::throughput(loss, self.volume, self.hole.temperature);
        let of = |leak, at| self.hole.mass_loss(self.refrigerant, at, [leak; 3]);
        let losses = Condition::ALL.map(|at| (at, of(throughput, at)));
        let valid = losses.iter().rev().find(|(_, loss)| loss.is_ok());
        let bubbles = of(bubble_sight(), valid.map_or(Condition::Idle, |(at, _)| *at))?;
        Ok(Leak {
            throughput,
            losses: losses.to_vec(),
            bubbles,
        })
    }

    /// What a loss of mass at a condition would show.
    pub fn shows(&self, loss: MassRate, condition: Condition) -> Result<Shows, MassError> {
        let throughput = self.hole.throughput(self.refrigerant, condition, loss)?;
        let pressure =
            throughput.map(|q| leak::loss_of_pressure(q, self.volume, self.hole.temperature));
        Ok(Shows {
            condition,
            throughput,
            pressure,
        })
    }
}

/// What a hold of a day or more tells from none at its end. Source: [`SourceId::HoldSees`].
pub fn hold_sees() -> PressureDiff {
    PressureDiff::of(0.6, unit::PSI_DIFF)
}

fn sourced(text: impl Into<String>, source: SourceId) -> Line {
    Line::Sourced(text.into(), source)
}

/// "0.29 to 0.31 oz/yr (8.1 to 8.9 g/yr)".
fn range(low: f64, high: f64, dimension: Dimension) -> String {
    let of = |units| {
        let (low, high) = (dimension.show(low, units), dimension.show(high, units));
        if low.number() == high.number() {
            return high.to_string();
        }
        format!("{} to {high}", low.number())
    };
    let (us, si) = (of(UnitSystem::Us), of(UnitSystem::Si));
    if us == si { us } else { format!("{us} ({si})") }
}

fn ends<Q: Quantity>(values: [Q; 3]) -> (f64, f64) {
    let si = values.map(Quantity::si);
    let low = si.into_iter().fold(f64::INFINITY, f64::min);
    (low, si.into_iter().fold(0.0, f64::max))
}

fn estimates(loss: &MassLoss) -> [MassRate; 3] {
    loss.by_law.map(|law| law[0])
}

/// "viscous 0.29 oz/yr (8.1 g/yr), choked ..., molecular ...".
fn by_law<Q: Quantity>(values: [Q; 3]) -> String {
    let of = |(law, value): (FlowLaw, Q)| format!("{} {}", law.word(), both(value));
    let each: Vec<String> = FlowLaw::ALL.into_iter().zip(values).map(of).collect();
    each.join(", ")
}

/// `1.5e-5 Pa m3/s`.
fn throughput(leak: LeakRate) -> String {
    format!("{:.1e} Pa m3/s", leak.si())
}

/// What a loss of pressure would be, in words; `rests_on`: what was typed and assumed, a line each.
pub fn leak_told(asked: &Asked, leak: &Leak, rests_on: &[String], units: UnitSystem) -> Told {
    let valid = || {
        leak.losses
            .iter()
            .filter_map(|(_, loss)| loss.as_ref().ok())
    };
    let said = valid().map(|loss| {
        let (low, high) = ends(estimates(loss));
        let range = range(low, high, Dimension::MassRate);
        format!("{range} {}", loss.condition.words())
    });
    let laws = leak.losses.iter().map(|(condition, loss)| match loss {
        Ok(loss) => sourced(
            format!(
                "{} (saturation at {}): {}",
                condition.words(),
                condition.saturation().show(units),
                by_law(estimates(loss))
            ),
            leak::SOURCE,
        ),
        Err(error) => sourced(
            format!("{}: {error}", condition.words()),
            SourceId::LeakConditions,
        ),
    });
    let mut parts = vec![part("By three laws of flow", laws.collect())];
    if let Some(charge) = asked.charge {
        let share = valid().map(|loss| share(loss, charge, units));
        parts.push(part("Of the charge", share.collect()));
    }
    parts.push(part("What else would show it", others(leak)));
    parts.push(part(
        "As gas",
        vec![Line::Plain(format!(
            "{} of {} during the test, counted at {}",
            throughput(leak.throughput),
            asked.hole.gas,
            leak::reference().show(units)
        ))],
    ));
    Told {
        headline: format!(
            "of {} the same hole would lose {}",
            asked.refrigerant,
            said.collect::<Vec<_>>().join(", ")
        ),
        parts: with_ends(parts, rests_on),
    }
}

fn part(heading: &'static str, lines: Vec<Line>) -> Part {
    Part { heading, lines }
}

fn share(loss: &MassLoss, charge: Mass, units: UnitSystem) -> Line {
    let Interval { low, high, .. } = loss.share_a_year(charge);
    let part = |si: f64| Dimension::Fraction.show(si, units);
    Line::Plain(format!(
        "{}: {} to {} of {} a year",
        loss.condition.words(),
        part(low).number(),
        part(high),
        charge.show(units)
    ))
}

fn others(leak: &Leak) -> Vec<Line> {
    let (low, high) = ends(estimates(&leak.bubbles));
    let seen = if leak.throughput >= bubble_sight() {
        "they would show this one"
    } else {
        "they would not show this one"
    };
    let bubbles = format!(
        "bubbles during the test, where they wet the hole: from {} of test gas, which is {} {}; {seen}",
        throughput(bubble_sight()),
        range(low, high, Dimension::MassRate),
        leak.bubbles.condition.words()
    );
    let detector = format!(
        "an electronic detector, once refrigerant is inside: from about {}",
        both(detector_sight())
    );
    vec![
        sourced(bubbles, SourceId::BubbleSight),
        sourced(detector, SourceId::DetectorSight),
    ]
}

/// What a loss of mass would show on the gauge, in words.
pub fn shows_told(
    asked: &Asked,
    loss: MassRate,
    shows: &Shows,
    rests_on: &[String],
    units: UnitSystem,
) -> Told {
    let (low, high) = ends(shows.pressure);
    let hours = |rate: f64| hold_sees().si() / rate / 3600.0;
    let day = |rate: f64| PressureDiff::from_si(86_400.0 * rate).si();
    let gauge = vec![
        sourced(by_law(shows.pressure), leak::SOURCE),
        Line::Plain(format!(
            "in a day {}",
            range(day(low), day(high), Dimension::PressureDiff)
        )),
        sourced(
            format!(
                "a hold tells that from none after about {:.0} to {:.0} h, and not before a day{}",
                hours(high),
                hours(low),
                if hours(high) > 72.0 {
                    ": too little for a hold, bubbles and a detector see it better"
                } else {
                    ""
                }
            ),
            SourceId::HoldSees,
        ),
    ];
    let (least, most) = ends(shows.throughput);
    let gas = Line::Plain(format!(
        "{} to {} of {} during the test, counted at {}",
        throughput(LeakRate::from_si(least)),
        throughput(LeakRate::from_si(most)),
        asked.hole.gas,
        leak::reference().show(units)
    ));
    Told {
        headline: format!(
            "{} of {} {} would show as {} on the gauge",
            both(loss),
            asked.refrigerant,
            shows.condition.words(),
            range(low, high, Dimension::PressureRate)
        ),
        parts: with_ends(
            vec![part("On the gauge", gauge), part("As gas", vec![gas])],
            rests_on,
        ),
    }
}

fn with_ends(mut parts: Vec<Part>, rests_on: &[String]) -> Vec<Part> {
    parts.push(part(
        "It rests on",
        rests_on
            .iter()
            .map(|line| Line::Plain(line.clone()))
            .collect(),
    ));
    parts.push(part(
        "What it does not say",
        vec![
            Line::Plain("which of the three laws the hole follows: nobody can see that".into()),
            sourced(
                "what a hole below liquid would lose: the numbers are for vapour, liquid is several times as much",
                SourceId::LeakConditions,
            ),
        ],
    ));
    parts
}
