//! The level rules, read from the table of field rules.

use crate::physics::field_rules::{FieldRule, Kind};
use crate::quantity::{PressureAbs, Quantity, unit};
use crate::source::SourceId;

/// A named rule: start no higher, hold so long, pass up to, fail from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rule {
    /// Its name, as typed.
    pub name: &'static str,
    /// The pressure to reach before the valve is shut, micron.
    pub start_micron: f64,
    /// Minutes isolated.
    pub hold_min: f64,
    /// Passes below this, micron.
    pub pass_micron: f64,
    /// Whether exactly that still passes.
    pub pass_at: bool,
    /// Fails above this, micron; in between it is undecided.
    pub fail_micron: f64,
    /// Whether exactly that already fails.
    pub fail_at: bool,
    /// Where it comes from.
    pub source: SourceId,
}

/// How a level stands against a rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Level {
    /// It passes.
    Met,
    /// Between pass and fail.
    Gap,
    /// It fails.
    NotMet,
    /// Isolated for less time than the rule asks, and not yet failed.
    TooShort,
}

impl Level {
    /// "met", "not met", "too short", "in its gap".
    pub fn words(self) -> &'static str {
        match self {
            Level::Met => "met",
            Level::Gap => "in its gap",
            Level::NotMet => "not met",
            Level::TooShort => "too short",
        }
    }
}

/// A log that ends by this part of the hold too early was held: a logger's clock is not set to the second.
const SAME_TIME: f64 = 0.002;

impl Rule {
    /// Every named rule for a vacuum rise, in the order of the table.
    pub fn all() -> Vec<Rule> {
        FieldRule::all().iter().filter_map(Rule::of).collect()
    }

    /// The rule of a name.
    ///
    /// ```
    /// use lineproof::check::dry::Rule;
    /// let rule = Rule::named("makers-500-700-15").unwrap();
    /// assert_eq!((rule.pass_micron, rule.fail_micron), (700.0, 800.0));
    /// assert!(Rule::named("ufgs-23-pressure").is_none());
    /// ```
    pub fn named(name: &str) -> Option<Rule> {
        FieldRule::named(name).and_then(Rule::of)
    }

    /// The rule of the unit's own instructions: reach `start`, watch `hold_min` minutes, no higher than `limit`.
    pub fn of_the_unit(start: PressureAbs, hold_min: f64, limit: PressureAbs) -> Rule {
        let limit = limit.in_unit(unit::MICRON);
        Rule {
            name: "unit",
            start_micron: start.in_unit(unit::MICRON),
            hold_min,
            pass_micron: limit,
            pass_at: true,
            fail_micron: limit,
            fail_at: false,
            source: SourceId::UnitInstructions,
        }
    }

    /// A row of the table; none for one that names no level to hold.
    fn of(rule: &'static FieldRule) -> Option<Rule> {
        if !matches!(rule.kind, Kind::Vacuum) {
            return None;
        }
        let start_micron = number_before(&rule.target, " micron")?;
        let levels = Levels::of(&rule.allowed)?;
        Some(Rule {
            name: &rule.id,
            start_micron,
            hold_min: rule.hold_time()?.in_unit(unit::MINUTE),
            pass_micron: levels.pass.0,
            pass_at: levels.pass.1,
            fail_micron: levels.fail.0,
            fail_at: levels.fail.1,
            source: rule.source,
        })
    }

    /// How a reading of `micron` at the rule's time stands against it.
    pub fn level_of(&self, micron: f64) -> Level {
        if micron > self.fail_micron || (self.fail_at && micron == self.fail_micron) {
            Level::NotMet
        } else if self.passes(micron) {
            Level::Met
        } else {
            Level::Gap
        }
    }

    /// Whether so many micron pass.
    pub fn passes(&self, micron: f64) -> bool {
        micron < self.pass_micron || (self.pass_at && micron == self.pass_micron)
    }

    /// How a rise stands against it: the reading at the rule's time; exceeded is exceeded, however short the test was.
    pub fn level(&self, minutes: &[f64], micron: &[f64]) -> Level {
        match self.reading(minutes, micron) {
            Some(at) => self.level_of(at),
            None => {
                let highest = micron.iter().copied().fold(f64::MIN, f64::max);
                match self.level_of(highest) {
                    Level::NotMet => Level::NotMet,
                    _ => Level::TooShort,
                }
            }
        }
    }

    /// The reading at the rule's time; none where the test was shorter.
    pub(super) fn reading(&self, minutes: &[f64], micron: &[f64]) -> Option<f64> {
        let at = minutes
            .iter()
            .position(|m| m - minutes[0] >= self.hold_min - SAME_TIME * self.hold_min)?;
        micron.get(at).copied()
    }

    /// What it asks, in a sentence.
    pub fn words(self) -> String {
        let gap = match (self.fail_micron > self.pass_micron, self.fail_at) {
            (false, _) => String::new(),
            (true, true) => format!(", {:.0} or more fails, undecided between", self.fail_micron),
            (true, false) => format!(", over {:.0} fails, undecided between", self.fail_micron),
        };
        let passes = if self.pass_at {
            format!("{:.0} micron or less passes", self.pass_micron)
        } else {
            format!("below {:.0} micron passes", self.pass_micron)
        };
        format!(
            "{}: reach {:.0} micron, shut off {:.0} min, {passes}{gap}",
            self.name, self.start_micron, self.hold_min
        )
    }
}

/// Passes up to and fails from, micron, each with whether the number itself counts.
struct Levels {
    pass: (f64, bool),
    fail: (f64, bool),
}

impl Levels {
    /// From the table's own words.
    fn of(words: &str) -> Option<Levels> {
        if let Some(n) = number_after(words, "must not rise above ")
            .or(number_after(words, "must stay at or below "))
        {
            return Some(Levels {
                pass: (n, true),
                fail: (n, false),
            });
        }
        if let Some(n) = number_after(words, "stay below ") {
            return Some(Levels {
                pass: (n, false),
                fail: (n, true),
            });
        }
        let parts: Vec<&str> = words.split("; ").collect();
        let pass = number_before(parts[0], " or less")
            .map(|n| (n, true))
            .or(number_after(parts[0], "below ").map(|n| (n, false)))?;
        let fail = parts.get(1)?;
        let fail = number_before(fail, " or more")
            .map(|n| (n, true))
            .or(number_after(fail, "over ").map(|n| (n, false)))?;
        Some(Levels { pass, fail })
    }
}

/// The number that the words begin with, where `unit` follows it.
fn number_before(words: &str, unit: &str) -> Option<f64> {
    words.split_once(unit)?.0.parse().ok()
}

/// The number that follows the words' beginning.
fn number_after(words: &str, beginning: &str) -> Option<f64> {
    let rest = words.strip_prefix(beginning)?;
    rest.split_whitespace().next()?.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every row for a vacuum, in the table's numbers; a new row that cannot be read fails here.
    #[test]
    fn every_vacuum_row_is_a_rule() {
        let rows = FieldRule::all().iter().filter(|r| r.kind == Kind::Vacuum);
        let names: Vec<_> = rows.map(|r| r.id.as_str()).collect();
        let read: Vec<_> = Rule::all()
            .iter()
            .map(|r| {
                (
                    r.name,
                    [r.start_micron, r.hold_min, r.pass_micron, r.fail_micron],
                    [r.pass_at, r.fail_at],
                )
            })
            .collect();
        let right = [
            (
                "iec-60335-2-40-vacuum",
                [500.0, 10.0, 1500.0, 1500.0],
                [true, false],
            ),
            ("ufgs-23-vacuum", [300.0, 60.0, 500.0, 500.0], [true, false]),
            ("makers-500-10", [500.0, 10.0, 500.0, 500.0], [false, true]),
            (
                "makers-500-700-15",
                [500.0, 15.0, 700.0, 800.0],
                [false, true],
            ),
            (
                "makers-250-1000-10",
                [250.0, 10.0, 1000.0, 2000.0],
                [true, false],
            ),
        ];
        assert_eq!(read, right);
        assert_eq!(names, read.iter().map(|r| r.0).collect::<Vec<_>>());
    }

    #[test]
    fn the_number_itself_counts_as_the_rule_says() {
        let level = |name, micron| Rule::named(name).unwrap().level_of(micron);
        assert_eq!(level("makers-500-10", 500.0), Level::NotMet);
        assert_eq!(level("ufgs-23-vacuum", 500.0), Level::Met);
        assert_eq!(level("makers-500-700-15", 700.0), Level::Gap);
        assert_eq!(level("makers-500-700-15", 800.0), Level::NotMet);
        assert_eq!(level("makers-250-1000-10", 1000.0), Level::Met);
        assert_eq!(level("makers-250-1000-10", 2000.0), Level::Gap);
    }
}
