//! What the signs of several readings say together.

use super::{HEATING_TOO_MUCH, HINT, HINT_OPEN, SIGNS_CONFLICT, said};
use crate::check::Reason;
use crate::check::run::hint::{Feature, FeatureRow, Hint, Sign};
use crate::quantity::{Current, TemperatureDiff, both};
use crate::source::SourceId;

const VALVE: &str = "; the valve holds superheat and discharge temperature, so they were left out";

/// "condensing less outdoor air high (40 °F), subcooling low (2 °F)".
fn listed(features: &[FeatureRow], named: &[Feature]) -> String {
    let of = |feature: &Feature| features.iter().find(|row| row.feature == *feature);
    let shown = named.iter().filter_map(|feature| {
        let row = of(feature)?;
        Some(format!(
            "{} {} ({})",
            feature.words(),
            row.sign.words(),
            both(row.value?)
        ))
    });
    shown.collect::<Vec<_>>().join(", ")
}

fn open(hint: &Hint) -> String {
    if hint.open.is_empty() {
        return String::new();
    }
    let names: Vec<&str> = hint.open.iter().map(|feature| feature.words()).collect();
    format!("; not read or not told: {}", names.join(", "))
}

fn left_out(valve: bool) -> &'static str {
    if valve { VALVE } else { "" }
}

/// The table's name of a fault in the words of a sentence.
fn in_words(fault: &'static str) -> &'static str {
    match fault {
        "refrigerant lost" => "lost refrigerant",
        "compressor valve leak" => "a weak compressor (leaking valves)",
        "liquid-line restriction" => "a restriction in the liquid line",
        "condenser fouling" => "a dirty condenser",
        "evaporator fouling or low airflow" => "low airflow or a dirty evaporator",
        other => other,
    }
}

/// Where the signs were found on another kind of machine.
fn machine(hint: &Hint) -> &'static str {
    match hint.source {
        SourceId::SymptomSigns => " (signs of a fixed-orifice machine)",
        _ => " (common practice)",
    }
}

pub(in crate::check::run) fn looks_like(
    features: &[FeatureRow],
    hint: &Hint,
    valve: bool,
) -> Reason {
    let text = format!(
        "{} would look like this{}: {}{}{}; a certified technician finds out",
        in_words(hint.fault),
        machine(hint),
        listed(features, &hint.agree),
        open(hint),
        left_out(valve)
    );
    said(HINT, hint.source, text)
}

pub(in crate::check::run) fn lost_or_restricted(
    features: &[FeatureRow],
    hint: &Hint,
    subcooling: Option<Sign>,
    valve: bool,
) -> Reason {
    let why = match subcooling {
        Some(Sign::NotRead) | None => "it was not read",
        Some(Sign::NotTold) => "its reading is too coarse to tell",
        Some(_) => "it stands as expected",
    };
    let text = format!(
        "lost refrigerant or a restriction in the liquid line would look like this{}: {}; only subcooling tells the two apart, and {why}{}",
        machine(hint),
        listed(features, &hint.agree),
        left_out(valve)
    );
    said(HINT_OPEN, hint.source, text)
}

pub(in crate::check::run) fn conflict(features: &[FeatureRow], hint: &Hint, valve: bool) -> Reason {
    let text = format!(
        "the signs point to different faults: {} would fit {}, and {} speaks against it; read those again before anything is concluded{}",
        listed(features, &hint.agree),
        in_words(hint.fault),
        listed(features, &hint.against),
        left_out(valve)
    );
    said(SIGNS_CONFLICT, hint.source, text)
}

pub(in crate::check::run) fn heating_too_much(
    over: TemperatureDiff,
    current: Current,
    rated: Current,
) -> Reason {
    let text = format!(
        "heating, condensing {} over the return air and {} where the label says {}: too much charge, low indoor airflow or air in the circuit would look like this, too little would not; nothing is topped up because it heats poorly, a certified technician weighs the charge",
        both(over),
        both(current),
        both(rated)
    );
    said(HEATING_TOO_MUCH, SourceId::UsualRanges, text)
}
