//! `line-charge`: the line-length adjustment with its arithmetic.

use std::process::ExitCode;

use super::args::{Output, refrigerant, typed, word};
use super::new::field;
use super::{Ran, print};
use crate::check::charge::{self, Accessory, Adjustment, Criteria, LineLabel, Run, Shipped, Tubes};
use crate::fluid::Refrigerant;
use crate::out::json;
use crate::physics::cycle::MeteringPlace;
use crate::physics::tube::{Tube, TubeError};
use crate::quantity::{Length, Mass, MassPerLength, Quantity, Typed, UnitSystem};
use crate::record::{self, AsTyped, SignedMass};

/// Line-length adjustment: (installed - included) x the maker's factor, plus accessories; signed.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// Length of the line as installed, one way, e.g. 40ft; repeat for every head or branch, with its
    /// liquid line's size in front where sizes differ: 3/8:14m, or 1/4:none for a port without a head
    #[arg(long, value_parser = Installed::read, allow_hyphen_values = true, required = true)]
    installed: Vec<Installed>,
    /// Length the nameplate charge already serves, e.g. 25ft; once for all runs, or once per run
    #[arg(long, value_parser = typed::<Length>, allow_hyphen_values = true, required = true)]
    included: Vec<Typed<Length>>,
    /// The maker's charge per length, e.g. 0.6oz/ft; once for all runs, once per run, or by size: 1/4:15g/m
    #[arg(long, value_parser = Factor::read, allow_hyphen_values = true, required = true)]
    factor: Vec<Factor>,
    /// Charge that an accessory takes, e.g. 3oz or drier=3oz; may be negative
    #[arg(long, value_parser = accessory, allow_hyphen_values = true)]
    accessory: Vec<Accessory>,
    /// What a pre-charged line's own label states: a mass, a charge per length, or the length it was filled
    /// for; once per run, or none
    #[arg(long, value_parser = label, allow_hyphen_values = true)]
    label: Vec<Option<LineLabel>>,
    /// Charge on the nameplate, e.g. "6 lb 10 oz": says which remainder is too small to matter
    #[arg(long, value_parser = typed::<Mass>, allow_hyphen_values = true)]
    nameplate: Option<Typed<Mass>>,
    /// How the unit came: charged or empty, when the nameplate charge is weighed in too
    #[arg(long, default_value = "charged", value_parser = record_shipped, requires = "nameplate")]
    shipped: Shipped,
    /// The refrigerant: with the tubes, physics is shown beside the factor
    #[arg(long, value_parser = refrigerant)]
    refrigerant: Option<Refrigerant>,
    /// Liquid line, nominal size in inches, e.g. 3/8, of the runs without a size of their own
    #[arg(long, value_parser = tube, requires_all = ["vapour_tube", "refrigerant"])]
    liquid_tube: Option<Tube>,
    /// Vapour line, nominal size in inches, e.g. 3/4; once for all runs, or once per run
    #[arg(long, value_parser = tube, requires = "refrigerant")]
    vapour_tube: Vec<Tube>,
    /// Where the metering device sits: indoors or outdoors (outdoors the line holds about half)
    #[arg(long, value_parser = place)]
    metering: Option<MeteringPlace>,
    #[command(flatten)]
    output: Output,
}

const EXAMPLES: &str = "\
Examples:
  lineproof line-charge --installed 40ft --included 25ft --factor 0.6oz/ft
  lineproof line-charge --installed 1/4:10m --installed 1/4:none --installed 3/8:14m --included 10m \\
    --factor 1/4:15g/m --factor 3/8:30g/m --units si
  lineproof line-charge --installed 40ft --included 25ft --factor 0.6oz/ft --refrigerant R-410A \\
    --liquid-tube 3/8 --vapour-tube 3/4 --metering indoors
Where one length is included for all runs together: --included 0m, and --accessory \"included=-600g\",
the factor times that length.";

/// A size of the liquid line, as typed and as a tube.
#[derive(Debug, Clone)]
struct Size {
    name: String,
    tube: Tube,
}

impl Size {
    /// What stands in front of a colon, and the rest.
    fn split(text: &str) -> Result<(Option<Size>, &str), TubeError> {
        match text.split_once(':') {
            Some((name, rest)) => Ok((
                Some(Size {
                    name: name.trim().into(),
                    tube: tube(name)?,
                }),
                rest.trim(),
            )),
            None => Ok((None, text.trim())),
        }
    }
}

/// A run as typed: `40ft`, `3/8:14m`, `1/4:none`.
#[derive(Debug, Clone)]
struct Installed {
    size: Option<Size>,
    /// None: no head is connected.
    length: Option<Length>,
}

impl Installed {
    fn read(text: &str) -> Result<Self, String> {
        let (size, rest) = Size::split(text).map_err(|e| e.to_string())?;
        let length = match rest {
            "none" => None,
            _ => {
                let read = typed::<Length>(rest).map_err(|e| e.to_string())?;
                if read.value.si() == 0.0 {
                    return Err(format!(
                        "\"{text}\": a run has a length; type none for a port without a head"
                    ));
                }
                Some(read.value)
            }
        };
        Ok(Installed { size, length })
    }

    fn name(&self, number: usize, of: usize) -> String {
        let name = if of == 1 {
            "line".to_string()
        } else {
            format!("run {number}")
        };
        let size = self.size.as_ref().map(|s| s.name.as_str());
        match (size, self.length) {
            (Some(size), Some(_)) => format!("{name} ({size})"),
            (Some(size), None) => format!("{name} ({size}, no head)"),
            (None, Some(_)) => name,
            (None, None) => format!("{name} (no head)"),
        }
    }
}

/// A factor as typed: `0.6oz/ft`, or of a size: `1/4:15g/m`.
#[derive(Debug, Clone)]
struct Factor {
    size: Option<Size>,
    value: MassPerLength,
}

impl Factor {
    fn read(text: &str) -> Result<Self, String> {
        let (size, rest) = Size::split(text).map_err(|e| e.to_string())?;
        let value = typed::<MassPerLength>(rest).map_err(|e| e.to_string())?;
        Ok(Factor {
            size,
            value: value.value,
        })
    }
}

fn tube(size: &str) -> Result<Tube, TubeError> {
    Tube::annealed(size.trim().trim_end_matches("in").trim())
}

fn place(word: &str) -> Result<MeteringPlace, String> {
    match word {
        "indoors" => Ok(MeteringPlace::Indoors),
        "outdoors" => Ok(MeteringPlace::Outdoors),
        _ => Err(super::new::one_of(word, &["indoors", "outdoors"])),
    }
}

fn record_shipped(text: &str) -> Result<Shipped, String> {
    let read = word!(Shipped);
    Ok(match read(text)? {
        record::Shipped::Charged => Shipped::Charged,
        record::Shipped::Empty => Shipped::Empty,
    })
}

/// `3oz`, or with its name `drier=3oz`.
fn accessory(text: &str) -> Result<Accessory, String> {
    let (name, mass) = text.split_once('=').unwrap_or(("accessory", text));
    let mass = field::<SignedMass>(mass).map_err(|e| e.to_string())?;
    Ok(Accessory {
        name: name.trim().into(),
        mass: mass.value().0,
    })
}

/// What a line's label states, or `none`.
fn label(text: &str) -> Result<Option<LineLabel>, String> {
    if text.trim() == "none" {
        return Ok(None);
    }
    let label: AsTyped<LineLabel> = field(text).map_err(|_| {
        format!(
            "\"{text}\" is no line's label: type the mass that came in it, a charge per length or the length it was filled for, for example 180g, 17g/m or 25ft; or none"
        )
    })?;
    Ok(Some(label.value()))
}

/// The entry of a run: its own, or the only one for all.
fn of_run<'a, T>(list: &'a [T], run: usize, runs: usize, option: &str) -> Result<&'a T, String> {
    match list.len() {
        1 => Ok(&list[0]),
        n if n == runs => Ok(&list[run]),
        n => Err(format!(
            "{n} times {option} for {runs} times --installed: give it once for all runs, or once per run"
        )),
    }
}

impl Args {
    /// The factor of a run: that of its size, else its own, else the only one.
    fn factor(&self, run: usize) -> Result<MassPerLength, String> {
        if self.factor.iter().all(|factor| factor.size.is_none()) {
            let runs = self.installed.len();
            return Ok(of_run(&self.factor, run, runs, "--factor")?.value);
        }
        let Some(size) = &self.installed[run].size else {
            return Err(format!(
                "--factor is given by size, and run {} has no size: type it in front of its length, like 3/8:14m",
                run + 1
            ));
        };
        let mut of_size = self
            .factor
            .iter()
            .filter(|f| f.size.as_ref().is_some_and(|s| s.tube == size.tube));
        match (of_size.next(), of_size.next()) {
            (Some(factor), None) => Ok(factor.value),
            (Some(_), Some(_)) => Err(format!("--factor is given twice for {}", size.name)),
            (None, _) => Err(format!(
                "no --factor for the liquid line {0}: add one like --factor {0}:15g/m",
                size.name
            )),
        }
    }

    fn runs(&self) -> Result<Vec<Run>, String> {
        let runs = self.installed.len();
        let labels = match self.label.len() {
            0 => vec![None; runs],
            n if n == runs => self.label.clone(),
            n => {
                return Err(format!(
                    "{n} times --label for {runs} times --installed: give it once per run, none for a run without"
                ));
            }
        };
        self.installed
            .iter()
            .zip(labels)
            .enumerate()
            .map(|(i, (typed, label))| {
                let liquid = typed.size.as_ref().map(|s| s.tube).or(self.liquid_tube);
                let tubes = match (liquid, self.vapour_tube.is_empty()) {
                    (Some(liquid), false) => Some(Tubes {
                        liquid,
                        vapour: *of_run(&self.vapour_tube, i, runs, "--vapour-tube")?,
                    }),
                    _ => None,
                };
                Ok(Run {
                    name: typed.name(i + 1, runs),
                    installed: typed.length.unwrap_or(Length::from_si(0.0)),
                    included: of_run(&self.included, i, runs, "--included")?.value,
                    factor: self.factor(i)?,
                    tubes,
                    label,
                })
            })
            .collect()
    }
}

pub(super) fn run(args: Args) -> Ran {
    let runs = args.runs()?;
    let adjustment = charge::adjustment(&runs, &args.accessory);
    let in_lines = charge::came_in_lines(&runs);
    let nameplate = args.nameplate.as_ref().map(|n| n.value);
    let result = json::LineCharge::new(&adjustment, &in_lines, nameplate, args.shipped);
    if args.output.json {
        print(&json::document(&result));
        return Ok(ExitCode::SUCCESS);
    }
    let units = args.output.units();
    let mut page = format!(
        "Line-length adjustment {}.\n\n{}",
        adjustment.total.show(units),
        lines(&adjustment, units)
    );
    if !in_lines.lines.is_empty() {
        page += &format!(
            "\nCame in the line, counts as already in: {}.\n\n{}",
            in_lines.total.show(units),
            lines(&in_lines, units)
        );
    }
    page += &asks_for(
        Mass::from_si(result.to_weigh_in),
        nameplate,
        args.shipped,
        !in_lines.lines.is_empty(),
        units,
    );
    if let Some(refrigerant) = args.refrigerant {
        for run in &runs {
            page += &beside(refrigerant, run, args.metering, units)?;
        }
    }
    for caution in charge::CAUTIONS {
        page += &format!("- {}\n", caution.text);
    }
    print(&page);
    Ok(ExitCode::SUCCESS)
}

fn lines(adjustment: &Adjustment, units: UnitSystem) -> String {
    let line = |line: &charge::Line| {
        format!(
            "  {}: {} = {}\n",
            line.label,
            line.expression(units),
            line.mass.show(units)
        )
    };
    adjustment.lines.iter().map(line).collect()
}

/// What a positive, a negative and a small remainder ask for.
fn asks_for(
    mass: Mass,
    nameplate: Option<Mass>,
    shipped: Shipped,
    labelled: bool,
    units: UnitSystem,
) -> String {
    let small = nameplate
        .is_some_and(|n| mass.si().abs() <= Criteria::default().small_remainder.si() * n.si());
    let shown = mass.show(units);
    let said = if shipped == Shipped::Empty && mass.si() > 0.0 {
        format!("To be weighed in, with the nameplate charge as the unit came empty: {shown}.")
    } else if small {
        "It is inside what is left as it is: note it on the unit's label.".into()
    } else if mass.si() < 0.0 {
        "Negative: the unit holds more than the line needs. Taking it out is recovery, a certified person's work; the unit's instructions may say to leave it.".into()
    } else if mass.si() > 0.0 && labelled {
        format!("To be weighed in beyond the nameplate charge and what came in the line: {shown}.")
    } else if mass.si() > 0.0 {
        "To be weighed in beyond the nameplate charge.".into()
    } else {
        "Nothing to add.".into()
    };
    format!("\n{said}\n")
}

/// Physics beside the maker's factor, and what other makers print.
fn beside(
    refrigerant: Refrigerant,
    run: &Run,
    metering: Option<MeteringPlace>,
    units: UnitSystem,
) -> Result<String, Box<dyn std::error::Error>> {
    let criteria = Criteria::default();
    let Some(physics) = charge::physics_beside(refrigerant, run, metering, &criteria) else {
        return Ok(String::new());
    };
    let physics = physics?;
    let far = if physics.differs.si().abs() > criteria.factor_spread.si() {
        "; check the tube, the unit of the factor and where the metering device sits"
    } else {
        ""
    };
    let mut text = format!(
        "{}: bore area and density give {}; the factor given is {:+.0} % from that{far}.\n",
        run.name,
        physics.expected.show(units),
        100.0 * physics.differs.si()
    );
    let printed = match (run.tubes, metering) {
        (Some(tubes), Some(place)) => charge::printed_for(refrigerant, tubes.liquid, place),
        _ => None,
    };
    if let Some(printed) = printed {
        text += &format!(
            "{}: other makers print {} to {}; the unit's own figure wins.\n",
            run.name,
            printed.least.show(units),
            printed.most.show(units)
        );
    }
    Ok(text)
}
