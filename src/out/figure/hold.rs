//! The standing pressure test against time, with the band where a tight line's gauge would read.

use plotters::coord::types::RangedCoordf64;
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, VPos};

use super::ink::{self, DrawError, INK, MARK, RULE, SOFT, Width, Words, letters, line, px};
use super::{Hold, extremes};

const FIGURE: &str = "hold";
pub(super) type Area<'a, 'b> = DrawingArea<SVGBackend<'b>, plotters::coord::Shift>;
pub(super) type Chart<'a, 'b> =
    ChartContext<'a, SVGBackend<'b>, Cartesian2d<RangedCoordf64, RangedCoordf64>>;
pub(super) type Drawn = Result<(), Box<dyn std::error::Error>>;

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
    area: &'a Area<'a, 'b>,
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

pub(super) fn rules(chart: &mut Chart, across: usize) -> Drawn {
    let numbers = letters(SOFT, HPos::Center, VPos::Center);
    let mut mesh = chart.configure_mesh();
    mesh.disable_x_mesh()
        .bold_line_style(line(RULE, 8))
        .light_line_style(TRANSPARENT)
        .axis_style(TRANSPARENT)
        .set_all_tick_mark_size(px(3))
        .y_labels(across)
        .x_labels(0)
        .y_label_style(numbers)
        .y_label_formatter(&|v| number(*v));
    mesh.draw()?;
    Ok(())
}

/// Ticks at whole parts of a day, as a clock has them.
fn hour_ticks(chart: &Chart, area: &Area, hours: (f64, f64), width: Width) -> Drawn {
    let step = hour_step(hours.1 - hours.0, width.pick(9, 6));
    // the chart counts from the whole sheet's corner, the area from its own
    let (left, top) = area.get_base_pixel();
    let bottom = chart.plotting_area().get_pixel_range().1.end - top;
    let first = (hours.0 / step).ceil() as i64;
    let last = (hours.1 / step + 1e-9).floor() as i64;
    for hour in (first..=last).map(|i| i as f64 * step) {
        let x = chart.backend_coord(&(hour, 0.0)).0 - left;
        let mark = PathElement::new(vec![(x, bottom), (x, bottom + px(4))], line(SOFT, 8));
        area.draw(&mark)?;
        let style = letters(SOFT, HPos::Center, VPos::Top);
        area.draw(&Text::new(number(hour), (x, bottom + px(7)), style))?;
    }
    Ok(())
}

/// The smallest step that needs no more ticks than so many.
fn hour_step(span: f64, ticks: usize) -> f64 {
    const STEPS: [f64; 10] = [0.25, 0.5, 1.0, 2.0, 3.0, 6.0, 12.0, 24.0, 48.0, 96.0];
    let fits = |step: &&f64| span / **step <= ticks as f64;
    STEPS
        .iter()
        .find(fits)
        .copied()
        .unwrap_or(span / ticks as f64)
}

pub(super) fn trace(
    chart: &mut Chart,
    hours: &[f64],
    values: &[f64],
    columns: usize,
    style: ShapeStyle,
) -> Drawn {
    for run in ink::runs(hours, values) {
        let points = ink::thinned(&run, columns);
        if points.len() < 12 {
            let dot = |&p| Circle::new(p, px(3), style.color.filled());
            chart.draw_series(points.iter().map(dot))?;
        }
        chart.draw_series(std::iter::once(PathElement::new(points, style)))?;
    }
    Ok(())
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

/// Two heights at least so far apart, each moved by half of what is missing.
fn moved_apart(a: i32, b: i32, apart: i32) -> (i32, i32) {
    let missing = apart - (a - b).abs();
    if missing <= 0 {
        return (a, b);
    }
    let half = (missing + 1) / 2;
    if a <= b {
        (a - half, b + half)
    } else {
        (a + half, b - half)
    }
}

pub(super) fn title(area: &Area, words: &str) -> Drawn {
    let style = letters(INK, HPos::Left, VPos::Top);
    area.draw(&Text::new(words.to_string(), (px(2), px(4)), style))?;
    Ok(())
}

fn clock_title(area: &Area, began: &str, width: Width) -> Drawn {
    let (_, height) = area.dim_in_pixel();
    let style = letters(SOFT, HPos::Left, VPos::Bottom);
    let words = format!("hours after {began}");
    area.draw(&Text::new(
        words,
        (px(width.pick(50, 42)), height as i32 - px(2)),
        style,
    ))?;
    Ok(())
}

/// A tick's number without the tail that binary fractions leave.
pub(super) fn number(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_string()
    } else {
        text.to_string()
    }
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

    #[test]
    fn ticks_have_no_tail() {
        assert_eq!(number(0.1 + 0.2), "0.3");
        assert_eq!(number(-0.0), "0");
        assert_eq!(number(400.0), "400");
    }
}
