//! When something happened: an instant with the offset it was noted in.

use std::fmt;

use jiff::{
    Timestamp,
    civil::DateTime,
    fmt::temporal::Pieces,
    tz::{AmbiguousOffset, Offset, TimeZone},
};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::text::from_text;

/// An instant and the offset from UTC it was noted in; ordered by the instant.
///
/// ```
/// use lineproof::record::{Moment, Zone};
/// let zone = Zone::named("America/Chicago").unwrap();
/// let at = Moment::typed("2026-11-20 18:30", &zone).unwrap();
/// assert_eq!(at.to_string(), "2026-11-20T18:30:00-06:00");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Moment {
    instant: Timestamp,
    offset: Offset,
}

/// Why a text is not a moment.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MomentError {
    /// Not a date with a time.
    #[error(
        "\"{text}\" is not a date with a time: type it like 2026-11-20 18:30, or with its offset like 2026-11-20T18:30:00-06:00"
    )]
    NotATime {
        /// As typed.
        text: String,
    },
    /// No offset where the file needs one.
    #[error("\"{text}\" has no offset from UTC: write it like 2026-11-20T18:30:00-06:00")]
    NoOffset {
        /// As found.
        text: String,
    },
    /// The clock jumped over it.
    #[error(
        "\"{text}\" did not happen in {zone}: the clock jumped over it from {before} to {after}; check the hour"
    )]
    Skipped {
        /// As typed.
        text: String,
        /// The zone's name.
        zone: String,
        /// Offset before the jump.
        before: Offset,
        /// Offset after the jump.
        after: Offset,
    },
    /// The clock showed it twice.
    #[error(
        "\"{text}\" happened twice in {zone} as the clock was set back: add {before} for the first time or {after} for the second"
    )]
    Doubled {
        /// As typed.
        text: String,
        /// The zone's name.
        zone: String,
        /// Offset of the first.
        before: Offset,
        /// Offset of the second.
        after: Offset,
    },
    /// Not a zone of the IANA database.
    #[error("\"{text}\" is not a time zone: use a name like America/Chicago or Europe/Berlin")]
    Zone {
        /// As typed.
        text: String,
    },
}

impl Moment {
    /// From an instant, with the offset that holds in the zone then.
    pub fn of(instant: Timestamp, zone: &Zone) -> Self {
        Moment {
            instant,
            offset: zone.0.to_offset(instant),
        }
    }

    /// Reads what a person types: a civil date and time in the record's zone, or one with its own offset.
    ///
    /// An hour that the clock skipped or showed twice is refused with the question that settles it.
    pub fn typed(text: &str, zone: &Zone) -> Result<Self, MomentError> {
        let (civil, offset) = read(text)?;
        match offset {
            Some(offset) => Moment::at_offset(text, civil, offset),
            None => Moment::in_zone(text, civil, zone),
        }
    }

    /// The instant.
    pub fn instant(self) -> Timestamp {
        self.instant
    }

    /// The offset from UTC it was noted in.
    pub fn offset(self) -> Offset {
        self.offset
    }

    /// Date and time on the clock that noted it.
    pub fn civil(self) -> DateTime {
        self.offset.to_datetime(self.instant)
    }

    /// Seconds from an earlier moment to this one; negative if that is later.
    pub fn seconds_after(self, earlier: Moment) -> f64 {
        (self.instant - earlier.instant)
            .total(jiff::Unit::Second)
            .unwrap_or(f64::NAN)
    }

    /// The moment so many seconds later, on the same clock; none beyond the calendar.
    pub fn later_by(self, seconds: f64) -> Option<Moment> {
        let span = jiff::SignedDuration::try_from_secs_f64(seconds).ok()?;
        let instant = self.instant.checked_add(span).ok()?;
        Some(Moment { instant, ..self })
    }

    /// Reads what a file holds: always with its offset.
    fn written(text: &str) -> Result<Self, MomentError> {
        match read(text)? {
            (civil, Some(offset)) => Moment::at_offset(text, civil, offset),
            (_, None) => Err(MomentError::NoOffset { text: text.into() }),
        }
    }

    fn at_offset(text: &str, civil: DateTime, offset: Offset) -> Result<Self, MomentError> {
        let instant = offset
            .to_timestamp(civil)
            .map_err(|_| MomentError::NotATime { text: text.into() })?;
        Ok(Moment { instant, offset })
    }

    fn in_zone(text: &str, civil: DateTime, zone: &Zone) -> Result<Self, MomentError> {
        let named = || (text.to_string(), zone.name().to_string());
        match zone.0.to_ambiguous_timestamp(civil).offset() {
            AmbiguousOffset::Unambiguous { offset } => Moment::at_offset(text, civil, offset),
            AmbiguousOffset::Gap { before, after } => {
                let (text, zone) = named();
                Err(MomentError::Skipped {
                    text,
                    zone,
                    before,
                    after,
                })
            }
            AmbiguousOffset::Fold { before, after } => {
                let (text, zone) = named();
                Err(MomentError::Doubled {
                    text,
                    zone,
                    before,
                    after,
                })
            }
        }
    }
}

fn read(text: &str) -> Result<(DateTime, Option<Offset>), MomentError> {
    let wrong = || MomentError::NotATime { text: text.into() };
    let text = text.trim();
    let pieces = Pieces::parse(text).map_err(|_| wrong())?;
    let time = pieces.time().ok_or_else(wrong)?;
    Ok((pieces.date().to_datetime(time), pieces.to_numeric_offset()))
}

impl PartialOrd for Moment {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Moment {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        (self.instant, self.offset).cmp(&(other.instant, other.offset))
    }
}

impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.instant.display_with_offset(self.offset).fmt(f)
    }
}

impl Serialize for Moment {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Moment {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        from_text(deserializer, Moment::written)
    }
}

/// The time zone of the place, by its IANA name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Zone(TimeZone);

impl Zone {
    /// By its IANA name.
    pub fn named(name: &str) -> Result<Self, MomentError> {
        TimeZone::get(name)
            .map(Zone)
            .map_err(|_| MomentError::Zone { text: name.into() })
    }

    /// Its IANA name.
    pub fn name(&self) -> &str {
        self.0.iana_name().unwrap_or("UTC")
    }

    /// The zone itself.
    pub fn time_zone(&self) -> &TimeZone {
        &self.0
    }
}

impl Serialize for Zone {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.name())
    }
}

impl<'de> Deserialize<'de> for Zone {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        from_text(deserializer, Zone::named)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chicago() -> Zone {
        Zone::named("America/Chicago").unwrap()
    }

    #[test]
    fn an_offset_typed_wins_over_the_zone() {
        let at = Moment::typed("2026-07-01T09:00:00+02:00", &chicago()).unwrap();
        assert_eq!(at.to_string(), "2026-07-01T09:00:00+02:00");
    }

    #[test]
    fn the_missing_and_the_doubled_hour_are_asked_about() {
        let skipped = Moment::typed("2026-03-08 02:30", &chicago()).unwrap_err();
        insta::assert_snapshot!(skipped, @r#""2026-03-08 02:30" did not happen in America/Chicago: the clock jumped over it from -06 to -05; check the hour"#);
        let doubled = Moment::typed("2026-11-01 01:30", &chicago()).unwrap_err();
        insta::assert_snapshot!(doubled, @r#""2026-11-01 01:30" happened twice in America/Chicago as the clock was set back: add -05 for the first time or -06 for the second"#);
        let first = Moment::typed("2026-11-01 01:30-05:00", &chicago()).unwrap();
        let second = Moment::typed("2026-11-01 01:30-06:00", &chicago()).unwrap();
        assert_eq!(second.seconds_after(first), 3600.0);
    }

    #[test]
    fn a_date_alone_and_nonsense_are_refused() {
        for text in ["2026-11-20", "tonight", "20/11/26 18:30", ""] {
            let error = Moment::typed(text, &chicago()).unwrap_err();
            assert!(
                error.to_string().contains("2026-11-20 18:30"),
                "{text}: {error}"
            );
        }
    }
}
