//! One published value against ours, and all of a source.

/// All values of one source that were compared.
pub struct Comparison {
    /// A short name for the summary.
    pub title: String,
    /// Where the values stand, and how they were read.
    pub source: String,
    /// Why this tolerance is honest.
    pub tolerance: String,
    /// What the numbers alone do not say: rows left out and why, a bias and its sign.
    pub notes: Vec<String>,
    /// The values.
    pub values: Vec<Compared>,
}

/// One value, or the worst of many alike.
#[derive(Debug, Clone)]
pub struct Compared {
    /// "R-22 liquid density".
    pub what: String,
    /// Where it was read: "0 degC".
    pub at: String,
    /// The value as it is printed in the source.
    pub published: String,
    pub ours: f64,
    /// Ours less published.
    pub difference: f64,
    /// In the unit of the value.
    pub tolerance: f64,
    pub unit: &'static str,
    /// How many values this one is the worst of.
    pub of: usize,
}

impl Compared {
    /// A value as printed against ours; the tolerance is in the same unit.
    pub fn new(
        what: impl Into<String>,
        at: impl Into<String>,
        published: &str,
        ours: f64,
        tolerance: f64,
        unit: &'static str,
    ) -> Self {
        let number: f64 = published
            .parse()
            .unwrap_or_else(|_| panic!("\"{published}\" is not a number"));
        Compared {
            what: what.into(),
            at: at.into(),
            published: published.to_string(),
            ours,
            difference: ours - number,
            tolerance,
            unit,
            of: 1,
        }
    }

    /// The difference as a share of the tolerance.
    pub fn share(&self) -> f64 {
        self.difference.abs() / self.tolerance
    }

    /// No number at all is not held.
    fn is_held(&self) -> bool {
        self.share() <= 1.0
    }

    /// For tables too long to print: the worst value of each kind, in the order in which the kinds come.
    pub fn worst_of_each(values: Vec<Compared>) -> Vec<Compared> {
        let mut worst: Vec<Compared> = Vec::new();
        for value in values {
            match worst.iter_mut().find(|kept| kept.what == value.what) {
                None => worst.push(value),
                Some(kept) => {
                    let of = kept.of + value.of;
                    if value.share() > kept.share() {
                        *kept = value;
                    }
                    kept.of = of;
                }
            }
        }
        worst
    }
}

impl Comparison {
    /// How many values were compared.
    pub fn count(&self) -> usize {
        self.values.iter().map(|value| value.of).sum()
    }

    /// The value that uses most of its tolerance.
    pub fn worst(&self) -> &Compared {
        let by_share = |a: &&Compared, b: &&Compared| a.share().total_cmp(&b.share());
        self.values
            .iter()
            .max_by(by_share)
            .expect("a source has values")
    }

    /// Every value lies within its tolerance, and so many were compared: a table that was not read passes nothing.
    #[track_caller]
    pub fn holds(&self, count: usize) {
        let missed: Vec<_> = self
            .values
            .iter()
            .filter(|value| !value.is_held())
            .collect();
        assert!(missed.is_empty(), "{}: {missed:#?}", self.title);
        assert_eq!(self.count(), count, "values compared with {}", self.title);
    }
}

/// Half a unit of the last of so many significant digits.
pub fn half_digit(value: f64, digits: i32) -> f64 {
    0.5 * 10f64.powi(value.abs().log10().floor() as i32 + 1 - digits)
}

/// Half a unit of the last digit of a text.
pub fn half_last_digit(text: &str) -> f64 {
    let decimals = text.split_once('.').map_or(0, |(_, d)| d.len());
    0.5 * 10f64.powi(-(decimals as i32))
}

#[test]
fn a_miss_an_empty_table_and_no_number_at_all_are_caught() {
    let comparison = |values| Comparison {
        title: "example".into(),
        source: String::new(),
        tolerance: String::new(),
        notes: Vec::new(),
        values,
    };
    let value = |ours, tolerance| Compared::new("a length", "here", "1.0", ours, tolerance, "m");
    comparison(vec![value(1.05, 0.06)]).holds(1);
    let fails = |values, count| {
        let held = std::panic::AssertUnwindSafe(|| comparison(values).holds(count));
        std::panic::catch_unwind(held).is_err()
    };
    assert!(fails(vec![value(1.07, 0.06)], 1));
    assert!(fails(vec![value(f64::NAN, 0.06)], 1));
    assert!(fails(vec![value(1.05, 0.06)], 2));
    assert!(fails(vec![], 1));
    let values = vec![value(1.01, 0.06), value(1.05, 0.06), value(0.99, 0.06)];
    let worst = Compared::worst_of_each(values);
    assert_eq!((worst.len(), worst[0].of), (1, 3));
    assert_eq!(worst[0].ours, 1.05);
}

#[test]
fn digits_as_printed() {
    assert!((half_digit(119.45, 5) - 0.005).abs() < 1e-15);
    assert!((half_digit(200.0, 5) - 0.005).abs() < 1e-15);
    assert!((half_digit(-0.13378, 5) - 5e-6).abs() < 1e-18);
    assert!((half_last_digit("-36.94") - 0.005).abs() < 1e-15);
    assert_eq!(half_last_digit("370"), 0.5);
}
