//! The loss of a standing pressure test against its limit: a bar for what it could be, and what holding longer would make of it.

use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, VPos};

use super::LossLimit;
use super::ink::{
    self, Area, DrawError, Drawn, INK, MARK, PAPER, RULE, SOFT, Width, Words, letters, line,
    number, px, round_step, text_width, title, wrapped,
};

const FIGURE: &str = "loss against its limit";

/// Height of a line of words.
const LINE: i32 = 15;
/// From a row's last line of words to the next row.
const BAR: i32 = 27;
/// The axis with its numbers.
const AXIS: i32 = 26;
/// Zero and limit nearer than this are drawn as they are, and said to be too near to tell apart.
const APART: i32 = 5;
/// Room left and right of the plot.
const SIDE: i32 = 14;

/// The figure as an SVG element without fixed width; `id` must be unique in the page.
pub fn draw(loss: &LossLimit, width: Width, id: &str) -> Result<String, DrawError> {
    let ahead = loss.ahead.iter().flat_map(|ahead| [ahead.low, ahead.high]);
    let numbers = loss.loss.into_iter().chain([loss.limit]).chain(ahead);
    let Some((low, high)) = super::extremes(&numbers.collect::<Vec<_>>()) else {
        return Err(DrawError::NothingToDraw { figure: FIGURE });
    };
    if !loss.loss.iter().all(|v| v.is_finite()) || !loss.limit.is_finite() {
        return Err(DrawError::NothingToDraw { figure: FIGURE });
    }
    let frame = Frame::of(loss, width, (low.min(0.0), high.max(0.0)));
    let words = Words {
        figure: FIGURE,
        id,
        title: "The loss against its limit",
        description: &loss.summary(),
    };
    ink::drawn(&words, width, (frame.wide, frame.height()), |root| {
        frame.draw(root)
    })
}

/// Numbers bound to their units.
fn bound(text: &str) -> String {
    let text = text.replace(" %", "\u{a0}%");
    ["psi/h", "kPa/h", "h"].iter().fold(text, |text, unit| {
        text.replace(&format!(" {unit} "), &format!("\u{a0}{unit} "))
    })
}

/// A bar with its words.
struct Row {
    words: Vec<String>,
    low: f64,
    high: f64,
    /// The best estimate; none for a bar that is still to come.
    estimate: Option<f64>,
}

struct Frame<'a> {
    loss: &'a LossLimit,
    wide: i32,
    range: (f64, f64),
    rows: Vec<Row>,
    /// The limit's words over the plot.
    limit: Vec<String>,
    foot: Vec<String>,
}

impl<'a> Frame<'a> {
    fn of(loss: &'a LossLimit, width: Width, (low, high): (f64, f64)) -> Frame<'a> {
        let wide = width.pick(740, 360);
        // room for the words on either side of a limit at the very end
        let room = width.pick(0.1, 0.2) * (high - low).max(1e-9);
        let lines = |text: &str| wrapped(&bound(text), px(wide - 6));
        let mut frame = Frame {
            loss,
            wide,
            range: (low - room, high + room),
            rows: Vec::new(),
            limit: lines(&loss.limit_words),
            foot: Vec::new(),
        };
        let [estimate, low, high] = loss.loss;
        frame.rows.push(Row {
            words: lines(&format!("loss {}; {}", loss.words, loss.share_words())),
            low,
            high,
            estimate: Some(estimate),
        });
        frame.rows.extend(loss.ahead.iter().map(|ahead| Row {
            words: lines(&ahead.words(loss.unit)),
            low: ahead.low,
            high: ahead.high,
            estimate: None,
        }));
        frame.foot = lines(&format!(
            "This test: {}. {}",
            loss.outcome_words(),
            frame.rule()
        ));
        frame
    }

    /// How the bar is read.
    fn rule(&self) -> String {
        let rule = "95 % left of the limit is a pass, 95 % right of it a fail.";
        if (self.x(self.loss.limit) - self.x(0.0)).abs() < px(APART) {
            format!("{rule} The limit is too near to no loss to be drawn apart at this scale.")
        } else {
            rule.to_string()
        }
    }

    fn x(&self, loss: f64) -> i32 {
        let (left, right) = (px(SIDE), px(self.wide - SIDE));
        let share = (loss - self.range.0) / (self.range.1 - self.range.0);
        left + (share * f64::from(right - left)).round() as i32
    }

    /// Room over the rows: the title, the limit's words, "no loss".
    fn head(&self) -> i32 {
        26 + (self.limit.len() as i32 + 1) * LINE + 8
    }

    fn rows_height(&self) -> i32 {
        let height = |row: &Row| row.words.len() as i32 * LINE + BAR;
        self.rows.iter().map(height).sum::<i32>() + LINE
    }

    fn height(&self) -> i32 {
        self.head() + self.rows_height() + AXIS + self.foot.len() as i32 * LINE + 6
    }

    fn draw(&self, area: &Area) -> Drawn {
        title(area, &format!("pressure loss, {}", self.loss.unit))?;
        self.lines(area)?;
        let mut top = self.head();
        for row in &self.rows {
            self.row(row, px(top), area)?;
            top += row.words.len() as i32 * LINE + BAR;
        }
        self.sides(px(top), area)?;
        self.axis(px(top + LINE), area)?;
        let style = letters(INK, HPos::Left, VPos::Top);
        for (i, words) in self.foot.iter().enumerate() {
            let y = top + LINE + AXIS + i as i32 * LINE;
            area.draw(&Text::new(words.clone(), (px(2), px(y)), style.clone()))?;
        }
        Ok(())
    }

    /// No loss and the limit as upright lines, each from its words down to the axis, broken where words stand.
    fn lines(&self, area: &Area) -> Drawn {
        let limit_at = 24;
        let zero_at = limit_at + self.limit.len() as i32 * LINE;
        let (zero, limit) = (self.x(0.0), self.x(self.loss.limit));
        self.upright(zero, zero_at + LINE + 1, line(SOFT, 10), area)?;
        self.upright(limit, zero_at + 1, line(MARK, 14), area)?;
        let words = ["no loss".to_string()];
        self.over(&words, zero, zero_at, SOFT, Some(limit), area)?;
        self.over(&self.limit, limit, limit_at, MARK, None, area)
    }

    fn upright(&self, x: i32, from: i32, style: ShapeStyle, area: &Area) -> Drawn {
        let mut from = from;
        let mut top = self.head();
        for row in &self.rows {
            for (i, words) in row.words.iter().enumerate() {
                let at = top + i as i32 * LINE;
                if x < px(6) + text_width(words) {
                    self.piece(x, from, at, style, area)?;
                    from = at + LINE;
                }
            }
            top += row.words.len() as i32 * LINE + BAR;
        }
        let words = ["\u{2190} pass", "fail \u{2192}"].map(text_width);
        let beside = x - self.x(self.loss.limit);
        // the words on either side of the limit leave no room for another line
        let covered = beside != 0 && -words[0] - px(8) < beside && beside < words[1] + px(8);
        let bottom = top + if covered { 0 } else { LINE };
        self.piece(x, from, bottom, style, area)
    }

    fn piece(&self, x: i32, from: i32, to: i32, style: ShapeStyle, area: &Area) -> Drawn {
        if to > from {
            let ends = vec![(x, px(from)), (x, px(to))];
            area.draw(&PathElement::new(ends, style))?;
        }
        Ok(())
    }

    /// Words over an upright line, inside the drawing; beside a line that would run through them.
    fn over(
        &self,
        words: &[String],
        at: i32,
        top: i32,
        colour: RGBColor,
        beside: Option<i32>,
        area: &Area,
    ) -> Drawn {
        let half = words
            .iter()
            .map(|w| text_width(w))
            .max()
            .unwrap_or_default()
            / 2;
        let mut middle = at.clamp(half + px(2), px(self.wide - 2) - half);
        if let Some(line) = beside
            && (line - middle).abs() < half + px(4)
        {
            let left = line - half - px(5);
            middle = if left - half > px(2) {
                left
            } else {
                line + half + px(5)
            };
        }
        for (i, words) in words.iter().enumerate() {
            let style = letters(colour, HPos::Center, VPos::Top);
            let y = px(top + i as i32 * LINE);
            area.draw(&Text::new(words.clone(), (middle, y), style))?;
        }
        Ok(())
    }

    fn row(&self, row: &Row, top: i32, area: &Area) -> Drawn {
        let colour = if row.estimate.is_some() { INK } else { SOFT };
        for (i, words) in row.words.iter().enumerate() {
            let style = letters(colour, HPos::Left, VPos::Top);
            let at = (px(2), top + px(i as i32 * LINE));
            area.draw(&Text::new(words.clone(), at, style))?;
        }
        let middle = top + px(row.words.len() as i32 * LINE + 9);
        let half = px(if row.estimate.is_some() { 5 } else { 4 });
        // a bar that is thinner than a line would not be seen
        let low = self.x(row.low);
        let high = self.x(row.high).max(low + px(1));
        let corners = [(low, middle - half), (high, middle + half)];
        let Some(estimate) = row.estimate else {
            area.draw(&Rectangle::new(corners, PAPER.filled()))?;
            area.draw(&Rectangle::new(corners, line(SOFT, 14)))?;
            return Ok(());
        };
        area.draw(&Rectangle::new(corners, SOFT.mix(0.6).filled()))?;
        let at = (self.x(estimate), middle);
        area.draw(&Circle::new(at, px(3), PAPER.filled()))?;
        area.draw(&Circle::new(at, px(3), line(INK, 12)))?;
        Ok(())
    }

    /// What either side of the limit means, over the axis.
    fn sides(&self, top: i32, area: &Area) -> Drawn {
        let limit = self.x(self.loss.limit);
        let left = letters(MARK, HPos::Right, VPos::Top);
        let right = letters(MARK, HPos::Left, VPos::Top);
        area.draw(&Text::new("← pass", (limit - px(5), top), left))?;
        area.draw(&Text::new("fail →", (limit + px(5), top), right))?;
        Ok(())
    }

    fn axis(&self, top: i32, area: &Area) -> Drawn {
        let ends = vec![(px(SIDE), top), (px(self.wide - SIDE), top)];
        area.draw(&PathElement::new(ends, line(RULE, 8)))?;
        let steps = if self.wide > 500 { 9 } else { 5 };
        let step = round_step(self.range.1 - self.range.0, steps);
        let first = (self.range.0 / step - 1e-9).ceil() as i64;
        let last = (self.range.1 / step + 1e-9).floor() as i64;
        for tick in (first..=last).map(|i| i as f64 * step) {
            let x = self.x(tick);
            let mark = PathElement::new(vec![(x, top), (x, top + px(4))], line(SOFT, 8));
            area.draw(&mark)?;
            let style = letters(SOFT, HPos::Center, VPos::Top);
            area.draw(&Text::new(number(tick), (x, top + px(7)), style))?;
        }
        Ok(())
    }
}
