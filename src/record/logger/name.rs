//! What a column's name says: its role and its unit.

use super::column::Role;
use crate::check::run::steady::{Channel, Kind as Reads};
use crate::quantity::{
    Current, ParseError, PressureUnit, Temperature, Unit, parse_pressure, pressure_unit, unit,
};

/// The lower-case words of a column name: `T_outdoor_K` -> t, outdoor, k.
fn words(name: &str) -> Vec<String> {
    name.split(|c: char| !(c.is_alphanumeric() || matches!(c, '°' | '/' | 'µ' | 'μ')))
        .filter(|w| !w.is_empty())
        .map(|w| w.trim_start_matches('°').to_lowercase())
        .collect()
}

/// The role a column's name gives it in a hold or a rise.
pub(super) fn role_of(name: &str) -> Option<Role> {
    let words = words(name);
    if is_time(&words) {
        return Some(Role::Time);
    }
    // p1 and p2 are pressures as well as p
    let first = words
        .first()?
        .trim_end_matches(|c: char| c.is_ascii_digit());
    let has = |list: &[&str]| words.iter().any(|w| list.contains(&w.as_str()));
    let temperature = has(&["t", "temp", "temperature", "air"]) || temperature_unit(name).is_some();
    if temperature && has(&["outdoor", "outside", "out", "ambient"]) {
        return Some(Role::Outdoor);
    }
    if temperature && has(&["indoor", "inside", "in", "room"]) {
        return Some(Role::Indoor);
    }
    if temperature_unit(name).is_some() {
        return None;
    }
    match first {
        "phase" => return Some(Role::Phase),
        "second" => return Some(Role::Second),
        _ if has(&["witness"]) => return Some(Role::Witness),
        _ => {}
    }
    // "line" over "bar abs": what is counted so is a pressure
    let unit = matches!(
        unit_of_name(name),
        Ok(_) | Err(Some(ParseError::GaugeOrAbsolute { .. }))
    );
    (unit || matches!(first, "p" | "pressure" | "vacuum" | "gauge") || has(&["pressure"]))
        .then_some(Role::Pressure)
}

/// "second" and "seconds" alone are a time; "second_micron" is the second gauge.
fn is_time(words: &[String]) -> bool {
    let Some(first) = words.first() else {
        return false;
    };
    let first = first.trim_end_matches(|c: char| c.is_ascii_digit());
    let units = |words: &[String]| words.iter().all(|w| seconds_in(w).is_some());
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
    ) || words.iter().any(|w| w == "time" || w == "elapsed")
        || units(words)
        || (first == "t" && words.len() >= 2 && units(&words[1..]))
}

/// The role a column's name gives it in a running log.
pub(super) fn running_role_of(name: &str) -> Option<Role> {
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
        "s" | "sec" | "secs" | "second" | "seconds" => Some(1.0),
        "min" | "mins" | "minute" | "minutes" => Some(60.0),
        "h" | "hr" | "hrs" | "hour" | "hours" => Some(3600.0),
        "d" | "day" | "days" => Some(86_400.0),
        _ => None,
    }
}

/// Whether a cell is a unit of anything that is logged.
pub(super) fn is_unit(cell: &str) -> bool {
    let pressure = || {
        matches!(
            asked_unit(cell),
            Ok(_) | Err(ParseError::GaugeOrAbsolute { .. })
        )
    };
    match words(cell).as_slice() {
        [] => false,
        [word] => {
            seconds_in(word).is_some()
                || temperature_unit(cell).is_some()
                || current_unit(cell).is_some()
                || pressure()
        }
        [deg, _] if deg == "deg" => temperature_unit(cell).is_some(),
        _ => pressure(),
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
    use crate::record::logger::LOGGED;

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
            ("Outdoor °C", Role::Outdoor),
            ("second", Role::Time),
            ("seconds", Role::Time),
            ("Elapsed time (min)", Role::Time),
            ("phase_time_s", Role::Time),
            ("phase", Role::Phase),
            ("second_micron", Role::Second),
            ("witness_psig", Role::Witness),
            ("p_witness_psig", Role::Witness),
            ("Line pressure [kg/cm2 g]", Role::Pressure),
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
