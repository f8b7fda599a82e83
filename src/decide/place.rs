//! Who may do what, by place: dated rows with a source, read from `tables/place_rules.csv`. Never legal advice.

use std::sync::OnceLock;

use crate::source::SourceId;

/// The place, as far as the law on refrigerants differs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Place {
    /// United States.
    Us,
    /// European Union.
    Eu,
    /// Anywhere else.
    Elsewhere,
}

impl Place {
    /// Every place.
    pub const ALL: [Place; 3] = [Place::Us, Place::Eu, Place::Elsewhere];

    /// The place of a country as it is typed.
    pub fn of(country: &str) -> Place {
        match country.trim().to_ascii_uppercase().as_str() {
            "US" | "USA" | "UNITED STATES" => Place::Us,
            "EU" => Place::Eu,
            _ => Place::Elsewhere,
        }
    }

    /// The word in the table.
    pub fn word(self) -> &'static str {
        match self {
            Place::Us => "us",
            Place::Eu => "eu",
            Place::Elsewhere => "elsewhere",
        }
    }
}

/// Work on refrigerant that the law of a place may leave to certified people.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Activity {
    /// Attaching gauges to a charged circuit.
    AttachGauges,
    /// Opening a circuit that held refrigerant.
    OpenCircuit,
    /// Recovering refrigerant.
    Recover,
    /// Adding refrigerant.
    Charge,
    /// Brazing on a circuit that held refrigerant.
    BrazeCharged,
    /// Letting refrigerant out.
    ReleaseToAir,
}

impl Activity {
    /// Every activity.
    pub const ALL: [Activity; 6] = [
        Activity::AttachGauges,
        Activity::OpenCircuit,
        Activity::Recover,
        Activity::Charge,
        Activity::BrazeCharged,
        Activity::ReleaseToAir,
    ];

    /// The word in the table.
    pub fn word(self) -> &'static str {
        match self {
            Activity::AttachGauges => "attach-gauges",
            Activity::OpenCircuit => "open-circuit",
            Activity::Recover => "recover",
            Activity::Charge => "charge",
            Activity::BrazeCharged => "braze-charged",
            Activity::ReleaseToAir => "release-to-air",
        }
    }

    /// What was done, for a sentence: "gauges were attached".
    pub fn done(self) -> &'static str {
        match self {
            Activity::AttachGauges => "gauges were attached to a charged circuit",
            Activity::OpenCircuit => "a circuit that held refrigerant was opened",
            Activity::Recover => "refrigerant was weighed out",
            Activity::Charge => "refrigerant was weighed in",
            Activity::BrazeCharged => "a circuit that held refrigerant was brazed",
            Activity::ReleaseToAir => "refrigerant came out",
        }
    }
}

/// Who may do it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Who {
    /// A certified person.
    Certified,
    /// Nobody, on purpose.
    Nobody,
    /// This program does not know: ask.
    Ask,
}

impl Who {
    /// The words on the screen and in JSON.
    pub fn words(self) -> &'static str {
        match self {
            Who::Certified => "a certified person",
            Who::Nobody => "nobody, on purpose",
            Who::Ask => "ask who may do this where you live",
        }
    }
}

/// The rule of a place for an activity.
#[derive(Debug, Clone, PartialEq)]
pub struct PlaceRule {
    /// The place.
    pub place: Place,
    /// The activity.
    pub activity: Activity,
    /// Who may do it.
    pub who: Who,
    /// The rule in a sentence.
    pub rule: String,
    /// The state of the law that is described, year and month; none where this program knows no rule.
    pub as_of: Option<String>,
    /// Where it comes from, and how well it is known.
    pub source: SourceId,
}

impl PlaceRule {
    /// The rule with its date and how well it is known.
    ///
    /// ```
    /// use lineproof::decide::place::{Activity, Place, rule};
    /// let text = rule(Place::Us, Activity::Charge).cite();
    /// assert!(text.ends_with("the place's rule as of 2024-01, from memory: not legal advice"));
    /// ```
    pub fn cite(&self) -> String {
        match &self.as_of {
            Some(date) => format!(
                "{}; the place's rule as of {date}, {}: not legal advice",
                self.rule,
                self.source.status().words()
            ),
            None => format!("{}: this program knows no rule of this place", self.rule),
        }
    }
}

const TABLE: &str = include_str!("../../tables/place_rules.csv");

/// The rule of a place for an activity.
pub fn rule(place: Place, activity: Activity) -> &'static PlaceRule {
    all()
        .iter()
        .find(|r| r.place == place && r.activity == activity)
        .expect("tables/place_rules.csv has a row for every place and activity")
}

/// Every row of the table.
pub fn all() -> &'static [PlaceRule] {
    static ROWS: OnceLock<Vec<PlaceRule>> = OnceLock::new();
    ROWS.get_or_init(|| {
        let mut reader = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .from_reader(TABLE.as_bytes());
        reader
            .records()
            .map(|row| row.expect("tables/place_rules.csv is a table"))
            .map(|row| read(&row).expect("tables/place_rules.csv has a known word in every column"))
            .collect()
    })
}

fn read(row: &csv::StringRecord) -> Option<PlaceRule> {
    let as_of = row.get(4)?;
    Some(PlaceRule {
        place: Place::ALL.into_iter().find(|p| p.word() == &row[0])?,
        activity: Activity::ALL.into_iter().find(|a| a.word() == &row[1])?,
        who: match &row[2] {
            "certified" => Who::Certified,
            "nobody" => Who::Nobody,
            "ask" => Who::Ask,
            _ => return None,
        },
        rule: row[3].into(),
        as_of: (!as_of.is_empty()).then(|| as_of.into()),
        source: SourceId::ALL
            .iter()
            .copied()
            .find(|s| Some(s.key()) == row.get(5))?,
    })
}
