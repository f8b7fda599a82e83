//! `target`: superheat of a fixed orifice, and temperature split, at the conditions read.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Subcommand, ValueEnum};

use super::args::{Output, reading, thermometer_limit, typed};
use super::{Ran, outcome_code, print};
use crate::check::Outcome;
use crate::check::run::Criteria;
use crate::check::run::target::{
    Axis, Looked, SuperheatRule, TargetTable, common_practice_superheat, target_split,
    target_superheat,
};
use crate::out::json;
use crate::quantity::{Measured, Quantity, Temperature, TemperatureDiff, Typed, UnitSystem, both};
use crate::source::SourceId;

/// What a reading should be at the conditions read.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    #[command(subcommand)]
    of: Of,
}

const EXAMPLES: &str = "\
Examples:
  lineproof target superheat --outdoor 85F --return-wet-bulb 63F
  lineproof target superheat --outdoor 85F --return-wet-bulb 63F --table charging-table.csv
  lineproof target superheat --outdoor 85F --return-wet-bulb 63F --rule common-practice
  lineproof target split --return-air 76F --return-wet-bulb 63F";

#[derive(Debug, Subcommand)]
enum Of {
    /// Superheat of a fixed orifice; the unit's own table or instructions win over any other
    Superheat(SuperheatArgs),
    /// Temperature split: return less supply air of a cooling coil
    Split(SplitArgs),
}

#[derive(Debug, clap::Args)]
struct SuperheatArgs {
    /// Air entering the outdoor unit, e.g. 85F
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true)]
    outdoor: Option<Typed<Temperature>>,
    /// Wet bulb of the return air, e.g. 63F
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true)]
    return_wet_bulb: Option<Typed<Temperature>>,
    /// Return air, where the unit's own table asks for it
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true)]
    return_air: Option<Typed<Temperature>>,
    /// The unit's own table as CSV: outdoor_F,wb_62,... and a line for each outdoor temperature; a dash where it has one
    #[arg(long, value_name = "FILE", conflicts_with = "rule")]
    table: Option<PathBuf>,
    /// What gives the target where the unit prints none
    #[arg(long, value_enum, default_value = "published-table")]
    rule: Rule,
    #[command(flatten)]
    thermometer: Thermometer,
    #[command(flatten)]
    output: Output,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum Rule {
    /// The published table
    PublishedTable,
    /// (3 WB - 80 - DB)/2 in °F: common practice, no source
    CommonPractice,
}

impl From<Rule> for SuperheatRule {
    fn from(rule: Rule) -> Self {
        match rule {
            Rule::PublishedTable => SuperheatRule::PublishedTable,
            Rule::CommonPractice => SuperheatRule::CommonPractice,
        }
    }
}

#[derive(Debug, clap::Args)]
struct SplitArgs {
    /// Return air, e.g. 76F
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true)]
    return_air: Typed<Temperature>,
    /// Wet bulb of the return air, e.g. 63F
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true)]
    return_wet_bulb: Typed<Temperature>,
    #[command(flatten)]
    thermometer: Thermometer,
    #[command(flatten)]
    output: Output,
}

#[derive(Debug, clap::Args)]
struct Thermometer {
    /// Limit of error of each thermometer
    #[arg(long, value_parser = typed::<TemperatureDiff>, allow_hyphen_values = true, default_value = thermometer_limit())]
    thermometer_limit: Typed<TemperatureDiff>,
}

impl Thermometer {
    fn read(&self, typed: &Typed<Temperature>) -> Measured<Temperature> {
        reading("thermometer", self.thermometer_limit.value, typed.value)
    }
}

/// The unit's own table of targets in a file.
pub(super) fn read_table(path: &Path) -> Result<TargetTable, String> {
    let shown = path.display();
    let text = std::fs::read_to_string(path).map_err(|e| {
        format!("{shown}: cannot be read ({e}); check the name and that it is text")
    })?;
    TargetTable::parse(&text, SourceId::UnitInstructions).map_err(|e| format!("{shown}: {e}"))
}

pub(super) fn run(args: Args) -> Ran {
    match args.of {
        Of::Superheat(args) => superheat(&args),
        Of::Split(args) => split(&args),
    }
}

fn superheat(args: &SuperheatArgs) -> Ran {
    let table = args.table.as_deref().map(read_table).transpose()?;
    let axes = table
        .as_ref()
        .map_or([Axis::Outdoor, Axis::ReturnWetBulb], TargetTable::axes);
    let [row, column] = [read(args, axes[0])?, read(args, axes[1])?];
    let looked = match (&table, args.rule) {
        (Some(table), _) => table.look_up(&row, &column)?,
        (None, Rule::PublishedTable) => target_superheat(&row, &column)?,
        (None, Rule::CommonPractice) => common_practice_superheat(&row, &column)?,
    };
    if args.output.json {
        print(&json::document(&json::TargetDocument::of(
            "superheat",
            &looked,
        )));
        return Ok(code(&looked));
    }
    let mut text = told("superheat", &looked, args.output.units());
    if let Some(table) = &table {
        for cell in table.cells_out_of_order() {
            text += &format!(
                "The cell at {cell} breaks the order of the table: compare it with the print; nothing is interpolated through it.\n"
            );
        }
    }
    let small = Criteria::default().least_target_superheat;
    if let Looked::Target(target) = &looked
        && target.value < small
    {
        text += &format!(
            "Below {} there is no valid test: wait for other weather.\n",
            both(small)
        );
    }
    text += "It is for a fixed orifice in cooling, after airflow is right; a valve holds its superheat at any charge. The unit's own table wins.\n";
    print(&(text + &source(&looked)));
    Ok(code(&looked))
}

fn read(args: &SuperheatArgs, axis: Axis) -> Result<Measured<Temperature>, String> {
    let (typed, flag) = match axis {
        Axis::Outdoor => (&args.outdoor, "--outdoor"),
        Axis::ReturnAir => (&args.return_air, "--return-air"),
        Axis::ReturnWetBulb => (&args.return_wet_bulb, "--return-wet-bulb"),
    };
    let typed = typed
        .as_ref()
        .ok_or_else(|| format!("the target hangs on the {}: give {flag}", axis.words()))?;
    Ok(args.thermometer.read(typed))
}

fn split(args: &SplitArgs) -> Ran {
    let back = args.thermometer.read(&args.return_air);
    let wet = args.thermometer.read(&args.return_wet_bulb);
    let looked = target_split(&back, &wet)?;
    if args.output.json {
        print(&json::document(&json::TargetDocument::of("split", &looked)));
        return Ok(code(&looked));
    }
    let mut text = told("split", &looked, args.output.units());
    text += "Return less supply air, cooling, after 15 min. A larger split would look like low airflow; a smaller one like little capacity: it does not say why.\n";
    print(&(text + &source(&looked)));
    Ok(code(&looked))
}

fn told(name: &str, looked: &Looked, units: UnitSystem) -> String {
    let target = match looked {
        Looked::NoTest { .. } => {
            return format!(
                "No target {name}: the table has a dash at these conditions, no test is valid there.\n"
            );
        }
        Looked::Target(target) => target,
    };
    let mut text = format!("Target {name} {}.\n", target.interval().show(units));
    let variance = target.standard_uncertainty.si().powi(2);
    if let Some((part, by)) = target.parts.first().filter(|_| variance > 0.0) {
        text += &format!(
            "{:.0} % of the range comes from the {part}; {}.\n",
            100.0 * by.si().powi(2) / variance,
            if target.source == SourceId::SuperheatFormula {
                "the rule itself lies up to 6.5 °F (3.6 K) from the published table"
            } else {
                "the table's own error is not in it"
            }
        );
    }
    text
}

/// A dash is *not valid now*.
fn code(looked: &Looked) -> ExitCode {
    match looked {
        Looked::Target(_) => ExitCode::SUCCESS,
        Looked::NoTest { .. } => outcome_code(Outcome::NotValidNow),
    }
}

fn source(looked: &Looked) -> String {
    let source = match looked {
        Looked::Target(target) => target.source,
        Looked::NoTest { source } => *source,
    };
    format!("Source: {}.\n", source.cite())
}
