//! A photograph in the record's folder.

use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A photograph, copied into the record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    /// Its path in the record's folder.
    pub file: String,
    /// Its size and digest as it was taken in; an older record has the path alone.
    pub taken_in: Option<TakenIn>,
}

/// A file's size and digest as it was taken into the record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TakenIn {
    /// Its size.
    pub bytes: u64,
    /// Its SHA-256.
    pub sha256: String,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Whole {
    file: String,
    bytes: u64,
    sha256: String,
}

#[derive(Deserialize)]
#[serde(untagged)]
enum Written {
    Path(String),
    Whole(Whole),
}

impl Serialize for Photo {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match &self.taken_in {
            None => serializer.serialize_str(&self.file),
            Some(TakenIn { bytes, sha256 }) => Whole {
                file: self.file.clone(),
                bytes: *bytes,
                sha256: sha256.clone(),
            }
            .serialize(serializer),
        }
    }
}

impl<'de> Deserialize<'de> for Photo {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Ok(match Written::deserialize(deserializer)? {
            Written::Path(file) => Photo {
                file,
                taken_in: None,
            },
            Written::Whole(whole) => Photo {
                file: whole.file,
                taken_in: Some(TakenIn {
                    bytes: whole.bytes,
                    sha256: whole.sha256,
                }),
            },
        })
    }
}
