use lineproof::out::figure::{DrawError, Width, hold, saturation};

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
