//! What happens while a vacuum is held: a valve is moved, something gives way, somebody reads by hand.

use lineproof::check::dry::{self, Cause, Criteria, Detail, Input, reasons};
use lineproof::check::{self, Finding, Outcome};
use lineproof::quantity::*;

/// Readings every half minute with an even tremble of the gauge, from a minute on.
fn log(from: f64, to: f64, curve: impl Fn(f64) -> f64) -> Input {
    let count = (2.0 * (to - from)).round() as usize + 1;
    let minutes: Vec<f64> = (0..count).map(|i| from + 0.5 * i as f64).collect();
    let tremble = |i: usize| 1.0 + 0.002 * (((i * 37) % 23) as f64 / 11.0 - 1.0);
    let read = minutes.iter().enumerate();
    let read = read.map(|(i, m)| (curve(*m) * tremble(i)).round());
    let micron = read.map(|p| PressureAbs::of(p, unit::MICRON)).collect();
    let since = minutes.iter().map(|m| m - from).collect();
    Input {
        before_min: from,
        ..Input::of(since, micron, PressureDiff::of(1.0, unit::MICRON_DIFF))
    }
}

fn judged(input: &Input) -> (Finding, Detail) {
    let finding = dry::assess(input, &Criteria::default()).unwrap();
    let check::Detail::Dry(detail) = finding.detail.clone() else {
        panic!("dry gives its own detail")
    };
    (finding, *detail)
}

fn text<'a>(finding: &'a Finding, code: &str) -> &'a str {
    let said = finding.reasons.iter().find(|r| r.code == code);
    &said
        .unwrap_or_else(|| panic!("{code}: {:#?}", finding.reasons))
        .text
}

fn rate(detail: &Detail) -> [f64; 3] {
    detail.leak.map(|r| r.in_unit(unit::MICRON_PER_MINUTE))
}

/// A tee with trapped gas is opened in mid-test. Without the step it would pass; with it only what came after can, once
/// somebody says so.
#[test]
fn a_step_is_no_pass_until_it_is_explained() {
    let curve = |m: f64| if m < 19.9 { 300.0 } else { 420.0 };
    let (finding, detail) = judged(&log(0.0, 40.0, curve));
    assert_eq!(finding.outcome, Outcome::Undecided);
    assert_eq!(detail.cause, Cause::Unknown);
    assert_eq!(finding.reasons[0].code, reasons::STEP);
    let said = &finding.reasons[0].text;
    assert!(
        said.contains("jumped at 20.0 min, from 300 to 420 micron"),
        "{said}"
    );
    assert!(said.contains("--isolated-after 20.00min"), "{said}");
    // the rule is of all the time, the rate of the stretch
    assert!(text(&finding, reasons::RULE_MET).starts_with("299 to 420 micron in 40 min"));
    assert!(text(&finding, reasons::STRETCH).contains("20.0 to 40.0 min"));
    assert_eq!(detail.fitted_min, (20.0, 40.0));
    // as it says, what came after passes by itself
    let (after, _) = judged(&log(20.0, 40.0, curve));
    assert_eq!(after.outcome, Outcome::Pass, "{:#?}", after.reasons);
    assert!(!after.says(reasons::STEP));
    // and the time to type is on the log's own clock
    let cut = log(5.0, 40.0, curve);
    let (finding, _) = judged(&cut);
    let said = &finding.reasons[0].text;
    assert!(
        said.contains("at 15.0 min") && said.contains("--isolated-after 20.00min"),
        "{said}"
    );
}

/// Minutes still needed count from the step on.
#[test]
fn the_minutes_after_a_step_count_anew() {
    let curve = |m: f64| if m < 19.9 { 300.0 } else { 420.0 };
    let (finding, detail) = judged(&log(0.0, 24.0, curve));
    assert_eq!(finding.outcome, Outcome::Undecided);
    // four of the rule's ten minutes
    let more = detail.hold_longer_min.unwrap();
    assert!(more >= 6.0 - 1e-9, "{more}");
    assert_eq!(detail.fitted_min, (0.0, 19.5));
    assert!(!finding.says(reasons::FELL));
}

/// A leak in the longest stretch is one, whatever was touched later.
#[test]
fn a_step_hides_no_leak() {
    let (finding, detail) = judged(&log(0.0, 30.0, |m| {
        300.0 + 20.0 * m + if m < 19.9 { 0.0 } else { 200.0 }
    }));
    assert_eq!(finding.outcome, Outcome::Fail);
    assert_eq!(finding.reasons[0].code, reasons::LEAK);
    let [_, low, high] = rate(&detail);
    assert!((low..high).contains(&20.0), "{low} to {high}");
    assert!(text(&finding, reasons::STRETCH).contains("0.0 to 19.5 min"));
    assert!(!text(&finding, reasons::STEP).contains("--isolated-after"));
}

/// Air let in settles as vapour does: the rule's level fails it, and nobody is sent to look for water.
#[test]
fn air_let_in_is_not_called_water() {
    let (finding, detail) = judged(&log(0.0, 40.0, |m| {
        if m < 4.9 {
            300.0
        } else {
            2300.0 - 300.0 * (-(m - 5.0) / 2.0).exp()
        }
    }));
    assert_eq!(finding.outcome, Outcome::Fail);
    assert_eq!(finding.reasons[0].code, reasons::RULE_NOT_MET);
    assert!(!finding.says(reasons::MOISTURE), "{:#?}", finding.reasons);
    assert_eq!(detail.cause, Cause::Unknown);
    assert!(finding.says(reasons::STEP));
}

/// Back to the pump: told as a step, and never as drift.
#[test]
fn a_valve_back_to_the_pump_is_told() {
    let (finding, detail) = judged(&log(0.0, 30.0, |m| if m < 19.9 { 400.0 } else { 280.0 }));
    assert_eq!(finding.outcome, Outcome::Undecided);
    assert!(text(&finding, reasons::STEP).contains("fell suddenly at 20.0 min, from 400 to 280"));
    assert!(!finding.says(reasons::FELL), "{:#?}", finding.reasons);
    assert_eq!(detail.cause, Cause::Unknown);
}

/// A steady source that starts late bends the curve as vapour does, the other way round: a leak, with when it began.
#[test]
fn a_steady_source_that_starts_late_is_not_called_moisture() {
    for (per_min, start) in [
        (3.0, 14.0),
        (5.0, 12.0),
        (20.0, 12.0),
        (20.0, 20.0),
        (60.0, 8.0),
    ] {
        let (finding, detail) = judged(&log(0.0, 30.0, |m| 300.0 + per_min * (m - start).max(0.0)));
        let case = format!(
            "{per_min} micron/min from {start} min: {:#?}",
            finding.reasons
        );
        assert_eq!(finding.outcome, Outcome::Fail, "{case}");
        assert_eq!(detail.cause, Cause::Leak, "{case}");
        for moist in [reasons::MOISTURE, reasons::LEVELS_OFF, reasons::WAIT] {
            assert!(!finding.says(moist), "{case}");
        }
        assert_eq!(finding.reasons[0].code, reasons::LEAK, "{case}");
        assert!(
            text(&finding, reasons::STARTS_LATE).starts_with("it began at "),
            "{case}"
        );
        assert!(
            finding.reasons.iter().all(|r| !r.text.contains(",,")),
            "{case}"
        );
        let began = detail.starts_late.unwrap().near.in_unit(unit::MINUTE);
        assert!((began - start).abs() < 1.0, "{began} {case}");
    }
}

/// A leak from the first minute on is not said to begin late.
#[test]
fn a_leak_from_the_beginning_did_not_begin_late() {
    let (finding, detail) = judged(&log(0.0, 30.0, |m| 300.0 + 20.0 * m));
    assert!(
        !finding.says(reasons::STARTS_LATE),
        "{:#?}",
        finding.reasons
    );
    assert_eq!(detail.starts_late, None);
}

/// Where waiting decides, the first sentence says where it levels off and how many minutes more, the second holds it
/// against the rule; where waiting does not, no minutes are promised.
#[test]
fn minutes_are_promised_only_where_they_decide() {
    let levels = |by: f64| move |m: f64| 300.0 + by * (1.0 - (-m / 6.0).exp());
    let (finding, detail) = judged(&log(0.0, 6.0, levels(300.0)));
    assert_eq!(finding.outcome, Outcome::Undecided);
    assert_eq!(
        finding.reasons[0].code,
        reasons::WAIT,
        "{:#?}",
        finding.reasons
    );
    assert_eq!(finding.reasons[1].code, reasons::TOO_SHORT);
    assert!(finding.reasons[0].text.contains("levels off near "));
    assert!(detail.hold_longer_min.unwrap() >= 4.0);
    // flat so far: only the rule needs more
    let (finding, _) = judged(&log(0.0, 8.0, |_| 400.0));
    assert_eq!(
        finding.reasons[0].code,
        reasons::TOO_SHORT,
        "{:#?}",
        finding.reasons
    );
    assert!(text(&finding, reasons::WAIT).contains("2 min more reach the 10 min"));
    // settled in a rule's gap: no minutes help
    let criteria = Criteria {
        rule: dry::Rule::named("makers-500-700-15").unwrap(),
        ..Criteria::default()
    };
    let gap = dry::assess(&log(0.0, 60.0, levels(450.0)), &criteria).unwrap();
    assert_eq!(gap.outcome, Outcome::Undecided);
    assert!(!gap.says(reasons::WAIT), "{:#?}", gap.reasons);
    let check::Detail::Dry(detail) = gap.detail else {
        panic!()
    };
    assert_eq!(detail.hold_longer_min, None);
}

/// Four readings by hand: when to read next, at a time to come and at a pressure a gauge can show, for a narrower answer.
#[test]
fn few_readings_say_what_the_next_one_buys() {
    let typed = |minutes: &[f64], micron: &[f64]| {
        let pressure = micron
            .iter()
            .map(|p| PressureAbs::of(*p, unit::MICRON))
            .collect();
        Input::of(
            minutes.to_vec(),
            pressure,
            PressureDiff::of(1.0, unit::MICRON_DIFF),
        )
    };
    let (minutes, micron) = ([0.0, 5.0, 10.0, 15.0], [300.0, 352.0, 389.0, 417.0]);
    let (finding, before) = judged(&typed(&minutes, &micron));
    let said = text(&finding, reasons::NEXT_READING);
    // as long again as it was held
    assert!(
        said.starts_with("read the gauge again at 30 min: it should show about "),
        "{said}"
    );
    let number = |after: &str| -> f64 {
        let rest = said.split_once(after).unwrap().1;
        rest.split_whitespace().next().unwrap().parse().unwrap()
    };
    let likely = number("should show about ");
    assert!((417.0..650.0).contains(&likely), "{said}");
    let (now, then) = (number("a range of "), number("to about "));
    assert!(then < 0.95 * now, "{said}");
    // read as foretold, it does
    let minutes = [0.0, 5.0, 10.0, 15.0, 30.0];
    let (_, after) = judged(&typed(&minutes, &[300.0, 352.0, 389.0, 417.0, likely]));
    let width = |detail: &Detail| rate(detail)[2] - rate(detail)[1];
    assert!((width(&before) / now - 1.0).abs() < 0.05, "{said}");
    assert!(
        (0.4..1.6).contains(&(width(&after) / then)),
        "{said}: {}",
        width(&after)
    );
    // a log with many readings says nothing of one more
    let (finding, _) = judged(&log(0.0, 6.0, |m| 300.0 + 300.0 * (1.0 - (-m / 6.0).exp())));
    assert!(!finding.says(reasons::NEXT_READING));
}
