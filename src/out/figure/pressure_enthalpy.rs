//! The pressure-enthalpy diagram of a refrigerant, with a state or a cycle on it.

use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, VPos};

use super::ink::{
    self, Area, Chart, DrawError, Drawn, INK, MARK, PAPER, RULE, SOFT, Width, Words, letters, line,
    number, px,
};
use super::{Contour, PressureEnthalpy, StateMark};

const FIGURE: &str = "pressure-enthalpy";

/// The figure as an SVG element without fixed width; `id` must be unique in the page.
pub fn draw(diagram: &PressureEnthalpy, width: Width, id: &str) -> Result<String, DrawError> {
    let frame = Frame::of(diagram);
    if !frame.is_open() || diagram.bubble.len() < 2 || diagram.dew.len() < 2 {
        return Err(DrawError::NothingToDraw { figure: FIGURE });
    }
    let title = format!("Pressure-enthalpy diagram of {}", diagram.refrigerant);
    let description = diagram.summary();
    let words = Words {
        figure: FIGURE,
        id,
        title: &title,
        description: &description,
    };
    let size = (width.pick(740, 360), width.pick(640, 480));
    ink::drawn(&words, width, size, |root| {
        let mut chart = ChartBuilder::on(root)
            .margin_top(px(width.pick(46, 62)))
            .margin_right(px(16))
            .margin_bottom(px(20))
            .set_label_area_size(LabelAreaPosition::Left, px(width.pick(50, 42)))
            .set_label_area_size(LabelAreaPosition::Bottom, px(22))
            .build_cartesian_2d(frame.across(), frame.up())?;
        axes(diagram, root, &mut chart, width)?;
        key(diagram, root, width)?;
        let mut labels = Labels::within(&chart);
        // on a phone every second line
        let every = width.pick(1, 2);
        let isentropes: Vec<_> = diagram.isentropes.iter().step_by(every).collect();
        let isotherms: Vec<_> = diagram.isotherms.iter().step_by(every).collect();
        contours(&isentropes, &frame, &mut chart, Stroke::Dashed)?;
        contours(&isotherms, &frame, &mut chart, Stroke::Solid)?;
        dome(diagram, &frame, &mut chart)?;
        states(diagram, &mut chart)?;
        name_states(&diagram.states, &chart, &mut labels);
        for state in &diagram.states {
            labels.keep_free(chart.backend_coord(&scaled((state.enthalpy, state.pressure))));
        }
        name_dome(diagram, &chart, &mut labels);
        name_end(diagram, &chart, &mut labels);
        name_isotherms(&isotherms, &frame, &chart, &mut labels);
        name_isentropes(&isentropes, &frame, &chart, &mut labels);
        labels.write(root)
    })
}

/// What is shown: enthalpies, and logarithms of pressure.
struct Frame {
    low: (f64, f64),
    high: (f64, f64),
}

impl Frame {
    fn of(diagram: &PressureEnthalpy) -> Frame {
        Frame {
            low: (diagram.enthalpies.0, diagram.pressures.0.log10()),
            high: (diagram.enthalpies.1, diagram.pressures.1.log10()),
        }
    }

    fn is_open(&self) -> bool {
        let ends = [self.low.0, self.low.1, self.high.0, self.high.1];
        ends.iter().all(|v| v.is_finite()) && self.low.0 < self.high.0 && self.low.1 < self.high.1
    }

    fn across(&self) -> std::ops::Range<f64> {
        self.low.0..self.high.0
    }

    fn up(&self) -> std::ops::Range<f64> {
        self.low.1..self.high.1
    }

    /// The parts of a line inside the frame.
    fn clipped(&self, points: &[(f64, f64)]) -> Vec<Vec<(f64, f64)>> {
        let mut parts: Vec<Vec<(f64, f64)>> = Vec::new();
        for pair in points.windows(2) {
            let Some((from, to)) = self.inside(scaled(pair[0]), scaled(pair[1])) else {
                continue;
            };
            match parts.last_mut() {
                Some(part) if part.last() == Some(&from) => part.push(to),
                _ => parts.push(vec![from, to]),
            }
        }
        parts
    }

    /// The part of a straight line inside the frame (Liang and Barsky).
    fn inside(&self, a: (f64, f64), b: (f64, f64)) -> Option<((f64, f64), (f64, f64))> {
        let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
        let sides = [
            (a.0, b.0 - a.0, self.low.0, self.high.0),
            (a.1, b.1 - a.1, self.low.1, self.high.1),
        ];
        for (start, run, low, high) in sides {
            if run == 0.0 {
                if start < low || start > high {
                    return None;
                }
                continue;
            }
            let (s, t) = ((low - start) / run, (high - start) / run);
            enters = enters.max(s.min(t));
            leaves = leaves.min(s.max(t));
        }
        if enters >= leaves {
            return None;
        }
        let at = |share: f64| match share {
            0.0 => a,
            1.0 => b,
            _ => (a.0 + share * (b.0 - a.0), a.1 + share * (b.1 - a.1)),
        };
        Some((at(enters), at(leaves)))
    }
}

/// As the chart counts: pressure by its logarithm.
fn scaled((enthalpy, pressure): (f64, f64)) -> (f64, f64) {
    (enthalpy, pressure.log10())
}

fn axes(diagram: &PressureEnthalpy, area: &Area, chart: &mut Chart, width: Width) -> Drawn {
    let numbers = letters(SOFT, HPos::Center, VPos::Center);
    chart
        .configure_mesh()
        .disable_mesh()
        .axis_style(line(SOFT, 6))
        .set_all_tick_mark_size(px(3))
        .y_labels(0)
        .x_labels(width.pick(9, 5))
        .x_label_style(numbers)
        .x_label_formatter(&|v| number(*v))
        .draw()?;
    pressure_ticks(diagram, area, chart)?;
    let title = format!("pressure, {}", diagram.pressure_unit);
    let style = letters(INK, HPos::Left, VPos::Top);
    area.draw(&Text::new(title, (px(2), px(4)), style))?;
    let (right, height) = area.dim_in_pixel();
    let style = letters(INK, HPos::Right, VPos::Top);
    let name = diagram.refrigerant.clone();
    area.draw(&Text::new(name, (right as i32 - px(16), px(4)), style))?;
    let title = format!("enthalpy, {} ({})", diagram.enthalpy_unit, diagram.zero);
    let style = letters(SOFT, HPos::Left, VPos::Bottom);
    let left = px(width.pick(50, 42));
    area.draw(&Text::new(title, (left, height as i32 - px(2)), style))?;
    Ok(())
}

/// A rule and a number at 1, 2, 5 of each decade.
fn pressure_ticks(diagram: &PressureEnthalpy, area: &Area, chart: &mut Chart) -> Drawn {
    let (low, high) = diagram.pressures;
    let decades = low.log10().floor() as i32..=high.log10().ceil() as i32;
    let ticks = decades.flat_map(|d| [1.0, 2.0, 5.0].map(|n| n * 10_f64.powi(d)));
    let (across, _) = chart.plotting_area().get_pixel_range();
    for tick in ticks.filter(|tick| (low..=high).contains(tick)) {
        let ends = [diagram.enthalpies.0, diagram.enthalpies.1].map(|h| (h, tick.log10()));
        let rule = PathElement::new(ends.to_vec(), line(RULE, 8));
        chart.draw_series(std::iter::once(rule))?;
        let y = chart.backend_coord(&(diagram.enthalpies.0, tick.log10())).1;
        let style = letters(SOFT, HPos::Right, VPos::Center);
        area.draw(&Text::new(number(tick), (across.start - px(7), y), style))?;
    }
    Ok(())
}

/// What the two families of lines are, above the frame.
fn key(diagram: &PressureEnthalpy, area: &Area, width: Width) -> Drawn {
    let rows = [
        (
            Stroke::Solid,
            format!("temperature, {}", diagram.temperature_unit),
        ),
        (Stroke::Dashed, format!("entropy, {}", diagram.entropy_unit)),
    ];
    let (mut x, mut y) = (px(2), px(31));
    for (stroke, words) in rows {
        let ends = vec![(x, y), (x + px(22), y)];
        stroke.draw_on(area, ends)?;
        let style = letters(stroke.colour(), HPos::Left, VPos::Center);
        area.draw(&Text::new(words.clone(), (x + px(28), y), style))?;
        match width {
            Width::Wide => x += px(28 + 24) + ink::text_width(&words),
            Width::Narrow => y += px(16),
        }
    }
    Ok(())
}

#[derive(Clone, Copy)]
enum Stroke {
    Solid,
    Dashed,
}

impl Stroke {
    fn colour(self) -> RGBColor {
        match self {
            Stroke::Solid => MARK,
            Stroke::Dashed => SOFT,
        }
    }

    fn style(self) -> ShapeStyle {
        line(self.colour(), 8)
    }

    fn draw_on(self, area: &Area, ends: Vec<(i32, i32)>) -> Drawn {
        match self {
            Stroke::Solid => area.draw(&PathElement::new(ends, self.style()))?,
            Stroke::Dashed => {
                for (from, to) in [(0, 5), (9, 14), (18, 22)] {
                    let dash = vec![
                        (ends[0].0 + px(from), ends[0].1),
                        (ends[0].0 + px(to), ends[0].1),
                    ];
                    area.draw(&PathElement::new(dash, self.style()))?;
                }
            }
        }
        Ok(())
    }
}

fn contours(contours: &[&Contour], frame: &Frame, chart: &mut Chart, stroke: Stroke) -> Drawn {
    for part in contours.iter().flat_map(|c| frame.clipped(&c.points)) {
        match stroke {
            Stroke::Solid => {
                chart.draw_series(std::iter::once(PathElement::new(part, stroke.style())))?;
            }
            Stroke::Dashed => {
                let (dash, gap) = (px(5) as u32, px(4) as u32);
                chart.draw_series(DashedLineSeries::new(part, dash, gap, stroke.style()))?;
            }
        }
    }
    Ok(())
}

fn dome(diagram: &PressureEnthalpy, frame: &Frame, chart: &mut Chart) -> Drawn {
    for side in [&diagram.bubble, &diagram.dew] {
        for part in frame.clipped(side) {
            chart.draw_series(std::iter::once(PathElement::new(part, line(INK, 18))))?;
        }
    }
    Ok(())
}

/// The lines between states, their 95 % bars, and a dot for each: open where nothing was read.
fn states(diagram: &PressureEnthalpy, chart: &mut Chart) -> Drawn {
    let at = |i: usize| scaled((diagram.states[i].enthalpy, diagram.states[i].pressure));
    for leg in &diagram.legs {
        let ends = vec![at(leg.from), at(leg.to)];
        if leg.dashed {
            let (dash, gap) = (px(7) as u32, px(5) as u32);
            chart.draw_series(DashedLineSeries::new(ends, dash, gap, line(INK, 22)))?;
        } else {
            chart.draw_series(std::iter::once(PathElement::new(ends, line(INK, 22))))?;
        }
    }
    for state in &diagram.states {
        for bar in bars(state) {
            chart.draw_series(std::iter::once(PathElement::new(bar, line(INK, 9))))?;
        }
    }
    for (i, state) in diagram.states.iter().enumerate() {
        let inside = if state.read { INK } else { PAPER };
        chart.draw_series([
            Circle::new(at(i), px(4), inside.filled()),
            Circle::new(at(i), px(4), line(INK, 14)),
        ])?;
    }
    Ok(())
}

/// Across and up.
fn bars(state: &StateMark) -> Vec<Vec<(f64, f64)>> {
    let (h, p) = (state.enthalpy, state.pressure);
    let (dh, dp) = (state.half_enthalpy, state.half_pressure);
    let mut bars = Vec::new();
    if dh > 0.0 {
        bars.push(vec![scaled((h - dh, p)), scaled((h + dh, p))]);
    }
    if dp > 0.0 && dp < p {
        bars.push(vec![scaled((h, p - dp)), scaled((h, p + dp))]);
    }
    bars
}

/// Words with their place: where they stand, and how far they reach.
struct Label {
    text: String,
    colour: RGBColor,
    left: i32,
    top: i32,
    width: i32,
}

/// Every label, none upon another, all inside the frame.
struct Labels {
    frame: (std::ops::Range<i32>, std::ops::Range<i32>),
    placed: Vec<Label>,
}

const HEIGHT: i32 = ink::LETTERS + 1;

impl Labels {
    fn within(chart: &Chart) -> Labels {
        Labels {
            frame: chart.plotting_area().get_pixel_range(),
            placed: Vec::new(),
        }
    }

    /// Places words with their middle at a point, unless they would stand on others or over the edge.
    fn place(&mut self, text: &str, colour: RGBColor, middle: (i32, i32)) -> bool {
        let width = ink::text_width(text);
        let label = Label {
            text: text.to_string(),
            colour,
            left: middle.0 - width / 2,
            top: middle.1 - px(HEIGHT) / 2,
            width,
        };
        let (across, down) = &self.frame;
        let inside = label.left >= across.start + px(2)
            && label.left + width <= across.end
            && label.top >= down.start
            && label.top + px(HEIGHT) <= down.end;
        let free = self.placed.iter().all(|other| {
            let gap = px(6);
            label.left >= other.left + other.width + gap
                || other.left >= label.left + label.width + gap
                || (label.top - other.top).abs() >= px(HEIGHT)
        });
        if inside && free {
            self.placed.push(label);
        }
        inside && free
    }

    /// No further words upon a dot.
    fn keep_free(&mut self, dot: (i32, i32)) {
        self.placed.push(Label {
            text: String::new(),
            colour: INK,
            left: dot.0 - px(4),
            top: dot.1 - px(HEIGHT) / 2,
            width: px(8),
        });
    }

    /// Places words at the first free of several points.
    fn place_at_one(
        &mut self,
        text: &str,
        colour: RGBColor,
        middles: impl IntoIterator<Item = (i32, i32)>,
    ) {
        for middle in middles {
            if self.place(text, colour, middle) {
                return;
            }
        }
    }

    fn write(self, area: &Area) -> Drawn {
        let with_words = |label: &Label| !label.text.is_empty();
        for label in self.placed.into_iter().filter(with_words) {
            let style = letters(label.colour, HPos::Left, VPos::Center);
            let at = (label.left, label.top + px(HEIGHT) / 2);
            area.draw(&Text::new(label.text, at, style))?;
        }
        Ok(())
    }
}

/// A state's name on the side away from the others.
fn name_states(states: &[StateMark], chart: &Chart, labels: &mut Labels) {
    let pixels: Vec<_> = states
        .iter()
        .map(|s| chart.backend_coord(&scaled((s.enthalpy, s.pressure))))
        .collect();
    let count = pixels.len().max(1) as i32;
    let sum = pixels.iter().fold((0, 0), |s, p| (s.0 + p.0, s.1 + p.1));
    let centre = (sum.0 / count, sum.1 / count);
    for (state, at) in states.iter().zip(&pixels) {
        let half = ink::text_width(&state.label) / 2 + px(7);
        let right = if at.0 < centre.0 { -1 } else { 1 };
        let down = if at.1 > centre.1 { 1 } else { -1 };
        let (x, y) = (at.0 + right * half, at.1 + down * px(11));
        let near = [
            (x, y),
            (at.0 - right * half, y),
            (x, at.1 - down * px(11)),
            (at.0, y + down * px(6)),
            (at.0 - right * half, at.1 - down * px(11)),
        ];
        // further off rather than nowhere
        let far = (1..4).flat_map(|rows| {
            let off = px(11 + rows * HEIGHT);
            [
                (right, down),
                (-right, down),
                (right, -down),
                (-right, -down),
            ]
            .map(|(aside, away)| (at.0 + aside * half, at.1 + away * off))
        });
        let choices = near.into_iter().chain(far);
        labels.place_at_one(&state.label, INK, choices);
    }
}

/// In the dome near bubble, on the line itself; in the vapour below its lower end, as far as there is room.
fn name_isotherms(isotherms: &[&Contour], frame: &Frame, chart: &Chart, labels: &mut Labels) {
    for isotherm in isotherms {
        let Some(ends) = isotherm.across else {
            continue;
        };
        let [bubble, dew] = ends.map(scaled);
        let along = |share: f64| {
            let enthalpy = bubble.0 + share * (dew.0 - bubble.0);
            chart.backend_coord(&(enthalpy, bubble.1 + share * (dew.1 - bubble.1)))
        };
        labels.place_at_one(&isotherm.label, MARK, [0.2, 0.3, 0.5].map(along));
    }
    let (across, down) = chart.plotting_area().get_pixel_range();
    for isotherm in isotherms {
        let parts = frame.clipped(&isotherm.points);
        let Some(end) = parts.last().and_then(|part| part.last()) else {
            continue;
        };
        let at = chart.backend_coord(end);
        let furthest = across.end - ink::text_width(&isotherm.label) / 2 - px(1);
        let below = (at.1 + px(9)).min(down.end - px(HEIGHT) / 2);
        labels.place(&isotherm.label, MARK, (at.0.min(furthest), below));
    }
}

/// At the upper end.
fn name_isentropes(isentropes: &[&Contour], frame: &Frame, chart: &Chart, labels: &mut Labels) {
    for isentrope in isentropes {
        let parts = frame.clipped(&isentrope.points);
        let Some(part) = parts.last() else { continue };
        let middle = |i: usize| chart.backend_coord(&part[i * (part.len() - 1) / 8]);
        labels.place_at_one(&isentrope.label, SOFT, [7, 6, 5].map(middle));
    }
}

/// What stands where the dome would close: tables end before the critical point.
const END: &str = "end of table";

fn name_end(diagram: &PressureEnthalpy, chart: &Chart, labels: &mut Labels) {
    let top = |side: &[(f64, f64)]| side.last().map(|p| chart.backend_coord(&scaled(*p)));
    if let (Some(bubble), Some(dew)) = (top(&diagram.bubble), top(&diagram.dew)) {
        let middle = ((bubble.0 + dew.0) / 2, (bubble.1 + dew.1) / 2);
        if ink::text_width(END) < dew.0 - bubble.0 {
            labels.place(END, SOFT, middle);
        }
    }
}

/// Beside the two sides of the dome, where they are in the frame.
fn name_dome(diagram: &PressureEnthalpy, chart: &Chart, labels: &mut Labels) {
    let aside = |text: &str| ink::text_width(text) / 2 + px(8);
    for (text, side, way) in [("bubble", &diagram.bubble, -1), ("dew", &diagram.dew, 1)] {
        let places = [3, 4, 5, 6, 2, 7].map(|ninth| {
            let at = chart.backend_coord(&scaled(side[side.len() * ninth / 9]));
            (at.0 + way * aside(text), at.1)
        });
        labels.place_at_one(text, INK, places);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_cut_at_the_frame_and_taken_up_again() {
        let frame = Frame {
            low: (0.0, 0.0),
            high: (10.0, 2.0),
        };
        // out over the top, back in, out at the right
        let line = [(1.0, 10.0), (2.0, 1000.0), (3.0, 10.0), (20.0, 10.0)];
        let parts = frame.clipped(&line);
        assert_eq!(parts.len(), 2);
        assert_eq!(parts[0], [(1.0, 1.0), (1.5, 2.0)]);
        assert_eq!(parts[1], [(2.5, 2.0), (3.0, 1.0), (10.0, 1.0)]);
        assert!(frame.clipped(&[(-5.0, 10.0), (-1.0, 10.0)]).is_empty());
    }
}
