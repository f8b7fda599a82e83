use lineproof::out::figure::{
    DrawError, HoldStep, LogLine, LogPanel, LogWindow, RunningLogFigure, Width, hold,
    hold_residuals, loss_limit, running_log, saturation,
};

use crate::sheets;

#[test]
fn a_dense_log_makes_a_small_drawing() {
    // 100,000 readings, as a logger at one a second leaves after a day
    let svg = hold::draw(&sheets::hold(100_000, 0.0), Width::Wide, "hold").unwrap();
    assert!(svg.len() < 80_000, "{} bytes", svg.len());
}

#[test]
fn colours_and_letters_follow_the_page() {
    for svg in [
        hold::draw(&sheets::hold(1440, 0.0), Width::Wide, "hold").unwrap(),
        saturation::draw(&sheets::running(), Width::Narrow, "saturation").unwrap(),
    ] {
        assert!(svg.contains("var(--ink,") && svg.contains("font-family=\"inherit\""));
        for marker in ["#010101", "#020202", "#030303", "#040404", "sans-serif"] {
            assert!(!svg.contains(marker), "{marker} is left");
        }
        let open = &svg[..svg.find('>').unwrap()];
        assert!(
            open.contains("viewBox") && !open.contains(" width=") && open.contains("role=\"img\"")
        );
        assert!(svg.contains("<title") && svg.contains("<desc"));
    }
}

#[test]
fn a_log_without_outdoor_temperature_and_with_gaps_is_drawn() {
    let mut log = sheets::hold(200, 0.0);
    log.outdoor = None;
    log.gauge[50] = f64::NAN;
    log.band_low[120] = f64::NAN;
    assert!(
        hold::draw(&log, Width::Narrow, "hold")
            .unwrap()
            .contains("hours after")
    );
}

const BOTH: [Width; 2] = [Width::Wide, Width::Narrow];

fn steps(count: usize) -> Vec<HoldStep> {
    let step = |i: usize| HoldStep {
        hours: 2.0 + 3.0 * i as f64,
        words: format!("fell {}.2 psi", i + 1),
    };
    (0..count).map(step).collect()
}

#[test]
fn the_hold_shows_its_fit_its_steps_and_what_was_left_out() {
    let mut log = sheets::hold(1440, 0.5);
    log.steps = steps(2);
    log.outliers = vec![(5.0, 401.0), (11.0, 2.0)];
    log.witness = Some(log.expected.clone());
    for width in BOTH {
        let svg = hold::draw(&log, width, "hold").unwrap();
        for words in [
            "fell 1.2 psi",
            "fell 2.2 psi",
            "a tight witness, psig",
            "outdoor",
        ] {
            assert!(svg.contains(words), "{words}");
        }
        // an open dot is paper under a ring
        assert_eq!(svg.matches("<circle").count(), 4);
        assert!(svg.contains(
            "Left out, since they stand alone: 401.0 psig at 5.0 h, 2.0 psig at 11.0 h."
        ));
        assert!(svg.contains("Sudden changes: fell 1.2 psi at 2.0 h, fell 2.2 psi at 5.0 h."));
    }
}

#[test]
fn many_sudden_changes_are_counted() {
    let mut log = sheets::residuals(200, 0.5);
    log.steps = steps(7);
    let svg = hold_residuals::draw(&log, Width::Narrow, "residuals").unwrap();
    assert!(svg.contains("7 sudden changes") && !svg.contains(">fell 1.2 psi"));
    assert!(svg.contains("fell 4.2 psi at 11.0 h and 3 more."));
}

#[test]
fn more_readings_left_out_than_kept_are_drawn_and_counted() {
    let mut log = sheets::hold(3, 0.0);
    log.outliers = (0..30)
        .map(|i| (0.5 * f64::from(i), f64::from(20 * i)))
        .collect();
    let mut left = sheets::residuals(3, 0.0);
    left.outliers = log.outliers.clone();
    for width in BOTH {
        // three readings, and a ring on paper for each that was left out
        for svg in [
            hold::draw(&log, width, "h").unwrap(),
            hold_residuals::draw(&left, width, "r").unwrap(),
        ] {
            assert!(svg.matches("<circle").count() >= 63 && svg.contains(" and 26 more."));
        }
    }
}

#[test]
fn two_readings_are_enough_and_one_is_not() {
    let mut log = sheets::hold(2, 1.0);
    log.outdoor = None;
    let left = sheets::residuals(2, 1.0);
    for width in BOTH {
        // two readings are dots on a line
        assert!(hold::draw(&log, width, "h").unwrap().contains("<circle"));
        assert!(
            hold_residuals::draw(&left, width, "r")
                .unwrap()
                .contains("<circle")
        );
    }
    assert!(hold::draw(&sheets::hold(1, 1.0), Width::Wide, "h").is_err());
    assert!(hold_residuals::draw(&sheets::residuals(1, 1.0), Width::Wide, "r").is_err());
}

#[test]
fn residuals_say_what_they_are_held_against() {
    for width in BOTH {
        let svg = hold_residuals::draw(&sheets::residuals(100_000, 0.03), width, "r").unwrap();
        assert!(svg.len() < 90_000, "{} bytes", svg.len());
        for words in ["a tight line", "limit", "psi", "hours after 14 Oct 18:00"] {
            assert!(svg.contains(words), "{words}");
        }
    }
    let mut uneven = sheets::residuals(20, 0.0);
    uneven.corrected.pop();
    assert_eq!(
        hold_residuals::draw(&uneven, Width::Wide, "r")
            .unwrap_err()
            .to_string(),
        "the hold residuals figure got 20 times but 19 values of the corrected reading; give one value for each time"
    );
}

#[test]
fn a_wedge_far_wider_than_the_readings_does_not_press_them_flat() {
    let mut left = sheets::residuals(200, 0.01);
    let usual = hold_residuals::draw(&left, Width::Wide, "r").unwrap();
    left.loss = [0.01, -40.0, 40.0];
    let wide = hold_residuals::draw(&left, Width::Wide, "r").unwrap();
    let deepest = |svg: &str| {
        words(svg)
            .iter()
            .filter_map(|w| w.parse().ok())
            .fold(0.0, f64::min)
    };
    // a loss at the limit leads to -1.2 psi; 40 psi/h over a day would lead to -960 psi
    assert!(
        (-1.3..=-1.0).contains(&deepest(&usual)),
        "{}",
        deepest(&usual)
    );
    assert!(
        (-4.0..=-1.0).contains(&deepest(&wide)),
        "{}",
        deepest(&wide)
    );
}

/// The words of a drawing, line by line.
fn words(svg: &str) -> Vec<&str> {
    let texts = svg.split("<text").skip(1);
    let between = |text: &'_ str| {
        let (from, to) = (text.find('>')? + 1, text.find("</text>")?);
        Some((from, to))
    };
    texts
        .filter_map(|text| between(text).map(|(from, to)| text[from..to].trim()))
        .collect()
}

/// Where words stand: their left end, middle or right end.
fn at(svg: &str, words: &str) -> f64 {
    let end = svg
        .find(words)
        .unwrap_or_else(|| panic!("{words} is not drawn"));
    let open = svg[..end].rfind("<text").unwrap();
    let x = svg[open..end].split("x=\"").nth(1).unwrap();
    x[..x.find('"').unwrap()].parse().unwrap()
}

#[test]
fn the_loss_stands_on_its_side_of_the_limit() {
    for width in BOTH {
        for (loss, outcome) in [
            ([0.006, -0.009, 0.021], "pass"),
            ([0.04, -0.02, 0.1], "undecided"),
            ([0.2, 0.1, 0.3], "fail"),
        ] {
            let figure = sheets::loss_limit(loss, 0.05);
            let svg = loss_limit::draw(&figure, width, "l").unwrap();
            for words in ["no loss", "limit 0.05 psi/h", "← pass", "fail →"] {
                assert!(svg.contains(words), "{words}");
            }
            let said = words(&svg).join(" ");
            assert!(said.contains(&format!("This test: {outcome}. ")), "{said}");
            assert!(at(&svg, "← pass") < at(&svg, "fail →"));
            assert!(!said.contains("too near"));
            assert_eq!(svg.contains("h more"), outcome == "undecided");
        }
    }
}

#[test]
fn a_limit_too_near_zero_to_draw_apart_is_said() {
    for loss in [[6.0, 5.0, 7.0], [1.0, -30.0, 30.0]] {
        let figure = sheets::loss_limit(loss, 0.05);
        for width in BOTH {
            let svg = loss_limit::draw(&figure, width, "l").unwrap();
            let said = words(&svg).join(" ");
            assert!(said.contains("too near to no loss"), "{said}");
        }
    }
}

#[test]
fn an_outcome_that_the_numbers_do_not_give_says_so() {
    let mut figure = sheets::loss_limit([0.2, 0.1, 0.3], 0.05);
    figure.outcome = "undecided";
    let mut nearly = figure.clone();
    nearly.above_limit = 0.949;
    assert_eq!(nearly.share_words(), "94 % of that is above the limit");
    assert_eq!(nearly.outcome_words(), "undecided");
    assert_eq!(
        figure.outcome_words(),
        "undecided, though these numbers alone would be a fail: the reasons say why"
    );
    assert_eq!(
        figure.summary(),
        "Loss 0.2, could be 0.1 to 0.3 psi/h; 99 % of that is above the limit. Limit 0.05 psi/h: 0.05 psi/h at 500 psig, \
         scaled with the absolute pressure. Undecided, though these numbers alone would be a fail: the reasons say why. \
         It is a pass with 95 % below the limit, a fail with 95 % above."
    );
}

#[test]
fn a_loss_that_is_no_number_is_not_drawn() {
    let figure = sheets::loss_limit([f64::NAN, 0.0, 1.0], 0.05);
    assert_eq!(
        loss_limit::draw(&figure, Width::Wide, "l").unwrap_err(),
        DrawError::NothingToDraw {
            figure: "loss against its limit"
        }
    );
}

#[test]
fn what_cannot_be_drawn_is_said() {
    let mut log = sheets::hold(20, 0.0);
    log.gauge.pop();
    let error = hold::draw(&log, Width::Wide, "hold").unwrap_err();
    assert_eq!(
        error.to_string(),
        "the hold figure got 20 times but 19 values of the gauge; give one value for each time"
    );
    let mut empty = sheets::running();
    empty.curve.clear();
    let error = saturation::draw(&empty, Width::Wide, "s").unwrap_err();
    assert_eq!(
        error,
        DrawError::NothingToDraw {
            figure: "saturation"
        }
    );
}

fn made_up_log(rows: usize, window: bool) -> RunningLogFigure {
    let minutes: Vec<f64> = (0..rows).map(|i| 40.0 * i as f64 / rows as f64).collect();
    let line = |label, middle: f64| LogLine {
        label,
        mean: window.then(|| format!("{middle:.1}")),
        values: minutes
            .iter()
            .map(|t| middle + 20.0 * (-t / 3.0).exp() + (9.0 * t).sin())
            .collect(),
    };
    RunningLogFigure {
        panels: vec![LogPanel {
            title: "lines and coil bends".into(),
            unit: "°F",
            lines: vec![line("suction line", 52.0), line("evaporator bend", 51.0)],
        }],
        window: window.then_some(LogWindow {
            from: 20.0,
            to: 35.0,
            steady: true,
        }),
        hunting: window.then(|| "hunting: suction line, every 3.2 min, ± 4.1 °F".into()),
        minutes,
    }
}

#[test]
fn a_running_log_shows_its_window_and_what_hunts() {
    let log = made_up_log(20_000, true);
    let svg = running_log::draw(&log, Width::Wide, "log").unwrap();
    for words in [
        "steady 20.0 to 35.0 min",
        "hunting: suction line",
        "evaporator bend 51.0",
        "minutes after the log",
    ] {
        assert!(svg.contains(words), "{words}");
    }
    assert!(svg.len() < 200_000, "{}", svg.len());
    assert_eq!(
        log.summary(),
        "Running log, steady 20.0 to 35.0 min. Means over the window: suction line 52.0 °F, evaporator bend 51.0 °F. \
         Hunting: suction line, every 3.2 min, ± 4.1 °F."
    );
    let narrow = running_log::draw(&made_up_log(300, false), Width::Narrow, "log").unwrap();
    assert!(!narrow.contains("steady 20"));
}

#[test]
fn a_running_log_of_uneven_columns_or_none_is_refused() {
    let mut log = made_up_log(50, true);
    log.panels[0].lines[0].values.pop();
    assert_eq!(
        running_log::draw(&log, Width::Wide, "log")
            .unwrap_err()
            .to_string(),
        "the running log figure got 50 times but 49 values of suction line; give one value for each time"
    );
    log.panels.clear();
    assert!(running_log::draw(&log, Width::Wide, "log").is_err());
}

fn rise() -> lineproof::out::figure::RiseFigure {
    use lineproof::check::dry::Cause;
    let minutes: Vec<f64> = (0..=40).map(f64::from).collect();
    let of = |rise: fn(f64) -> f64| minutes.iter().map(|t| rise(*t)).collect::<Vec<f64>>();
    lineproof::out::figure::RiseFigure {
        read: of(|t| (200.0 + 2.0 * t + 150.0 * (1.0 - (-t / 6.0).exp())).round()),
        fitted: of(|t| 200.0 + 2.0 * t + 150.0 * (1.0 - (-t / 6.0).exp())),
        leak: of(|t| 200.0 + 2.0 * t),
        vapour: Some(of(|t| 200.0 + 150.0 * (1.0 - (-t / 6.0).exp()))),
        level: Some(350.0),
        leak_words: "2.0, could be 1.8 to 2.2 micron/min".into(),
        cause: Cause::Both,
        rule: None,
        minutes,
    }
}

#[test]
fn the_rise_shows_its_parts_and_a_rule_only_where_one_was_chosen() {
    use lineproof::out::figure::{RiseRule, rise as drawing};
    for width in BOTH {
        let svg = drawing::draw(&rise(), width, "rise").unwrap();
        assert!(svg.contains("Without it, it levels off near 350 micron."));
        assert!(!svg.contains("500-10"));
        let mut ruled = rise();
        ruled.rule = Some(RiseRule {
            name: "makers-500-10".into(),
            pass: 500.0,
            minutes: 10.0,
        });
        let svg = drawing::draw(&ruled, width, "rise").unwrap();
        assert!(svg.contains(">\nmakers-500-10") && svg.contains("asks for 500 micron or less"));
    }
    let mut uneven = rise();
    uneven.leak.pop();
    assert!(matches!(
        drawing::draw(&uneven, Width::Wide, "rise").unwrap_err(),
        DrawError::UnevenColumns { .. }
    ));
    let mut deep = rise();
    assert!(!deep.by_tens());
    deep.read[40] = 20_000.0;
    assert!(deep.by_tens());
}

#[test]
fn the_pump_down_shows_what_was_switched_and_when_the_pump_went_off() {
    use lineproof::out::figure::{PumpDownFigure, PumpMark, pump_down};
    let minutes: Vec<f64> = (0..100).map(|i| f64::from(i) / 10.0).collect();
    let log = PumpDownFigure {
        read: minutes
            .iter()
            .map(|t| 400.0 + 760e3 * (-2.0 * t).exp())
            .collect(),
        lingers: Some((2.0, 4.0, 9_000.0)),
        lingers_words: "as water at 50 °F".into(),
        steps: vec![PumpMark {
            minutes: 5.0,
            words: "switched".into(),
        }],
        shut_off: Some(9.0),
        told: vec!["it lingers".into()],
        minutes,
    };
    for width in BOTH {
        let svg = pump_down::draw(&log, width, "pump-down").unwrap();
        for words in [
            "switched 5.0 min",
            "pump off 9.0 min",
            "lingers near 9000, as water",
            "100,000",
        ] {
            assert!(svg.contains(words), "{words}");
        }
    }
}
