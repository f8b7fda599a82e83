//! The command-line program: arguments as typed, then ready objects, then run.

mod add;
mod airflow;
mod args;
mod charge;
mod cycle;
mod dry;
mod follow;
mod hissing;
mod hold;
mod idle;
mod judge;
mod leak_rate;
mod line_charge;
mod logfile;
mod lost;
mod new;
mod plan;
mod properties;
mod pump_down;
mod readings;
mod rehearse;
mod room_size;
mod run;
mod saturation;
mod steady;
mod table;
mod target;
mod tight;
mod verify;
mod volume;
mod water;
mod weigh_in;
mod why;

use std::ffi::OsString;
use std::io::Write;
use std::path::Path;
use std::process::ExitCode;

use clap::{CommandFactory, Parser, Subcommand};

use crate::check::{Finding, Outcome};
use crate::decide::Verdict;
use crate::record::Record;

/// From made-up joints to a proven charge: judges the readings of a self-installed refrigerant line set.
#[derive(Debug, Parser)]
#[command(name = "lineproof", version, max_term_width = 100, after_help = AFTER_HELP)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

const AFTER_HELP: &str = "\
When gas is heard: lineproof hissing

Exit codes: 0 pass, go on, does not apply; 1 fail, call a technician, stop;
2 could not run; 3 anything else (repeat, undecided, not done).";

#[derive(Debug, Subcommand)]
enum Command {
    /// Make a line set record: a folder with its facts and an empty list of events
    New(new::Args),
    /// Add an event to a record: what was done, read or seen
    Add(add::Args),
    /// A record summed up on one screen: the answer, its stages, the next command
    Check(judge::CheckArgs),
    /// The one answer for a record: go on, repeat, call a technician, or stop
    Decide(judge::DecideArgs),
    /// What a code means, what it asks for, and what would undo it
    Why(why::Args),
    /// Write a record's report as one HTML file
    Report(judge::ReportArgs),
    /// Whether a record is still the one that was written, line by line
    Verify(verify::Args),
    /// What to do when gas is heard: one card, no questions
    Hissing(hissing::Args),
    /// Saturation of a refrigerant: bubble and dew at a pressure or a temperature
    Saturation(saturation::Args),
    /// Bubble and dew of a refrigerant in rows: text, CSV, or one page to print
    Table(table::Args),
    /// What a refrigerant is, and what it is like at a pressure and a temperature
    Properties(properties::Args),
    /// Judge the readings of a running unit: what they mean, what to read next
    Run(Box<run::Args>),
    /// Superheat: suction line less dew, with its uncertainty
    Superheat(cycle::SuperheatArgs),
    /// Subcooling: bubble less liquid line, with its uncertainty
    Subcooling(cycle::SubcoolingArgs),
    /// Target superheat of a fixed orifice, or target temperature split, with its uncertainty
    Target(target::Args),
    /// Airflow from an electric heater's power and the temperature rise that it makes
    Airflow(airflow::Args),
    /// Water in a vacuum: where it boils, or ice turns to vapour
    Water(water::Args),
    /// What a standing pressure test could see, and how long it takes; the card to tape to the unit
    Plan(Box<plan::Args>),
    /// A practice log of a standing pressure test on your own set, with a hidden truth
    Rehearse(Box<rehearse::Args>),
    /// Judge a logged standing pressure test
    Tight(Box<tight::Args>),
    /// Gas volume of a line set: from tubes and coil, or measured by expansion
    Volume(Box<volume::Args>),
    /// A loss of test gas in refrigerant a year, by three laws of flow, and back
    LeakRate(Box<leak_rate::Args>),
    /// How long the vacuum pump takes, what would help, and what a log of it shows
    PumpDown(Box<pump_down::Args>),
    /// Judge a logged vacuum rise
    Dry(Box<dry::Args>),
    /// Where a running log stands still, and whether it hunts
    Steady(steady::Args),
    /// Line-length adjustment of the charge, with its arithmetic
    LineCharge(Box<line_charge::Args>),
    /// How much is in, how much could be gone, whether it matters, and what next
    Charge(charge::Args),
    /// The sheet for the scale: what belongs in, what is still to be weighed in, where to stop
    WeighIn(weigh_in::Args),
    /// What could be gone after refrigerant got out: the least and the most
    Lost(Box<lost::Args>),
    /// Air at rest: the most that could be inside, from the pressure above saturation
    Idle(idle::Args),
    /// How large a room must be for a charge that can burn
    RoomSize(room_size::Args),
    /// Print the completions of a shell
    Completions {
        /// The shell
        shell: clap_complete::Shell,
    },
}

/// What a command comes to: the exit code, or why it could not run.
type Ran = Result<ExitCode, Box<dyn std::error::Error>>;

/// Runs the program with its arguments.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let cli = match Cli::try_parse_from(arguments) {
        Ok(cli) => cli,
        Err(refused) => {
            // a reader that closes the pipe early is no failure of ours
            let _ = refused.print();
            return if refused.use_stderr() {
                ExitCode::from(2)
            } else {
                ExitCode::SUCCESS
            };
        }
    };
    match dispatch(cli.command) {
        Ok(code) => code,
        Err(error) => {
            let _ = writeln!(std::io::stderr(), "error: {error}");
            ExitCode::from(2)
        }
    }
}

fn dispatch(command: Command) -> Ran {
    match command {
        Command::New(args) => new::run(args),
        Command::Add(args) => add::run(args),
        Command::Check(args) => judge::check(args),
        Command::Decide(args) => judge::decide(args),
        Command::Report(args) => judge::report(args),
        Command::Why(args) => why::run(args),
        Command::Verify(args) => verify::run(args),
        Command::Hissing(args) => hissing::run(args),
        Command::Saturation(args) => saturation::run(args),
        Command::Table(args) => table::run(args),
        Command::Properties(args) => properties::run(args),
        Command::Run(args) => run::run(*args),
        Command::Superheat(args) => cycle::superheat(args),
        Command::Subcooling(args) => cycle::subcooling(args),
        Command::Target(args) => target::run(args),
        Command::Airflow(args) => airflow::run(args),
        Command::Water(args) => water::run(args),
        Command::Plan(args) => plan::run(*args),
        Command::Rehearse(args) => rehearse::run(*args),
        Command::Tight(args) => tight::run(*args),
        Command::Volume(args) => volume::run(*args),
        Command::LeakRate(args) => leak_rate::run(*args),
        Command::PumpDown(args) => pump_down::run(*args),
        Command::Dry(args) => dry::run(*args),
        Command::Steady(args) => steady::run(args),
        Command::LineCharge(args) => line_charge::run(*args),
        Command::Charge(args) => charge::run(args),
        Command::WeighIn(args) => weigh_in::run(args),
        Command::Lost(args) => lost::run(*args),
        Command::Idle(args) => idle::run(args),
        Command::RoomSize(args) => room_size::run(args),
        Command::Completions { shell } => {
            let mut script = Vec::new();
            clap_complete::generate(shell, &mut Cli::command(), "lineproof", &mut script);
            print(&String::from_utf8_lossy(&script));
            Ok(ExitCode::SUCCESS)
        }
    }
}

/// What a record's files show that does not stop the work; beside the result, so that JSON stays whole.
fn warn(record: &Record) {
    for warning in &record.warnings {
        let _ = writeln!(std::io::stderr(), "note: {warning}");
    }
    for (file, fate) in record.files_that_changed() {
        let _ = writeln!(std::io::stderr(), "note: {file} {fate}");
    }
}

/// A page with the record's folder in its commands.
fn in_folder(page: &str, folder: &Path) -> String {
    let name = folder.display().to_string();
    let plain = |c: char| c.is_alphanumeric() || "/._-~".contains(c);
    let name = if name.chars().all(plain) {
        name
    } else {
        format!("\"{name}\"")
    };
    const COMMANDS: [&str; 5] = ["add", "check", "decide", "report", "verify"];
    COMMANDS.iter().fold(page.to_string(), |page, command| {
        page.replace(
            &format!("lineproof {command} DIR"),
            &format!("lineproof {command} {name}"),
        )
    })
}

/// Prints, and stops quietly when nobody reads any more.
fn print(text: &str) {
    let _ = std::io::stdout().lock().write_all(text.as_bytes());
}

/// Writes a file, or says what to check.
fn write(path: &Path, text: &str) -> Result<(), String> {
    std::fs::write(path, text).map_err(cannot_be_written(path))
}

/// Whether a file can be written, before anything is said; what it holds stays.
fn writable(path: &Path) -> Result<(), String> {
    let opened = std::fs::OpenOptions::new()
        .append(true)
        .create(true)
        .open(path);
    opened.map(drop).map_err(cannot_be_written(path))
}

fn cannot_be_written(path: &Path) -> impl Fn(std::io::Error) -> String {
    move |e| {
        format!(
            "{}: cannot be written ({e}); check that the folder exists and that you may write there",
            path.display()
        )
    }
}

/// The exit code of an outcome.
fn outcome_code(outcome: Outcome) -> ExitCode {
    match outcome {
        Outcome::Pass | Outcome::DoesNotApply => ExitCode::SUCCESS,
        Outcome::Fail => ExitCode::from(1),
        Outcome::Undecided | Outcome::NotDone | Outcome::OutOfDate | Outcome::NotValidNow => {
            ExitCode::from(3)
        }
    }
}

/// The exit code of what a check found: a stop counts as one, whatever the outcome.
fn finding_code(finding: &Finding) -> ExitCode {
    match finding.stop() {
        Some(_) => verdict_code(Verdict::Stop),
        None => outcome_code(finding.outcome),
    }
}

/// The exit code of a decision.
fn verdict_code(verdict: Verdict) -> ExitCode {
    match verdict {
        Verdict::GoOn => ExitCode::SUCCESS,
        Verdict::Call | Verdict::Stop => ExitCode::from(1),
        Verdict::Repeat => ExitCode::from(3),
    }
}
