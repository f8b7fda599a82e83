//! `lost`: what an incident could have cost.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::ValueEnum;

use super::args::{Atmosphere, Output, reading, refrigerant, typed, word};
use super::{Ran, print, write};
use crate::check::Segment;
use crate::check::charge::lost::{
    Circuit, Ended, Escape, Holds, HoleBounds, Part, Passed, Seen, Timed, TimedBy, Valves, lost,
};
use crate::fluid::Refrigerant;
use crate::out::figure::{self, LostMass, Width, lost_mass};
use crate::out::text::{self, Style};
use crate::out::{json, told};
use crate::physics::tube::{Tube, TubeError};
use crate::quantity::{
    Area, Barometer, Duration, Fraction, Length, Mass, Measured, Quantity, Temperature,
    TemperatureDiff, Typed, Volume, unit,
};
use crate::record::{self, ReleaseEnd, segment_from_word};

/// What could be gone after refrigerant got out: the least and the most, each with what sets it.
///
/// With the charge alone the answer is wide; what would narrow it is asked for, the cheapest first.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// The refrigerant on the nameplate, e.g. R-410A
    #[arg(value_parser = refrigerant)]
    refrigerant: Refrigerant,
    /// All that was in before, e.g. "6 lb 10 oz"
    #[arg(long, value_parser = typed::<Mass>, allow_hyphen_values = true)]
    charge: Typed<Mass>,
    /// Limit of error of that charge, as a share of it
    #[arg(long, value_parser = typed::<Fraction>, allow_hyphen_values = true, default_value = "3 %")]
    charge_limit: Typed<Fraction>,
    /// How long it hissed, from first to last, e.g. 4min or 20s
    #[arg(long, value_parser = typed::<Duration>, allow_hyphen_values = true)]
    lasted: Option<Typed<Duration>>,
    /// The times come from a clock, a recording or messages; else they count as felt: half to twice
    #[arg(long)]
    clocked: bool,
    /// How the hiss ended: silent (by itself), valve-shut, tightened, not-known
    #[arg(long, default_value = "not-known", value_parser = word!(ReleaseEnd))]
    ended: ReleaseEnd,
    /// What came out
    #[arg(long, value_enum, default_value = "not-known")]
    passed: Out,
    /// What was seen or heard, with commas: hiss, mist, liquid, frost, oil
    #[arg(long, value_delimiter = ',', value_parser = seen_word)]
    seen: Vec<record::Seen>,
    /// Whether both service valves stood open
    #[arg(long, value_enum, default_value = "not-known")]
    valves: Stood,
    /// The valves stood open for so long and were then shut, e.g. 2min
    #[arg(long, value_parser = typed::<Duration>, allow_hyphen_values = true, conflicts_with = "valves")]
    shut_after: Option<Typed<Duration>>,
    /// A part that the shut valves left open to the hole, with its volume and, if known, what filled it: vapour-line:1.2L,
    /// liquid-line:0.5L:liquid, liquid-line:0.5L:180g (a mass as on a label)
    #[arg(long, value_parser = TypedPart::read)]
    part: Vec<TypedPart>,
    /// Vapour line that the valves shut off, nominal size in inches, e.g. 3/4
    #[arg(long, value_parser = tube, requires = "length")]
    vapour_tube: Option<Tube>,
    /// Liquid line that the valves shut off, nominal size in inches, e.g. 3/8
    #[arg(long, value_parser = tube, requires = "length")]
    liquid_tube: Option<Tube>,
    /// Length of these lines, e.g. 25ft
    #[arg(long, value_parser = typed::<Length>, allow_hyphen_values = true)]
    length: Option<Typed<Length>>,
    /// What filled the shut-off parts that do not say it themselves
    #[arg(long, value_enum, default_value = "not-known")]
    held: Filled,
    /// Limit of error of the volumes, as a share of each
    #[arg(long, value_parser = typed::<Fraction>, allow_hyphen_values = true, default_value = "15 %")]
    volume_limit: Typed<Fraction>,
    /// Temperature of the air around the lines, e.g. 75F; 68 °F give or take 27 °F (15 K) when not given
    #[arg(long, value_parser = typed::<Temperature>, allow_hyphen_values = true)]
    temperature: Option<Typed<Temperature>>,
    /// Effective area of the hole, where it is known better than from the times: 0.05mm2,0.5mm2
    #[arg(long, value_delimiter = ',', value_parser = typed::<Area>, allow_hyphen_values = true)]
    hole_between: Vec<Typed<Area>>,
    /// Draw what could be gone against the time it hissed, as an SVG file
    #[arg(long, value_name = "FILE.svg")]
    figure: Option<PathBuf>,
    #[command(flatten)]
    atmosphere: Atmosphere,
    #[command(flatten)]
    output: Output,
}

const EXAMPLES: &str = "\
Examples:
  lineproof lost R-410A --charge \"6 lb 10 oz\"
  lineproof lost R-410A --charge \"6 lb 10 oz\" --lasted 4min --ended silent --passed vapour \\
    --valves shut --vapour-tube 3/4 --length 25ft --held vapour --temperature 75F
  lineproof lost R-32 --charge 1.8kg --lasted 90s --clocked --shut-after 60s --ended silent \\
    --seen hiss,oil --part liquid-line:0.4L:liquid --part vapour-line:1.1L:vapour --units si
When gas is heard now: lineproof hissing";

/// What came out.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum Out {
    /// Only vapour
    Vapour,
    /// Liquid, at least part of the time
    Liquid,
    /// Nobody can say
    NotKnown,
}

/// How the service valves stood.
#[derive(Debug, Clone, Copy, PartialEq, ValueEnum)]
enum Stood {
    /// Shut the whole time
    Shut,
    /// Open the whole time
    Open,
    /// Nobody can say
    NotKnown,
}

/// What filled a part.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum Filled {
    /// Vapour
    Vapour,
    /// Liquid
    Liquid,
    /// Nobody can say
    NotKnown,
}

impl Filled {
    fn holds(self) -> Holds {
        match self {
            Filled::Vapour => Holds::Vapour,
            Filled::Liquid => Holds::Liquid,
            Filled::NotKnown => Holds::NotKnown,
        }
    }
}

fn seen_word(word: &str) -> Result<record::Seen, String> {
    let read = word!(Seen);
    read(word.trim())
}

/// A part as typed: `vapour-line:1.2L`, `liquid-line:0.5L:180g`.
#[derive(Debug, Clone)]
struct TypedPart {
    segment: Segment,
    volume: Typed<Volume>,
    holds: Option<Holds>,
}

impl TypedPart {
    fn read(text: &str) -> Result<Self, String> {
        let mut fields = text.split(':').map(str::trim);
        let name = fields.next().unwrap_or_default();
        let segment = segment_from_word(name).ok_or_else(|| {
            let words: Vec<_> = Segment::ALL.iter().map(|s| s.word()).collect();
            super::new::one_of(name, &words)
        })?;
        let volume = fields.next().ok_or_else(|| {
            format!("\"{text}\" has no volume: type a part like vapour-line:1.2L, or its tube and length with --vapour-tube and --length")
        })?;
        let volume = typed::<Volume>(volume).map_err(|e| e.to_string())?;
        let holds = fields.next().map(holds).transpose()?;
        if fields.next().is_some() {
            return Err(format!(
                "\"{text}\" has too many colons: type a part like liquid-line:0.5L:liquid"
            ));
        }
        Ok(TypedPart {
            segment,
            volume,
            holds,
        })
    }
}

/// What filled a part: a word, or a mass as on a label.
fn holds(word: &str) -> Result<Holds, String> {
    if let Ok(filled) = Filled::from_str(word, false) {
        return Ok(filled.holds());
    }
    let mass = typed::<Mass>(word).map_err(|_| {
        format!("\"{word}\" is not what fills a part: type vapour, liquid, not-known or a mass like 180g")
    })?;
    let limit = Mass::from_si(0.1 * mass.value.si());
    Ok(Holds::Stated(reading("label", limit, mass.value)))
}

fn tube(size: &str) -> Result<Tube, TubeError> {
    Tube::annealed(size.trim().trim_end_matches("in").trim())
}

pub(super) fn run(args: Args) -> Ran {
    let units = args.output.units();
    let barometer = args.atmosphere.barometer()?;
    let escape = args.escape(barometer)?;
    let found = lost(&escape)?;
    let mut rests_on = args.rests_on(&escape, barometer);
    // the file first: a command that could not do all prints nothing
    if let Some(path) = &args.figure {
        let drawn = lost_mass::draw(&LostMass::of(&escape, units)?, Width::Wide, "lost-mass")?;
        write(path, &figure::standing_alone(&drawn))?;
        rests_on.push(format!("the figure is in {}", path.display()));
    }
    print(&if args.output.json {
        json::document(&json::LostDocument::of(&escape, &found))
    } else {
        let told = told::lost_told(&escape, &found, &args.charge.text, &rests_on, units);
        text::told(&told, Style::Plain)
    });
    Ok(ExitCode::SUCCESS)
}

impl Args {
    fn escape(&self, barometer: Barometer) -> Result<Escape, String> {
        if self.charge.value.si() <= 0.0 {
            return Err(format!(
                "--charge {}: it must be above zero; take it from the nameplate",
                self.charge.text
            ));
        }
        if self.refrigerant == Refrigerant::R744 {
            return Err(
                "R-744: what could be gone is not computed, as its table ends far above the atmosphere; a certified technician weighs what is left"
                    .into(),
            );
        }
        let valves = self.valves();
        let isolated = self.isolated()?;
        let must_have = matches!(valves, Valves::Shut | Valves::ShutAfter(_))
            || self.ended == ReleaseEnd::ValveShut;
        if isolated.is_empty() && must_have {
            return Err(
                "valves were shut, and what they left open to the hole is not given: add the lines with --vapour-tube, --liquid-tube and --length, or each part with its volume like --part vapour-line:1.2L"
                    .into(),
            );
        }
        Ok(Escape {
            refrigerant: self.refrigerant,
            temperature: self.around(),
            around: barometer.pressure(),
            circuit: Circuit::of(share_of("nameplate", &self.charge_limit, self.charge.value)),
            isolated,
            valves,
            hiss: self.hiss()?,
            ended: match self.ended {
                ReleaseEnd::Silent => Ended::Silent,
                ReleaseEnd::ValveShut => Ended::ValveShut,
                ReleaseEnd::Tightened => Ended::Tightened,
                ReleaseEnd::NotKnown => Ended::NotKnown,
            },
            passed: match self.passed {
                Out::Vapour => Passed::Vapour,
                Out::Liquid => Passed::Liquid,
                Out::NotKnown => Passed::NotKnown,
            },
            seen: self.seen.iter().filter_map(|seen| told_by(*seen)).collect(),
            hole: self.hole()?,
        })
    }

    fn timed(&self, duration: Duration) -> Timed {
        Timed {
            duration,
            by: if self.clocked {
                TimedBy::Clock
            } else {
                TimedBy::Guess
            },
        }
    }

    fn valves(&self) -> Valves {
        match (&self.shut_after, self.valves) {
            (Some(time), _) => Valves::ShutAfter(self.timed(time.value)),
            (None, Stood::Shut) => Valves::Shut,
            (None, Stood::Open) => Valves::Open,
            (None, Stood::NotKnown) => Valves::NotKnown,
        }
    }

    /// How long it hissed; once the valves were shut, from then on.
    fn hiss(&self) -> Result<Option<Timed>, String> {
        let Some(lasted) = &self.lasted else {
            return Ok(None);
        };
        let open = self.shut_after.as_ref().map_or(0.0, |t| t.value.si());
        let left = lasted.value.si() - open;
        if left < 0.0 {
            let shut = self.shut_after.as_ref().map_or("", |t| t.text.as_str());
            return Err(format!(
                "--shut-after {shut} is longer than --lasted {}: --lasted counts from the first hiss to the last",
                lasted.text
            ));
        }
        Ok(Some(self.timed(Duration::from_si(left))))
    }

    fn isolated(&self) -> Result<Vec<Part>, String> {
        let lines = [
            (Segment::VapourLine, self.vapour_tube),
            (Segment::LiquidLine, self.liquid_tube),
        ];
        let length = self.length.as_ref().map(|l| l.value);
        let from_tubes = lines.into_iter().filter_map(|(segment, tube)| {
            Some((segment, tube?.volume(length?), self.held.holds()))
        });
        let typed = self.part.iter().map(|part| {
            let holds = part.holds.clone().unwrap_or_else(|| self.held.holds());
            (part.segment, part.volume.value, holds)
        });
        let mut parts: Vec<Part> = Vec::new();
        for (segment, volume, holds) in from_tubes.chain(typed) {
            if parts.iter().any(|part| part.segment == segment) {
                return Err(format!(
                    "the {} is given twice: once with its tube or once with its volume",
                    segment.words()
                ));
            }
            if volume.si() <= 0.0 {
                return Err(format!(
                    "the {} has no volume: it must be above zero",
                    segment.words()
                ));
            }
            parts.push(Part {
                segment,
                volume: share_of("volume", &self.volume_limit, volume),
                holds,
            });
        }
        if length.is_some() && self.vapour_tube.is_none() && self.liquid_tube.is_none() {
            return Err("--length without a tube: add --vapour-tube, --liquid-tube or both".into());
        }
        Ok(parts)
    }

    fn around(&self) -> Measured<Temperature> {
        match &self.temperature {
            Some(read) => reading("thermometer", near(), read.value),
            None => reading("assumed", wide(), usual()),
        }
    }

    fn hole(&self) -> Result<Option<HoleBounds>, String> {
        match self.hole_between.as_slice() {
            [] => Ok(None),
            [low, high] if low.value.si() > 0.0 && low.value <= high.value => {
                Ok(Some(HoleBounds {
                    low: low.value,
                    high: high.value,
                }))
            }
            given => {
                let given: Vec<_> = given.iter().map(|area| area.text.as_str()).collect();
                Err(format!(
                    "--hole-between {}: type the least and the most, both above zero, like 0.05mm2,0.5mm2",
                    given.join(",")
                ))
            }
        }
    }

    /// What was typed and assumed.
    fn rests_on(&self, escape: &Escape, barometer: Barometer) -> Vec<String> {
        let units = self.output.units();
        let mut lines = vec![format!(
            "{} with a charge of {}, give or take {}",
            self.refrigerant.name(),
            self.charge.text,
            self.charge_limit.text
        )];
        lines.push(match &self.temperature {
            Some(read) => format!(
                "lines at {}, give or take {}",
                read.text,
                near().show(units)
            ),
            None => format!(
                "lines at {}, give or take {}: assumed, as no --temperature is given",
                usual().show(units),
                wide().show(units)
            ),
        });
        for part in &escape.isolated {
            let holds = match &part.holds {
                Holds::Vapour => "vapour",
                Holds::Liquid => "liquid, at least 80 % of the volume",
                Holds::Stated(_) => "a mass as it was typed",
                Holds::NotKnown => "anything from vapour to liquid",
            };
            lines.push(format!(
                "shut off: the {}, {}, give or take {}, with {holds}",
                part.segment.words(),
                part.volume.value.show(units),
                self.volume_limit.text
            ));
        }
        let has = |segment| escape.isolated.iter().any(|part| part.segment == segment);
        if !escape.isolated.is_empty() && !has(Segment::IndoorCoil) {
            lines.push(
                "no indoor coil: if the lines were connected to it, add --part indoor-coil:VOLUME"
                    .into(),
            );
        }
        if escape.valves != Valves::Shut {
            lines.push(
                "the whole circuit taken as 2 L for each kg of charge, a factor 1.5 either way"
                    .into(),
            );
        }
        if escape.hiss.is_some() && !self.clocked {
            lines.push(
                "times by feeling: half to twice; --clocked for a clock or a recording".into(),
            );
        }
        lines.push(format!("atmosphere {}", barometer.words()));
        lines
    }
}

/// A value with a limit of error that is a share of it.
fn share_of<Q: Quantity>(name: &str, limit: &Typed<Fraction>, value: Q) -> Measured<Q> {
    let limit = Q::Diff::from_si(limit.value.si() * value.si());
    reading(name, limit, value)
}

/// How far lines may be from the air around them: the program's own choice.
fn near() -> TemperatureDiff {
    TemperatureDiff::of(5.4, unit::FAHRENHEIT_DIFF)
}

/// Air around lines when nobody says how warm it was: the program's own choice.
fn usual() -> Temperature {
    Temperature::of(68.0, unit::FAHRENHEIT)
}

/// And how far from that.
fn wide() -> TemperatureDiff {
    TemperatureDiff::of(27.0, unit::FAHRENHEIT_DIFF)
}

/// What the method asks of what was seen; a hiss says nothing more.
fn told_by(seen: record::Seen) -> Option<Seen> {
    match seen {
        record::Seen::Hiss => None,
        record::Seen::Mist => Some(Seen::Mist),
        record::Seen::Liquid => Some(Seen::Liquid),
        record::Seen::Frost => Some(Seen::Frost),
        record::Seen::Oil => Some(Seen::Oil),
    }
}
