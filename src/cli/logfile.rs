//! Arguments that say how a logger file is read.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use super::args::Output;
use super::print;
use crate::check::run::steady::Channel;
use crate::out::json;
use crate::out::text::{self, Style};
use crate::quantity::Barometer;
use crate::record::logger::{self, Asked, Decimal, Kind, Role};
use crate::record::{ColumnUse, LogColumn};

/// How any logger file is written.
#[derive(Debug, clap::Args)]
pub(super) struct Written {
    /// The sheet of a workbook
    #[arg(long, value_name = "NAME")]
    sheet: Option<String>,
    /// The sign before the decimals: point or comma; found in the file when not given
    #[arg(long, value_name = "SIGN", value_parser = decimal)]
    decimal: Option<Decimal>,
    /// The line that names the columns; found when not given
    #[arg(long, value_name = "LINE", value_parser = clap::value_parser!(u64).range(1..))]
    header_line: Option<u64>,
    /// Leave out rows without a reading (OL, Off, ---, a lost probe), and say which
    #[arg(long)]
    skip_missing: bool,
}

/// Whether a file is only looked at.
#[derive(Debug, clap::Args)]
pub(super) struct Preview {
    /// Only say how the file is understood: columns, units, gaps, what is left out
    #[arg(long)]
    preview: bool,
}

/// How any logger file is read.
#[derive(Debug, clap::Args)]
pub(super) struct Reading {
    #[command(flatten)]
    written: Written,
    #[command(flatten)]
    preview: Preview,
}

fn decimal(word: &str) -> Result<Decimal, String> {
    [Decimal::Point, Decimal::Comma]
        .into_iter()
        .find(|d| d.word() == word)
        .ok_or_else(|| format!("\"{word}\" is no decimal sign; type point or comma"))
}

impl Reading {
    /// What was said of the file, beside its columns.
    pub fn asked(&self, columns: Asked) -> Asked {
        self.written.asked(columns)
    }

    /// As [`Preview::shown`].
    pub fn preview(
        &self,
        path: &Path,
        asked: &Asked,
        kind: Kind,
        barometer: Barometer,
        output: &Output,
    ) -> Result<Option<ExitCode>, Box<dyn std::error::Error>> {
        self.preview.shown(path, asked, kind, barometer, output)
    }
}

impl Written {
    /// What was said of the file, beside its columns.
    fn asked(&self, columns: Asked) -> Asked {
        Asked {
            sheet: self.sheet.clone(),
            decimal: self.decimal,
            header_line: self.header_line,
            skip_missing: self.skip_missing,
            ..columns
        }
    }
}

impl Preview {
    /// Prints how the file is understood, where that is what was asked for; exit code 3 while something is open.
    pub fn shown(
        &self,
        path: &Path,
        asked: &Asked,
        kind: Kind,
        barometer: Barometer,
        output: &Output,
    ) -> Result<Option<ExitCode>, Box<dyn std::error::Error>> {
        if !self.preview {
            return Ok(None);
        }
        let seen = logger::preview(path, asked, kind, barometer)?;
        if output.json {
            print(&json::document(&json::LogPreview::from(&seen)));
        } else {
            print(&text::log_preview(&seen, Style::Plain));
        }
        Ok(Some(ExitCode::from(if seen.open.is_empty() {
            0
        } else {
            3
        })))
    }
}

/// How the log of a standing pressure test is read, where its names do not say.
///
/// A column is named, or numbered like "#3"; "p#2" is the second that is called p.
#[derive(Debug, clap::Args)]
pub(super) struct LogFile {
    /// Name or number of the time column
    #[arg(long, value_name = "NAME")]
    time_column: Option<String>,
    /// Name or number of the pressure column, e.g. Sensor1, "#3", or "p#2" for the second called p
    #[arg(long, value_name = "NAME")]
    pressure_column: Option<String>,
    /// Unit of the pressure column, gauge or absolute said, e.g. psig
    #[arg(long, value_name = "UNIT")]
    pressure_unit: Option<String>,
    /// Name or number of the outdoor temperature column
    #[arg(long, value_name = "NAME")]
    outdoor_column: Option<String>,
    /// Its unit: F, C or K
    #[arg(long, value_name = "UNIT")]
    outdoor_unit: Option<String>,
    /// Name or number of the indoor temperature column
    #[arg(long, value_name = "NAME")]
    indoor_column: Option<String>,
    /// Its unit: F, C or K
    #[arg(long, value_name = "UNIT")]
    indoor_unit: Option<String>,
    /// Name or number of the column of a second, known-tight volume's pressure
    #[arg(long, value_name = "NAME")]
    witness_column: Option<String>,
    /// Its unit, gauge or absolute said
    #[arg(long, value_name = "UNIT")]
    witness_unit: Option<String>,
    #[command(flatten)]
    written: Written,
    #[command(flatten)]
    clock: Clock,
}

/// How the clock of a logger file is read, where it does not say.
#[derive(Debug, Default, clap::Args)]
pub(super) struct Clock {
    /// How its dates and times are written, in the letters of strftime, e.g. "%d/%m/%y %H:%M"; or one of s, min, h, d, ms, unix, unix-ms, excel
    #[arg(long, value_name = "FORMAT")]
    time_format: Option<String>,
    /// Time zone of its clock, e.g. Europe/Berlin, where the clocks were set during the log
    #[arg(long, value_name = "ZONE")]
    zone: Option<String>,
    /// Which part to judge where its clock restarts, e.g. 2
    #[arg(long, value_name = "NUMBER")]
    part: Option<usize>,
}

impl Clock {
    fn is_silent(&self) -> bool {
        self.time_format.is_none() && self.zone.is_none() && self.part.is_none()
    }

    /// With what was said of the clock.
    pub fn said(&self, asked: Asked) -> Asked {
        Asked {
            time_format: self.time_format.clone(),
            zone: self.zone.clone(),
            part: self.part,
            ..asked
        }
    }
}

impl LogFile {
    /// As the reader of logger files wants it.
    pub fn asked(&self) -> Asked {
        let columns = [
            (Role::Time, self.time_column.clone()),
            (Role::Pressure, self.pressure_column.clone()),
            (Role::Outdoor, self.outdoor_column.clone()),
            (Role::Indoor, self.indoor_column.clone()),
            (Role::Witness, self.witness_column.clone()),
        ];
        let units = [
            (Role::Pressure, self.pressure_unit.clone()),
            (Role::Outdoor, self.outdoor_unit.clone()),
            (Role::Indoor, self.indoor_unit.clone()),
            (Role::Witness, self.witness_unit.clone()),
        ];
        self.clock
            .said(self.written.asked(Asked::of(columns, units)))
    }
}

/// How the log of a vacuum rise is read, where its names do not say.
#[derive(Debug, clap::Args)]
pub(super) struct RiseFile {
    /// Name or number of the time column
    #[arg(long, value_name = "NAME")]
    time_column: Option<String>,
    /// Name or number of the pressure column, e.g. Sensor1, "#3", or "p#2" for the second called p
    #[arg(long, value_name = "NAME")]
    pressure_column: Option<String>,
    /// Unit of the pressure column, e.g. micron or "Pa"
    #[arg(long, value_name = "UNIT")]
    pressure_unit: Option<String>,
    /// Name or number of the column of a second gauge on the same volume
    #[arg(long, value_name = "NAME")]
    second_column: Option<String>,
    /// Its unit
    #[arg(long, value_name = "UNIT")]
    second_unit: Option<String>,
    /// Name or number of the column with the word for pumping or isolated
    #[arg(long, value_name = "NAME")]
    phase_column: Option<String>,
    #[command(flatten)]
    written: Written,
    #[command(flatten)]
    clock: Clock,
}

impl RiseFile {
    /// As the reader of logger files wants it.
    pub fn asked(&self) -> Asked {
        let columns = [
            (Role::Time, self.time_column.clone()),
            (Role::Pressure, self.pressure_column.clone()),
            (Role::Second, self.second_column.clone()),
            (Role::Phase, self.phase_column.clone()),
        ];
        let units = [
            (Role::Pressure, self.pressure_unit.clone()),
            (Role::Second, self.second_unit.clone()),
        ];
        self.clock
            .said(self.written.asked(Asked::of(columns, units)))
    }
}

/// How a running log is read, where its names do not say.
#[derive(Debug, clap::Args)]
pub(super) struct RunningFile {
    /// Name of the time column
    #[arg(long, value_name = "NAME")]
    time_column: Option<String>,
    /// What a column holds, e.g. suction-line=Probe1; may be given several times
    #[arg(long, value_name = "ROLE=NAME", value_parser = of_channel)]
    column: Vec<(Channel, String)>,
    /// The unit of a column, gauge or absolute said, e.g. suction-pressure=psig; may be given several times
    #[arg(long, value_name = "ROLE=UNIT", value_parser = of_channel)]
    column_unit: Vec<(Channel, String)>,
    #[command(flatten)]
    clock: Clock,
}

/// A channel and what is said of its column.
fn of_channel(text: &str) -> Result<(Channel, String), String> {
    let logged = logger::LOGGED;
    let roles = || {
        let words: Vec<_> = logged.iter().map(|c| c.word()).collect();
        words.join(", ")
    };
    let Some((role, said)) = text.split_once('=') else {
        return Err(format!(
            "type it like suction-line=Probe1, with one of {}",
            roles()
        ));
    };
    let channel = logged.iter().find(|c| c.word() == role.trim());
    match channel {
        Some(channel) if !said.trim().is_empty() => Ok((*channel, said.trim().to_string())),
        Some(_) => Err(format!(
            "nothing stands after {role}=; type it like {role}=Probe1"
        )),
        None => Err(format!(
            "\"{role}\" is no role known here; it is one of {}",
            roles()
        )),
    }
}

impl RunningFile {
    /// As the reader of logger files wants it.
    pub fn asked(&self) -> Asked {
        let role =
            |(channel, said): &(Channel, String)| (Role::Running(*channel), Some(said.clone()));
        let time = (Role::Time, self.time_column.clone());
        self.clock.said(Asked::of(
            self.column.iter().map(role).chain([time]),
            self.column_unit.iter().map(role),
        ))
    }

    /// Whether nothing was said.
    pub fn is_silent(&self) -> bool {
        self.time_column.is_none()
            && self.column.is_empty()
            && self.column_unit.is_empty()
            && self.clock.is_silent()
    }

    /// What a record keeps of it; `names` are the columns that were read.
    pub fn kept(&self, names: &[(Channel, String)]) -> Vec<LogColumn> {
        let time = self.time_column.iter().map(|name| LogColumn {
            column: name.clone(),
            holds: ColumnUse::Time,
            unit: None,
        });
        let of = |list: &[(Channel, String)], channel: Channel| {
            let found = list.iter().find(|(c, _)| *c == channel);
            found.map(|(_, said)| said.clone())
        };
        let said = names.iter().filter_map(|(channel, name)| {
            let unit = of(&self.column_unit, *channel);
            (unit.is_some() || of(&self.column, *channel).is_some()).then(|| LogColumn {
                column: name.clone(),
                holds: ColumnUse::from_word(channel.word()).expect("every channel has its word"),
                unit,
            })
        });
        time.chain(said).collect()
    }
}

/// A file, and what goes with it.
type With<'a, T> = Result<Option<(&'a Path, T)>, Box<dyn std::error::Error>>;

/// A running log and how it is read.
#[derive(Debug, clap::Args)]
pub(super) struct RunningLog {
    /// A running log as CSV: its steadiest window stands in for what is not typed
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    #[command(flatten)]
    columns: RunningFile,
}

impl RunningLog {
    /// The file, and how it is read.
    pub fn asked(&self) -> With<'_, Asked> {
        match &self.log {
            Some(path) => Ok(Some((path, self.columns.asked()))),
            None if self.columns.is_silent() => Ok(None),
            None => Err("--time-column, --column, --column-unit, --time-format, --zone and --part say how a log is read: name it with --log".into()),
        }
    }

    /// What is said of the clock.
    pub fn clock(&self) -> Asked {
        self.columns.clock.said(Asked::default())
    }

    /// The file, and what a record keeps of its columns; refused where it cannot be read.
    pub fn read(&self, barometer: Barometer) -> With<'_, Vec<LogColumn>> {
        let Some((path, asked)) = self.asked()? else {
            return Ok(None);
        };
        let read = logger::read_running(path, &asked, barometer)?;
        Ok(Some((path, self.columns.kept(&read.names))))
    }
}
