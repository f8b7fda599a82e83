//! `add`: one event for a record, as it happened.

mod circuit;
mod evacuation;
mod system;
mod work;

pub(super) use circuit::test_reading;
pub(super) use evacuation::vacuum_reading;

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Subcommand;
use jiff::Timestamp;

use super::{Ran, print, warn};
use crate::check::Segment;
use crate::decide;
use crate::record::{Event, EventBody, Moment, NewEvent, Record};

/// Adds an event to a record. Nothing that is in it is ever rewritten.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Args {
    /// The record's folder
    folder: PathBuf,
    #[command(subcommand)]
    event: Kind,
}

const EXAMPLES: &str = "\
Examples:
  lineproof add cabin joint-made --joint liquid-indoor --torque \"40 N m\"
  lineproof add cabin joint-checked --joint liquid-indoor --method bubbles --result no-leak
  lineproof add cabin pressure-test --at \"2026-02-11 16:30\" --log night.csv --gauge p1 \\
    --covers liquid-line,vapour-line,indoor-coil
  lineproof add cabin evacuation --reading 0min=412micron --reading 5min=455micron \\
    --reading 10min=470micron --reading 20min=486micron \\
    --gauge v1 --covers liquid-line,vapour-line,indoor-coil
  lineproof add cabin released --at \"2026-07-02 18:05\" --lasted 4min --seen hiss,mist
  lineproof add cabin corrected --number 3 --field readings.2.pressure --to 448psig --why \"misread\"";

/// What every event may have.
#[derive(Debug, clap::Args)]
struct When {
    /// When it happened, for a test when it began, e.g. "2026-02-11 16:30"; now when not given
    #[arg(long)]
    at: Option<String>,
    /// Anything else worth a word
    #[arg(long)]
    note: Option<String>,
    /// A photograph, copied into the record; may be given several times
    #[arg(long, value_name = "FILE")]
    photo: Vec<PathBuf>,
}

#[derive(Debug, Subcommand)]
enum Kind {
    /// A joint was made up
    JointMade(#[command(flatten)] work::JointMade),
    /// A joint was looked at for leaks
    JointChecked(#[command(flatten)] work::JointChecked),
    /// A standing pressure test, from a log or from readings
    PressureTest(#[command(flatten)] Box<circuit::PressureTest>),
    /// An evacuation with its vacuum rise, from a log or from readings
    Evacuation(#[command(flatten)] Box<evacuation::Evacuation>),
    /// A service valve was moved
    ValveMoved(#[command(flatten)] circuit::ValveMoved),
    /// The valve between the lines and the vacuum pump was moved: says where the rise begins
    PumpValveMoved(#[command(flatten)] evacuation::PumpValveMoved),
    /// The circuit was opened to the air
    Opened(#[command(flatten)] circuit::Opened),
    /// Something was repaired
    Repaired(#[command(flatten)] circuit::Repaired),
    /// Refrigerant came out
    Released(#[command(flatten)] circuit::Released),
    /// Refrigerant was weighed in or out
    Weighed(#[command(flatten)] Box<system::Weighed>),
    /// The gate before switching on was gone through
    StartChecked(#[command(flatten)] Box<system::StartChecked>),
    /// The system was switched on
    Started(#[command(flatten)] system::Started),
    /// The system was switched off
    Stopped(#[command(flatten)] system::Stopped),
    /// Readings of the running system
    Reading(#[command(flatten)] Box<system::Reading>),
    /// A certified technician was there
    TechnicianVisit(#[command(flatten)] Box<system::TechnicianVisit>),
    /// A fact in lineset.toml is another than it was; the file is edited with the event
    Changed(#[command(flatten)] work::Changed),
    /// An earlier event says something that is not so; both wordings stay in the record
    Corrected(#[command(flatten)] work::Corrected),
}

/// What an event's arguments come to.
trait Noted {
    fn when(&self) -> &When;
    fn body(self, record: &Record, at: Moment) -> Result<EventBody, Box<dyn std::error::Error>>;
}

/// When it happened and when it is noted, which is now.
fn times(
    record: &Record,
    at: Option<&String>,
) -> Result<(Moment, Moment), Box<dyn std::error::Error>> {
    // a clock's fraction of a second says nothing about work with a wrench
    let now = Timestamp::from_second(Timestamp::now().as_second())?;
    let noted = Moment::of(now, record.zone());
    match at {
        Some(text) => Ok((Moment::typed(text, record.zone())?, noted)),
        None => Ok((noted, noted)),
    }
}

/// Says what is in the record now, how pressures without a letter were read, and what comes next.
fn said(event: &Event, folder: &Path) {
    let readings = event.body.readings_in_words();
    let read: String = readings.iter().map(|echo| format!("{echo}.\n")).collect();
    let (number, word, at) = (event.number, event.body.word(), event.at);
    let folder = folder.display();
    print(&format!(
        "Event {number}, {word}, {at}, is in {folder}.\n{read}Next: lineproof decide {folder}\n"
    ));
}

fn add<A: Noted>(record: &mut Record, args: A) -> Ran {
    let (at, noted) = times(record, args.when().at.as_ref())?;
    let note = args.when().note.clone();
    let taken = args.when().photo.clone();
    let kept = record.kept_logs();
    let body = args.body(record, at)?;
    let mut new = NewEvent {
        at,
        noted,
        body,
        note,
        photos: Vec::new(),
    };
    if let Err(refused) = accepted(record, &new) {
        let copied = new.body.logs().into_iter().map(|log| record.log_path(log));
        for path in copied.filter(|path| !kept.contains(path)) {
            std::fs::remove_file(path)?;
        }
        return Err(refused);
    }
    for photo in &taken {
        new.photos.push(record.attach_photo(photo)?);
    }
    let folder = record.folder.clone();
    said(record.append(new)?, &folder);
    Ok(ExitCode::SUCCESS)
}

/// A test that could not be judged later is refused now, as an event stays for good.
fn accepted(record: &Record, new: &NewEvent) -> Result<(), Box<dyn std::error::Error>> {
    record.fits(new)?;
    let event = Event {
        number: record.events.last().map_or(1, |last| last.number + 1),
        at: new.at,
        noted: new.noted,
        body: new.body.clone(),
        note: None,
        photos: Vec::new(),
        before: Vec::new(),
    };
    let judged = decide::readable(record, &event)
        .map_err(|error| format!("nothing was recorded: {error}"))?;
    let question = judged.and_then(|finding| evacuation::question(&event.body, &finding));
    match question {
        Some(question) => Err(format!("nothing was recorded yet: {question}").into()),
        None => Ok(()),
    }
}

pub(super) fn run(args: Args) -> Ran {
    let mut record = Record::open(&args.folder)?;
    warn(&record);
    let record = &mut record;
    match args.event {
        Kind::JointMade(a) => add(record, a),
        Kind::JointChecked(a) => add(record, a),
        Kind::PressureTest(a) => add(record, *a),
        Kind::Evacuation(a) => add(record, *a),
        Kind::ValveMoved(a) => add(record, a),
        Kind::PumpValveMoved(a) => add(record, a),
        Kind::Opened(a) => add(record, a),
        Kind::Repaired(a) => add(record, a),
        Kind::Released(a) => add(record, a),
        Kind::Weighed(a) => add(record, *a),
        Kind::StartChecked(a) => add(record, *a),
        Kind::Started(a) => add(record, a),
        Kind::Stopped(a) => add(record, a),
        Kind::Reading(a) => add(record, *a),
        Kind::TechnicianVisit(a) => add(record, *a),
        Kind::Changed(a) => work::change(record, a),
        Kind::Corrected(a) => work::correct(record, a),
    }
}

/// A segment's name.
fn segment(word: &str) -> Result<Segment, String> {
    Segment::ALL
        .into_iter()
        .find(|s| s.word() == word)
        .ok_or_else(|| {
            let words: Vec<_> = Segment::ALL.iter().map(|s| s.word()).collect();
            super::new::one_of(word, &words)
        })
}
