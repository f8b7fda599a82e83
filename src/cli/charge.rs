//! `charge`: how much is in, how much could be gone, whether it matters.

use std::path::PathBuf;

use super::args::Output;
use super::weigh_in::lacks;
use super::{Ran, in_folder, outcome_code, print, warn};
use crate::check::Stage;
use crate::decide::{self, Place};
use crate::out::charge::ChargeSheet;
use crate::out::json;
use crate::out::text::{self, Style};
use crate::record::Record;

/// How much is in and how much could be gone, whether it matters, whether it may run, and what a technician brings.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  lineproof charge examples/fjord-winter")]
pub(super) struct Args {
    /// The record's folder
    folder: PathBuf,
    #[command(flatten)]
    output: Output,
}

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
    let judgement = decide::judge(&record, units)?;
    let finding = judgement
        .findings
        .iter()
        .find(|f| f.stage == Stage::Charge)
        .expect("every stage has its finding");
    let sheet = ChargeSheet::of(&record, &input, finding, &judgement.decision, units);
    print(&if args.output.json {
        json::document(&json::ChargeDocument::from(&sheet))
    } else {
        in_folder(&text::charge(&sheet, Style::Plain), &args.folder)
    });
    Ok(outcome_code(sheet.outcome))
}
