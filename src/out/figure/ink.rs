//! Ink, paper and letters shared by all figures.
//!
//! plotters writes fixed colours and whole pixels. Drawn four times too large in marker colours, then rewritten so
//! that colours follow the page's CSS variables and letters its fonts, a figure is fine in light, dark and print.

use plotters::coord::Shift;
use plotters::coord::types::RangedCoordf64;
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};
use thiserror::Error;

/// A part of a sheet.
pub(super) type Area<'b> = DrawingArea<SVGBackend<'b>, Shift>;
/// A chart on it.
pub(super) type Chart<'a, 'b> =
    ChartContext<'a, SVGBackend<'b>, Cartesian2d<RangedCoordf64, RangedCoordf64>>;
/// What drawing comes to.
pub(super) type Drawn = Result<(), Box<dyn std::error::Error>>;

/// Why a figure could not be drawn.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum DrawError {
    /// No complete reading to draw.
    #[error(
        "the {figure} figure has no complete reading to draw; give at least two with all their columns"
    )]
    NothingToDraw {
        /// Which figure.
        figure: &'static str,
    },
    /// Columns of different lengths.
    #[error(
        "the {figure} figure got {hours} times but {values} values of {column}; give one value for each time"
    )]
    UnevenColumns {
        /// Which figure.
        figure: &'static str,
        /// Which column.
        column: &'static str,
        /// Entries in the column of times.
        hours: usize,
        /// Entries in this column.
        values: usize,
    },
    /// The drawing library refused.
    #[error("the {figure} figure could not be drawn: {message}")]
    Backend {
        /// Which figure.
        figure: &'static str,
        /// What it said.
        message: String,
    },
}

/// How wide the reader's page is: letters keep their size, the drawing gives way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Width {
    /// A desk or a sheet of paper.
    Wide,
    /// A phone.
    Narrow,
}

impl Width {
    /// The word in CSS classes and ids.
    pub fn word(self) -> &'static str {
        match self {
            Width::Wide => "wide",
            Width::Narrow => "narrow",
        }
    }

    /// One of two values by width.
    pub(super) fn pick<T>(self, wide: T, narrow: T) -> T {
        match self {
            Width::Wide => wide,
            Width::Narrow => narrow,
        }
    }
}

/// Whole pixels in one unit of the drawing.
const FINE: i32 = 4;

/// Height of letters.
pub(super) const LETTERS: i32 = 12;

/// Marker colours with the CSS variable and the light-mode colour each becomes.
const INKS: [(RGBColor, &str, &str); 5] = [
    (INK, "--ink", "#1d1c1a"),
    (SOFT, "--soft", "#6b6760"),
    (RULE, "--rule", "#d8d3c8"),
    (MARK, "--mark", "#2f4b7c"),
    (PAPER, "--paper", "#fff"),
];
/// Readings and words.
pub(super) const INK: RGBColor = RGBColor(1, 1, 1);
/// Axes and their numbers.
pub(super) const SOFT: RGBColor = RGBColor(2, 2, 2);
/// Rules behind the readings.
pub(super) const RULE: RGBColor = RGBColor(3, 3, 3);
/// What a reading is held against.
pub(super) const MARK: RGBColor = RGBColor(4, 4, 4);
/// Inside an open dot.
pub(super) const PAPER: RGBColor = RGBColor(5, 5, 5);

/// A length of the drawing in the library's pixels.
pub(super) fn px(units: i32) -> i32 {
    units * FINE
}

/// A line of a width in tenths of a unit.
pub(super) fn line(colour: RGBColor, tenths: i32) -> ShapeStyle {
    colour.stroke_width((tenths * FINE / 10) as u32)
}

/// Letters of a colour, anchored.
pub(super) fn letters(colour: RGBColor, across: HPos, down: VPos) -> TextStyle<'static> {
    // the library divides a font's size by 1.24 when it writes it
    ("sans-serif", f64::from(px(LETTERS)) * 1.24)
        .into_font()
        .color(&colour)
        .pos(Pos::new(across, down))
}

/// About how wide a line of text is, in the library's pixels; system fonts differ, so a little generous.
pub(super) fn text_width(text: &str) -> i32 {
    (text.chars().count() as f64 * 0.58 * f64::from(px(LETTERS))) as i32
}

/// Text broken between words into lines no wider than so many of the library's pixels.
pub(super) fn wrapped(text: &str, wide: i32) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    // a hard space binds a number to its unit
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        match lines.last_mut() {
            Some(line) if text_width(line) + text_width(word) + text_width(" ") <= wide => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_string()),
        }
    }
    lines
}

/// The name and the words of a figure.
pub(super) struct Words<'a> {
    /// Which figure, for errors.
    pub figure: &'static str,
    /// Unique in the page.
    pub id: &'a str,
    /// The title, read aloud.
    pub title: &'a str,
    /// The description, read aloud.
    pub description: &'a str,
}

/// Draws on a fresh sheet and rewrites it for the page.
pub(super) fn drawn<F>(
    words: &Words,
    width: Width,
    size: (i32, i32),
    draw: F,
) -> Result<String, DrawError>
where
    F: FnOnce(&DrawingArea<SVGBackend, Shift>) -> Result<(), Box<dyn std::error::Error>>,
{
    let failed = |message: String| DrawError::Backend {
        figure: words.figure,
        message,
    };
    let mut svg = String::new();
    {
        let pixels = (px(size.0) as u32, px(size.1) as u32);
        let root = SVGBackend::with_string(&mut svg, pixels).into_drawing_area();
        draw(&root).map_err(|e| failed(e.to_string()))?;
        root.present().map_err(|e| failed(e.to_string()))?;
    }
    let body = svg
        .find("<svg")
        .and_then(|start| Some(start + svg[start..].find('>')? + 1))
        .map(|end| &svg[end..])
        .ok_or_else(|| failed("no svg element came back".to_string()))?;
    Ok(head(words, width, size) + &inked(body))
}

fn head(words: &Words, width: Width, size: (i32, i32)) -> String {
    let id = format!("{}-{}", words.id, width.word());
    format!(
        "<svg class=\"{}\" viewBox=\"0 0 {} {}\" role=\"img\" aria-labelledby=\"{id}-title {id}-text\">\n\
         <title id=\"{id}-title\">{}</title>\n<desc id=\"{id}-text\">{}</desc>",
        width.word(),
        px(size.0),
        px(size.1),
        escaped(words.title),
        escaped(words.description),
    )
}

/// Marker colours become CSS variables, fixed fonts the page's.
fn inked(body: &str) -> String {
    let mut body = body.replace("font-family=\"sans-serif\"", "font-family=\"inherit\"");
    for (RGBColor(r, g, b), variable, light) in INKS {
        let marker = format!("\"#{r:02X}{g:02X}{b:02X}\"");
        body = body.replace(&marker, &format!("\"var({variable},{light})\""));
    }
    body
}

/// A drawn figure as a file of its own: ink on white paper, in fixed colours that every viewer knows.
pub fn standing_alone(figure: &str) -> String {
    let mut svg = figure.replace("font-family=\"inherit\"", "font-family=\"sans-serif\"");
    for (_, variable, light) in INKS {
        svg = svg.replace(&format!("var({variable},{light})"), light);
    }
    let halo = format!(
        "<style>text {{ paint-order: stroke; stroke: #fff; stroke-width: {}px; stroke-linejoin: round; }}</style>\n\
         <rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>",
        px(11) / 2
    );
    svg.replacen("<svg ", "<svg xmlns=\"http://www.w3.org/2000/svg\" ", 1)
        .replacen("</desc>", &format!("</desc>\n{halo}"), 1)
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

/// A range with room around it.
pub(super) fn roomy(low: f64, high: f64, share: f64) -> std::ops::Range<f64> {
    let width = if high > low {
        high - low
    } else {
        high.abs().max(1.0) * 0.02
    };
    low - share * width..high + share * width
}

/// Smallest and largest per column of the drawing, in time order: what a dense log looks like, in few points.
pub(super) fn thinned(points: &[(f64, f64)], columns: usize) -> Vec<(f64, f64)> {
    columns_of(points, columns)
        .flat_map(|column| {
            let by_value = |a: &&(f64, f64), b: &&(f64, f64)| a.1.total_cmp(&b.1);
            let low = column.iter().min_by(by_value).copied();
            let high = column.iter().max_by(by_value).copied();
            let mut pair: Vec<_> = low.into_iter().chain(high).collect();
            pair.sort_by(|a, b| a.0.total_cmp(&b.0));
            pair.dedup();
            pair
        })
        .collect()
}

/// The mean per column: for a computed line, whose ripple carries nothing.
pub(super) fn smoothed(points: &[(f64, f64)], columns: usize) -> Vec<(f64, f64)> {
    columns_of(points, columns)
        .map(|column| {
            let n = column.len() as f64;
            let sum = column
                .iter()
                .fold((0.0, 0.0), |s, p| (s.0 + p.0, s.1 + p.1));
            (sum.0 / n, sum.1 / n)
        })
        .collect()
}

/// Neighbouring points that fall on the same column; sparse points stand alone.
fn columns_of(points: &[(f64, f64)], columns: usize) -> impl Iterator<Item = &[(f64, f64)]> {
    let first = points.first().map_or(0.0, |p| p.0);
    let last = points.last().map_or(0.0, |p| p.0);
    let step = (last - first) / columns as f64;
    points.chunk_by(move |a, b| {
        step > 0.0 && ((a.0 - first) / step) as usize == ((b.0 - first) / step) as usize
    })
}

/// Runs of readings without a gap: finite neighbours no further apart than twenty usual steps.
pub(super) fn runs(hours: &[f64], values: &[f64]) -> Vec<Vec<(f64, f64)>> {
    let mut steps: Vec<f64> = hours.windows(2).map(|w| w[1] - w[0]).collect();
    steps.sort_by(f64::total_cmp);
    let widest = steps
        .get(steps.len() / 2)
        .map_or(f64::INFINITY, |s| 20.0 * s);
    let mut runs: Vec<Vec<(f64, f64)>> = vec![Vec::new()];
    let mut before = f64::NEG_INFINITY;
    for (&hour, &value) in hours.iter().zip(values) {
        let finite = hour.is_finite() && value.is_finite();
        let gap = before.is_finite() && hour - before > widest;
        if !finite || gap {
            runs.push(Vec::new());
        }
        if finite {
            before = hour;
            runs.last_mut().expect("never empty").push((hour, value));
        }
    }
    runs.retain(|run| !run.is_empty());
    runs
}

/// Ticks below the axis of time, at multiples of a step, with their numbers.
pub(super) fn ticks(chart: &Chart, area: &Area, (from, to): (f64, f64), step: f64) -> Drawn {
    // the chart counts from the whole sheet's corner, the area from its own
    let (left, top) = area.get_base_pixel();
    let bottom = chart.plotting_area().get_pixel_range().1.end - top;
    let first = (from / step).ceil() as i64;
    let last = (to / step + 1e-9).floor() as i64;
    for tick in (first..=last).map(|i| i as f64 * step) {
        let x = chart.backend_coord(&(tick, 0.0)).0 - left;
        let mark = PathElement::new(vec![(x, bottom), (x, bottom + px(4))], line(SOFT, 8));
        area.draw(&mark)?;
        let style = letters(SOFT, HPos::Center, VPos::Top);
        area.draw(&Text::new(number(tick), (x, bottom + px(7)), style))?;
    }
    Ok(())
}

/// What the axis of time counts, at the foot of a drawing.
pub(super) fn under_axis(area: &Area, words: &str, width: Width) -> Drawn {
    let (_, height) = area.dim_in_pixel();
    let style = letters(SOFT, HPos::Left, VPos::Bottom);
    let at = (px(width.pick(50, 42)), height as i32 - px(2));
    area.draw(&Text::new(words, at, style))?;
    Ok(())
}

/// The smallest of some steps that needs no more ticks than so many.
pub(super) fn step_of(steps: &[f64], span: f64, ticks: usize) -> f64 {
    let fits = |step: &&f64| span / **step <= ticks as f64;
    let found = steps.iter().find(fits).copied();
    found.unwrap_or(span / ticks as f64)
}

/// The smallest of 1, 2, 5 times a power of ten that needs no more steps than so many.
pub(super) fn round_step(span: f64, steps: usize) -> f64 {
    let least = span / steps as f64;
    let power = 10f64.powf(least.log10().floor());
    let fits = |times: &&f64| **times * power >= least * (1.0 - 1e-9);
    [1.0, 2.0, 5.0].iter().find(fits).map_or(10.0, |t| *t) * power
}

/// Rising heights moved so that neighbours are at least so far apart, each group about its own middle.
pub(super) fn spread(heights: &[i32], apart: i32) -> Vec<i32> {
    let mut groups: Vec<(i64, i32)> = Vec::new();
    let top = |(sum, count): (i64, i32)| (sum / i64::from(count)) as i32 - (count - 1) * apart / 2;
    for &height in heights {
        groups.push((i64::from(height), 1));
        while let [.., above, below] = groups[..] {
            if top(above) + above.1 * apart <= top(below) {
                break;
            }
            groups.truncate(groups.len() - 2);
            groups.push((above.0 + below.0, above.1 + below.1));
        }
    }
    groups
        .into_iter()
        .flat_map(|group| (0..group.1).map(move |i| top(group) + i * apart))
        .collect()
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

/// Rules across, with their numbers.
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

/// What a panel shows, at its top.
pub(super) fn title(area: &Area, words: &str) -> Drawn {
    let style = letters(INK, HPos::Left, VPos::Top);
    area.draw(&Text::new(words.to_string(), (px(2), px(4)), style))?;
    Ok(())
}

/// A column as a line, broken where it was not read.
pub(super) fn trace(
    chart: &mut Chart,
    hours: &[f64],
    values: &[f64],
    columns: usize,
    style: ShapeStyle,
) -> Drawn {
    for run in runs(hours, values) {
        let points = thinned(&run, columns);
        if points.len() < 12 {
            let dot = |&p| Circle::new(p, px(3), style.color.filled());
            chart.draw_series(points.iter().map(dot))?;
        }
        chart.draw_series(std::iter::once(PathElement::new(points, style)))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dense_log_keeps_its_extremes() {
        let mut points: Vec<_> = (0..100_000).map(|i| (i as f64, 0.0)).collect();
        points[31_234].1 = 5.0;
        points[77_777].1 = -3.0;
        let few = thinned(&points, 500);
        assert!(few.len() <= 1002, "{}", few.len());
        assert!(few.contains(&(31_234.0, 5.0)) && few.contains(&(77_777.0, -3.0)));
        assert!(few.is_sorted_by(|a, b| a.0 <= b.0));
    }

    #[test]
    fn sparse_readings_stay_as_they_are() {
        let points = [(0.0, 1.0), (8.0, 2.0), (24.0, 3.0)];
        assert_eq!(thinned(&points, 500), points);
        assert_eq!(smoothed(&points, 500), points);
    }

    #[test]
    fn gaps_and_missing_readings_break_the_line() {
        let hours = [0.0, 1.0, 2.0, 3.0, 40.0, 41.0];
        let values = [1.0, f64::NAN, 1.0, 1.0, 1.0, 1.0];
        let lengths: Vec<_> = runs(&hours, &values).iter().map(Vec::len).collect();
        assert_eq!(lengths, [1, 2, 2]);
    }

    #[test]
    fn a_line_breaks_between_words_only() {
        let narrow = text_width("after 12 h");
        assert_eq!(wrapped("after 12 h more", narrow), ["after 12 h", "more"]);
        assert_eq!(wrapped("unbreakable", 1), ["unbreakable"]);
        assert!(wrapped("", narrow).is_empty());
    }

    #[test]
    fn ticks_have_no_tail() {
        assert_eq!(number(0.1 + 0.2), "0.3");
        assert_eq!(number(-0.0), "0");
        assert_eq!(number(400.0), "400");
    }

    #[test]
    fn steps_are_round() {
        assert_eq!(round_step(8.8, 9), 1.0);
        assert_eq!(round_step(8.8, 5), 2.0);
        assert!((round_step(0.44, 9) - 0.05).abs() < 1e-12);
    }

    #[test]
    fn close_labels_spread_about_their_middle_and_far_ones_stay() {
        assert_eq!(spread(&[10, 100], 20), [10, 100]);
        assert_eq!(spread(&[100, 104], 20), [92, 112]);
        assert_eq!(spread(&[100, 102, 104], 20), [82, 102, 122]);
        assert_eq!(spread(&[50, 100, 101], 20), [50, 90, 110]);
    }
}
