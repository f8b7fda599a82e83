//! The standing pressure test against time: the gauge, the fit, and the band where a tight line's gauge would read.

use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, VPos};

use super::ink::{
    self, Area, Chart, DrawError, Drawn, INK, MARK, PAPER, SOFT, Width, Words, letters, line, px,
    rules, text_width, title, trace,
};
use super::{Hold, HoldStep, extremes};

const FIGURE: &str = "hold";
/// More sudden changes than this are drawn without their words.
const NAMED_STEPS: usize = 4;

/// The figure as an SVG element without fixed width; `id` must be unique in the page.
///
/// Readings are drawn as they are, at most two for each column of the drawing.
pub fn draw(hold: &Hold, width: Width, id: &str) -> Result<String, DrawError> {
    even_columns(hold)?;
    let nothing = || DrawError::NothingToDraw { figure: FIGURE };
    let description = hold.summary().ok_or_else(nothing)?;
    let hours = clock(&hold.hours).ok_or_else(nothing)?;
    let columns = [&hold.gauge, &hold.band_low, &hold.band_high, &hold.fitted];
    let pressures = columns
        .iter()
        .filter_map(|column| extremes(column))
        .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
        .ok_or_else(nothing)?;
    let pressures = with_near(pressures, &hold.outliers);

    let beside = beside(hold);
    let heights: Vec<i32> = (0..beside.len())
        .map(|i| if i + 1 < beside.len() { 92 } else { 128 })
        .collect();
    let upper = width.pick(286, 250) + head(&hold.steps) - 28;
    let size = (width.pick(740, 360), upper + heights.iter().sum::<i32>());
    let words = Words {
        figure: FIGURE,
        id,
        title: "Standing pressure test: the gauge against where a tight line would read",
        description: &description,
    };
    ink::drawn(&words, width, size, |root| {
        let (above, mut rest) = root.split_vertically(px(upper));
        pressure_panel(hold, &above, hours, pressures, width, beside.is_empty())?;
        for (i, (panel, height)) in beside.iter().zip(&heights).enumerate() {
            let last = i + 1 == beside.len();
            let (area, below) = match last {
                true => (rest.clone(), rest.clone()),
                false => rest.split_vertically(px(*height)),
            };
            panel.draw(hold, &area, hours, width, last)?;
            rest = below;
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
        ("the fit", Some(&hold.fitted)),
        ("the witness", hold.witness.as_ref()),
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

/// A range with the readings left out that lie near it; the others are drawn on the edge.
pub(super) fn with_near((low, high): (f64, f64), outliers: &[(f64, f64)]) -> (f64, f64) {
    let room = 0.5 * (high - low);
    let values = outliers.iter().map(|(_, value)| *value);
    values
        .filter(|v| (low - room..=high + room).contains(v))
        .fold((low, high), |(a, b), v| (a.min(v), b.max(v)))
}

/// The axis of time: from the start of the test; none without a time that passes.
pub(super) fn clock(hours: &[f64]) -> Option<(f64, f64)> {
    let (first, last) = extremes(hours)?;
    let from = first.min(0.0);
    (last > from).then_some((from, last))
}

/// Room over a plot: its title, and the words of sudden changes.
pub(super) fn head(steps: &[HoldStep]) -> i32 {
    if steps.is_empty() { 28 } else { 46 }
}

fn pressure_panel(
    hold: &Hold,
    area: &Area,
    hours: (f64, f64),
    range: (f64, f64),
    width: Width,
    clock: bool,
) -> Drawn {
    let range = ink::roomy(range.0, range.1, 0.08);
    let mut chart = panel(area, hours, range, width, clock, head(&hold.steps))?;
    rules(&mut chart, 6)?;
    title(area, &format!("gauge pressure, {}", hold.pressure_unit))?;
    if clock {
        hour_ticks(&chart, area, hours, width)?;
        clock_title(area, &hold.began, width)?;
    }
    sudden(&hold.steps, &mut chart, area)?;
    let columns = width.pick(560, 260);
    // a computed line is smooth
    let few = columns / 4;
    let band = band(hold, few);
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
        let points = ink::smoothed(&run, few);
        let (dash, gap) = (px(5) as u32, px(4) as u32);
        chart.draw_series(DashedLineSeries::new(points, dash, gap, line(MARK, 8)))?;
    }
    for run in ink::runs(&hold.hours, &hold.fitted) {
        let points = ink::smoothed(&run, few);
        chart.draw_series(std::iter::once(PathElement::new(points, line(SOFT, 24))))?;
    }
    trace(&mut chart, &hold.hours, &hold.gauge, columns, line(INK, 11))?;
    open_marks(&hold.outliers, &mut chart)?;
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

/// Sudden changes as upright lines, their words over the plot where there are few enough of them.
pub(super) fn sudden(steps: &[HoldStep], chart: &mut Chart, area: &Area) -> Drawn {
    let range = chart.plotting_area().get_y_range();
    for step in steps {
        let ends = [(step.hours, range.start), (step.hours, range.end)];
        let (dash, gap) = (px(2) as u32, px(2) as u32);
        chart.draw_series(DashedLineSeries::new(ends, dash, gap, line(SOFT, 10)))?;
    }
    let (left, top) = area.get_base_pixel();
    let at = |hours: f64| chart.backend_coord(&(hours, range.end)).0 - left;
    let above = chart.backend_coord(&(0.0, range.end)).1 - top - px(3);
    let wide = area.dim_in_pixel().0 as i32;
    let named: Vec<(i32, String)> = if steps.len() <= NAMED_STEPS {
        let words = |step: &HoldStep| (at(step.hours), step.words.clone());
        steps.iter().map(words).collect()
    } else {
        let middle = at(steps[steps.len() / 2].hours);
        vec![(middle, format!("{} sudden changes", steps.len()))]
    };
    for ((_, words), middle) in named.iter().zip(side_by_side(&named, wide)) {
        let style = letters(SOFT, HPos::Center, VPos::Bottom);
        area.draw(&Text::new(words.clone(), (middle, above), style))?;
    }
    Ok(())
}

/// Middles of words moved so that none covers its neighbour; the first ones give way to the edge.
fn side_by_side(words: &[(i32, String)], wide: i32) -> Vec<i32> {
    let mut edge = wide - px(2);
    let mut middles: Vec<i32> = words
        .iter()
        .rev()
        .map(|(middle, words)| {
            let half = text_width(words) / 2;
            let middle = (*middle).max(half + px(2)).min(edge - half);
            edge = middle - half - px(6);
            middle
        })
        .collect();
    middles.reverse();
    middles
}

/// Readings that were left out: open dots, on the edge of the plot where they lie beyond it.
pub(super) fn open_marks(outliers: &[(f64, f64)], chart: &mut Chart) -> Drawn {
    let (hours, range) = {
        let plot = chart.plotting_area();
        (plot.get_x_range(), plot.get_y_range())
    };
    let inside = |&(hour, value): &(f64, f64)| {
        (
            hour.clamp(hours.start, hours.end),
            value.clamp(range.start, range.end),
        )
    };
    let dots: Vec<(f64, f64)> = outliers.iter().map(inside).collect();
    for style in [PAPER.filled(), line(INK, 10)] {
        chart.draw_series(dots.iter().map(|&at| Circle::new(at, px(3), style)))?;
    }
    Ok(())
}

/// A panel under the gauge's.
struct Beside<'a> {
    title: String,
    values: &'a [f64],
    range: (f64, f64),
}

fn beside(hold: &Hold) -> Vec<Beside<'_>> {
    let witness = format!("a tight witness, {}", hold.pressure_unit);
    let outdoor = format!("outdoor temperature, {}", hold.temperature_unit);
    [(witness, &hold.witness), (outdoor, &hold.outdoor)]
        .into_iter()
        .filter_map(|(title, values)| {
            let values = values.as_deref()?;
            let range = extremes(values)?;
            Some(Beside {
                title,
                values,
                range,
            })
        })
        .collect()
}

impl Beside<'_> {
    fn draw(&self, hold: &Hold, area: &Area, hours: (f64, f64), width: Width, last: bool) -> Drawn {
        let range = ink::roomy(self.range.0, self.range.1, 0.12);
        let mut chart = panel(area, hours, range, width, last, 28)?;
        rules(&mut chart, 3)?;
        title(area, &self.title)?;
        if last {
            hour_ticks(&chart, area, hours, width)?;
            clock_title(area, &hold.began, width)?;
        }
        let columns = width.pick(560, 260);
        trace(
            &mut chart,
            &hold.hours,
            self.values,
            columns,
            line(SOFT, 12),
        )
    }
}

pub(super) fn panel<'a, 'b>(
    area: &'a Area<'b>,
    hours: (f64, f64),
    range: std::ops::Range<f64>,
    width: Width,
    clock: bool,
    head: i32,
) -> Result<Chart<'a, 'b>, Box<dyn std::error::Error>> {
    let chart = ChartBuilder::on(area)
        .margin_top(px(head))
        .margin_right(px(width.pick(122, 64)))
        .margin_bottom(px(if clock { 20 } else { 4 }))
        .set_label_area_size(LabelAreaPosition::Left, px(width.pick(50, 42)))
        .set_label_area_size(LabelAreaPosition::Bottom, px(if clock { 22 } else { 2 }))
        .build_cartesian_2d(hours.0..hours.1, range)?;
    Ok(chart)
}

/// Ticks at whole parts of a day, as a clock has them.
pub(super) fn hour_ticks(chart: &Chart, area: &Area, hours: (f64, f64), width: Width) -> Drawn {
    let step = hour_step(hours.1 - hours.0, width.pick(9, 6));
    ink::ticks(chart, area, hours, step)
}

/// The smallest step that needs no more ticks than so many.
fn hour_step(span: f64, ticks: usize) -> f64 {
    const STEPS: [f64; 11] = [0.1, 0.25, 0.5, 1.0, 2.0, 3.0, 6.0, 12.0, 24.0, 48.0, 96.0];
    ink::step_of(&STEPS, span, ticks)
}

/// Names at the right end of the lines, moved apart when the lines end close together.
fn labels(hold: &Hold, chart: &Chart, area: &Area, width: Width) -> Drawn {
    let (left, top) = area.get_base_pixel();
    let end = |column: &[f64]| {
        let rows = hold.hours.iter().zip(column);
        let (hour, value) = rows.rev().find(|(_, v)| v.is_finite())?;
        let (x, y) = chart.backend_coord(&(*hour, *value));
        Some((x - left, y - top))
    };
    let middle: Vec<f64> = hold
        .band_low
        .iter()
        .zip(&hold.band_high)
        .map(|(low, high)| 0.5 * (low + high))
        .collect();
    let tight: &[&str] = width.pick(&["where a tight", "line would read"], &["a tight", "line"]);
    let fit: &[&str] = width.pick(&["fit with its loss"], &["the fit"]);
    let names = [
        Name::of(&["gauge"], INK, end(&hold.gauge)),
        Name::of(fit, SOFT, end(&hold.fitted)),
        Name::of(tight, MARK, end(&middle)),
    ];
    name_lines(names.into_iter().flatten().collect(), area)
}

/// The name of a line, where the line ends.
pub(super) struct Name {
    lines: Vec<String>,
    colour: RGBColor,
    at: (i32, i32),
}

impl Name {
    pub(super) fn of<T: ToString>(
        lines: &[T],
        colour: RGBColor,
        at: Option<(i32, i32)>,
    ) -> Option<Name> {
        Some(Name {
            lines: lines.iter().map(T::to_string).collect(),
            colour,
            at: at?,
        })
    }
}

/// Writes names at the ends of their lines, moved apart where they would cover each other.
pub(super) fn name_lines(mut names: Vec<Name>, area: &Area) -> Drawn {
    let step = px(ink::LETTERS) * 12 / 10;
    names.sort_by_key(|name| name.at.1);
    let x = names.iter().map(|name| name.at.0).max().unwrap_or_default() + px(8);
    // every line of words takes one place of the spread, all at the height of their own line
    let mut rising: Vec<i32> = names
        .iter()
        .flat_map(|name| {
            let n = name.lines.len() as i32;
            (0..n).map(move |i| name.at.1 + (2 * i + 1 - n) * step / 2)
        })
        .collect();
    for i in 1..rising.len() {
        rising[i] = rising[i].max(rising[i - 1]);
    }
    let bottom = area.dim_in_pixel().1 as i32 - step / 2;
    let spread = ink::spread(&rising, step);
    let over = (spread.last().copied().unwrap_or_default() - bottom).max(0);
    let words = names
        .iter()
        .flat_map(|name| name.lines.iter().map(move |line| (line, name.colour)));
    for ((words, colour), y) in words.zip(spread) {
        let style = letters(colour, HPos::Left, VPos::Center);
        area.draw(&Text::new(words.clone(), (x, y - over), style))?;
    }
    Ok(())
}

pub(super) fn clock_title(area: &Area, began: &str, width: Width) -> Drawn {
    ink::under_axis(area, &format!("hours after {began}"), width)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_are_marked_as_on_a_clock() {
        assert_eq!(hour_step(24.0, 9), 3.0);
        assert_eq!(hour_step(24.0, 6), 6.0);
        assert_eq!(hour_step(1.0, 9), 0.25);
    }

    #[test]
    fn a_reading_left_out_far_away_does_not_press_the_rest_flat() {
        let near = with_near((400.0, 410.0), &[(1.0, 412.0), (2.0, 0.0)]);
        assert_eq!(near, (400.0, 412.0));
    }

    #[test]
    fn the_clock_starts_with_the_test() {
        assert_eq!(clock(&[0.125, 5.0]), Some((0.0, 5.0)));
        assert_eq!(clock(&[0.0]), None);
        assert_eq!(clock(&[]), None);
    }

    #[test]
    fn words_of_sudden_changes_never_cover_each_other() {
        let words = |at: i32| (px(at), "fell 3.2 psi".to_string());
        let half = text_width("fell 3.2 psi") / 2;
        let middles = side_by_side(&[words(300), words(310), words(738)], px(740));
        for pair in middles.windows(2) {
            assert!(pair[1] - pair[0] >= 2 * half, "{middles:?}");
        }
        assert!(middles[2] + half <= px(740));
        assert_eq!(side_by_side(&[words(300)], px(740)), [px(300)]);
    }
}
