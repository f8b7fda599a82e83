//! `table`: a refrigerant's saturation in rows, to read, to compute with or to print.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::ValueEnum;

use super::args::{Atmosphere, Output, refrigerant};
use super::{Ran, print, write};
use crate::fluid::{Refrigerant, Saturation};
use crate::out::figure::PressureEnthalpy;
use crate::out::table::{SaturationTable, Steps};
use crate::out::{html, json};
use crate::quantity::{self, ParseError, PressureGauge, Quantity, Temperature};

/// Bubble and dew of a refrigerant in rows: as text, as CSV, or as one page to print.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// The refrigerant, e.g. R-410A
    #[arg(value_parser = refrigerant)]
    refrigerant: Refrigerant,
    /// What each row begins with; taken from the rows' ends when not given, else temperature
    #[arg(long, value_enum)]
    by: Option<By>,
    /// The first row, e.g. -20F, or 50psig by pressure; the usual range of a heat pump when not given
    #[arg(long, allow_hyphen_values = true)]
    from: Option<String>,
    /// The last row, e.g. 120F, or 450psig by pressure
    #[arg(long, allow_hyphen_values = true)]
    to: Option<String>,
    /// From row to row, e.g. 2F, or 5psi by pressure [default: 5 °F or 2 K, or a round pressure]
    #[arg(long, allow_hyphen_values = true)]
    step: Option<String>,
    #[command(flatten)]
    atmosphere: Atmosphere,
    #[command(flatten)]
    output: Output,
    /// Print CSV, for a spreadsheet
    #[arg(long, conflicts_with_all = ["json", "out"])]
    csv: bool,
    /// Write a page to print, as one HTML file
    #[arg(long, conflicts_with = "json", value_name = "FILE.html")]
    out: Option<PathBuf>,
    /// Put the pressure-enthalpy diagram on a second sheet of the page
    #[arg(long, requires = "out")]
    with_diagram: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum By {
    /// Rows at temperatures, with their gauge pressures
    Temperature,
    /// Rows at gauge pressures, with their temperatures
    Pressure,
}

const EXAMPLES: &str = "\
Examples:
  lineproof table R-454B --altitude 6000ft
  lineproof table R-410A --from 100psig --to 150psig --step 2psi
  lineproof table R-32 --units si --csv
  lineproof table R-454B --by pressure --altitude 6000ft --out R-454B.html";

pub(super) fn run(args: Args) -> Ran {
    let table = made(&args)?;
    if let Some(path) = &args.out {
        return page(&args, &table, path);
    }
    print(&if args.output.json {
        json::document(&json::SaturationRows::from(&table))
    } else if args.csv {
        table.csv()
    } else {
        table.text()
    });
    Ok(ExitCode::SUCCESS)
}

fn made(args: &Args) -> Result<SaturationTable, Box<dyn std::error::Error>> {
    let saturation = Saturation::of(args.refrigerant);
    let barometer = args.atmosphere.barometer()?;
    let units = args.output.units();
    let table = match by(args) {
        By::Temperature => {
            let usual = Steps::<Temperature>::usual(saturation, units);
            let steps = Steps {
                from: value("--from", &args.from)?.unwrap_or(usual.from),
                to: value("--to", &args.to)?.unwrap_or(usual.to),
                step: value("--step", &args.step)?.unwrap_or(usual.step),
            };
            SaturationTable::by_temperature(saturation, &steps, barometer, units)?
        }
        By::Pressure => {
            let usual = Steps::<PressureGauge>::usual(saturation, barometer, units)?;
            let from = gauge("--from", &args.from)?.unwrap_or(usual.from);
            let to = gauge("--to", &args.to)?.unwrap_or(usual.to);
            let round = Steps::<PressureGauge>::round_step(from, to, units);
            let step = value("--step", &args.step)?.unwrap_or(round);
            let steps = Steps { from, to, step };
            SaturationTable::by_pressure(saturation, &steps, barometer, units)?
        }
    };
    Ok(table)
}

/// What was asked for, or what the ends of the rows are typed in.
fn by(args: &Args) -> By {
    let mut ends = args.from.iter().chain(&args.to);
    let pressures = ends.any(|end| quantity::parse_gauge(end).is_ok());
    args.by.unwrap_or(if pressures {
        By::Pressure
    } else {
        By::Temperature
    })
}

/// A value as typed, whose kind depends on what the rows begin with.
fn value<Q: Quantity>(option: &str, typed: &Option<String>) -> Result<Option<Q>, String> {
    read(option, typed, |text| Ok(quantity::parse(text)?.value))
}

fn gauge(option: &str, typed: &Option<String>) -> Result<Option<PressureGauge>, String> {
    read(option, typed, |text| Ok(quantity::parse_gauge(text)?.value))
}

fn read<Q>(
    option: &str,
    typed: &Option<String>,
    parse: impl Fn(&str) -> Result<Q, ParseError>,
) -> Result<Option<Q>, String> {
    let named = |error| format!("{option} {error}");
    typed.as_deref().map(parse).transpose().map_err(named)
}

fn page(args: &Args, table: &SaturationTable, path: &Path) -> Ran {
    let units = args.output.units();
    let diagram = args
        .with_diagram
        .then(|| PressureEnthalpy::of(args.refrigerant, units, &[]));
    let page = html::chart(table, diagram.as_ref())?;
    write(path, &page)?;
    print(&format!("The page to print is in {}.\n", path.display()));
    Ok(ExitCode::SUCCESS)
}
