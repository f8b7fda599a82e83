//! `why`: what a code means.

use std::process::ExitCode;

use super::{Ran, print};
use crate::decide;
use crate::out::json;
use crate::out::text::{self, Style};

/// What a code means, what it asks for, where it comes from, and what would undo it.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  lineproof why call-charge-lost")]
pub(super) struct Args {
    /// The code, as it stands in brackets behind a sentence
    code: String,
    /// Print JSON for scripts
    #[arg(long)]
    json: bool,
}

pub(super) fn run(args: Args) -> Ran {
    let typed = args.code.trim().trim_matches(['(', ')']);
    let Some(why) = decide::why(typed) else {
        return Err(unknown(typed).into());
    };
    print(&if args.json {
        json::document(&json::WhyDocument::from(&why))
    } else {
        text::why(&why, Style::Plain)
    });
    Ok(ExitCode::SUCCESS)
}

/// The nearest codes: a slip of the fingers first, then the codes that share a word.
fn unknown(typed: &str) -> String {
    let mut near: Vec<&str> = decide::nearest(typed).into_iter().collect();
    let parts: Vec<&str> = typed.split('-').filter(|part| part.len() > 3).collect();
    let shares = |code: &&str| parts.iter().any(|part| code.split('-').any(|p| p == *part));
    for code in decide::codes().filter(shares) {
        if near.len() < 4 && !near.contains(&code) {
            near.push(code);
        }
    }
    if near.is_empty() {
        return format!(
            "\"{typed}\" is no code: a code stands in brackets behind a sentence of lineproof check DIR --all"
        );
    }
    format!("\"{typed}\" is no code; near it: {}", near.join(", "))
}
