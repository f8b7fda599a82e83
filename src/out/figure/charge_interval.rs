//! The mass inside: a bar for what each kind of evidence says, and one for all of it together.

use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, VPos};

use super::ink::round_step;
use super::ink::{
    self, DrawError, INK, MARK, PAPER, RULE, SOFT, Width, Words, letters, line, px, text_width,
};
use super::ink::{Area, Drawn, number, title};
use super::{ChargeInterval, ChargeRow};

const FIGURE: &str = "charge interval";

/// Height of a line of words.
const LINE: i32 = 15;
/// Room over the rows: the title and what belongs in.
const HEAD: i32 = 44;
/// From one row's last line of words to the next row.
const BAR: i32 = 27;
/// The axis: a line of masses and one of shares.
const AXIS: i32 = 42;
/// Room left of the plot, and right of it for the units.
const LEFT: i32 = 10;
const RIGHT: i32 = 30;

/// The figure as an SVG element without fixed width; `id` must be unique in the page.
pub fn draw(charge: &ChargeInterval, width: Width, id: &str) -> Result<String, DrawError> {
    let numbers = charge.rows.iter().flat_map(|row| [row.low, row.high]);
    let finite = numbers.chain([charge.due]).all(f64::is_finite);
    if charge.rows.is_empty() || !finite || charge.due <= 0.0 {
        return Err(DrawError::NothingToDraw { figure: FIGURE });
    }
    let frame = Frame::of(charge, width);
    let height = HEAD + frame.rows() + AXIS;
    let words = Words {
        figure: FIGURE,
        id,
        title: "The mass inside: what each kind of evidence says",
        description: &charge.summary(),
    };
    ink::drawn(&words, width, (frame.wide, height), |root| frame.draw(root))
}

struct Frame<'a> {
    charge: &'a ChargeInterval,
    wide: i32,
    range: (f64, f64),
}

impl<'a> Frame<'a> {
    fn of(charge: &'a ChargeInterval, width: Width) -> Frame<'a> {
        let band = charge.due * charge.tolerance;
        let lows = charge.rows.iter().map(|row| row.low);
        let highs = charge.rows.iter().map(|row| row.high);
        let low = lows.fold(charge.due - band, f64::min);
        let high = highs.fold(charge.due + band, f64::max);
        let room = 0.06 * (high - low).max(0.02 * charge.due);
        Frame {
            charge,
            wide: width.pick(740, 360),
            range: ((low - room).max(0.0), high + room),
        }
    }

    fn x(&self, mass: f64) -> i32 {
        let (left, right) = (px(LEFT), px(self.wide - RIGHT));
        let share = (mass - self.range.0) / (self.range.1 - self.range.0);
        left + (share * f64::from(right - left)).round() as i32
    }

    /// Where the words begin that stand beside their labels.
    fn column(&self) -> i32 {
        let labels = self.charge.rows.iter().map(|row| text_width(&row.label));
        px(8) + labels.max().unwrap_or_default()
    }

    /// Whether a row's words fit beside its label.
    fn on_one_line(&self, row: &ChargeRow) -> bool {
        self.column() + text_width(&row.said) <= px(self.wide - 4)
    }

    fn height(&self, row: &ChargeRow) -> i32 {
        let lines = if self.on_one_line(row) { 1 } else { 2 };
        lines * LINE + BAR
    }

    fn rows(&self) -> i32 {
        self.charge.rows.iter().map(|row| self.height(row)).sum()
    }

    fn draw(&self, area: &Area) -> Drawn {
        let unit = self.charge.unit;
        title(
            area,
            &format!("mass inside, {unit} and % of what belongs in"),
        )?;
        self.belongs(area)?;
        let mut top = HEAD;
        for row in &self.charge.rows {
            self.row(row, px(top), area)?;
            top += self.height(row);
        }
        self.axis(px(top), area)
    }

    /// The band that is left as it is, what belongs in, and their words.
    fn belongs(&self, area: &Area) -> Drawn {
        let charge = self.charge;
        let band = charge.due * charge.tolerance;
        let (top, bottom) = (px(HEAD - 4), px(HEAD + self.rows()));
        let corners = [
            (self.x(charge.due - band), top),
            (self.x(charge.due + band), bottom),
        ];
        area.draw(&Rectangle::new(corners, MARK.mix(0.16).filled()))?;
        let due = self.x(charge.due);
        area.draw(&PathElement::new(
            vec![(due, top), (due, bottom)],
            line(MARK, 9),
        ))?;
        let words = format!(
            "belongs in: {:.2} {}, right within {:.0} %",
            charge.due,
            charge.unit,
            100.0 * charge.tolerance
        );
        let half = text_width(&words) / 2;
        let at = due.clamp(half + px(2), px(self.wide - 2) - half);
        let style = letters(MARK, HPos::Center, VPos::Bottom);
        area.draw(&Text::new(words, (at, px(HEAD - 6)), style))?;
        Ok(())
    }

    fn row(&self, row: &ChargeRow, top: i32, area: &Area) -> Drawn {
        let (name, bar) = match (row.together, row.replaced) {
            (true, _) => (INK, INK.filled()),
            (false, true) => (SOFT, RULE.filled()),
            (false, false) => (INK, SOFT.mix(0.6).filled()),
        };
        let style = letters(name, HPos::Left, VPos::Top);
        area.draw(&Text::new(row.label.clone(), (px(2), top), style))?;
        let said = letters(if row.together { INK } else { SOFT }, HPos::Left, VPos::Top);
        let (at, lines) = if self.on_one_line(row) {
            ((self.column(), top), 1)
        } else {
            ((px(2), top + px(LINE)), 2)
        };
        area.draw(&Text::new(row.said.clone(), at, said))?;
        let middle = top + px(lines * LINE + 9);
        let half = px(if row.together { 5 } else { 4 });
        // a bar that is thinner than a line would not be seen
        let (low, high) = (
            self.x(row.low),
            self.x(row.high).max(self.x(row.low) + px(1)),
        );
        let corners = [(low, middle - half), (high, middle + half)];
        area.draw(&Rectangle::new(corners, bar))?;
        if row.open {
            let tip = vec![
                (low, middle - half),
                (low - px(6), middle),
                (low, middle + half),
            ];
            area.draw(&Polygon::new(tip, bar))?;
        }
        if let Some(estimate) = row.estimate {
            let at = (self.x(estimate), middle);
            area.draw(&Circle::new(at, px(3), PAPER.filled()))?;
            area.draw(&Circle::new(at, px(3), line(INK, 12)))?;
        }
        Ok(())
    }

    fn axis(&self, top: i32, area: &Area) -> Drawn {
        let ends = vec![(px(LEFT), top), (px(self.wide - RIGHT), top)];
        area.draw(&PathElement::new(ends, line(RULE, 8)))?;
        let steps = if self.wide > 500 { 9 } else { 5 };
        let due = self.charge.due;
        let lines = [(1.0, self.charge.unit, 6), (due / 100.0, "%", 6 + LINE)];
        for (scale, unit, below) in lines {
            let (low, high) = (self.range.0 / scale, self.range.1 / scale);
            let step = round_step(high - low, steps);
            let first = (low / step - 1e-9).ceil() as i64;
            let last = (high / step + 1e-9).floor() as i64;
            let y = top + px(below);
            for tick in (first..=last).map(|i| i as f64 * step) {
                let x = self.x(tick * scale);
                if below == 6 {
                    let mark = PathElement::new(vec![(x, top), (x, top + px(4))], line(SOFT, 8));
                    area.draw(&mark)?;
                }
                let style = letters(SOFT, HPos::Center, VPos::Top);
                area.draw(&Text::new(number(tick), (x, y), style))?;
            }
            let style = letters(SOFT, HPos::Right, VPos::Top);
            area.draw(&Text::new(unit, (px(self.wide - 2), y), style))?;
        }
        Ok(())
    }
}
