//! The standing pressure test against time, with the band where a tight line's gauge would read.

use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, VPos};

use super::ink::{
    self, Area, Chart, DrawError, Drawn, INK, MARK, SOFT, Width, Words, letters, line, px, rules,
    title, trace,
};
use super::{Hold, extremes};

const FIGURE: &str = "hold";

/// The figure as an SVG element without fixed width; `id` must be unique in the page.
///
/// Readings are drawn as they are, at most two for each column of the drawing.
pub fn draw(hold: &Hold, width: Width, id: &str) -> Result<String, DrawError> {
    even_columns(hold)?;
    let nothing = || DrawError::NothingToDraw { figure: FIGURE };
    let description = hold.summary().ok_or_else(nothing)?;
    let hours = extremes(&hold.hours).ok_or_else(nothing)?;
    let pressures = [&hold.gauge, &hold.band_low, &hold.band_high];
    let pressures = pressures
        .iter()
        .filter_map(|column| extremes(column))
        .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
        .ok_or_else(nothing)?;

    let outdoor = hold
        .outdoor
        .as_deref()
        .and_then(|column| Some((column, extremes(column)?)));
    let upper = width.pick(286, 250);
    let lower = if outdoor.is_some() { 128 } else { 0 };
    let size = (width.pick(740, 360), upper + lower);
    let words = Words {
        figure: FIGURE,
        id,
        title: "Standing pressure test: the gauge against where a tight line would read",
        description: &description,
    };
    ink::drawn(&words, width, size, |root| {
        let (above, below) = root.split_vertically(px(upper));
        let clock = outdoor.is_none();
        pressure_panel(hold, &above, hours, pressures, width, clock)?;
        if let Some((column, range)) = outdoor {
            outdoor_panel(hold, column, &below, hours, range, width)?;
        }
        Ok(())
    })
}

fn even_columns(hold: &Hold) -> Result<(), DrawError> {
    let columns = [
        ("the gauge", Some(&hold.gauge)),
        ("the expected reading", Some(&hold.expected)),
        ("the band's low edge", Some(&hold.band_low)),
        ("the band's high edge", Some(&hold.band_high)),
        ("outdoor temperature", hold.outdoor.as_ref()),
    ];
    for (column, values) in columns {
        let values = values.map_or(hold.hours.len(), Vec::len);
        if values != hold.hours.len() {
            return Err(DrawError::UnevenColumns {
                figure: FIGURE,
                column,
                hours: hold.hours.len(),
                values,
            });
        }
    }
    Ok(())
}

fn pressure_panel(
    hold: &Hold,
    area: &Area,
    hours: (f64, f64),
    range: (f64, f64),
    width: Width,
    clock: bool,
) -> Drawn {
    let mut chart = panel(
        area,
        hours,
        ink::roomy(range.0, range.1, 0.08),
        width,
        clock,
    )?;
    rules(&mut chart, 6)?;
    title(area, &format!("gauge pressure, {}", hold.pressure_unit))?;
    if clock {
        hour_ticks(&chart, area, hours, width)?;
        clock_title(area, &hold.began, width)?;
    }
    let columns = width.pick(560, 260);
    let band = band(hold, columns);
    for run in &band {
        chart.draw_series(std::iter::once(Polygon::new(run.clone(), MARK.mix(0.16))))?;
        let middle = run.len() / 2;
        for edge in [&run[..middle], &run[middle..]] {
            chart.draw_series(std::iter::once(PathElement::new(
                edge.to_vec(),
                MARK.mix(0.55).stroke_width(px(1) as u32 * 7 / 10),
            )))?;
        }
    }
    for run in ink::runs(&hold.hours, &hold.expected) {
        let points = ink::smoothed(&run, columns);
        let (dash, gap) = (px(5) as u32, px(4) as u32);
        chart.draw_series(DashedLineSeries::new(points, dash, gap, line(MARK, 8)))?;
    }
    trace(&mut chart, &hold.hours, &hold.gauge, columns, line(INK, 14))?;
    labels(hold, &chart, area, width)
}

/// The band's outline for each run of the log: along the low edge, back along the high one.
fn band(hold: &Hold, columns: usize) -> Vec<Vec<(f64, f64)>> {
    let low = ink::runs(&hold.hours, &hold.band_low);
    let high = ink::runs(&hold.hours, &hold.band_high);
    low.iter()
        .zip(&high)
        .map(|(low, high)| {
            let mut outline = ink::smoothed(low, columns);
            outline.extend(ink::smoothed(high, columns).into_iter().rev());
            outline
        })
        .collect()
}

fn outdoor_panel(
    hold: &Hold,
    column: &[f64],
    area: &Area,
    hours: (f64, f64),
    range: (f64, f64),
    width: Width,
) -> Drawn {
    let mut chart = panel(area, hours, ink::roomy(range.0, range.1, 0.12), width, true)?;
    rules(&mut chart, 3)?;
    title(
        area,
        &format!("outdoor temperature, {}", hold.temperature_unit),
    )?;
    hour_ticks(&chart, area, hours, width)?;
    clock_title(area, &hold.began, width)?;
    trace(
        &mut chart,
        &hold.hours,
        column,
        width.pick(560, 260),
        line(SOFT, 12),
    )
}

fn panel<'a, 'b>(
    area: &'a Area<'b>,
    hours: (f64, f64),
    range: std::ops::Range<f64>,
    width: Width,
    clock: bool,
) -> Result<Chart<'a, 'b>, Box<dyn std::error::Error>> {
    let chart = ChartBuilder::on(area)
        .margin_top(px(28))
        .margin_right(px(width.pick(122, 64)))
        .margin_bottom(px(if clock { 20 } else { 4 }))
        .set_label_area_size(LabelAreaPosition::Left, px(width.pick(50, 42)))
        .set_label_area_size(LabelAreaPosition::Bottom, px(if clock { 22 } else { 2 }))
        .build_cartesian_2d(hours.0..hours.1, range)?;
    Ok(chart)
}

/// Ticks at whole parts of a day, as a clock has them.
fn hour_ticks(chart: &Chart, area: &Area, hours: (f64, f64), width: Width) -> Drawn {
    let step = hour_step(hours.1 - hours.0, width.pick(9, 6));
    ink::ticks(chart, area, hours, step)
}

/// The smallest step that needs no more ticks than so many.
fn hour_step(span: f64, ticks: usize) -> f64 {
    const STEPS: [f64; 10] = [0.25, 0.5, 1.0, 2.0, 3.0, 6.0, 12.0, 24.0, 48.0, 96.0];
    ink::step_of(&STEPS, span, ticks)
}

/// Names at the right end of the lines, moved apart when the lines end close together.
fn labels(hold: &Hold, chart: &Chart, area: &Area, width: Width) -> Drawn {
    let end = |column: &[f64]| {
        let rows = hold.hours.iter().zip(column);
        rows.rev()
            .find(|(_, v)| v.is_finite())
            .map(|(&hour, &v)| chart.backend_coord(&(hour, v)))
    };
    let middle: Vec<f64> = hold
        .band_low
        .iter()
        .zip(&hold.band_high)
        .map(|(low, high)| 0.5 * (low + high))
        .collect();
    let (Some(gauge), Some(tight)) = (end(&hold.gauge), end(&middle)) else {
        return Ok(());
    };
    let tight_lines: &[&str] =
        width.pick(&["where a tight", "line would read"], &["a tight", "line"]);
    let step = px(ink::LETTERS) * 12 / 10;
    let block = step * tight_lines.len() as i32;
    let apart = (block + step) / 2 + px(2);
    let (gauge_y, tight_y) = moved_apart(gauge.1, tight.1, apart);
    let x = gauge.0.max(tight.0) + px(8);
    let style = letters(INK, HPos::Left, VPos::Center);
    area.draw(&Text::new("gauge", (x, gauge_y), style))?;
    for (i, words) in tight_lines.iter().enumerate() {
        let y = tight_y - block / 2 + step / 2 + i as i32 * step;
        area.draw(&Text::new(
            *words,
            (x, y),
            letters(MARK, HPos::Left, VPos::Center),
        ))?;
    }
    Ok(())
}

/// Two heights at least so far apart, in the order given.
fn moved_apart(a: i32, b: i32, apart: i32) -> (i32, i32) {
    match ink::spread(&[a.min(b), a.max(b)], apart)[..] {
        [low, high] if a <= b => (low, high),
        [low, high] => (high, low),
        _ => (a, b),
    }
}

fn clock_title(area: &Area, began: &str, width: Width) -> Drawn {
    ink::under_axis(area, &format!("hours after {began}"), width)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn close_labels_move_apart_and_far_ones_stay() {
        assert_eq!(moved_apart(100, 104, 20), (92, 112));
        assert_eq!(moved_apart(104, 100, 20), (112, 92));
        assert_eq!(moved_apart(10, 100, 20), (10, 100));
    }

    #[test]
    fn hours_are_marked_as_on_a_clock() {
        assert_eq!(hour_step(24.0, 9), 3.0);
        assert_eq!(hour_step(24.0, 6), 6.0);
        assert_eq!(hour_step(1.0, 9), 0.25);
    }
}
