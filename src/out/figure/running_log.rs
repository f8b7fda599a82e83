//! A running log against time, with the steadiest window shaded across all panels.

use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, VPos};

use super::ink::{self, DrawError, INK, MARK, Width, Words, letters, line, px, text_width};
use super::ink::{Area, Chart, Drawn, rules, spread, title, trace};
use super::{LogLine, LogPanel, LogWindow, RunningLogFigure, extremes};

const FIGURE: &str = "running log";
/// Minutes from which on the clock counts hours.
const HOURS_FROM: f64 = 300.0;

/// The figure as an SVG element without fixed width; `id` must be unique in the page.
///
/// Readings are drawn as they are, at most two for each column of the drawing.
pub fn draw(log: &RunningLogFigure, width: Width, id: &str) -> Result<String, DrawError> {
    let nothing = || DrawError::NothingToDraw { figure: FIGURE };
    for line in log.panels.iter().flat_map(|p| &p.lines) {
        if line.values.len() != log.minutes.len() {
            return Err(DrawError::UnevenColumns {
                figure: FIGURE,
                column: line.label,
                hours: log.minutes.len(),
                values: line.values.len(),
            });
        }
    }
    let clock = Clock::of(log).ok_or_else(nothing)?;
    if log.panels.is_empty() {
        return Err(nothing());
    }
    let heights: Vec<i32> = (0..log.panels.len())
        .map(|i| height(log, i, width))
        .collect();
    let size = (width.pick(740, 360), heights.iter().sum());
    let words = Words {
        figure: FIGURE,
        id,
        title: "Running log: where it stands still",
        description: &log.summary(),
    };
    ink::drawn(&words, width, size, |root| {
        let mut rest = root.clone();
        for (i, panel) in log.panels.iter().enumerate() {
            let (area, below) = if i + 1 < log.panels.len() {
                rest.split_vertically(px(heights[i]))
            } else {
                (rest.clone(), rest.clone())
            };
            let frame = Frame {
                log,
                clock: &clock,
                width,
                head: head(log, i),
                last: i + 1 == log.panels.len(),
            };
            frame.panel(panel, &area)?;
            rest = below;
        }
        Ok(())
    })
}

/// Room over a panel's plot: its title, and over the first one the window's words and what hunts.
fn head(log: &RunningLogFigure, panel: usize) -> i32 {
    let lines = if panel > 0 {
        0
    } else {
        i32::from(log.window.is_some()) + i32::from(log.hunting.is_some())
    };
    26 + 17 * lines
}

const CLOCK: i32 = 42;

fn height(log: &RunningLogFigure, panel: usize, width: Width) -> i32 {
    let lines = log.panels[panel].lines.len() as i32;
    let plot = (70 + 12 * lines).min(width.pick(150, 140));
    let clock = if panel + 1 == log.panels.len() {
        CLOCK
    } else {
        6
    };
    head(log, panel) + plot + clock
}

/// The axis of time.
struct Clock {
    times: Vec<f64>,
    range: (f64, f64),
    scale: f64,
    words: &'static str,
}

impl Clock {
    fn of(log: &RunningLogFigure) -> Option<Self> {
        let (first, last) = extremes(&log.minutes)?;
        let (scale, words) = if last - first > HOURS_FROM {
            (1.0 / 60.0, "hours after the log's first row")
        } else {
            (1.0, "minutes after the log's first row")
        };
        Some(Clock {
            times: log.minutes.iter().map(|m| m * scale).collect(),
            range: (first * scale, last * scale),
            scale,
            words,
        })
    }

    /// The smallest step of a clock that needs no more ticks than so many.
    fn step(&self, ticks: usize) -> f64 {
        const STEPS: [f64; 12] = [
            0.5, 1.0, 2.0, 5.0, 10.0, 15.0, 20.0, 30.0, 60.0, 120.0, 240.0, 480.0,
        ];
        ink::step_of(&STEPS, self.range.1 - self.range.0, ticks)
    }
}

/// What the panels of one drawing share.
struct Frame<'a> {
    log: &'a RunningLogFigure,
    clock: &'a Clock,
    width: Width,
    head: i32,
    last: bool,
}

impl Frame<'_> {
    fn panel(&self, panel: &LogPanel, area: &Area) -> Drawn {
        let ranges = panel.lines.iter().filter_map(|l| extremes(&l.values));
        let Some((low, high)) = ranges.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1))) else {
            return Ok(());
        };
        let (from, to) = self.clock.range;
        let mut chart = ChartBuilder::on(area)
            .margin_top(px(self.head))
            .margin_right(px(self.width.pick(172, 124)))
            .margin_bottom(px(if self.last { 20 } else { 4 }))
            .set_label_area_size(LabelAreaPosition::Left, px(self.width.pick(50, 42)))
            .set_label_area_size(
                LabelAreaPosition::Bottom,
                px(if self.last { 22 } else { 2 }),
            )
            .build_cartesian_2d(from..to, ink::roomy(low, high, 0.1))?;
        rules(&mut chart, 4)?;
        title(area, &format!("{}, {}", panel.title, panel.unit))?;
        if let Some(window) = &self.log.window {
            self.shade(window, &mut chart, area)?;
        }
        let columns = self.width.pick(510, 190);
        for drawn in &panel.lines {
            let style = line(INK, 12);
            trace(&mut chart, &self.clock.times, &drawn.values, columns, style)?;
        }
        self.labels(panel, &chart, area)?;
        if self.last {
            self.ticks(&chart, area)?;
        }
        Ok(())
    }

    /// The window behind the lines; its words only over the first panel.
    fn shade(&self, window: &LogWindow, chart: &mut Chart, area: &Area) -> Drawn {
        let (from, to) = (window.from * self.clock.scale, window.to * self.clock.scale);
        let range = chart.plotting_area().get_y_range();
        let strength = if window.steady { 0.16 } else { 0.07 };
        let corners = [(from, range.start), (to, range.end)];
        chart.draw_series(std::iter::once(Rectangle::new(
            corners,
            MARK.mix(strength).filled(),
        )))?;
        for edge in [from, to] {
            let ends = vec![(edge, range.start), (edge, range.end)];
            chart.draw_series(std::iter::once(PathElement::new(ends, line(MARK, 7))))?;
        }
        if self.head == head(self.log, 1) {
            return Ok(());
        }
        let words = window.words();
        let (left, _) = area.get_base_pixel();
        let middle = (chart.backend_coord(&(from, range.end)).0
            + chart.backend_coord(&(to, range.end)).0)
            / 2
            - left;
        let half = text_width(&words) / 2;
        let (wide, _) = area.dim_in_pixel();
        let at = middle.clamp(half + px(2), (wide as i32 - half - px(2)).max(half + px(2)));
        let style = letters(MARK, HPos::Center, VPos::Bottom);
        let above = px(self.head - 4);
        area.draw(&Text::new(words, (at, above), style))?;
        if let Some(hunting) = &self.log.hunting {
            let style = letters(INK, HPos::Left, VPos::Top);
            area.draw(&Text::new(hunting.clone(), (px(2), px(21)), style))?;
        }
        Ok(())
    }

    /// Names at the right end of the lines, with the window's mean where there is room.
    fn labels(&self, panel: &LogPanel, chart: &Chart, area: &Area) -> Drawn {
        let (left, top) = area.get_base_pixel();
        let mut placed: Vec<(i32, &LogLine)> = panel
            .lines
            .iter()
            .filter_map(|line| {
                let last = line.values.iter().rev().find(|v| v.is_finite())?;
                let y = chart.backend_coord(&(self.clock.range.1, *last)).1 - top;
                Some((y, line))
            })
            .collect();
        placed.sort_by_key(|(y, _)| *y);
        let heights = spread(
            &placed.iter().map(|(y, _)| *y).collect::<Vec<_>>(),
            px(ink::LETTERS) * 12 / 10,
        );
        let x = chart.backend_coord(&(self.clock.range.1, 0.0)).0 - left + px(7);
        for ((_, line), y) in placed.iter().zip(heights) {
            let words = match (&line.mean, self.width) {
                (Some(mean), Width::Wide) => format!("{} {mean}", line.label),
                _ => line.label.to_string(),
            };
            let style = letters(INK, HPos::Left, VPos::Center);
            area.draw(&Text::new(words, (x, y), style))?;
        }
        Ok(())
    }

    fn ticks(&self, chart: &Chart, area: &Area) -> Drawn {
        let step = self.clock.step(self.width.pick(9, 5));
        ink::ticks(chart, area, self.clock.range, step)?;
        ink::under_axis(area, self.clock.words, self.width)
    }
}
