//! `plan`: what a standing pressure test could see, and the card to tape to the unit.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use super::args::{Output, typed};
use super::hold::{HoldArgs, units};
use super::{Ran, print, write};
use crate::check::tight::plan::{self, Card, CardInput};
use crate::check::tight::rehearse::{RehearseError, Setup};
use crate::out::hold_card::HoldCard;
use crate::out::text::{self, Style};
use crate::out::{html, json};
use crate::quantity::{PressureRate, Quantity, Temperature, Typed};
use crate::record::Record;

/// What a standing pressure test could see and how long it takes, before anything is rented.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    #[command(flatten)]
    hold: HoldArgs,
    /// A leak that should be seen, e.g. 0.05psi/h: how long that takes
    #[arg(long, value_parser = typed::<PressureRate>, allow_hyphen_values = true)]
    leak: Option<Typed<PressureRate>>,
    /// Write the card of expected gauge readings to print, as one HTML file; - prints it as text
    #[arg(long, value_name = "FILE.html", conflicts_with = "leak")]
    card: Option<PathBuf>,
    /// For the card: the gas's temperature when it is pumped up [default: the day's mean]
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true, requires = "card")]
    filled_at: Option<Typed<Temperature>>,
    /// For the card: the coldest the gas may become [default: 5 °F under the day's coolest hour]
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true, requires = "card")]
    coldest: Option<Typed<Temperature>>,
    /// For the card: the hottest the gas may become [default: 15 °F over the day's warmest hour]
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true, requires = "card")]
    hottest: Option<Typed<Temperature>>,
    #[command(flatten)]
    output: Output,
}

const EXAMPLES: &str = "\
Examples:
  lineproof plan --at 450psig --gauge-resolution 1psi --outdoor-share 0.7 --swing 15F
  lineproof plan cabin --leak 0.05psi/h
  lineproof plan cabin --at 450psig --filled-at 68F --card card.html";

/// The usual card reaches so far beyond the day, K: a colder night, and the sun on the lines.
const BELOW_K: f64 = 5.0 / 1.8;
const ABOVE_K: f64 = 15.0 / 1.8;

pub(super) fn run(args: Args) -> Ran {
    let record = args.hold.record()?;
    let units = units(&args.output, record.as_ref());
    let setup = args.hold.setup(record.as_ref(), units)?;
    if !setup.gas.is_allowed() {
        return Err(RehearseError::Forbidden {
            gas: setup.gas.word(),
        }
        .into());
    }
    if let Some(path) = &args.card {
        return card(&args, &setup, record.as_ref(), path);
    }
    let criteria = args.hold.criteria();
    let plan = plan::plan(&setup, args.leak.map(|l| l.value), &criteria)?;
    print(&if args.output.json {
        json::document(&json::PlanDocument::of(&plan, units))
    } else {
        text::plan(&plan, &setup, Style::Plain)
    });
    Ok(ExitCode::SUCCESS)
}

fn card(args: &Args, setup: &Setup, record: Option<&Record>, path: &Path) -> Ran {
    let half = 0.5 * setup.swing.si();
    let kelvin = Temperature::from_si;
    let stated = |t: &Option<Typed<Temperature>>| t.as_ref().map(|t| t.value);
    let card: Card = plan::card(&CardInput {
        gas: setup.gas.computed_as(),
        start: setup.start,
        at: stated(&args.filled_at).unwrap_or(setup.outdoor),
        coldest: stated(&args.coldest).unwrap_or(kelvin(setup.outdoor.si() - half - BELOW_K)),
        hottest: stated(&args.hottest).unwrap_or(kelvin(setup.outdoor.si() + half + ABOVE_K)),
        barometer: setup.barometer,
        rated: setup.rated,
        units: setup.units,
    })?;
    if args.output.json {
        print(&json::document(&json::HoldCardDocument::from(&card)));
        return Ok(ExitCode::SUCCESS);
    }
    let named = record.map(|r| (r.lineset.name.as_str(), r.lineset.invented));
    let sheet = HoldCard::of(&card, named);
    if path == Path::new("-") {
        print(&text::hold_card(&sheet, Style::Plain));
    } else {
        write(path, &html::hold_card(&sheet))?;
        print(&format!("The card to print is in {}.\n", path.display()));
    }
    Ok(ExitCode::SUCCESS)
}
