//! `pump-down`: how long the pump takes and what would help; what a log of it shows.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use super::args::{Atmosphere, Output, typed};
use super::leak_rate::positive;
use super::logfile::{Preview, RiseFile};
use super::{Ran, print, write};
use crate::check::dry::pumping::{self, PumpLog, Pumping};
use crate::out::figure::{self, PumpDownFigure, Width, pump_down as drawing};
use crate::out::pump_down::{HOSES, Setup, expected_told, log_told};
use crate::out::text::{self, Style};
use crate::out::{json, told::Line};
use crate::physics::vacuum::{Element, PumpCurve};
use crate::quantity::{
    Length, Mass, PressureAbs, PressureReading, Quantity, Temperature, Typed, Volume, VolumeFlow,
    parse_vacuum, unit,
};
use crate::record::logger::{self, Kind};
use crate::source::SourceId;

/// How long a pump-down takes, what would shorten it, and what a log of one shows.
///
/// It proves nothing: dry and tight are told by the vacuum rise after it, lineproof dry.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// The log of the gauge while the pump ran, as CSV or XLSX
    log: Option<PathBuf>,
    /// The volume of lines and indoor coil, e.g. 2.1L (lineproof volume)
    #[arg(long, value_parser = typed::<Volume>, allow_hyphen_values = true)]
    volume: Option<Typed<Volume>>,
    /// The pump's nameplate speed, e.g. 4cfm
    #[arg(long, value_parser = typed::<VolumeFlow>, allow_hyphen_values = true, requires = "volume")]
    pump: Option<Typed<VolumeFlow>>,
    /// How deep the pump pulls, blanked off
    #[arg(long, default_value = "50micron", value_parser = parse_vacuum, allow_hyphen_values = true)]
    ultimate: Typed<PressureReading>,
    /// The hose: 1/4, 3/8, 1/2 inch, or its bore, e.g. 6mm
    #[arg(long, default_value = "1/4", value_parser = hose)]
    hose: Hose,
    /// How long the hose is, from the service port to the pump
    #[arg(long, default_value = "5ft", value_parser = typed::<Length>, allow_hyphen_values = true)]
    hose_length: Typed<Length>,
    /// Service ports in use, a hose at each
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=4))]
    ports: u32,
    /// The valve cores were taken out with a core tool
    #[arg(long)]
    cores_out: bool,
    /// Liquid water that is feared to be inside, e.g. 5g
    #[arg(long, value_parser = typed::<Mass>, allow_hyphen_values = true, requires = "pump")]
    water: Option<Typed<Mass>>,
    /// Temperature of the lines, and of the water in them
    #[arg(long, default_value = "68F", value_parser = typed::<Temperature>, allow_hyphen_values = true)]
    temperature: Typed<Temperature>,
    /// How deep it should get
    #[arg(long, default_value = "500micron", value_parser = parse_vacuum, allow_hyphen_values = true)]
    target: Typed<PressureReading>,
    /// Draw the log into this folder: pump-down.svg, also as -phone.svg
    #[arg(long, value_name = "DIR", requires = "log")]
    figures: Option<PathBuf>,
    #[command(flatten)]
    file: RiseFile,
    #[command(flatten)]
    preview: Preview,
    #[command(flatten)]
    atmosphere: Atmosphere,
    #[command(flatten)]
    output: Output,
}

const EXAMPLES: &str = "\
Examples:
  lineproof pump-down --volume 2.1L --pump 4cfm
  lineproof pump-down --volume 2.1L --pump 4cfm --hose 3/8 --cores-out --water 5g --temperature 50F
  lineproof pump-down pump.csv
  lineproof pump-down pump.csv --volume 2.1L --pump 4cfm --figures pump-figures";

/// A hose by its nominal size, or by its bore.
#[derive(Debug, Clone)]
struct Hose {
    bore: Length,
    text: String,
    nominal: bool,
}

fn hose(text: &str) -> Result<Hose, String> {
    let size = text
        .trim()
        .trim_end_matches("in")
        .trim_end_matches(['"', ' ']);
    if let Some((size, bore)) = HOSES.iter().find(|(name, _)| *name == size) {
        return Ok(Hose {
            bore: Length::of(*bore, unit::MILLIMETRE),
            text: format!("{size} in hose, {bore} mm of bore"),
            nominal: true,
        });
    }
    let bore = typed::<Length>(text)
        .map_err(|e| format!("{e}; or type a hose's size: 1/4, 3/8 or 1/2"))?;
    let (least, most) = (
        Length::of(0.5, unit::MILLIMETRE),
        Length::of(60.0, unit::MILLIMETRE),
    );
    if bore.value < least || bore.value > most {
        return Err(format!(
            "{text}: the bore of a hose lies between 0.5 and 60 mm; check the unit, or type its size: 1/4, 3/8 or 1/2"
        ));
    }
    Ok(Hose {
        bore: bore.value,
        text: format!("hose with {} of bore", bore.text),
        nominal: false,
    })
}

pub(super) fn run(args: Args) -> Ran {
    let units = args.output.units();
    let barometer = args.atmosphere.barometer()?;
    if args.log.is_none() && args.pump.is_none() {
        return Err("nothing to work with: give --volume and --pump for the time it takes, or the log of a pump-down".into());
    }
    let volume = args
        .volume
        .as_ref()
        .map(|v| positive("--volume", v))
        .transpose()?;
    let setup = args.setup(barometer.pressure(), |r| r.to_abs(barometer))?;
    let mut notes = Vec::new();
    let mut seen: Option<(PumpLog, Vec<f64>, Vec<PressureAbs>)> = None;
    if let Some(path) = &args.log {
        let asked = args.file.asked();
        let preview = &args.preview;
        if let Some(code) = preview.shown(path, &asked, Kind::Rise, barometer, &args.output)? {
            return Ok(code);
        }
        let log = logger::read_rise(path, &asked, barometer)?;
        let shown = pumping::read(&Pumping {
            minutes: &log.minutes,
            pressure: &log.pressure,
        })?;
        notes.extend(log.left_out.iter().map(|l| format!("left out: {l}")));
        notes.extend(log.notes);
        seen = Some((shown, log.minutes, log.pressure));
    }
    let expected = setup.as_ref().map(Setup::expected).transpose()?;
    // the files first: a command that could not do all prints nothing
    if let (Some(folder), Some((log, minutes, pressure))) = (&args.figures, &seen) {
        draw(&PumpDownFigure::of(log, minutes, pressure, units), folder)?;
        notes.push(format!("the figures are in {}", folder.display()));
    }
    let log = seen.as_ref().map(|(log, ..)| log);
    if args.output.json {
        let document = json::PumpDownDocument::of(expected.as_ref(), log, volume);
        print(&json::document(&document));
        return Ok(ExitCode::SUCCESS);
    }
    let atmosphere = barometer.pressure();
    let told = match (&setup, &expected, log) {
        (Some(setup), Some(expected), log) => {
            expected_told(setup, expected, log, args.rests_on(), atmosphere, units)
        }
        (_, _, Some(log)) => log_told(log, volume, args.log_rests_on(), atmosphere, units),
        _ => unreachable!("one of both was asked for"),
    };
    print(&text::told(&told, Style::Plain));
    print(&text::notes(&notes));
    Ok(ExitCode::SUCCESS)
}

/// Density of liquid water, kg/m3, to the digits that a check of a typed number needs.
const LIQUID_WATER: f64 = 1000.0;

impl Args {
    /// What is pumped with what, when a pump was named.
    fn setup<E: std::error::Error + 'static>(
        &self,
        from: PressureAbs,
        absolute: impl Fn(PressureReading) -> Result<PressureAbs, E>,
    ) -> Result<Option<Setup>, Box<dyn std::error::Error>> {
        let (Some(volume), Some(pump)) = (&self.volume, &self.pump) else {
            return Ok(None);
        };
        let water = self
            .water
            .as_ref()
            .map(|m| positive("--water", m))
            .transpose()?;
        let inside = positive("--volume", volume)?;
        if let (Some(mass), Some(typed)) = (water, &self.water)
            && mass.si() > LIQUID_WATER * inside.si()
        {
            return Err(format!(
                "--water {}: a volume of {} is full with {:.0} g; check both units",
                typed.text,
                volume.text,
                1e3 * LIQUID_WATER * inside.si()
            )
            .into());
        }
        Ok(Some(Setup {
            volume: inside,
            pump: PumpCurve {
                speed: positive("--pump", pump)?,
                ultimate: absolute(self.ultimate.value)?,
            },
            hose: Element {
                bore: self.hose.bore,
                length: positive("--hose-length", &self.hose_length)?,
            },
            ports: self.ports,
            cores_in: !self.cores_out,
            water,
            temperature: self.temperature.value,
            from,
            target: absolute(self.target.value)?,
        }))
    }

    fn rests_on(&self) -> Vec<Line> {
        let said = |typed: Option<&str>| typed.unwrap_or_default().to_string();
        let sourced = |text: String, source| Line::Sourced(text, source);
        let mut lines = vec![
            Line::Plain(format!(
                "{} from the atmosphere to {} at {}",
                said(self.volume.as_ref().map(|v| v.text.as_str())),
                self.target.text,
                self.temperature.text
            )),
            sourced(
                format!(
                    "a pump of {}, {} blanked off",
                    said(self.pump.as_ref().map(|p| p.text.as_str())),
                    self.ultimate.text
                ),
                SourceId::PumpInUse,
            ),
        ];
        let hose = format!(
            "{}, {} long, at {} service port{}",
            self.hose.text,
            self.hose_length.text,
            self.ports,
            if self.ports == 1 { "" } else { "s" }
        );
        lines.push(if self.hose.nominal {
            sourced(hose, SourceId::HoseBore)
        } else {
            Line::Plain(hose)
        });
        lines.push(if self.cores_out {
            Line::Plain("the valve cores out".into())
        } else {
            sourced("the valve cores left in".into(), Element::CORE_SOURCE)
        });
        lines.push(Line::Plain(
            "dry air only: walls, oil and rubber give off gas, so a real pump-down takes longer"
                .into(),
        ));
        lines
    }

    fn log_rests_on(&self) -> Vec<Line> {
        let mut lines = vec![Line::Plain(format!(
            "the log {}",
            self.log.as_deref().unwrap_or(Path::new("")).display()
        ))];
        if let Some(volume) = &self.volume {
            lines.push(Line::Plain(format!("a volume of {}", volume.text)));
        } else {
            lines.push(Line::Plain(
                "no volume: give --volume for effective speeds, and --pump for what was to be expected".into(),
            ));
        }
        lines
    }
}

/// The figure as files, for a desk and for a phone.
fn draw(figure: &PumpDownFigure, folder: &Path) -> Result<(), Box<dyn std::error::Error>> {
    std::fs::create_dir_all(folder).map_err(super::cannot_be_written(folder))?;
    for (width, end) in [(Width::Wide, ""), (Width::Narrow, "-phone")] {
        let svg = drawing::draw(figure, width, "pump-down")?;
        let path = folder.join(format!("pump-down{end}.svg"));
        write(&path, &figure::standing_alone(&svg))?;
    }
    Ok(())
}
