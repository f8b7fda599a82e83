//! The rules a vacuum rise is held against.

use crate::quantity::{PressureAbs, Quantity, RiseRate, unit};
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
    /// Passes at or below this, micron.
    pub pass_micron: f64,
    /// Fails above this, micron; in between it is undecided.
    pub fail_micron: f64,
    /// Where it comes from.
    pub source: SourceId,
}

impl Rule {
    /// Every named rule.
    pub const ALL: [Rule; 5] = [
        Rule {
            name: "iec-60335-2-40-vacuum",
            start_micron: 500.0,
            hold_min: 10.0,
            pass_micron: 1500.0,
            fail_micron: 1500.0,
            source: SourceId::Iec60335FieldTest,
        },
        Rule {
            name: "ufgs-23-vacuum",
            start_micron: 300.0,
            hold_min: 60.0,
            pass_micron: 500.0,
            fail_micron: 500.0,
            source: SourceId::Ufgs23,
        },
        Rule {
            name: "makers-500-10",
            start_micron: 500.0,
            hold_min: 10.0,
            pass_micron: 500.0,
            fail_micron: 500.0,
            source: SourceId::MakersVacuum,
        },
        Rule {
            name: "makers-500-700-15",
            start_micron: 500.0,
            hold_min: 15.0,
            pass_micron: 700.0,
            fail_micron: 800.0,
            source: SourceId::MakersVacuum,
        },
        Rule {
            name: "makers-250-1000-10",
            start_micron: 250.0,
            hold_min: 10.0,
            pass_micron: 1000.0,
            fail_micron: 2000.0,
            source: SourceId::MakersVacuum,
        },
    ];

    /// The rule of a name.
    pub fn named(name: &str) -> Option<Rule> {
        Rule::ALL.into_iter().find(|r| r.name == name)
    }

    /// What it asks, in a sentence.
    pub fn words(self) -> String {
        let gap = if self.fail_micron > self.pass_micron {
            format!(", fails from {:.0}, undecided between", self.fail_micron)
        } else {
            String::new()
        };
        format!(
            "{}: reach {:.0} micron, shut off {:.0} min, {:.0} micron or less passes{gap}",
            self.name, self.start_micron, self.hold_min, self.pass_micron
        )
    }
}

/// The limits of the vacuum rise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Criteria {
    /// The level rule.
    pub rule: Rule,
    /// The steady rise that counts as a leak.
    pub leak_limit: RiseRate,
    /// Where that comes from.
    pub leak_source: SourceId,
}

impl Default for Criteria {
    fn default() -> Self {
        Criteria {
            rule: Rule::ALL[0],
            leak_limit: RiseRate::of(2.0, unit::MICRON_PER_MINUTE),
            leak_source: SourceId::DryLeakLimit,
        }
    }
}

/// A pressure in micron.
pub(super) fn micron(pressure: PressureAbs) -> f64 {
    pressure.in_unit(unit::MICRON)
}
