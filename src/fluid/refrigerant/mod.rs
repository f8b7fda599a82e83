//! Refrigerants: names, facts and saturation tables.

mod curve;
mod facts;
mod grid;
mod one_phase;
mod saturation;
mod table;
mod viscosity;

use std::fmt;
use std::str::FromStr;

pub use facts::{Facts, Limit, SafetyClass, Stated};
pub use one_phase::{Phase, State, StateError, Subcooled, Superheated};
pub use saturation::{RangeError, Saturation, Side};
pub use viscosity::Viscosities;

macro_rules! refrigerants {
    ($($id:ident = $name:literal,)*) => {
        /// A refrigerant this program knows by name.
        ///
        /// ```
        /// use lineproof::fluid::Refrigerant;
        /// let typed: Refrigerant = "r410a".parse().unwrap();
        /// assert_eq!(typed.to_string(), "R-410A");
        /// ```
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Refrigerant { $(#[doc = $name] $id,)* }

        impl Refrigerant {
            /// All that are known, in the order of their numbers.
            pub const ALL: &'static [Refrigerant] = &[$(Refrigerant::$id,)*];

            /// The name as it is printed.
            pub fn name(self) -> &'static str { match self { $(Refrigerant::$id => $name,)* } }
        }
    };
}

refrigerants! {
    R22 = "R-22",
    R32 = "R-32",
    R134a = "R-134a",
    R290 = "R-290",
    R404A = "R-404A",
    R407C = "R-407C",
    R410A = "R-410A",
    R448A = "R-448A",
    R449A = "R-449A",
    R452B = "R-452B",
    R454B = "R-454B",
    R454C = "R-454C",
    R455A = "R-455A",
    R507A = "R-507A",
    R513A = "R-513A",
    R600a = "R-600a",
    R744 = "R-744",
    R1234yf = "R-1234yf",
    R1234zeE = "R-1234ze(E)",
}

impl Refrigerant {
    /// What is known about it.
    pub fn facts(self) -> &'static Facts {
        facts::of(self)
    }

    /// Its safety class.
    pub fn class(self) -> SafetyClass {
        self.facts().class
    }

    /// Whether its vapour can burn in air (class A2L or A3).
    pub fn flammable(self) -> bool {
        self.class().flammable()
    }
}

impl fmt::Display for Refrigerant {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

/// A text that names no refrigerant known here.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "\"{typed}\" is not a refrigerant known here{}; known are {}. Type it as it stands on the nameplate",
    suggestion(near),
    list(Refrigerant::ALL)
)]
pub struct UnknownRefrigerant {
    /// As typed.
    pub typed: String,
    /// Names that look like it.
    pub near: Vec<Refrigerant>,
}

impl FromStr for Refrigerant {
    type Err = UnknownRefrigerant;

    /// "R-410A", "R410A", "r410a" and "R 410A" are one name; "410A" is not one.
    fn from_str(typed: &str) -> Result<Self, UnknownRefrigerant> {
        let key = key(typed);
        let found = Refrigerant::ALL.iter().find(|r| self::key(r.name()) == key);
        found.copied().ok_or_else(|| UnknownRefrigerant {
            typed: typed.trim().to_string(),
            near: near(&key),
        })
    }
}

/// The letters and digits, lower case.
fn key(name: &str) -> String {
    let significant = name.chars().filter(|c| c.is_alphanumeric());
    significant.flat_map(char::to_lowercase).collect()
}

/// Names at most two typing errors away, nearest first; the nearest kind only.
fn near(key: &str) -> Vec<Refrigerant> {
    match key {
        "propane" => return vec![Refrigerant::R290],
        "isobutane" => return vec![Refrigerant::R600a],
        "co2" | "carbondioxide" => return vec![Refrigerant::R744],
        _ => {}
    }
    let distance = |r: &Refrigerant| typing_errors(key, &self::key(r.name()));
    let nearest = Refrigerant::ALL.iter().map(distance).min();
    let close = |r: &&Refrigerant| Some(distance(r)) == nearest && distance(r) <= 2;
    Refrigerant::ALL.iter().filter(close).copied().collect()
}

/// Letters to change, add or leave out to come from one text to the other (Levenshtein distance).
fn typing_errors(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, letter) in a.chars().enumerate() {
        let mut corner = row[0];
        row[0] = i + 1;
        for j in 0..b.len() {
            let changed = corner + usize::from(letter != b[j]);
            corner = row[j + 1];
            row[j + 1] = changed.min(row[j] + 1).min(corner + 1);
        }
    }
    row[b.len()]
}

fn suggestion(near: &[Refrigerant]) -> String {
    if near.is_empty() {
        return String::new();
    }
    let names: Vec<_> = near.iter().map(|r| r.name()).collect();
    format!(" (is it {}?)", names.join(" or "))
}

fn list(refrigerants: &[Refrigerant]) -> String {
    let names: Vec<_> = refrigerants.iter().map(|r| r.name()).collect();
    names.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_read_in_the_ways_people_write_it() {
        for typed in ["R-410A", "R410A", "r410a", " R 410a ", "R\u{2011}410A"] {
            assert_eq!(typed.parse(), Ok(Refrigerant::R410A), "{typed}");
        }
        for &refrigerant in Refrigerant::ALL {
            assert_eq!(refrigerant.name().parse(), Ok(refrigerant));
        }
        assert_eq!("r1234ze(e)".parse(), Ok(Refrigerant::R1234zeE));
    }

    #[test]
    fn a_wrong_name_is_refused_with_names_like_it() {
        let error = "R-454".parse::<Refrigerant>().unwrap_err();
        assert_eq!(error.near, [Refrigerant::R454B, Refrigerant::R454C]);
        assert!(error.to_string().starts_with(
            "\"R-454\" is not a refrigerant known here (is it R-454B or R-454C?); known are R-22, R-32,"
        ));
        let error = "410A".parse::<Refrigerant>().unwrap_err();
        assert_eq!(error.near, [Refrigerant::R410A]);
        let error = "water".parse::<Refrigerant>().unwrap_err();
        assert!(error.near.is_empty());
        assert!(!error.to_string().contains("is it"));
        assert!("".parse::<Refrigerant>().is_err());
        // the other isomer is another substance
        assert!("R-1234ze".parse::<Refrigerant>().is_err());
    }
}
