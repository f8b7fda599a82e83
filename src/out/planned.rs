//! The words of a planned and of a rehearsed hold.

use crate::check::Outcome;
use crate::check::tight::Detail;
use crate::check::tight::plan::{Change, Plan};
use crate::check::tight::rehearse::{Beside, Readings, Setup, Tally, Truth};
use crate::quantity::{PressureDiff, PressureRate, Quantity, UnitSystem, unit};

/// What the hold would see, in a sentence.
pub(super) fn headline(plan: &Plan, units: UnitSystem) -> String {
    let (tells, passes) = (plan.asked.tells.show(units), plan.asked.passes.show(units));
    let mut line = format!(
        "{} h like this would see a loss of {tells} and more, four times out of five, and pass a tight set to any limit down to {passes}",
        plan.asked.hours
    );
    if plan.asked.passes > plan.asked.tells {
        line += ": in less than a day a pass has to survive a swing that no thermometer saw";
    }
    line
}

/// What that means for the limit and for a leak that was asked for.
pub(super) fn against_limit(plan: &Plan, setup: &Setup, units: UnitSystem) -> Vec<String> {
    let limit = format!("{} ({})", plan.limit.show(units), plan.by.name(units));
    let mut lines = Vec::new();
    lines.extend(in_refrigerant(plan, setup, units));
    lines.push(match (plan.passes(), plan.hours_to_pass) {
        (true, _) => format!("a tight set would pass the limit of {limit}"),
        (false, Some(hours)) if hours > plan.asked.hours => format!(
            "a tight set would mostly stay undecided against the limit of {limit}; {} would pass it",
            about(hours)
        ),
        (false, Some(_)) => {
            format!("a tight set may stay undecided against the limit of {limit}")
        }
        (false, None) => format!(
            "a tight set would mostly stay undecided against the limit of {limit}, and so after {} h: time alone does not do it, see what would help",
            longest(plan)
        ),
    });
    lines.push(match plan.fails_from {
        Some(loss) => format!("a loss of {} and more would fail", loss.show(units)),
        None => "no loss would surely fail in so short a time: what looks like a leak could be a day's swing".into(),
    });
    if let Some((leak, hours)) = plan.leak {
        let leak = leak.show(units);
        lines.push(match hours {
            Some(hours) => format!("a leak of {leak} takes {} to be seen", about(hours)),
            None => format!(
                "a leak of {leak} would not be seen within {} h like this: see what would help",
                longest(plan)
            ),
        });
    }
    lines
}

/// The loss that is told apart, in refrigerant, as the range over the laws of flow.
fn in_refrigerant(plan: &Plan, setup: &Setup, units: UnitSystem) -> Option<String> {
    let refrigerant = setup.refrigerant?;
    let ranges: Vec<String> = plan
        .mass
        .iter()
        .map(|loss| format!("{} {}", loss.interval().show(units), loss.condition.words()))
        .collect();
    let ranges = (!ranges.is_empty()).then(|| ranges.join("; "))?;
    Some(format!("in {refrigerant} that loss is {ranges}"))
}

fn about(hours: f64) -> String {
    format!("about {hours:.0} h")
}

fn longest(plan: &Plan) -> f64 {
    plan.rows.last().map_or(plan.asked.hours, |row| row.hours)
}

/// What the plan was made for, by name.
pub(super) fn facts(setup: &Setup) -> Vec<(&'static str, String)> {
    let units = setup.units;
    let half = 0.5 * setup.swing.si();
    let air = |k: f64| crate::quantity::Temperature::from_si(k).show(units);
    let mut facts = vec![
        (
            "pressure",
            format!("{} of {}", setup.start.show(units), setup.gas.word()),
        ),
        ("gauge", gauge(setup)),
        ("read", read(setup)),
        ("volume", volume(setup)),
        (
            "weather",
            format!(
                "{} to {} outdoors, rooms at {}, begun at {}",
                air(setup.outdoor.si() - half),
                air(setup.outdoor.si() + half),
                setup.indoor.show(units),
                clock(setup.begins)
            ),
        ),
    ];
    if let Some(rated) = setup.rated {
        facts.push(("rated", format!("{} at the lowest", rated.show(units))));
    }
    facts
}

fn gauge(setup: &Setup) -> String {
    let step = step(setup.gauge_resolution, setup.units);
    match setup.gauge_drift_per_kelvin {
        Some(_) => format!("in steps of {step}; its zero moves with temperature"),
        None => format!("in steps of {step}"),
    }
}

/// A gauge's step without digits that say nothing: "0.5 psi".
fn step(step: PressureDiff, units: UnitSystem) -> String {
    let shown = step.show(units);
    let number = shown.number();
    let number = match number.split_once('.') {
        Some(_) => number.trim_end_matches('0').trim_end_matches('.'),
        None => &number,
    };
    format!("{number} {}", shown.unit)
}

fn read(setup: &Setup) -> String {
    let often = match setup.readings {
        Readings::Every(step) => format!("every {}", step.show(setup.units)),
        Readings::Typed(count) => format!("{count} times by hand"),
    };
    let beside = match setup.beside {
        Beside::Nothing => "without a thermometer",
        Beside::Outdoor => "with a thermometer outdoors, none indoors",
        Beside::Both => "with thermometers outdoors and indoors",
        Beside::Witness => "with thermometers and a second, tight volume",
    };
    format!("{often}, {beside}")
}

fn volume(setup: &Setup) -> String {
    let percent = |part: f64| format!("{:.0} %", 100.0 * part);
    let outdoors = match setup.outdoor_share {
        Some(share) => format!("{} outdoors", percent(share.si())),
        None => "nobody said how much is outdoors: taken as about half".into(),
    };
    match setup.unlogged {
        Some(part) => format!(
            "{outdoors}, {} where no thermometer hangs",
            percent(part.share.si())
        ),
        None => outdoors,
    }
}

fn clock(hour: f64) -> String {
    let minutes = (60.0 * hour).round() as u32 % 1440;
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

/// One thing done otherwise, in words.
pub(super) fn change(change: Change, units: UnitSystem) -> String {
    match change {
        Change::FinerGauge => format!(
            "a gauge in steps of {}",
            step(Change::finer_step(units), units)
        ),
        Change::SteadyGauge => "a gauge whose zero does not move with temperature".into(),
        Change::OutdoorThermometer => "a thermometer outdoors, in the shade".into(),
        Change::IndoorThermometer => "a second thermometer, indoors".into(),
        Change::Witness => "a second, tight volume read beside it".into(),
        Change::KnownShare => "the share outdoors worked out from the lengths".into(),
        Change::Logger => "a logger every 10 min".into(),
        Change::TwelveReadings => "12 readings by hand".into(),
        Change::TwiceAsLong => "twice as long".into(),
    }
}

/// When to begin and to end.
pub(super) fn when_to_start(setup: &Setup) -> Vec<String> {
    let mut lines = vec![
        "start at dusk or at dawn, out of the sun, and end at the same clock time: the day's swing then takes itself out".to_string(),
        "let the gas come to the temperature of its walls first: half an hour between pumping up and the first reading".to_string(),
    ];
    if setup.hours() % 24.0 != 0.0 {
        let day = if setup.hours() < 24.0 { 24.0 } else { 48.0 };
        lines.insert(
            1,
            format!(
                "{} h end at another clock time than they began: {day} h would not",
                setup.hours()
            ),
        );
    }
    lines
}

/// What was hidden, in a sentence.
pub(super) fn hidden(truth: &Truth, units: UnitSystem) -> String {
    if truth.leak.si() == 0.0 {
        "no leak was hidden in this rehearsal".into()
    } else {
        format!(
            "a leak of {} was hidden in this rehearsal",
            truth.leak.show(units)
        )
    }
}

/// Whether the judgement was right about it.
pub(super) fn compared(
    truth: PressureRate,
    outcome: Outcome,
    detail: &Detail,
    units: UnitSystem,
) -> String {
    let leak = truth.si();
    let inside = (detail.loss[1].si()..=detail.loss[2].si()).contains(&leak);
    let above = leak > detail.limit.si();
    let right = match (outcome, above) {
        (Outcome::Pass, false) | (Outcome::Fail, true) => "right",
        (Outcome::Pass, true) => "wrong: it passed a loss above the limit",
        (Outcome::Fail, false) => "wrong: it failed a loss below the limit",
        _ => "not decided, which is no error: these readings do not decide it",
    };
    let truth = truth.show(units);
    if inside {
        format!("{right}; the truth, {truth}, lies inside the interval")
    } else {
        format!("{right}; the truth, {truth}, lies outside the interval, as one in twenty does")
    }
}

/// What else was so.
pub(super) fn unknowable(truth: &Truth, units: UnitSystem) -> Vec<(&'static str, String)> {
    let mut rows = vec![
        (
            "outdoors",
            format!("{:.0} % of the volume", 100.0 * truth.outdoors.si()),
        ),
        (
            "lag",
            format!(
                "the gas followed the air outdoors {:.0} min late",
                60.0 * truth.lag_h
            ),
        ),
        (
            "start",
            format!(
                "the gas outdoors began {} {} than the air",
                truth_offset(truth, units),
                if truth.start_offset.si() < 0.0 {
                    "colder"
                } else {
                    "warmer"
                }
            ),
        ),
    ];
    if let Some(touch) = truth.touched {
        rows.push((
            "touched",
            format!(
                "at {:.1} h a hose was touched and {} was gone",
                touch.hours,
                touch.drop.show(units)
            ),
        ));
    }
    rows
}

fn truth_offset(truth: &Truth, units: UnitSystem) -> String {
    crate::quantity::TemperatureDiff::from_si(truth.start_offset.si().abs())
        .show(units)
        .to_string()
}

/// How often, in a sentence.
pub(super) fn tally(leak: &str, tally: &Tally) -> String {
    format!(
        "of {} such holds with {leak}: {} pass, {} undecided, {} fail",
        tally.times, tally.pass, tally.undecided, tally.fail
    )
}

/// The rest of the count.
pub(super) fn tally_more(tally: &Tally) -> String {
    format!(
        "A leak is seen in {}; the truth lies inside the interval in {}.",
        tally.leak_seen, tally.covered
    )
}

/// A rehearsal as a logger would have written it, marked as what it is.
pub fn csv(rehearsal: &crate::check::tight::rehearse::Rehearsal) -> String {
    let input = &rehearsal.input;
    let (pressure, temperature, step) = match input.units {
        UnitSystem::Us => (unit::PSIG, unit::FAHRENHEIT, unit::PSI_DIFF),
        UnitSystem::Si => (unit::BAR_GAUGE, unit::CELSIUS, unit::BAR_DIFF),
    };
    let [gauge, degree] = match input.units {
        UnitSystem::Us => ["psig", "F"],
        UnitSystem::Si => ["barg", "C"],
    };
    let digits = digits(input.gauge_resolution.in_unit(step));
    let mut head = vec!["t_h".to_string(), format!("p_{gauge}")];
    for (name, there) in [
        ("outdoor", input.outdoor.is_some()),
        ("indoor", input.indoor.is_some()),
    ] {
        if there {
            head.push(format!("T_{name}_{degree}"));
        }
    }
    if input.witness.is_some() {
        head.push(format!("witness_{gauge}"));
    }
    let mut text = format!("{}\n{}\n", crate::record::logger::REHEARSAL, head.join(","));
    for (i, hours) in input.hours.iter().enumerate() {
        let shown = |p: &crate::quantity::PressureAbs| {
            format!("{:.digits$}", p.to_gauge(input.barometer).in_unit(pressure))
        };
        let mut cells = vec![format!("{hours:.6}"), shown(&input.pressure[i])];
        for column in [&input.outdoor, &input.indoor].into_iter().flatten() {
            cells.push(format!("{:.1}", column[i].in_unit(temperature)));
        }
        cells.extend(input.witness.iter().map(|w| shown(&w[i])));
        text += &cells.join(",");
        text.push('\n');
    }
    text
}

/// Digits behind the point that show a step whole.
fn digits(step: f64) -> usize {
    (0..6)
        .find(|digits| {
            let scaled = step * 10f64.powi(*digits as i32);
            (scaled - scaled.round()).abs() < 1e-6 * scaled && scaled > 0.5
        })
        .unwrap_or(6)
}

#[cfg(test)]
mod tests {
    use super::{clock, digits};

    #[test]
    fn a_step_keeps_its_digits() {
        for (step, expected) in [(1.0, 0), (0.5, 1), (0.25, 2), (0.1, 1), (2.0, 0), (0.01, 2)] {
            assert_eq!(digits(step), expected, "{step}");
        }
    }

    #[test]
    fn an_hour_is_a_clock_time() {
        assert_eq!(clock(20.0), "20:00");
        assert_eq!(clock(6.5), "06:30");
    }
}
