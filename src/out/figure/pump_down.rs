//! The pump-down against time, by powers of ten: where it lingers, what was switched, where the pump was shut off.

use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, VPos};

use super::hold::sudden;
use super::ink::{
    self, Area, DrawError, Drawn, INK, MARK, Width, Words, letters, line, px, title, trace,
};
use super::rise::{Scale, minute_ticks};
use super::{HoldStep, PumpDownFigure, extremes};

const FIGURE: &str = "pump-down";

/// The figure as an SVG element without fixed width; `id` must be unique in the page.
///
/// Readings are drawn as they are, at most two for each column of the drawing.
pub fn draw(log: &PumpDownFigure, width: Width, id: &str) -> Result<String, DrawError> {
    if log.minutes.len() != log.read.len() {
        return Err(DrawError::UnevenColumns {
            figure: FIGURE,
            column: "the gauge",
            hours: log.minutes.len(),
            values: log.read.len(),
        });
    }
    let nothing = || DrawError::NothingToDraw { figure: FIGURE };
    let description = log.summary().ok_or_else(nothing)?;
    let minutes = super::hold::clock(&log.minutes).ok_or_else(nothing)?;
    let (low, high) = extremes(&log.read).ok_or_else(nothing)?;
    let scale = Scale { tens: true };
    let range = ink::roomy(scale.of(low), scale.of(high), 0.06);
    let words = Words {
        figure: FIGURE,
        id,
        title: "Pump-down: how deep the vacuum got, and where it lingered",
        description: &description,
    };
    let size = (width.pick(740, 360), width.pick(340, 310));
    ink::drawn(&words, width, size, |root| {
        panel(log, root, minutes, range, scale, width)
    })
}

fn panel(
    log: &PumpDownFigure,
    area: &Area,
    minutes: (f64, f64),
    range: std::ops::Range<f64>,
    scale: Scale,
    width: Width,
) -> Drawn {
    let marks = marks(log);
    let mut chart = ChartBuilder::on(area)
        .margin_top(px(super::hold::head(&marks)))
        .margin_right(px(width.pick(40, 14)))
        .margin_bottom(px(20))
        .set_label_area_size(LabelAreaPosition::Left, px(width.pick(68, 64)))
        .set_label_area_size(LabelAreaPosition::Bottom, px(22))
        .build_cartesian_2d(minutes.0..minutes.1, range.clone())?;
    scale.rules(&mut chart, area)?;
    title(area, "absolute pressure, micron")?;
    minute_ticks(&chart, area, minutes, width)?;
    ink::under_axis(area, "minutes of the log", width)?;
    sudden(&marks, &mut chart, area)?;
    if let Some((from, to, level)) = log.lingers {
        let at = scale.of(level);
        let corners = [(from, at - 0.1), (to, at + 0.1)];
        chart.draw_series(std::iter::once(Rectangle::new(
            corners,
            MARK.mix(0.16).filled(),
        )))?;
        let (left, top) = area.get_base_pixel();
        let (x, y) = chart.backend_coord(&(from, at + 0.1));
        let words = format!("lingers near {level:.0}, {}", log.lingers_words);
        let wide = area.dim_in_pixel().0 as i32;
        let x = (x - left)
            .min(wide - ink::text_width(&words) - px(4))
            .max(px(60));
        let style = letters(MARK, HPos::Left, VPos::Bottom);
        area.draw(&Text::new(words, (x, y - top - px(3)), style))?;
    }
    let column: Vec<f64> = log.read.iter().map(|v| scale.of(*v)).collect();
    let columns = width.pick(560, 260);
    trace(&mut chart, &log.minutes, &column, columns, line(INK, 12))
}

/// What was switched, and the pump's end, as upright lines.
fn marks(log: &PumpDownFigure) -> Vec<HoldStep> {
    let switched = log.steps.iter().map(|s| HoldStep {
        hours: s.minutes,
        words: format!("{} {:.1} min", s.words, s.minutes),
    });
    let off = log.shut_off.map(|at| HoldStep {
        hours: at,
        words: format!("pump off {at:.1} min"),
    });
    switched.chain(off).collect()
}
