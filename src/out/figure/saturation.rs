//! Running readings on the saturation curve, with the superheat and subcooling spans.

use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, VPos};

use super::ink::{
    self, Area, Chart, DrawError, Drawn, INK, MARK, PAPER, RULE, SOFT, Width, Words, letters, line,
    number, px,
};
use super::{RestsOn, Running, RunningPoint, Saturation, Span, extremes};

const FIGURE: &str = "saturation";

/// The figure as an SVG element without fixed width; `id` must be unique in the page.
pub fn draw(running: &Running, width: Width, id: &str) -> Result<String, DrawError> {
    let nothing = || DrawError::NothingToDraw { figure: FIGURE };
    let across = across(running).ok_or_else(nothing)?;
    let up = up(running).ok_or_else(nothing)?;
    let curve = within(&running.curve, &across, &up);
    if curve.len() < 2 {
        return Err(nothing());
    }
    let title = format!(
        "Running readings on the saturation curve of {}",
        running.refrigerant
    );
    let description = running.summary();
    let words = Words {
        figure: FIGURE,
        id,
        title: &title,
        description: &description,
    };
    let size = (width.pick(740, 360), width.pick(380, 400));
    ink::drawn(&words, width, size, |root| {
        let mut chart = ChartBuilder::on(root)
            .margin_top(px(28))
            .margin_right(px(16))
            .margin_bottom(px(20))
            .set_label_area_size(LabelAreaPosition::Left, px(width.pick(50, 42)))
            .set_label_area_size(LabelAreaPosition::Bottom, px(22))
            .build_cartesian_2d(across.clone(), up.clone())?;
        axes(running, root, &mut chart)?;
        curves(&curve, &mut chart, root)?;
        for span in &running.spans {
            draw_span(span, &mut chart)?;
        }
        for point in &running.points {
            draw_point(point, &mut chart)?;
        }
        name_readings(running, &chart, root, width)
    })
}

/// The temperatures shown: every reading and span end, with room.
fn across(running: &Running) -> Option<std::ops::Range<f64>> {
    let points = running.points.iter().flat_map(|p| {
        [
            p.temperature - p.half_temperature,
            p.temperature + p.half_temperature,
        ]
    });
    let spans = running.spans.iter().flat_map(|s| [s.from, s.to]);
    let (low, high) = extremes(&points.chain(spans).collect::<Vec<_>>())?;
    let (low, high) = no_narrower(low, high, 5.0);
    Some(ink::roomy(low, high, 0.18))
}

/// The pressures shown, with room for words below the lowest and above the highest reading.
fn up(running: &Running) -> Option<std::ops::Range<f64>> {
    let points = running
        .points
        .iter()
        .flat_map(|p| [p.pressure - p.half_pressure, p.pressure + p.half_pressure]);
    let (low, high) = extremes(&points.collect::<Vec<_>>())?;
    let (low, high) = no_narrower(low, high, 0.2 * high.abs());
    let roomy = ink::roomy(low, high, 0.34);
    let floor = if low > 0.0 { 0.0 } else { roomy.start };
    Some(roomy.start.max(floor)..roomy.end)
}

/// Widened about its middle to a least half-width, so that a single reading still shows some of the curve.
fn no_narrower(low: f64, high: f64, half: f64) -> (f64, f64) {
    let middle = 0.5 * (low + high);
    (low.min(middle - half), high.max(middle + half))
}

/// The part of the curve inside the frame.
fn within(
    curve: &[Saturation],
    across: &std::ops::Range<f64>,
    up: &std::ops::Range<f64>,
) -> Vec<Saturation> {
    let inside = |row: &&Saturation| {
        across.contains(&row.temperature) && up.contains(&row.bubble) && up.contains(&row.dew)
    };
    curve.iter().filter(inside).copied().collect()
}

fn axes(running: &Running, area: &Area, chart: &mut Chart) -> Drawn {
    let numbers = letters(SOFT, HPos::Center, VPos::Center);
    chart
        .configure_mesh()
        .disable_x_mesh()
        .bold_line_style(line(RULE, 8))
        .light_line_style(TRANSPARENT)
        .axis_style(line(SOFT, 6))
        .set_all_tick_mark_size(px(3))
        .y_labels(7)
        .x_labels(8)
        .x_label_style(numbers.clone())
        .y_label_style(numbers)
        .y_label_formatter(&|v| number(*v))
        .x_label_formatter(&|v| number(*v))
        .draw()?;
    let title = format!("pressure, {}", running.pressure_unit);
    let style = letters(INK, HPos::Left, VPos::Top);
    area.draw(&Text::new(title, (px(2), px(4)), style))?;
    let (_, height) = area.dim_in_pixel();
    let title = format!("temperature, {}", running.temperature_unit);
    let style = letters(SOFT, HPos::Left, VPos::Bottom);
    area.draw(&Text::new(title, (px(50), height as i32 - px(2)), style))?;
    Ok(())
}

/// Bubble solid, dew dashed, each named beside the middle of its line.
fn curves(curve: &[Saturation], chart: &mut Chart, area: &Area) -> Drawn {
    let bubble: Vec<_> = curve.iter().map(|r| (r.temperature, r.bubble)).collect();
    let dew: Vec<_> = curve.iter().map(|r| (r.temperature, r.dew)).collect();
    let middle = curve[curve.len() / 2];
    chart.draw_series(std::iter::once(PathElement::new(bubble, line(MARK, 14))))?;
    chart.draw_series(DashedLineSeries::new(
        dew,
        px(6) as u32,
        px(4) as u32,
        line(MARK, 14),
    ))?;
    let at = chart.backend_coord(&(middle.temperature, middle.bubble));
    let style = letters(MARK, HPos::Right, VPos::Bottom);
    area.draw(&Text::new("bubble", (at.0 - px(8), at.1 - px(2)), style))?;
    let at = chart.backend_coord(&(middle.temperature, middle.dew));
    let style = letters(MARK, HPos::Left, VPos::Top);
    area.draw(&Text::new("dew", (at.0 + px(8), at.1 + px(2)), style))?;
    Ok(())
}

/// A line between saturation and the reading, with a foot at saturation.
fn draw_span(span: &Span, chart: &mut Chart) -> Drawn {
    let ends = vec![(span.from, span.pressure), (span.to, span.pressure)];
    chart.draw_series(std::iter::once(PathElement::new(ends, line(INK, 10))))?;
    let foot = EmptyElement::at((span.from, span.pressure))
        + PathElement::new(vec![(0, -px(5)), (0, px(5))], line(INK, 10));
    chart.draw_series(std::iter::once(foot))?;
    Ok(())
}

/// A dot, or a diamond for a probe on a bend, in the box of its 95 % intervals.
fn draw_point(point: &RunningPoint, chart: &mut Chart) -> Drawn {
    let low = (
        point.temperature - point.half_temperature,
        point.pressure - point.half_pressure,
    );
    let high = (
        point.temperature + point.half_temperature,
        point.pressure + point.half_pressure,
    );
    chart.draw_series([
        Rectangle::new([low, high], INK.mix(0.14).filled()),
        Rectangle::new([low, high], line(INK, 6)),
    ])?;
    let centre = (point.temperature, point.pressure);
    if point.rests_on == RestsOn::Probe {
        let far = px(5);
        let corners = vec![(0, -far), (far, 0), (0, far), (-far, 0), (0, -far)];
        chart.draw_series(std::iter::once(
            EmptyElement::at(centre)
                + Polygon::new(corners.clone(), PAPER.filled())
                + PathElement::new(corners, line(INK, 12)),
        ))?;
    } else {
        chart.draw_series(std::iter::once(Circle::new(centre, px(3), INK.filled())))?;
    }
    Ok(())
}

/// Words of one reading with their place on the sheet.
struct Block {
    lines: Vec<String>,
    left: i32,
    top: i32,
    width: i32,
}

const STEP: i32 = 17;

impl Block {
    fn bottom(&self) -> i32 {
        self.top + px(STEP) * self.lines.len() as i32
    }

    fn overlaps(&self, other: &Block) -> bool {
        self.left < other.left + other.width
            && other.left < self.left + self.width
            && self.top < other.bottom()
            && other.top < self.bottom()
    }
}

/// Names each reading on its free side of the curve: vapour below, liquid above.
fn name_readings(running: &Running, chart: &Chart, area: &Area, width: Width) -> Drawn {
    let (frame, _) = chart.plotting_area().get_pixel_range();
    let mut placed: Vec<Block> = Vec::new();
    for point in &running.points {
        let span = running
            .spans
            .iter()
            .find(|s| s.pressure == point.pressure && s.to == point.temperature);
        let lines = words(point, span, running, width);
        let at = chart.backend_coord(&(point.temperature, point.pressure));
        let from = span.map_or(at.0, |s| chart.backend_coord(&(s.from, s.pressure)).0);
        let box_height = at.1
            - chart
                .backend_coord(&(point.temperature, point.pressure + point.half_pressure))
                .1;
        let clear = box_height.max(px(5)) + px(4);
        let vapour = is_vapour(point, &running.curve);
        let block_width = lines.iter().map(|l| ink::text_width(l)).max().unwrap_or(0);
        let mut block = Block {
            left: from
                .min(at.0)
                .min(frame.end - block_width)
                .max(frame.start + px(4)),
            top: if vapour {
                at.1 + clear
            } else {
                at.1 - clear - px(STEP) * lines.len() as i32
            },
            width: block_width,
            lines,
        };
        while placed.iter().any(|other| block.overlaps(other)) {
            block.top += if vapour { px(STEP) } else { -px(STEP) };
        }
        for (i, text) in block.lines.iter().enumerate() {
            let place = (block.left, block.top + px(STEP) * i as i32);
            let style = letters(INK, HPos::Left, VPos::Top);
            area.draw(&Text::new(text.clone(), place, style))?;
        }
        placed.push(block);
    }
    Ok(())
}

/// The span first, then the reading; shorter lines on a phone.
fn words(
    point: &RunningPoint,
    span: Option<&Span>,
    running: &Running,
    width: Width,
) -> Vec<String> {
    let temperature = format!("{:.1} {}", point.temperature, running.temperature_unit);
    let reading = match point.rests_on {
        RestsOn::Gauge => format!(
            "{}: {:.*} {}, {temperature}",
            point.label,
            decimals(point.half_pressure),
            point.pressure,
            running.pressure_unit
        ),
        RestsOn::Bend | RestsOn::Probe => format!("{}: {temperature}", point.label),
    };
    let span = span.map(|s| s.label.as_str());
    let lines = span.into_iter().chain(std::iter::once(reading.as_str()));
    match width {
        Width::Wide => lines.map(str::to_string).collect(),
        Width::Narrow => lines
            .flat_map(|l| match l.split_once(", could be ") {
                Some((estimate, range)) => vec![estimate.to_string(), format!("could be {range}")],
                None => vec![l.to_string()],
            })
            .collect(),
    }
}

/// Digits behind the point that the pressure's own uncertainty carries.
fn decimals(half: f64) -> usize {
    if half < 1.0 { 1 } else { 0 }
}

/// Whether the reading lies on the vapour side: hotter than the curve at its pressure.
fn is_vapour(point: &RunningPoint, curve: &[Saturation]) -> bool {
    let saturation = curve.iter().find(|row| row.dew >= point.pressure);
    saturation.is_some_and(|row| point.temperature > row.temperature)
}
