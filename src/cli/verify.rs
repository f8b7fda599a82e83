//! `verify`: whether a record is still the one that was written.

use std::path::PathBuf;
use std::process::ExitCode;

use super::{Ran, print};
use crate::out::json;
use crate::out::text::{self, Style};
use crate::record;

/// Whether a record is still the one that was written: intact, edited or torn, line by line and file by file.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Exit codes: 0 intact; 1 edited, torn or missing; 2 could not run.

Example:
  lineproof verify examples/snow-country-flared")]
pub(super) struct Args {
    /// The record's folder
    folder: PathBuf,
    /// Print JSON for scripts
    #[arg(long)]
    json: bool,
}

pub(super) fn run(args: Args) -> Ran {
    let found = record::verify(&args.folder)?;
    print(&if args.json {
        json::document(&json::VerifiedDocument::from(&found))
    } else {
        text::verification(&found, Style::Plain)
    });
    Ok(if found.intact() {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(1)
    })
}
