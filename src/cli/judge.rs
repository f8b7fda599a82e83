//! `check`, `decide`, `report`: a record judged from end to end.

use std::io::Write;
use std::path::{Path, PathBuf};

use jiff::Zoned;

use super::args::Output;
use super::{Ran, in_folder, print, verdict_code, warn, writable, write};
use crate::decide::{self, Judgement, Place};
use crate::out::personal::{self, PersonalKind, Preview};
use crate::out::text::{self, Style};
use crate::out::{Sheet, html, json};
use crate::quantity::UnitSystem;
use crate::record::Record;

/// A record summed up on one screen: the answer, every stage with the line that matters, the next command.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  lineproof check examples/snow-country-flared\n  lineproof check examples/snow-country-flared --all"
)]
pub(super) struct CheckArgs {
    /// The record's folder
    folder: PathBuf,
    /// Print the whole sheet: grounds, joints, what the tests could not have seen, sources
    #[arg(long)]
    all: bool,
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
///
/// Nothing is sent anywhere. --preview lists what the report would tell of a person, a place or a thing; --without
/// leaves such facts out, and the report then says so on its first page. An event is never left out.
#[derive(Debug, clap::Args)]
#[command(after_help = REPORT_EXAMPLES)]
pub(super) struct ReportArgs {
    /// The record's folder
    folder: PathBuf,
    /// The file to write
    #[arg(long, default_value = "report.html")]
    out: PathBuf,
    /// List what the report would tell of you, and write nothing
    #[arg(long)]
    preview: bool,
    /// Leave out personal facts: name, address, serials, warranty, photos, notes; separated by commas
    #[arg(long, value_name = "KINDS", value_delimiter = ',', value_parser = kind)]
    without: Vec<PersonalKind>,
    #[command(flatten)]
    output: Output,
}

const REPORT_EXAMPLES: &str = "\
Examples:
  lineproof report examples/snow-country-flared --preview
  lineproof report examples/snow-country-flared --without serials,notes --out report.html";

fn kind(word: &str) -> Result<PersonalKind, String> {
    let words = PersonalKind::ALL.map(PersonalKind::word);
    PersonalKind::ALL
        .into_iter()
        .find(|kind| kind.word() == word)
        .ok_or_else(|| super::new::one_of(word, &words))
}

/// A record that was opened, with its answer.
struct Opened {
    record: Record,
    judgement: Judgement,
    units: UnitSystem,
}

impl Opened {
    fn of(folder: &Path, output: &Output) -> Result<Self, Box<dyn std::error::Error>> {
        let record = Record::open(folder)?;
        warn(&record);
        let units = output.units_at(Place::of(&record.lineset.place.country));
        let judgement = decide::judge(&record, units)?;
        Ok(Opened {
            record,
            judgement,
            units,
        })
    }

    fn sheet(&self, without: &[PersonalKind]) -> Sheet {
        let made_at = Zoned::now().strftime("%Y-%m-%d %H:%M").to_string();
        let record = personal::without(&self.record, without);
        Sheet {
            left_out: without.to_vec(),
            ..Sheet::of(&record, &self.judgement, made_at, self.units)
        }
    }
}

pub(super) fn check(args: CheckArgs) -> Ran {
    let sheet = Opened::of(&args.folder, &args.output)?.sheet(&[]);
    print(&if args.output.json {
        json::document(&json::SheetDocument::from(&sheet))
    } else if args.all {
        in_folder(&text::sheet(&sheet, Style::Plain), &args.folder)
    } else {
        in_folder(&text::summary(&sheet, Style::Plain), &args.folder)
    });
    Ok(verdict_code(sheet.decision.verdict))
}

pub(super) fn decide(args: DecideArgs) -> Ran {
    let decision = Opened::of(&args.folder, &args.output)?.judgement.decision;
    print(&if args.output.json {
        json::document(&json::Decide::from(&decision))
    } else {
        in_folder(&text::decision(&decision, Style::Plain), &args.folder)
    });
    Ok(verdict_code(decision.verdict))
}

pub(super) fn report(args: ReportArgs) -> Ran {
    let opened = Opened::of(&args.folder, &args.output)?;
    let tells = Preview::of(&personal::without(&opened.record, &args.without));
    let verdict = opened.judgement.decision.verdict;
    if args.preview {
        print(&if args.output.json {
            json::document(&json::PreviewDocument::from(&tells))
        } else {
            in_folder(&text::preview(&tells, Style::Plain), &args.folder)
        });
        return Ok(verdict_code(verdict));
    }
    let sheet = opened.sheet(&args.without);
    let page = html::report(&sheet)?;
    writable(&args.out)?;
    // said before the page is written, so that nobody is surprised by what it holds
    if !args.output.json {
        // beside the result, as notes are
        let said = in_folder(&text::before_report(&tells), &args.folder);
        let _ = std::io::stderr().write_all(said.as_bytes());
    }
    write(&args.out, &page)?;
    print(&if args.output.json {
        json::document(&json::PreviewDocument::from(&tells))
    } else {
        format!(
            "{}\nThe report is in {}.\n",
            sheet.decision.headline,
            args.out.display()
        )
    });
    Ok(verdict_code(verdict))
}
