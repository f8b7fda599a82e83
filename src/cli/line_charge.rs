//! `line-charge`: the line-length adjustment, signed, with its arithmetic.

use std::process::ExitCode;

use super::args::{Output, refrigerant, typed};
use super::{Ran, print};
use crate::check::charge::{self, Accessory, Criteria, Run, Tubes};
use crate::fluid::Refrigerant;
use crate::out::json;
use crate::physics::cycle::MeteringPlace;
use crate::physics::tube::Tube;
use crate::quantity::{Length, Mass, MassPerLength, Quantity, Typed, UnitSystem};

/// Line-length adjustment: (installed - included) x the maker's factor, plus accessories; signed.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// Length of the line as installed, one way, e.g. 40ft; repeat for every head or branch
    #[arg(long, value_parser = typed::<Length>, allow_hyphen_values = true, required = true)]
    installed: Vec<Typed<Length>>,
    /// Length the nameplate charge already serves, e.g. 25ft; once for all runs, or once per run
    #[arg(long, value_parser = typed::<Length>, allow_hyphen_values = true, required = true)]
    included: Vec<Typed<Length>>,
    /// The maker's charge per length, e.g. 0.6oz/ft; once for all runs, or once per run
    #[arg(long, value_parser = typed::<MassPerLength>, allow_hyphen_values = true, required = true)]
    factor: Vec<Typed<MassPerLength>>,
    /// Charge that accessories take, e.g. 3oz; may be negative
    #[arg(long, value_parser = signed_mass, allow_hyphen_values = true)]
    accessory: Vec<Typed<Mass>>,
    /// Charge on the nameplate, e.g. "6 lb 10 oz": says which remainder is too small to matter
    #[arg(long, value_parser = typed::<Mass>, allow_hyphen_values = true)]
    nameplate: Option<Typed<Mass>>,
    /// The refrigerant: with the tubes, physics is shown beside the factor
    #[arg(long, value_parser = refrigerant)]
    refrigerant: Option<Refrigerant>,
    /// Liquid line, nominal size in inches, e.g. 3/8
    #[arg(long, value_parser = tube, requires_all = ["vapour_tube", "refrigerant"])]
    liquid_tube: Option<Tube>,
    /// Vapour line, nominal size in inches, e.g. 3/4
    #[arg(long, value_parser = tube, requires_all = ["liquid_tube", "refrigerant"])]
    vapour_tube: Option<Tube>,
    /// Where the metering device sits: indoors or outdoors (outdoors the line holds about half)
    #[arg(long, value_parser = place)]
    metering: Option<MeteringPlace>,
    #[command(flatten)]
    output: Output,
}

const EXAMPLES: &str = "\
Examples:
  lineproof line-charge --installed 40ft --included 25ft --factor 0.6oz/ft
  lineproof line-charge --installed 10m --installed 6m --included 10m --factor 15g/m --units si
  lineproof line-charge --installed 40ft --included 25ft --factor 0.6oz/ft --refrigerant R-410A \\
    --liquid-tube 3/8 --vapour-tube 3/4 --metering indoors";

fn tube(size: &str) -> Result<Tube, crate::physics::tube::TubeError> {
    Tube::annealed(size.trim().trim_end_matches("in").trim())
}

fn place(word: &str) -> Result<MeteringPlace, String> {
    match word {
        "indoors" => Ok(MeteringPlace::Indoors),
        "outdoors" => Ok(MeteringPlace::Outdoors),
        _ => Err(super::new::one_of(word, &["indoors", "outdoors"])),
    }
}

/// A mass that may be taken away.
fn signed_mass(text: &str) -> Result<Typed<Mass>, crate::quantity::ParseError> {
    match text.trim().strip_prefix('-') {
        Some(rest) => {
            let typed = typed::<Mass>(rest)?;
            Ok(Typed {
                value: Mass::from_si(-typed.value.si()),
                text: text.into(),
                echo: typed.echo,
            })
        }
        None => typed(text),
    }
}

/// The entry of a run: its own, or the only one for all.
fn of_run<T>(list: &[T], run: usize, runs: usize, option: &str) -> Result<usize, String> {
    match list.len() {
        1 => Ok(0),
        n if n == runs => Ok(run),
        n => Err(format!(
            "{n} times {option} for {runs} times --installed: give it once for all runs, or once per run"
        )),
    }
}

pub(super) fn run(args: Args) -> Ran {
    let runs = args.installed.len();
    let mut list = Vec::with_capacity(runs);
    for (i, installed) in args.installed.iter().enumerate() {
        list.push(Run {
            name: if runs == 1 {
                "line".into()
            } else {
                format!("run {}", i + 1)
            },
            installed: installed.value,
            included: args.included[of_run(&args.included, i, runs, "--included")?].value,
            factor: args.factor[of_run(&args.factor, i, runs, "--factor")?].value,
            tubes: match (args.liquid_tube, args.vapour_tube) {
                (Some(liquid), Some(vapour)) => Some(Tubes { liquid, vapour }),
                _ => None,
            },
            label: None,
        });
    }
    let accessories: Vec<Accessory> = args
        .accessory
        .iter()
        .map(|a| Accessory {
            name: "accessory".into(),
            mass: a.value,
        })
        .collect();
    let adjustment = charge::adjustment(&list, &accessories);
    if args.output.json {
        print(&json::document(&json::LineCharge {
            line_adjustment: adjustment.total.si(),
        }));
        return Ok(ExitCode::SUCCESS);
    }
    let units = args.output.units();
    let mut page = format!(
        "Line-length adjustment {}.\n\n",
        adjustment.total.show(units)
    );
    for line in &adjustment.lines {
        page += &format!(
            "  {}: {} = {}\n",
            line.label,
            line.expression(units),
            line.mass.show(units)
        );
    }
    page += &remainder(adjustment.total, args.nameplate.as_ref().map(|n| n.value));
    if let Some(refrigerant) = args.refrigerant {
        for run in &list {
            page += &beside(refrigerant, run, args.metering, units)?;
        }
    }
    for caution in charge::CAUTIONS {
        page += &format!("- {}\n", caution.text);
    }
    print(&page);
    Ok(ExitCode::SUCCESS)
}

/// What a positive, a negative and a small adjustment ask for.
fn remainder(total: Mass, nameplate: Option<Mass>) -> String {
    let small = nameplate
        .is_some_and(|n| total.si().abs() <= Criteria::default().small_remainder.si() * n.si());
    let said = if small {
        "It is inside what is left as it is: note it on the unit's label."
    } else if total.si() < 0.0 {
        "Negative: the unit holds more than the line needs. Taking it out is recovery, a certified person's work; the unit's instructions may say to leave it."
    } else if total.si() > 0.0 {
        "To be weighed in beyond the nameplate charge."
    } else {
        "Nothing to add."
    };
    format!("\n{said}\n")
}

/// Physics beside the maker's factor.
fn beside(
    refrigerant: Refrigerant,
    run: &Run,
    metering: Option<MeteringPlace>,
    units: UnitSystem,
) -> Result<String, Box<dyn std::error::Error>> {
    let Some(physics) = charge::physics_beside(refrigerant, run, metering, &Criteria::default())
    else {
        return Ok(String::new());
    };
    let physics = physics?;
    Ok(format!(
        "{}: bore area and density give {}; the factor given is {:+.0} % from that.\n",
        run.name,
        physics.expected.show(units),
        100.0 * physics.differs.si()
    ))
}
