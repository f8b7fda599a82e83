//! `check`, `decide`, `report`: a record judged from end to end.

use std::path::{Path, PathBuf};

use jiff::Zoned;

use super::args::Output;
use super::{Ran, print, verdict_code, warn, write};
use crate::decide::{self, Judgement, Place};
use crate::out::text::{self, Style};
use crate::out::{Sheet, html, json};
use crate::record::Record;

/// Every stage of a record with its outcome, the line that matters, and the next step.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  lineproof check examples/snow-country-flared")]
pub(super) struct CheckArgs {
    /// The record's folder
    folder: PathBuf,
    #[command(flatten)]
    output: Output,
}

/// The one answer for a record, with its reasons, what may run meanwhile, and how soon.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  lineproof decide examples/courtyard-opened --json")]
pub(super) struct DecideArgs {
    /// The record's folder
    folder: PathBuf,
    #[command(flatten)]
    output: Output,
}

/// Writes a record's report as one self-contained HTML file without script.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  lineproof report examples/snow-country-flared --out report.html"
)]
pub(super) struct ReportArgs {
    /// The record's folder
    folder: PathBuf,
    /// The file to write
    #[arg(long, default_value = "report.html")]
    out: PathBuf,
    #[command(flatten)]
    output: Output,
}

fn sheet(folder: &Path, output: &Output) -> Result<Sheet, Box<dyn std::error::Error>> {
    let record = Record::open(folder)?;
    warn(&record);
    let units = output.units_at(Place::of(&record.lineset.place.country));
    let judgement: Judgement = decide::judge(&record, units)?;
    let made_at = Zoned::now().strftime("%Y-%m-%d %H:%M").to_string();
    Ok(Sheet::of(&record, &judgement, made_at, units))
}

/// A page with the record's folder in its commands.
fn in_folder(page: &str, folder: &Path) -> String {
    page.replace(
        "lineproof add DIR ",
        &format!("lineproof add {} ", folder.display()),
    )
}

pub(super) fn check(args: CheckArgs) -> Ran {
    let sheet = sheet(&args.folder, &args.output)?;
    print(&if args.output.json {
        json::document(&json::SheetDocument::from(&sheet))
    } else {
        in_folder(&text::sheet(&sheet, Style::Plain), &args.folder)
    });
    Ok(verdict_code(sheet.decision.verdict))
}

pub(super) fn decide(args: DecideArgs) -> Ran {
    let sheet = sheet(&args.folder, &args.output)?;
    print(&if args.output.json {
        json::document(&json::Decide::from(&sheet.decision))
    } else {
        in_folder(&text::decision(&sheet.decision, Style::Plain), &args.folder)
    });
    Ok(verdict_code(sheet.decision.verdict))
}

pub(super) fn report(args: ReportArgs) -> Ran {
    let sheet = sheet(&args.folder, &args.output)?;
    let page = html::report(&sheet)?;
    write(&args.out, &page)?;
    print(&format!(
        "{}\nThe report is in {}.\n",
        sheet.decision.headline,
        args.out.display()
    ));
    Ok(verdict_code(sheet.decision.verdict))
}
