//! The vacuum rise against time: as read, as fitted, and its two parts, what leaks in and what is given off.

use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, VPos};

use super::hold::{Name, name_lines};
use super::ink::{
    self, Area, Chart, DrawError, Drawn, INK, MARK, RULE, SOFT, Width, Words, letters, line, px,
    title,
};
use super::{RiseFigure, extremes};

const FIGURE: &str = "vacuum rise";

/// The figure as an SVG element without fixed width; `id` must be unique in the page.
///
/// Pressures stand by powers of ten where they span more than a factor of twenty. The line of a rule is drawn only
/// where one was chosen.
pub fn draw(rise: &RiseFigure, width: Width, id: &str) -> Result<String, DrawError> {
    let columns = [
        ("the gauge", Some(&rise.read)),
        ("the fit", Some(&rise.fitted)),
        ("the leak", Some(&rise.leak)),
        ("the vapour", rise.vapour.as_ref()),
    ];
    for (column, values) in columns {
        let values = values.map_or(rise.minutes.len(), Vec::len);
        if values != rise.minutes.len() {
            return Err(DrawError::UnevenColumns {
                figure: FIGURE,
                column,
                hours: rise.minutes.len(),
                values,
            });
        }
    }
    let nothing = || DrawError::NothingToDraw { figure: FIGURE };
    let description = rise.summary().ok_or_else(nothing)?;
    let minutes = super::hold::clock(&rise.minutes).ok_or_else(nothing)?;
    let scale = Scale {
        tens: rise.by_tens(),
    };
    let range = range(rise, scale).ok_or_else(nothing)?;
    let words = Words {
        figure: FIGURE,
        id,
        title: "Vacuum rise: the gauge, what leaks in and what is given off",
        description: &description,
    };
    let size = (width.pick(740, 360), width.pick(320, 290));
    ink::drawn(&words, width, size, |root| {
        panel(rise, root, minutes, range, scale, width)
    })
}

/// Upright: as it is, or by powers of ten.
#[derive(Debug, Clone, Copy)]
pub(super) struct Scale {
    pub tens: bool,
}

impl Scale {
    /// Where a pressure stands.
    pub fn of(self, micron: f64) -> f64 {
        if self.tens {
            micron.max(1e-3).log10()
        } else {
            micron
        }
    }

    fn column(self, values: &[f64]) -> Vec<f64> {
        values.iter().map(|v| self.of(*v)).collect()
    }

    /// Rules across: round steps, or every power of ten with its 2 and 5 where there are few.
    pub fn rules(self, chart: &mut Chart, area: &Area) -> Drawn {
        if !self.tens {
            return ink::rules(chart, 6);
        }
        let (left, top) = area.get_base_pixel();
        let (across, up) = {
            let plot = chart.plotting_area();
            (plot.get_x_range(), plot.get_y_range())
        };
        let few = up.end - up.start < 2.5;
        let parts: &[f64] = if few { &[1.0, 2.0, 5.0] } else { &[1.0] };
        let tens = up.start.floor() as i32..=up.end.ceil() as i32;
        let marks: Vec<f64> = tens
            .flat_map(|ten| parts.iter().map(move |part| part * 10f64.powi(ten)))
            .filter(|micron| up.contains(&micron.log10()))
            .collect();
        for micron in marks {
            let at = micron.log10();
            let ends = vec![(across.start, at), (across.end, at)];
            chart.draw_series(std::iter::once(PathElement::new(ends, line(RULE, 8))))?;
            let (x, y) = chart.backend_coord(&(across.start, at));
            let style = letters(SOFT, HPos::Right, VPos::Center);
            let at = (x - left - px(6), y - top);
            area.draw(&Text::new(thousands(micron), at, style))?;
        }
        Ok(())
    }
}

/// "100,000".
fn thousands(value: f64) -> String {
    let digits = ink::number(value);
    if digits.len() <= 4 || digits.contains('.') {
        return digits;
    }
    let mut out = String::new();
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

/// From the lowest to the highest of what is drawn; a far rule's line is left to the words.
fn range(rise: &RiseFigure, scale: Scale) -> Option<std::ops::Range<f64>> {
    let read = extremes(&rise.read)?;
    let fitted = extremes(&rise.fitted).unwrap_or(read);
    let mut low = read.0.min(fitted.0);
    let mut high = read.1.max(fitted.1);
    let most = 3.0 * high;
    let near = |v: f64| v < most;
    if let Some(level) = rise.level.filter(|level| near(*level)) {
        high = high.max(level);
    }
    if let Some(rule) = rise.rule.as_ref().filter(|rule| near(rule.pass)) {
        high = high.max(rule.pass);
    }
    if !scale.tens {
        low = low.min(extremes(&rise.leak).map_or(low, |e| e.0)).max(0.0);
    }
    Some(ink::roomy(scale.of(low), scale.of(high), 0.08))
}

fn panel(
    rise: &RiseFigure,
    area: &Area,
    minutes: (f64, f64),
    range: std::ops::Range<f64>,
    scale: Scale,
    width: Width,
) -> Drawn {
    let mut chart = super::hold::panel(area, minutes, range.clone(), width, true, 28)?;
    scale.rules(&mut chart, area)?;
    title(area, "absolute pressure, micron")?;
    minute_ticks(&chart, area, minutes, width)?;
    ink::under_axis(area, "minutes after the pump was shut off", width)?;
    rule(rise, &mut chart, area, scale, width)?;
    let few = width.pick(140, 65);
    let (dash, gap) = (px(5) as u32, px(4) as u32);
    let mut dashed = |values: &[f64], style: ShapeStyle| -> Drawn {
        let column = scale.column(values);
        for run in ink::runs(&rise.minutes, &column) {
            let inside = |p: &&(f64, f64)| range.contains(&p.1);
            let points: Vec<_> = ink::smoothed(&run, few)
                .iter()
                .filter(inside)
                .copied()
                .collect();
            chart.draw_series(DashedLineSeries::new(points, dash, gap, style))?;
        }
        Ok(())
    };
    dashed(&rise.leak, line(MARK, 10))?;
    if let Some(vapour) = &rise.vapour {
        dashed(vapour, line(SOFT, 10))?;
    }
    if let Some(level) = rise
        .level
        .map(|v| scale.of(v))
        .filter(|v| range.contains(v))
    {
        let ends = vec![(minutes.0, level), (minutes.1, level)];
        let (dash, gap) = (px(2) as u32, px(3) as u32);
        chart.draw_series(DashedLineSeries::new(ends, dash, gap, line(SOFT, 10)))?;
    }
    for run in ink::runs(&rise.minutes, &scale.column(&rise.fitted)) {
        let points = ink::smoothed(&run, few);
        chart.draw_series(std::iter::once(PathElement::new(points, line(SOFT, 24))))?;
    }
    let columns = width.pick(560, 260);
    ink::trace(
        &mut chart,
        &rise.minutes,
        &scale.column(&rise.read),
        columns,
        line(INK, 11),
    )?;
    labels(rise, &chart, area, scale, width, &range)
}

/// The line of a chosen rule, for as long as it asks.
fn rule(rise: &RiseFigure, chart: &mut Chart, area: &Area, scale: Scale, width: Width) -> Drawn {
    let Some(rule) = &rise.rule else {
        return Ok(());
    };
    let (across, up) = {
        let plot = chart.plotting_area();
        (plot.get_x_range(), plot.get_y_range())
    };
    let at = scale.of(rule.pass);
    if !up.contains(&at) {
        return Ok(());
    }
    let until = rule.minutes.min(across.end);
    let ends = vec![(across.start, at), (until, at)];
    chart.draw_series(std::iter::once(PathElement::new(ends, line(MARK, 14))))?;
    let (left, top) = area.get_base_pixel();
    let words = match width {
        Width::Wide => rule.words(),
        Width::Narrow => rule.name.clone(),
    };
    // on the half of the line that the readings do not cross
    let crosses = rise.read.iter().position(|read| *read > rule.pass);
    let early = crosses.is_some_and(|i| rise.minutes[i] < 0.5 * (across.start + until));
    let (end, side, aside) = if early {
        (until, HPos::Right, -px(4))
    } else {
        (across.start, HPos::Left, px(4))
    };
    let (x, y) = chart.backend_coord(&(end, at));
    let style = letters(MARK, side, VPos::Bottom);
    area.draw(&Text::new(
        words,
        (x - left + aside, y - top - px(3)),
        style,
    ))?;
    Ok(())
}

fn labels(
    rise: &RiseFigure,
    chart: &Chart,
    area: &Area,
    scale: Scale,
    width: Width,
    range: &std::ops::Range<f64>,
) -> Drawn {
    let (left, top) = area.get_base_pixel();
    let last = rise.minutes.last().copied().unwrap_or_default();
    let end = |value: Option<&f64>| {
        let at = scale.of(*value?).clamp(range.start, range.end);
        let (x, y) = chart.backend_coord(&(last, at));
        Some((x - left, y - top))
    };
    let leak: &[&str] = width.pick(&["with the leak", "alone"], &["leak", "alone"]);
    let vapour: &[&str] = width.pick(&["with what is", "given off alone"], &["vapour", "alone"]);
    let level = rise.level.filter(|v| range.contains(&scale.of(*v)));
    let level_words: Vec<String> = match (width, level) {
        (Width::Wide, Some(v)) => vec![format!("levels off"), format!("near {v:.0}")],
        (Width::Narrow, Some(v)) => vec![format!("level {v:.0}")],
        (_, None) => Vec::new(),
    };
    let names = [
        Name::of(&["gauge"], INK, end(rise.read.last())),
        Name::of(leak, MARK, end(rise.leak.last())),
        rise.vapour
            .as_ref()
            .and_then(|v| Name::of(vapour, SOFT, end(v.last()))),
        level.and_then(|v| Name::of(&level_words, SOFT, end(Some(&v)))),
    ];
    name_lines(names.into_iter().flatten().collect(), area)
}

/// Ticks at round minutes.
pub(super) fn minute_ticks(chart: &Chart, area: &Area, minutes: (f64, f64), width: Width) -> Drawn {
    const STEPS: [f64; 11] = [
        0.5, 1.0, 2.0, 5.0, 10.0, 15.0, 20.0, 30.0, 60.0, 120.0, 240.0,
    ];
    let step = ink::step_of(&STEPS, minutes.1 - minutes.0, width.pick(9, 5));
    ink::ticks(chart, area, minutes, step)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thousands_are_read_at_a_glance() {
        assert_eq!(thousands(100_000.0), "100,000");
        assert_eq!(thousands(1_000.0), "1000");
        assert_eq!(thousands(1e6), "1,000,000");
        assert_eq!(thousands(0.5), "0.5");
    }
}
