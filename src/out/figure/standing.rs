//! What the figures of the standing pressure test are drawn from.

use super::{capital, extremes};

/// A standing pressure test: the gauge against where a tight line's gauge would read.
///
/// All columns have one entry per reading; a missing reading is not a number.
#[derive(Debug, Clone, PartialEq)]
pub struct Hold {
    /// When the clock of the figure starts, in words: "14 Oct 18:00".
    pub began: String,
    /// Hours since then.
    pub hours: Vec<f64>,
    /// The gauge.
    pub gauge: Vec<f64>,
    /// What a tight line's gauge would read, given the temperatures: the middle.
    pub expected: Vec<f64>,
    /// The low edge of where a tight line's gauge would read.
    pub band_low: Vec<f64>,
    /// The high edge.
    pub band_high: Vec<f64>,
    /// What the fit makes of the readings, its loss included.
    pub fitted: Vec<f64>,
    /// Sudden changes.
    pub steps: Vec<HoldStep>,
    /// Readings that stand alone and were left out: hours and gauge.
    pub outliers: Vec<(f64, f64)>,
    /// The gauge of a second volume that is known to be tight, when it was logged.
    pub witness: Option<Vec<f64>>,
    /// Outdoor temperature, when it was logged.
    pub outdoor: Option<Vec<f64>>,
    /// The unit of the pressures: "psig".
    pub pressure_unit: &'static str,
    /// The unit of the outdoor temperature: "°F".
    pub temperature_unit: &'static str,
}

/// A sudden change of pressure during a standing pressure test.
#[derive(Debug, Clone, PartialEq)]
pub struct HoldStep {
    /// Hours since the first reading.
    pub hours: f64,
    /// With its size: "fell 3.2 psi".
    pub words: String,
}

/// A standing pressure test with temperature taken out: what is left is loss, or what nobody measured.
///
/// All columns have one entry per reading; a missing reading is not a number.
#[derive(Debug, Clone, PartialEq)]
pub struct HoldResiduals {
    /// When the clock of the figure starts, in words: "14 Oct 18:00".
    pub began: String,
    /// Hours since then.
    pub hours: Vec<f64>,
    /// Reading minus where a tight line would read.
    pub corrected: Vec<f64>,
    /// The fit with its loss and its steps minus where a tight line would read.
    pub fitted: Vec<f64>,
    /// Loss per hour: estimate, low and high end.
    pub loss: [f64; 3],
    /// The limit, per hour.
    pub limit: f64,
    /// The loss with its range, in words: "0.04, could be 0.02 to 0.06 psi/h".
    pub words: String,
    /// Sudden changes.
    pub steps: Vec<HoldStep>,
    /// Readings that stand alone and were left out: hours, and how far they lie from where a tight line would read.
    pub outliers: Vec<(f64, f64)>,
    /// The unit of the pressures: "psi".
    pub unit: &'static str,
}

/// The loss of a standing pressure test against its limit.
#[derive(Debug, Clone, PartialEq)]
pub struct LossLimit {
    /// Loss per hour: estimate, low and high end of the 95 % interval.
    pub loss: [f64; 3],
    /// The loss in words: "0.04, could be 0.02 to 0.06 psi/h".
    pub words: String,
    /// The limit.
    pub limit: f64,
    /// The limit in words, with its name: "limit 0.04 psi/h: 0.05 psi/h at 500 psig, scaled".
    pub limit_words: String,
    /// Probability that the loss is above the limit.
    pub above_limit: f64,
    /// How the test came out: "undecided".
    pub outcome: &'static str,
    /// How narrow it would be after holding longer, where that would decide.
    pub ahead: Option<LossAhead>,
    /// The unit: "psi/h".
    pub unit: &'static str,
}

/// What the interval of a loss would come to after holding longer.
#[derive(Debug, Clone, PartialEq)]
pub struct LossAhead {
    /// Hours that are still to come.
    pub more_hours: f64,
    /// The low end.
    pub low: f64,
    /// The high end.
    pub high: f64,
    /// What it is held to be: "if it is tight".
    pub given: &'static str,
}

impl Hold {
    /// The figure's numbers in a sentence; none without a complete reading at either end.
    pub fn summary(&self) -> Option<String> {
        let complete = |&i: &usize| {
            let row = [
                self.hours.get(i),
                self.gauge.get(i),
                self.band_low.get(i),
                self.band_high.get(i),
            ];
            row.iter().all(|v| v.is_some_and(|v| v.is_finite()))
        };
        let first = (0..self.hours.len()).find(complete)?;
        let last = (0..self.hours.len()).rev().find(complete)?;
        let unit = self.pressure_unit;
        // as many digits as the band is wide
        let digits = if self.band_high[last] - self.band_low[last] < 0.5 {
            2
        } else {
            1
        };
        let gauge = |value: f64| format!("{value:.digits$} {unit}");
        let mut text = format!(
            "The gauge read {} at {:.1} h and {} at {:.1} h; a tight line would read {:.digits$} to {} then.",
            gauge(self.gauge[first]),
            self.hours[first],
            gauge(self.gauge[last]),
            self.hours[last],
            self.band_low[last],
            gauge(self.band_high[last]),
        );
        if let Some((low, high)) = self.outdoor.as_deref().and_then(extremes) {
            text += &format!(
                " Outdoor temperature {low:.1} to {high:.1} {}.",
                self.temperature_unit
            );
        }
        if let Some((low, high)) = self.witness.as_deref().and_then(extremes) {
            text += &format!(" The witness read {low:.digits$} to {}.", gauge(high));
        }
        text += &sudden(&self.steps);
        text += &left_out(&self.outliers, gauge);
        Some(text)
    }
}

impl HoldResiduals {
    /// The figure's numbers in a sentence or two.
    pub fn summary(&self) -> String {
        let mut text = format!(
            "With temperature taken out, the loss is {}. A tight line would stay at zero, give or take its temperature; the wedge is where the loss could lead.",
            self.words
        );
        text += &sudden(&self.steps);
        text += &left_out(&self.outliers, |v| format!("{v:+.1} {}", self.unit));
        text
    }
}

impl LossLimit {
    /// "97 % of that is below the limit".
    pub fn share_words(&self) -> String {
        let above = self.above_limit;
        let (share, side) = if above > 0.5 {
            (above, "above")
        } else {
            (1.0 - above, "below")
        };
        let share = if share > 0.99 {
            "more than 99 %".to_string()
        } else {
            // never rounded up to the 95 % that decide
            format!("{:.0} %", (100.0 * share + 1e-9).floor())
        };
        format!("{share} of that is {side} the limit")
    }

    /// How the numbers alone come out; the test may come out otherwise.
    fn alone(&self) -> &'static str {
        match self.above_limit {
            above if above > 0.95 => "fail",
            above if above < 0.05 => "pass",
            _ => "undecided",
        }
    }

    /// How it came out, and whether something else than the numbers made it so.
    pub fn outcome_words(&self) -> String {
        if self.outcome == self.alone() {
            self.outcome.to_string()
        } else {
            format!(
                "{}, though these numbers alone would be {}: the reasons say why",
                self.outcome,
                match self.alone() {
                    "undecided" => "undecided",
                    "pass" => "a pass",
                    _ => "a fail",
                }
            )
        }
    }

    /// The figure's numbers in a sentence or two.
    pub fn summary(&self) -> String {
        let mut text = format!(
            "Loss {}; {}. {}. {}.",
            self.words,
            self.share_words(),
            capital(&self.limit_words),
            capital(&self.outcome_words())
        );
        if let Some(ahead) = &self.ahead {
            text += &format!(" {}.", capital(&ahead.words(self.unit)));
        }
        text += " It is a pass with 95 % below the limit, a fail with 95 % above.";
        text
    }
}

impl LossAhead {
    /// "after about 12 h more, if it is tight: about -0.03 to 0.03 psi/h".
    pub fn words(&self, unit: &str) -> String {
        let decimals = if self.high - self.low < 0.2 { 3 } else { 2 };
        format!(
            "after about {:.0} h more, {}: about {:.decimals$} to {:.decimals$} {unit}",
            self.more_hours, self.given, self.low, self.high
        )
    }
}

/// The sudden changes in a sentence, if there were any.
fn sudden(steps: &[HoldStep]) -> String {
    let words = steps
        .iter()
        .map(|step| format!("{} at {:.1} h", step.words, step.hours));
    listed("Sudden changes", words.collect())
}

/// The readings that were left out in a sentence, if there were any.
fn left_out(outliers: &[(f64, f64)], shown: impl Fn(f64) -> String) -> String {
    let words = outliers
        .iter()
        .map(|(hours, value)| format!("{} at {hours:.1} h", shown(*value)));
    listed("Left out, since they stand alone", words.collect())
}

/// A list that names the first few and counts the rest.
fn listed(what: &str, mut words: Vec<String>) -> String {
    const NAMED: usize = 4;
    if words.is_empty() {
        return String::new();
    }
    let more = words.len().saturating_sub(NAMED);
    words.truncate(NAMED);
    let more = match more {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    format!(" {what}: {}{more}.", words.join(", "))
}
