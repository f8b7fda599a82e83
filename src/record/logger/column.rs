//! What a column can be, and what the user said of it.

use super::name::{role_of, running_role_of};
use super::number::Decimal;
use crate::check::run::steady::{self, Channel};

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// Elapsed time, or date and time.
    Time,
    /// Pressure of a hold or a rise.
    Pressure,
    /// Outdoor temperature of a hold.
    Outdoor,
    /// Indoor temperature of a hold.
    Indoor,
    /// Pressure of a second, known-tight volume beside a hold.
    Witness,
    /// Pressure of a second gauge on the volume of a rise.
    Second,
    /// The word for pumping or isolated in a rise.
    Phase,
    /// A column of a running log.
    Running(Channel),
}

impl Role {
    /// In words.
    pub fn what(self) -> &'static str {
        match self {
            Role::Time => "time",
            Role::Pressure => "pressure",
            Role::Outdoor => "outdoor temperature",
            Role::Indoor => "indoor temperature",
            Role::Witness => "witness pressure",
            Role::Second => "second gauge",
            Role::Phase => "phase",
            Role::Running(channel) => channel.words(),
        }
    }

    /// How an option names the column.
    pub(super) fn option(self) -> String {
        match self {
            Role::Time => "--time-column".into(),
            Role::Pressure => "--pressure-column".into(),
            Role::Outdoor => "--outdoor-column".into(),
            Role::Indoor => "--indoor-column".into(),
            Role::Witness => "--witness-column".into(),
            Role::Second => "--second-column".into(),
            Role::Phase => "--phase-column".into(),
            Role::Running(channel) => format!("--column {}=NAME", channel.word()),
        }
    }

    /// The option with a column.
    pub(super) fn option_of(self, column: &str) -> String {
        match self {
            Role::Running(channel) => format!("--column \"{}={column}\"", channel.word()),
            _ => format!("{} \"{column}\"", self.option()),
        }
    }

    /// The option that names its unit, with the unit.
    pub(super) fn unit_option(self, unit: &str) -> String {
        match self {
            Role::Running(channel) => format!("--column-unit {}={unit}", channel.word()),
            _ => format!("{} {unit}", self.unit_option_alone()),
        }
    }

    /// The same where the unit may be of two words.
    pub(super) fn unit_option_quoted(self, unit: &str) -> String {
        match self {
            Role::Running(channel) => format!("--column-unit \"{}={unit}\"", channel.word()),
            _ => format!("{} \"{unit}\"", self.unit_option_alone()),
        }
    }

    /// The same without a unit.
    pub(super) fn unit_option_alone(self) -> String {
        match self {
            Role::Time | Role::Phase | Role::Pressure => "--pressure-unit".into(),
            Role::Outdoor => "--outdoor-unit".into(),
            Role::Indoor => "--indoor-unit".into(),
            Role::Witness => "--witness-unit".into(),
            Role::Second => "--second-unit".into(),
            Role::Running(channel) => format!("--column-unit {}", channel.word()),
        }
    }

    /// What its cells are.
    pub(super) fn reads(self) -> Reads {
        match self {
            Role::Time => Reads::Time,
            Role::Phase => Reads::Words,
            Role::Pressure | Role::Witness | Role::Second => Reads::Pressure,
            Role::Outdoor | Role::Indoor => Reads::Temperature,
            Role::Running(channel) => match channel.kind() {
                steady::Kind::Pressure => Reads::Pressure,
                steady::Kind::Current => Reads::Current,
                _ => Reads::Temperature,
            },
        }
    }

    pub(super) fn example(self) -> &'static str {
        match self {
            Role::Time => "t_h, t_min or time",
            Role::Pressure => "p_psig or p_micron",
            Role::Outdoor => "T_outdoor_F",
            Role::Indoor => "T_indoor_F",
            Role::Witness => "witness_psig",
            Role::Second => "second_micron",
            Role::Phase => "phase",
            Role::Running(_) => "suction_line_F",
        }
    }
}

/// What the cells of a column are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Reads {
    Time,
    Pressure,
    Temperature,
    Current,
    Words,
}

/// The kinds of log, each with its own columns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A standing pressure test.
    Hold,
    /// A vacuum rise.
    Rise,
    /// The running system.
    Running,
}

impl Kind {
    /// Every role that a column can have.
    pub(super) fn roles(self) -> Vec<Role> {
        use Role::{Indoor, Outdoor, Phase, Pressure, Second, Time, Witness};
        match self {
            Kind::Hold => vec![Time, Pressure, Outdoor, Indoor, Witness],
            Kind::Rise => vec![Time, Pressure, Second, Phase],
            Kind::Running => {
                let channels = LOGGED.iter().map(|channel| Role::Running(*channel));
                std::iter::once(Time).chain(channels).collect()
            }
        }
    }

    /// The role that a column's name gives it.
    pub(super) fn role_of(self, name: &str) -> Option<Role> {
        match self {
            Kind::Hold | Kind::Rise => role_of(name),
            Kind::Running => running_role_of(name),
        }
    }

    /// The commands that leave out rows without a reading.
    pub(super) fn commands(self) -> &'static str {
        match self {
            Kind::Hold => "lineproof tight leaves",
            Kind::Rise => "lineproof dry and pump-down leave",
            Kind::Running => "lineproof steady leaves",
        }
    }
}

/// The channels that are logged; superheat and subcooling are always computed here.
pub const LOGGED: &[Channel] = Channel::ALL.split_at(2).1;

/// What the user said about the file; replaces what the names say.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Asked {
    /// Names of columns; `#3` is the third, `p#2` the second of that name.
    pub columns: Vec<(Role, String)>,
    /// Units of columns; a pressure's with gauge or absolute said.
    pub units: Vec<(Role, String)>,
    /// Leave out rows with an instrument's word for no reading, and say so.
    pub skip_missing: bool,
    /// The sheet of a workbook.
    pub sheet: Option<String>,
    /// The sign before the decimals.
    pub decimal: Option<Decimal>,
    /// The line that names the columns.
    pub header_line: Option<u64>,
    /// How dates and times are written, in the letters of strftime.
    pub time_format: Option<String>,
    /// The time zone of clock times without one, an IANA name.
    pub zone: Option<String>,
    /// Which part of a log whose clock restarts, counted from 1.
    pub part: Option<usize>,
    /// Only so many bytes of the file, where it still grows.
    pub upto: Option<u64>,
}

impl Asked {
    /// With the columns and units that were named.
    pub fn of(
        columns: impl IntoIterator<Item = (Role, Option<String>)>,
        units: impl IntoIterator<Item = (Role, Option<String>)>,
    ) -> Self {
        let named = |(role, text): (Role, Option<String>)| Some((role, text?));
        Asked {
            columns: columns.into_iter().filter_map(named).collect(),
            units: units.into_iter().filter_map(named).collect(),
            ..Asked::default()
        }
    }

    pub(super) fn column(&self, role: Role) -> Option<&str> {
        of_role(&self.columns, role)
    }

    pub(super) fn unit(&self, role: Role) -> Option<&str> {
        of_role(&self.units, role)
    }
}

fn of_role(list: &[(Role, String)], role: Role) -> Option<&str> {
    let (_, text) = list.iter().find(|(r, _)| *r == role)?;
    Some(text)
}
