//! `new`: make a line set record.

use std::path::PathBuf;
use std::process::ExitCode;

use jiff::tz::TimeZone;

use super::args::word;
use super::{Ran, print};
use crate::fluid::Refrigerant;
use crate::quantity::{Length, Mass, MassPerLength, TemperatureDiff};
use crate::record::{
    self, Altitude, AsTyped, Connection, Field, LineSet, LineState, MeteringDevice, Record, Tube,
    Zone,
};

/// Makes a line set record: a folder with lineset.toml, which you complete in any text editor.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// The folder to make
    folder: PathBuf,
    /// How the lines are joined: pre-charged-couplings, flared, pressed or brazed
    #[arg(long, value_parser = word!(Connection))]
    connection: Connection,
    /// The refrigerant on the nameplate, e.g. R-454B
    #[arg(long, value_parser = super::args::refrigerant)]
    refrigerant: Option<Refrigerant>,
    /// new, or held-refrigerant when the lines held refrigerant before
    #[arg(long, default_value = "new", value_parser = word!(LineState))]
    state: LineState,
    /// Where the metering device sits: indoors-txv, indoors-orifice, indoors-eev, outdoors, not-known
    #[arg(long, default_value = "not-known", value_parser = word!(MeteringDevice))]
    metering_device: MeteringDevice,
    /// What to call it; the folder's name when not given
    #[arg(long)]
    name: Option<String>,
    /// US, EU, or another country in words
    #[arg(long, default_value = "US")]
    country: String,
    /// Time zone, e.g. Europe/Oslo; this computer's when not given
    #[arg(long)]
    zone: Option<String>,
    /// Altitude of the place, e.g. 5200ft
    #[arg(long, value_parser = field::<Altitude>, allow_hyphen_values = true)]
    altitude: Option<AsTyped<Altitude>>,
    /// Charge on the nameplate, e.g. "6 lb 10 oz"
    #[arg(long, value_parser = field::<Mass>, allow_hyphen_values = true)]
    nameplate_charge: Option<AsTyped<Mass>>,
    /// Line length the nameplate charge already serves, e.g. 25ft
    #[arg(long, value_parser = field::<Length>, allow_hyphen_values = true)]
    included_length: Option<AsTyped<Length>>,
    /// Charge per length beyond it, e.g. 0.6oz/ft
    #[arg(long, value_parser = field::<MassPerLength>, allow_hyphen_values = true)]
    charge_factor: Option<AsTyped<MassPerLength>>,
    /// Subcooling on the label, e.g. 10F
    #[arg(long, value_parser = field::<TemperatureDiff>, allow_hyphen_values = true)]
    target_subcooling: Option<AsTyped<TemperatureDiff>>,
    /// Outside diameter of the liquid line, e.g. "3/8 in"
    #[arg(long, value_parser = field::<Length>, allow_hyphen_values = true, requires = "length")]
    liquid_od: Option<AsTyped<Length>>,
    /// Outside diameter of the vapour line, e.g. "3/4 in"
    #[arg(long, value_parser = field::<Length>, allow_hyphen_values = true, requires = "length")]
    vapour_od: Option<AsTyped<Length>>,
    /// Length of the lines as installed, one way, e.g. 40ft
    #[arg(long, value_parser = field::<Length>, allow_hyphen_values = true)]
    length: Option<AsTyped<Length>>,
}

const EXAMPLES: &str = "\
Examples:
  lineproof new cabin --connection flared --refrigerant R-454B --zone Europe/Oslo --country Norway
  lineproof new shop --connection pre-charged-couplings --refrigerant R-32 --nameplate-charge \"2 lb 12 oz\" \\
    --length 25ft --liquid-od \"1/4 in\" --vapour-od \"1/2 in\"";

/// A quantity of the record as typed.
pub(super) fn field<Q: Field>(text: &str) -> Result<AsTyped<Q>, crate::quantity::ParseError> {
    AsTyped::read(text)
}

/// What a fixed word may be.
pub(super) fn one_of(word: &str, words: &[&str]) -> String {
    format!("\"{word}\" is none of {}", words.join(", "))
}

pub(super) fn run(args: Args) -> Ran {
    let zone = match &args.zone {
        Some(name) => Zone::named(name)?,
        None => Zone::named(TimeZone::system().iana_name().unwrap_or("UTC"))?,
    };
    let folder_name = args
        .folder
        .file_name()
        .map_or_else(|| "line set".into(), |n| n.to_string_lossy().into_owned());
    let name = args.name.unwrap_or(folder_name);
    let mut lineset = LineSet::new(&name, &args.country, zone, args.connection, args.state);
    lineset.place.altitude = args.altitude;
    lineset.equipment.refrigerant = args.refrigerant.map(|r| r.name().to_string());
    lineset.equipment.nameplate_charge = args.nameplate_charge;
    lineset.equipment.included_length = args.included_length;
    lineset.equipment.charge_factor = args.charge_factor;
    lineset.equipment.target_subcooling = args.target_subcooling;
    lineset.line_set.metering_device = args.metering_device;
    let tube = |od: Option<AsTyped<Length>>| {
        Some(Tube {
            od: od?,
            wall: None,
            length: args.length.clone()?,
        })
    };
    lineset.line_set.liquid = tube(args.liquid_od);
    lineset.line_set.vapour = tube(args.vapour_od);
    lineset.joints = record::factory_joints(args.connection, args.metering_device);
    let factory = lineset.joints.len();
    let record = Record::create(&args.folder, lineset)?;
    let folder = record.folder.display();
    print(&format!(
        "Made {folder} with lineset.toml: complete it in any text editor, your joints and instruments too.\n\
         {factory} joints that a factory makes are listed: take out what your unit has not.\n\
         Next: lineproof check {folder}\n"
    ));
    Ok(ExitCode::SUCCESS)
}
