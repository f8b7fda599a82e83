//! What a column is, from its name.

use crate::quantity::{
    ParseError, PressureUnit, Temperature, Unit, parse_pressure, pressure_unit, unit,
};

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// Elapsed time, or date and time.
    Time,
    /// Pressure.
    Pressure,
    /// Outdoor temperature.
    Outdoor,
    /// Indoor temperature.
    Indoor,
}

impl Role {
    pub(super) fn what(self) -> &'static str {
        match self {
            Role::Time => "time",
            Role::Pressure => "pressure",
            Role::Outdoor => "outdoor temperature",
            Role::Indoor => "indoor temperature",
        }
    }
    pub(super) fn option(self) -> &'static str {
        match self {
            Role::Time => "--time-column",
            Role::Pressure => "--pressure-column",
            Role::Outdoor => "--outdoor-column",
            Role::Indoor => "--indoor-column",
        }
    }
    pub(super) fn example(self) -> &'static str {
        match self {
            Role::Time => "t_h, t_min or time",
            Role::Pressure => "p_psig or p_micron",
            Role::Outdoor => "T_outdoor_F",
            Role::Indoor => "T_indoor_F",
        }
    }
}

/// What the user said about the file; replaces what the names say.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Asked {
    /// The time column's name.
    pub time_column: Option<String>,
    /// The pressure column's name.
    pub pressure_column: Option<String>,
    /// The pressure unit, gauge or absolute said.
    pub pressure_unit: Option<String>,
    /// The outdoor temperature column's name.
    pub outdoor_column: Option<String>,
    /// The indoor temperature column's name.
    pub indoor_column: Option<String>,
    /// Leave out rows with an instrument's word for no reading, and say so.
    pub skip_missing: bool,
}

impl Asked {
    pub(super) fn column(&self, role: Role) -> Option<&str> {
        match role {
            Role::Time => self.time_column.as_deref(),
            Role::Pressure => self.pressure_column.as_deref(),
            Role::Outdoor => self.outdoor_column.as_deref(),
            Role::Indoor => self.indoor_column.as_deref(),
        }
    }
}

/// The lower-case words of a column name: `T_outdoor_K` -> t, outdoor, k.
fn words(name: &str) -> Vec<String> {
    name.split(|c: char| !(c.is_alphanumeric() || matches!(c, '°' | '/' | 'µ' | 'μ')))
        .filter(|w| !w.is_empty())
        .map(|w| w.trim_start_matches('°').to_lowercase())
        .collect()
}

/// The role a column's name gives it.
pub(super) fn role_of(name: &str) -> Option<Role> {
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
    if matches!(first, "p" | "pressure" | "vacuum" | "gauge")
        || matches!(first, "psig" | "micron" | "microns")
    {
        return Some(Role::Pressure);
    }
    if matches!(
        first,
        "time" | "timestamp" | "datetime" | "date" | "elapsed" | "hours" | "minutes" | "seconds"
    ) || (first == "t" && words.len() == 2 && seconds_in(&words[1]).is_some())
    {
        return Some(Role::Time);
    }
    None
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
