use lineproof::out::figure::{
    DrawError, LogLine, LogPanel, LogWindow, RunningLogFigure, Width, hold, running_log, saturation,
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
