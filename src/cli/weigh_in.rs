//! `weigh-in`: the sheet a person fills in at the scale.

use std::path::PathBuf;
use std::process::ExitCode;

use super::args::{Output, typed};
use super::{Ran, in_folder, print, warn, write};
use crate::check::charge::{Cylinder, Hose};
use crate::decide::Place;
use crate::out::text::{self, Style};
use crate::out::weigh_in::WeighInSheet;
use crate::out::{html, json};
use crate::quantity::{Length, Mass, Typed};
use crate::record::{Event, EventBody, Record};

/// The sheet for the scale: what belongs in line by line, what is still to be weighed in, where to stop.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// The record's folder
    folder: PathBuf,
    /// What the cylinder weighs before, e.g. "25 lb 2 oz": the sheet says what the scale shows when it is enough
    #[arg(long, value_parser = typed::<Mass>, allow_hyphen_values = true)]
    cylinder_before: Option<Typed<Mass>>,
    /// What the cylinder weighs when empty, as stamped on it
    #[arg(long, value_parser = typed::<Mass>, allow_hyphen_values = true, requires = "cylinder_before")]
    cylinder_empty: Option<Typed<Mass>>,
    /// Length of a hose that will be left full of liquid, e.g. 5ft
    #[arg(long, value_parser = typed::<Length>, allow_hyphen_values = true, requires = "hose_bore")]
    hose_length: Option<Typed<Length>>,
    /// Inside diameter of that hose, e.g. 0.2in
    #[arg(long, value_parser = typed::<Length>, allow_hyphen_values = true, requires = "hose_length")]
    hose_bore: Option<Typed<Length>>,
    #[command(flatten)]
    output: Output,
    /// Write the sheet as a page to print, as one HTML file
    #[arg(long, conflicts_with = "json", value_name = "FILE.html")]
    out: Option<PathBuf>,
}

const EXAMPLES: &str = "\
Examples:
  lineproof weigh-in cabin
  lineproof weigh-in cabin --cylinder-before 9.84kg --hose-length 1.5m --hose-bore 5mm --out sheet.html";

pub(super) fn run(args: Args) -> Ran {
    let record = Record::open(&args.folder)?;
    warn(&record);
    let units = args
        .output
        .units_at(Place::of(&record.lineset.place.country));
    let events = record.in_order();
    let input = record
        .charge_input(&events)?
        .ok_or_else(|| lacks(&record))?;
    if input.weighed_in.is_none()
        && input.incidents.is_empty()
        && let Some(charged) = charged(&events)
    {
        return Err(charged.into());
    }
    let cylinder = args.cylinder_before.map(|before| Cylinder {
        before: before.value,
        empty: args.cylinder_empty.map(|empty| empty.value),
    });
    let hose = match (args.hose_length, args.hose_bore) {
        (Some(length), Some(bore)) => Some(Hose::new(length.value, bore.value)?),
        _ => None,
    };
    let sheet = WeighInSheet::of(&record, &input, cylinder, hose, units)?;
    if let Some(path) = &args.out {
        write(path, &html::weigh_in(&sheet))?;
        print(&format!("The sheet to print is in {}.\n", path.display()));
        return Ok(ExitCode::SUCCESS);
    }
    print(&if args.output.json {
        json::document(&json::WeighInDocument::from(&sheet))
    } else {
        in_folder(&text::weigh_in(&sheet, Style::Plain), &args.folder)
    });
    Ok(ExitCode::SUCCESS)
}

/// A technician's charge stands for itself; none where there was none.
fn charged(events: &[&Event]) -> Option<String> {
    events.iter().rev().find_map(|event| match &event.body {
        EventBody::TechnicianVisit(visit) => Some(format!(
            "a technician charged {} on {}, and that stands: there is nothing to weigh in; \"lineproof check\" has the record's answer",
            visit.charged.as_ref()?.text(),
            event.at.civil().date()
        )),
        _ => None,
    })
}

/// What the facts lack, by name.
pub(super) fn lacks(record: &Record) -> String {
    let equipment = &record.lineset.equipment;
    let lines = &record.lineset.line_set;
    let runs = !lines.runs.is_empty();
    let list = [
        ("equipment.refrigerant", equipment.refrigerant.is_none()),
        (
            "equipment.nameplate_charge",
            equipment.nameplate_charge.is_none(),
        ),
        (
            "equipment.included_length",
            equipment.included_length.is_none()
                && lines.runs.iter().all(|r| r.included_length.is_none()),
        ),
        (
            "equipment.charge_factor",
            equipment.charge_factor.is_none()
                && (!runs || lines.runs.iter().any(|r| r.charge_factor.is_none())),
        ),
        ("line_set.liquid", !runs && lines.liquid.is_none()),
    ];
    let lacking: Vec<&str> = list
        .into_iter()
        .filter_map(|(name, lacks)| lacks.then_some(name))
        .collect();
    format!(
        "lineset.toml does not say {}: how much belongs in cannot be told; add it there, from the unit's label and instructions",
        lacking.join(", ")
    )
}
