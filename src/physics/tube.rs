//! Copper tube: bore, volume, pressure rating, flare torque, from the tables in `tables/`.

use std::sync::LazyLock;

use crate::quantity::{Area, Length, PressureGauge, Quantity, Torque, Volume, unit};

/// A tube by its outside diameter and wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tube {
    outer: Length,
    wall: Length,
}

/// What can be wrong with a tube.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TubeError {
    /// Walls that leave no bore.
    #[error(
        "tube {:.2} mm outside with a wall of {:.2} mm: the wall must be more than 0 and less than half the outside diameter; check the units", outer.in_unit(unit::MILLIMETRE), wall.in_unit(unit::MILLIMETRE)
    )]
    NoBore {
        /// The outside diameter.
        outer: Length,
        /// The wall.
        wall: Length,
    },
    /// A nominal size that the table has not.
    #[error(
        "tube size {size}: not in the table ({known}); type one of these, or give outside diameter and wall"
    )]
    Unknown {
        /// What was given.
        size: String,
        /// What there is.
        known: String,
    },
}

impl Tube {
    /// A tube from its outside diameter and wall.
    pub fn new(outer: Length, wall: Length) -> Result<Self, TubeError> {
        if !(wall.si() > 0.0 && 2.0 * wall.si() < outer.si()) {
            return Err(TubeError::NoBore { outer, wall });
        }
        Ok(Tube { outer, wall })
    }

    /// Annealed coil of a nominal size in inches, such as "3/8" (ASTM B280; of two walls the lighter).
    ///
    /// ```
    /// use lineproof::physics::tube::Tube;
    /// use lineproof::quantity::{Length, Quantity, unit};
    /// let tube = Tube::annealed("3/8").unwrap();
    /// let per_metre = tube.volume(Length::of(1.0, unit::METRE));
    /// assert!((per_metre.in_unit(unit::LITRE) - 0.04901).abs() < 1e-5);
    /// ```
    pub fn annealed(size: &str) -> Result<Self, TubeError> {
        let wanted = size.trim().trim_end_matches(['"', ' ']);
        let mut coils = ROWS.iter().filter(|row| row.temper == "annealed coil");
        match coils.clone().find(|row| row.size == wanted) {
            Some(row) => Ok(row.tube),
            None => Err(TubeError::Unknown {
                size: size.to_string(),
                known: {
                    let sizes: Vec<&str> = coils.by_ref().map(|row| row.size.as_str()).collect();
                    sizes.join(", ")
                },
            }),
        }
    }

    /// The outside diameter.
    pub fn outer(self) -> Length {
        self.outer
    }

    /// The bore's cross-section: `pi (D - 2 t)^2 / 4`.
    pub fn bore_area(self) -> Area {
        let bore = self.outer.si() - 2.0 * self.wall.si();
        Area::from_si(std::f64::consts::PI * bore * bore / 4.0)
    }

    /// The volume inside a length.
    pub fn volume(self, length: Length) -> Volume {
        Volume::from_si(self.bore_area().si() * length.si())
    }

    /// The size in inches that the tables use, when the outside diameter is within 0.2 mm of it.
    pub fn nominal(self) -> Option<&'static str> {
        ROWS.iter()
            .find(|row| (row.tube.outer.si() - self.outer.si()).abs() < 0.2e-3)
            .map(|row| row.size.as_str())
    }
}

/// A row of the tube table.
#[derive(Debug, Clone, PartialEq)]
pub struct TubeRow {
    /// Nominal size in inches.
    pub size: String,
    /// Temper and form.
    pub temper: String,
    /// The dimensions.
    pub tube: Tube,
    /// The bore as printed.
    pub printed_bore: Length,
    /// Working pressure at 150 degF, annealed, where one was read.
    pub rated_at_150f: Option<PressureGauge>,
    /// Working pressure at 100 degF, annealed, computed.
    pub rated_at_100f: Option<PressureGauge>,
}

/// The ASTM B280 sizes.
pub fn tube_rows() -> &'static [TubeRow] {
    &ROWS
}

/// A range of torque.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TorqueRange {
    /// The lowest torque.
    pub low: Torque,
    /// The highest torque.
    pub high: Torque,
}

/// A row of the flare table.
#[derive(Debug, Clone, PartialEq)]
pub struct FlareRow {
    /// Nominal tube size in inches.
    pub size: String,
    /// Outside diameter of the tube.
    pub outer: Length,
    /// Range of JIS B 8607.
    pub jis: TorqueRange,
    /// Range usual in installation instructions.
    pub common: TorqueRange,
    /// Diameter of the finished flare, least and most, where known.
    pub flare: (Option<Length>, Option<Length>),
    /// Size of the nut across its flats.
    pub nut: Length,
}

/// The flare nuts the table knows.
pub fn flare_rows() -> &'static [FlareRow] {
    &FLARES
}

/// The flare row for a tube, when its outside diameter is within 0.2 mm of a table size.
pub fn flare_for(tube: Tube) -> Option<&'static FlareRow> {
    FLARES
        .iter()
        .find(|row| (row.outer.si() - tube.outer.si()).abs() < 0.2e-3)
}

static ROWS: LazyLock<Vec<TubeRow>> = LazyLock::new(|| {
    let inch = |v: f64| Length::of(v, unit::INCH_LENGTH);
    let psig = |v: f64| PressureGauge::of(v, unit::PSIG);
    rows(include_str!("../../tables/tube.csv"))
        .map(|row| TubeRow {
            size: row[0].to_string(),
            temper: row[1].to_string(),
            tube: Tube {
                outer: inch(number(&row[2])),
                wall: inch(number(&row[3])),
            },
            printed_bore: inch(number(&row[4])),
            rated_at_150f: optional(&row[5]).map(psig),
            rated_at_100f: optional(&row[6]).map(psig),
        })
        .collect()
});

static FLARES: LazyLock<Vec<FlareRow>> = LazyLock::new(|| {
    let mm = |v: f64| Length::of(v, unit::MILLIMETRE);
    let range = |low: &str, high: &str| TorqueRange {
        low: Torque::of(number(low), unit::NEWTON_METRE),
        high: Torque::of(number(high), unit::NEWTON_METRE),
    };
    rows(include_str!("../../tables/flare_torque.csv"))
        .map(|row| FlareRow {
            size: row[0].to_string(),
            outer: mm(number(&row[1])),
            jis: range(&row[2], &row[3]),
            common: range(&row[4], &row[5]),
            flare: (optional(&row[6]).map(mm), optional(&row[7]).map(mm)),
            nut: mm(number(&row[8])),
        })
        .collect()
});

/// The rows of a table that ships with the program; a test reads every one.
fn rows(table: &'static str) -> impl Iterator<Item = csv::StringRecord> {
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(table.as_bytes())
        .into_records()
        .map(|row| row.expect("a shipped table has whole rows"))
}

fn number(cell: &str) -> f64 {
    cell.parse()
        .expect("a shipped table has numbers in its number columns")
}

fn optional(cell: &str) -> Option<f64> {
    (!cell.is_empty()).then(|| number(cell))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_read_and_the_bore_agrees_with_the_printed_one() {
        assert_eq!(tube_rows().len(), 16);
        assert_eq!(flare_rows().len(), 5);
        for row in tube_rows() {
            let bore = row.tube.outer.si() - 2.0 * row.tube.wall.si();
            // printed to 0.001 in
            assert!((bore - row.printed_bore.si()).abs() < 1e-6, "{}", row.size);
        }
    }

    #[test]
    fn metric_tube_finds_its_inch_size() {
        let mm = |v| Length::of(v, unit::MILLIMETRE);
        let tube = Tube::new(mm(9.52), mm(0.8)).unwrap();
        assert_eq!(tube.nominal(), Some("3/8"));
        assert_eq!(flare_for(tube).unwrap().size, "3/8");
    }

    #[test]
    fn an_unknown_size_says_what_there_is() {
        let text = Tube::annealed("3/7").unwrap_err().to_string();
        assert!(text.contains("1/4, 5/16, 3/8"), "{text}");
    }
}
