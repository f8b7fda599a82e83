//! Everything *run* can say.

pub(super) mod air;
pub(super) mod steady;
pub(super) mod target;

use super::{Criteria, Judged, Question, Reading};
use crate::check::Reason;
use crate::quantity::{Duration, Interval, Temperature, TemperatureDiff, both};
use crate::source::SourceId;

pub(super) mod gate;
pub(super) mod hint;
pub(super) mod slip;

macro_rules! codes {
    ($($id:ident = $code:literal, $meaning:literal;)*) => {
        $(#[doc = $meaning] pub const $id: &str = $code;)*
        /// Every code with its meaning.
        pub const CODES: &[(&str, &str)] = &[$(($id, $meaning),)*];
    };
}

codes! {
    NOTHING_READ = "nothing-read", "neither superheat nor subcooling can be computed from what was read";
    METERING_ASKED = "metering-device-asked", "the metering device is not known";
    TWO_PHASE = "two-phase-liquid-line", "metering outdoors and cooling: the line carries liquid and vapour";
    MODE_ASKED = "mode-asked", "it is not known whether it cools or heats";
    HEATING = "heating-mode", "the targets are for cooling";
    COMPRESSOR_ASKED = "compressor-asked", "it is not known how the compressor runs";
    FREE_SPEED = "inverter-free-speed", "the compressor follows the load";
    TAP_ASKED = "pressure-tap-asked", "it is not known where the high-side pressure was read, or what drops between";
    GAUGES_BY_OWNER = "gauges-by-owner", "the gauges were read by the owner";
    WHO_READS_ASKED = "who-reads-asked", "it is not known who read the gauges";
    NO_CONDENSING = "no-condensing", "the refrigerant does not condense at such temperatures";
    CONDITION_OPEN = "condition-not-known", "a condition of the reading is not known";
    OUTDOOR_COLD = "outdoor-too-cold", "the outdoor air is too cold";
    RETURN_COLD = "return-too-cold", "the return air is too cold";
    RUN_SHORT = "run-too-short", "it has not run long enough";
    NOT_STEADY = "not-steady", "the readings do not stand still";
    AIRFLOW_WRONG = "airflow-first", "filter, coils or blower are not right";
    AIRFLOW_ASKED = "airflow-asked", "filter, coils and blower were not looked at";
    LIQUID_RETURNING = "liquid-returning", "superheat is below zero: liquid returns to the compressor";
    SUPERHEAT_ZERO = "superheat-zero-within-error", "superheat cannot be told from zero";
    SUBCOOLING_NEGATIVE = "subcooling-negative", "the liquid line is warmer than saturation";
    SUBCOOLING_ZERO = "subcooling-zero-within-error", "subcooling cannot be told from zero";
    PRESSURES_SWAPPED = "pressures-swapped", "the low side is not below the high side";
    NO_HEAT_REJECTED = "no-heat-rejected", "the condenser is hardly warmer than the outdoor air";
    SUPERHEAT_RIGHT = "superheat-right", "superheat is inside its range";
    SUBCOOLING_RIGHT = "subcooling-right", "subcooling is inside its range";
    SUPERHEAT_OPEN = "superheat-undecided", "the readings are too coarse for superheat";
    SUBCOOLING_OPEN = "subcooling-undecided", "the readings are too coarse for subcooling";
    SUPERHEAT_LOW = "superheat-low", "superheat is below its range";
    SUPERHEAT_HIGH = "superheat-high", "superheat is above its range";
    SUBCOOLING_LOW = "subcooling-low", "subcooling is below its range";
    SUBCOOLING_HIGH = "subcooling-high", "subcooling is above its range";
    READING_MISSING = "reading-missing", "a reading that decides is missing";
    TARGET_ASKED = "target-asked", "the target on the label is not known";
    TARGET_SMALL = "target-too-small", "the target superheat is too small to be judged";
    TARGET_USED = "target-looked-up", "the target superheat comes from a table or a rule at the conditions read";
    TARGET_DASH = "target-no-valid-test", "the table has a dash at these conditions: no test is valid";
    TARGET_OUTSIDE = "target-outside-table", "the conditions lie outside the table of targets, or its cell cannot be used";
    TARGET_READING = "target-reading-asked", "the table of targets needs a reading that is missing";
    DISCHARGE_RIGHT = "discharge-right", "heating: the discharge line is as far above the outdoor air as the instructions print";
    DISCHARGE_OPEN = "discharge-undecided", "heating: the discharge line is not proven inside or outside its range";
    DISCHARGE_LOW = "discharge-low", "heating: the discharge line is below its range";
    DISCHARGE_HIGH = "discharge-high", "heating: the discharge line is above its range";
    AIR_IMPOSSIBLE = "air-readings-impossible", "the readings of the indoor air contradict each other";
    SPLIT_RIGHT = "split-right", "the temperature split is inside its range";
    SPLIT_OPEN = "split-undecided", "the temperature split is not proven inside or outside its range";
    SPLIT_HIGH = "split-high", "the temperature split is above its range: airflow first";
    SPLIT_LOW = "split-low", "the temperature split is below its range: little capacity";
    SPLIT_NOT_JUDGED = "split-not-judged", "the temperature split has no target without a wet bulb";
    SPLIT_OUTSIDE = "split-outside-table", "the temperature split has no target at these conditions";
    AIRFLOW_LOW = "airflow-low", "measured airflow is below the least for the rated capacity";
    AIRFLOW_OPEN = "airflow-undecided", "measured airflow is not proven above or below the least";
    AIRFLOW_ENOUGH = "airflow-enough", "measured airflow is at least the least for the rated capacity";
    CAPACITY_ASKED = "rated-capacity-asked", "the rated capacity is not known, so measured airflow has nothing to be held against";
    AIR_CAPACITY = "air-side-capacity", "what the air carries";
    ACCUMULATOR = "accumulator-hides-charge", "an accumulator holds charge that the readings do not show";
    SLIP_ASKED = "slip-asked", "the readings contradict themselves as typed, and a slip would explain it";
    REFRIGERANT_ASKED = "refrigerant-asked", "the readings contradict themselves, and another refrigerant would fit";
    CONTRADICTION = "readings-contradict", "two readings cannot both be right";
    UNUSUAL = "reading-unusual", "a reading is hardly ever so";
    WINTER_PROCEDURE = "winter-procedure", "too cold for the standard procedure; a winter procedure exists";
    WEIGH_IN = "technician-weighs-in", "no reading can tell the charge here: a technician weighs it in";
    TWO_STAGE = "two-stage", "two stages: a reading belongs to the stage that its target is printed for";
    HINT = "looks-like", "several readings together would look like one fault";
    HINT_OPEN = "looks-like-lost-or-restricted", "lost refrigerant and a restriction differ only in subcooling, which was not told";
    SIGNS_CONFLICT = "signs-conflict", "the readings point to different faults";
    HEATING_TOO_MUCH = "heating-points-to-too-much", "in heating, pressure and current high: too much rather than too little";
    COIL_BENDS = "coil-bends", "coil bends stand for saturation";
    STEADY_WINDOW = "steady-window", "the readings are means over a window of the running log that stands still";
    HUNTING = "hunting", "the readings swing up and down with a period";
    LOG_TOO_SHORT = "log-too-short", "the running log has no stretch long enough for a window";
    LOG_GAPS = "log-gaps", "the running log has gaps";
    LOG_BY_HAND = "typed-beside-log", "readings typed by hand count instead of the running log";
}

fn said(code: &'static str, source: SourceId, text: impl Into<String>) -> Reason {
    Reason::new(code, source, text)
}

fn with_range(reading: &Reading) -> String {
    Interval::normal(reading.value, reading.standard_uncertainty).show_both()
}

fn mostly(reading: &Reading) -> String {
    comes_from("that range", reading.dominant())
}

/// "; 57 % of that range comes from the pressure".
fn comes_from(what: &str, dominant: Option<(&'static str, f64)>) -> String {
    match dominant {
        Some((name, share)) => format!("; {:.0} % of {what} comes from the {name}", 100.0 * share),
        None => String::new(),
    }
}

pub(super) fn nothing_read() -> Reason {
    said(
        NOTHING_READ,
        SourceId::CommonPractice,
        "nothing to judge yet: the smallest set is a probe on an evaporator bend and one on the suction line; a condenser bend and the liquid line add subcooling",
    )
}

fn question(code: &'static str, question: Question, why: &str) -> Reason {
    let text = format!("{} {why}", question.text());
    said(code, SourceId::CommonPractice, text)
}

pub(super) fn metering_asked() -> Reason {
    let why =
        "outdoors and cooling the liquid line carries vapour too, and subcooling means nothing";
    question(METERING_ASKED, Question::MeteringDevice, why)
}

pub(super) fn two_phase() -> Reason {
    said(
        TWO_PHASE,
        SourceId::CommonPractice,
        "the metering device is outdoors and it cools, so the line carries liquid and vapour: subcooling means nothing; weigh in, or watch",
    )
}

pub(super) fn mode_asked() -> Reason {
    question(MODE_ASKED, Question::Mode, "the targets are for cooling")
}

pub(super) fn heating() -> Reason {
    said(
        HEATING,
        SourceId::UnitInstructions,
        "it heats: the targets are for cooling; use the unit's own heating table, weigh in, or wait for a cooling day",
    )
}

pub(super) fn compressor_asked() -> Reason {
    let why = "a speed that follows the load moves the readings by itself";
    question(COMPRESSOR_ASKED, Question::Compressor, why)
}

pub(super) fn free_speed() -> Reason {
    said(
        FREE_SPEED,
        SourceId::CommonPractice,
        "the compressor follows the load, so no target applies: hold it at the maker's test speed, weigh in, or watch",
    )
}

pub(super) fn tap_asked() -> Reason {
    let why = "without the drop subcooling comes out too large";
    question(TAP_ASKED, Question::Port, why)
}

pub(super) fn gauges_by_owner() -> Reason {
    said(
        GAUGES_BY_OWNER,
        SourceId::Cfr82F,
        "attaching gauges to a charged circuit is certified work in the US; elsewhere ask the rule of the place; pipe probes need no gauges",
    )
}

pub(super) fn who_reads_asked() -> Reason {
    let why = "attaching gauges to a charged circuit is certified work in many places";
    let mut reason = question(WHO_READS_ASKED, Question::WhoReads, why);
    reason.source = SourceId::Cfr82F;
    reason
}

pub(super) fn no_condensing(name: &str) -> Reason {
    said(
        NO_CONDENSING,
        SourceId::CommonPractice,
        format!(
            "{name} does not condense above 88 °F (31 °C): it has no subcooling to read; weigh in"
        ),
    )
}

pub(super) fn condition_open(what: &str, source: SourceId) -> Reason {
    said(
        CONDITION_OPEN,
        source,
        format!("{what} is not known: it decides whether the reading means anything"),
    )
}

pub(super) fn outdoor_too_cold(t: Temperature, criteria: &Criteria) -> Reason {
    let text = format!(
        "outdoor air {}: from {} on the reading means something",
        both(t),
        both(criteria.outdoor_least)
    );
    said(OUTDOOR_COLD, criteria.conditions_source, text)
}

pub(super) fn return_too_cold(t: Temperature, criteria: &Criteria) -> Reason {
    let text = format!(
        "return air {}: from {} on the reading means something; heat the house first",
        both(t),
        both(criteria.return_least)
    );
    said(RETURN_COLD, criteria.return_source, text)
}

pub(super) fn run_too_short(time: Duration, criteria: &Criteria) -> Reason {
    let text = format!(
        "it has run for {}: after {} the reading means something",
        both(time),
        both(criteria.run_least)
    );
    said(RUN_SHORT, criteria.conditions_source, text)
}

pub(super) fn not_steady() -> Reason {
    said(
        NOT_STEADY,
        SourceId::CommonPractice,
        "the readings move: wait until they stand still over some minutes",
    )
}

pub(super) fn airflow_wrong() -> Reason {
    said(
        AIRFLOW_WRONG,
        SourceId::CommonPractice,
        "airflow first, charge last: put filter, coils and blower right, then read again",
    )
}

pub(super) fn airflow_asked() -> Reason {
    let why = "low airflow moves these readings as far as charge does";
    question(AIRFLOW_ASKED, Question::Airflow, why)
}

pub(super) fn accumulator() -> Reason {
    said(
        ACCUMULATOR,
        SourceId::CommonPractice,
        "the suction line has an accumulator: it can hold charge that these readings do not show",
    )
}

pub(super) fn coil_bends() -> Reason {
    said(
        COIL_BENDS,
        SourceId::CoilBend,
        "a coil bend stands for saturation in the middle of the glide: the range is wider for it",
    )
}

pub(super) fn liquid_returning(reading: &Reading) -> Reason {
    let text = format!(
        "superheat {}: below zero, so liquid returns to the compressor; switch it off",
        with_range(reading)
    );
    said(LIQUID_RETURNING, SourceId::CommonPractice, text)
}

pub(super) fn superheat_zero(reading: &Reading) -> Reason {
    let text = format!(
        "superheat {}: zero within error, so liquid may be returning to the compressor{}",
        with_range(reading),
        mostly(reading)
    );
    said(SUPERHEAT_ZERO, SourceId::CommonPractice, text)
}

pub(super) fn subcooling_negative(reading: &Reading) -> Reason {
    let text = format!(
        "subcooling {}: the liquid line is warmer than saturation; the pressure was read elsewhere, the refrigerant is another, the probe has no contact, or a warm place heats the line",
        with_range(reading)
    );
    said(SUBCOOLING_NEGATIVE, SourceId::CommonPractice, text)
}

pub(super) fn subcooling_zero(reading: &Reading) -> Reason {
    let text = format!(
        "subcooling {}: zero within error, so the line may carry vapour, and then subcooling no longer says how much is missing{}",
        with_range(reading),
        mostly(reading)
    );
    said(SUBCOOLING_ZERO, SourceId::CommonPractice, text)
}

pub(super) fn pressures_swapped(low: Temperature, high: Temperature) -> Reason {
    let text = format!(
        "evaporating at {} is not below condensing at {}: are the gauges or probes swapped? if not, the compressor does not pump",
        both(low),
        both(high)
    );
    said(PRESSURES_SWAPPED, SourceId::CommonPractice, text)
}

pub(super) fn no_heat_rejected(
    condensing: Temperature,
    above: TemperatureDiff,
    criteria: &Criteria,
) -> Reason {
    let text = format!(
        "condensing at {}, only {} above the outdoor air: no heat is rejected, so this is not a charge problem; switch it off, a technician finds out why",
        both(condensing),
        both(above)
    );
    said(NO_HEAT_REJECTED, criteria.heat_rejected_source, text)
}

fn range_of(judged: &Judged) -> String {
    let range = format!("{} to {}", both(judged.low), both(judged.high));
    match judged.target {
        Some(target) if target.low < target.high => {
            format!("{range}, around a target of {}", target.show_both())
        }
        _ => range,
    }
}

fn by_name(judged: &Judged, superheat: &'static str, subcooling: &'static str) -> &'static str {
    if judged.name == "superheat" {
        superheat
    } else {
        subcooling
    }
}

pub(super) fn right(judged: &Judged, reading: &Reading) -> Reason {
    let code = by_name(judged, SUPERHEAT_RIGHT, SUBCOOLING_RIGHT);
    let text = format!(
        "{} {}: inside {}",
        judged.name,
        with_range(reading),
        range_of(judged)
    );
    said(code, judged.source, text)
}

pub(super) fn too_coarse(judged: &Judged, reading: &Reading) -> Reason {
    let code = by_name(judged, SUPERHEAT_OPEN, SUBCOOLING_OPEN);
    let text = format!(
        "{} {}: not proven inside or outside {}{}",
        judged.name,
        with_range(reading),
        range_of(judged),
        match judged.target {
            // reading and target share the doubt
            Some(target) if target.low < target.high => comes_from("the doubt", judged.dominant),
            _ => mostly(reading),
        }
    );
    said(code, judged.source, text)
}

pub(super) fn off(judged: &Judged, reading: &Reading) -> Reason {
    let low = judged.value < judged.low;
    let (code, meaning) = match (judged.name, low) {
        ("superheat", true) => (
            SUPERHEAT_LOW,
            "low airflow, a valve that feeds too much or too much charge would look like this",
        ),
        ("superheat", false) => (
            SUPERHEAT_HIGH,
            "a restriction, a valve that feeds too little or lost refrigerant would look like this",
        ),
        (_, true) => (
            SUBCOOLING_LOW,
            "lost refrigerant or a weak compressor would look like this",
        ),
        (_, false) => (
            SUBCOOLING_HIGH,
            "too much charge, a restriction or air in the circuit would look like this",
        ),
    };
    let text = format!(
        "{} {}: outside {}; {meaning}; one reading cannot tell which, a certified technician weighs the charge",
        judged.name,
        with_range(reading),
        range_of(judged)
    );
    said(code, judged.source, text)
}

pub(super) fn reading_missing(name: &str) -> Reason {
    said(
        READING_MISSING,
        SourceId::CecRa32,
        format!("{name} was not read, and it decides here too"),
    )
}

pub(super) fn target_asked(name: &str) -> Reason {
    said(
        TARGET_ASKED,
        SourceId::UnitInstructions,
        format!(
            "the target {name} is not given: it stands on the unit's label or in its charging table"
        ),
    )
}

pub(super) fn target_too_small(target: TemperatureDiff, criteria: &Criteria) -> Reason {
    let text = format!(
        "the target superheat of {} is below {}: no valid test at these conditions; wait for others",
        both(target),
        both(criteria.least_target_superheat)
    );
    said(TARGET_SMALL, criteria.charge_source, text)
}
