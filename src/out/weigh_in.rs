//! The sheet that a person fills in at the scale: what belongs in, what is still to be weighed in, where the scale stops.

use crate::check::charge::{
    Cylinder, Hose, HoseContent, Input, Line, Plan, PlanError, Start, plan,
};
use crate::decide::Place;
use crate::decide::place::{self, Activity};
use crate::fluid::Refrigerant;
use crate::quantity::{Mass, Quantity, UnitSystem, unit};
use crate::record::Record;
use crate::source::SourceId;

/// The sheet; a renderer computes nothing.
#[derive(Debug, Clone, PartialEq)]
pub struct WeighInSheet {
    /// What the record calls the line set.
    pub record: String,
    /// Whether the record is an invented example.
    pub invented: bool,
    /// The refrigerant on the nameplate.
    pub refrigerant: Refrigerant,
    /// Units of the sheet.
    pub units: UnitSystem,
    /// What is to be done, in a sentence.
    pub headline: String,
    /// The arithmetic from the nameplate charge to what is still to be weighed in.
    pub rows: Vec<WeighInRow>,
    /// What the scale shows, by name.
    pub scale: Vec<(&'static str, String)>,
    /// What is written down at the scale.
    pub blanks: Vec<&'static str>,
    /// What to mind, with where it comes from.
    pub cautions: Vec<(String, SourceId)>,
    /// The numbers.
    pub plan: Plan,
    /// The command that records the weighing; none when nothing is to be weighed.
    pub command: Option<String>,
}

/// A line of the arithmetic.
#[derive(Debug, Clone, PartialEq)]
pub struct WeighInRow {
    /// What it is for.
    pub label: String,
    /// How it comes about; empty for a sum.
    pub how: String,
    /// The mass with its sign.
    pub mass: String,
    /// Whether it is a sum of the lines above.
    pub sum: bool,
}

impl WeighInSheet {
    /// The sheet of a record.
    ///
    /// `input`: what [`Record::charge_input`] gives; `cylinder` and `hose`: what stands ready, for the reading to stop at.
    pub fn of(
        record: &Record,
        input: &Input,
        cylinder: Option<Cylinder>,
        hose: Option<Hose>,
        units: UnitSystem,
    ) -> Result<Self, PlanError> {
        let criteria = crate::check::charge::Criteria::default();
        let plan = plan(input, &criteria, cylinder, hose)?;
        let weighed = input.weighed_in.as_ref().map(|w| w.mass.value);
        Ok(WeighInSheet {
            record: record.lineset.name.clone(),
            invented: record.lineset.invented,
            refrigerant: input.refrigerant,
            units,
            headline: headline(&plan, units),
            rows: rows(&plan, weighed, units),
            scale: scale(&plan, cylinder, units),
            blanks: BLANKS.to_vec(),
            cautions: cautions(record, input.refrigerant, &plan),
            command: plan.leaves_cylinder.map(|_| command(hose.is_some())),
            plan,
        })
    }
}

/// What is written down at the scale, in this order.
const BLANKS: [&str; 9] = [
    "date and time",
    "weighed in by, certificate number",
    "refrigerant on the cylinder's label",
    "empty scale before",
    "cylinder before",
    "cylinder afterwards",
    "empty scale afterwards",
    "hose left full: length, bore",
    "mass added, written on the unit's label",
];

fn command(hose: bool) -> String {
    let hose = if hose {
        " --hose-length LENGTH --hose-bore LENGTH"
    } else {
        ""
    };
    format!(
        "lineproof add DIR weighed --cylinder-before MASS --cylinder-after MASS --zero-after MASS{hose} --direction in --by technician"
    )
}

/// A mass as a scale shows it: whole grams, or pounds and tenths of ounces.
pub(super) fn fine(mass: Mass, units: UnitSystem) -> String {
    let grams = mass.in_unit(unit::GRAM).round();
    let tenths = (10.0 * mass.in_unit(unit::OUNCE_MASS)).round();
    let sign = match units {
        UnitSystem::Si if grams < 0.0 => "-",
        UnitSystem::Us if tenths < 0.0 => "-",
        _ => "",
    };
    match units {
        UnitSystem::Si => format!("{sign}{:.0} g", grams.abs()),
        UnitSystem::Us => {
            let tenths = tenths.abs();
            let pounds = (tenths / 160.0).floor();
            let ounces = (tenths - 160.0 * pounds) / 10.0;
            if pounds == 0.0 {
                format!("{sign}{ounces:.1} oz")
            } else {
                format!("{sign}{pounds:.0} lb {ounces:.1} oz")
            }
        }
    }
}

/// The same with its sign always.
pub(super) fn signed(mass: Mass, units: UnitSystem) -> String {
    let text = fine(mass, units);
    if text.starts_with('-') {
        text
    } else {
        format!("+{text}")
    }
}

fn headline(plan: &Plan, units: UnitSystem) -> String {
    let still = fine(plan.still, units);
    let stop = plan.stop_at.map_or_else(String::new, |stop| {
        format!(": stop when the scale shows {}", fine(stop, units))
    });
    match (plan.leaves_cylinder, plan.start) {
        (Some(_), Start::AsItCame) => format!("weigh in {still}{stop}"),
        (Some(_), Start::CameEmpty) => {
            format!("weigh in {still}, as the unit came empty{stop}")
        }
        (Some(_), Start::AfterRecovery) => format!(
            "nobody knows how much is inside: after recovery, repair and evacuation weigh in the whole charge, {still}{stop}"
        ),
        (None, _) if plan.still.si().abs() <= plan.left_as_it_is.si() => format!(
            "nothing to weigh in: {} {}, inside the {} that is left as it is; note it on the unit's label",
            fine(Mass::from_si(plan.still.si().abs()), units),
            if plan.still.si() < 0.0 {
                "over"
            } else {
                "under"
            },
            fine(plan.left_as_it_is, units)
        ),
        (None, _) => format!(
            "nothing to weigh in: {} more is in than belongs in; taking it out is recovery by a certified person, and the unit's instructions may say to leave it",
            fine(Mass::from_si(-plan.still.si()), units)
        ),
    }
}

fn rows(plan: &Plan, weighed: Option<Mass>, units: UnitSystem) -> Vec<WeighInRow> {
    let row = |label: &str, how: String, mass: Mass, sum: bool| WeighInRow {
        label: label.into(),
        how,
        mass: if sum {
            fine(mass, units)
        } else {
            signed(mass, units)
        },
        sum,
    };
    let minus = |mass: Mass| Mass::from_si(-mass.si());
    let line = |line: &Line| row(&line.label, line.expression(units), line.mass, false);
    let mut rows = vec![row(
        "nameplate charge",
        "as on the label".into(),
        plan.nameplate,
        false,
    )];
    rows.extend(plan.adjustment.lines.iter().map(line));
    rows.push(row("belongs in", String::new(), plan.belongs_in, true));
    match plan.start {
        Start::AsItCame => rows.push(row(
            "came in the unit",
            "its nameplate charge".into(),
            minus(plan.nameplate),
            false,
        )),
        Start::CameEmpty => {}
        Start::AfterRecovery => return rows,
    }
    rows.extend(plan.came_in_lines.lines.iter().map(|label| {
        let line = match label.label.as_str() {
            "line" => "the line".to_string(),
            run => format!("the line of {run}"),
        };
        row(
            &format!("came in {line}"),
            label.expression(units),
            minus(label.mass),
            false,
        )
    }));
    rows.extend(weighed.map(|mass| {
        row(
            "weighed in so far",
            "by the record".into(),
            minus(mass),
            false,
        )
    }));
    rows.push(row(
        "still to be weighed in",
        String::new(),
        plan.still,
        true,
    ));
    rows
}

fn scale(
    plan: &Plan,
    cylinder: Option<Cylinder>,
    units: UnitSystem,
) -> Vec<(&'static str, String)> {
    let Some(leaves) = plan.leaves_cylinder else {
        return Vec::new();
    };
    let mut shown = Vec::new();
    if let Some(hose) = &plan.hose {
        shown.push(("hose left full holds", held(hose, units)));
    }
    shown.push(("has to leave the cylinder", fine(leaves, units)));
    if let Some(cylinder) = cylinder {
        shown.push(("cylinder before", fine(cylinder.before, units)));
    }
    match plan.stop_at {
        Some(stop) => shown.push(("stop at", fine(stop, units))),
        None => shown.push((
            "stop at",
            "the cylinder's weight before, less that".to_string(),
        )),
    }
    shown.push(("tared, stop at", fine(Mass::from_si(-leaves.si()), units)));
    shown
}

fn held(hose: &HoseContent, units: UnitSystem) -> String {
    let part = |kg: f64| fine(Mass::from_si(kg), units);
    let (mass, limit) = (hose.mass.si(), hose.limit.si());
    format!(
        "{}, could be {} to {}: it leaves the cylinder and stays out of the unit",
        part(mass),
        part(mass - limit),
        part(mass + limit)
    )
}

fn cautions(record: &Record, refrigerant: Refrigerant, plan: &Plan) -> Vec<(String, SourceId)> {
    let place = Place::of(&record.lineset.place.country);
    let activity = match (plan.leaves_cylinder, plan.start) {
        (None, Start::AsItCame | Start::CameEmpty) => Activity::Recover,
        _ => Activity::Charge,
    };
    let rule = place::rule(place, activity);
    let mut list = vec![
        (rule.cite(), rule.source),
        (
            "the unit's own factor, included length and label win over anything computed here"
                .to_string(),
            SourceId::UnitInstructions,
        ),
    ];
    if plan.leaves_cylinder.is_none() {
        return list;
    }
    let name = refrigerant.name();
    let practice = |text: String| (text, SourceId::CommonPractice);
    if refrigerant.facts().mass_percent.len() > 1 {
        list.push(practice(format!(
            "{name} is a blend: it leaves the cylinder as liquid, never as vapour, or the mixture shifts; into the vapour side only throttled and a little at a time"
        )));
    } else {
        list.push(practice(format!(
            "{name} is no blend: vapour or liquid both do; liquid into the vapour side only throttled and a little at a time"
        )));
    }
    if refrigerant.flammable() {
        list.push((
            format!(
                "{name} is {} and burns: no flame, no switch and no spark near, air moving through the place, a detector at floor level, hoses, pump and recovery machine made for it",
                refrigerant.class().word()
            ),
            SourceId::RefrigerantFacts,
        ));
    }
    list.push(practice(
        "the cylinder is never warmed with a flame, and never stands on the scale with a hose pulling at it".into(),
    ));
    list.push(practice(
        "a hose that is emptied into the unit, the cylinder shut first, takes nothing along: then no correction for the hose".into(),
    ));
    list.push((
        "zero the empty scale before, and look at its zero again afterwards".into(),
        SourceId::ZeroDrift,
    ));
    list
}
