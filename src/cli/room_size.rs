//! `room-size`: how large a room must be for a charge that can burn.

use std::process::ExitCode;

use clap::ValueEnum;

use super::args::{Output, refrigerant, typed, word};
use super::{Ran, outcome_code, print};
use crate::check::Outcome;
use crate::check::charge::room::{
    self, Edition, Mounted, Printed, Room, Served, free_charge, room,
};
use crate::fluid::Refrigerant;
use crate::out::text::{self, Style};
use crate::out::{json, told};
use crate::quantity::{Area, Density, Mass, Quantity, Typed, VolumeFlow};
use crate::record::Answer;

/// How large a room must be for a charge that can burn; the first question is: one room or ducts?
///
/// With ducts there is no formula of ours: the area and the airflow that the unit's instructions print are compared.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// The refrigerant on the nameplate, e.g. R-32
    #[arg(value_parser = refrigerant)]
    refrigerant: Refrigerant,
    /// All that is in the circuit: nameplate charge and what the line took, e.g. 1.8kg
    #[arg(long, value_parser = typed::<Mass>, allow_hyphen_values = true)]
    charge: Typed<Mass>,
    /// Does the indoor unit blow into ducts? yes, no (one room), not-known
    #[arg(long, default_value = "not-known", value_parser = word!(Answer))]
    ducted: Answer,
    /// Floor of the room, with ducts of all the rooms they serve, e.g. 20m2
    #[arg(long, value_parser = typed::<Area>, allow_hyphen_values = true)]
    area: Option<Typed<Area>>,
    /// One room: where the indoor unit hangs
    #[arg(long, value_enum)]
    mounting: Option<Mounting>,
    /// One room: the edition of IEC 60335-2-40 that the instructions name
    #[arg(long, value_enum, default_value = "2018")]
    edition: NamedEdition,
    /// Lower flammable limit on the unit's label, e.g. 0.307kg/m3; it wins over ours
    #[arg(long, value_parser = typed::<Density>, allow_hyphen_values = true)]
    lfl: Option<Typed<Density>>,
    /// Ducts: the least floor that the instructions print for this charge
    #[arg(long, value_parser = typed::<Area>, allow_hyphen_values = true)]
    printed_area: Option<Typed<Area>>,
    /// Ducts: the least airflow that they print
    #[arg(long, value_parser = typed::<VolumeFlow>, allow_hyphen_values = true, requires = "printed_area")]
    printed_airflow: Option<Typed<VolumeFlow>>,
    /// Ducts: the airflow here, e.g. 600cfm
    #[arg(long, value_parser = typed::<VolumeFlow>, allow_hyphen_values = true)]
    airflow: Option<Typed<VolumeFlow>>,
    #[command(flatten)]
    output: Output,
}

const EXAMPLES: &str = "\
Examples:
  lineproof room-size R-32 --charge 1.8kg
  lineproof room-size R-32 --charge 2.4kg --ducted no --area 20m2 --mounting wall --units si
  lineproof room-size R-454B --charge \"7 lb\" --ducted yes --area 900ft2 --printed-area 230ft2 \\
    --printed-airflow 420cfm --airflow 1100cfm

Exit codes: 0 large enough, or no rule; 1 too small: call a technician; 3 a question comes first;
2 could not run.";

/// Where the indoor unit hangs.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum Mounting {
    /// Refrigerant leaves at 0.6 m
    Floor,
    /// At 1.0 m
    Window,
    /// At 1.8 m
    Wall,
    /// At 2.2 m
    Ceiling,
}

/// An edition of the standard.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum NamedEdition {
    /// Without a cap for small rooms
    #[value(name = "before-2018")]
    Before2018,
    /// With the small-room cap
    #[value(name = "2018")]
    Of2018,
}

impl Args {
    fn edition(&self) -> Edition {
        match self.edition {
            NamedEdition::Before2018 => Edition::Before2018,
            NamedEdition::Of2018 => Edition::Of2018,
        }
    }

    fn mounted(&self) -> Option<Mounted> {
        self.mounting.map(|mounting| match mounting {
            Mounting::Floor => Mounted::Floor,
            Mounting::Window => Mounted::Window,
            Mounting::Wall => Mounted::Wall,
            Mounting::Ceiling => Mounted::Ceiling,
        })
    }

    /// What is known of the room; none where a size is asked for first.
    fn served(&self) -> Result<Option<Served>, String> {
        let area = self.area.as_ref().map(|a| a.value);
        Ok(match self.ducted {
            Answer::NotKnown => Some(Served::NotKnown),
            Answer::Yes => Some(Served::Ducted {
                printed: self.printed(),
                area: match (area, &self.printed_area) {
                    (Some(area), _) => area,
                    (None, None) => Area::from_si(0.0),
                    (None, Some(_)) => {
                        return Err(
                            "the instructions' floor is given, and the floor here is not: add --area, all the rooms that the ducts serve together".into(),
                        );
                    }
                },
                airflow: self.airflow.as_ref().map(|a| a.value),
            }),
            Answer::No => match (area, self.mounted()) {
                (Some(area), Some(mounted)) => Some(Served::OneRoom {
                    area,
                    mounted,
                    edition: self.edition(),
                }),
                _ => None,
            },
        })
    }

    fn printed(&self) -> Option<Printed> {
        self.printed_area.as_ref().map(|area| Printed {
            least_area: area.value,
            least_airflow: self.printed_airflow.as_ref().map(|a| a.value),
        })
    }

    fn notes(&self, found: &Room) -> Vec<String> {
        let mut notes = Vec::new();
        let by_formula =
            self.ducted == Answer::No && !matches!(found, Room::DoesNotApply | Room::AskTheLabel);
        if by_formula {
            notes.push(match &self.lfl {
                Some(typed) => format!("LFL {} from the unit's label", typed.text),
                None => format!(
                    "LFL of {}: {}; the unit's label wins (--lfl)",
                    self.refrigerant.name(),
                    self.refrigerant.facts().lfl()
                ),
            });
            notes.push(match self.edition {
                NamedEdition::Of2018 => "by the 2018 edition; if the instructions name an older one: --edition before-2018".into(),
                NamedEdition::Before2018 => "by an edition before 2018, without the cap for small rooms".into(),
            });
        }
        notes
    }
}

pub(super) fn run(args: Args) -> Ran {
    let charge = args.charge.value;
    if charge.si() <= 0.0 {
        return Err(format!(
            "--charge {}: it must be above zero; count the nameplate charge and what the line took",
            args.charge.text
        )
        .into());
    }
    let label = args.lfl.as_ref().map(|l| l.value);
    let found = match args.served()? {
        Some(served) => room(args.refrigerant, charge, label, served),
        None => match without_its_floor(args.refrigerant, charge, label) {
            Ok(found) => found,
            Err(lfl) => return Ok(ask_the_room(&args, lfl)),
        },
    };
    let outcome = outcome(&found);
    let ducted = args.ducted == Answer::Yes;
    print(&if args.output.json {
        json::document(&json::RoomDocument::of(&found, ducted, outcome))
    } else {
        let notes = args.notes(&found);
        text::told(
            &told::room_told(args.refrigerant, &found, ducted, &notes),
            Style::Plain,
        )
    });
    Ok(outcome_code(outcome))
}

/// What can be said of one room before its floor is known; else the LFL to calculate with.
fn without_its_floor(
    refrigerant: Refrigerant,
    charge: Mass,
    label: Option<Density>,
) -> Result<Room, Density> {
    if !refrigerant.flammable() {
        return Ok(Room::DoesNotApply);
    }
    let Some(lfl) = refrigerant.facts().lfl().to_calculate_with(label) else {
        return Ok(Room::AskTheLabel);
    };
    match free_charge(refrigerant.class(), lfl) {
        Some(free) if charge <= free => Ok(Room::NoAreaRule { free }),
        _ => Err(lfl),
    }
}

fn ask_the_room(args: &Args, lfl: Density) -> ExitCode {
    let outcome = Outcome::NotValidNow;
    print(&if args.output.json {
        json::document(&json::RoomDocument::asked(outcome))
    } else {
        let told = told::room_asked(lfl, args.charge.value, args.edition(), args.output.units());
        text::told(&told, Style::Plain)
    });
    outcome_code(outcome)
}

fn outcome(found: &room::Room) -> Outcome {
    match found {
        Room::DoesNotApply => Outcome::DoesNotApply,
        Room::NoAreaRule { .. } | Room::Enough { .. } => Outcome::Pass,
        Room::TooSmall { .. } | Room::TooLittleAirflow { .. } => Outcome::Fail,
        Room::AskOneRoomOrDucts
        | Room::AskTheLabel
        | Room::AskTheInstructions
        | Room::AskTheAirflow => Outcome::NotValidNow,
    }
}
