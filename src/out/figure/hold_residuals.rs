//! A standing pressure test with temperature taken out: what is left, and where its loss leads.

use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, VPos};

use super::hold::{self, Name};
use super::ink::{
    self, Area, Chart, DrawError, Drawn, INK, MARK, SOFT, Width, Words, letters, line, px, rules,
    title, trace,
};
use super::{HoldResiduals, extremes};

const FIGURE: &str = "hold residuals";
/// The wedge is drawn whole while it takes no more than this times the readings' own height on either side.
const WEDGE: f64 = 1.5;

/// The figure as an SVG element without fixed width; `id` must be unique in the page.
///
/// Readings are drawn as they are, at most two for each column of the drawing.
pub fn draw(left: &HoldResiduals, width: Width, id: &str) -> Result<String, DrawError> {
    for (column, values) in [
        ("the corrected reading", &left.corrected),
        ("the fit", &left.fitted),
    ] {
        if values.len() != left.hours.len() {
            return Err(DrawError::UnevenColumns {
                figure: FIGURE,
                column,
                hours: left.hours.len(),
                values: values.len(),
            });
        }
    }
    let nothing = || DrawError::NothingToDraw { figure: FIGURE };
    let frame = Frame {
        left,
        width,
        hours: hold::clock(&left.hours).ok_or_else(nothing)?,
    };
    let range = frame.range().ok_or_else(nothing)?;
    let words = Words {
        figure: FIGURE,
        id,
        title: "Standing pressure test with temperature taken out: what a loss would leave",
        description: &left.summary(),
    };
    let height = width.pick(280, 262) + hold::head(&left.steps) - 28;
    ink::drawn(&words, width, (width.pick(740, 360), height), |root| {
        frame.draw(root, range)
    })
}

struct Frame<'a> {
    left: &'a HoldResiduals,
    width: Width,
    hours: (f64, f64),
}

impl Frame<'_> {
    /// The height of the frame: readings, zero, fit and limit whole; the wedge as far as there is room for it.
    fn range(&self) -> Option<(f64, f64)> {
        let end = self.hours.1;
        let [estimate, least, most] = self.left.loss;
        if ![estimate, least, most, self.left.limit]
            .iter()
            .all(|v| v.is_finite())
        {
            return None;
        }
        let (low, high) = extremes(&self.left.corrected)?;
        let (low, high) = hold::with_near((low, high), &self.left.outliers);
        let limit = -self.left.limit * end;
        let fit = extremes(&self.left.fitted)?;
        // a limit far beyond everything else would press the readings flat
        let low = low.min(fit.0).min(0.0);
        let high = high.max(fit.1).max(0.0);
        let room = WEDGE * (high - low).max(1e-6);
        let seen = |low: f64, at: f64| {
            if low - at > 2.0 * room {
                low
            } else {
                low.min(at)
            }
        };
        let wedge = (-most * end, -least * end);
        Some((
            seen(low, limit).min(wedge.0.max(low - room)),
            high.max(wedge.1.min(high + room)),
        ))
    }

    fn draw(&self, area: &Area, (low, high): (f64, f64)) -> Drawn {
        let left = self.left;
        let range = ink::roomy(low, high, 0.08);
        let head = hold::head(&left.steps);
        let mut chart = hold::panel(area, self.hours, range, self.width, true, head)?;
        rules(&mut chart, 6)?;
        let what = self.width.pick(
            "reading minus where a tight line would read",
            "reading minus a tight line",
        );
        title(area, &format!("{what}, {}", left.unit))?;
        hold::hour_ticks(&chart, area, self.hours, self.width)?;
        hold::clock_title(area, &left.began, self.width)?;
        hold::sudden(&left.steps, &mut chart, area)?;
        self.slopes(&mut chart, area)?;
        let columns = self.width.pick(280, 130);
        // a computed line is smooth
        let (few, fit) = (columns / 2, line(SOFT, 24));
        trace(&mut chart, &left.hours, &left.fitted, few, fit)?;
        trace(
            &mut chart,
            &left.hours,
            &left.corrected,
            columns,
            line(INK, 11),
        )?;
        hold::open_marks(&left.outliers, &mut chart)?;
        self.names(&chart, area)
    }

    /// The wedge of the loss, a tight line, and the limit.
    fn slopes(&self, chart: &mut Chart, area: &Area) -> Drawn {
        let [_, least, most] = self.left.loss;
        let mut outline = self.slope(chart, most);
        outline.extend(self.along_the_edge(chart, most, least));
        outline.extend(self.slope(chart, least).into_iter().rev());
        chart.draw_series(std::iter::once(Polygon::new(outline, SOFT.mix(0.16))))?;
        let edge = SOFT.mix(0.55).stroke_width(px(1) as u32 * 7 / 10);
        for (loss, style) in [(least, edge), (most, edge), (0.0, line(MARK, 10))] {
            let path = PathElement::new(self.slope(chart, loss), style);
            chart.draw_series(std::iter::once(path))?;
        }
        let limit = self.slope(chart, self.left.limit);
        let leaves = limit.last().copied().filter(|end| end.0 < self.hours.1);
        let (dash, gap) = (px(5) as u32, px(4) as u32);
        chart.draw_series(DashedLineSeries::new(limit, dash, gap, line(MARK, 10)))?;
        if let Some(end) = leaves {
            let (x, y) = area.get_base_pixel();
            let at = chart.backend_coord(&end);
            let style = letters(MARK, HPos::Left, VPos::Bottom);
            let at = (at.0 - x + px(6), at.1 - y - px(2));
            area.draw(&Text::new(self.limit_words(), at, style))?;
        }
        Ok(())
    }

    fn limit_words(&self) -> &'static str {
        self.width.pick("a loss at the limit", "the limit")
    }

    /// Where a loss per hour leads, up to the edge of the frame.
    fn slope(&self, chart: &Chart, loss: f64) -> Vec<(f64, f64)> {
        let range = chart.plotting_area().get_y_range();
        let end = -loss * self.hours.1;
        let inside = end.clamp(range.start, range.end);
        let share = if end == 0.0 { 1.0 } else { inside / end };
        vec![(0.0, 0.0), (share * self.hours.1, inside)]
    }

    /// The corners between the ends of two slopes, where the frame cuts them.
    fn along_the_edge(&self, chart: &Chart, from: f64, to: f64) -> [(f64, f64); 2] {
        let range = chart.plotting_area().get_y_range();
        let height = |loss: f64| (-loss * self.hours.1).clamp(range.start, range.end);
        [from, to].map(|loss| (self.hours.1, height(loss)))
    }

    fn names(&self, chart: &Chart, area: &Area) -> Drawn {
        let (x, y) = area.get_base_pixel();
        let range = chart.plotting_area().get_y_range();
        let end = |loss: f64| {
            let at = (self.hours.1, -loss * self.hours.1);
            let inside = (range.start..=range.end).contains(&at.1);
            let at = chart.backend_coord(&at);
            inside.then_some((at.0 - x, at.1 - y))
        };
        let last = self.left.hours.last().zip(self.left.fitted.last());
        let fitted = last.map(|(hours, fit)| {
            let at = chart.backend_coord(&(*hours, *fit));
            (at.0 - x, at.1 - y)
        });
        let tight = self.width.pick("a tight line", "tight");
        let fit = self.width.pick("fit with its loss", "the fit");
        let names = [
            Name::of(&[tight], MARK, end(0.0)),
            Name::of(&[fit], SOFT, fitted),
            Name::of(&[self.limit_words()], MARK, end(self.left.limit)),
        ];
        hold::name_lines(names.into_iter().flatten().collect(), area)
    }
}
