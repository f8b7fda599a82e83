//! What a column is, from its name.

use crate::check::run::steady::{Channel, Kind as Reads};
use crate::quantity::{
    Current, ParseError, PressureUnit, Temperature, Unit, parse_pressure, pressure_unit, unit,
};

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
    pub(super) fn what(self) -> &'static str {
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

    /// How an option names the unit.
    pub(super) fn unit_option(self, unit: &str) -> String {
        match self {
            Role::Running(channel) => format!("--column-unit {}={unit}", channel.word()),
            _ => format!("--pressure-unit {unit}"),
        }
    }

    /// The same where the unit may be of two words.
    pub(super) fn unit_option_quoted(self, unit: &str) -> String {
        match self {
            Role::Running(channel) => format!("--column-unit \"{}={unit}\"", channel.word()),
            _ => format!("--pressure-unit \"{unit}\""),
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

/// The kinds of log, each with its own columns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// A hold or a rise.
    Still,
    /// The running system.
    Running,
}

impl Kind {
    /// Every role that a column can have.
    pub fn roles(self) -> Vec<Role> {
        match self {
            Kind::Still => vec![
                Role::Time,
                Role::Pressure,
                Role::Outdoor,
                Role::Indoor,
                Role::Witness,
                Role::Second,
                Role::Phase,
            ],
            Kind::Running => {
                let channels = LOGGED.iter().map(|channel| Role::Running(*channel));
                std::iter::once(Role::Time).chain(channels).collect()
            }
        }
    }

    /// The role that a column's name gives it.
    pub fn role_of(self, name: &str) -> Option<Role> {
        match self {
            Kind::Still => role_of(name),
            Kind::Running => running_role_of(name),
        }
    }

    /// The commands that leave out rows without a reading.
    pub fn commands(self) -> &'static str {
        match self {
            Kind::Still => "lineproof tight and dry leave",
            Kind::Running => "lineproof steady leaves",
        }
    }
}

/// The channels that are logged; superheat and subcooling are always computed here.
pub const LOGGED: &[Channel] = Channel::ALL.split_at(2).1;

/// What the user said about the file; replaces what the names say.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Asked {
    /// Names of columns.
    pub columns: Vec<(Role, String)>,
    /// Units of columns; a pressure's with gauge or absolute said.
    pub units: Vec<(Role, String)>,
    /// Leave out rows with an instrument's word for no reading, and say so.
    pub skip_missing: bool,
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

/// The lower-case words of a column name: `T_outdoor_K` -> t, outdoor, k.
fn words(name: &str) -> Vec<String> {
    name.split(|c: char| !(c.is_alphanumeric() || matches!(c, '°' | '/' | 'µ' | 'μ')))
        .filter(|w| !w.is_empty())
        .map(|w| w.trim_start_matches('°').to_lowercase())
        .collect()
}

/// The role a column's name gives it in a hold or a rise.
fn role_of(name: &str) -> Option<Role> {
    let words = words(name);
    // p1 and p2 are pressures as well as p
    let first = words
        .first()?
        .trim_end_matches(|c: char| c.is_ascii_digit());
    let has = |list: &[&str]| words.iter().any(|w| list.contains(&w.as_str()));
    let temperature = has(&["t", "temp", "temperature", "air"]);
    if temperature && has(&["outdoor", "outside", "out", "ambient"]) {
        return Some(Role::Outdoor);
    }
    if temperature && has(&["indoor", "inside", "in", "room"]) {
        return Some(Role::Indoor);
    }
    match first {
        "witness" => return Some(Role::Witness),
        "second" => return Some(Role::Second),
        "phase" => return Some(Role::Phase),
        _ => {}
    }
    if matches!(first, "p" | "pressure" | "vacuum" | "gauge")
        || matches!(first, "psig" | "micron" | "microns")
    {
        return Some(Role::Pressure);
    }
    is_time(&words).then_some(Role::Time)
}

fn is_time(words: &[String]) -> bool {
    let first = words[0].trim_end_matches(|c: char| c.is_ascii_digit());
    matches!(
        first,
        "time"
            | "timestamp"
            | "datetime"
            | "date"
            | "elapsed"
            | "hours"
            | "minutes"
            | "seconds"
            | "unix"
            | "epoch"
    ) || (first == "t" && words.len() == 2 && seconds_in(&words[1]).is_some())
}

/// The role a column's name gives it in a running log.
fn running_role_of(name: &str) -> Option<Role> {
    let words = words(name);
    words.first()?;
    if is_time(&words) {
        return Some(Role::Time);
    }
    let has = |list: &[&str]| words.iter().any(|w| list.contains(&w.as_str()));
    // another program's own result is no reading
    if has(&[
        "superheat",
        "subcooling",
        "sat",
        "saturation",
        "saturated",
        "target",
    ]) {
        return None;
    }
    let pressure = has(&["p", "pressure", "psig", "psia", "psi", "bar", "kpa", "mpa"]);
    let wet = has(&["wet", "wb", "wetbulb"]);
    let bend = has(&["bend", "coil"]);
    let channel = match () {
        _ if has(&["current", "amps", "amperage"]) => Channel::Current,
        _ if pressure && has(&["suction", "low", "vapour", "vapor"]) => Channel::SuctionPressure,
        _ if pressure && has(&["liquid", "high", "discharge"]) => Channel::LiquidPressure,
        _ if pressure => return None,
        _ if bend && has(&["evaporator", "evap", "indoor"]) => Channel::EvaporatorBend,
        _ if bend && has(&["condenser", "cond", "outdoor"]) => Channel::CondenserBend,
        _ if has(&["suction", "vapour", "vapor"]) => Channel::SuctionLine,
        _ if has(&["liquid"]) => Channel::LiquidLine,
        _ if has(&["discharge"]) => Channel::DischargeLine,
        _ if wet && has(&["return"]) => Channel::ReturnWetBulb,
        _ if wet && has(&["supply"]) => Channel::SupplyWetBulb,
        _ if has(&["return"]) => Channel::ReturnAir,
        _ if has(&["supply"]) => Channel::SupplyAir,
        _ if has(&["leaving", "exhaust"]) => Channel::LeavingAir,
        _ if has(&["outdoor", "outside", "ambient"]) => Channel::Outdoor,
        _ => return None,
    };
    Some(Role::Running(channel))
}

/// The unit of a current that a name ends in.
pub(super) fn current_unit(name: &str) -> Option<Unit<Current>> {
    let last = words(name).pop()?;
    matches!(last.as_str(), "a" | "amp" | "amps" | "ampere" | "amperes").then_some(unit::AMPERE)
}

/// What is allowed of a temperature, in kelvin and in words.
pub(super) fn possible(role: Role) -> (std::ops::RangeInclusive<f64>, &'static str) {
    match role {
        Role::Running(channel) if channel.kind() == Reads::Discharge => (
            220.0..=433.0,
            "-53 to 160 °C (-64 to 320 °F): a lost probe or a wrong unit",
        ),
        _ => (
            220.0..=345.0,
            "-53 to 72 °C (-64 to 161 °F): a lost probe or a wrong unit",
        ),
    }
}

fn seconds_in(word: &str) -> Option<f64> {
    match word {
        "s" | "sec" | "seconds" => Some(1.0),
        "min" | "minutes" => Some(60.0),
        "h" | "hr" | "hour" | "hours" => Some(3600.0),
        "d" | "day" | "days" => Some(86_400.0),
        _ => None,
    }
}

/// Seconds in the time column's unit; none when the cells are dates.
pub(super) fn time_unit(name: &str) -> Option<f64> {
    words(name)
        .iter()
        .skip_while(|w| *w == "t")
        .find_map(|w| seconds_in(w))
}

/// The temperature unit a name ends in.
pub(super) fn temperature_unit(name: &str) -> Option<Unit<Temperature>> {
    match words(name).last()?.as_str() {
        "k" | "kelvin" => Some(unit::KELVIN),
        "c" | "degc" | "celsius" => Some(unit::CELSIUS),
        "f" | "degf" | "fahrenheit" => Some(unit::FAHRENHEIT),
        _ => None,
    }
}

/// The pressure unit a name ends in: "pressure_psi_g", "p_bar_abs", "p_psig"; an error says what is open.
pub(super) fn unit_of_name(name: &str) -> Result<PressureUnit, Option<ParseError>> {
    let words = words(name);
    let mut refused = None;
    let first = usize::from(words.len() > 1);
    for start in first..words.len() {
        let unit = words[start..].join(" ");
        match asked_unit(&unit) {
            Ok(unit) => return Ok(unit),
            Err(e @ ParseError::GaugeOrAbsolute { .. }) => refused = Some(e),
            Err(_) => {}
        }
    }
    Err(refused)
}

/// A pressure unit as typed; an error asks what it leaves open.
pub(super) fn asked_unit(unit: &str) -> Result<PressureUnit, ParseError> {
    match pressure_unit(unit) {
        Some(unit) => Ok(unit),
        None => {
            Err(parse_pressure(&format!("1 {unit}"))
                .expect_err("a unit that is not found is refused"))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_give_roles_and_units() {
        for (name, role) in [
            ("t_h", Role::Time),
            ("t_min", Role::Time),
            ("Time", Role::Time),
            ("timestamp", Role::Time),
            ("p_psig", Role::Pressure),
            ("Pressure (psig)", Role::Pressure),
            ("p_micron", Role::Pressure),
            ("T_outdoor_K", Role::Outdoor),
            ("Outdoor temperature (°F)", Role::Outdoor),
            ("T_indoor_K", Role::Indoor),
        ] {
            assert_eq!(role_of(name), Some(role), "{name}");
        }
        assert_eq!(role_of("battery_V"), None);
    }

    #[test]
    fn names_of_a_running_log_give_roles() {
        for (name, channel) in [
            ("suction_line_F", Channel::SuctionLine),
            ("Vapour line (°C)", Channel::SuctionLine),
            ("liquid_line_F", Channel::LiquidLine),
            ("suction_psig", Channel::SuctionPressure),
            ("Low side pressure (psig)", Channel::SuctionPressure),
            ("liquid_psig", Channel::LiquidPressure),
            ("high pressure bar gauge", Channel::LiquidPressure),
            ("evaporator_bend_F", Channel::EvaporatorBend),
            ("condenser coil C", Channel::CondenserBend),
            ("discharge_F", Channel::DischargeLine),
            ("T_outdoor_F", Channel::Outdoor),
            ("return_F", Channel::ReturnAir),
            ("return_wet_bulb_F", Channel::ReturnWetBulb),
            ("supply_WB_F", Channel::SupplyWetBulb),
            ("leaving_air_F", Channel::LeavingAir),
            ("outdoor_unit_current_A", Channel::Current),
        ] {
            assert_eq!(
                running_role_of(name),
                Some(Role::Running(channel)),
                "{name}"
            );
        }
        assert_eq!(running_role_of("t_min"), Some(Role::Time));
        for name in ["suction superheat F", "battery_V", "pressure", ""] {
            assert_eq!(running_role_of(name), None, "{name}");
        }
        assert!(LOGGED.len() == 14 && LOGGED[0] == Channel::SuctionLine);
    }

    #[test]
    fn names_give_units() {
        assert_eq!(time_unit("t_h"), Some(3600.0));
        assert_eq!(time_unit("elapsed seconds"), Some(1.0));
        assert_eq!(time_unit("timestamp"), None);
        assert_eq!(unit_of_name("p_psig").unwrap().symbol(), "psig");
        assert_eq!(
            unit_of_name("pressure bar abs").unwrap().symbol(),
            "bar abs"
        );
        assert!(matches!(unit_of_name("pressure_psi"), Err(Some(_))));
        assert!(matches!(unit_of_name("pressure"), Err(None)));
    }
}
