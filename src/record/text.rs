//! Reading a value from text inside a file, so that an error is raised where the text stands.

use std::fmt;

use serde::de::{Deserializer, Error, Visitor};

/// Reads a value from a text.
///
/// The reading happens while the text is being visited: an error raised later has lost its place in the file.
pub(crate) fn from_text<'de, D, T, E>(
    from: D,
    read: impl FnOnce(&str) -> Result<T, E>,
) -> Result<T, D::Error>
where
    D: Deserializer<'de>,
    E: fmt::Display,
{
    from.deserialize_str(Text(read))
}

struct Text<F>(F);

impl<F, T, E> Visitor<'_> for Text<F>
where
    F: FnOnce(&str) -> Result<T, E>,
    E: fmt::Display,
{
    type Value = T;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a string")
    }

    fn visit_str<S: Error>(self, text: &str) -> Result<T, S> {
        (self.0)(text).map_err(S::custom)
    }
}
