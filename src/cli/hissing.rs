//! `hissing`: the card for the moment gas is heard.

use std::path::PathBuf;
use std::process::ExitCode;

use super::{Ran, print, write};
use crate::out::html;
use crate::out::text::{self, Style};

/// What to do when gas is heard: one card, no questions.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  lineproof hissing
  lineproof hissing --out card.html   one sheet in big letters, to hang beside the unit")]
pub(super) struct Args {
    /// Write the card as a page to print, as one HTML file
    #[arg(long, value_name = "FILE.html")]
    out: Option<PathBuf>,
}

pub(super) fn run(args: Args) -> Ran {
    match &args.out {
        None => print(&text::hissing(Style::Plain)),
        Some(path) => {
            write(path, &html::hissing_card())?;
            print(&format!("The card to print is in {}.\n", path.display()));
        }
    }
    Ok(ExitCode::SUCCESS)
}
