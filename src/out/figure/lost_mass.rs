//! Lost mass against the time it hissed: the least and the most, with the time that was stated.

use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, VPos};

use super::ink::spread;
use super::ink::{self, DrawError, INK, MARK, SOFT, Width, Words, letters, line, px, text_width};
use super::ink::{Area, Chart, Drawn, rules, title};
use super::{LostMass, StatedTime, extremes};

const FIGURE: &str = "lost mass";
/// All that was in is drawn where the curves come up to this share of it.
const NEAR: f64 = 0.3;

/// The figure as an SVG element without fixed width; `id` must be unique in the page.
pub fn draw(lost: &LostMass, width: Width, id: &str) -> Result<String, DrawError> {
    for (column, values) in [("the least", &lost.low), ("the most", &lost.high)] {
        if values.len() != lost.minutes.len() {
            return Err(DrawError::UnevenColumns {
                figure: FIGURE,
                column,
                hours: lost.minutes.len(),
                values: values.len(),
            });
        }
    }
    let nothing = || DrawError::NothingToDraw { figure: FIGURE };
    let most = extremes(&lost.high).ok_or_else(nothing)?.1;
    let minutes = extremes(&lost.minutes).ok_or_else(nothing)?;
    if minutes.1 <= minutes.0 {
        return Err(nothing());
    }
    let frame = Frame {
        lost,
        width,
        minutes,
        cap: most >= NEAR * lost.there,
        top: 1.06 * most.max(1e-9),
    };
    let words = Words {
        figure: FIGURE,
        id,
        title: "What could be gone, against the time it hissed",
        description: &lost.summary(),
    };
    ink::drawn(&words, width, width.pick((740, 320), (360, 300)), |root| {
        frame.draw(root)
    })
}

struct Frame<'a> {
    lost: &'a LostMass,
    width: Width,
    minutes: (f64, f64),
    /// Whether all that was in is inside the frame.
    cap: bool,
    top: f64,
}

impl Frame<'_> {
    fn draw(&self, area: &Area) -> Drawn {
        let lost = self.lost;
        let top = if self.cap {
            self.top.max(1.06 * lost.there)
        } else {
            self.top
        };
        let mut chart = ChartBuilder::on(area)
            .margin_top(px(46))
            .margin_right(px(self.width.pick(130, 116)))
            .margin_bottom(px(20))
            .set_label_area_size(LabelAreaPosition::Left, px(self.width.pick(50, 42)))
            .set_label_area_size(LabelAreaPosition::Bottom, px(22))
            .build_cartesian_2d(self.minutes.0..self.minutes.1, 0.0..top)?;
        rules(&mut chart, 5)?;
        title(area, &self.title())?;
        if let Some(stated) = &lost.stated {
            self.shade(stated, &mut chart, top)?;
        }
        self.curves(&mut chart)?;
        if let Some(stated) = &lost.stated {
            self.stated(stated, &mut chart, area)?;
        }
        self.labels(&chart, area)?;
        self.ticks(&chart, area)
    }

    fn title(&self) -> String {
        let unit = self.lost.unit;
        if self.cap {
            format!("could be gone, {unit}")
        } else {
            format!(
                "could be gone, {unit} ({:.2} {unit} was in)",
                self.lost.there
            )
        }
    }

    /// Where the stated time could be.
    fn shade(&self, stated: &StatedTime, chart: &mut Chart, top: f64) -> Drawn {
        let to = stated.to.min(self.minutes.1);
        let corners = [(stated.from, 0.0), (to, top)];
        let shade = Rectangle::new(corners, SOFT.mix(0.1).filled());
        chart.draw_series(std::iter::once(shade))?;
        Ok(())
    }

    fn curves(&self, chart: &mut Chart) -> Drawn {
        let lost = self.lost;
        let points = |column: &[f64]| -> Vec<(f64, f64)> {
            let rows = lost.minutes.iter().zip(column);
            rows.map(|(&minute, &mass)| (minute, mass)).collect()
        };
        let (low, high) = (points(&lost.low), points(&lost.high));
        let mut outline = low.clone();
        outline.extend(high.iter().rev());
        chart.draw_series(std::iter::once(Polygon::new(outline, MARK.mix(0.16))))?;
        for curve in [low, high] {
            let style = line(MARK, 12);
            chart.draw_series(std::iter::once(PathElement::new(curve, style)))?;
        }
        if self.cap {
            let ends = [self.minutes.0, self.minutes.1].map(|minute| (minute, lost.there));
            let (dash, gap) = (px(5) as u32, px(4) as u32);
            chart.draw_series(DashedLineSeries::new(ends, dash, gap, line(SOFT, 8)))?;
        }
        Ok(())
    }

    /// What could be gone at the stated time, with its words over the plot.
    fn stated(&self, stated: &StatedTime, chart: &mut Chart, area: &Area) -> Drawn {
        let ends = vec![(stated.minutes, stated.low), (stated.minutes, stated.high)];
        chart.draw_series(std::iter::once(PathElement::new(
            ends.clone(),
            line(INK, 25),
        )))?;
        let dots = ends
            .iter()
            .map(|&end| Circle::new(end, px(3), INK.filled()));
        chart.draw_series(dots)?;
        let (left, _) = area.get_base_pixel();
        let at = chart.backend_coord(&(stated.minutes, 0.0)).0 - left;
        let half = text_width(&stated.words) / 2;
        let (wide, _) = area.dim_in_pixel();
        let at = at.clamp(half + px(2), (wide as i32 - half - px(2)).max(half + px(2)));
        let style = letters(INK, HPos::Center, VPos::Bottom);
        area.draw(&Text::new(stated.words.clone(), (at, px(42)), style))?;
        Ok(())
    }

    /// Names at the right end of the lines.
    fn labels(&self, chart: &Chart, area: &Area) -> Drawn {
        let lost = self.lost;
        let last = |column: &[f64]| column.last().copied().unwrap_or_default();
        let mut names = vec![
            (last(&lost.high), "at most", MARK),
            (last(&lost.low), "at least", MARK),
        ];
        if self.cap {
            names.insert(0, (lost.there, "all that was in", SOFT));
        }
        let (left, top) = area.get_base_pixel();
        let height = |mass: f64| chart.backend_coord(&(self.minutes.1, mass)).1 - top;
        let heights: Vec<i32> = names.iter().map(|name| height(name.0)).collect();
        let x = chart.backend_coord(&(self.minutes.1, 0.0)).0 - left + px(8);
        for ((_, name, colour), y) in names.iter().zip(spread(&heights, px(15))) {
            let style = letters(*colour, HPos::Left, VPos::Center);
            area.draw(&Text::new(*name, (x, y), style))?;
        }
        Ok(())
    }

    fn ticks(&self, chart: &Chart, area: &Area) -> Drawn {
        let step = ink::round_step(self.minutes.1 - self.minutes.0, self.width.pick(9, 5));
        ink::ticks(chart, area, self.minutes, step)?;
        ink::under_axis(area, self.lost.clock, self.width)
    }
}
